"""The fewest sections of a block: straight cuts, until each part can be sewn piece by piece on one paper."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from kit.planning.foundations.section_bound import count_forced_joins
from kit.planning.sewing.seams import Seams
from kit.planning.sewing.straight_cuts import PartCells, StraightCuts
from kit.progress import Progress, keep_quiet, report

BUDGET = 4_000
"""The most parts to try, a large one counted by its patches; then the best cut is taken, and the bound stays."""

FINE = 1e-3
"""Square inches: twice the area of a triangle that counts as flat."""
LARGE = 25
"""Patches of a part that are taken off in about the time in which a small part is tried."""
SEEDS = 24
"""The most patches from which a section is grown in a part without a line straight through."""


@dataclass(frozen=True, slots=True)
class Split:
    """A part cut into others along one line, or grown from its pieces where no line runs straight through."""

    parts: tuple[PartCells, ...]
    pieces: tuple[int, ...]
    straight: bool


@dataclass(frozen=True, slots=True)
class Sections:
    """The sections of a part.

    Attributes
    ----------
    count
        Their number.
    exact
        Whether no order of straight seams takes fewer.
    split
        The line along which the part is opened first; None for a part that is one section.
    """

    count: int
    exact: bool
    split: Split | None = None


class SectionSearch:
    """Searches for the fewest sections of a block, each part once.

    Parameters
    ----------
    seams
        The seams between the patches of the block, each patch a cell.
    corners
        For each cell the nodes of its corners.
    progress
        Told how many parts were tried; a stop leaves no plan.
    budget
        The most parts to try.
    fits
        Whether a part is small enough for one paper; any part is, if it is left out.
    """

    def __init__(
        self,
        seams: Seams,
        corners: Sequence[Sequence[int]],
        progress: Progress = keep_quiet,
        budget: int = BUDGET,
        fits: Callable[[PartCells], bool] = bool,
    ) -> None:
        self.corners = corners
        self.seams, self.progress, self.left, self.budget, self.fits = seams, progress, budget, budget, fits
        self.cuts = StraightCuts(seams, {}, {})
        self._known: dict[PartCells, Sections] = {}
        self._bounds: dict[PartCells, int] = {}
        self._orders: dict[PartCells, tuple[int, ...] | None] = {}

    def solve(self, part: PartCells) -> Sections:
        """Return the fewest sections of a part.

        Notes
        -----
        Exact by branch and bound over the lines straight through, until the budget is spent; a grid of n by n patches
        has n to the fourth parts, but its rows meet the bound at once.
        """
        if part not in self._known:
            self._known[part] = self._search(part)
        return self._known[part]

    def bound(self, part: PartCells) -> int:
        """Return a number of sections that no order of straight seams goes below."""
        if part not in self._bounds:
            self._bounds[part] = 1 + count_forced_joins(self.seams, self.cuts.list_inside(part))
        return self._bounds[part]

    def order(self, part: PartCells) -> tuple[int, ...] | None:
        """Return the order in which a part is sewn piece by piece, or None if it is not a section.

        A patch that one line cuts off can go last, whatever else can: taking it off leaves the others as they were.
        """
        if part not in self._orders:
            self._orders[part] = self._peel(part)
        return self._orders[part]

    def _peel(self, part: PartCells) -> tuple[int, ...] | None:
        if self.bound(part) > 1 or not self.fits(part):
            return None
        self.left -= len(part) // LARGE
        left, order = set(part), []
        while len(left) > 1:
            last = self._find_last(frozenset(left))
            if last is None:
                return None
            order.append(last)
            left.discard(last)
        return (*left, *reversed(order))

    def _find_last(self, part: PartCells) -> int | None:
        """Return the patch to add last: of those that a line cuts off, the one with the shortest seam."""
        found: list[tuple[float, int]] = []
        for cut in self.cuts.list_cuts(part):
            left = set(self.seams.cells[cut.pieces[0]]).intersection(*(self.seams.cells[p] for p in cut.pieces))
            for cell in left & part:
                beside = {piece for piece, other in self.cuts.beside[cell] if other in part}
                if beside == set(cut.pieces) and self._may_fold(cell, part - {cell}, cut.pieces):
                    found.append((round(sum(self.seams.lengths[p] for p in cut.pieces), 6), cell))
        return min(found)[1] if found else None

    def _search(self, part: PartCells) -> Sections:
        self.left -= 1
        report(self.progress, "sections", min(self.budget - self.left, self.budget), self.budget)
        if self.order(part) is not None:
            return Sections(1, exact=True)
        splits = self._list_splits(part)
        if not splits:
            return self._grow(part)
        least, best = self.bound(part), None
        for promise, split in splits:
            if best is not None and promise >= best.count:
                break
            found = [self.solve(half) for half in split.parts]
            count = sum(half.count for half in found)
            if best is None or count < best.count:
                best = Sections(count, exact=False, split=split)
            if best.count == least:
                return Sections(count, exact=all(half.exact for half in found), split=split)
            if self.left < 0:
                return best
        assert best is not None  # there was a split  # noqa: S101
        tried = [self._known[half] for promise, split in splits for half in split.parts if half in self._known]
        return Sections(best.count, all(half.exact for half in tried), best.split)

    def _list_splits(self, part: PartCells) -> list[tuple[int, Split]]:
        """Return the lines straight through a part with what their halves promise together, the best first."""
        found = []
        for cut in self.cuts.list_cuts(part):
            halves = self.cuts.divide(part, cut.pieces)
            if len(halves) > 1:
                promise = sum(self.bound(half) for half in halves)
                whole = sum(self.order(half) is not None for half in halves)
                found.append(
                    (
                        promise,
                        -whole,
                        abs(len(halves[0]) - len(halves[-1])),
                        Split(tuple(halves), cut.pieces, straight=True),
                    )
                )
        found.sort(key=lambda entry: entry[:3])
        return [(entry[0], entry[3]) for entry in found]

    def _grow(self, part: PartCells) -> Sections:
        """Return a part without a line straight through as the largest section that grows in it, and the rest."""
        best: tuple[int, ...] = ()
        cells = sorted(part)
        for seed in cells[:: max(1, len(cells) // SEEDS)]:
            report(self.progress, "sections", self.budget - max(self.left, 0), self.budget)
            grown = self._grow_from(seed, part)
            if len(grown) > len(best):
                best = grown
        section = frozenset(best)
        self._known[section] = Sections(1, exact=True)
        self._orders[section] = best
        opened = [piece for cell in best for piece, other in self.cuts.beside[cell] if other in part - section]
        rest = [half for half in self.cuts.divide(part, opened) if half != section]
        count = 1 + sum(self.solve(half).count for half in rest)
        return Sections(
            count, exact=count == self.bound(part), split=Split((section, *rest), tuple(opened), straight=False)
        )

    def _grow_from(self, seed: int, part: PartCells) -> tuple[int, ...]:
        """Return patches in an order in which each is added across one whole straight edge of those before."""
        grown, beside = [seed], {other for _, other in self.cuts.beside.get(seed, ())} & part
        while True:
            fitting = (cell for cell in sorted(beside) if self.fits(frozenset((*grown, cell))))
            added = next((cell for cell in fitting if self._may_add(cell, grown)), None)
            if added is None:
                return tuple(grown)
            grown.append(added)
            beside |= {other for _, other in self.cuts.beside[added]} & part
            beside -= set(grown)

    def _may_add(self, cell: int, grown: Sequence[int]) -> bool:
        """Return whether a patch meets others along one straight edge, and nowhere else in a point."""
        pieces = [piece for piece, other in self.cuts.beside[cell] if other in grown]
        if not pieces or not _is_one_line(self.seams, pieces):
            return False
        mine = {node for piece, _ in self.cuts.beside[cell] for node in self.seams.ends[piece]}
        theirs = {node for other in grown for piece, _ in self.cuts.beside[other] for node in self.seams.ends[piece]}
        along = {node for piece in pieces for node in self.seams.ends[piece]}
        return mine & theirs <= along and self._may_fold(cell, grown, pieces)

    def _may_fold(self, cell: int, sewn: Iterable[int], pieces: Sequence[int]) -> bool:
        """Return whether all that is sewn lies on one side of a line and the patch on the other."""
        nodes = self.seams.nodes
        (ax, ay), (bx, by) = (nodes[node] for node in self.seams.ends[pieces[0]])
        fine = FINE * max(1.0, abs(bx - ax) + abs(by - ay))

        def list_sides(cells: Iterable[int]) -> list[float]:
            return [
                (bx - ax) * (nodes[n][1] - ay) - (by - ay) * (nodes[n][0] - ax) for c in cells for n in self.corners[c]
            ]

        here, there = list_sides([cell]), list_sides(sewn)
        left, right = (min(here) >= -fine, max(there) <= fine), (max(here) <= fine, min(there) >= -fine)
        return all(left) or all(right)


def _is_one_line(seams: Seams, pieces: Sequence[int]) -> bool:
    """Return whether seam pieces follow one another in one straight line."""
    found, stack, all_of_them = {pieces[0]}, [pieces[0]], set(pieces)
    while stack:
        for onward in seams.onward[stack.pop()]:
            if onward in all_of_them and onward not in found:
                found.add(onward)
                stack.append(onward)
    return found == all_of_them
