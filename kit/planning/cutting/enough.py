"""How wide cloth must be for the amount that is bought, and what a narrower cloth takes."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil

from kit.lengths import System, buying_length
from kit.model.cutting import ClothPlan, Piece
from kit.model.enough_from import EnoughFrom
from kit.planning.cutting.any_cloth import plan_any
from kit.planning.cutting.one_cloth import Request
from kit.progress import keep_quiet

NARROWEST: Mapping[System, float] = {"inch": 36.0, "metric": 90 / 2.54}
"""Inches: no width below this is tried; cloth is seldom narrower (common practice, no source)."""
FINE: Mapping[System, float] = {"inch": 0.5, "metric": 1 / 2.54}
"""Inches: the accuracy of a width, half an inch or a centimetre."""


def find_enough(pieces: Sequence[Piece], plan: ClothPlan, request: Request) -> EnoughFrom | None:
    """Return the least width on which the amount bought for a plan is enough, and what the next narrower width takes.

    The strips as planned fit every cloth as wide as the longest of them is filled; joined lengths fill it to the end.
    Below that width the pieces are planned again, quickly, with the width halved between the narrowest and one that
    is enough.

    Parameters
    ----------
    pieces
        The pieces of the cloth.
    plan
        Its plan.
    request
        The settings of the plan.

    Returns
    -------
    EnoughFrom or None
        None for pre-cuts, cloth on hand, cloth narrower than usual, and plans that are short.

    Notes
    -----
    Some five quick plans. Both figures are of plans that can be cut, so both are enough; a longer search might find
    that a still narrower cloth is.
    """
    supply = plan.supply
    if supply.form != "yardage" or supply.length is not None or plan.short or not plan.strips:
        return None
    system: System = "inch" if abs(request.wishes.shop_step - 4.5) < 1e-6 else "metric"
    fine = FINE[system]
    bought = buying_length(plan.as_bought, system)
    quick = replace(request, effort="quick", progress=keep_quiet)

    def need(width: float) -> float:
        tried = plan_any(pieces, replace(supply, width=width), quick)
        return float("inf") if tried.short else tried.as_bought

    filled = max(cut.x + cut.width for strip in plan.strips for cut in strip.cuts) / (1 - supply.shrinkage)
    if any(strip.folded for strip in plan.strips):
        filled = supply.width
    high = min(supply.width, ceil((filled - 1e-6) / fine) * fine)
    low = NARROWEST[system]
    if supply.width <= low:
        return None
    if high <= low:
        return EnoughFrom(low, low, plan.as_bought)
    if need(low) <= bought + 1e-6:
        return EnoughFrom(low, low, plan.as_bought)
    while high - low > fine + 1e-9:
        middle = low + max(fine, ceil((high - low) / 2 / fine - 1e-9) * fine)
        middle = middle if middle < high - 1e-9 else low + fine
        low, high = (low, middle) if need(middle) <= bought + 1e-6 else (middle, high)
    return EnoughFrom(high, low, max(need(low), bought))
