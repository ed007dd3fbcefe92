"""Tables of the cutting besides the instructions: the ways of making each unit, the batches, the usable widths."""

from collections.abc import Sequence
from math import ceil

import pandas as pd

from kit.errors import KitError
from kit.lengths import System, buying_length, round_up, write_buying, write_length, write_nearest
from kit.model.making import UnitWays, Way
from kit.model.pattern import Sketch
from kit.model.widths import WidthRow, WidthTable
from kit.output.pictures.cutting_picture import measure_left
from kit.output.words.batch_words import SLIVER, list_making, name_unit, say_making
from kit.output.words.form_words import name_form


def ways(pattern: Sketch) -> pd.DataFrame:
    """Return one row per unit and way of making it: squares, cloth, cuts and seams, the chosen way marked.

    Cloth is the length of the narrowest of the unit's fabrics, with strips counted way by way; the cutting plan then
    puts everything together.

    Parameters
    ----------
    pattern
        A pattern; or a sketch of a study that asks for ways of making.

    Raises
    ------
    KitError
        A sketch without ways of making.
    """
    choices = pattern.making.choices
    columns = [
        "Unit", "Finished", "Fabrics", "Count", "Way", "Chosen", "Cut for one batch", "Makes", "Batches", "Spare",
        "Cloth", "Cuts", "Seams", "Minutes", "Larger by", "Outer edges",
    ]  # fmt: skip
    if not choices and not hasattr(pattern, "sewing"):
        raise KitError(
            "A sketch does not know its units", needed="a pattern", do="make it with kit.make_pattern, then ask again"
        )
    system, step = pattern.study.measures.system, pattern.cut_list.step
    rows = [_list_way(choice, way, system, step) for choice in choices for way in choice.ways]
    return pd.DataFrame(rows, columns=columns)


def _list_way(choice: UnitWays, way: Way, system: System, step: float) -> dict[str, object]:
    sizes = [(round_up(cloth.width, step), round_up(cloth.height, step)) for cloth in way.cloths]
    cut = "; ".join(
        f"({cloth.number}) {_write_size(size, system)}" + ("" if choice.name else f" {cloth.name}")
        for cloth, size in zip(way.cloths, sizes, strict=True)
    )
    return {
        "Unit": choice.name or choice.unit,
        "Finished": " × ".join(write_nearest(side, system) for side in choice.size),
        "Fabrics": ", ".join(dict.fromkeys(choice.fabrics)),
        "Count": choice.count,
        "Way": way.name,
        "Chosen": "yes" if way.name == choice.chosen else "",
        "Cut for one batch": cut,
        "Makes": way.makes,
        "Batches": way.batches,
        "Spare": way.spare,
        "Cloth": write_length(way.cloth, system),
        "Cuts": way.cuts,
        "Seams": way.seams,
        "Minutes": round(way.minutes),
        "Larger by": _write_trim(way.trim, system),
        "Outer edges": "bias" if way.bias else "straight",
    }


def _write_trim(inches: float, system: System) -> str:
    return "–" if inches < 1e-6 else say_making("sliver") if inches < SLIVER else write_nearest(inches, system)


def _write_size(size: Sequence[float], system: System) -> str:
    low, high = sorted(size)
    square = f"{write_length(high, system)} square"
    return square if high - low < 1e-6 else f"{write_length(low, system)} × {write_length(high, system)}"


def making(pattern: Sketch) -> pd.DataFrame:
    """Return one row per kind of unit made several at a time: the number of batches, the cut shapes, and the way."""
    rows = []
    for made, lines in zip(pattern.making.made, list_making(pattern), strict=True):
        count = len(made.units)
        rows.append(
            {
                "Unit": made.id,
                "Make": f"{count} {name_unit(made, count)}",
                "Way": made.way,
                "Fabrics": ", ".join(dict.fromkeys(made.fabrics)),
                "Batches": made.batches,
                "Spare": made.spare,
                "Cut": ", ".join(f"{blank.count} of {blank.id}" for blank in made.blanks),
                "How": " ".join(lines.lines) + (" " + "; ".join(lines.items) + "." if lines.items else ""),
            }
        )
    return pd.DataFrame(rows, columns=["Unit", "Make", "Way", "Fabrics", "Batches", "Spare", "Cut", "How"])


def cloth(pattern: Sketch) -> pd.DataFrame:
    """Return one row per cloth: the length of its strips, the proven least, the excess, and the rest of the strips.

    Inches of length without squaring up, or a number of pre-cuts.
    """
    system = pattern.study.measures.system

    def write(amount: float, form: str) -> str:
        if form == "yardage":
            return write_length(amount, system)
        count = ceil(amount - 1e-6)
        return f"{count} {name_form(form, count)}"

    rows = [
        {
            "Fabric": plan.supply.fabric or plan.supply.slot,
            "Strips take": write(plan.used, plan.supply.form),
            "Least possible": write(plan.bound, plan.supply.form),
            "Above the least": f"{ceil(round(plan.gap * 1000, 6)) / 10:g} %",
            "Left over": f"{100 * measure_left(plan.strips):.0f} %",
        }
        for plan in pattern.cutting.cloths
    ]
    return pd.DataFrame(rows, columns=["Fabric", "Strips take", "Least possible", "Above the least", "Left over"])


def widths(table: WidthTable, insurance: float = 0.0) -> pd.DataFrame:
    """Return one row per fabric and usable width: length of strips, length to buy, and the least width for it.

    Parameters
    ----------
    table
        From `kit.compare_widths`.
    insurance
        Inches of length bought on top, before rounding up.
    """
    system = table.sketch.study.measures.system
    planned = {plan.supply.fabric: plan.supply.width for plan in table.sketch.cutting.cloths}
    rows = [
        {
            "Fabric": fabric.supply.fabric or fabric.supply.slot,
            "Usable width": write_length(row.width, system),
            "Planned": "yes" if abs(row.width - planned[fabric.supply.fabric]) < 1e-6 else "",
            **_write_row(row, insurance, system),
        }
        for fabric in table.fabrics
        for row in fabric.rows
    ]
    columns = ["Fabric", "Usable width", "Planned", "Strips take", "Buy", "Spare", "Enough from", "Proved within"]
    return pd.DataFrame(rows, columns=columns)


def _write_row(row: WidthRow, insurance: float, system: System) -> dict[str, str]:
    if row.short:
        return dict.fromkeys(("Strips take", "Spare", "Enough from", "Proved within"), "–") | {
            "Buy": f"cannot be cut: {row.short}"
        }
    need = row.as_bought + insurance
    gap = max(0.0, row.cloth / row.bound - 1) if row.bound else 0.0
    return {
        "Strips take": write_length(row.cloth, system),
        "Buy": write_buying(need, system),
        "Spare": write_length(buying_length(need, system) - need, system),
        "Enough from": write_length(row.enough_from, system),
        "Proved within": f"{ceil(round(gap * 1000, 6)) / 10:g} %",
    }
