"""Sentences about the stash: what it makes, what is to be bought, what it offers."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kit.lengths import System, write_buying, write_length, write_nearest
from kit.model.pattern import Pattern
from kit.model.stash import SELVAGES, Stash, StashFit, StashOffer, ToBuy
from kit.output.words.strings import TEXTS

STASH: Mapping[str, str] = MappingProxyType(TEXTS["stash"])


def say_stash(key: str, **facts: object) -> str:
    """Return a sentence about the stash with its facts filled in.

    Examples
    --------
    >>> say_stash("binding_part", cloth="Kelp", count=3)
    'Kelp (3)'
    """
    return STASH[key].format(**facts)


def say_fit(fit: StashFit, system: System = "inch") -> str:
    """Return in one line what a stash makes of one size of a design."""
    if fit.reason:
        return say_stash("refused", title=fit.title, edition=fit.edition, reason=fit.reason)
    size = say_top_size(fit.finished, system)
    key = "short" if fit.missing else "made"
    return say_stash(
        key, title=fit.title, edition=fit.edition, size=size, count=fit.needed, missing=fit.missing,
        buys=say_buys(fit, system),
    )  # fmt: skip


def say_top_size(size: tuple[float, float], system: System) -> str:
    """Return a width and a height, to the nearest mark of the ruler."""
    return " × ".join(write_nearest(side, system) for side in size)


def say_cloths(fit: StashFit) -> Iterator[str]:
    """Return a line for each part of the design with the cloths that fill it, and one for those left out."""
    for slot, names in fit.cloths:
        key = "uses" if names else "uses_none"
        yield say_stash(key, slot=slot, cloths=", ".join(names))
    if fit.set_aside:
        yield say_stash("set_aside", cloths=", ".join(fit.set_aside))


def say_buys(fit: StashFit, system: System) -> str:
    """Return what is to be bought for the pieces that are short."""
    return "; ".join(say_stash("buy", amount=_say_amount(one, system), slot=one.slot) for one in fit.buy)


def _say_amount(one: ToBuy, system: System) -> str:
    width = write_length(one.width, system)
    if one.form == "yardage":
        return say_stash("buy_yardage", length=write_buying(one.amount, system), width=width)
    count, single = round(one.amount), round(one.amount) == 1
    if one.form in ("strips", "squares"):
        return say_stash(f"buy_{one.form[:-1] if single else one.form}", count=count, width=width)
    return say_stash("buy_other" if single else "buy_others", count=count, form=one.form)


def say_assumptions(stash: Stash) -> Iterator[str]:
    """Return what is assumed where cloth of a stash is matched."""
    yield say_stash("one_slot")
    if any(cloth.weight is not None for cloth in stash.cloths):
        width = write_length(SELVAGES, stash.system)
        yield say_stash("weighed", grams=stash.grams_per_square_metre, selvages=width)


def say_offer(offer: StashOffer, pattern: Pattern) -> Iterator[str]:
    """Return the lines of what a stash offers for binding and backing."""
    system = pattern.study.measures.system

    def near(inches: float) -> str:
        return write_nearest(inches, system)

    for one in offer.binding:
        yield say_stash("binding", cloth=one.cloth, count=one.strips, gives=near(one.gives), needed=near(one.needed))
    if offer.mixed:
        parts = [say_stash("binding_part", cloth=one.cloth, count=one.strips) for one in offer.mixed]
        join = pattern.finishing.binding.join_cost
        total = sum(one.gives for one in offer.mixed) - join * (len(offer.mixed) - 1)
        needed = near(offer.mixed[0].needed)
        yield say_stash("binding_mixed", cloths=", ".join(parts), gives=near(total), needed=needed)
    if not offer.binding and not offer.mixed:
        yield say_stash("binding_none")
    panels = [
        say_stash("backing_panel", size=say_top_size(panel.cut, system), cloth=cloth)
        for panel, cloth in zip(offer.backing, offer.pieces, strict=True)
    ]
    yield say_stash("backing", panels="; ".join(panels)) if panels else say_stash("backing_none")
