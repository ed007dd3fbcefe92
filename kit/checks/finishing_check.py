"""The finishing plan's own check: it computes every figure again and shares nothing with the planner."""

from math import hypot

from kit.checks.finishing_cloth_check import (
    A_HAND,
    check_backing,
    check_batting,
    check_binding,
    refuse_part,
    round_as_sold,
)
from kit.errors import CheckError
from kit.lengths import YARD, Length, take_length
from kit.model.finishing import FinishingPlan
from kit.model.finishing_parts import BorderFit, BorderPlan
from kit.model.finishing_ways import Bought, Work

NEAR = 1e-6


def check_finishing_plan(width: Length, height: Length, plan: FinishingPlan) -> None:
    """Accept a finishing plan, or refuse it by the name of the wrong part, with both figures.

    Parameters
    ----------
    width, height
        Finished size of the top, inches or texts with their unit.
    plan
        From `finishing_plan`.

    Raises
    ------
    CheckError
        Names the part, the planned figure and the correct one.
    """
    width, height = take_length(width, "width"), take_length(height, "height")
    if hypot(plan.width - width, plan.height - height) > NEAR:
        refuse_part("size", f"{plan.width:g} x {plan.height:g} in", f"{width:g} x {height:g} in")
    _check_borders(plan)
    check_backing(plan)
    check_batting(plan)
    check_binding(plan)
    _check_sleeve(plan)
    _check_label(plan)
    _check_thread(plan)
    _check_time(plan)
    _check_cost(plan)
    _check_care(plan)
    _check_sayings(plan)


def _same(part: str, what: str, said: float, true: float, near: float = NEAR) -> None:
    if not abs(said - true) <= near:
        refuse_part(part, f"{what} {said:.4f}", f"{what} {true:.4f}")


def _check_borders(plan: FinishingPlan) -> None:
    if tuple(border.finished for border in plan.borders) != plan.top.borders:
        refuse_part("borders", f"{len(plan.borders)} borders", f"{len(plan.top.borders)}, as wide as those of the top")
    left = [plan.width, plan.height]
    for border in reversed(plan.borders):
        left = [side - 2 * border.finished for side in left]
        part = f"border {border.number}"
        _same(part, "inner width", border.inner[0], left[0])
        _same(part, "inner height", border.inner[1], left[1])
        outermost = border is plan.borders[-1]
        wide = plan.wishes.measured_widths if outermost else ()
        high = plan.wishes.measured_heights if outermost else ()
        _check_fit(part, border.ends, wide or (left[0] + 2 * plan.top.allowance,))
        _check_fit(part, border.sides, high or (left[1] + 2 * plan.top.allowance,))
        _check_border_cloth(plan, border, part)


def _check_fit(part: str, fit: BorderFit, measured: tuple[float, ...]) -> None:
    if len(fit.measured) != len(measured) or not all(
        abs(said - true) <= NEAR for said, true in zip(fit.measured, measured, strict=True)
    ):
        refuse_part(part, f"measurements {fit.measured}", f"{measured}")
    middle = sum(measured) / len(measured)
    worst = max(max(measured) - middle, middle - min(measured))
    _same(part, "length", fit.length, middle)
    _same(part, "ease", fit.ease, worst)
    _same(part, "ease per quarter", 4 * fit.per_quarter, worst)
    _same(part, "share of the ease", fit.share * middle, worst)


