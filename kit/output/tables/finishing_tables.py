"""The finishing as plain tables: one row per border, way, strip, thread or purchase."""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

import pandas as pd

from kit.lengths import YARD, System, write_buying, write_length, write_nearest, write_thread
from kit.model.finishing import FinishingPlan
from kit.model.finishing_parts import Backing, Batting
from kit.model.notices import Notice
from kit.output.words.cost_words import name_charge, name_purchase, name_work, write_amount, write_basis, write_work
from kit.output.words.finishing_words import write_care, write_label
from kit.output.words.notice_words import say_notices
from kit.output.words.thread_words import name_thread

Row: TypeAlias = tuple[str, str, str]


def _size(size: Iterable[float], system: System) -> str:
    return " × ".join(write_length(round(side, 6), system) for side in size)


def _list_notices(part: str, notices: Sequence[Notice], plan: FinishingPlan) -> list[tuple[str, str, str]]:
    said = say_notices(notices, plan.top.system)
    return [(part, f"{number}", sentence) for number, sentence in enumerate(said, start=1)]


def list_finishing(plan: FinishingPlan) -> pd.DataFrame:
    """Return the whole finishing, one row per figure; then assumptions, warnings and cautions."""
    rows = [
        *_list_borders(plan),
        *_list_backing(plan),
        *(("Binding", what, figure) for what, figure in list_binding(plan).itertuples(index=False)),
        *_list_sleeve(plan),
        *_list_figures(plan),
        *_list_notices("Assumed", plan.assumptions, plan),
        *_list_notices("Look at", plan.warnings, plan),
        *_list_notices("Take care", plan.cautions, plan),
    ]
    return pd.DataFrame(rows, columns=["Part", "What", "Figure"])


def _list_borders(plan: FinishingPlan) -> Iterable[Row]:
    system = plan.top.system
    for border in plan.borders:
        part = f"Border {border.number}"
        yield part, "Sides, two cut", f"{write_nearest(border.lengths[0], system)} long"
        yield part, "Ends, two cut", f"{write_nearest(border.lengths[2], system)} long"
        yield part, "Strips", f"{border.strips} cut {write_length(border.cut, system)} wide, {border.way}"
        yield part, "Joins", f"{border.joins} {border.join}" if border.joins else "none"
        yield part, "Cloth", write_nearest(border.cloth, system)


def _list_backing(plan: FinishingPlan) -> Iterable[Row]:
    system, way, filling = plan.top.system, plan.backing.chosen, plan.batting.chosen
    needed = _size(plan.backing.needed, system)
    yield "Backing", "Size before trimming", needed
    yield "Backing", "Way", way.way
    yield "Backing", "Panels and seams", f"{_count(len(way.panels), 'panel')}, {_count(way.seams, 'seam')}"
    yield "Backing", "Buy", write_buying(way.bought, system) if way.bought else "–"
    yield "Batting", "Size before trimming", needed
    name = filling.name if filling.way == "package" else "off the roll"
    yield "Batting", "Take", f"{name}, {_size(filling.size, system)}"
    yield "Batting", "Butted joins", f"{filling.joins}"


def _list_sleeve(plan: FinishingPlan) -> Iterable[Row]:
    system, sleeve = plan.top.system, plan.sleeve
    if sleeve is None:
        yield "Sleeve", "Finished", "none"
        return
    yield "Sleeve", "Finished", _size(sleeve.finished, system)
    yield "Sleeve", "Cut", _size(sleeve.cut, system)
    if sleeve.offcut is not None:
        yield "Sleeve", "Of", f"an offcut of the backing, {_size(sleeve.offcut, system)}"
    else:
        yield "Sleeve", "Strips", f"{_count(sleeve.strips, 'strip')}, {_count(sleeve.joins, 'join')}"


