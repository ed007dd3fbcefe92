"""Straight-edged outlines: measuring, offsetting, clipping and turning them.

An outline is a tuple of (x, y) corners in inches, counter-clockwise, x right and y up, the last corner
joined to the first.
"""

from collections.abc import Iterable, Sequence
from math import atan2, cos, dist, hypot, pi, radians, sin
from typing import TypeAlias

from kit.errors import PatchworkError

Point: TypeAlias = tuple[float, float]
Outline: TypeAlias = tuple[Point, ...]

TOLERANCE = 1e-5
"""The one geometric tolerance, in inches: corners nearer than this are one corner."""


def measure_area(outline: Sequence[Point]) -> float:
    """Return the signed area of an outline in square inches, positive when counter-clockwise.

    Examples
    --------
    >>> measure_area([(0, 0), (2, 0), (2, 3), (0, 3)])
    6.0
    """
    total = 0.0
    x0, y0 = outline[-1]
    for x1, y1 in outline:
        total += x0 * y1 - x1 * y0
        x0, y0 = x1, y1
    return total / 2


def tidy_outline(corners: Iterable[Sequence[float]], *, name: str = "outline") -> Outline:
    """Return the outline counter-clockwise, without repeated corners and corners within a straight edge.

    Raises
    ------
    PatchworkError
        Fewer than three corners remain, or a coordinate is not a finite number.

    Examples
    --------
    >>> tidy_outline([(0, 0), (0, 2), (1, 2), (2, 2), (2, 0), (0, 0)])
    ((2.0, 0.0), (2.0, 2.0), (0.0, 2.0), (0.0, 0.0))
    """
    points = _read_corners(corners, name)
    kept = _drop_straight_corners(_drop_repeats(points))
    if len(kept) < 3 or abs(measure_area(kept)) < TOLERANCE**2:
        raise PatchworkError(
            f"{name} encloses no area ({len(points)} corners given, {len(kept)} left after tidying)",
            needed="at least three corners that are not in one line",
            do="give the outline as (x, y) corners in inches",
        )
    return tuple(kept if measure_area(kept) > 0 else reversed(kept))


def _read_corners(corners: Iterable[Sequence[float]], name: str) -> list[Point]:
    try:
        points = [(float(x), float(y)) for x, y in corners]
    except (TypeError, ValueError) as error:
        raise PatchworkError(
            f"{name} holds a corner that is not a pair of numbers ({error})",
            needed="(x, y) pairs in inches",
            do="correct that corner",
        ) from None
    if not all(abs(x) < 1e6 and abs(y) < 1e6 for x, y in points):
        raise PatchworkError(
            f"{name} holds a coordinate that is not finite or is over a million inches",
            needed="finite numbers of inches",
            do="correct that corner",
        )
    return points


def _drop_repeats(points: Sequence[Point]) -> list[Point]:
    """Keep the first of each run of corners equal within the tolerance."""
    kept: list[Point] = []
    for point in points:
        if not kept or not _same(point, kept[-1]):
            kept.append(point)
    while len(kept) > 1 and _same(kept[0], kept[-1]):
        kept.pop()
    return kept


def _drop_straight_corners(points: list[Point]) -> list[Point]:
    """Drop every corner that lies within the tolerance of the line through its two neighbours."""
    kept = list(points)
    i = 0
    while len(kept) >= 3 and i < len(kept):
        (ax, ay), (bx, by), (cx, cy) = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
        span = hypot(cx - ax, cy - ay)
        off = abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))
        forward = (bx - ax) * (cx - bx) + (by - ay) * (cy - by) > 0
        if (off <= TOLERANCE * span and forward) or _same(kept[i - 1], kept[i]):
            del kept[i]
            i = max(i - 1, 0)
        else:
            i += 1
    return kept


def _same(p: Point, q: Point) -> bool:
    return abs(p[0] - q[0]) <= TOLERANCE and abs(p[1] - q[1]) <= TOLERANCE


def measure_edges(outline: Sequence[Point]) -> list[float]:
    """Return the length in inches of each edge; edge i runs from corner i to corner i + 1."""
    n = len(outline)
    return [hypot(outline[(i + 1) % n][0] - x, outline[(i + 1) % n][1] - y) for i, (x, y) in enumerate(outline)]


def measure_angles(outline: Sequence[Point]) -> list[float]:
    """Return the interior angle at each corner in degrees, 0 to 360.

    Examples
    --------
    >>> [round(angle) for angle in measure_angles([(0, 0), (1, 0), (0, 1)])]
    [90, 45, 45]
    """
    n = len(outline)
    angles = []
    for i, (x, y) in enumerate(outline):
        (px, py), (qx, qy) = outline[i - 1], outline[(i + 1) % n]
        turn = atan2(py - y, px - x) - atan2(qy - y, qx - x)
        angles.append((turn % (2 * pi)) * 180 / pi)
    return angles