def _check_border_cloth(plan: FinishingPlan, border: BorderPlan, part: str) -> None:
    """Check that the strips give every length, with the cloth lost in joins."""
    room = (plan.top.border_width or plan.top.usable_width) * (1 - plan.wishes.prewash)
    if border.cut < border.finished + 2 * plan.top.allowance - NEAR:
        refuse_part(part, f"strips cut {border.cut:g} in", f"{border.finished + 2 * plan.top.allowance:g} in or more")
    true = _find_strips(plan, border, part)
    for number, (said, length) in enumerate(zip(border.lengths, true, strict=True), start=1):
        _same(part, f"strip {number} of length", said, length)
    one = border.cut if border.join == "diagonal" else 2 * plan.top.allowance
    _same(part, "one join takes", border.join_cost, one)
    if border.way == "crosswise":
        if border.joins and border.strips * room - border.joins * one < sum(true) - NEAR:
            refuse_part(part, f"{border.strips} strips", f"strips for {sum(true):g} in and {border.joins} joins")
        if not border.joins and max(true) > room + NEAR:
            refuse_part(part, f"no joins for a strip of {max(true):g} in", f"joins, from cloth of {room:g} in")
        if border.joins and border.joins != border.strips - 1:
            refuse_part(part, f"{border.joins} joins", f"{border.strips - 1}")
        _same(part, "cloth", border.cloth, border.strips * border.cut)
    else:
        lengths, longest = sorted(true), 0.0
        while lengths:
            longest += lengths[-1]
            lengths = lengths[: -int((room + NEAR) / border.cut)]
        _same(part, "cloth", border.cloth, longest)
    spared = A_HAND if border.way == "lengthwise" else -A_HAND if border.joins else 0.0
    if plan.wishes.border_cloth == "least cloth" and border.cloth > border.other + spared + NEAR:
        refuse_part(part, f"cloth {border.cloth:g} in", f"the other way, {border.other:g} in, and a hand for its joins")
    _same(part, "bought", border.bought, _buy(plan, border.cloth))


def _find_strips(plan: FinishingPlan, border: BorderPlan, part: str) -> list[float]:
    """Return the lengths of the strips: left, right, bottom, top."""
    top, place = plan.top, border.number - 1
    corner = top.corners[place] if top.corners else "butted"
    if border.corner != corner:
        refuse_part(part, f"{border.corner} corners", f"{corner}, as in the design")
    reach = {"butted": 2 * border.finished, "cornerstones": 0.0}
    reach["mitred"] = 2 * border.finished + plan.wishes.mitre_extra
    upright_over = corner == "mitred" or (bool(top.ends_first) and top.ends_first[place])
    level_over = corner == "mitred" or not upright_over
    pointed = hypot(2 * top.allowance, 2 * top.allowance)
    if corner == "mitred" and border.lengths[0] - border.sides.length - 2 * border.finished < pointed - NEAR:
        refuse_part(part, f"mitred strips {border.lengths[0]:g} in long", f"{pointed:.3f} in more for the points")
    upright = border.sides.length + upright_over * reach[corner]
    level = border.ends.length + level_over * reach[corner]
    return [upright, upright, level, level]


def _buy(plan: FinishingPlan, cloth: float) -> float:
    return round_as_sold((cloth + plan.wishes.squaring_up) / (1 - plan.wishes.prewash), plan.top.system)


def _check_sleeve(plan: FinishingPlan) -> None:
    sleeve = plan.sleeve
    if (sleeve is not None) != plan.wishes.sleeve:
        refuse_part("sleeve", "a sleeve" if sleeve else "no sleeve", "as wished")
    if sleeve is None:
        return
    _same("sleeve", "length", sleeve.finished[0], plan.width - plan.wishes.sleeve_short)
    if sleeve.cut[0] < sleeve.finished[0] + 2 * plan.top.allowance - NEAR:
        refuse_part("sleeve", f"cut {sleeve.cut[0]:g} in long", f"{sleeve.finished[0]:g} in and hems at both ends")
    _same("sleeve", "cut height", sleeve.cut[1], 2 * (plan.wishes.sleeve_height + plan.top.allowance))
    if sleeve.offcut is not None:
        if sleeve.offcut not in plan.backing.chosen.offcuts or min(sleeve.offcut) < min(sleeve.cut) - NEAR:
            refuse_part("sleeve", f"an offcut of {sleeve.offcut}", "an offcut of the backing that is large enough")
    else:
        _same("sleeve", "cloth", sleeve.cloth, sleeve.strips * sleeve.cut[1])
        _same("sleeve", "bought", sleeve.bought, _buy(plan, sleeve.cloth))


