"""Names of cut shapes: the quilter's name of an outline, its measures for cutting, and its straight grain."""

from collections.abc import Sequence
from math import sqrt

from kit.geometry.congruence import ANGLE_TOLERANCE
from kit.geometry.outlines import TOLERANCE, Outline, measure_angles, measure_box, measure_edges
from kit.model.cutting import PieceKind

HALF_SQUARE: PieceKind = "half-square triangle"
QUARTER_SQUARE: PieceKind = "quarter-square triangle"


def name_shape(outline: Outline, grain: float) -> tuple[PieceKind, dict[str, float]]:
    """Name a cut outline and read its measures; its first edge is a longest one, at the bottom.

    Parameters
    ----------
    outline
        The cut outline.
    grain
        Direction of the straight grain in degrees from the first edge.
    """
    edges, angles = measure_edges(outline), measure_angles(outline)
    if len(outline) == 3:
        return _name_triangle(edges, angles, grain)
    if len(outline) == 4:
        return _name_quadrilateral(outline, edges, angles)
    return "template", _measure_template(outline)


def _name_triangle(edges: Sequence[float], angles: Sequence[float], grain: float) -> tuple[PieceKind, dict[str, float]]:
    right = [i for i, angle in enumerate(angles) if _near(angle, 90)]
    if right:
        corner = right[0]
        legs = sorted([edges[corner], edges[corner - 1]])
        if legs[1] - legs[0] > 4 * TOLERANCE:
            return "half-rectangle triangle", {"short leg": legs[0], "long leg": legs[1]}
        if is_square_to(grain):
            return QUARTER_SQUARE, {"square": max(edges)}
        return HALF_SQUARE, {"square": legs[1]}
    height = 2 * _triangle_area(edges) / edges[0]
    if all(_near(angle, 60) for angle in angles):
        return "60° triangle", {"strip": height, "side": edges[0]}
    return "template", {"width": edges[0], "height": height}


def _name_quadrilateral(
    outline: Outline, edges: Sequence[float], angles: Sequence[float]
) -> tuple[PieceKind, dict[str, float]]:
    if all(_near(angle, 90) for angle in angles):
        width, length = sorted(edges[:2])
        if length - width <= 4 * TOLERANCE:
            return "square", {"side": length}
        return "rectangle", {"width": width, "length": length}
    height = measure_box(outline)[3]
    level = _near(angles[0] + angles[1], 180), _near(angles[1] + angles[2], 180)
    if all(level):
        return "parallelogram", {"strip": height, "step": edges[0]}
    if level[1]:
        return "trapezoid", {"strip": height, "long side": edges[0], "short side": edges[2]}
    return "template", _measure_template(outline)


def _measure_template(outline: Outline) -> dict[str, float]:
    left, bottom, right, top = measure_box(outline)
    return {"width": right - left, "height": top - bottom}


def find_strip_grain(ring: Outline) -> float | None:
    """Return the grain of a shape cut from a strip, in degrees from its first edge; None for other shapes."""
    angles = measure_angles(ring)
    if len(ring) == 4 and _near(angles[1] + angles[2], 180):
        return 0.0
    if len(ring) == 3 and all(_near(angle, 60) for angle in angles):
        return 0.0
    if len(ring) == 3 and any(_near(angle, 90) for angle in angles) and not any(_near(angle, 45) for angle in angles):
        return angles[0]
    return None


def is_square_to(angle: float) -> bool:
    """Return True if an angle in degrees is a multiple of a right angle."""
    return abs((angle + 45) % 90 - 45) < ANGLE_TOLERANCE * 4


def _near(angle: float, target: float) -> bool:
    return abs(angle - target) < 4 * ANGLE_TOLERANCE


def _triangle_area(edges: Sequence[float]) -> float:
    """Return the area by Heron's formula."""
    a, b, c = sorted(edges, reverse=True)
    return 0.25 * sqrt((a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c)))
