"""Cutting diagrams to scale: one cloth, its strips from the bottom up, what comes out of them and what is left."""

from collections.abc import Iterator, Sequence

from kit.geometry.outlines import make_rectangle, move_outline
from kit.lengths import System, write_length
from kit.model.cutting import ClothPlan, Cut, Strip
from kit.output.drawing import Drawing, Line, Polygon

LEFT_OVER = "#eeeae3"
GAP = 1.0
"""Inches between the pre-cuts in a drawing."""


def draw_cloth(cloth: ClothPlan, colour: str = "#b9cbd6", system: System = "inch") -> Drawing:
    """Draw how one cloth is cut, right side up, the squared edge at the bottom.

    What is left is pale; a piece lies in its rectangle as it is turned; a dashed line is the fold of strips that are
    cut through two layers. The first of each kind of piece in a strip is named.

    Parameters
    ----------
    cloth
        The plan of one cloth.
    colour
        "#rrggbb" of its pieces.
    system
        How lengths are written in the title.
    """
    name = cloth.supply.fabric or cloth.supply.slot
    yardage = cloth.supply.form == "yardage"
    polygons: list[Polygon] = []
    lines: list[Line] = []
    y = 0.0
    for strip in cloth.strips:
        polygons.append(Polygon(make_rectangle(0, y, strip.length, strip.height), LEFT_OVER, "left over"))
        polygons.extend(_draw_cuts(strip, y, colour))
        if strip.folded:
            middle = strip.length / 2
            lines.append(Line(((middle, y), (middle, y + strip.height)), 1.0, (0.5, 0.3)))
        y += strip.height + (0.0 if yardage else GAP)
    wide = max((strip.length for strip in cloth.strips), default=cloth.supply.width)
    used = write_length(cloth.used, system) + " of length" if yardage else f"{cloth.used:g} {cloth.supply.form}"
    title = f"{name}: {used}, {write_length(wide, system)} wide; {_measure_left(cloth.strips):.0%} of it is left over"
    return Drawing((0.0, 0.0, wide, max(y, 1.0)), title, tuple(polygons), tuple(lines))


def _draw_cuts(strip: Strip, y: float, colour: str) -> Iterator[Polygon]:
    named: set[str] = set()
    for cut in strip.cuts:
        word = "" if cut.piece in named else cut.piece
        named.add(cut.piece)
        if cut.joined:
            yield Polygon(_outline(cut, y), colour, f"{cut.piece}, joined", word)
            continue
        yield Polygon(_outline(cut, y), LEFT_OVER, cut.piece)
        for number, shape in enumerate(cut.shapes):
            outline = move_outline(shape.outline, cut.x, y + cut.y)
            yield Polygon(outline, colour, shape.piece, word if number == 0 else "")


def _outline(cut: Cut, y: float) -> tuple[tuple[float, float], ...]:
    return make_rectangle(cut.x, y + cut.y, cut.width, cut.height)


def _measure_left(strips: Sequence[Strip]) -> float:
    """Return the part of the cloth that no sub-cut takes."""
    whole = sum(strip.height * strip.length for strip in strips)
    taken = sum(cut.width * cut.height for strip in strips for cut in strip.cuts)
    return 1 - taken / whole if whole else 0.0
