"""What to buy: one row per fabric, with the length or number to buy, its price and its use."""

import pandas as pd

from kit.lengths import CM, YARD, Length, buying_length, take_length, write_buying, write_length
from kit.model.buying import find_own_way
from kit.model.cutting import ClothPlan
from kit.model.fabrics import Fabric
from kit.model.pattern import Measures, Sketch
from kit.output.words.buying_words import say_way
from kit.output.words.form_words import name_form
from kit.output.words.strings import say


def shopping(pattern: Sketch, insurance: Length = 0.0) -> pd.DataFrame:
    """Return one row per fabric: pieces, strips, exact length, margin, amount to buy, amount to spare, cost.

    "Enough from" is the least usable width on which the amount is enough, where the plan was searched.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    insurance
        Length bought on top of what the plan uses, inches or a text with its unit; where there is any, it stands in a
        column of its own.
    """
    more, measures = take_length(insurance, "insurance"), pattern.study.measures
    plans = {plan.supply.fabric: plan for plan in pattern.cutting.cloths}
    rows = [
        _share(fabric, pattern.colouring.uses.get(fabric.name, 0))
        if fabric.cloth is not None
        else _shop(fabric, plans.get(fabric.name), pattern.colouring.uses.get(fabric.name, 0), measures, more)
        for fabric in pattern.study.fabrics
    ]
    return pd.DataFrame(rows)


def _share(fabric: Fabric, count: int) -> dict[str, object]:
    """Return the row of a fabric that is cut from the cloth of another."""
    row: dict[str, object] = {"Fabric": fabric.name, "Slot": fabric.slot, "Pieces": count, "Strips": 0}
    row |= dict.fromkeys(("Uses", "Margin", "Spare", "Enough from"), "–")
    return row | {"Buy": say("cut_with", name=fabric.cloth), "Cost": 0.0}


def _shop(
    fabric: Fabric, plan: ClothPlan | None, count: int, measures: Measures, insurance: float
) -> dict[str, object]:
    system = measures.system
    row: dict[str, object] = {"Fabric": fabric.name, "Slot": fabric.slot, "Pieces": count}
    if plan is None:
        empty = dict.fromkeys(("Uses", "Margin", "Buy", "Spare", "Enough from"), "–")
        return row | {"Strips": 0, **empty, "Cost": 0.0}
    row["Strips"] = len(plan.strips)
    if fabric.form == "yardage":
        need, margin = plan.as_bought, plan.margin / (1 - plan.supply.shrinkage)
        buy = buying_length(need + insurance, system)
        row |= {"Insurance": write_length(insurance, system)} if insurance else {}
        per = YARD if system == "inch" else 100 * CM
        row |= {
            "Uses": write_length(need - margin, system),
            "Margin": write_length(margin, system) if margin else "–",
            "Buy": write_buying(need + insurance, system),
            "Spare": write_length(buy - need, system),
            "Enough from": write_length(plan.enough.width, system) if plan.enough else "–",
            "Cost": round(buy / per * fabric.price, 2) if fabric.price is not None else None,
        }
    else:
        have = fabric.count
        missing = sum(plan.short.values())
        spare = "–" if have is None else _count(fabric.form, have - len(plan.strips))
        used = _count(fabric.form, len(plan.strips))
        row |= {
            "Uses": used,
            "Margin": "–",
            "Buy": f"{used}, {write_length(fabric.width, system)} wide" if fabric.form == "strips" else used,
            "Spare": f"short of {missing} pieces" if missing else spare,
            "Enough from": "–",
            "Cost": round(len(plan.strips) * fabric.price, 2) if fabric.price is not None else None,
        }
    if fabric.pack is not None:
        way = find_own_way(fabric.pack, len(plan.strips))
        over = way.packs * fabric.pack.usable - len(plan.strips)
        row |= {"Buy": say_way(way, system), "Spare": _count(fabric.form, over)}
        row["Cost"] = None if fabric.pack.price is None else round(way.packs * fabric.pack.price, 2)
    return row


def _count(form: str, count: int) -> str:
    return f"{count} {name_form(form, count)}"
