"""Plain tables of the plans, as pandas frames; texts are for reading, with exact figures beside them."""

from collections import Counter
from collections.abc import Iterable, Sequence

import pandas as pd

from kit.lengths import System, write_length
from kit.model.cutting import Cut, Piece, Strip
from kit.model.pattern import Pattern, Sketch
from kit.output.tables import finishing_tables, quilting_tables
from kit.output.tables.assembly_tables import assemblies
from kit.output.tables.buying_tables import shopping
from kit.output.tables.comparing_tables import compare, compare_editions, fits
from kit.output.tables.cutting_tables import cloth, making, ways, widths
from kit.output.tables.tester_tables import errata, findings, measured
from kit.output.tables.unit_tables import units
from kit.output.words.cutting_words import describe_blank
from kit.output.words.sizes import TRIANGLES, describe_angles, describe_finished, describe_result, describe_size
from kit.output.words.step_words import StepSentences

__all__ = [
    "assemblies",
    "backing",
    "batting",
    "binding",
    "borders",
    "care",
    "cloth",
    "compare",
    "compare_editions",
    "costs",
    "cutting",
    "errata",
    "findings",
    "finishing",
    "finishing_tables",
    "fits",
    "hours",
    "making",
    "measured",
    "pieces",
    "quilting",
    "quilting_tables",
    "shopping",
    "steps",
    "thread",
    "units",
    "ways",
    "widths",
]


def pieces(pattern: Sketch) -> pd.DataFrame:
    """Return one row per cut piece: shape, hand, count, finished and cut size.

    For units made several at a time the squares and strips take the place of their pieces.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    """
    system = pattern.study.measures.system
    rows = [
        {
            "Piece": piece.id,
            "Slot": piece.slot,
            "Name": piece.name,
            "Shape": piece.kind,
            "Hand": piece.hand or "–",
            "Count": piece.count,
            "Finished": describe_finished(piece.kind, piece.finished, system) if piece.patches else "–",
            "Cut": describe_size(piece.kind, piece.rounded, system),
            "Cut, exact (in)": ", ".join(f"{name} {size:.4f}" for name, size in piece.cut.items()),
            "Angles": describe_angles(piece) or "90°",
            "Bias edges": sum(piece.bias),
        }
        for piece in pattern.making.pieces
    ]
    return pd.DataFrame(rows)


def cutting(pattern: Sketch) -> pd.DataFrame:
    """Return the cutting instructions in order: from each fabric, strips, then their sub-cuts."""
    system = pattern.study.measures.system
    kinds = {piece.id: piece for piece in pattern.making.pieces}
    rows = []
    for plan in pattern.cutting.cloths:
        for strips in _group_strips(plan.strips):
            cuts = [cut for strip in strips for cut in strip.cuts]
            whole = {cut.piece for strip in strips for cut in strip.cuts if cut.height > strip.height - 1e-6}
            order = list(dict.fromkeys(cut.piece for cut in sorted(cuts, key=lambda cut: cut.piece not in whole)))
            for number, piece_id in enumerate(order):
                piece, mine = kinds[piece_id], [cut for cut in cuts if cut.piece == piece_id]
                total = sum(cut.count for cut in mine)
                halved = piece.kind in TRIANGLES
                sub_cut = describe_blank(piece, len(mine) if halved else total, system)
                result = describe_result(piece, len(mine), total) if halved else f"{total} of {piece_id}"
                if mine[0].joined:
                    sub_cut, result = _describe_lengths(mine, system), _describe_joined(piece, total, system)
                rows.append(
                    {
                        "Fabric": plan.supply.fabric or plan.supply.slot,
                        "First cut": _describe_first(strips, system)
                        if number == 0
                        else "the same"
                        if piece_id in whole
                        else "what is left of them, cut down",
                        "Sub-cut": sub_cut,
                        "Piece": piece_id,
                        "Result": result,
                    }
                )
    return pd.DataFrame(rows, columns=["Fabric", "First cut", "Sub-cut", "Piece", "Result"])


