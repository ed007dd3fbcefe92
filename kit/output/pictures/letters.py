"""Letters on the patches of a picture, to tell fabrics apart without their colours."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from kit.geometry.outlines import Outline, Point, measure_box
from kit.geometry.paths import find_roomiest
from kit.model.colour import find_lightness, tint
from kit.model.sewing import Step
from kit.output.pictures.drawing import Dot, Drawing, Note
from kit.output.pictures.end_letters import DROP, HIGHER, RIM, letter_ends, step_off
from kit.output.pictures.picture_sizes import Room, find_scale

STITCH = "#b3261e"
"""Colour of the seam in a step, and of the dots on it."""
MOST = 1.5
"""The greatest height of letters, in least heights."""
STOP, WIDER = 0.36, 1.4
"""Radius of a dot at which to stop, in least heights of a letter, and of its white rim, in radii of the dot."""
PALE = 62.0
"""The least lightness with a contrast of 7 to 1 under black."""
AS_GOOD = 0.97
"""Places with no less than this share of the most room are as good as one another."""


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
    drawing = make_room(drawing, room, least)
    low = least / find_scale(drawing.box, room)
    stops = [replace(dot, radius=max(dot.radius, STOP * low)) for dot in drawing.dots]
    busy = [(*arrow.points, 0.5 * arrow.head) for arrow in drawing.arrows]
    busy += [(dot.at, dot.at, WIDER * dot.radius) for dot in stops]
    busy += [
        (spot, spot, RIM * HIGHER * low) for end in drawing.ends for spot in [step_off(end.at, end.way, HIGHER * low)]
    ]
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
            clear, room_left = find_spot(polygon.points, [(a, b, more + RIM * height) for a, b, more in busy])
            at = clear if room_left else at
        dots.append(Dot(at, RIM * height, "#ffffff"))
        notes.append(Note((at[0], at[1] - DROP * height), letters[polygon.label], height))
    rims = [Dot(dot.at, WIDER * dot.radius, "#ffffff") for dot in stops]
    return letter_ends(replace(drawing, dots=(*dots, *rims, *stops), notes=(*drawing.notes, *notes)), low)


def make_room(drawing: Drawing, room: Room, least: float) -> Drawing:
    """Return a drawing with room round it for the letters of its ends, so that they are not drawn smaller for it.

    Parameters
    ----------
    drawing
        With `ends`.
    room, least
        As for `letter_patches`.
    """
    for _ in range(3 if drawing.ends else 0):
        lettered = letter_ends(drawing, least / find_scale(drawing.box, room))
        drawing = replace(drawing, box=lettered.box)
    return drawing


def size_stops(drawing: Drawing, room: Room, least: float) -> Drawing:
    """Return the picture of several steps with dots for stopping of one size that shows, with a white rim.

    Parameters
    ----------
    drawing
        From `draw_run`: its dots other than the white discs of numbers are stops, or lead to a number beside it.
    room, least
        As for `letter_patches`.
    """
    low = STOP * least / find_scale(drawing.box, room)
    dots = [
        shown
        for dot in drawing.dots
        for sized in (replace(dot, radius=low),)
        for shown in ((replace(sized, radius=WIDER * low, fill="#ffffff"), sized) if dot.fill == STITCH else (dot,))
    ]
    return replace(drawing, dots=tuple(dots))


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

    Of places that are nearly as good, take the one nearest the middle. Where what is drawn leaves no room at all, the
    place is that of the outline alone, with a room of zero.

    Parameters
    ----------
    outline
        Corners, in order.
    busy
        Ends of lines to stay clear of, and by how much more than their middle; twice the same point for a dot.

    Examples
    --------
    >>> (x, y), free = find_spot(((0.0, 0.0), (8.0, 0.0), (8.0, 2.0), (0.0, 2.0)))
    >>> round(x, 3), round(y, 3), round(free, 3)
    (4.0, 1.0, 1.0)
    """
    x, y = outline[0]
    moved = tuple((round(a - x, 6), round(b - y, 6)) for a, b in outline)
    shifted = tuple(((a[0] - x, a[1] - y), (b[0] - x, b[1] - y), more) for a, b, more in busy)
    at, free = _search(moved, shifted)
    return (at[0] + x, at[1] + y), free


@lru_cache(maxsize=4096)
def _search(outline: Outline, busy: tuple[tuple[Point, Point, float], ...]) -> tuple[Point, float]:
    """Find a place once for each shape, however often it lies in a top."""
    return find_roomiest(outline, busy, AS_GOOD)


def fit_letter(free: float, word: str) -> float:
    """Return the height of a letter or two with the given room on every side; a tenth of it stays free."""
    return 0.9 * free / (0.55 if len(word) == 1 else 0.4 * len(word))
