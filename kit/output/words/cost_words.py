"""Purchases, work and charges in words: what each is for, its amount, and how a charge was worked out."""

from collections.abc import Mapping
from types import MappingProxyType

from kit.lengths import CM, YARD, System, write_buying, write_length, write_thread
from kit.model.finishing_figures import Charge, Purchase, TimeLine
from kit.output.words.colour_words import say_colour
from kit.output.words.strings import TEXTS

BOUGHT: Mapping[str, str] = MappingProxyType(TEXTS["bought"])
WORK: Mapping[str, str] = MappingProxyType(TEXTS["work"])
BASES = {"quilting": "by_area", "binding": "by_length", "work": "by_hour"}
"""The sentence for the basis of each charge."""


def name_purchase(purchase: Purchase, system: System = "inch") -> str:
    """Return what is bought, with the name of its fabric, batting or thread.

    Examples
    --------
    >>> name_purchase(Purchase("binding", "Railing", 0.5, "yd", None))
    'binding, Railing'
    """
    named = f"{purchase.what}_named"
    key = named if purchase.name and named in BOUGHT else purchase.what
    name = say_colour(purchase.name) if purchase.what == "thread" and purchase.name[:1] == "#" else purchase.name
    return BOUGHT[key].format(name=name, width=write_length(round(purchase.holds, 6), system))


def write_amount(purchase: Purchase, system: System = "inch") -> str:
    r"""Return the amount in the shop's words.

    Examples
    --------
    >>> write_amount(Purchase("backing", "", 1.125, "yd", None)).replace("\xa0", " ")
    '1⅛ yd'
    >>> write_amount(Purchase("cloth", "Fog", 2.0, "piece", None, "fat quarter"))
    '2 × fat quarter'
    """
    if purchase.unit == "piece":
        held = write_thread(purchase.holds, system, "held")
        pack = BOUGHT["spool"].format(length=held) if purchase.pack == "spool" else purchase.pack
        return BOUGHT["pieces"].format(count=int(purchase.quantity), pack=pack)
    metric = purchase.unit == "m"
    return write_buying(purchase.quantity * (100 * CM if metric else YARD), "metric" if metric else "inch")


def name_work(line: TimeLine) -> str:
    """Return the name of a kind of work.

    Examples
    --------
    >>> name_work(TimeLine("piecing", 20.0, "seams", 20.0))
    'sewing and pressing seams'
    """
    return WORK[line.work]


def write_work(line: TimeLine) -> str:
    """Return the amount of a kind of work, in whole units.

    Examples
    --------
    >>> write_work(TimeLine("basting", 4.2, "square-yards", 84.0))
    '4 square yards'
    """
    return WORK["amount"].format(amount=line.amount, unit=WORK[f"unit_{line.unit}"])


def name_charge(charge: Charge) -> str:
    """Return the name of a charge.

    Examples
    --------
    >>> name_charge(Charge("work", 12.5, "hours", 20.0, 250.0))
    'work'
    """
    return WORK[f"charged_{charge.what}"]


def write_basis(charge: Charge) -> str:
    """Return how a charge was worked out.

    Examples
    --------
    >>> write_basis(Charge("work", 12.5, "hours", 20.0, 250.0))
    '12.5 h at 20'
    """
    return WORK[BASES[charge.what]].format(
        amount=charge.amount, unit=WORK[f"unit_{charge.unit}"], rate=charge.rate, least=charge.least
    )
