"""The printed words of cutting as plain texts: what the reader of the words is given, and nothing else of a plan."""

from collections import Counter

from kit.geometry.outlines import measure_directions, measure_edges
from kit.lengths import System, write_length
from kit.model.cutting import ClothPlan
from kit.model.pattern import Sketch
from kit.model.printed import PrintedCloth, PrintedCutting, PrintedLine, PrintedPiece
from kit.output.words.cutting_lines import ClothLines
from kit.output.words.cutting_words import list_cutting, list_drawn
from kit.output.words.sizes import HALF, RECTANGLE, describe_size


def print_cutting(sketch: Sketch) -> PrintedCutting:
    """Return everything that is printed about cutting: the texts of the page, and the drawings that lines name.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    system = sketch.study.measures.system
    plans = {plan.supply.fabric or plan.supply.slot: plan for plan in sketch.cutting.cloths}
    short = Counter[str]()
    for plan in sketch.cutting.cloths:
        short.update(plan.short)
    pieces = tuple(
        PrintedPiece(
            piece.id,
            piece.hand or "",
            piece.count - short[piece.id],
            describe_size(piece.kind, piece.rounded, system),
            piece.outline if piece.kind == "template" else (),
        )
        for piece in sketch.making.pieces
    )
    return PrintedCutting(
        write_length(sketch.cut_list.allowance, system),
        write_length(sketch.study.cloth.ruler or 1e4, system),
        pieces,
        tuple(_print_cloth(sketch, lines, plans[lines.fabric]) for lines in list_cutting(sketch) if lines.first_cuts),
    )


def _print_cloth(sketch: Sketch, lines: ClothLines, plan: ClothPlan) -> PrintedCloth:
    system = sketch.study.measures.system
    found = []
    for first in lines.first_cuts:
        found.append(PrintedLine(first.text))
        found += [PrintedLine(sub.text, sub.depth) for sub in first.sub_cuts]
    for one in lines.joined:
        found += [PrintedLine(one.text), PrintedLine(one.sub_cut.text, 1)]
    drawings = {
        name: tuple((cut.piece, cut.x, cut.y, cut.width, cut.height) for cut in strip.cuts)
        for name, strip in list_drawn(plan).items()
    }
    long, high = plan.piece_of_cloth
    if plan.supply.form == "yardage":
        need = write_length(plan.as_bought, system, step=sketch.cut_list.step)
        size = (write_length(plan.supply.width, system), need)
    else:
        size = (write_length(long, system), write_length(high, system))
    piles = _count_piles(sketch, plan)
    printed = plan.supply.print_repeat if plan.supply.form == "yardage" and not plan.layer else None
    repeat, motif = ("", ""), ("", "")
    if printed is not None:
        repeat = _write(printed.along, system), _write(printed.across, system)
        motif = _write(printed.motif_along, system), _write(printed.motif_across, system)
    return PrintedCloth(
        lines.fabric, plan.supply.form, size, tuple(found), drawings, piles, plan.supply.nap, repeat, motif
    )


def _write(inches: float | None, system: System) -> str:
    return "" if inches is None else write_length(inches, system)


def _count_piles(sketch: Sketch, plan: ClothPlan) -> dict[str, dict[str, int]]:
    """Return how many triangles of each diagonal the top needs of a cloth with a top, from the design alone.

    A piece that stands askew in the top lies in the cloth as one does that stands straight in the same half of the
    directions: those from 22.5 degrees before level to 67.5 beyond it, or the others.
    """
    found: dict[str, dict[str, int]] = {}
    if not plan.supply.directed:
        return found
    for piece in sketch.making.cut_list.pieces:
        own = piece.slot == plan.supply.slot and piece.fabric in (plan.supply.fabric, None)
        mine = own or piece.fabric in plan.supply.shares
        if not mine or piece.kind not in (HALF, RECTANGLE) or len(piece.headings) != piece.count or plan.short:
            continue
        edges = measure_edges(piece.outline)
        slant = measure_directions(piece.outline)[edges.index(max(edges))]
        legs = measure_directions(piece.outline)[edges.index(min(edges))]
        straight = {_find_half_turn(turn - legs): turn - legs for turn in (0.0, 90.0)}
        lie = [straight[_find_half_turn(heading)] for heading in piece.headings]
        rising = sum(0 < (heading + slant) % 180 < 90 for heading in lie)
        held = found.setdefault(piece.id, {"rising": 0, "falling": 0})
        held["rising"] += rising
        held["falling"] += piece.count - rising
    return found


def _find_half_turn(heading: float) -> int:
    """Return which half of the directions a piece's first edge has in the top, 0 or 1; upside down is the same."""
    return int((heading + 22.5) % 180 // 90)
