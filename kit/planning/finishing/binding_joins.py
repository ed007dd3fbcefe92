"""The places of the joins of a binding on the quilt, and the beginning that keeps them off the corners."""

from collections.abc import Sequence

from kit.lengths import SLACK
from kit.model.finishing_parts import BindingJoin
from kit.model.frames import Side

STEP = 0.25
"""Inches between the places that are tried."""
SIDES: tuple[Side, ...] = ("bottom", "left", "top", "right")
"""In the order in which the binding is sewn on: clockwise as the front is seen, the quilt at the left of the needle."""


def place_joins(
    size: tuple[float, float], marks: Sequence[float], seam: float, clear: float, spare: float
) -> tuple[float, tuple[BindingJoin, ...]]:
    """Choose the beginning, and the cut off the first strip, so that joins keep away from the corners.

    The joins keep the same distance from the closing join. Try every place along the bottom and the left side; the
    other two are the same by symmetry. If no place is good enough, cut the first strip shorter, quarter inch by quarter
    inch, while there is length to spare.

    Parameters
    ----------
    size
        Finished (width, height) of the quilt.
    marks
        Inches along the joined strip of every join but the closing one.
    seam
        The depth of the binding's seam; each mitred corner takes twice that.
    clear
        The wanted distance of joins from a corner; a larger distance is as good.
    spare
        The most to cut off, inches.

    Returns
    -------
    tuple
        The length cut off the first strip, and the joins on the quilt, the closing one last.

    Notes
    -----
    O(perimeter · joins) for each length tried. Going clockwise from the lower right corner.
    """
    most = min(spare, marks[0] / 2) if marks else 0.0
    best = (-1.0, 0.0, 0.0)
    chosen = (0.0, 0.0)
    for cut in (k * STEP for k in range(int(max(0.0, most) / STEP) + 1)):
        for start in (k * STEP for k in range(int((size[0] + size[1]) / STEP))):
            places = [start, *_walk(size, [mark - cut for mark in marks], seam, start)]
            reach = min(clear, *(_to_corner(size, place) for place in places), *_to_closing(size, places))
            key = (round(reach, 6), -cut, -abs(start - size[0] / 2))
            if key > best:
                best, chosen = key, (cut, start)
        if best[0] >= clear - SLACK:
            break
    cut, start = chosen
    places = _walk(size, [mark - cut for mark in marks], seam, start)
    joins = [_describe(size, place, closing=False) for place in places]
    return cut, (*joins, _describe(size, start, closing=True))


def _corners(size: tuple[float, float]) -> tuple[float, ...]:
    width, height = size
    return (0.0, width, width + height, 2 * width + height, 2 * (width + height))


def _walk(size: tuple[float, float], marks: Sequence[float], seam: float, start: float) -> list[float]:
    """Return the places on the perimeter of marks on the strip; marks beyond the ring are cut off."""
    around = 2 * (size[0] + size[1])
    turns = [corner - start for corner in _corners(size) if corner > start + SLACK]
    turns += [corner + around - start for corner in _corners(size)[1:] if corner <= start + SLACK]
    places = []
    for mark in marks:
        gone = mark
        for turn in turns:
            if gone <= turn:
                break
            gone = max(turn, gone - 2 * seam)
        if gone < around - SLACK:
            places.append((start + gone) % around)
    return places


def _to_closing(size: tuple[float, float], places: Sequence[float]) -> list[float]:
    """Return the distance of the closing join, the first of these, from each other join along the edge."""
    around = 2 * (size[0] + size[1])
    ways = [abs(place - places[0]) for place in places[1:]]
    return [min(way, around - way) for way in ways]


def _to_corner(size: tuple[float, float], place: float) -> float:
    return min(abs(place - corner) for corner in _corners(size))


def _describe(size: tuple[float, float], place: float, *, closing: bool) -> BindingJoin:
    width, height = size
    corners = _corners(size)
    side = max(k for k in range(4) if corners[k] <= place + SLACK)
    along = place - corners[side]
    at = ((width - along, 0.0), (0.0, along), (along, height), (width, height - along))[side]
    return BindingJoin(SIDES[side], along, at, _to_corner(size, place), closing)
