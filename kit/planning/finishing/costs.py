"""Time at the maker's own speeds, and a cost sheet of amounts bought, never of amounts used."""

from kit.lengths import CM, YARD, System, buying_length, write_buying, write_length, write_thread
from kit.model.cutting import CuttingPlan
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_figures import Charge, CostSheet, Purchase, ThreadPlan, TimeLine
from kit.model.finishing_parts import BackingPlan, BattingPlan, BindingPlan, SleevePlan
from kit.planning.finishing.thread_length import PIECING


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
    """Return the purchases for the top, one line for each used fabric."""
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
    """Return minutes for each kind of work: its amount over the maker's speed; for quilting, the minutes of its plan.

    Unpicking is not included.
    """
    path = sum(line.path for line in thread.lines if line.colour != PIECING)
    around = binding.perimeter
    quilting = path / wishes.quilting_speed if top.quilting_minutes is None else top.quilting_minutes
    scale, unit, area, areas = _find_units(width * height, top.system)
    lines = [
        TimeLine("cutting", float(top.cuts), "cuts", top.cuts * wishes.cut_seconds / 60),
        TimeLine("sewing and pressing seams", float(top.seams), "seams", top.seams * wishes.seam_seconds / 60),
        TimeLine("basting", area, areas, area * wishes.basting_minutes),
        TimeLine("quilting", path * scale, unit, quilting),
        TimeLine("sewing the binding on", around * scale, unit, around / wishes.binding_speed),
        TimeLine("closing the binding by hand", around * scale, unit, around / wishes.hand_speed),
    ]
    return tuple(line for line in lines if line.amount)


def _find_units(area: float, system: System) -> tuple[float, str, float, str]:
    """Return the factor and name of a length, and the area in its large unit with the name of that."""
    if system == "metric":
        return 1 / CM, "cm", area / (100 * CM) ** 2, "square metres"
    return 1.0, "in", area / YARD**2, "square yards"


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
        wide = back.way == "wide"
        price = wishes.wide_price if wide else wishes.backing_price
        found.append(buy_cloth("wide backing" if wide else _name("backing", wishes), back.bought, price, top))
    if batting.chosen.way == "package":
        found.append(_count(f"batting, {batting.chosen.name}", 1, "package", wishes.batting_price))
    else:
        width, length = batting.chosen.size
        what = f"batting off the roll, {write_length(round(width, 6), top.system)} wide"
        found.append(buy_cloth(what, length, wishes.batting_roll_price, top))
    if binding.bought:
        found.append(buy_cloth(_name("binding", wishes), binding.bought, wishes.binding_price, top))
    if sleeve and sleeve.bought:
        found.append(buy_cloth("sleeve", sleeve.bought, wishes.backing_price, top))
    found += [
        _count(
            f"thread, {line.colour}",
            line.spools,
            f"spool of {write_thread(wishes.spool_length, top.system, 'held')}",
            wishes.spool_price,
        )
        for line in thread.lines
        if line.spools
    ]
    return tuple(found)


def _name(part: str, wishes: FinishingWishes) -> str:
    """Return the part, with its fabric if the study names one."""
    fabric = getattr(wishes, f"{part}_fabric")
    return f"{part}, {fabric}" if fabric else part


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
    scale, unit, units = (1 / CM, "cm", "square centimetres") if system == "metric" else (1.0, "in", "square inches")
    area, perimeter = area * scale**2, perimeter * scale
    if wishes.quilting_rate or wishes.quilting_minimum:
        cost = max(area * wishes.quilting_rate, wishes.quilting_minimum)
        basis = f"{area:.0f} {units} at {wishes.quilting_rate:g}, at least {wishes.quilting_minimum:g}"
        charges.append(Charge("quilting", basis, round(cost, 2)))
    if wishes.binding_rate:
        basis = f"{perimeter:.5g} {unit} at {wishes.binding_rate:g}"
        charges.append(Charge("binding", basis, round(perimeter * wishes.binding_rate, 2)))
    if wishes.hour_rate:
        charges.append(Charge("work", f"{hours:.1f} h at {wishes.hour_rate:g}", round(hours * wishes.hour_rate, 2)))
    known = [purchase.cost for purchase in purchases if purchase.cost is not None]
    total = round(sum(known) + sum(charge.cost for charge in charges), 2)
    price = round(total * (1 + wishes.margin), 2)
    unpriced = tuple(purchase.what for purchase in purchases if purchase.cost is None)
    return CostSheet(purchases, tuple(charges), unpriced, total, wishes.margin, price, round(price * wishes.deposit, 2))
