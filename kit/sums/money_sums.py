"""Sums on money: a quote for a quilt, and what breaks even."""

from dataclasses import replace
from math import ceil

from kit.errors import KitError
from kit.lengths import SLACK
from kit.model.finishing import find_usual
from kit.model.finishing_figures import Purchase
from kit.planning.finishing.costs import sum_costs
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_bars
from kit.sums.sum_terms import Number, Size, take_terms
from kit.sums.unit_sums import find_given


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
    price: Number | None = None,
    system: str | None = None,
) -> SumAnswer:
    """A quote for a quilt: materials, work, quilting, binding, margin, deposit; or what an hour earns at a price.

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
    price
        What the customer will pay: with hours and without a rate, the answer is what an hour earns.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "price", "deposit", "total" (without the margin), "quilting", "binding", "work"; with a price
        "per hour".

    Raises
    ------
    KitError
        Numbers out of range; a price without hours, or beside a rate per hour.

    Examples
    --------
    >>> quote("60 x 80 in", materials=180, hours=20, price=580)["per hour"]
    20.0
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
    paid, worked = terms.number(materials, "materials"), terms.number(hours, "hours")
    bought = (Purchase("cloth", "materials", 1.0, "piece", paid, "package"),) if paid else ()
    sheet = sum_costs(size[0] * size[1], 2 * sum(size), worked, bought, wishes, terms.system)
    says: tuple[str, ...] = ()
    earned: float | None = None
    if price not in (None, ""):
        asked = terms.number(price or 0, "price")
        if not worked or wishes.hour_rate:
            raise KitError("a price is given", needed="the hours, and no rate per hour",
                           do='write hours "20" and leave out the rate')  # fmt: skip
        earned = (asked / (1 + wishes.margin) - sheet.total) / worked
        says = (f"An hour earns {earned:.2f}." if earned > 0 else
                f"Nothing: at {asked:.2f} the rest alone costs {-earned * worked:.2f} more.",)  # fmt: skip
        sheet = sum_costs(size[0] * size[1], 2 * sum(size), worked, bought,
                          replace(wishes, hour_rate=max(earned, 0.0)), terms.system)  # fmt: skip
    figures: dict[str, Figure] = {charge.what: charge.cost for charge in sheet.charges}
    if earned is not None:
        figures["per hour"] = earned
    figures |= {"total": sheet.total, "price": sheet.price, "deposit": sheet.deposit}
    working = [f"Materials: {paid:.2f}."] if paid else []
    working += [f"{charge.what.capitalize()}: {charge.amount:g} × {charge.rate:g} = {charge.cost:.2f}"
                + (f", at least {charge.least:g}." if charge.least else ".") for charge in sheet.charges]  # fmt: skip
    working.append(f"Together {sheet.total:.2f}, and {100 * wishes.margin:g} % margin.")
    return SumAnswer(
        f"A quote for a quilt of {terms.say_size(size)}",
        (*says, f"{sheet.price:.2f}, of which {sheet.deposit:.2f} ahead."),
        tuple(working),
        ("Materials count as bought, not as used. Taxes and local rules for goods that are sold come on top.",),
        figures,
        terms.system,
        draw_bars(
            [
                *([("materials", paid, f"{paid:.2f}")] if paid else []),
                *((charge.what, charge.cost, f"{charge.cost:.2f}") for charge in sheet.charges),
                ("price", sheet.price, f"{sheet.price:.2f}"),
            ],
            "What the price is made of",
        ),
    )


def break_even(
    fixed: Number, price: Number | None = None, *, sold: Number | None = None, each: Number = 0, fee: Number = 0,
    hours: Number = 0, hour_rate: Number = 0,
) -> SumAnswer:  # fmt: skip
    """How many patterns, seats or kits have to be sold before the cost is covered; or the price at which some cover it.

    Parameters
    ----------
    fixed
        What it costs before one is sold: testing, photographs, room, samples.
    price
        Price of one pattern, seat or kit.
    sold
        How many will be sold, in place of the price.
    each
        What each one costs: printing, handouts, cloth.
    fee
        Part of the price that is kept by whoever sells it, "30 %".
    hours, hour_rate
        Your hours and your money per hour, added to the fixed cost.

    Returns
    -------
    SumAnswer
        Figures: "count", "price", "cost", "left" (earned by each one), "profit" at that count.

    Raises
    ------
    KitError
        A price that covers nothing, or not exactly one of price and sold.

    Examples
    --------
    >>> break_even(600, 14, each=2, fee="25 %")["count"]
    71
    >>> round(break_even(600, sold=60, each=2, fee="25 %")["price"], 2)
    16.0
    """
    terms = take_terms()
    cost = terms.number(fixed, "fixed cost") + terms.number(hours, "hours") * terms.number(hour_rate, "rate per hour")
    spent, kept = terms.number(each, "cost of each"), terms.part(fee, "fee", 1)
    backwards = find_given(price=price, sold=sold) == "sold"
    if backwards:
        if kept >= 1:
            raise KitError("the whole price is kept as a fee", needed="a part below the whole", do="lower the fee")
        many = terms.count(sold or 0, "number sold")
        asked = ceil(100 * (cost / many + spent) / (1 - kept) - SLACK) / 100
    else:
        asked = terms.number(price or 0, "price")
    left = asked * (1 - kept) - spent
    if left <= 0:
        raise KitError(
            f"each one brings {asked * (1 - kept):.2f} and costs {spent:.2f}",
            needed="a price above its cost",
            do="raise the price or lower the cost",
        )
    count = ceil(cost / left - SLACK)
    first = [f"A price of {asked:.2f} covers it."] if backwards else []
    picture = draw_bars(
        [("cost", cost, f"{cost:.2f}"), (f"{count} sold", count * left, f"{count * left:.2f}")],
        "The cost, and what that many leave",
    )
    return SumAnswer(
        f"A cost of {cost:.2f}, sold at {asked:.2f}", (*first, f"{count} cover it."),
        (f"Each one leaves {asked:.2f} − {asked * kept:.2f} − {spent:.2f} = {left:.2f}.",
         f"{cost:.2f} ÷ {left:.2f}, rounded up, is {count}."),
        ("All that are made are sold; taxes come on top.",),
        {"count": count, "price": asked, "cost": cost, "left": left, "profit": count * left - cost}, "inch", picture,
    )  # fmt: skip
