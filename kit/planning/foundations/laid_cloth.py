"""The rectangle of cloth for each piece on a foundation."""

from collections.abc import Sequence
from math import atan2, ceil, cos, degrees, hypot, radians, sin

import shapely

from kit.geometry.blunted import grow_blunted
from kit.geometry.outlines import Outline, Point

FINE = 1e-6


def grow(outline: Sequence[Point], allowance: float) -> shapely.Polygon:
    """Return an outline with the allowance around it, its sharp corners cut off."""
    return shapely.Polygon(grow_blunted(outline, allowance))


def lay_rectangle(
    need: shapely.Polygon, line: tuple[Point, Point] | None, grain: float, allowance: float, ease: float, step: float
) -> tuple[Outline, float, float]:
    """Return the rectangle of cloth that covers a piece: its corners as it lies, its width and its height.

    Parameters
    ----------
    need
        What it has to cover, inches.
    line
        The line it is sewn along, the piece on the left; None for the first piece, which lies along the grain.
    grain
        Direction of the straight grain, degrees.
    allowance, ease, step
        Inches: the allowance beyond the line, what is added on the other sides, what sizes are rounded up to.
    """
    if line is None:
        way, (x0, y0) = radians(grain), need.exterior.coords[0]
    else:
        (x0, y0), (x1, y1) = line
        way = atan2(y1 - y0, x1 - x0)
    ux, uy = cos(way), sin(way)
    along = [(x - x0) * ux + (y - y0) * uy for x, y in need.exterior.coords]
    away = [(y - y0) * ux - (x - x0) * uy for x, y in need.exterior.coords]
    low, high = min(along) - ease, max(along) + ease
    bottom, top = (min(away) - ease if line is None else -allowance), max(away) + ease
    width, height = (ceil((b - a) / step - FINE) * step for a, b in ((low, high), (bottom, top)))
    low -= (width - (high - low)) / 2
    corners = ((low, bottom), (low + width, bottom), (low + width, bottom + height), (low, bottom + height))
    return tuple((x0 + a * ux - b * uy, y0 + a * uy + b * ux) for a, b in corners), width, height


def measure_off_grain(line: tuple[Point, Point] | None, grain: float) -> float:
    """Return the angle between a rectangle's edges and the straight grain, 0 to 45 degrees."""
    if line is None:
        return 0.0
    (ax, ay), (bx, by) = line
    off = abs(degrees(atan2(by - ay, bx - ax)) - grain) % 90
    return round(min(off, 90 - off), 6)


def order_line(ends: tuple[Point, Point], inside: Point) -> tuple[Point, Point]:
    """Return the ends of a line so that a point lies on its left."""
    (ax, ay), (bx, by) = ends
    left = (bx - ax) * (inside[1] - ay) - (by - ay) * (inside[0] - ax) > 0
    return ends if left else (ends[1], ends[0])


def find_far_ends(points: Sequence[Point]) -> tuple[Point, Point]:
    """Return the two of some points on a line that lie farthest apart."""
    first = points[0]
    one = max(points, key=lambda p: hypot(p[0] - first[0], p[1] - first[1]))
    other = max(points, key=lambda p: hypot(p[0] - one[0], p[1] - one[1]))
    return min(one, other), max(one, other)
