"""Seams and the conditions from their crossings, coloured with two colours: which side each is pressed to."""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from kit.model.pressing import Press
from kit.planning.pressing.crossings import Crossing

CopySeam: TypeAlias = tuple[int, int]
"""A seam of one copy: the number of its step, and of the copy."""
Pair: TypeAlias = tuple[CopySeam, CopySeam, bool]
"""Two seams, and whether they go to parts of unlike rank."""
COPIES = 100_000
"""Keys of one step: one for all copies, then one for each."""
EXACT = 12
"""The most steps pressed open, in one connected set, for an exact search of the least number."""
OTHER: Mapping[Press, Press] = {"first": "second", "second": "first", "open": "open"}
"""The opposite way of pressing."""


def make_key(step: int, copy: int) -> int:
    """Return the key of a step in one copy, or with -1 in all of them."""
    return step * COPIES + copy + 1


def find_step(key: int) -> int:
    """Return the step of a key."""
    return key // COPIES


@dataclass(frozen=True, slots=True)
class _Link:
    """A condition: the two seams are pressed to parts of the same rank, or of unlike rank."""

    other: int
    unlike: bool


class SeamGraph:
    """Seams, and the conditions from their crossings."""

    def __init__(
        self,
        keys: Mapping[CopySeam, int],
        crossings: Sequence[Crossing],
        fixed: Mapping[int, Press],
        together: Sequence[Pair] = (),
    ) -> None:
        self.keys, self.crossings, self.fixed = keys, crossings, dict(fixed)
        self.pairs: list[Pair] = [*((one.first, one.second, one.unlike) for one in crossings), *together]
        self.links: dict[int, set[_Link]] = {key: set() for key in keys.values()}
        self.back: frozenset[CopySeam] = frozenset()
        self.opened: list[int] = []
        self.cycles: list[tuple[int, ...]] = []

    def press(self, back: frozenset[CopySeam]) -> dict[CopySeam, Press]:
        """Return a side for every seam of every copy; those in `back` go to the other side than the others."""
        self.back = back
        for first, second, apart in self.pairs:
            a, b = self.keys[first], self.keys[second]
            unlike = apart != ((first in back) != (second in back))
            self.links[a].add(_Link(b, unlike))
            self.links[b].add(_Link(a, unlike))
        sides = self._colour()
        return {seam: OTHER[sides[key]] if seam in back else sides[key] for seam, key in self.keys.items()}

    def count_nesting(self, presses: Mapping[CopySeam, Press]) -> int:
        """Return the number of crossings whose two seams go to opposite sides."""
        return sum(nests(crossing, presses) for crossing in self.crossings)

    def _colour(self) -> dict[int, Press]:
        """Return a side for every step."""
        sides: dict[int, Press] = dict(self.fixed)
        seen: set[int] = set(self.fixed)
        for key in sorted(self.links):
            if key not in seen:
                part = self._gather(key, seen)
                opened = self._open_least(part)
                self.opened += sorted(opened)
                sides |= self._spread(part, opened)
                sides |= dict.fromkeys(opened, "open")
        return sides

    def _gather(self, key: int, seen: set[int]) -> list[int]:
        """Return the free seams connected with one."""
        part, stack = [], [key]
        seen.add(key)
        while stack:
            here = stack.pop()
            part.append(here)
            for link in self.links[here]:
                if link.other not in seen:
                    seen.add(link.other)
                    stack.append(link.other)
        return sorted(part)

    def _open_least(self, part: Sequence[int]) -> frozenset[int]:
        """Return the fewest seams that break every odd cycle, or only a small number beyond `EXACT`."""
        cycle = self._find_odd(part, frozenset())
        if not cycle:
            return frozenset()
        self.cycles.append(tuple(sorted({find_step(key) for key in cycle})))
        for most in range(1, EXACT + 1):
            found = self._break(part, frozenset(), most)
            if found is not None:
                return found
        opened: frozenset[int] = frozenset()
        while cycle:
            opened |= {max(cycle, key=lambda key: (len(self.links[key]), key))}
            cycle = self._find_odd(part, opened)
        return opened

    def _break(self, part: Sequence[int], opened: frozenset[int], most: int) -> frozenset[int] | None:
        """Open one seam of an odd cycle after another; each cycle must lose one."""
        cycle = self._find_odd(part, opened)
        if not cycle:
            return opened
        if len(opened) == most:
            return None
        for key in sorted(set(cycle)):
            found = self._break(part, opened | {key}, most)
            if found is not None:
                return found
        return None

    def _find_odd(self, part: Sequence[int], opened: frozenset[int]) -> list[int]:
        """Return the free seams of an odd cycle, or nothing if two colours are enough.

        Fixed seams count as one seam of known colour; a cycle may run through it.
        """
        colour: dict[int, bool] = {}
        above: dict[int, int | None] = {}
        anchored = [key for key in part if any(link.other in self.fixed for link in self.links[key])]
        for root in [*anchored, *part]:
            if root in colour or root in opened:
                continue
            wanted = self._wanted(root)
            colour[root], above[root] = (next(iter(wanted)) if wanted else True), None
            queue = deque([root])
            while queue:
                here = queue.popleft()
                clash = self._wanted(here)
                if clash and clash != {colour[here]}:
                    return _climb(above, here)
                for link in sorted(self.links[here], key=lambda link: (link.other, link.unlike)):
                    if link.other in self.fixed or link.other in opened:
                        continue
                    want = colour[here] != link.unlike
                    if link.other not in colour:
                        colour[link.other], above[link.other] = want, here
                        queue.append(link.other)
                    elif colour[link.other] != want:
                        return _join(_climb(above, here), _climb(above, link.other))
        return []

    def _wanted(self, key: int) -> set[bool]:
        """Return the colours of a seam required by fixed neighbours; True is the first part's side."""
        found = set()
        for link in self.links[key]:
            side = self.fixed.get(link.other)
            if side in ("first", "second"):
                found.add((side == "first") != link.unlike)
        return found

    def _spread(self, part: Sequence[int], opened: frozenset[int]) -> dict[int, Press]:
        """Colour the seams that are not opened, toward the added part if there is a choice."""
        colour: dict[int, bool] = {}
        anchored = [key for key in part if self._wanted(key)]
        for root in [*anchored, *part]:
            if root in colour or root in opened:
                continue
            wanted = self._wanted(root)
            colour[root] = next(iter(wanted)) if wanted else False
            stack = [root]
            while stack:
                here = stack.pop()
                for link in self.links[here]:
                    if link.other in self.fixed or link.other in opened or link.other in colour:
                        continue
                    colour[link.other] = colour[here] != link.unlike
                    stack.append(link.other)
        return {key: "first" if side else "second" for key, side in colour.items()}


def _climb(above: Mapping[int, int | None], key: int) -> list[int]:
    path = [key]
    while (up := above[path[-1]]) is not None:
        path.append(up)
    return path


def _join(a: list[int], b: list[int]) -> list[int]:
    """Return the cycle of two paths to a common root."""
    shared = set(a) & set(b)
    meet = next((key for key in a if key in shared), a[-1])
    return [key for key in a if key not in shared] + [meet] + [key for key in b if key not in shared]


def nests(crossing: Crossing, presses: Mapping[CopySeam, Press]) -> bool:
    """Return True if the two seams of a crossing go to opposite sides."""
    a, b = presses[crossing.first], presses[crossing.second]
    return "open" not in (a, b) and (a != b) == crossing.unlike
