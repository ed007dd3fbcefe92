"""Pieces cut round a template along a strip, every second one turned head to foot or none: how much of it they take."""

from itertools import pairwise

from kit.geometry.outlines import Outline, measure_box

NEAR = 1e-7
"""Inches above or below a corner."""


def measure_head_to_foot(outline: Outline, count: int, size: tuple[float, float]) -> float:
    """Return the inches of strip that a number of pieces take, laid as near to one another as their outlines allow.

    Parameters
    ----------
    outline
        The outline of the template, as it stands on its page: its lower edge lies along the strip.
    count
        The number of pieces.
    size
        The box that is printed for it, along and across the strip: the outline is drawn as large.

    Examples
    --------
    >>> round(measure_head_to_foot(((0, 0), (2, 0), (1, 1)), 3, (2.0, 1.0)), 4)
    4.0
    """
    upright = _fill_box(outline, size)
    turned = tuple((size[0] - x, size[1] - y) for x, y in upright)
    there, back = _move_apart(upright, turned), _move_apart(turned, upright)
    pairs, odd = divmod(count - 1, 2)
    return size[0] + pairs * (there + back) + odd * min(there, back)


def measure_same_way_up(outline: Outline, count: int, size: tuple[float, float]) -> float:
    """Return the same of pieces none of which is turned, as a nap or a one-way print needs them.

    Examples
    --------
    >>> round(measure_same_way_up(((0, 0), (2, 0), (1, 1)), 3, (2.0, 1.0)), 4)
    6.0
    """
    upright = _fill_box(outline, size)
    return size[0] + (count - 1) * _move_apart(upright, upright)


def _fill_box(outline: Outline, size: tuple[float, float]) -> Outline:
    left, bottom, right, top = measure_box(outline)
    grow = size[0] / (right - left), size[1] / (top - bottom)
    return tuple(((x - left) * grow[0], (y - bottom) * grow[1]) for x, y in outline)


def _move_apart(one: Outline, other: Outline) -> float:
    """Return how far to the right another outline has to begin so that it lies beside the first one.

    Sides are straight between corners, so it is enough to look just above and just below the height of each corner.
    """
    heights = sorted({y for _, y in (*one, *other)})
    apart = []
    for low, high in pairwise(heights):
        if high - low > 3 * NEAR:
            apart += [_cross(one, at)[1] - _cross(other, at)[0] for at in (low + NEAR, high - NEAR)]
    return max(apart)


def _cross(outline: Outline, height: float) -> tuple[float, float]:
    """Return where a level line, not through a corner, enters an outline and where it leaves it for good."""
    found = [
        x0 + (x1 - x0) * (height - y0) / (y1 - y0)
        for (x0, y0), (x1, y1) in pairwise((*outline, outline[0]))
        if min(y0, y1) <= height <= max(y0, y1)
    ]
    return min(found), max(found)
