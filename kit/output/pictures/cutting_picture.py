"""Cutting diagrams to scale: one cloth, its strips from the squared edge up, the pieces and the rests."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from kit.geometry.outlines import Outline, make_rectangle, measure_area, move_outline
from kit.lengths import System, buying_length, write_buying, write_length
from kit.model.colour import tint
from kit.model.cutting import ClothPlan, Cut, Piece, Strip
from kit.model.pattern import Sketch
from kit.output.pictures.drawing import Drawing, Line, Note, Polygon
from kit.output.pictures.print_marks import draw_print_marks
from kit.output.words.form_words import name_form

Layers: TypeAlias = Literal["single", "folded"]
LEFT_OVER, LOSS, BOUGHT = "#efece6", "#d9d2c6", "#f8f6f2"
"""Fills of rests, of the cloth for squaring up, and of cloth bought beyond the strips."""
GAP = 1.0
"""Inches between the pre-cuts in a drawing."""
SMALL = 1.0
"""Inches: the least width and height of a rest with a name."""
READABLE = 0.45
"""Inches of cloth: the smallest height of words."""
LEFT, SQUARED, SPARE = "left over", "squaring up", "bought and not cut"


@dataclass(frozen=True)
class _Place:
    """The place of a strip in the drawing."""

    strip: Strip
    y: float
    length: float


def draw_cutting(sketch: Sketch, layers: Layers = "single") -> dict[str, Drawing]:
    """Draw the cutting of each cloth, by the name of its fabric.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    layers
        As for `draw_cloth`.
    """
    system = sketch.study.measures.system
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    pieces = {piece.id: piece for piece in sketch.making.pieces}
    found: dict[str, Drawing] = {}
    for plan in sketch.cutting.cloths:
        name = plan.supply.fabric or plan.supply.slot
        if plan.strips:
            label = name if name not in found else f"{name}, {len(found) + 1}"
            found[label] = draw_cloth(plan, colours.get(name, "#b9cbd6"), system, layers=layers, pieces=pieces)
    return found


def draw_cloth(
    cloth: ClothPlan,
    colour: str = "#b9cbd6",
    system: System = "inch",
    *,
    layers: Layers = "single",
    pieces: Mapping[str, Piece] | None = None,
) -> Drawing:
    """Draw the cutting of one cloth, right side up, the squared edge at the bottom.

    The cloth for squaring up is a band below the strips, surplus cloth a band above. The rest of a strip
    is pale, and named, with its size if there is room. The first of each kind of piece in a
    strip is named, and every piece has its name as its label.

    Parameters
    ----------
    cloth
        The plan of one cloth.
    colour
        "#rrggbb" of the fabric; its pieces are paler, so that their names are readable.
    system
        "inch" or "metric", for writing lengths.
    layers
        "single": every layer side by side, a dashed line at the fold of a strip; "folded": strips cut
        through two layers as they lie on the mat, half as long, the fold at the right.
    pieces
        Piece id -> piece, for the hand in the label; None: labels are the ids.
    """
    known, colour = pieces or {}, tint(colour)
    yardage = cloth.supply.form == "yardage"
    places = _place(cloth, layers)
    wide = max((place.length for place in places), default=cloth.supply.width)
    top = max((place.y + place.strip.height for place in places), default=1.0)
    polygons: list[Polygon] = []
    lines: list[Line] = []
    notes: list[Note] = []
    low, high = 0.0, top
    if yardage:
        low, high = -cloth.squaring_up, max(top, _find_end(cloth, system))
        polygons += _draw_bands(cloth, wide, max(top, cloth.used), high)
        polygons += _draw_between(places, wide, max(top, cloth.used))
    for place in places:
        polygons += _draw_strip(place, colour, known)
        notes += _name_rest(place, system)
        if place.strip.folded:
            x = place.length if layers == "folded" else place.length / 2
            lines.append(Line(((x, place.y), (x, place.y + place.strip.height)), 2.0, (0.5, 0.3)))
    lines += draw_print_marks(cloth, wide, max(top, cloth.used))
    return Drawing((0.0, low, wide, high), _write_title(cloth, wide, layers, system), tuple(polygons), tuple(lines),
                   notes=tuple(notes))  # fmt: skip


def _place(cloth: ClothPlan, layers: Layers) -> list[_Place]:
    places, y = [], 0.0
    base = min((strip.start or 0.0 for strip in cloth.strips), default=0.0)
    for strip in cloth.strips:
        halved = layers == "folded" and strip.folded
        y = y if strip.start is None else strip.start - base
        places.append(_Place(strip, y, strip.length / 2 if halved else strip.length))
        y += strip.height + (0.0 if cloth.supply.form == "yardage" else GAP)
    return places


def _find_end(cloth: ClothPlan, system: System) -> float:
    """Return the end of the length bought, or on hand, above the squared edge, after washing."""
    have = cloth.supply.length or buying_length(cloth.as_bought, system)
    return have * (1 - cloth.supply.shrinkage) - cloth.squaring_up


def _draw_bands(cloth: ClothPlan, wide: float, top: float, high: float) -> Iterator[Polygon]:
    if cloth.squaring_up:
        yield Polygon(make_rectangle(0, -cloth.squaring_up, wide, cloth.squaring_up), LOSS, SQUARED, SQUARED)
    if high > top + 1e-6:
        yield Polygon(make_rectangle(0, top, wide, high - top), BOUGHT, SPARE, SPARE if high - top >= SMALL else "")


def _draw_between(places: Sequence[_Place], wide: float, top: float) -> Iterator[Polygon]:
    """Draw the cloth that lies between strips, where the print keeps them apart."""
    y = 0.0
    for place in sorted(places, key=lambda place: place.y):
        if place.y > y + 1e-6:
            yield Polygon(make_rectangle(0, y, wide, place.y - y), LEFT_OVER, LEFT)
        y = max(y, place.y + place.strip.height)
    if top > y + 1e-6:
        yield Polygon(make_rectangle(0, y, wide, top - y), LEFT_OVER, LEFT)


def draw_strip(strip: Strip, colour: str, pieces: Mapping[str, Piece]) -> Iterator[Polygon]:
    """Yield the outlines of a strip by itself: its rest, and its pieces without words."""
    for polygon in _draw_strip(_Place(strip, 0.0, strip.length), colour, pieces):
        yield replace(polygon, word="")


def _draw_strip(place: _Place, colour: str, pieces: Mapping[str, Piece]) -> Iterator[Polygon]:
    strip = place.strip
    yield Polygon(make_rectangle(0, place.y, place.length, strip.height), LEFT_OVER, LEFT)
    named: set[str] = set()
    for cut in strip.cuts:
        if cut.x >= place.length - 1e-6:
            continue  # it is under the other half
        word = "" if cut.piece in named else cut.piece
        named.add(cut.piece)
        if cut.joined:
            yield Polygon(_outline(cut, place.y), colour, f"{cut.piece}, to be joined", word)
            continue
        if not _fills(cut):
            yield Polygon(_outline(cut, place.y), LEFT_OVER, f"{cut.piece}, cut")
        for number, shape in enumerate(cut.shapes):
            outline = move_outline(shape.outline, cut.x, place.y + cut.y)
            yield Polygon(outline, colour, _label(shape.piece, pieces), word if number == 0 else "")


def _label(name: str, pieces: Mapping[str, Piece]) -> str:
    hand = pieces[name].hand if name in pieces else None
    return f"{name}, {hand}" if hand else name


def _fills(cut: Cut) -> bool:
    """Return True if a cut is wholly one piece."""
    area = sum(measure_area(shape.outline) for shape in cut.shapes)
    return len(cut.shapes) == 1 and area > cut.width * cut.height - 1e-4


def _outline(cut: Cut, y: float) -> Outline:
    return make_rectangle(cut.x, y + cut.y, cut.width, cut.height)


def _name_rest(place: _Place, system: System) -> Iterator[Note]:
    """Name the rests at the end of a strip, and above its sub-cuts if all have one height."""
    cuts = [cut for cut in place.strip.cuts if cut.x < place.length - 1e-6]
    end = max((min(cut.x + cut.width, place.length) for cut in cuts), default=0.0)
    above = max((cut.y + cut.height for cut in cuts), default=0.0)
    rests = [(end, 0.0, place.length - end, place.strip.height)]
    if all(cut.y < 1e-6 for cut in cuts) and cuts:
        rests.append((0.0, above, end, place.strip.height - above))
    for x, y, wide, high in rests:
        if min(wide, high) >= SMALL:
            said = f"{LEFT} {write_length(high, system)} × {write_length(wide, system)}"
            text = said if 1.6 * wide / len(said) >= READABLE else LEFT
            size = min(0.8, 0.5 * high, 1.6 * wide / len(text))
            if size >= READABLE:
                yield Note((x + wide / 2, place.y + y + high / 2 - 0.35 * size), text, size)


def _write_title(cloth: ClothPlan, wide: float, layers: Layers, system: System) -> str:
    name = cloth.supply.fabric or cloth.supply.slot
    count = len(cloth.strips)
    used = f"({count}) {name_form(cloth.supply.form, count)}"
    if cloth.supply.form == "yardage":
        used = f"strips take {write_length(cloth.used, system)}"
        if cloth.supply.length is None:
            used += f" of {write_buying(cloth.as_bought, system)}"
    folded = sum(strip.folded for strip in cloth.strips)
    how = f"; {folded} folded, cut through two layers" if folded and layers == "folded" else ""
    left = measure_left(cloth.strips)
    return f"{name}: {used}, {write_length(wide, system)} wide{how}; {100 * left:.0f} % of the strips is left over"


def measure_left(strips: Sequence[Strip]) -> float:
    """Return the part of the strips outside all pieces."""
    whole = sum(strip.height * strip.length for strip in strips)
    taken = sum(
        cut.width * cut.height if cut.joined else sum(measure_area(shape.outline) for shape in cut.shapes)
        for strip in strips for cut in strip.cuts
    )  # fmt: skip
    return 1 - taken / whole if whole else 0.0
