"""Seams that run from edge to edge of a part and turn at set-in corners, such as those between two rows of blocks.

Where no line runs straight through, a junction that costs a set-in seam in any case may be opened as soon as a line
reaches it. Opened one after another along a path from edge to edge they are one seam with its stops: row is sewn to
row.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import TypeAlias

from kit.planning.sewing.seams import Seams

Leg: TypeAlias = tuple[int, int]
"""A straight stretch of a path: its first node, and its first piece."""

PathStretch: TypeAlias = tuple[Sequence[int], Sequence[int], bool]
"""The pieces of a straight stretch, the nodes at their ends, and whether the last is the end of an opened line."""

LONGEST = 2_000
"""The most pieces of a path that are followed."""
STRAIGHT_ENOUGH = 1.35
"""The length of a path by the distance of its ends, up to which it counts as straight: a zigzag of 120° has 1.15."""
LEAN, ROUNDED = 1.0001, 0.1
"""A path half a degree off the level is longer than its level reach by less than this factor; a rounded tenth."""
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


def bound_bent_seam(seams: Seams, node: int, piece: int) -> BentSeam:
    """Return a path that is at least as good as any that begins with a piece at a node, without following one.

    A path that runs level or upright is no longer than the seams reach on from its start in those directions.
    """
    x, y = seams.nodes[node]
    left, bottom, right, top = seams.box
    reach = max(x - left, right - x, y - bottom, top - y) * LEAN + ROUNDED
    return BentSeam(
        level=seams.levels[piece],
        broken=False,
        bend=1.0,
        aslant=False,
        chord=-round(reach, 1),
        slope=0.0,
        place=float("-inf"),
        legs=((node, piece),),
    )


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
        seams, opened, passed = self.seams, self.opened, self.passed
        x, y = seams.nodes[self.start]
        node, legs = self.start, [(self.start, piece)]
        found = self._walk(node, piece)
        while found is not None:
            pieces, nodes, through = found
            self.pieces += pieces
            passed.update(nodes)
            node, last = nodes[-1], pieces[-1]
            if through or len(self.pieces) >= LONGEST:
                break
            ways = [
                (way, on)
                for way in seams.rays[node]
                if way != last and not opened[way] and (on := self._walk(node, way)) is not None
            ]
            if not ways:
                break
            if len(ways) == 1:
                piece, found = ways[0]
            else:
                nx, ny = seams.nodes[node]
                heading = degrees(atan2(ny - y, nx - x))
                piece, found = ways[self._choose(node, [way for way, _ in ways], heading, side)]
            legs.append((node, piece))
        return self._describe(node, tuple(legs), broken=found is None or not found[2])

    def _walk(self, node: int, piece: int) -> PathStretch | None:
        """Return the straight stretch from a node to the next end of an opened line; None if it may not be opened."""
        seams, loose, passed = self.seams, self.loose, self.passed
        a, b = seams.ends[piece]
        ahead = a == node
        node = b if ahead else a
        if loose[node] or node in passed:
            return (piece,), (node,), True
        beyond = seams.onward[piece][ahead]
        if beyond < 0:
            return ((piece,), (node,), False) if seams.sharp[node] else None
        pieces, nodes = [piece], [node]
        while beyond >= 0:
            pieces.append(beyond)
            a, b = seams.ends[beyond]
            ahead = a == node
            node = b if ahead else a
            nodes.append(node)
            if loose[node] or node in passed:
                return pieces, nodes, True
            beyond = seams.onward[beyond][ahead]
        return (pieces, nodes, False) if seams.sharp[node] else None

    def _choose(self, node: int, ways: Sequence[int], heading: float, side: int) -> int:
        """Return the place of the way on that is nearest to the heading."""
        ends, bearings = self.seams.ends, self.seams.bearings
        turns = [(bearings[way][ends[way][0] != node] - heading + 180) % 360 - 180 for way in ways]
        least = min(map(abs, turns)) + ALIKE
        near = [i for i, turn in enumerate(turns) if abs(turn) <= least]
        if len(near) == 1:
            return near[0]
        self.in_doubt = True
        return max(near, key=lambda i: (turns[i] * side, -ways[i]))

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
