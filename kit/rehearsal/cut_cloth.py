"""Cut cloth for the rehearsal: the seam lines of a piece, its turns that look alike, and its part after a trim.

Points are complex numbers (x + iy, inches) in the frame of the piece's cut outline; a rigid move is z·p + w, |z| = 1.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isfinite

from kit.geometry.outlines import TOLERANCE, Outline

REACH = 4 * TOLERANCE
"""Inches: the tolerance of lines and lengths of different pieces; each corner may be off by one tolerance."""


class CannotSewError(Exception):
    """An instruction that the cloth does not allow; the message gives the reason and both figures."""


@dataclass(frozen=True)
class CutPiece:
    """A piece of cloth by its seam lines.

    Attributes
    ----------
    corners
        Corners of the finished shape, counter-clockwise.
    labels
        Label of the edge that starts at each corner: the number of the cut edge, or for the j-th edge of a trim
        the number of edges before it plus j.
    lines
        Label -> a point on the edge's line and its direction; lengths along an edge count from that point.
    edges
        The number of edges of the cut piece.
    """

    corners: tuple[complex, ...]
    labels: tuple[int, ...]
    lines: dict[int, tuple[complex, complex]]
    edges: int

    @cached_property
    def ends(self) -> dict[int, tuple[complex, complex]]:
        """Label -> both ends of that edge."""
        after = self.corners[1:] + self.corners[:1]
        return {label: (a, b) for label, a, b in zip(self.labels, self.corners, after, strict=True)}

    @cached_property
    def spans(self) -> dict[int, tuple[float, float]]:
        """Label -> start and end of the edge on its line, inches."""
        return {
            label: (along(a, *self.lines[label]), along(b, *self.lines[label])) for label, (a, b) in self.ends.items()
        }

    @property
    def trimmed(self) -> tuple[int, ...]:
        """Labels of the edges made by a trim."""
        return tuple(label for label in self.labels if label >= self.edges)

    @cached_property
    def alike(self) -> int:
        """The turn, in edges, that leaves the shape looking the same; all its edges if there is no smaller turn."""
        n = len(self.corners)
        middle = sum(self.corners) / n
        spokes = [corner - middle for corner in self.corners]
        longest = max(abs(spoke) for spoke in spokes)
        for step in range(1, n):
            turn = spokes[step] / spokes[0] if spokes[0] else 0
            if n % step == 0 and all(
                abs(spokes[(i + step) % n] - turn * spoke) <= REACH * max(1.0, longest)
                for i, spoke in enumerate(spokes)
            ):
                return step
        return n


def along(point: complex, origin: complex, direction: complex) -> float:
    """Return the distance of a point along a line, inches."""
    return ((point - origin) * direction.conjugate()).real


def across(point: complex, origin: complex, direction: complex) -> float:
    """Return the distance of a point to the left of a line, inches."""
    return ((point - origin) * direction.conjugate()).imag


def as_points(outline: Outline) -> list[complex]:
    """Return an outline's corners as complex numbers."""
    return [complex(x, y) for x, y in outline]


def measure_inside(corners: Sequence[complex]) -> float:
    """Return the area inside corners, square inches; negative if they run clockwise."""
    return sum((a.conjugate() * b).imag for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)) / 2


def move_in(corners: Sequence[complex], distance: float) -> list[complex]:
    """Move every edge of a counter-clockwise outline inward and let neighbours meet.

    Raises
    ------
    CannotSewError
        An edge used up by the move.
    """
    n = len(corners)
    if n < 3 or not all(isfinite(abs(corner)) for corner in corners):
        raise CannotSewError(f"its outline has {n} corners, or one that is not a number")
    if measure_inside(corners) <= 0:
        raise CannotSewError("its outline runs clockwise, as if it lay wrong side up")
    runs = [corners[(i + 1) % n] - corner for i, corner in enumerate(corners)]
    if min(abs(run) for run in runs) < TOLERANCE:
        raise CannotSewError("it has an edge without length")
    units = [run / abs(run) for run in runs]
    moved = []
    for i, corner in enumerate(corners):
        before, here = units[i - 1], units[i]
        cross = (before.conjugate() * here).imag
        if abs(cross) < TOLERANCE:
            raise CannotSewError(f"its corner {i} is straight")
        moved.append(corner + distance * (here - before) / cross)
    for i, unit in enumerate(units):
        left = along(moved[(i + 1) % n], moved[i], unit)
        if left < TOLERANCE:
            raise CannotSewError(
                f"its edge {i} is cut {abs(runs[i]):.4f} in long, used up by the allowances of {distance:g} in"
            )
    return moved


def cut_cloth(outline: Outline, allowance: float) -> CutPiece:
    """Return the cloth of a cut outline: its seam lines are its edges moved in by the allowance."""
    corners = tuple(move_in(as_points(outline), allowance))
    after = corners[1:] + corners[:1]
    lines = {i: (a, (b - a) / abs(b - a)) for i, (a, b) in enumerate(zip(corners, after, strict=True))}
    return CutPiece(corners, tuple(range(len(corners))), lines, len(corners))


def trim_cloth(cloth: CutPiece, outline: Sequence[complex]) -> CutPiece | None:
    """Return the part of a piece inside a convex outline of seam lines in the cloth's own frame; None for nothing."""
    ring = list(zip(cloth.corners, cloth.labels, strict=True))
    lines = dict(cloth.lines)
    first = max(lines) + 1
    for j, corner in enumerate(outline):
        after = outline[(j + 1) % len(outline)]
        direction = (after - corner) / abs(after - corner)
        lines[first + j] = (corner, direction)
        ring = _clip(ring, corner, direction, first + j)
        if len(ring) < 3:
            return None
    kept = {label for _, label in ring} | set(range(cloth.edges))
    corners = tuple(point for point, _ in ring)
    if len(corners) == len(cloth.corners) and max(map(abs, _subtract(corners, cloth.corners))) < TOLERANCE:
        return cloth
    labels = tuple(label for _, label in ring)
    return CutPiece(corners, labels, {label: line for label, line in lines.items() if label in kept}, cloth.edges)


def _subtract(a: Sequence[complex], b: Sequence[complex]) -> list[complex]:
    return [p - q for p, q in zip(a, b, strict=True)]


def _clip(
    ring: Sequence[tuple[complex, int]], origin: complex, direction: complex, label: int
) -> list[tuple[complex, int]]:
    """Keep the part to the left of a line; the new edge along it gets the label."""
    sides = [across(point, origin, direction) for point, _ in ring]
    kept: list[tuple[complex, int]] = []
    for i, (point, name) in enumerate(ring):
        j = (i + 1) % len(ring)
        here, there = sides[i], sides[j]
        inside, onward = here >= -TOLERANCE, there >= -TOLERANCE
        crossing = point + (ring[j][0] - point) * (here / (here - there)) if here != there else point
        if inside and onward:
            kept.append((point, name))
        elif inside:
            if here > TOLERANCE:
                kept.append((point, name))
            kept.append((crossing if here > TOLERANCE else point, label))
        elif onward and there > TOLERANCE:
            kept.append((crossing, name))
    return [(p, name) for k, (p, name) in enumerate(kept) if abs(kept[(k + 1) % len(kept)][0] - p) > TOLERANCE]
