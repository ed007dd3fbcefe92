"""Sums on money: a quote for a quilt, and what breaks even."""

from dataclasses import replace
from math import ceil

from kit.errors import KitError
from kit.lengths import SLACK
from kit.model.finishing import find_usual
from kit.model.finishing_figures import Purchase
from kit.planning.finishing.costs import sum_costs
from kit.sums.answer import Figure, SumAnswer
from kit.sums.sum_terms import Number, Size, take_terms


def quote(
    quilt: Size,
    *,
    materials: Number = 0,
    hours: Number = 0,
    hour_rate: Number = 0,
    quilting_rate: Number = 0,
    quilting_minimum: Number = 0,
    binding_rate: Number = 0,
    margin: Number = 0,
    deposit: Number = "50 %",
    system: str | None = None,
) -> SumAnswer:
    """A quote for a quilt: materials as bought, work, quilting by area, binding by the edge, margin and deposit.

    Parameters
    ----------
    quilt
        Finished size.
    materials
        What the materials cost as bought.
    hours, hour_rate
        Hours of work and money per hour.
    quilting_rate, quilting_minimum
        Money per square inch (or square centimetre) of quilting, and the least for it.
    binding_rate
        Money per inch (or centimetre) of edge.
    margin, deposit
        Part added, and part paid ahead.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "price", "deposit", "total" (without the margin), "quilting", "binding", "work".

    Raises
    ------
    KitError
        Numbers out of range.

    Examples
    --------
    >>> answer = quote("60 x 80 in", materials=180, quilting_rate=0.02, binding_rate=0.15, margin="10 %")
    >>> answer["quilting"], answer["binding"], answer["price"], answer["deposit"]
    (96.0, 42.0, 349.8, 174.9)
    """
    terms = take_terms(quilt, system=system)
    size = terms.size(quilt, "quilt")
    wishes = replace(
        find_usual(terms.system),
        hour_rate=terms.number(hour_rate, "rate per hour"),
        quilting_rate=terms.number(quilting_rate, "rate for quilting"),
        binding_rate=terms.number(binding_rate, "rate for binding"),
        quilting_minimum=terms.number(quilting_minimum, "least for quilting"),
        margin=terms.part(margin, "margin", 5),
        deposit=terms.part(deposit, "deposit", 1),
    )
    paid = terms.number(materials, "materials")
    bought = (Purchase("cloth", "materials", 1.0, "piece", paid, "package"),) if paid else ()
    sheet = sum_costs(size[0] * size[1], 2 * sum(size), terms.number(hours, "hours"), bought, wishes, terms.system)
    figures: dict[str, Figure] = {charge.what: charge.cost for charge in sheet.charges}
    figures |= {"total": sheet.total, "price": sheet.price, "deposit": sheet.deposit}
    working = [f"Materials: {paid:.2f}."] if paid else []
    working += [f"{charge.what.capitalize()}: {charge.amount:g} × {charge.rate:g} = {charge.cost:.2f}"
                + (f", at least {charge.least:g}." if charge.least else ".") for charge in sheet.charges]  # fmt: skip
    working.append(f"Together {sheet.total:.2f}, and {100 * wishes.margin:g} % margin.")
    return SumAnswer(
        f"A quote for a quilt of {terms.say_size(size)}",
        (f"{sheet.price:.2f}, of which {sheet.deposit:.2f} ahead.",),
        tuple(working),
        ("Materials count as bought, not as used. Taxes and local rules for goods that are sold come on top.",),
        figures,
        terms.system,
    )


def break_even(
    fixed: Number, price: Number, *, each: Number = 0, fee: Number = 0, hours: Number = 0, hour_rate: Number = 0
) -> SumAnswer:
    """How many patterns, seats or kits have to be sold before the cost is covered.

    Parameters
    ----------
    fixed
        What it costs before one is sold: testing, photographs, room, samples.
    price
        Price of one pattern, seat or kit.
    each
        What each one costs: printing, handouts, cloth.
    fee
        Part of the price that is kept by whoever sells it, "30 %".
    hours, hour_rate
        Your hours and your money per hour, added to the fixed cost.

    Returns
    -------
    SumAnswer
        Figures: "count", "cost", "left" (earned by each one), "profit" at that count.

    Raises
    ------
    KitError
        A price that covers nothing.

    Examples
    --------
    >>> break_even(600, 14, each=2, fee="25 %")["count"]
    71
    """
    terms = take_terms()
    cost = terms.number(fixed, "fixed cost") + terms.number(hours, "hours") * terms.number(hour_rate, "rate per hour")
    asked, spent = terms.number(price, "price"), terms.number(each, "cost of each")
    kept = terms.part(fee, "fee", 1)
    left = asked * (1 - kept) - spent
    if left <= 0:
        raise KitError(
            f"each one brings {asked * (1 - kept):.2f} and costs {spent:.2f}",
            needed="a price above its cost",
            do="raise the price or lower the cost",
        )
    count = ceil(cost / left - SLACK)
    return SumAnswer(
        f"A cost of {cost:.2f}, sold at {asked:.2f}", (f"{count} cover it.",),
        (f"Each one leaves {asked:.2f} − {asked * kept:.2f} − {spent:.2f} = {left:.2f}.",
         f"{cost:.2f} ÷ {left:.2f}, rounded up, is {count}."),
        (), {"count": count, "cost": cost, "left": left, "profit": count * left - cost},
    )  # fmt: skip
