"""The neutral drawing behind every picture: polygons, lines and words in inches."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from kit.errors import KitError
from kit.geometry.outlines import Outline, Point
from kit.lengths import CM
from kit.model.colour import SIGHTS, find_grey, see_as, tint
from kit.model.pattern import ColouredTop
from kit.output.pictures.print_tiles import Lie, PrintTile, find_tiles, lay_prints
from kit.output.words.seam_words import LetteredEnd
from kit.output.words.strings import say

View: TypeAlias = Literal["colour", "value", "fabric", "seams", "protan", "deutan", "tritan"]
VIEWS = ("colour", "value", "fabric", "seams", *SIGHTS)
INK = "#26221f"
BLACK = "#000000"
"""Ink of words on cloth: on the darkest tint it keeps a contrast of 7 to 1."""


@dataclass(frozen=True, slots=True)
class Polygon:
    """A filled outline; `label` is its name, `word` the text inside it, `lie` how a print lies in it over the fill."""

    points: Outline
    fill: str
    label: str = ""
    word: str = ""
    lie: Lie | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points; `dash` in inches of ink and gap, empty for a solid line; `colour` empty for the edges'."""

    points: tuple[Point, ...]
    width: float = 1.0
    dash: tuple[float, ...] = ()
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Dot:
    """A filled dot; radius in inches."""

    at: Point
    radius: float
    fill: str = INK


@dataclass(frozen=True, slots=True)
class Arrow:
    """An arrow from the first point to the last, its head of `head` inches; `both` gives it a head at each end."""

    points: tuple[Point, Point]
    head: float
    colour: str = INK
    both: bool = False


@dataclass(frozen=True, slots=True)
class Note:
    """Words at a point, of a height in inches."""

    at: Point
    text: str
    height: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture in inches, x right and y up.

    Attributes
    ----------
    box
        (left, bottom, right, top) of the drawing.
    title
        A description in one sentence: the alternative text.
    polygons, lines
        In the order of drawing.
    edge
        Colour of the polygons' outlines.
    dots, arrows, notes
        Drawn over the lines, in this order.
    ends
        Ends of seams with their letters; `letter_ends` draws them as high as the page needs.
    tiles
        The pictures of the prints that lie in polygons, by the names of their fabrics.
    """

    box: tuple[float, float, float, float]
    title: str
    polygons: tuple[Polygon, ...]
    lines: tuple[Line, ...] = ()
    edge: str = INK
    dots: tuple[Dot, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    notes: tuple[Note, ...] = ()
    ends: tuple[LetteredEnd, ...] = ()
    tiles: Mapping[str, PrintTile] = field(default_factory=dict)


def draw_top(sketch: ColouredTop, view: View = "colour") -> Drawing:
    """Draw the finished top.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    view
        "colour": each patch in its fabric; "value": in the grey of its lightness; "fabric": with the fabric's letter;
        "seams": only outlines, for colouring in; "protan", "deutan", "tritan": as seen without one kind of cone.

    Raises
    ------
    KitError
        An unknown view.
    """
    if view not in VIEWS:
        raise KitError(f"There is no view `{view}`", needed=", ".join(VIEWS), do="choose one of these")
    letters, fills = name_fabrics(sketch), fill_fabrics(sketch, view)
    assignment = sketch.colouring.assignment
    tiles = find_tiles(sketch, view)
    words = letters if view == "fabric" else dict.fromkeys(letters, "")
    polygons = tuple(
        Polygon(patch.outline, fills[assignment[patch.id]], patch.id, words[assignment[patch.id]], lie)
        for patch, lie in zip(sketch.patchwork.patches, lay_prints(sketch, tiles), strict=True)
    )
    width, height = sketch.patchwork.finished
    system = sketch.study.measures.system
    unit = CM if system == "metric" else 1.0
    facts = {"width": f"{width / unit:.1f}", "height": f"{height / unit:.1f}"}
    title = say(f"top_alt_{system}", title=sketch.study.title, patches=len(polygons), **facts)
    return Drawing(sketch.patchwork.box, title, polygons, tiles=tiles)


def fill_fabrics(sketch: ColouredTop, view: View) -> dict[str, str]:
    """Return the colour of each fabric in a view, in the order of the study."""
    return {fabric.name: _fill(fabric.colour, view) for fabric in sketch.study.fabrics}


def name_fabrics(sketch: ColouredTop) -> dict[str, str]:
    """Return the letters of the fabrics on paper, in the order of the study.

    The letter is that of the pieces of its slot in the cut list, with a small letter after it if several
    fabrics share the slot: pieces B1 and B2 are cut from B, or from Ba, Bb and Bc. A fabric without a use in the
    design gets a later letter.
    """
    slots = list(dict.fromkeys((*sketch.patchwork.slots, *(fabric.slot for fabric in sketch.study.fabrics))))
    shared: dict[str, list[str]] = {slot: [] for slot in slots}
    for fabric in sketch.study.fabrics:
        shared[fabric.slot].append(fabric.name)
    return {
        fabric.name: _letter(slots.index(fabric.slot))
        + (_letter(shared[fabric.slot].index(fabric.name)).lower() if len(shared[fabric.slot]) > 1 else "")
        for fabric in sketch.study.fabrics
    }


def _letter(i: int) -> str:
    return chr(65 + i) if i < 26 else _letter(i // 26 - 1) + chr(65 + i % 26)


def _fill(colour: str, view: str) -> str:
    if view == "seams":
        return "#ffffff"
    if view == "value":
        return find_grey(colour)
    if view in SIGHTS:
        return see_as(colour, view)
    return colour if view == "colour" else tint(colour)
