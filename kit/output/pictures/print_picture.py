"""The picture beside the words of a print: the first strips with their motifs, or one layer of a stack."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.geometry.outlines import make_rectangle, move_outline
from kit.model.cutting import ClothPlan, Piece, Strip
from kit.model.pattern import Sketch
from kit.output.pictures.cutting_picture import LEFT_OVER, draw_strip
from kit.output.pictures.drawing import BLACK, Drawing, Note, Polygon
from kit.output.pictures.letters import make_pale
from kit.output.pictures.print_marks import draw_print_marks
from kit.output.words.strings import say

PLAIN = "#b9cbd6"
ROOM = (180.0, 46.0)
"""Millimetres on the page."""
LETTER = 2.6
"""Millimetres: the height of words, 7 pt."""
MOST_STRIPS = 3


@dataclass(frozen=True)
class PrintPicture:
    """A picture with its heading and what it shows, in words."""

    heading: str
    line: str
    drawing: Drawing


def draw_prints(sketch: Sketch) -> list[PrintPicture]:
    """Draw to scale the first strips of every cloth whose print matters, or one layer of its stack.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    pieces = {piece.id: piece for piece in sketch.making.pieces}
    found = []
    for plan in sketch.cutting.cloths:
        if plan.strips and plan.strips[0].start is not None:
            name = plan.supply.fabric or plan.supply.slot
            found.append(_draw_first(name, plan, make_pale(colours.get(name, PLAIN)), pieces))
    return found


def _draw_first(name: str, plan: ClothPlan, colour: str, pieces: dict[str, Piece]) -> PrintPicture:
    order = sorted(plan.strips, key=lambda one: one.start or 0.0)
    base = order[0].start or 0.0
    if plan.layer:
        strips, high = [one for one in order if (one.start or 0.0) < plan.layer - 1e-6], plan.layer
    else:
        strips = order[:MOST_STRIPS]
        high = max((one.start or 0.0) + one.height for one in strips) - base
    wide = strips[0].length
    polygons = [Polygon(make_rectangle(0, 0, wide, high), LEFT_OVER, "")]
    letter = LETTER / min(ROOM[0] / wide, ROOM[1] / high)
    notes: list[Note] = []
    for strip in strips:
        y = (strip.start or 0.0) - base
        polygons += [
            Polygon(move_outline(polygon.points, 0.0, y), polygon.fill, polygon.label)
            for polygon in draw_strip(strip, colour, pieces)
        ]
        notes += _name_pieces(strip, y, letter)
    lines = tuple(draw_print_marks(plan, wide, high))
    key = "stack" if plan.layer else "motif" if plan.lead or _has_place(plan) else "repeat"
    facts = {"fabric": name, "layers": plan.supply.stack or 1}
    drawing = Drawing(
        (0.0, 0.0, wide, high), say(f"print_alt_{key}", **facts), tuple(polygons), lines, notes=tuple(notes), edge=BLACK
    )
    return PrintPicture(say("print_head", **facts), say(f"print_how_{key}", **facts), drawing)


def _has_place(plan: ClothPlan) -> bool:
    repeat = plan.supply.print_repeat
    return repeat is not None and repeat.motif_across is not None


def _name_pieces(strip: Strip, y: float, letter: float) -> Iterator[Note]:
    """Name the first piece of each kind in a strip, beside its middle, where the motif is."""
    named: set[str] = set()
    for cut in sorted(strip.cuts, key=lambda cut: cut.x):
        if cut.piece not in named and cut.shapes:
            named.add(cut.piece)
            outline = cut.shapes[0].outline
            x = cut.x + sum(corner[0] for corner in outline) / len(outline)
            low = y + cut.y + sum(corner[1] for corner in outline) / len(outline)
            yield Note((x, low + 0.15 * letter), cut.piece, min(letter, 0.5 * cut.height))