def _list_figures(plan: FinishingPlan) -> Iterable[Row]:
    system = plan.top.system
    for line in plan.thread.lines:
        needle, bobbin = write_thread(line.needle, system), write_thread(line.bobbin, system)
        told = f"{needle} for the needle, {bobbin} on {_count(line.bobbins, 'bobbin')}"
        yield "Thread", name_thread(line, plan), told
    if plan.gap is not None:
        verdict = "passes" if plan.gap.passes else "is too wide"
        yield "Quilting", "Widest gap", f"{write_nearest(plan.gap.gap, system)}: {verdict}"
    yield "Work", "Hours", f"{plan.hours:.1f}"
    yield "Money", "Total of what has a price", f"{plan.cost.total:.2f}"
    unpriced = (name_purchase(purchase, system) for purchase in plan.cost.unpriced)
    yield "Money", "Without a price yet", "; ".join(unpriced) or "nothing"
    yield "Money", "Price asked", f"{plan.cost.price:.2f}"
    yield "Care", "Size after the first wash", " × ".join(write_nearest(side, system) for side in plan.care.washed)


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def list_borders(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per border: widths, strips, cut lengths, ease, the way of cutting and the cloth."""
    system = plan.top.system
    rows = [
        {
            "Border": border.number,
            "Finished": write_length(border.finished, system),
            "Cut": write_length(border.cut, system),
            "Corners": border.corner,
            "Sides": f"2 × {write_length(border.lengths[0], system)}",
            "Ends": f"2 × {write_length(border.lengths[2], system)}",
            "Ease in a quarter": write_nearest(max(border.sides.per_quarter, border.ends.per_quarter), system),
            "Way": border.way,
            "Strips": border.strips,
            "Joins": f"{border.joins} {border.join}" if border.joins else "–",
            "Cloth": write_length(border.cloth, system),
            "Buy": write_buying(border.bought, system),
            "The other way": write_length(border.other, system),
        }
        for border in plan.borders
    ]
    return pd.DataFrame(rows)


def list_backings(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per way to make the backing, the best first: panels, seams, cloth, amount to buy, left-overs."""
    system = plan.top.system
    return pd.DataFrame([_back(way, plan.backing.chosen == way, system) for way in plan.backing.ranked])


def _back(way: Backing, taken: bool, system: System) -> dict[str, object]:
    return {
        "Way": way.way,
        "Taken": "yes" if taken else "–",
        "Panels": len(way.panels),
        "Seams": way.seams,
        "Cloth width": write_length(way.cloth_width, system) if way.cloth_width else "–",
        "Covers": " × ".join(write_nearest(side, system) for side in way.covers),
        "Cloth": write_nearest(way.cloth, system) if way.cloth else "–",
        "Buy": write_buying(way.bought, system) if way.bought else "–",
        "Left over": "; ".join(_size(offcut, system) for offcut in way.offcuts) or "–",
    }


def list_refused_backings(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per way that cannot make the backing, with the reason."""
    return pd.DataFrame({"does not serve": say_notices(plan.backing.refused, plan.top.system)})


def list_battings(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per suitable batting, the best first."""
    system = plan.top.system
    return pd.DataFrame([_bat(way, plan.batting.chosen == way, system) for way in plan.batting.ranked])


def _bat(way: Batting, taken: bool, system: System) -> dict[str, object]:
    return {
        "Batting": way.name,
        "Comes as": way.way if way.way == "package" else "length off the roll",
        "Taken": "yes" if taken else "–",
        "Size": _size(way.size, system),
        "Turned": "yes" if way.turned else "–",
        "Joins": way.joins,
    }


def list_binding(plan: FinishingPlan) -> pd.DataFrame:
    """Return the facts about the binding, one row per figure."""
    system, part = plan.top.system, plan.binding
    trim = write_length(abs(part.beyond), system)
    where = "outside" if part.beyond >= 0 else "inside"
    rows = {
        "Grain and fold": f"{part.grain}, {part.fold} fold",
        "Finished width": write_length(part.finished, system),
        "Cut width": write_length(part.cut, system),
        "Sew it on": f"{write_length(part.seam, system)} from the trimmed edge",
        "Trim the layers": f"{trim} {where} the raw edge of the top",
        "Round the quilt": write_length(part.perimeter, system),
        "For corners and closing": write_length(part.extra, system),
        "Strips": f"{len(part.lengths)}"
        + (f", {part.from_left_over} of left-over cloth" if part.from_left_over else ""),
        "First strip, cut": write_nearest(part.lengths[0], system),
        "One join takes": write_nearest(part.join_cost, system),
        "Joined length": write_nearest(part.total, system),
        "Cloth": write_nearest(part.cloth, system) if part.cloth else "–",
        "Buy": write_buying(part.bought, system) if part.bought else "–",
        "Nearest join to a corner": write_nearest(part.clear, system),
    }
    if part.square is not None:
        rows["Square"] = write_length(part.square, system)
    return pd.DataFrame({"What": list(rows), "Figure": list(rows.values())})


def list_joins(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per join of the binding: its side, its place along the side, its distance from a corner."""
    system = plan.top.system
    rows = [
        {
            "Side": join.side,
            "Along it": write_nearest(join.along, system),
            "From a corner": write_nearest(join.corner, system),
            "Closing": "yes" if join.closing else "–",
        }
        for join in plan.binding.joins
    ]
    return pd.DataFrame(rows)


def list_thread_lengths(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per thread: path, lengths with waste, bobbins and spools."""
    metric = plan.top.system == "metric"
    unit, name = (YARD / 0.9144, "m") if metric else (YARD, "yd")
    rows = [
        {
            "Thread": name_thread(line, plan),
            f"Path ({name})": round(line.path / unit, 1),
            f"Needle ({name})": round(line.needle / unit, 1),
            f"Bobbin ({name})": round(line.bobbin / unit, 1),
            "Spools": line.spools,
            "Bobbins": line.bobbins,
        }
        for line in plan.thread.lines
    ]
    return pd.DataFrame(rows)


def list_hours(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per kind of work, and the sum."""
    rows = [
        {"Work": name_work(line), "Amount": write_work(line), "Hours": round(line.minutes / 60, 1)}
        for line in plan.time
    ]
    return pd.DataFrame([*rows, {"Work": "in all", "Amount": "–", "Hours": round(plan.hours, 1)}])


def list_costs(plan: FinishingPlan) -> pd.DataFrame:
    """Return one row per purchase or charge, then total, price and deposit; missing prices are left open."""
    sheet, system = plan.cost, plan.top.system
    rows: list[tuple[str, str, float | None]] = [
        (name_purchase(item, system), write_amount(item, system), item.cost) for item in sheet.purchases
    ]
    rows += [(name_charge(charge), write_basis(charge), charge.cost) for charge in sheet.charges]
    rows += [
        ("total of what has a price", f"{len(sheet.unpriced)} without a price", sheet.total),
        ("price", f"{100 * sheet.margin:g} % added", sheet.price),
        ("deposit", "at the start", sheet.deposit),
    ]
    return pd.DataFrame(rows, columns=["What", "Amount", "Cost"])


def list_care(plan: FinishingPlan) -> pd.DataFrame:
    """Return the lines of the label and of the care card."""
    rows = [("label", line) for line in write_label(plan)] + [("care card", line) for line in write_care(plan)]
    return pd.DataFrame(rows, columns=["Where", "Line"])
