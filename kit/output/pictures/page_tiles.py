"""Full-size drawings on pages within the common area of A4 and Letter: side by side, or in parts. Millimetres."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from kit.geometry.outlines import Point
from kit.output.words.strings import say

COMMON = (210.0, 279.4)
"""Width of A4 and height of Letter: the common area."""
MARGIN = 12.0
"""The widest margin that a printer needs (common practice, no source)."""
AREA = (COMMON[0] - 2 * MARGIN, 196.0)
"""Room for outlines, between the words at the top and the test squares at the bottom."""
TOP = MARGIN + 22.0
"""The beginning of that room, from the upper edge of the paper."""
SQUARES = (25.4, 30.0)
"""Sides of the test squares."""
OVERLAP = 12.0
"""Overlap of the parts of a large drawing."""
GAP = 5.0
"""Between two drawings."""


@dataclass(frozen=True, slots=True)
class TestSquare:
    """A square to measure before cutting; the corner is its upper left one, y downwards."""

    side: float
    corner: Point
    label: str


@dataclass(frozen=True, slots=True)
class PageTile:
    """One part of a large drawing: how far the drawing is moved, and the marks for joining parts.

    Attributes
    ----------
    move
        From a drawing with its upper left corner at (0, 0).
    number, across
        The part, from 1, and how many stand side by side; they are numbered row by row.
    crosses
        The marks that it shares with its neighbours.
    """

    move: Point
    number: int
    across: int
    crosses: tuple[Point, ...]


class PageShelves:
    """Finds places for drawings, side by side while there is room."""

    def __init__(self) -> None:
        self.page = 0
        self._x = self._y = self._deep = 0.0
        self._begun = False

    def place(self, wide: float, high: float) -> Point | None:
        """Return where the upper left corner of a drawing comes on the page `page`; None if it is too large."""
        if wide > AREA[0] or high > AREA[1]:
            return None
        if self._x and self._x + wide > AREA[0]:
            self._x, self._y, self._deep = 0.0, self._y + self._deep + GAP, 0.0
        if self._begun and self._y + high > AREA[1]:
            self.page += 1
            self._x = self._y = self._deep = 0.0
        self._begun = True
        at = MARGIN + self._x, TOP + self._y
        self._x, self._deep = self._x + wide + GAP, max(self._deep, high)
        return at


def list_tiles(wide: float, high: float) -> Iterator[PageTile]:
    """Yield the parts of a drawing that is too large for a page, row by row."""
    step = (AREA[0] - OVERLAP, AREA[1] - OVERLAP)
    across = max(1, ceil((wide - OVERLAP) / step[0]))
    down = max(1, ceil((high - OVERLAP) / step[1]))
    marks = [(i * step[0] + OVERLAP / 2, j * step[1] + OVERLAP / 2) for i in range(across + 1) for j in range(down + 1)]
    for number in range(across * down):
        row, column = divmod(number, across)
        dx, dy = MARGIN - column * step[0], TOP - row * step[1]
        here = ((x + dx, y + dy) for x, y in marks)
        crosses = tuple((x, y) for x, y in here if MARGIN < x < MARGIN + AREA[0] and TOP < y < TOP + AREA[1])
        yield PageTile((dx, dy), number + 1, across, crosses)


def place_squares() -> tuple[TestSquare, ...]:
    """Return the test squares of a page, at its lower right."""
    low = COMMON[1] - MARGIN - max(SQUARES)
    first = COMMON[0] - MARGIN - sum(SQUARES) - GAP
    return (
        TestSquare(SQUARES[0], (first, low), say("template_square_in")),
        TestSquare(SQUARES[1], (first + SQUARES[0] + GAP, low), say("template_square_cm")),
    )
