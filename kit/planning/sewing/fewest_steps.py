"""The order of the lines straight through a top that needs the fewest written steps.

A line straight through costs nothing whenever it is opened, so the least set-in and partial seams do not depend on the
order of such lines; the number of written steps does. A part is opened along parallel lines at once (sewn as one list,
row by row) or along one line; equal parts are made once. Small parts are searched completely.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, islice, product
from typing import TypeAlias

from kit.geometry.turned_copies import TurnedReading
from kit.model.sewing import Assembly
from kit.planning.sewing.seams import Seams
from kit.planning.sewing.straight_cuts import PartCells, StraightCut, StraightCuts
from kit.planning.sewing.taking_apart import Opening
from kit.planning.sewing.written_steps import MOST, SHOWN
from kit.progress import Progress, keep_quiet, report

SMALL = 12
"""The most cells of a part for a search of single lines as well as parallel ones."""
KEPT = 6
"""The most ways of making a part that are kept for comparison with the rest of the top."""
DEEP = 120
"""The most parts within one another for a search; beyond it lines are taken in order."""
MIDDLE = 1 / 6
"""The farthest that a seam between halves may lie from the middle, by the size of the part."""

Marks: TypeAlias = frozenset[object]
"""What has to be made for a part: one mark for each written step."""
NOTHING: Marks = frozenset()


@dataclass(frozen=True, slots=True)
class _Choice:
    """A way of making a part: what has to be made, and for each part within it the parts that its lines leave."""

    made: Marks
    picks: Mapping[bytes, frozenset[PartCells]]


class FewestSteps:
    """Finds the order of straight lines with the fewest written steps.

    Parameters
    ----------
    seams
        The seams between the cells of a region.
    depths, frames
        As for `StraightCuts`.
    read
        Returns the reading of a set of cells, the same for turned copies, with the cells in corresponding order.
    assembly
        How the whole is to go together.
    strips_alone
        Take strips off one by one, as the blades of a braid are, never as one of a row.
    """

    def __init__(
        self,
        seams: Seams,
        depths: Mapping[int, int],
        frames: Mapping[int, int],
        read: Callable[[PartCells], TurnedReading],
        assembly: Assembly = "kit's choice",
        *,
        strips_alone: bool = False,
    ) -> None:
        self.seams, self.assembly, self.strips_alone = seams, assembly, strips_alone
        self.cuts = StraightCuts(seams, depths, frames)
        self._read = read
        self._readings: dict[PartCells, TurnedReading] = {}
        self._ways: dict[bytes, list[_Choice]] = {}
        self._first: dict[bytes, PartCells] = {}
        self._picked: dict[bytes, frozenset[PartCells]] = {}
        self.possible = True
        self.proved = True

    def find_openings(self, whole: PartCells, progress: Progress = keep_quiet) -> list[Opening]:
        """Return the lines to open, in order; parts that no straight line divides remain.

        `progress` is told how many pieces of seams are in order.

        Notes
        -----
        Near-linear where parallel lines share out the top; parts of at most `SMALL` cells are searched completely.
        """
        openings: list[Opening] = []
        stack = [(whole, True)]
        opened = 0
        while stack:
            part, body = stack.pop()
            if len(part) == 1:
                continue
            cuts, body = self._choose(part, body)
            cuts = self._begin_far_out(part, cuts)
            openings += [Opening("cut", cut.pieces, cut.nodes) for cut in cuts]
            opened += sum(len(cut.pieces) for cut in cuts)
            report(progress, "sewing", opened, len(self.seams.ends))
            stack += [(half, body) for half in self.cuts.divide(part, _join_pieces(cuts))] if cuts else []
        return openings

    def _choose(self, part: PartCells, body: bool) -> tuple[Sequence[StraightCut], bool]:
        """Return the lines to open next in a part, and whether the body of the top is still to be divided as wished."""
        cuts = self.cuts.list_cuts(part)
        taken_off = [cut for cut in cuts if cut.frame]
        if taken_off:
            return taken_off[:1], body
        if body and self.assembly not in ("kit's choice", "as composed", "blocks") and len(part) > 1:
            wished = self._divide_body(part, cuts)
            self.possible = self.possible and bool(wished)
            if wished:
                return wished, False
        if not cuts:
            return (), False
        options = self._list_options(cuts, part)
        if len(options) == 1:
            return options[0], False
        return self._pick(part, options), False

    def _begin_far_out(self, part: PartCells, cuts: Sequence[StraightCut]) -> Sequence[StraightCut]:
        """Return lines in the order that takes everything off the largest of their parts, one after another.

        Lines in several directions, those of quarters, keep their order: the first has to be open before the others.
        """
        if len(cuts) < 2 or len({cut.slope for cut in cuts}) > 1:
            return cuts
        halves = self.cuts.divide(part, _join_pieces(cuts))
        body = max(halves, key=len)
        if 2 * len(body) <= len(part):
            return cuts
        place = {cell: n for n, half in enumerate(halves) for cell in half}
        beside = [[place[cell] for cell in self.seams.cells[cut.pieces[0]]] for cut in cuts]
        far = {halves.index(body): 0}
        for _ in cuts:
            for one, other in beside:
                if one in far or other in far:
                    least = min(far.get(one, len(cuts)), far.get(other, len(cuts)))
                    far.setdefault(one, least + 1)
                    far.setdefault(other, least + 1)
        ways = [max(far.get(one, 0), far.get(other, 0)) for one, other in beside]
        return [cuts[k] for k in sorted(range(len(cuts)), key=lambda k: -ways[k])]

    def _pick(self, part: PartCells, options: Sequence[Sequence[StraightCut]]) -> Sequence[StraightCut]:
        """Return the lines of a part that the search has chosen for it or for a turned copy."""
        reading = self._reading(part)
        if reading.reading not in self._picked:
            for way in self._search(part, 0)[:1]:
                for key, halves in way.picks.items():
                    self._picked.setdefault(key, halves)
        if reading.reading not in self._picked:
            return options[0]
        first = self._reading(self._first[reading.reading])
        match = dict(zip(first.order, reading.order, strict=True))
        wanted = frozenset(frozenset(match[cell] for cell in half) for half in self._picked[reading.reading])
        left = {frozenset(self.cuts.divide(part, _join_pieces(option))): option for option in reversed(options)}
        return left.get(wanted, options[0])

    def _divide_body(self, part: PartCells, cuts: Sequence[StraightCut]) -> Sequence[StraightCut]:
        """Return the lines by which the body is divided as wished, empty if there are none."""
        if self.assembly == "rows":
            classes = [list(found) for _, found in groupby(cuts, key=lambda cut: cut.slope)]
            level = [found for found in classes if found[0].slope == 0.0]
            return level[0] if level else max(classes, key=len, default=())
        middle = self._find_middle(part, cuts)
        if not middle or self.assembly == "halves":
            return middle
        more = []
        for half in self.cuts.divide(part, middle[0].pieces):
            across = [cut for cut in self.cuts.list_cuts(half) if cut.slope != middle[0].slope]
            found = self._find_middle(part, across)
            if not found:
                return ()
            more += list(found)
        return [middle[0], *more]

    def _find_middle(self, part: PartCells, cuts: Sequence[StraightCut]) -> Sequence[StraightCut]:
        """Return the line nearest to the middle of a part, level before upright; none if all lie far from it."""
        nodes = [self.seams.nodes[node] for piece in self._list_edges(part) for node in self.seams.ends[piece]]
        if not nodes:
            return ()
        low, high = (tuple(pick(at[i] for at in nodes) for i in (0, 1)) for pick in (min, max))
        x, y = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
        size = max(high[0] - low[0], high[1] - low[1])

        def measure(cut: StraightCut) -> float:
            (ax, ay), (bx, by) = self.seams.nodes[cut.nodes[0]], self.seams.nodes[cut.nodes[-1]]
            length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
            return float(round(abs((bx - ax) * (ay - y) - (ax - x) * (by - ay)) / length, 3))

        near = min(cuts, key=lambda cut: (measure(cut), cut.slope), default=None)
        return [near] if near and measure(near) <= MIDDLE * size else ()

    def _list_edges(self, part: PartCells) -> set[int]:
        return {piece for cell in part for piece, _ in self.cuts.beside.get(cell, ())}

    def _reading(self, part: PartCells) -> TurnedReading:
        if part not in self._readings:
            self._readings[part] = self._read(part)
        return self._readings[part]

    def _list_options(self, cuts: Sequence[StraightCut], part: PartCells) -> list[Sequence[StraightCut]]:
        """Return the sets of lines that may be opened next: those that leave the most units whole, then sashes.

        A sash, or any strip, may also be one of a row: all lines beside it are opened with its own.
        """
        kept = _keep_best(cuts)
        options: list[Sequence[StraightCut]] = [list(found) for _, found in groupby(kept, key=lambda cut: cut.slope)]
        for strips in list(options) if len(part) <= SMALL and not self.strips_alone else ():
            row = [cut for cut in cuts if (cut.level, cut.slope) == (strips[0].level, strips[0].slope)]
            if len(strips) < len(row) and not strips[0].frame:
                options.append(row)
        if len(part) <= SMALL:
            options += [[cut] for cut in kept if [cut] not in options]
        elif len(kept) > 1:
            self.proved = False
        return options

    def _search(self, part: PartCells, depth: int) -> list[_Choice]:
        """Return the best ways of making a part, the fewest written steps first; empty if none were found."""
        if len(part) == 1:
            return [_Choice(NOTHING, {})]
        key = self._reading(part).reading
        if key in self._ways:
            return self._ways[key]
        self._first[key], self._ways[key] = part, []
        if depth > DEEP:
            self.proved = False
            return []
        ways = list(self._try_chain(part, key, depth))
        if not ways or len(part) <= SMALL:
            ways += self._try_options(part, key, depth)
        unique: dict[Marks, _Choice] = {}
        for way in ways:
            unique.setdefault(way.made, way)
        self._ways[key] = sorted(unique.values(), key=lambda way: len(way.made))[:KEPT]
        return self._ways[key]

    def _try_options(self, part: PartCells, key: bytes, depth: int) -> Iterator[_Choice]:
        """Yield the ways of making a part, by the lines that are opened first."""
        options = self._list_options(self.cuts.list_cuts(part), part)
        if not options:
            yield _Choice(frozenset([key]), {})
        for option in options:
            halves = self.cuts.divide(part, _join_pieces(option))
            kinds = {self._reading(half).reading: half for half in halves if len(half) > 1}
            found = [self._search(half, depth + 1) for half in kinds.values()]
            for several in islice(product(*found), KEPT * KEPT):
                picks = {name: pick for way in several for name, pick in way.picks.items()}
                yield _Choice(frozenset([key]).union(*(way.made for way in several)), {**picks, key: frozenset(halves)})

    def _try_chain(self, part: PartCells, key: bytes, depth: int) -> Iterator[_Choice]:
        """Yield the ways of making a part to which one piece or unit is added after another, as in a braid."""
        chain, rest = self._peel_chain(part)
        if len(chain) <= SHOWN:
            return
        marks = frozenset((key, n) for n in range(_count_lists(len(chain))))
        picks = {self._reading(whole).reading: halves for whole, halves in chain if len(whole) <= SMALL}
        taken_off = [min(halves, key=len) for _, halves in chain]
        kinds = {self._reading(half).reading: half for half in (rest, *taken_off) if len(half) > 1}
        found = [self._search(half, depth + 1) for half in kinds.values()]
        for several in islice(product(*found), KEPT * KEPT):
            inner = {name: pick for way in several for name, pick in way.picks.items()}
            for whole, _ in chain:
                if len(whole) <= SMALL:
                    self._first.setdefault(self._reading(whole).reading, whole)
            yield _Choice(marks.union(*(way.made for way in several)), {**inner, **picks})

    def _peel_chain(self, part: PartCells) -> tuple[list[tuple[PartCells, frozenset[PartCells]]], PartCells]:
        """Return the parts that each come of the next by one line while only one is best, with what it leaves of each.

        The second result is what is left at last.
        """
        chain: list[tuple[PartCells, frozenset[PartCells]]] = []
        while len(part) > 1:
            kept = _keep_best(self.cuts.list_cuts(part))
            if len(kept) != 1:
                break
            halves = frozenset(self.cuts.divide(part, kept[0].pieces))
            if 2 * len(min(halves, key=len)) > len(part) > 2 * SHOWN:
                break
            chain.append((part, halves))
            part = max(halves, key=lambda half: (len(half), sorted(half)))
        return chain, part


def _keep_best(cuts: Sequence[StraightCut]) -> list[StraightCut]:
    """Return the lines that take off a frame, or leave the most units whole, or lie along a sash."""
    best = min(((-cut.frame, cut.level, not cut.strip) for cut in cuts), default=None)
    return [cut for cut in cuts if (-cut.frame, cut.level, not cut.strip) == best]


def _join_pieces(cuts: Sequence[StraightCut]) -> list[int]:
    return [piece for cut in cuts for piece in cut.pieces]


def _count_lists(seams: int) -> int:
    """Return the number of written steps of seams that go round what is there."""
    return seams if seams <= SHOWN else SHOWN - (SHOWN - seams) // MOST