def _check_label(plan: FinishingPlan) -> None:
    label = plan.label
    if label.title != plan.top.title:
        refuse_part("label", f"`{label.title[:40]}`", f"the title, {plan.top.title}")
    if label.maker:
        refuse_part("label", "a maker filled in", "a blank line for the maker's name")
    if label.date != plan.wishes.date:
        refuse_part("label", f"date `{label.date[:40]}`", f"date `{plan.wishes.date}`, or a line for it")
    if label.fibre != plan.wishes.fibre:
        refuse_part("label", f"`{label.fibre[:40]}`", f"the fibre, {plan.wishes.fibre}")
    _same("label", "width", label.finished[0], plan.width)
    _same("label", "height", label.finished[1], plan.height)


def _check_thread(plan: FinishingPlan) -> None:
    wishes, thread = plan.wishes, plan.thread
    if wishes.thread == "test" and wishes.thread_test:
        each = (wishes.thread_test[1] / wishes.thread_test[0], wishes.thread_test[2] / wishes.thread_test[0])
    elif wishes.thread == "ratio":
        each = (wishes.thread_ratio / 2,) * 2
    else:
        each = (1 + wishes.layers_thickness / wishes.stitch_length,) * 2
    _same("thread", "needle thread an inch", thread.per_inch[0], each[0])
    _same("thread", "bobbin thread an inch", thread.per_inch[1], each[1])
    given = dict(plan.top.paths) or {"quilting": plan.width * plan.height / wishes.quilting_spacing}
    paths = ({"piecing": plan.top.seam_length} if plan.top.seam_length else {}) | given
    said = {line.colour: line.path for line in thread.lines}
    if set(said) != set(paths):
        refuse_part("thread", f"lines for {list(said)}", f"lines for {list(paths)}")
    for colour, path in paths.items():
        _same("thread", f"{colour}, path", said[colour], path, 1e-3)
    for line in thread.lines:
        rates = (wishes.thread_ratio / 2,) * 2 if line.colour == "piecing" else each
        _same("thread", f"{line.colour}, needle", line.needle, line.path * rates[0] * (1 + wishes.thread_waste), 1e-3)
        _same("thread", f"{line.colour}, bobbin", line.bobbin, line.path * rates[1] * (1 + wishes.thread_waste), 1e-3)
        for what, count, length, of in (
            ("bobbins", line.bobbins, line.bobbin, wishes.bobbin_length),
            ("spools", line.spools, line.needle, wishes.spool_length),
        ):
            if not length - 1e-3 <= count * of < length + of:
                refuse_part(
                    "thread", f"{count} {what} of {line.colour}", f"as many as {length:.0f} in take, {of:g} in each"
                )


def _check_time(plan: FinishingPlan) -> None:
    wishes, around = plan.wishes, 2 * (plan.width + plan.height)
    path = sum(line.path for line in plan.thread.lines if line.colour != "piecing")
    large = YARD if plan.top.system == "inch" else 100 / 2.54
    true: dict[Work, float] = {
        "cutting": plan.top.cuts * wishes.cut_seconds / 60,
        "piecing": plan.top.seams * wishes.seam_seconds / 60,
        "basting": plan.width * plan.height / large**2 * wishes.basting_minutes,
        "quilting": path / wishes.quilting_speed if plan.top.quilting_minutes is None else plan.top.quilting_minutes,
        "sewing-binding": around / wishes.binding_speed,
        "closing-binding": around / wishes.hand_speed,
    }
    said = {line.work: line.minutes for line in plan.time}
    for work, minutes in true.items():
        _same("time", f"{work}, minutes", said.get(work, 0.0), minutes, 1e-4)


