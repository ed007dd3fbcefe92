"""Common parts of the pictures of the lessons: cloth, seam lines, words and measures."""

from collections.abc import Sequence

from kit.geometry.outlines import Outline, Point
from kit.output.pictures.drawing import Arrow, Drawing, Line, Note, Polygon

CUT = "#e6ebee"
"""Cloth with its allowance."""
SHOWS = "#8fb0c0"
"""The finished part."""
OTHER = "#d9a679"
"""The other kind of patch."""
SPARE = "#f6f2ec"
"""Left-over cloth."""
WRONG = "#b5502e"
"""A mistake, always with a word beside it."""


class Sheet:
    """A picture in the making; `done` turns it into a drawing."""

    def __init__(self) -> None:
        self.polygons: list[Polygon] = []
        self.lines: list[Line] = []
        self.arrows: list[Arrow] = []
        self.notes: list[Note] = []

    def lay(self, outline: Outline, fill: str = CUT) -> None:
        """Lay a shape."""
        self.polygons.append(Polygon(outline, fill))

    def sew(self, points: Sequence[Point], dash: float = 0.12, colour: str = "", width: float = 1.6) -> None:
        """Draw a seam line, dashed; solid if the dash is zero."""
        self.lines.append(Line(tuple(points), width, (dash, dash * 0.7) if dash else (), colour))

    def outline(self, outline: Outline, dash: float = 0.12) -> None:
        """Draw a closed seam line."""
        self.sew((*outline, outline[0]), dash)

    def say(self, x: float, y: float, text: str, height: float) -> None:
        """Write words with their middle at a point."""
        self.notes.append(Note((x, y), text, height))

    def measure(self, a: Point, b: Point, text: str, height: float, below: float = 0.0) -> None:
        """Draw a measure from a to b with its words beneath; `below` moves them further."""
        self.arrows.append(Arrow((a, b), min(height * 0.8, 0.45 * max(abs(b[0] - a[0]), abs(b[1] - a[1]))), both=True))
        self.say((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - height * 1.3 - below, text, height)

    def done(self, box: tuple[float, float, float, float], title: str) -> Drawing:
        """Return the drawing.

        Parameters
        ----------
        box
            (left, bottom, right, top), inches.
        title
            A description in one sentence: the alternative text.
        """
        return Drawing(
            box, title, tuple(self.polygons), tuple(self.lines), arrows=tuple(self.arrows), notes=tuple(self.notes)
        )


def plain(text: str) -> str:
    """Return a text with ordinary spaces, for comparing titles and reading them aloud."""
    return text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")
