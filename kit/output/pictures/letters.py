"""Letters on the patches of a picture, to tell fabrics apart without their colours."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from kit.geometry.mesh import Floats
from kit.geometry.outlines import Outline, Point, measure_box
from kit.model.colour import find_lightness, tint
from kit.model.sewing import Step
from kit.output.pictures.drawing import Dot, Drawing, Note
from kit.output.pictures.picture_sizes import Room, find_scale

MOST = 1.5
"""The greatest height of letters, in least heights."""
RIM = 0.85
"""Radius of the white disc under a letter, in heights of the letter."""
STOP, WIDER = 0.36, 1.4
"""Radius of a dot at which to stop, in least heights of a letter, and of its white rim, in radii of the dot."""
DROP = 0.36
"""A letter's foot lies so much of its height below the middle of its disc."""
PALE = 62.0
"""The least lightness with a contrast of 7 to 1 under black."""
GRID = 12
"""The number of places tried across an outline, and down."""
ALIKE = 0.03
"""Places with room that differs by no more than this share are equally good."""
CLOSER = 2
"""The number of further rounds with half as many places, close around the best."""


def letter_patches(drawing: Drawing, step: Step, letters: Mapping[str, str], room: Room, least: float) -> Drawing:
    """Return the picture of a step with a letter for the fabric, on a white disc, on every patch with enough room.

    A single added patch has its letter even if it is narrower, because the maker looks for it. The dots
    for stopping are large enough to show on the seam, with a white rim.

    Parameters
    ----------
    drawing
        Drawing of the step; labels of its polygons are patch ids.
    step
        The step.
    letters
        Patch id -> letter of its fabric.
    room
        The room of the picture on paper, millimetres.
    least
        Height of the smallest letter, millimetres.
    """
    low = least / find_scale(drawing.box, room)
    stops = [replace(dot, radius=max(dot.radius, STOP * low)) for dot in drawing.dots]
    busy = [(*arrow.points, 0.5 * arrow.head) for arrow in drawing.arrows]
    busy += [(dot.at, dot.at, WIDER * dot.radius) for dot in stops]
    dots, notes = [], []
    for polygon in drawing.polygons:
        left, bottom, right, top = measure_box(polygon.points)
        if min(right - left, top - bottom) < 2 * RIM * low and step.second != (polygon.label,):
            continue
        at, free = find_spot(polygon.points, busy)
        height = min(MOST * low, 0.95 * free / RIM)
        if height < low:
            if step.second != (polygon.label,):
                continue
            height = low
            at, _ = find_spot(polygon.points, [(a, b, more + RIM * height) for a, b, more in busy])
        dots.append(Dot(at, RIM * height, "#ffffff"))
        notes.append(Note((at[0], at[1] - DROP * height), letters[polygon.label], height))
    rims = [Dot(dot.at, WIDER * dot.radius, "#ffffff") for dot in stops]
    return replace(drawing, dots=(*dots, *rims, *stops), notes=(*drawing.notes, *notes))


def make_pale(colour: str) -> str:
    """Return a colour mixed with enough white for black letters to be readable on it.

    Examples
    --------
    >>> make_pale("#000000"), make_pale("#3d85a0")
    ('#cbcbcb', '#a8c8d4')
    """
    pale = tint(colour)
    while find_lightness(pale) < PALE:
        pale = tint(pale)
    return pale


def find_spot(outline: Outline, busy: Sequence[tuple[Point, Point, float]] = ()) -> tuple[Point, float]:
    """Return the place in an outline farthest from its edges and from drawn lines, and that distance.

    Try a grid of places within the box around it, then closer places around the best; take the middle of the corners,
    or the place nearest to it, if that is as good.

    Parameters
    ----------
    outline
        Corners, in order.
    busy
        Ends of lines to stay clear of, and by how much more than their middle; twice the same point for a dot.

    Examples
    --------
    >>> (x, y), free = find_spot(((0.0, 0.0), (8.0, 0.0), (8.0, 2.0), (0.0, 2.0)))
    >>> 1 < x < 7, abs(y - 1) < 0.1, 0.9 < free <= 1
    (True, True, True)
    """
    x, y = outline[0]
    moved = tuple((round(a - x, 6), round(b - y, 6)) for a, b in outline)
    shifted = tuple(((a[0] - x, a[1] - y), (b[0] - x, b[1] - y), more) for a, b, more in busy)
    at, free = _search(moved, shifted)
    return (at[0] + x, at[1] + y), free


@lru_cache(maxsize=4096)
def _search(outline: Outline, busy: tuple[tuple[Point, Point, float], ...]) -> tuple[Point, float]:
    """Do the work of `find_spot`, once for each shape of a top."""
    corners = np.array(outline)
    low, high = corners.min(axis=0), corners.max(axis=0)
    middle, span = corners.mean(axis=0), high - low
    places = np.vstack([middle, _spread((low + high) / 2, span, GRID)])
    for _ in range(CLOSER):
        free = _find_free(places, corners, busy)
        near = np.flatnonzero(free >= free.max() - ALIKE * abs(free.max()))
        best = near[np.argmin(np.hypot(*(places[near] - middle).T))]
        span = span / (GRID / 2)
        places = np.vstack([places[best], _spread(places[best], span, GRID // 2)])
    free = _find_free(places, corners, busy)
    best = 0 if free[0] >= free.max() - ALIKE * abs(free.max()) else int(np.argmax(free))
    return (float(places[best, 0]), float(places[best, 1])), float(free[best])


def _spread(middle: Floats, span: Floats, count: int) -> Floats:
    """Return places in rows and columns around a middle."""
    marks = (np.arange(count) + 0.5) / count - 0.5
    xs, ys = np.meshgrid(middle[0] + marks * span[0], middle[1] + marks * span[1])
    return np.column_stack([xs.ravel(), ys.ravel()])


def _find_free(places: Floats, corners: Floats, busy: Sequence[tuple[Point, Point, float]]) -> Floats:
    """Return the distance of each place from the edges and from drawn lines; a very low value outside."""
    ends = np.roll(corners, -1, axis=0)
    crossed = (corners[:, 1] > places[:, 1, None]) != (ends[:, 1] > places[:, 1, None])
    rise = np.where(ends[:, 1] == corners[:, 1], 1.0, ends[:, 1] - corners[:, 1])
    at = corners[:, 0] + (places[:, 1, None] - corners[:, 1]) / rise * (ends[:, 0] - corners[:, 0])
    inside = (crossed & (at > places[:, 0, None])).sum(axis=1) % 2 == 1
    free = np.min([_measure(places, a, b) for a, b in zip(corners, ends, strict=True)], axis=0)
    for a, b, more in busy:
        free = np.minimum(free, _measure(places, np.array(a), np.array(b)) - more)
    return np.where(inside, free, -np.inf)


def fit_letter(free: float, word: str) -> float:
    """Return the height of a letter or two with the given room on every side; a tenth of it stays free."""
    return 0.9 * free / (0.55 if len(word) == 1 else 0.4 * len(word))


def _measure(places: Floats, a: Floats, b: Floats) -> Floats:
    """Return the distance of each place from the line between two points."""
    along = b - a
    span = float(along @ along) or 1.0
    share = np.clip((places - a) @ along / span, 0.0, 1.0)
    return np.asarray(np.hypot(*(places - a - share[:, None] * along).T), dtype=np.float64)
