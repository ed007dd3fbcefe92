"""Diving: strips are fixed one after another at true prices, so that the last ones hold exactly what is left.

A linear programme over the strips known so far prices the pieces that are left; the best boxes of every height at these
prices (`box_values`) are new strips. What the programme takes whole is fixed, else the strip of which it takes most;
the rest is priced again. As soon as one strip may hold all that is left, it is tried. A sheet that is not much longer
than wide is also cut the other way: first along, into strips across which the pieces lie.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import count
from random import Random

import numpy as np

from kit.solvers.packing.box_values import BoxValues
from kit.solvers.packing.programmes import ColumnProgramme
from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern, pack_by_kind

ROUNDS = 3
"""Rounds of pricing before a strip is fixed."""
MOST_NEW, DENSE = 30, 0.97
"""The most new strips of a round, and their worth by their height, at least."""
IDLE = 16
"""Dives without a gain before diving stops."""
LUCK, NOISE = 0.15, 0.03
"""How much chance may add to the part of a strip, and to a price."""
HEIGHTS = 2, 3
"""The greatest height of a strip, by the longest side of a piece: in turn, from dive to dive."""


class _Dive:
    """What is left, and the strips that are fixed."""

    def __init__(self, kinds: Sequence[RectangleKind], width: int, random: Random) -> None:
        self.kinds, self.width, self.random = kinds, width, random
        self.left = [kind.count for kind in kinds]
        self.fixed: StripLayout = []
        self.length = self.work = 0

    @property
    def rest(self) -> int:
        """Area of the pieces that are left."""
        return sum(kind.area * number for kind, number in zip(self.kinds, self.left, strict=True))

    @property
    def live(self) -> list[int]:
        """The kinds of which some are left."""
        return [i for i, number in enumerate(self.left) if number]

    def trim(self, pattern: StripPattern) -> StripPattern | None:
        """Return a strip without what is not left, no higher than it needs to be; None if nothing stays."""
        used = [0] * len(self.left)
        placed = []
        for place in pattern.placed:
            if used[place.kind] + place.number <= self.left[place.kind]:
                used[place.kind] += place.number
                placed.append(place)
        return StripPattern(max(place.y + place.height for place in placed), tuple(placed)) if placed else None

    def fix(self, pattern: StripPattern, times: int) -> None:
        """Fix a strip as often as it is asked for and its pieces are left."""
        uses = pattern.uses()
        times = min(times, *(self.left[i] // number for i, number in uses.items()))
        if times:
            self.fixed.append((pattern, times))
            self.length += pattern.height * times
            for i, number in uses.items():
                self.left[i] -= number * times

    def make_boxes(self, height: int) -> BoxValues:
        """Return the boxes of what is left."""
        return BoxValues([replace(self.kinds[i], count=self.left[i]) for i in self.live], self.width, height)

    def read(self, boxes: BoxValues, height: int) -> StripPattern | None:
        """Return the best strip of a height; None if it is empty."""
        placed = [place._replace(kind=self.live[place.kind]) for place in boxes.read(height)]
        return self.trim(StripPattern(height, tuple(placed)))

    def finish(self, boxes: BoxValues) -> StripPattern | None:
        """Return the lowest strip found that holds all that is left; None if there is none."""
        worth = boxes.solve([float(self.kinds[i].area) for i in self.live])
        self.work += boxes.work
        for height in np.nonzero(worth > self.rest - 0.5)[0]:
            strip = self.read(boxes, int(height))
            if strip and all(strip.uses().get(i, 0) == self.left[i] for i in self.live):
                return strip
        return None

    def price(self, boxes: BoxValues, pool: dict[tuple[object, ...], StripPattern], highest: int) -> None:
        """Price what is left, add the best strips at these prices to the pool, and fix what the programme takes."""
        live = self.live
        row = {i: k for k, i in enumerate(live)}
        programme = ColumnProgramme([float(self.left[i]) for i in live])
        columns: dict[tuple[object, ...], StripPattern] = {}

        def add(pattern: StripPattern | None) -> None:
            if pattern and pattern.height <= highest and (key := name_strip(pattern)) not in columns:
                columns[key] = pattern
                uses = sorted(pattern.uses().items())
                programme.add(float(pattern.height), {row[i]: float(number) for i, number in uses})

        for pattern in list(pool.values()):
            add(self.trim(pattern))
        rest = [replace(kind, count=number) for kind, number in zip(self.kinds, self.left, strict=True)]
        highest = max(highest, *(max(kind.width, kind.height) for kind in rest))
        for pattern, _ in pack_by_kind([kind for kind in rest if kind.count], self.width, turned=True):
            add(StripPattern(pattern.height, tuple(p._replace(kind=live[p.kind]) for p in pattern.placed)))
        for _ in range(ROUNDS):
            _, prices = programme.solve()
            worth = boxes.solve([float(price) * self.random.uniform(1 - NOISE, 1 + NOISE) for price in prices])
            self.work += boxes.work
            dense = worth[1:] / np.arange(1, len(worth))
            for height in (np.argsort(-dense, kind="stable")[:MOST_NEW] + 1).tolist():
                if dense[height - 1] < DENSE or worth[height] <= worth[height - 1] + 1e-9:
                    continue
                strip = self.read(boxes, height)
                if strip:
                    pool.setdefault(name_strip(strip), strip)
                    add(strip)
            if dense.max() < 1.005:
                break
        programme.solve()
        self._fix_best(list(columns.values()), programme.amounts().tolist())

    def _fix_best(self, strips: Sequence[StripPattern], amounts: Sequence[float]) -> None:
        """Fix what is taken whole, else once that of which most is taken, with some luck."""
        whole = [
            (int(amount + 1e-6), strip) for amount, strip in zip(amounts, strips, strict=True) if amount > 1 - 1e-6
        ]
        if not whole:
            parts = [amount + self.random.uniform(0, LUCK) for amount in amounts]
            whole = [(1, strips[max(range(len(parts)), key=parts.__getitem__)])]
        for times, strip in whole:
            self.fix(strip, times)


def name_strip(pattern: StripPattern) -> tuple[object, ...]:
    """Return what tells a strip from others: its height, and what it holds."""
    return pattern.height, *sorted(pattern.uses().items())


def dive_for_layouts(
    kinds: Sequence[RectangleKind],
    width: int,
    pool: dict[tuple[object, ...], StripPattern],
    lengths: tuple[int, int],
    limits: tuple[int, int],
) -> Iterator[StripLayout | None]:
    """Yield shorter and shorter layouts, and None after a dive without one, so that the caller may stop.

    Parameters
    ----------
    kinds
        The kinds to pack.
    width
        Usable width.
    pool
        Strips known so far, by what they hold; new ones are added.
    lengths
        A known length, and the least possible length; the search ends there.
    limits
        The greatest height of a strip, and the steps of making boxes.

    Notes
    -----
    Some five nanoseconds for each step. The same pieces always give the same layouts.

    References
    ----------
    P. Gilmore, R. Gomory, Multistage cutting stock problems of two and more dimensions, Operations Research 13 (1965),
    p. 94; G. Wäscher, T. Gau, Heuristics for the integer one-dimensional cutting stock problem, OR Spektrum 18 (1996),
    p. 131, on fixing strips and pricing the rest again (both from memory).
    """
    best, bound = lengths
    most, work = limits
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    longest = max(max(kind.width, kind.height) for kind in kinds)
    idle = 0
    for number in count():
        if best <= bound or work <= 0 or idle > IDLE:
            return
        dive = _Dive(kinds, width, random)
        found = _dive_once(dive, pool, best, min(most, longest * HEIGHTS[number % len(HEIGHTS)]), work)
        work, idle = work - dive.work, 0 if found else idle + 1
        if found:
            best = sum(strip.height * times for strip, times in found)
        yield found


def _dive_once(
    dive: _Dive, pool: dict[tuple[object, ...], StripPattern], best: int, most: int, work: int
) -> StripLayout | None:
    """Fix strips until nothing is left; None if that takes as much as the best layout, or too many steps."""
    while any(dive.left):
        room = best - 1 - dive.length
        if dive.rest > room * dive.width:
            return None
        boxes = dive.make_boxes(min(most, room))
        if dive.work + boxes.work > work:
            dive.work = work
            return None
        if dive.rest <= dive.width * boxes.height:
            strip = dive.finish(boxes)
            if strip:
                return [*dive.fixed, (strip, 1)]
        dive.price(boxes, pool, min(most, room))
    return dive.fixed if dive.length < best else None


def dive_across(
    kinds: Sequence[RectangleKind], width: int, length: int, work: int
) -> Iterator[StripLayout | None]:  # fmt: skip
    """Yield a layout of everything in one length that is first cut along, and None after a dive without one.

    Parameters
    ----------
    kinds
        The kinds to pack; nothing is yielded if some are runs of angled pieces.
    width, length
        Usable width, and the length to cut.
    work
        The steps of making boxes.
    """
    if any(kind.run for kind in kinds) or any(min(kind.width, kind.height) > length for kind in kinds):
        return
    across = [replace(kind, width=kind.height, height=kind.width) for kind in kinds]
    area = sum(kind.area * kind.count for kind in kinds)
    pool: dict[tuple[object, ...], StripPattern] = {}
    for layout in dive_for_layouts(across, length, pool, (width + 1, -(-area // length)), (width, work)):
        if layout is None:
            yield None
            continue
        placed: list[Placed] = []
        x = 0
        for strip, times in layout:
            for _ in range(times):
                placed += [Placed(p.kind, p.y + x, p.x, p.height, p.width) for p in strip.placed]
                x += strip.height
        yield [(StripPattern(max(place.y + place.height for place in placed), tuple(placed)), 1)]
        return
