"""The search for a size among the keys of a study: first a single value changed, then two, then three.

While the others stay, a finished size is nearly always linear in one count or one length; together they multiply. So
for each set of keys the size is measured at its corners (each key as it is, or at one other value), read off
for every other value, and what then lies within the tolerance is built and measured. Where a key does not run in a line
(a spacer that grows by leaps), each of its values is measured; keys that cannot change alone are tried in pairs.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations, product
from math import log, prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.errors import KitError
from kit.fitting.keyed_study import CLOSE, KeyedStudy, Size, SpentError, Spot
from kit.model.fits import Target

MOST_CHANGED = 3
MOST_READ = 300_000
"""Sizes read off for one set of keys; longer lists of values are thinned."""
BEST_OF_SET = 60
PAIR_BUILDS = 200
"""Tops built for one pair of keys that cannot change alone."""


def find_off(size: Size, target: Target) -> float:
    """Return by how much a size is off, on the worse side."""
    return max(abs(size[0] - target.width), abs(size[1] - target.height))


class KeySearch:
    """Finds which values bring a study within the tolerance.

    Attributes
    ----------
    spent
        Whether the search ended with the number of tops that it may build.
    locked
        Keys that cannot change alone, with the reason.
    """

    def __init__(self, model: KeyedStudy, target: Target, *, asked: bool) -> None:
        self.model, self.target, self.asked = model, target, asked
        self.spent = False
        self.locked: dict[int, KitError | None] = {}
        self._others: dict[int, int] = {}
        self._tables: dict[int, dict[int, Size]] = {}
        self._near: list[tuple[float, Spot]] = []
        self._good: list[tuple[frozenset[tuple[int, int]], float]] = []
        keys = model.size_keys
        away = [n for n, one in enumerate(keys) if abs(one.numbers[model.start[n]] - one.own) > CLOSE]
        self._forced = tuple(n for n in away if len(keys[n].numbers) > 1)

    def list_levels(self) -> Iterator[list[tuple[Spot, Size]]]:
        """Yield, for each number of changed values from none, the spots within the tolerance, the nearest first.

        What is told of them was built and measured. The keys of a range without the study's own value always change.
        """
        try:
            first = self.model.measure(self.model.start)
            if not self._forced:
                yield self._keep([(self.model.start, first)] if first and self._fits(first) else [])
            free = [n for n in range(len(self.model.size_keys)) if n not in self._forced]
            if first:
                self._look(first)
            for more in range(1 - bool(self._forced), max(MOST_CHANGED - len(self._forced), 0) + 1):
                sets = [self._forced + chosen for chosen in combinations(free, more)]
                yield self._try_sets(sets)
        except SpentError:
            self.spent = True

    def find_nearest(self) -> tuple[Spot, Size] | None:
        """Return the nearest of all that was built, once the nearest of what was read off is built too."""
        try:
            for _, spot in sorted(self._near)[:12]:
                self.model.measure(spot)
        except SpentError:
            self.spent = True
        built = [
            (round(find_off(size, self.target), 6), len(self.model.list_changes(spot)), spot)
            for spot, size in self.model.sizes.items()
            if size
        ]
        if not built:
            return None
        _, _, spot = min(built)
        return spot, self.model.sizes[spot]  # type: ignore[return-value]  # only built ones are in the list

    def _fits(self, size: Size) -> bool:
        return find_off(size, self.target) <= self.target.tolerance + CLOSE

    def _look(self, first: Size) -> None:
        """Learn of each key whether it changes the size, and whether in a line."""
        for key, one in enumerate(self.model.size_keys):
            near = self.model.list_near(key)
            tries = near if self.asked else [*near[:4], *near[-1:]]
            built = ((n, self.model.measure(self.model.move((key, n)))) for n in tries)
            found = next(((n, size) for n, size in built if size), None)
            if found is None:
                if near:
                    self.locked[key] = self.model.reasons.get(self.model.move((key, near[0])))
                continue
            other, size = found
            far = near[-1] if near[-1] != other else near[len(near) // 2]
            there = self.model.measure(self.model.move((key, far)))
            if (
                there
                and max(abs(a - b) for a, b in (*zip(first, size, strict=True), *zip(first, there, strict=True)))
                < CLOSE
            ):
                if key in self._forced:
                    self._others[key] = other
                continue
            numbers = one.numbers
            start = numbers[self.model.start[key]]
            share = (numbers[far] - start) / (numbers[other] - start)
            said = [a + share * (b - a) for a, b in zip(first, size, strict=True)]
            self._others[key] = other
            if there is None or max(abs(a - b) for a, b in zip(said, there, strict=True)) > 1e-4:
                sizes = {n: self.model.measure(self.model.move((key, n))) for n in near[:BEST_OF_SET]}
                self._tables[key] = {n: size for n, size in sizes.items() if size} | {self.model.start[key]: first}
                same = all(
                    max(abs(a - b) for a, b in zip(first, size, strict=True)) < CLOSE for size in sizes.values() if size
                )
                if same and key not in self._forced:
                    del self._others[key], self._tables[key]

    def _try_sets(self, sets: Sequence[tuple[int, ...]]) -> list[tuple[Spot, Size]]:
        """Return what lies within the tolerance with exactly these keys changed, the nearest first."""
        hits: list[tuple[float, Spot]] = []
        found: list[tuple[Spot, Size]] = []
        try:
            for chosen in sets:
                if all(key in self._others for key in chosen):
                    hits += self._read_off(chosen)
                elif self._forced or (len(chosen) == 2 and all(key in self.locked for key in chosen)):
                    self._build_all(chosen)
        except SpentError:
            self.spent = True
        changed = {frozenset(chosen) for chosen in sets}
        for _, spot in self._order(hits):
            try:
                self.model.measure(spot)
            except SpentError:
                self.spent = True
                break
        for spot, size in self.model.sizes.items():
            moved = frozenset(n for n, place in enumerate(spot) if place != self.model.start[n]) | set(self._forced)
            if size and moved in changed and self._fits(size):
                found.append((spot, size))
        return self._keep(
            sorted(found, key=lambda entry: (*self._list_off(entry[1]), self._sum_moves(entry[0]), entry[0]))
        )

    def _keep(self, found: list[tuple[Spot, Size]]) -> list[tuple[Spot, Size]]:
        """Leave out what changes a value for nothing: a part of its changes, or less of them, gives as near a size."""
        kept = []
        seen = set()
        for spot, size in found:
            alike = tuple(one[0] for one in self.find_kind(spot)), tuple(round(side, 4) for side in size)
            if alike in seen:
                continue
            seen.add(alike)
            moves = frozenset((n, place) for n, place in enumerate(spot) if place != self.model.start[n])
            off = self._sum_off(size)
            if not any(fewer < moves and nearer <= off for fewer, nearer in self._good):
                kept.append((spot, size))
                self._good.append((moves, off))
        return kept

    def _sum_off(self, size: Size) -> float:
        return round(abs(size[0] - self.target.width) + abs(size[1] - self.target.height), 6)

    def _list_off(self, size: Size) -> tuple[float, float]:
        return self._sum_off(size), round(find_off(size, self.target), 6)

    def _sum_moves(self, spot: Spot) -> float:
        """Return how far values lie from the study's own, by the logarithms of their ratios."""
        values = ((one.numbers[place], one.own) for one, place in zip(self.model.size_keys, spot, strict=True))
        return round(sum(abs(log(new / old)) for new, old in values if new > 0 and old > 0), 6)

    def _order(self, hits: list[tuple[float, Spot]]) -> list[tuple[float, Spot]]:
        """Return the nearest of each set of counts first, then the others; no more than are worth building."""
        firsts: dict[tuple[Any, ...], tuple[float, Spot]] = {}
        for hit in sorted(hits):
            firsts.setdefault(self.find_kind(hit[1]), hit)
        rest = sorted(set(hits) - set(firsts.values()))
        return [*sorted(firsts.values())[:BEST_OF_SET], *rest[:20]]

    def find_kind(self, spot: Spot) -> tuple[Any, ...]:
        """Return which keys a spot changes, and its counts: ways of one kind differ in lengths alone."""
        keys = self.model.size_keys
        return tuple(
            (one.name, one.numbers[place] if one.measure == "count" else None)
            for one, place in zip(keys, spot, strict=True)
            if abs(one.numbers[place] - one.own) > CLOSE
        )

    def _read_off(self, chosen: tuple[int, ...]) -> list[tuple[float, Spot]]:
        """Return the spots of a set of keys that its corners put within the tolerance."""
        places = [self._list_places(key) for key in chosen]
        while prod(map(len, places)) > MOST_READ:
            longest = max(range(len(places)), key=lambda n: len(places[n]))
            places[longest] = places[longest][::2]
        if not all(places):
            return []
        smooth = [n for n, key in enumerate(chosen) if key not in self._tables]
        grids = np.meshgrid(*(np.arange(len(one)) for one in places), indexing="ij")
        wide, high = (self._predict(chosen, places, grids, smooth, side) for side in (0, 1))
        off = np.maximum(abs(wide - self.target.width), abs(high - self.target.height)).ravel()
        total = (abs(wide - self.target.width) + abs(high - self.target.height)).ravel()
        order = np.lexsort((np.round(total, 6), off > self.target.tolerance + CLOSE))[:BEST_OF_SET]
        shape = tuple(map(len, places))
        found = []
        for flat in [*order, int(np.argmin(off))]:
            spot = self.model.move(
                *(
                    (key, places[n][i])
                    for n, (key, i) in enumerate(zip(chosen, np.unravel_index(flat, shape), strict=True))
                )
            )
            if off[flat] <= self.target.tolerance + CLOSE:
                found.append((float(round(total[flat], 6)), spot))
            self._near.append((float(off[flat]), spot))
        self._near = sorted(set(self._near))[:40]
        return list(dict.fromkeys(found))

    def _list_places(self, key: int) -> list[int]:
        every = sorted(self._tables[key]) if key in self._tables else range(len(self.model.size_keys[key].numbers))
        return [place for place in every if key in self._forced or place != self.model.start[key]]

    def _predict(
        self,
        chosen: tuple[int, ...],
        places: Sequence[Sequence[int]],
        grids: Sequence[NDArray[np.int64]],
        smooth: Sequence[int],
        side: int,
    ) -> NDArray[np.float64]:
        """Return the widths or heights of every combination: products of lines, and tables beside them."""
        total = np.zeros(grids[0].shape)
        shares = {}
        for n in smooth:
            key = chosen[n]
            numbers, start = self.model.size_keys[key].numbers, self.model.start[key]
            values = np.array([numbers[place] for place in places[n]])
            share = (values - numbers[start]) / (numbers[self._others[key]] - numbers[start])
            shares[n] = share[grids[n]]
        for corner in product((False, True), repeat=len(smooth)):
            moved = [chosen[n] for n, away in zip(smooth, corner, strict=True) if away]
            weight = np.ones(grids[0].shape)
            for n, away in zip(smooth, corner, strict=True):
                weight = weight * (shares[n] if away else 1 - shares[n])
            total = total + weight * self._find_corner(moved, side)
        first = self._find_corner([], side)
        for n in set(range(len(chosen))) - set(smooth):
            table = self._tables[chosen[n]]
            total = total + np.array([table[place][side] - first for place in places[n]])[grids[n]]
        return total

    def _find_corner(self, moved: Sequence[int], side: int) -> float:
        """Return a width or height with some keys at their other value; if it cannot be built, as if they add up."""
        size = self.model.measure(self.model.move(*((key, self._others[key]) for key in moved)))
        if size is not None:
            return size[side]
        first = self._find_corner([], side)
        return first + sum(self._find_corner([key], side) - first for key in moved)

    def _build_all(self, chosen: tuple[int, ...]) -> None:
        """Build every combination of keys that cannot change alone, the nearest values first.

        Without a wish of the user, counts alone, and these together by the same number.
        """
        keys = self.model.size_keys
        near = [self.model.list_near(key) + ([self.model.start[key]] if key in self._forced else []) for key in chosen]
        if not self.asked and any(keys[key].measure != "count" for key in chosen):
            return

        def find_far(spot: tuple[int, ...]) -> int:
            return sum(abs(place - self.model.start[key]) for key, place in zip(chosen, spot, strict=True))

        def is_even(spot: tuple[int, ...]) -> bool:
            moves = {place - self.model.start[key] for key, place in zip(chosen, spot, strict=True)}
            return self.asked or len(moves) == 1

        tried = sorted((spot for spot in product(*near) if is_even(spot)), key=lambda spot: (find_far(spot), spot))
        for places in tried[:PAIR_BUILDS]:
            spot = self.model.move(*zip(chosen, places, strict=True))
            if self.model.measure(spot) and self.model.sizes[self.model.start]:
                self._follow(chosen, spot)
                break

    def _follow(self, chosen: tuple[int, ...], spot: Spot) -> None:
        """Build what lies on the line from the start through a spot: values that change together keep a proportion."""
        keys, start = self.model.size_keys, self.model.start
        lead = chosen[0]
        numbers = keys[lead].numbers
        for place, number in enumerate(numbers):
            share = (number - numbers[start[lead]]) / (numbers[spot[lead]] - numbers[start[lead]])
            moves = []
            for key in chosen:
                mine = keys[key].numbers
                wanted = mine[start[key]] + share * (mine[spot[key]] - mine[start[key]])
                near = min(range(len(mine)), key=lambda n, mine=mine, wanted=wanted: abs(mine[n] - wanted))  # type: ignore[misc]
                if abs(mine[near] - wanted) < CLOSE:
                    moves.append((key, near))
            if len(moves) == len(chosen) and place != start[lead]:
                self.model.measure(self.model.move(*moves))
