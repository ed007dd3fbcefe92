"""The ruler's figures of a unit: along its own sides if it is slanted in the top, or as it lies."""

from collections.abc import Sequence

from kit.geometry.congruence import ANGLE_TOLERANCE
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import (
    Outline,
    measure_box,
    measure_directions,
    measure_edges,
    offset_outline,
    tidy_outline,
    turn_outline,
)

LEVEL = 0.65
"""A unit is measured as it lies if its level sides come to this share of those in any other direction; this figure
includes a triangle with its long side level."""


def measure_aslant(outlines: Sequence[Outline], allowance: float) -> tuple[float, float] | None:
    """Return the unfinished size along a unit's own sides, the smaller figure first; None if it is measured level.

    A unit is measured as it lies in the top if its level and upright sides are long; a unit with only a level end,
    such as a diagonal row, is measured along the main direction of its outline, or across it.

    Parameters
    ----------
    outlines
        Finished outlines of the patches of one copy, as they lie in the top.
    allowance
        Inches.
    """
    outline = _trace(outlines)
    edges, ways = measure_edges(outline), measure_directions(outline)

    def add_up(way: float) -> float:
        return sum(edge for edge, other in zip(edges, ways, strict=True) if _differ(way, other) < ANGLE_TOLERANCE)

    sides = sorted(zip(edges, ways, strict=True), reverse=True)
    most, _, way = max(((add_up(way), edge, way) for edge, way in sides), key=lambda side: side[:2], default=(0.0,) * 3)
    if add_up(0.0) >= LEVEL * most:
        return None
    left, bottom, right, top = _grow(turn_outline(outline, -way), allowance)
    wide, high = measure_level(outlines, allowance)
    if (right - left) * (top - bottom) >= wide * high:  # a row between zigzag edges has no long side of its own
        return None
    return min(right - left, top - bottom), max(right - left, top - bottom)


def _differ(way: float, other: float) -> float:
    """Return the difference of two directions in degrees, apart from right angles."""
    return abs((way - other + 45) % 90 - 45)


def measure_level(outlines: Sequence[Outline], allowance: float) -> tuple[float, float]:
    """Return the unfinished width and height of the patches in the top."""
    left, bottom, right, top = _grow(_trace(outlines), allowance)
    return right - left, top - bottom


def _trace(outlines: Sequence[Outline]) -> Outline:
    """Return the single outline around some patches, empty if there are several or none."""
    loops = build_mesh(list(outlines)).trace_outside() if outlines else ()
    return tidy_outline(loops[0]) if len(loops) == 1 else ()


def _grow(outline: Outline, allowance: float) -> tuple[float, float, float, float]:
    return measure_box(offset_outline(outline, allowance))
