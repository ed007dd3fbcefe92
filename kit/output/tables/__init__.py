"""Plain tables of the plans, as pandas frames; texts are for reading, with exact figures beside them."""

import pandas as pd

from kit.lengths import CM
from kit.model.pattern import Pattern, Sketch
from kit.output.tables import finishing_tables, quilting_tables
from kit.output.tables.assembly_tables import assemblies
from kit.output.tables.buying_tables import shopping
from kit.output.tables.buying_way_tables import buying
from kit.output.tables.chain_tables import chains
from kit.output.tables.comparing_tables import compare, compare_editions, fits
from kit.output.tables.cutting_tables import cloth, making, ways, widths
from kit.output.tables.foundation_tables import paper_cloth, papers
from kit.output.tables.stash_tables import stash_fits
from kit.output.tables.tester_tables import errata, findings, measured
from kit.output.tables.unit_tables import units
from kit.output.words.cutting_lines import SubCut
from kit.output.words.cutting_words import list_cutting
from kit.output.words.sizes import describe_angles, describe_finished, describe_size
from kit.output.words.step_words import StepSentences
from kit.output.words.strings import say

__all__ = [
    "assemblies",
    "backing",
    "batting",
    "binding",
    "borders",
    "buying",
    "care",
    "chains",
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
    "paper_cloth",
    "papers",
    "pieces",
    "quilting",
    "quilting_tables",
    "shopping",
    "stash_fits",
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
    exact, unit = ("Cut, exact (cm)", CM) if system == "metric" else ("Cut, exact (in)", 1.0)
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
            exact: ", ".join(f"{name} {size / unit:.4f}" for name, size in piece.cut.items()),
            "Angles": describe_angles(piece) or "90°",
            "Bias edges": sum(piece.bias),
        }
        for piece in pattern.making.pieces
    ]
    return pd.DataFrame(rows)


def cutting(pattern: Sketch) -> pd.DataFrame:
    """Return the cutting instructions in order: from each fabric, strips, then their sub-cuts, in the printed words."""
    rows: list[dict[str, object]] = []
    for lines in list_cutting(pattern):
        for first in lines.first_cuts:
            above = [first.text]
            for sub in first.sub_cuts:
                above = above[: sub.depth]
                if not sub.piece:
                    above.append(sub.text)
                    continue
                rows.append(_write_row(lines.fabric, above[-1], sub, sub.gives * sub.times))
        rows += [_write_row(lines.fabric, one.text, one.sub_cut, one.sub_cut.gives) for one in lines.joined]
    for before, row in zip(reversed(rows[:-1]), reversed(rows[1:]), strict=True):
        if before["First cut"] == row["First cut"] and before["Fabric"] == row["Fabric"]:
            row["First cut"] = say("table_same")
    return pd.DataFrame(rows, columns=["Fabric", "First cut", "Sub-cut", "Piece", "Result"])


def _write_row(fabric: str, above: str, sub: SubCut, gives: int) -> dict[str, object]:
    result = say("table_gives", count=gives, piece=sub.piece) if gives else say("table_kept", piece=sub.piece)
    return {"Fabric": fabric, "First cut": above, "Sub-cut": sub.text, "Piece": sub.piece, "Result": result}


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
