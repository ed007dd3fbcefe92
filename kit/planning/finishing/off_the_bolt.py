"""Cloth off the bolt for the finishing: what a join takes, how many strips serve, how much to ask for."""

from collections.abc import Sequence
from math import ceil

from kit.errors import NoPlanError
from kit.lengths import SLACK, buying_length, write_length
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_ways import JoinKind


def find_join_cost(join: JoinKind, cut: float, allowance: float) -> float:
    """Return what one join takes of the length: two allowances straight, the strip's cut width diagonal.

    Examples
    --------
    >>> find_join_cost("straight", 8.0, 0.25), find_join_cost("diagonal", 8.0, 0.25)
    (0.5, 8.0)
    """
    return 2 * allowance if join == "straight" else cut


def count_strips(needed: float, length: float, join_cost: float, *, what: str = "the strip") -> int:
    """Return the least n with n strips, joined end to end, as long as needed: n·length - (n - 1)·join.

    Raises
    ------
    NoPlanError
        When a strip is no longer than what its join takes.

    Examples
    --------
    >>> count_strips(236.0, 40.0, 2.5)
    7
    """
    if needed <= length + SLACK:
        return 1
    if length <= join_cost + SLACK:
        raise NoPlanError(
            f"{what} comes in lengths of {write_length(length)} and one join takes {write_length(join_cost)}",
            needed="lengths longer than what a join takes",
            do="use wider cloth, narrower strips or straight joins",
        )
    return max(1, ceil((needed - join_cost - SLACK) / (length - join_cost)))


def count_unjoined(lengths: Sequence[float], room: float) -> int | None:
    """Return how many strips give all lengths whole, the longest first into the first with room; None if none do."""
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
    """Return the usable width of cloth once it is washed, where it is washed first."""
    return (top.usable_width if width is None else width) * (1 - wishes.prewash)


def find_bought(cloth: float, wishes: FinishingWishes, top: TopFacts) -> float:
    """Return inches to ask for: with squaring up, before washing, as the shop sells it; nought for nought."""
    if cloth <= 0:
        return 0.0
    return buying_length((cloth + wishes.squaring_up) / (1 - wishes.prewash), top.system)
