"""The lines straight through a part of a top, and what lies on either side of them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from kit.planning.sewing.seams import Seams

PartCells: TypeAlias = frozenset[int]
"""A part of the top, by its cells."""

REMEMBERED = 100
"""The most cells of a part whose lines and halves are remembered."""


@dataclass(frozen=True, slots=True)
class StraightCut:
    """A line from one edge of a part straight through to another.

    Attributes
    ----------
    pieces, nodes
        The elementary pieces along it, and the junctions, one more.
    frame
        The number of the frame that it takes off, from 1; 0 for any other line.
    level
        The most groups that hold the patches on both sides of a piece: the fewer, the more units it leaves whole.
    strip
        Whether a single cell lies all along one side, such as a sash.
    slope, place
        Its direction in degrees, 0 to 180, and its distance from the origin as in `Seams.places`.
    """

    pieces: tuple[int, ...]
    nodes: tuple[int, ...]
    frame: int
    level: int
    strip: bool
    slope: float
    place: float

    @property
    def order(self) -> tuple[float, float, int]:
        """Lines in this order are opened; sewing goes the other way, from the top left."""
        return self.slope, self.place, self.pieces[0]


class StraightCuts:
    """Finds the lines straight through parts of one region.

    Parameters
    ----------
    seams
        The seams between its cells.
    depths
        For each cell the number of groups around it.
    frames
        For each cell the number of its frame, from the inside; cells of none are left out.
    """

    def __init__(self, seams: Seams, depths: Mapping[int, int], frames: Mapping[int, int]) -> None:
        self.seams, self.depths, self.frames = seams, depths, frames
        self._cuts: dict[PartCells, tuple[StraightCut, ...]] = {}
        self._halves: dict[tuple[PartCells, tuple[int, ...]], tuple[PartCells, ...]] = {}
        self.beside: dict[int, list[tuple[int, int]]] = {}
        for piece, (one, other) in enumerate(seams.cells):
            self.beside.setdefault(one, []).append((piece, other))
            self.beside.setdefault(other, []).append((piece, one))

    def list_inside(self, part: PartCells) -> set[int]:
        """Return the pieces between two cells of a part."""
        return {piece for cell in part for piece, other in self.beside.get(cell, ()) if other in part}

    def list_cuts(self, part: PartCells) -> tuple[StraightCut, ...]:
        """Return the lines straight through a part, in the order in which they would be opened.

        Notes
        -----
        O(k) for k pieces beside lines that end within the part.
        """
        known = self._cuts.get(part)
        if known is None:
            known = self._find_cuts(part)
            if len(part) <= REMEMBERED:
                self._cuts[part] = known
        return known

    def _find_cuts(self, part: PartCells) -> tuple[StraightCut, ...]:
        """Find the lines straight through a part."""
        seams, inside = self.seams, self.list_inside(part)
        outermost = max((self.frames.get(cell, 0) for cell in part), default=0) if self.frames else 0
        outer, rays = seams.outer, seams.rays
        loose = {node for piece in inside for node in seams.ends[piece]}
        loose = {node for node in loose if outer[node] or not inside.issuperset(rays[node])}
        found = []
        for piece in sorted(inside):
            for node in seams.ends[piece]:
                if node in loose:
                    line = self._follow(node, piece, loose)
                    if line and (line[0], line[1][0]) <= (line[0][::-1], line[1][-1]):
                        found.append(self._describe(*line, part, outermost))
        return tuple(sorted(found, key=lambda cut: cut.order))

    def _follow(self, node: int, piece: int, loose: set[int]) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
        """Return the straight line from a loose node to the next one, or None if it ends within the part."""
        ends, onward = self.seams.ends, self.seams.onward
        pieces, nodes = [piece], [node]
        while True:
            a, b = ends[piece]
            ahead = a == node
            node = b if ahead else a
            nodes.append(node)
            if node in loose:
                return tuple(pieces), tuple(nodes)
            piece = onward[piece][ahead]
            if piece < 0:
                return None
            pieces.append(piece)

    def _describe(
        self, pieces: tuple[int, ...], nodes: tuple[int, ...], part: PartCells, outermost: int
    ) -> StraightCut:
        seams = self.seams
        level = max(seams.levels[piece] for piece in pieces)
        beside = set(seams.cells[pieces[0]]).intersection(*(seams.cells[piece] for piece in pieces))
        strip = any(self.depths.get(cell, 0) <= level for cell in beside)
        frame = 0
        if outermost and any(self._lies_in(side, outermost) for side in self._list_sides(pieces, nodes)):
            halves = self.divide(part, pieces)
            frames = [{self.frames.get(cell, 0) for cell in half} for half in halves]
            frame = outermost * (len(halves) == 2 and frames[0] != frames[1] and {outermost} in frames)
        return StraightCut(pieces, nodes, frame, level, strip, seams.slopes[pieces[0]], seams.places[pieces[0]])

    def _list_sides(self, pieces: Sequence[int], nodes: Sequence[int]) -> tuple[set[int], set[int]]:
        """Return the cells on either side of a line."""
        left, right = set(), set()
        for piece, node in zip(pieces, nodes, strict=False):
            one, other = self.seams.cells[piece]
            ahead = self.seams.ends[piece][0] == node
            left.add(one if ahead else other)
            right.add(other if ahead else one)
        return left, right

    def _lies_in(self, cells: set[int], frame: int) -> bool:
        return all(self.frames.get(cell, 0) == frame for cell in cells)

    def divide(self, part: PartCells, opened: Sequence[int]) -> tuple[PartCells, ...]:
        """Return the parts that are left when some pieces are opened, in the order of their smallest cells."""
        if len(part) > REMEMBERED:
            return tuple(self._divide(part, set(opened)))
        key = part, tuple(opened)
        if key not in self._halves:
            self._halves[key] = tuple(self._divide(part, set(opened)))
        return self._halves[key]

    def _divide(self, part: PartCells, opened: set[int]) -> Iterator[PartCells]:
        beside, left = self.beside, set(part)
        for cell in sorted(part):
            if cell not in left:
                continue
            left.discard(cell)
            found, stack = [cell], [cell]
            while stack:
                for piece, other in beside.get(stack.pop(), ()):
                    if other in left and piece not in opened:
                        left.discard(other)
                        found.append(other)
                        stack.append(other)
            yield frozenset(found)