def measure_directions(outline: Sequence[Point]) -> list[float]:
    """Return the direction of each edge in degrees counter-clockwise from x, 0 to 360."""
    n = len(outline)
    return [
        atan2(outline[(i + 1) % n][1] - y, outline[(i + 1) % n][0] - x) * 180 / pi % 360
        for i, (x, y) in enumerate(outline)
    ]


def offset_outline(outline: Sequence[Point], distance: float | Sequence[float]) -> Outline:
    """Move each edge outward by its distance and let neighbouring edges meet in a mitre.

    Each new corner is the crossing of the two moved edges of the old corner, so the outline keeps its corners, their
    order and its angles.

    Parameters
    ----------
    outline
        Counter-clockwise corners, inches, no two edges in one line at a corner.
    distance
        Inches outward for every edge, or one number per edge (edge i starts at corner i); negative moves inward.

    Examples
    --------
    >>> offset_outline([(0, 0), (2, 0), (2, 2), (0, 2)], 0.25)
    ((-0.25, -0.25), (2.25, -0.25), (2.25, 2.25), (-0.25, 2.25))
    """
    n = len(outline)
    shifts = [float(distance)] * n if isinstance(distance, int | float) else list(distance)
    normals = []
    for i, (x, y) in enumerate(outline):
        qx, qy = outline[(i + 1) % n]
        length = hypot(qx - x, qy - y)
        normals.append(((qy - y) / length, (x - qx) / length))
    moved = []
    for i, (x, y) in enumerate(outline):
        (ax, ay), (bx, by) = normals[i - 1], normals[i]
        da, db = shifts[i - 1], shifts[i]
        cross = ax * by - ay * bx
        moved.append((x + (da * by - db * ay) / cross, y + (db * ax - da * bx) / cross))
    return tuple(moved)


def clip_outline(outline: Sequence[Point], a: float, b: float, c: float) -> Outline:
    """Return the part of a convex outline where a·x + b·y <= c, empty if nothing is left.

    References
    ----------
    I. Sutherland, G. Hodgman, Reentrant polygon clipping, Communications of the ACM 17 (1974), p. 32 (from memory).
    """
    kept: list[Point] = []
    side = [a * x + b * y - c for x, y in outline]
    for i, point in enumerate(outline):
        before, here = side[i - 1], side[i]
        if before * here < 0 and abs(before) > TOLERANCE and abs(here) > TOLERANCE:
            t = before / (before - here)
            px, py = outline[i - 1]
            kept.append((px + t * (point[0] - px), py + t * (point[1] - py)))
        if here <= TOLERANCE:
            kept.append(point)
    kept = _drop_straight_corners(_drop_repeats(kept))
    return tuple(kept) if len(kept) >= 3 else ()


def make_rectangle(x: float, y: float, width: float, height: float) -> Outline:
    """Return the rectangle with its lower left corner at (x, y)."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def move_outline(outline: Sequence[Point], dx: float, dy: float) -> Outline:
    """Return the outline moved by (dx, dy)."""
    return tuple((x + dx, y + dy) for x, y in outline)


def turn_outline(outline: Sequence[Point], degrees: float, *, about: Point = (0.0, 0.0)) -> Outline:
    """Return the outline turned counter-clockwise about a point; quarter turns are exact.

    Examples
    --------
    >>> turn_outline([(1, 0)], 90)
    ((0.0, 1.0),)
    """
    quarter: dict[float, Point] = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}
    c, s = quarter.get(degrees % 360, (cos(radians(degrees)), sin(radians(degrees))))
    ox, oy = about
    return tuple((ox + c * (x - ox) - s * (y - oy), oy + s * (x - ox) + c * (y - oy)) for x, y in outline)


def mirror_outline(outline: Sequence[Point], *, axis: float = 0.0) -> Outline:
    """Return the mirror image in the vertical line x = axis, counter-clockwise again."""
    return tuple((2 * axis - x, y) for x, y in reversed(outline))


def lie_alike(outlines: Sequence[Sequence[Point]]) -> bool:
    """Return True if every outline is the first one moved, corner by corner, and none is turned."""
    (x, y), *_ = first = outlines[0]
    for outline in outlines[1:]:
        across, up = outline[0][0] - x, outline[0][1] - y
        if any(dist((a + across, b + up), other) > TOLERANCE for (a, b), other in zip(first, outline, strict=True)):
            return False
    return True


def measure_box(outline: Iterable[Point]) -> tuple[float, float, float, float]:
    """Return (left, bottom, right, top) of the smallest upright rectangle around the corners."""
    points = list(outline)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)
