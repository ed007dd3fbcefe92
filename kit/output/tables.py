"""Plain tables of the plans, as pandas frames; texts are for reading, exact figures are kept beside them."""

from collections import Counter
from collections.abc import Iterable, Sequence
from math import ceil
from typing import Literal

import pandas as pd

from kit.lengths import CM, YARD, System, buying_length, write_buying, write_length, write_nearest
from kit.model.cutting import ClothPlan, Cut, Piece, Strip
from kit.model.fabrics import Fabric
from kit.model.fits import Fit, Option
from kit.model.pattern import Measures, Pattern, Sketch
from kit.output import finishing_tables, quilting_tables
from kit.output.cutting_tables import cloth, making, ways, widths
from kit.output.instructions import StepWriter
from kit.output.words import describe_angles, describe_finished, describe_result, describe_size

__all__ = [
    "backing",
    "batting",
    "binding",
    "borders",
    "care",
    "cloth",
    "compare",
    "costs",
    "cutting",
    "editions",
    "finishing",
    "fits",
    "hours",
    "making",
    "pieces",
    "quilting",
    "shopping",
    "steps",
    "thread",
    "ways",
    "widths",
]


def pieces(pattern: Sketch) -> pd.DataFrame:
    """Return one row a piece that is cut: shape, hand, count, finished and cut size.

    Of units that are made several at a time the squares and strips stand in place of their pieces.

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


def shopping(pattern: Sketch, insurance: float = 0.0) -> pd.DataFrame:
    """Return one row a fabric: pieces, strips, exact length, what to buy, what is spare, what it costs.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    insurance
        Inches of length bought on top of what the plan uses, stated in a column of its own where there are any.
    """
    measures = pattern.study.measures
    plans = {plan.supply.fabric: plan for plan in pattern.cutting.cloths}
    rows = [
        _shop(fabric, plans.get(fabric.name), pattern.colouring.uses.get(fabric.name, 0), measures, insurance)
        for fabric in pattern.study.fabrics
    ]
    return pd.DataFrame(rows)


def _shop(
    fabric: Fabric, plan: ClothPlan | None, count: int, measures: Measures, insurance: float
) -> dict[str, object]:
    system = measures.system
    row: dict[str, object] = {"Fabric": fabric.name, "Slot": fabric.slot, "Pieces": count}
    if plan is None:
        return row | {"Strips": 0, "Uses": "–", "Buy": "–", "Spare": "–", "Cost": 0.0}
    row["Strips"] = len(plan.strips)
    if fabric.form == "yardage":
        need = plan.as_bought
        buy = buying_length(need + insurance, system)
        row |= {"Insurance": write_length(insurance, system)} if insurance else {}
        per = YARD if system == "inch" else 100 * CM
        row |= {
            "Uses": write_length(need, system),
            "Buy": write_buying(need + insurance, system),
            "Spare": write_length(buy - need, system),
            "Cost": round(buy / per * fabric.price, 2) if fabric.price is not None else None,
        }
    else:
        many, one = fabric.form, {"strips": "strip", "squares": "square"}.get(fabric.form, fabric.form)
        have = fabric.count
        missing = sum(plan.short.values())
        spare = "–" if have is None else f"{have - len(plan.strips)} {one if have - len(plan.strips) == 1 else many}"
        used = f"{len(plan.strips)} {one if len(plan.strips) == 1 else many}"
        row |= {
            "Uses": used,
            "Buy": f"{used}, {write_length(fabric.width, system)} wide" if fabric.form == "strips" else used,
            "Spare": f"short of {missing} pieces" if missing else spare,
            "Cost": round(len(plan.strips) * fabric.price, 2) if fabric.price is not None else None,
        }
    return row


def cutting(pattern: Sketch) -> pd.DataFrame:
    """Return the cutting instructions in order: from each fabric, strips, then what is sub-cut from them."""
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
                hand = f", {piece.hand} hand" if piece.hand else ""
                sub_cut = f"({total}) {describe_size(piece.kind, piece.rounded, system)}{hand}"
                result = describe_result(piece, total) or f"{total} of {piece_id}"
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
    """Say how strips are cut from the cloth, how many, and whether they are folded for the sub-cuts."""
    first = strips[0]
    how = ", for pieces cut lengthwise" if first.lengthwise else ""
    fold = ", folded right sides together" if first.folded else ""
    return f"({len(strips)}) {write_length(first.height, system)} × {write_length(first.length, system)}{how}{fold}"


def _describe_lengths(cuts: Sequence[Cut], system: System) -> str:
    """Say which lengths are cut to be joined."""
    sizes = Counter((write_length(cut.height, system), write_length(cut.width, system)) for cut in cuts)
    return " and ".join(f"({count}) {high} × {wide}" for (high, wide), count in sizes.items()) + ", to be joined"


def _describe_joined(piece: Piece, total: int, system: System) -> str:
    """Say what the lengths become; all lengths but the last are kept until that is cut."""
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
    """Return one row a step: number, unit, how many to make, what is done, where to press, unfinished size."""
    columns = ["Step", "Unit", "Make", "Action", "Press", "Unfinished"]
    return pd.DataFrame(StepWriter(pattern, pattern.sewing).list_rows(), columns=columns)


def finishing(pattern: Pattern) -> pd.DataFrame:
    """Return the whole finishing, one row a figure: from borders to money, and what is assumed."""
    return finishing_tables.overview(pattern.finishing)


def borders(pattern: Pattern) -> pd.DataFrame:
    """Return one row a border: widths, strips, cut lengths, ease, the way they are cut and the cloth."""
    return finishing_tables.borders(pattern.finishing)


def backing(pattern: Pattern) -> pd.DataFrame:
    """Return one row a way to make the backing, the best first."""
    return finishing_tables.backing(pattern.finishing)


def batting(pattern: Pattern) -> pd.DataFrame:
    """Return one row a batting that serves, the best first."""
    return finishing_tables.batting(pattern.finishing)


def binding(pattern: Pattern) -> pd.DataFrame:
    """Return what there is to know of the binding, one row a figure."""
    return finishing_tables.binding(pattern.finishing)


def thread(pattern: Pattern) -> pd.DataFrame:
    """Return one row a thread: path, lengths with waste, bobbins and spools."""
    return finishing_tables.thread(pattern.finishing)


def hours(pattern: Pattern) -> pd.DataFrame:
    """Return one row a kind of work, and the sum."""
    return finishing_tables.time(pattern.finishing)


def costs(pattern: Pattern) -> pd.DataFrame:
    """Return one row a purchase or charge, then total, price and deposit; what has no price is left open."""
    return finishing_tables.costs(pattern.finishing)


def care(pattern: Pattern) -> pd.DataFrame:
    """Return the lines of the label and of the care card."""
    return finishing_tables.care(pattern.finishing)


def quilting(pattern: Pattern) -> pd.DataFrame:
    """Return the whole quilting, one row a figure: lines, route, thread, time, widest gap, evenness."""
    return quilting_tables.overview(pattern.quilting, pattern.finishing.thread, pattern.study.measures.system)


def compare(patterns: Sequence[Sketch], columns: Literal["figures", "editions"] = "figures") -> pd.DataFrame:
    """Return one row a study: sizes, patches, pieces, seams, fabric, cost, hours; or the editions of one in columns.

    Of patterns, cost and hours are those of the whole quilt, finishing included, at her own speeds. Where a sketch is
    among them they are those of the tops alone, at 20 s a cut and 60 s a seam, pressing included (common practice, no
    source). Where two have one title a second column names the editions.

    Parameters
    ----------
    patterns
        Patterns or sketches.
    columns
        "figures", or "editions": then each has a column, as in `editions`.
    """
    if columns == "editions":
        return editions(patterns)
    whole = all(isinstance(pattern, Pattern) for pattern in patterns)
    rows = [_summarise(pattern, whole=whole) for pattern in patterns]
    if len({row["Title"] for row in rows}) < len(rows):
        names = [pattern.study.edition for pattern in patterns]
        rows = [{"Title": row["Title"], "Edition": name} | row for row, name in zip(rows, names, strict=True)]
    return pd.DataFrame(rows)


def editions(patterns: Sequence[Sketch]) -> pd.DataFrame:
    """Return one column an edition: sizes, counts, what to buy of each fabric, cost and hours.

    Parameters
    ----------
    patterns
        A sketch or a pattern of each edition, from `kit.editions`.
    """
    columns: dict[str, dict[str, object]] = {}
    whole = all(isinstance(pattern, Pattern) for pattern in patterns)
    for pattern in patterns:
        facts = _summarise(pattern, whole=whole)
        buys = {f"{row['Fabric']}, buy": row["Buy"] for _, row in shopping(pattern).iterrows()}
        counts = {"Pieces": pattern.cut_list.count} | {
            key: facts[key] for key in ("Patches", "Kinds of piece", "Seams")
        }
        shown = {"Finished": facts["Finished"]} | counts | buys | {"Cost": facts["Cost"], "Hours": facts["Hours"]}
        name = pattern.study.edition.partition(", ")[2] or pattern.study.edition
        columns[name if name not in columns else f"{name} ({len(columns) + 1})"] = shown
    return pd.DataFrame(columns, dtype=object).fillna("–")


def fits(fit: Fit) -> pd.DataFrame:
    """Return one row a way to a wanted size, the least odd first: what is set, what it finishes and takes in cloth.

    Parameters
    ----------
    fit
        From `kit.fit`.
    """
    rows = []
    for option in fit.options:
        facts, system = _summarise(option.sketch, whole=False), option.sketch.study.measures.system
        chosen = option.choice
        lengths = zip(fit.names[2:], (chosen.block, chosen.sashing, chosen.border), strict=True)
        row: dict[str, object] = {_title(fit.names[0]): chosen.across}
        row |= {_title(fit.names[1]): chosen.down} if fit.names[1] else {}
        row |= {_title(name): write_length(length, system) for name, length in lengths if name and length is not None}
        off = (option.finished[0] - fit.target.width, option.finished[1] - fit.target.height)
        row |= {"Finished": facts["Finished"], "Off": " × ".join(_write_off(inches, system) for inches in off)}
        row |= {"Oddness": round(option.oddness, 1), "Because of": _list_points(option)}
        rows.append(row | {key: facts[key] for key in ("Patches", "Yardage", "Strips", "Cost")})
    return pd.DataFrame(rows)


def _title(key: str) -> str:
    return key.replace("_", ", ").capitalize()


def _write_off(inches: float, system: System) -> str:
    return "0" if abs(inches) < 1 / 64 else f"{'+' if inches > 0 else '−'}{write_nearest(abs(inches), system)}"


def _list_points(option: Option) -> str:
    ranked = sorted(option.points, key=lambda entry: -entry[1])
    return ", ".join(f"{name} {points:.1f}" for name, points in ranked if points >= 0.05) or "nothing"


def _summarise(pattern: Sketch, *, whole: bool) -> dict[str, object]:
    system = pattern.study.measures.system
    width, height = pattern.patchwork.finished
    yardage = sum(plan.used + plan.squaring_up for plan in pattern.cutting.cloths if plan.supply.form == "yardage")
    strips = sum(len(plan.strips) for plan in pattern.cutting.cloths if plan.supply.form == "strips")
    prices = shopping(pattern)["Cost"]
    patches = len(pattern.patchwork.patches)
    seams = patches - 1
    cost, work = float(prices.fillna(0).sum()), (patches * 20 + seams * 60) / 3600
    if whole and isinstance(pattern, Pattern):
        cost, work = pattern.finishing.cost.total, pattern.finishing.hours
    return {
        "Title": pattern.study.title,
        "Finished": f"{write_length(width, system)} × {write_length(height, system)}",
        "Patches": patches,
        "Kinds of piece": len(pattern.cut_list.pieces),
        "Seams": seams,
        "Fabrics": len(pattern.study.fabrics),
        "Yardage": write_buying(yardage, system) if yardage else "–",
        "Strips": strips,
        "Cost": round(cost, 2),
        "Hours": ceil(round(work * 10, 6)) / 10,
    }