def _check_cost(plan: FinishingPlan) -> None:
    """Check that every purchase is on the sheet at its bought length, and that the sums are right."""
    sheet, unit = plan.cost, YARD if plan.top.system == "inch" else 100 / 2.54
    amounts = {(purchase.what, purchase.name): purchase.quantity for purchase in sheet.purchases}
    back = plan.backing.chosen
    wide = back.way == "wide"
    needed: dict[tuple[Bought, str], float] = {
        ("wide-backing" if wide else "backing", "" if wide else plan.wishes.backing_fabric): back.bought,
        ("binding", plan.wishes.binding_fabric): plan.binding.bought,
        ("sleeve", ""): plan.sleeve.bought if plan.sleeve else 0.0,
    }
    for (what, name), length in needed.items():
        _same("cost sheet", f"{what} {name}".strip() + ", bought", amounts.get((what, name), 0.0) * unit, length, 1e-4)
    for purchase in plan.top.purchases:
        if purchase not in sheet.purchases:
            refuse_part("cost sheet", "a purchase is missing", purchase.name)
    if not any(purchase.what in ("batting", "batting-roll") for purchase in sheet.purchases):
        refuse_part("cost sheet", "no batting", "batting")
    known = sum(p.quantity * p.price for p in sheet.purchases if p.price is not None)
    for charge in sheet.charges:
        true = max(charge.amount * charge.rate, charge.least or 0.0)
        _same("cost sheet", f"{charge.what}, charged", charge.cost, true, 0.006)
        known += charge.cost
    _same("cost sheet", "total", sheet.total, known, 0.005 * (len(sheet.purchases) + 1))
    _same("cost sheet", "price", sheet.price, sheet.total * (1 + plan.wishes.margin), 0.006)
    _same("cost sheet", "deposit", sheet.deposit, sheet.price * plan.wishes.deposit, 0.006)
    if sheet.unpriced != tuple(p for p in sheet.purchases if p.price is None):
        refuse_part(
            "cost sheet", f"{len(sheet.unpriced)} things without a price", "each thing whose price is not known"
        )


def _check_care(plan: FinishingPlan) -> None:
    wishes, care = plan.wishes, plan.care
    for k, (size, loss) in enumerate(((plan.width, wishes.wash_width), (plan.height, wishes.wash_height))):
        drawn = wishes.draw_in
        if drawn is None:
            drawn = 0.02 if plan.top.draw_in is None else max(0.02, plan.top.draw_in[k])
        _same("care card", "quilted", care.quilted[k], size - size * drawn)
        _same("care card", "washed", care.washed[k], care.quilted[k] - care.quilted[k] * loss)
    _same("care card", "loss of width", care.shrinkage[0], wishes.wash_width)
    _same("care card", "loss of height", care.shrinkage[1], wishes.wash_height)
    if care.fibre != wishes.fibre:
        refuse_part("care card", f"`{care.fibre[:40]}`", f"the fibre, {wishes.fibre}")
    for name in wishes.bleeding:
        if name not in care.bleeding:
            refuse_part("care card", "nothing about it", name)


def _check_sayings(plan: FinishingPlan) -> None:
    """Check that all cautions and warnings are present."""
    said = {one.kind for one in plan.cautions}
    for kind, what, wanted in (
        ("count-needles", "needles and pins", True),
        ("made-for-sale", "goods made for sale", plan.wishes.for_sale),
    ):
        if wanted and kind not in said:
            refuse_part("cautions", "no word about it", what)
    gap = plan.top.gap
    if gap is not None:
        limit = plan.top.gap_limit if plan.top.gap_limit is not None else plan.wishes.batting_limit
        if plan.gap is None or plan.gap.limit != limit or plan.gap.passes != (gap <= limit + 1e-9):
            refuse_part("gap", f"verdict {plan.gap}", f"{gap:g} in against {limit:g} in")
        warned = [(one["gap"], one["limit"]) for one in plan.warnings if one.kind == "gap-over-limit"]
        if warned != ([] if plan.gap.passes else [(gap, limit)]):
            refuse_part("warnings", f"{warned} said of it", "the widest gap, where it is over the batting's limit")
    if not plan.assumptions:
        raise CheckError("finishing plan: no assumptions are listed", needed="each of them", do="print them")
