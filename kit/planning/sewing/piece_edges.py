"""Numbers of the edges of patches: on the cut piece, in every copy of a unit, and in trimmed parts."""

from collections.abc import Sequence
from math import hypot

import numpy as np

from kit.errors import NoPlanError
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_area, measure_directions
from kit.geometry.turned_copies import PlacedItems
from kit.model.cutting import CutList, Piece
from kit.model.patchwork import Patch, Patchwork, Trim
from kit.model.sewing import Edge


class PieceEdges:
    """Counts edges as the steps name them.

    Parameters
    ----------
    patchwork
        The design.
    cuts
        Its cut list.
    trim_of
        The trimmed outline of each patch (by number) with its part, or None.

    Attributes
    ----------
    pieces
        The piece of each patch.
    turn
        For each patch, the edge of its sewn outline that is edge 0 of the piece, as it lies in its unit.
    spin
        For each patch, the shift in edge numbers between the trim of its copy and the first.
    items
        The patches in a form for comparison, as they lie in the finished top.
    sewn_items
        The same before any trim, for units of a part that is trimmed later: there a blade is a blade, wherever the
        trim will cut it.
    """

    def __init__(self, patchwork: Patchwork, cuts: CutList, trim_of: Sequence[Trim | None]) -> None:
        self.patches = patchwork.patches
        self.trim_of = trim_of
        self.number = {patch.id: i for i, patch in enumerate(self.patches)}
        self.pieces: list[Piece] = [cuts.piece_of[patch.id] for patch in self.patches]
        self.turn = [0] * len(self.patches)
        for piece in cuts.pieces:
            for patch, turn in zip(piece.patches, piece.turns, strict=True):
                self.turn[self.number[patch]] = turn
        self.spin = [0] * len(self.patches)
        self.items = _read_items(self.patches, self.pieces, self.turn, sewn=False)
        self.sewn_items = self.items
        if any(trim_of):
            self.sewn_items = _read_items(self.patches, self.pieces, self.turn, sewn=True)

    def label(self, i: int) -> tuple[int, ...]:
        """Return for each edge of a finished outline its edge of the sewn one; edges of a trim have higher numbers."""
        patch, n, trim = self.patches[i], len(self.pieces[i].outline), self.trim_of[i]
        if patch.sewn is None or trim is None:
            return tuple(range(n))
        return tuple(_label_edge(patch, j, n, trim) for j in range(len(patch.outline)))

    def number_edge(self, i: int, label: int) -> Edge:
        """Return the number of an edge on the cut piece."""
        n = len(self.pieces[i].outline)
        trim = self.trim_of[i]
        if label < n or trim is None:
            return Edge(self.patches[i].id, (label - self.turn[i]) % n)
        return Edge(self.patches[i].id, n + (label - n + self.spin[i]) % len(trim.outline))

    def mix_items(self, whole: Sequence[bool]) -> PlacedItems:
        """Return the patches in a form for comparison, those that are still whole as they are before their trim."""
        if not any(whole):
            return self.items
        return PlacedItems(
            *(
                np.where(whole, getattr(self.sewn_items, name), getattr(self.items, name))
                for name in ("labels", "places", "turns", "periods")
            )
        )

    def lay_alike(self, copies: Sequence[Sequence[int]], items: PlacedItems, *, rough: bool) -> None:
        """Count the edges of every copy from the corners that correspond to those of the first.

        A square looks the same after a quarter turn; in a copy of a unit it lies as in the first. `items` are the
        patches as they are when the unit is sewn; the copies of a `rough` one are trimmed later, each in its place.
        """
        first = copies[0]
        places = items.places[list(first)]
        far = int(np.argmax(np.abs(places - places[0])))
        for copy in copies[1:]:
            here = items.places[list(copy)]
            angle = float(np.degrees(np.angle((here[far] - here[0]) / (places[far] - places[0]))))
            for i, k in zip(first, copy, strict=True):
                if self.items.periods[k] < 360:
                    ours, theirs = (self.patches[m].sewn or self.patches[m].outline for m in (i, k))
                    self.turn[k] = (self.turn[i] + _count_steps(ours, theirs, angle)) % len(ours)
                ours_trim, their_trim = self.trim_of[i], self.trim_of[k]
                if ours_trim and their_trim and not rough:
                    self.spin[k] = self.spin[i] - _count_steps(ours_trim.outline, their_trim.outline, angle)


def _label_edge(patch: Patch, j: int, n: int, trim: Trim) -> int:
    """Return the edge of the sewn outline, or of the trim, under the j-th edge of a finished outline."""
    assert patch.sewn is not None  # only trimmed patches get here  # noqa: S101
    a, b = patch.outline[j], patch.outline[(j + 1) % len(patch.outline)]
    for outline, first in ((patch.sewn, 0), (trim.outline, n)):
        for k, p in enumerate(outline):
            if _lies_along(a, b, p, outline[(k + 1) % len(outline)]):
                return first + k
    raise NoPlanError(
        f"Edge {j} of patch `{patch.id}` lies neither on its sewn outline nor on its trim",
        needed="a finished outline equal to the sewn one after trimming",
        do="correct the design",
    )


def _count_steps(ours: Outline, theirs: Outline, angle: float) -> int:
    """Return the shift in edge numbers from the first outline, turned by degrees, to the second."""
    wanted = (measure_directions(ours)[0] + angle) % 360
    off = [abs((direction - wanted + 180) % 360 - 180) for direction in measure_directions(theirs)]
    return off.index(min(off))


def _lies_along(a: Point, b: Point, p: Point, q: Point) -> bool:
    """Return True if the edge from a to b lies on the line of the edge from p to q and runs the same way."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = hypot(dx, dy)
    off = [abs((x - p[0]) * dy - (y - p[1]) * dx) / length for x, y in (a, b)]
    return max(off) <= 4 * TOLERANCE and (b[0] - a[0]) * dx + (b[1] - a[1]) * dy > 0


def _read_items(patches: Sequence[Patch], pieces: Sequence[Piece], turns: Sequence[int], *, sewn: bool) -> PlacedItems:
    """Return the patches in a form for comparison: the piece, and its turn; finished or as they are sewn."""
    labels, places, directions, periods = [], [], [], []
    numbers: dict[tuple[str, int], int] = {}
    round_of: dict[str, float] = {}
    for patch, piece, turn in zip(patches, pieces, turns, strict=True):
        if piece.id not in round_of:
            round_of[piece.id] = _find_period(piece.outline)
        outline = patch.sewn or patch.outline
        (ax, ay), (bx, by) = outline[turn], outline[(turn + 1) % len(outline)]
        seen = outline if sewn else patch.outline
        area = int(measure_area(seen) * 1000 + 0.31)
        labels.append(numbers.setdefault((piece.id, area), len(numbers)))
        places.append(sum(complex(x, y) for x, y in seen) / len(seen))
        directions.append(float(np.degrees(np.arctan2(by - ay, bx - ax))))
        periods.append(round_of[piece.id])
    return PlacedItems(
        np.array(labels, dtype=np.int64),
        np.array(places, dtype=np.complex128),
        np.array(directions),
        np.array(periods),
    )


def _find_period(outline: Outline) -> float:
    """Return the turn in degrees that leaves an outline looking the same."""
    corners = np.array([complex(x, y) for x, y in outline])
    spokes = corners - corners.mean()
    n = len(spokes)
    for step in range(1, n):
        if n % step == 0:
            turn = np.roll(spokes, -step) / spokes
            if abs(turn - turn.mean()).max() * abs(spokes).max() < 4 * TOLERANCE:
                return 360.0 * step / n
    return 360.0
