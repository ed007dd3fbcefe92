"""Time at the maker's own speeds, and a cost sheet of amounts bought, never of amounts used."""

from kit.lengths import CM, YARD, System, buying_length
from kit.model.cutting import CuttingPlan
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_figures import Charge, CostSheet, Purchase, ThreadPlan, TimeLine
from kit.model.finishing_parts import BackingPlan, BattingPlan, BindingPlan, SleevePlan
from kit.model.finishing_ways import Bought, ChargeUnit, Pack, WorkUnit
from kit.planning.finishing.thread_length import PIECING


def buy_cloth(
    what: Bought, length: float, price: float | None, top: TopFacts, *, name: str = "", width: float = 0.0
) -> Purchase:
    """Return the purchase of a length of cloth in yards or metres, rounded up as the shop sells it.

    Parameters
    ----------
    what, name
        What it is for, and its fabric if the study names one.
    length, width
        Inches needed; the width of a roll, zero where it is not told.
    price
        Price of a yard or metre; None if unknown.
    top
        Its system decides between yards and metres.

    Examples
    --------
    >>> purchase = buy_cloth("backing", 176, 12.0, TopFacts())
    >>> purchase.quantity, purchase.cost
    (5.0, 60.0)
    """
    metric = top.system == "metric"
    quantity = buying_length(length, top.system) / (100 * CM if metric else YARD)
    return Purchase(what, name, round(quantity, 6), "m" if metric else "yd", price, holds=width)


def buy_top(fabrics: tuple[Fabric, ...], cutting: CuttingPlan, top: TopFacts) -> tuple[Purchase, ...]:
    """Return the purchases for the top, one line for each used fabric."""
    prices = {fabric.name: fabric.price for fabric in fabrics}
    packs = {fabric.name: fabric.pack for fabric in fabrics}
    found = []
    for plan in cutting.cloths:
        name = plan.supply.fabric or plan.supply.slot
        price, pack = prices.get(name), packs.get(name)
        if pack is not None:
            found.append(_count("cloth", name, pack.count_packs(plan.used), "package", pack.price))
        elif plan.supply.form == "yardage":
            found.append(buy_cloth("cloth", plan.as_bought, price, top, name=name))
        else:
            found.append(_count("cloth", name, int(plan.used), plan.supply.form, price))
    return tuple(purchase for purchase in found if purchase.quantity)


def _count(what: Bought, name: str, count: int, pack: Pack, price: float | None, holds: float = 0.0) -> Purchase:
    return Purchase(what, name, float(count), "piece", price, pack, holds)


def plan_time(
    width: float, height: float, thread: ThreadPlan, binding: BindingPlan, wishes: FinishingWishes, top: TopFacts
) -> tuple[TimeLine, ...]:
    """Return minutes for each kind of work: its amount over the maker's speed; for quilting, the minutes of its plan.

    Unpicking is not included.
    """
    path = sum(line.path for line in thread.lines if line.colour != PIECING)
    around = binding.perimeter
    quilting = path / wishes.quilting_speed if top.quilting_minutes is None else top.quilting_minutes
    scale, unit, area, areas = _find_units(width * height, top.system)
    lines = [
        TimeLine("cutting", float(top.cuts), "cuts", top.cuts * wishes.cut_seconds / 60),
        TimeLine("piecing", float(top.seams), "seams", top.seams * wishes.seam_seconds / 60),
        TimeLine("basting", area, areas, area * wishes.basting_minutes),
        TimeLine("quilting", path * scale, unit, quilting),
        TimeLine("sewing-binding", around * scale, unit, around / wishes.binding_speed),
        TimeLine("closing-binding", around * scale, unit, around / wishes.hand_speed),
    ]
    return tuple(line for line in lines if line.amount)


def _find_units(area: float, system: System) -> tuple[float, WorkUnit, float, WorkUnit]:
    """Return the factor and name of a length, and the area in its large unit with the name of that."""
    if system == "metric":
        return 1 / CM, "cm", area / (100 * CM) ** 2, "square-metres"
    return 1.0, "in", area / YARD**2, "square-yards"


def list_purchases(
    backing: BackingPlan,
    batting: BattingPlan,
    binding: BindingPlan,
    sleeve: SleevePlan | None,
    thread: ThreadPlan,
    wishes: FinishingWishes,
    top: TopFacts,
) -> tuple[Purchase, ...]:
    """Return all purchases: for the top, backing, batting, binding, sleeve, thread."""
    found = list(top.purchases)
    back = backing.chosen
    if back.bought:
        if back.way == "wide":
            found.append(buy_cloth("wide-backing", back.bought, wishes.wide_price, top))
        else:
            found.append(buy_cloth("backing", back.bought, wishes.backing_price, top, name=wishes.backing_fabric))
    if batting.chosen.way == "package":
        found.append(_count("batting", batting.chosen.name, 1, "package", wishes.batting_price))
    else:
        width, length = batting.chosen.size
        found.append(buy_cloth("batting-roll", length, wishes.batting_roll_price, top, width=width))
    if binding.bought:
        found.append(buy_cloth("binding", binding.bought, wishes.binding_price, top, name=wishes.binding_fabric))
    if sleeve and sleeve.bought:
        found.append(buy_cloth("sleeve", sleeve.bought, wishes.backing_price, top))
    found += [
        _count("thread", line.colour, line.spools, "spool", wishes.spool_price, wishes.spool_length)
        for line in thread.lines
        if line.spools
    ]
    return tuple(found)


def sum_costs(
    area: float,
    perimeter: float,
    hours: float,
    purchases: tuple[Purchase, ...],
    wishes: FinishingWishes,
    system: System = "inch",
) -> CostSheet:
    """Return the cost sheet: purchases, charged work, and the price with its deposit.

    Parameters
    ----------
    area, perimeter, hours
        Square inches to quilt, inches to bind, hours of work.

    Notes
    -----
    Quilting is charged by area, with a least charge; binding by the perimeter; hours at the hourly rate.
    Rates are for inches, or for centimetres in a metric study.
    """
    charges = []
    units: tuple[ChargeUnit, ChargeUnit] = (
        ("cm", "square-centimetres") if system == "metric" else ("in", "square-inches")
    )
    scale = 1 / CM if system == "metric" else 1.0
    area, perimeter = area * scale**2, perimeter * scale
    if wishes.quilting_rate or wishes.quilting_minimum:
        cost = round(max(area * wishes.quilting_rate, wishes.quilting_minimum), 2)
        charges.append(Charge("quilting", area, units[1], wishes.quilting_rate, cost, wishes.quilting_minimum))
    if wishes.binding_rate:
        cost = round(perimeter * wishes.binding_rate, 2)
        charges.append(Charge("binding", perimeter, units[0], wishes.binding_rate, cost))
    if wishes.hour_rate:
        charges.append(Charge("work", hours, "hours", wishes.hour_rate, round(hours * wishes.hour_rate, 2)))
    known = [purchase.cost for purchase in purchases if purchase.cost is not None]
    total = round(sum(known) + sum(charge.cost for charge in charges), 2)
    price = round(total * (1 + wishes.margin), 2)
    unpriced = tuple(purchase for purchase in purchases if purchase.cost is None)
    return CostSheet(purchases, tuple(charges), unpriced, total, wishes.margin, price, round(price * wishes.deposit, 2))
