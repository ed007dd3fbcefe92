"""Cloth off the bolt for the finishing: the loss in a join, the number of strips, the amount to buy."""

from collections.abc import Sequence
from math import ceil

from kit.errors import NoPlanError
from kit.lengths import SLACK, buying_length, round_up, write_length
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_ways import JoinKind, StripPart

HAND = 4.0
"""Inches: a hand's width; so much more cloth is taken to spare a seam (common practice, no source)."""


def find_join_cost(join: JoinKind, cut: float, allowance: float) -> float:
    """Return the length lost in one join: two allowances straight, the strip's cut width diagonal.

    Examples
    --------
    >>> find_join_cost("straight", 8.0, 0.25), find_join_cost("diagonal", 8.0, 0.25)
    (0.5, 8.0)
    """
    return 2 * allowance if join == "straight" else cut


def count_strips(needed: float, length: float, join_cost: float, *, part: StripPart = "strip", number: int = 0) -> int:
    """Return the least n with n strips, joined end to end, as long as needed: n·length - (n - 1)·join.

    Parameters
    ----------
    needed, length, join_cost
        What is needed, what one strip gives, what a join takes, inches.
    part, number
        What the strips are for, and the number of a border: for the refusal.

    Raises
    ------
    NoPlanError
        A strip no longer than the loss in its join.

    Examples
    --------
    >>> count_strips(236.0, 40.0, 2.5)
    7
    """
    if needed <= length + SLACK:
        return 1
    if length <= join_cost + SLACK:
        raise _refuse_joins(part, number, length, join_cost)
    return max(1, ceil((needed - join_cost - SLACK) / (length - join_cost)))


def _refuse_joins(part: StripPart, number: int, length: float, join_cost: float) -> NoPlanError:
    named: dict[StripPart, str] = {
        "strip": "the strip", "border": f"the strip of border {number}", "binding": "the binding",
        "backing": "the cloth for the backing", "sleeve": "the cloth for the sleeve",
    }  # fmt: skip
    return NoPlanError(
        f"{named[part]} comes in lengths of {write_length(length)} and one join takes {write_length(join_cost)}",
        needed="lengths longer than the loss in a join",
        do="use wider cloth, narrower strips or straight joins",
    )


def find_wider(
    needed: float, count: int, join_cost: float, room: float, wishes: FinishingWishes, top: TopFacts
) -> float | None:
    """Return the usable width, to the ruler, on which one width fewer serves; None if it is over a hand wider.

    Examples
    --------
    >>> from kit.model.finishing import FinishingWishes, TopFacts
    >>> find_wider(84.0, 3, 1.0, 42.0, FinishingWishes(), TopFacts())
    42.5
    >>> find_wider(92.0, 3, 1.0, 42.0, FinishingWishes(), TopFacts())
    """
    if count < 2:
        return None
    wide = (needed + (count - 2) * join_cost) / (count - 1)
    return round_up(wide / (1 - wishes.prewash), top.step) if wide <= room + HAND + SLACK else None


def count_unjoined(lengths: Sequence[float], room: float) -> int | None:
    """Return the number of strips that give all lengths whole, the longest first; None if it is impossible."""
    left: list[float] = []
    for length in sorted(lengths, reverse=True):
        if length > room + SLACK:
            return None
        place = next((k for k, space in enumerate(left) if space >= length - SLACK), None)
        if place is None:
            left.append(room - length)
        else:
            left[place] -= length
    return len(left)


def find_usable(width: float | None, wishes: FinishingWishes, top: TopFacts) -> float:
    """Return the usable width of cloth, after washing if it is washed first."""
    return (top.usable_width if width is None else width) * (1 - wishes.prewash)


def find_bought(cloth: float, wishes: FinishingWishes, top: TopFacts) -> float:
    """Return the inches to buy: with squaring up, before washing, in the shop's steps; zero for zero."""
    if cloth <= 0:
        return 0.0
    return buying_length((cloth + wishes.squaring_up) / (1 - wishes.prewash), top.system)
