"""The lines of the cutting: strips, what is cut from them, and lengths that are joined."""

from dataclasses import dataclass


@dataclass(frozen=True)
class SubCut:
    """One line under the strips: the shapes to cut, their piece, and the number of pieces; or lower strips to cut.

    Attributes
    ----------
    piece
        Id of the piece; empty for strips of which the next lines are cut.
    cut
        The number of squares, rectangles or angled pieces cut, or of strips.
    gives
        The pieces needed from them.
    spare
        Surplus triangles; lengths kept for joining.
    text
        The line.
    length
        Inches of each length kept for joining; zero elsewhere.
    depth
        1 under the first strips, 2 under a line of lower strips, and so on.
    times
        How many strips this is cut from, each giving so much.
    height
        Inches across the lower strips; zero elsewhere.
    layers
        The layers of a stack that it is cut through.
    of
        On a line that tells what is to spare of a stack: the piece.
    """

    piece: str
    cut: int
    gives: int
    spare: int
    text: str
    length: float = 0.0
    depth: int = 1
    times: int = 1
    height: float = 0.0
    layers: int = 1
    of: str = ""


@dataclass(frozen=True)
class FirstCut:
    """Strips of one kind, and their sub-cuts; `drawing` names the drawing of a strip that words alone do not carry.

    Where the print matters, `start` is where the first begins above the squared end, and `every` how far apart they
    begin, inches; elsewhere None and zero.
    """

    count: int
    height: float
    length: float
    text: str
    sub_cuts: tuple[SubCut, ...]
    drawing: str = ""
    start: float | None = None
    every: float = 0.0


@dataclass(frozen=True)
class Joined:
    """Lengths sewn end to end, and the pieces cut from the joined length.

    Attributes
    ----------
    parts
        The number of joined lengths.
    length
        Their total length before joining, inches.
    text
        The line.
    sub_cut
        The pieces cut from it.
    rows
        How many such lengths are sewn, each for a piece of its own; 1 where all parts are one length.
    """

    parts: int
    length: float
    text: str
    sub_cut: SubCut
    rows: int = 1


@dataclass(frozen=True)
class ClothLines:
    """The cutting of one fabric: its strips, then the lengths joined from parts of them."""

    fabric: str
    first_cuts: tuple[FirstCut, ...]
    joined: tuple[Joined, ...]
