"""Time at her own speeds, and a cost sheet of what is bought, never of what is used."""

from kit.lengths import CM, YARD, buying_length, write_buying, write_fraction
from kit.model.cutting import CuttingPlan
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_figures import Charge, CostSheet, Purchase, ThreadPlan, TimeLine
from kit.model.finishing_parts import BackingPlan, BattingPlan, BindingPlan, SleevePlan
from kit.passes.bolt import find_bought
from kit.passes.thread import PIECING


def buy_cloth(what: str, length: float, price: float | None, top: TopFacts) -> Purchase:
    """Return the purchase of a length of cloth in yards or metres, rounded up as the shop sells it.

    Examples
    --------
    >>> purchase = buy_cloth("backing", 176, 12.0, TopFacts())
    >>> purchase.quantity, purchase.cost
    (5.0, 60.0)
    """
    metric = top.system == "metric"
    quantity = buying_length(length, top.system) / (100 * CM if metric else YARD)
    return Purchase(what, write_buying(length, top.system), round(quantity, 6), "m" if metric else "yd", price)


def buy_top(fabrics: tuple[Fabric, ...], cutting: CuttingPlan, top: TopFacts) -> tuple[Purchase, ...]:
    """Return what is bought for the top, a line for each fabric that is used."""
    prices = {fabric.name: fabric.price for fabric in fabrics}
    found = []
    for plan in cutting.cloths:
        name = plan.supply.fabric or plan.supply.slot
        price = prices.get(name)
        if plan.supply.form == "yardage":
            found.append(buy_cloth(name, plan.as_bought, price, top))
        else:
            found.append(_count(name, int(plan.used), plan.supply.form, price))
    return tuple(purchase for purchase in found if purchase.quantity)


def _count(what: str, count: int, of: str, price: float | None) -> Purchase:
    return Purchase(what, f"{count} × {of}" if of else f"{count}", float(count), "piece", price)


def plan_time(
    width: float, height: float, thread: ThreadPlan, binding: BindingPlan, wishes: FinishingWishes, top: TopFacts
) -> tuple[TimeLine, ...]:
    """Return minutes for each kind of work: how much there is of it over her speed.

    Unpicking is not foreseen.
    """
    path = sum(line.path for line in thread.lines if line.colour != PIECING)
    yards = width * height / YARD**2
    lines = [
        TimeLine("cutting", float(top.cuts), "cuts", top.cuts * wishes.cut_seconds / 60),
        TimeLine("sewing and pressing seams", float(top.seams), "seams", top.seams * wishes.seam_seconds / 60),
        TimeLine("basting", yards, "square yards", yards * wishes.basting_minutes),
        TimeLine("quilting", path, "in", path / wishes.quilting_speed),
        TimeLine("sewing the binding on", binding.perimeter, "in", binding.perimeter / wishes.binding_speed),
        TimeLine("closing the binding by hand", binding.perimeter, "in", binding.perimeter / wishes.hand_speed),
    ]
    return tuple(line for line in lines if line.amount)


def list_purchases(
    backing: BackingPlan,
    batting: BattingPlan,
    binding: BindingPlan,
    sleeve: SleevePlan | None,
    thread: ThreadPlan,
    wishes: FinishingWishes,
    top: TopFacts,
) -> tuple[Purchase, ...]:
    """Return everything that is bought: for the top, backing, batting, binding, sleeve, thread."""
    found = list(top.purchases)
    back = backing.chosen
    if back.bought:
        wide = back.way == "wide"
        found.append(buy_cloth("wide backing" if wide else "backing", back.bought, _pick(wishes, wide=wide), top))
    if batting.chosen.way == "package":
        found.append(_count(f"batting, {batting.chosen.name}", 1, "package", wishes.batting_price))
    else:
        length = batting.chosen.size[1]
        found.append(buy_cloth(f"batting, {batting.chosen.name}", length, wishes.batting_roll_price, top))
    if binding.bought:
        found.append(buy_cloth("binding", binding.bought, wishes.binding_price, top))
    if sleeve and sleeve.cloth:
        found.append(buy_cloth("sleeve", find_bought(sleeve.cloth, wishes, top), wishes.backing_price, top))
    found += [
        _count(
            f"thread, {line.colour}",
            line.spools,
            f"spool of {write_fraction(wishes.spool_yards)} yd",
            wishes.spool_price,
        )
        for line in thread.lines
        if line.spools
    ]
    return tuple(found)


def _pick(wishes: FinishingWishes, *, wide: bool) -> float | None:
    return wishes.wide_price if wide else wishes.backing_price


def sum_costs(
    area: float, perimeter: float, hours: float, purchases: tuple[Purchase, ...], wishes: FinishingWishes
) -> CostSheet:
    """Return the cost sheet: what is bought, work that is charged, and the price with its deposit.

    Parameters
    ----------
    area, perimeter, hours
        Square inches to quilt, inches to bind, hours of work.

    Notes
    -----
    Quilting is charged by area, but no less than the least charge; binding by the perimeter; hours at her rate.
    """
    charges = []
    if wishes.quilting_rate or wishes.quilting_minimum:
        cost = max(area * wishes.quilting_rate, wishes.quilting_minimum)
        reckoned = f"{area:.0f} square inches at {wishes.quilting_rate:g}, at least {wishes.quilting_minimum:g}"
        charges.append(Charge("quilting", reckoned, round(cost, 2)))
    if wishes.binding_rate:
        reckoned = f"{perimeter:g} in at {wishes.binding_rate:g}"
        charges.append(Charge("binding", reckoned, round(perimeter * wishes.binding_rate, 2)))
    if wishes.hour_rate:
        charges.append(Charge("work", f"{hours:.1f} h at {wishes.hour_rate:g}", round(hours * wishes.hour_rate, 2)))
    known = [purchase.cost for purchase in purchases if purchase.cost is not None]
    total = round(sum(known) + sum(charge.cost for charge in charges), 2)
    price = round(total * (1 + wishes.margin), 2)
    unpriced = tuple(purchase.what for purchase in purchases if purchase.cost is None)
    return CostSheet(purchases, tuple(charges), unpriced, total, wishes.margin, price, round(price * wishes.deposit, 2))
