"""The outline of shapes that lie together, and the narrowest box round an outline, however it lies."""

from collections.abc import Sequence

from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline, measure_box, measure_directions, tidy_outline, turn_outline


def trace_together(outlines: Sequence[Outline]) -> Outline:
    """Return the outer loop of outlines that meet along their edges, without corners within an edge.

    Parameters
    ----------
    outlines
        Of shapes that hang together, inches.

    Examples
    --------
    >>> trace_together([((0, 0), (2, 0), (2, 2), (0, 2)), ((2, 0), (4, 0), (4, 2), (2, 2))])
    ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0))
    """
    loop = max(build_mesh(outlines).trace_outside(), key=_measure_reach)
    outline = tidy_outline(loop)
    low = min(range(len(outline)), key=lambda i: (round(outline[i][1], 6), round(outline[i][0], 6)))
    return outline[low:] + outline[:low]


def measure_least_box(outline: Outline) -> tuple[float, float]:
    """Return width and height in inches of the smallest box along one of the edges, the first edge that has it.

    Examples
    --------
    >>> from kit.geometry.outlines import turn_outline
    >>> [round(side, 6) for side in measure_least_box(turn_outline(((0, 0), (5, 0), (5, 2), (0, 2)), 30))]
    [5.0, 2.0]
    """
    boxes = []
    for direction in [0.0, *measure_directions(outline)]:
        left, bottom, right, top = measure_box(turn_outline(outline, -direction))
        boxes.append((round((right - left) * (top - bottom), 6), right - left, top - bottom))
    least = min(area for area, _, _ in boxes)
    return next((width, height) for area, width, height in boxes if area == least)


def _measure_reach(loop: Outline) -> float:
    left, bottom, right, top = measure_box(loop)
    return (right - left) * (top - bottom)
