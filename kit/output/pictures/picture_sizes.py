"""The room for pictures on paper, and the least size of the words in them."""

from dataclasses import dataclass, replace
from typing import TypeAlias

from kit.geometry.outlines import measure_box
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.svg import Pen

Room: TypeAlias = tuple[float, float]
"""Width and height, millimetres."""


@dataclass(frozen=True)
class Rooms:
    """The room of each kind of picture in an edition.

    Attributes
    ----------
    step, run, finishing, map
        Of a step, of several steps together, of backing, quilting and binding, of the map.
    letter
        Millimetres: the least height of letters and numbers in pictures.
    tallest
        Millimetres: the greatest height of the picture of several steps if its numbers would be too small.
    always
        A map is divided wherever its letters would be smaller, even if the pieces already give the fabric.
    beside
        Part of the width of the text that a picture of the finishing takes beside its words.
    words
        The height of the words in a picture of the finishing, in least heights.
    """

    step: Room = (87.45, 36.0)
    run: Room = (179.9, 68.0)
    finishing: Room = (179.9, 90.0)
    map: Room = (179.9, 197.4)
    letter: float = 2.83
    tallest: float = 160.0
    always: bool = False
    beside: float = 0.4
    words: float = 1.25

    @property
    def bound(self) -> Room:
        """The room of a picture of the finishing."""
        return self.beside * self.finishing[0], self.finishing[1]

    @property
    def later(self) -> "Rooms":
        """The room for the pictures of a later size in a document of several: those of the finishing are smaller."""
        if self.always:
            return self
        wide, high = self.finishing
        return replace(self, finishing=(wide, LATER_HIGH * high), beside=LATER_WIDE, words=1.02)


LATER_WIDE, LATER_HIGH = 0.32, 0.7
"""The width of the pictures of the finishing of a later size, in widths of the text; their height, by the first's."""
FLOOR = 0.7
"""On a patch that is too small the letter overlaps its edges, no smaller than this share of the least height."""
EDGE = 0.5 * 25.4 / 72
"""Millimetres: lines are half a point wide (common practice, no source), so that a photocopy keeps them."""
SHARE = 0.1
"""The widest edge of patches, as a part of the smaller side of an ordinary patch."""
STANDARD = Rooms()
"""The sizes of the standard edition on Letter paper, with words at 8 pt."""


def find_scale(box: tuple[float, float, float, float], room: Room) -> float:
    """Return the millimetres on paper for an inch of a drawing, the margin of its picture included.

    Examples
    --------
    >>> find_scale((0.0, 0.0, 10.0, 4.0), (81.6, 36.0))
    8.0
    """
    left, bottom, right, top = box
    margin = 0.02 * max(right - left, top - bottom)
    return min(room[0] / (right - left + margin), room[1] / (top - bottom + margin))


def choose_pen(drawing: Drawing, room: Room) -> Pen:
    """Return the width of lines in a drawing for a room on paper: the edges finer if patches are small.

    Examples
    --------
    >>> from kit.output.pictures.drawing import Polygon
    >>> square = Polygon(((0.0, 0.0), (8.0, 0.0), (8.0, 8.0), (0.0, 8.0)), "#ffffff")
    >>> edge, line = choose_pen(Drawing((0.0, 0.0, 8.0, 8.0), "a square", (square,)), (36.0, 36.0))
    >>> edge == line, round(line * 36 / 8 * 72 / 25.4, 2)
    (True, 0.51)
    """
    line = EDGE / find_scale(drawing.box, room)
    boxes = [measure_box(polygon.points) for polygon in drawing.polygons]
    sides = sorted(min(right - left, top - bottom) for left, bottom, right, top in boxes)
    return min(line, SHARE * sides[len(sides) // 2]) if sides else line, line
