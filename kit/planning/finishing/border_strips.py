"""Borders: measured through the middle, cut across or along the cloth, whichever takes less.

Both borders of a pair get one length, the mean of the measurements, so that the edges are eased in and the quilt
lies flat. Strips are counted with their joins, never by perimeter or area.
"""

from collections.abc import Sequence
from math import floor, sqrt

from kit.errors import KitError
from kit.lengths import SLACK, round_up, write_length
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_parts import BorderFit, BorderPlan
from kit.model.finishing_ways import Corner
from kit.planning.finishing.off_the_bolt import (
    HAND,
    count_strips,
    count_unjoined,
    find_bought,
    find_join_cost,
    find_usable,
)


def fit_border(measured: Sequence[float]) -> BorderFit:
    """Return one length for two opposite borders.

    Parameters
    ----------
    measured
        Measurements of the top at its edges and through the middle, inches.

    Raises
    ------
    KitError
        No measurement, or a measurement of zero.

    Examples
    --------
    >>> fit = fit_border([41.5, 42, 42.5])
    >>> fit.length, fit.ease, fit.per_quarter
    (42.0, 0.5, 0.125)
    """
    if not measured or min(measured) <= 0:
        raise KitError(
            "the top was not measured or measures zero",
            needed="its measurements at both edges and through the middle",
            do="measure three times and write all three down",
        )
    length = sum(measured) / len(measured)
    ease = max(abs(edge - length) for edge in measured)
    return BorderFit(length, tuple(measured), ease, ease / length, ease / 4)


def plan_borders(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> tuple[BorderPlan, ...]:
    """Plan every border of the top, the innermost first.

    Parameters
    ----------
    width, height
        Finished size of the top, borders included.

    Raises
    ------
    KitError
        Borders that leave nothing of the top.
    """
    plans = []
    for number, finished in enumerate(top.borders, start=1):
        outside = sum(top.borders[number - 1 :])
        inner = (width - 2 * outside, height - 2 * outside)
        if finished <= 0 or min(inner) <= SLACK:
            raise KitError(
                f"border {number} finishes {write_length(finished, top.system)} on a top of"
                f" {write_length(width, top.system)} by {write_length(height, top.system)}",
                needed="a border wider than zero that leaves something to frame",
                do="correct the width of the border",
            )
        plans.append(_plan_border(number, inner, finished, wishes, top))
    return tuple(plans)


def _plan_border(
    number: int, inner: tuple[float, float], finished: float, wishes: FinishingWishes, top: TopFacts
) -> BorderPlan:
    """Fit sides and ends, cut their strips crosswise and lengthwise, take the chosen way or the one with less cloth.

    Strips without joins may take a hand's width more.
    """
    last = number == len(top.borders)
    seams = 2 * top.allowance
    sides = fit_border((last and wishes.measured_heights) or (inner[1] + seams,))
    ends = fit_border((last and wishes.measured_widths) or (inner[0] + seams,))
    cut = round_up(finished + seams, top.step)
    corner: Corner = top.corners[number - 1] if top.corners else "butted"
    over_sides, over_ends = _find_over(number, finished, corner, wishes, top)
    lengths = (sides.length + over_sides,) * 2 + (ends.length + over_ends,) * 2
    room = find_usable(top.border_width, wishes, top)
    if cut > room + SLACK:
        raise KitError(
            f"border {number} is cut {write_length(cut, top.system)} wide from cloth of"
            f" {write_length(room, top.system)}",
            needed="strips no wider than the cloth",
            do="narrow the border or use wider cloth",
        )
    join_cost = find_join_cost(wishes.border_join, cut, top.allowance)
    strips, joins = _cut_crosswise(lengths, room, join_cost, number)
    across, along = strips * cut, _cut_lengthwise(lengths, floor((room + SLACK) / cut))
    way = wishes.border_cloth
    if way == "least cloth":
        spared = across + HAND if joins else across - 2 * SLACK
        way = "lengthwise" if along <= spared + SLACK else "crosswise"
    cloth, other = (across, along) if way == "crosswise" else (along, across)
    if way == "lengthwise":
        strips, joins = len(lengths), 0
    return BorderPlan(
        number, inner, finished, cut, corner, lengths, sides, ends, way, strips, joins,
        wishes.border_join, join_cost, cloth, find_bought(cloth, wishes, top), other,
    )  # fmt: skip


def _find_over(
    number: int, finished: float, corner: Corner, wishes: FinishingWishes, top: TopFacts
) -> tuple[float, float]:
    """Return the extra length of the upright and the level strips beyond their edge.

    Strips sewn last reach over the ends of the others; squares at the corners are cut from their own cloth. A
    mitred strip, edge and two borders long with both
    allowances, lacks the points of the allowance at 45°: √2 allowances at each end.
    """
    if corner == "cornerstones":
        return 0.0, 0.0
    if corner == "butted":
        ends_first = bool(top.ends_first) and top.ends_first[number - 1]
        return (2 * finished, 0.0) if ends_first else (0.0, 2 * finished)
    least = 2 * sqrt(2) * top.allowance
    if wishes.mitre_extra < least - SLACK:
        raise KitError(
            f"mitred strips of border {number} are cut {write_length(wishes.mitre_extra, top.system)} longer",
            needed=f"at least {write_length(least, top.system, step=top.step)}, which the allowances take at 45°",
            do='write mitre_extra = "3 in"',
        )
    both = 2 * finished + wishes.mitre_extra
    return both, both


def _cut_crosswise(lengths: Sequence[float], room: float, join_cost: float, number: int) -> tuple[int, int]:
    """Return the fewest strips across the cloth, and their joins: each length whole, or all from one joined strip."""
    joined = count_strips(sum(lengths), room, join_cost, part="border", number=number)
    whole = count_unjoined(lengths, room)
    return (whole, 0) if whole is not None and whole <= joined else (joined, joined - 1)


def _cut_lengthwise(lengths: Sequence[float], abreast: int) -> float:
    """Return inches of cloth for strips side by side along the selvage, the longest together."""
    ranked = sorted(lengths, reverse=True)
    return sum(ranked[::abreast])
