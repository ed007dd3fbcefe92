"""Pictures beside the words of cutting: strips that words alone do not carry, and how angled cuts are laid out."""

from collections.abc import Mapping

from kit.geometry.outlines import make_rectangle, move_outline
from kit.lengths import System, write_length
from kit.model.colour import tint
from kit.model.cutting import ClothPlan, Cut, Piece, Strip
from kit.model.pattern import Sketch
from kit.output.pictures.cutting_picture import draw_strip
from kit.output.pictures.drawing import BLACK, Arrow, Drawing, Line, Note, Polygon
from kit.output.pictures.letters import make_pale
from kit.output.words.cutting_words import ANGLED, list_drawn
from kit.output.words.strings import say

PLAIN, BELOW = "#b9cbd6", "#efece6"
"""Fills of cloth without a colour of its own, and of the layer below."""
LETTER, ROOM = 2.83, (179.9, 46.0)
"""Millimetres: the height of words, 8 pt, and the room of a picture on the page."""
MOST = 4
"""The most angled pieces in the picture of how they are cut."""


def draw_named_strips(sketch: Sketch) -> dict[str, Drawing]:
    """Draw to scale every strip that a line of the cutting names a drawing for, by the name of the drawing.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    system = sketch.study.measures.system
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    pieces = {piece.id: piece for piece in sketch.making.pieces}
    return {
        name: _draw_drawn(name, strip, make_pale(colours.get(plan.supply.fabric or "", PLAIN)), pieces, system)
        for plan in sketch.cutting.cloths
        for name, strip in list_drawn(plan).items()
    }


def _draw_drawn(name: str, strip: Strip, colour: str, pieces: Mapping[str, Piece], system: System) -> Drawing:
    """Draw one strip, every piece with its name and its cut size where there is room."""
    size = f"{write_length(strip.height, system)} × {write_length(strip.length, system)}"
    held = ", ".join(dict.fromkeys(cut.piece for cut in strip.cuts))
    notes = tuple(
        Note(
            (cut.x + cut.width / 2, cut.y + cut.height / 2 - 0.35 * _find_height(cut, strip)),
            cut.piece,
            _find_height(cut, strip),
        )
        for cut in strip.cuts
    )
    lines = (
        (Line(((strip.length / 2, 0.0), (strip.length / 2, strip.height)), 2.0, (0.5, 0.3)),) if strip.folded else ()
    )
    polygons = tuple(polygon for polygon in draw_strip(strip, colour, pieces))
    title = say("drawing_alt", name=name, size=size, pieces=held)
    return Drawing((0.0, 0.0, strip.length, strip.height), title, polygons, lines, notes=notes, edge=BLACK)


def _find_height(cut: Cut, strip: Strip) -> float:
    """Return the height of words in a cut, inches: 7 pt on paper, or less where the cut has no room for it."""
    letter = LETTER / min(ROOM[0] / strip.length, ROOM[1] / strip.height)
    return letter if cut.height >= letter and cut.width >= 2 * letter else 0.7 * letter


def draw_angled_cuts(sketch: Sketch) -> Drawing | None:
    """Draw how a strip is laid for angled cuts: its fold, its layers, the first cut, and the half turn of every second.

    Returns None for a sketch without angled pieces that are cut off a strip.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    pieces = {piece.id: piece for piece in sketch.making.pieces}
    found = [
        (strip, cut, plan)
        for plan in sketch.cutting.cloths for strip in plan.strips for cut in strip.cuts
        if pieces[cut.piece].kind in ANGLED and cut.count > 1 and cut.y == 0 and cut.shapes
    ]  # fmt: skip
    if not found:
        return None
    strip, cut, plan = max(found, key=lambda one: (one[0].folded, turns_round(pieces[one[1].piece]), one[1].count))
    return _draw_layers(strip, cut, plan, pieces[cut.piece], sketch.study.measures.system)


def _draw_layers(strip: Strip, cut: Cut, plan: ClothPlan, piece: Piece, system: System) -> Drawing:
    """Draw the strip as it lies on the mat, the layer below a little to the lower right, the fold at the right end."""
    shapes = cut.shapes[:MOST]
    reach = max(x for shape in shapes for x, _ in shape.outline)
    long, high, shift = reach + 1.2 * strip.height, strip.height, 0.12 * strip.height
    polygons = []
    if strip.folded:
        polygons.append(Polygon(make_rectangle(shift, -shift, long - shift, high), BELOW, say("layer_below")))
    polygons.append(Polygon(make_rectangle(0, 0, long, high), BELOW, say("layer_above" if strip.folded else "strip")))
    turned = _find_turned(piece, cut)
    polygons += [
        Polygon(move_outline(shape.outline, 0, 0), tint(PLAIN) if number in turned else PLAIN, shape.piece)
        for number, shape in enumerate(shapes)
    ]
    size = 0.2 * high
    notes = [
        Note((_middle(shape.outline, 0), _middle(shape.outline, 1) - 0.35 * size),
             str(number + 1) + ("↻" if number in turned else ""), size)
        for number, shape in enumerate(shapes)
    ]  # fmt: skip
    lines: list[Line] = []
    if strip.folded:
        lines.append(Line(((long, -shift), (long, high)), 3.0))
        notes.append(Note((long - 0.35 * high, high / 2), say("fold"), size))
    top = high + 0.3 * high
    arrows = (Arrow(((0.0, top), (long, top)), 0.15 * high),)
    name = plan.supply.fabric or plan.supply.slot
    title = say(
        "angled_alt_folded" if strip.folded else "angled_alt", fabric=name, height=write_length(high, system),
        piece=piece.id,
    )  # fmt: skip
    box = (-0.1 * high, -0.3 * high, long + 0.2 * high, top + 0.2 * high)
    return Drawing(box, title, tuple(polygons), tuple(lines), arrows=arrows, notes=tuple(notes))


def turns_round(piece: Piece) -> bool:
    """Return True if every second angled piece lies turned by half; parallelograms all lie alike."""
    return piece.kind != "parallelogram"


def _find_turned(piece: Piece, cut: Cut) -> frozenset[int]:
    """Return which of the pieces lie turned by half: their first edge runs against that of the piece."""
    found = []
    for number, shape in enumerate(cut.shapes):
        (ax, _), (bx, _) = shape.outline[0], shape.outline[1]
        found += [number] if bx < ax else []
    return frozenset(found) if turns_round(piece) else frozenset()


def _middle(outline: tuple[tuple[float, float], ...], axis: int) -> float:
    return sum(corner[axis] for corner in outline) / len(outline)
