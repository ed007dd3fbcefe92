"""Sentences on how a top goes together, and what that costs."""

from collections.abc import Mapping, Sequence

from kit.model.assemblies import AssemblyPrice
from kit.model.pattern import Pattern
from kit.output.words.step_words import join_words
from kit.output.words.strings import TEXTS
from kit.progress import Progress, keep_quiet

TOGETHER: Mapping[str, str] = TEXTS["assemblies"]
"""The name of each way, and the sentences."""


def say_trade_off(priced: Pattern | Sequence[AssemblyPrice], progress: Progress = keep_quiet) -> str:
    """Say what the partial and set-in seams of a top save against straight seams only, or what they cost.

    Parameters
    ----------
    priced
        A pattern, or the prices of its ways of going together.
    progress
        Told way by way while a pattern is priced.

    Returns
    -------
    str
        One to three sentences with the figures of both.

    Notes
    -----
    As long as `kit.tables.assemblies`: each way is planned in full.
    """
    prices = priced.price_assemblies(progress) if isinstance(priced, Pattern) else priced
    sewn = min((price for price in prices[:-1] if not price.refused), key=lambda price: not price.chosen)
    straight = prices[-1]
    odd = [
        _count(f"odd_{kind}", count) for kind, count in (("partial", sewn.partial), ("set_in", sewn.set_in)) if count
    ]
    if not odd:
        return TOGETHER["straight_already"]
    if straight.refused:
        return TOGETHER["straight_never"].format(why=straight.refused)
    minutes = round(sewn.minutes), round(straight.minutes)
    pairs = (("written", sewn.written, straight.written), ("pieces", sewn.pieces, straight.pieces))
    return TOGETHER["trade_off"].format(
        odd=join_words(odd),
        written=sewn.written,
        pieces=sewn.pieces,
        minutes=minutes[0],
        differences=join_words([_compare(*pair) for pair in (*pairs, ("minutes", *minutes))]),
    )


def _compare(what: str, now: int, then: int) -> str:
    if now == then:
        return TOGETHER[f"same_{what}"]
    return _count(f"{'more' if then > now else 'fewer'}_{what}", abs(then - now))


def _count(key: str, count: int) -> str:
    return TOGETHER[key].format(count=count, s="" if count == 1 else "s")