def _describe_first(strips: Sequence[Strip], system: System) -> str:
    """Describe the strips to cut from the cloth, their number, and the fold for the sub-cuts."""
    first = strips[0]
    how = ", for pieces cut lengthwise" if first.lengthwise else ""
    fold = ", folded right sides together" if first.folded else ""
    return f"({len(strips)}) {write_length(first.height, system)} × {write_length(first.length, system)}{how}{fold}"


def _describe_lengths(cuts: Sequence[Cut], system: System) -> str:
    """Describe the lengths to cut for joining."""
    sizes = Counter((write_length(cut.height, system), write_length(cut.width, system)) for cut in cuts)
    return " and ".join(f"({count}) {high} × {wide}" for (high, wide), count in sizes.items()) + ", to be joined"


def _describe_joined(piece: Piece, total: int, system: System) -> str:
    """Describe the pieces from joined lengths; all lengths are kept until the last is cut."""
    if not total:
        return f"lengths for {piece.id}"
    size = describe_size(piece.kind, piece.rounded, system)
    return f"all lengths for {piece.id} joined end to end: {total} of {piece.id}, {size}"


def _group_strips(strips: Iterable[Strip]) -> list[list[Strip]]:
    """Put strips of one height that hold the same pieces together."""
    groups: dict[tuple[object, ...], list[Strip]] = {}
    for strip in strips:
        key = (strip.height, strip.length, strip.folded, tuple(dict.fromkeys(cut.piece for cut in strip.cuts)))
        groups.setdefault(key, []).append(strip)
    return list(groups.values())


def steps(pattern: Pattern) -> pd.DataFrame:
    """Return one row per step: number, unit, how many to make, what is done, where to press, unfinished size."""
    columns = ["Step", "Unit", "Make", "Action", "Press", "Unfinished"]
    return pd.DataFrame(StepSentences(pattern, pattern.sewing).list_rows(), columns=columns)


def finishing(pattern: Pattern) -> pd.DataFrame:
    """Return the whole finishing, one row per figure: from borders to money, with the assumptions."""
    return finishing_tables.list_finishing(pattern.finishing)


def borders(pattern: Pattern) -> pd.DataFrame:
    """Return one row per border: widths, strips, cut lengths, ease, the way they are cut and the cloth."""
    return finishing_tables.list_borders(pattern.finishing)


def backing(pattern: Pattern) -> pd.DataFrame:
    """Return one row per way to make the backing, the best first."""
    return finishing_tables.list_backings(pattern.finishing)


def batting(pattern: Pattern) -> pd.DataFrame:
    """Return one row per suitable batting, the best first."""
    return finishing_tables.list_battings(pattern.finishing)


def binding(pattern: Pattern) -> pd.DataFrame:
    """Return the facts about the binding, one row per figure."""
    return finishing_tables.list_binding(pattern.finishing)


def thread(pattern: Pattern) -> pd.DataFrame:
    """Return one row per thread: path, lengths with waste, bobbins and spools."""
    return finishing_tables.list_thread_lengths(pattern.finishing)


def hours(pattern: Pattern) -> pd.DataFrame:
    """Return one row per kind of work, and the sum."""
    return finishing_tables.list_hours(pattern.finishing)


def costs(pattern: Pattern) -> pd.DataFrame:
    """Return one row per purchase or charge, then total, price and deposit; missing prices are left open."""
    return finishing_tables.list_costs(pattern.finishing)


def care(pattern: Pattern) -> pd.DataFrame:
    """Return the lines of the label and of the care card."""
    return finishing_tables.list_care(pattern.finishing)


def quilting(pattern: Pattern) -> pd.DataFrame:
    """Return the whole quilting, one row per figure: lines, route, thread, time, widest gap, evenness."""
    return quilting_tables.list_quilting(pattern.quilting, pattern.finishing.thread, pattern.study.measures.system)
