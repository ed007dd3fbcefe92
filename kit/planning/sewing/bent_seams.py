"""Seams that run from edge to edge of a part and turn at set-in corners, such as those between two rows of blocks.

Where no line runs straight through, a junction that costs a set-in seam in any case may be opened as soon as a line
reaches it. Opened one after another along a path from edge to edge they are one seam with its stops: row is sewn to
row.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import TypeAlias

from kit.planning.sewing.seams import Seams

Leg: TypeAlias = tuple[int, int]
"""A straight stretch of a path: its first node, and its first piece."""

LONGEST = 2_000
"""The most pieces of a path that are followed."""
STRAIGHT_ENOUGH = 1.35
"""The length of a path by the distance of its ends, up to which it counts as straight: a zigzag of 120° has 1.15."""
ALIKE = 10.0
"""Degrees: two ways on that differ less from the heading are alike; both are tried."""


@dataclass(frozen=True, slots=True, order=True)
class BentSeam:
    """A path through a part, for comparison: the better comes first.

    Attributes
    ----------
    level
        The most groups on both sides of one of its pieces.
    broken
        Whether it ends within the part.
    bend
        Its length by the distance of its ends, one decimal; 1 for all that are straight enough.
    aslant
        Whether it runs neither level nor upright.
    chord
        The distance of its ends in inches, negative.
    slope, place
        The direction of that line, and its distance from the origin as in `Seams.places`.
    legs
        Its straight stretches, from the first on.
    """

    level: int
    broken: bool
    bend: float
    aslant: bool
    chord: float
    slope: float
    place: float
    legs: tuple[Leg, ...]


def find_bent_seam(seams: Seams, loose: Sequence[int], opened: Sequence[int], node: int, piece: int) -> BentSeam:
    """Return the best path that begins with a piece at a loose node.

    At each junction without a line straight through it goes on as nearly as possible toward where it is heading.

    Parameters
    ----------
    seams
        The seams.
    loose, opened
        For each node and piece whether it is.
    node, piece
        Where the path begins.

    Notes
    -----
    O(k) for k pieces, at most `LONGEST`.
    """
    path = _Path(seams, loose, opened, node)
    found = path.follow(piece, 1)
    return min(found, _Path(seams, loose, opened, node).follow(piece, -1)) if path.in_doubt else found


class _Path:
    """Follows one path."""

    def __init__(self, seams: Seams, loose: Sequence[int], opened: Sequence[int], node: int) -> None:
        self.seams, self.loose, self.opened = seams, loose, opened
        self.start = node
        self.passed = {node}
        self.pieces: list[int] = []
        self.in_doubt = False

    def follow(self, piece: int, side: int) -> BentSeam:
        """Follow the path; `side` is the side to turn to where two ways on are alike."""
        node, legs, through = self.start, [(self.start, piece)], False
        while len(self.pieces) < LONGEST:
            found = self._walk(node, piece)
            if found is None:
                break
            pieces, nodes, through = found
            self.pieces += pieces
            self.passed.update(nodes)
            node = nodes[-1]
            if through:
                break
            ways = list(self._list_ways(node, pieces[-1]))
            if not ways:
                break
            piece = self._choose(node, ways, side)
            legs.append((node, piece))
        return self._describe(node, tuple(legs), broken=not through)

    def _walk(self, node: int, piece: int) -> tuple[list[int], list[int], bool] | None:
        """Return the straight stretch from a node to the next end of an opened line; None if it may not be opened."""
        pieces, nodes = [piece], []
        while True:
            node = self.seams.far(piece, node)
            nodes.append(node)
            if self.loose[node] or node in self.passed:
                return pieces, nodes, True
            piece = self.seams.beyond(piece, node)
            if piece < 0:
                return (pieces, nodes, False) if self.seams.sharp[node] else None
            pieces.append(piece)

    def _list_ways(self, node: int, last: int) -> Iterator[int]:
        for piece in self.seams.rays[node]:
            if piece != last and not self.opened[piece] and self._walk(node, piece) is not None:
                yield piece

    def _choose(self, node: int, ways: Sequence[int], side: int) -> int:
        """Return the way on that is nearest to the heading."""
        heading = self._point(self.start, node)
        turns = {piece: self._turn(heading, node, piece) for piece in ways}
        least = min(abs(turn) for turn in turns.values())
        near = [piece for piece in ways if abs(turns[piece]) <= least + ALIKE]
        self.in_doubt = self.in_doubt or len(near) > 1
        return max(near, key=lambda piece: (turns[piece] * side, -piece))

    def _turn(self, heading: float, node: int, piece: int) -> float:
        return (self._point(node, self.seams.far(piece, node)) - heading + 180) % 360 - 180

    def _point(self, a: int, b: int) -> float:
        (ax, ay), (bx, by) = self.seams.nodes[a], self.seams.nodes[b]
        return degrees(atan2(by - ay, bx - ax))

    def _describe(self, node: int, legs: tuple[Leg, ...], *, broken: bool) -> BentSeam:
        (ax, ay), (bx, by) = self.seams.nodes[self.start], self.seams.nodes[node]
        chord = hypot(bx - ax, by - ay)
        length = sum(self.seams.lengths[piece] for piece in self.pieces)
        bend = length / chord if chord > 0 else float("inf")
        slope = round(degrees(atan2(by - ay, bx - ax)) % 180) % 180
        place = (ax * (by - ay) - ay * (bx - ax)) / chord if chord > 0 else 0.0
        return BentSeam(
            max((self.seams.levels[piece] for piece in self.pieces), default=0),
            broken,
            1.0 if bend <= STRAIGHT_ENOUGH else round(bend, 1),
            slope not in (0, 90),
            -round(chord, 1),
            float(slope),
            round(-place if bx < ax or (bx == ax and by < ay) else place, 2),
            legs,
        )
