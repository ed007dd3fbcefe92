"""Binding: its cut width, the number of strips, and the places of its joins."""

from collections.abc import Sequence
from itertools import accumulate
from math import floor

from kit.errors import KitError
from kit.lengths import CM, SLACK, System, round_up, write_length
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_parts import BindingJoin, BindingPlan
from kit.planning.finishing.bias_strips import ROOT2, find_bias_square, measure_bias_square
from kit.planning.finishing.binding_joins import place_joins
from kit.planning.finishing.off_the_bolt import count_strips, find_bought, find_join_cost, find_usable

SHORTEST = 12.0
"""Inches: a shorter strip of left-over cloth is not used (common practice, no source)."""


def find_binding_width(finished: float, fold: str, loft: float) -> float:
    """Return the cut width of a binding sewn on as deep as its visible width, so that it is full.

    Seam, front and back are each one finished width; a double fold has each twice, a single fold turns a fourth under.
    Each layer takes a loft to go around the edge: double 6b + 2·loft, single 4b + loft.

    Examples
    --------
    >>> find_binding_width(0.375, "double", 0.125), find_binding_width(0.5, "single", 0.0)
    (2.5, 2.0)
    """
    return 6 * finished + 2 * loft if fold == "double" else 4 * finished + loft


def plan_binding(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> BindingPlan:
    """Plan the binding.

    Find the cut width, the length needed, the strips for it (left-over cloth first if wished), and the beginning that
    keeps every join, including the closing one, as far from the corners as wished.

    Parameters
    ----------
    width, height
        Finished size of the quilt.

    Raises
    ------
    KitError
        Strips too narrow for the binding, a length for closing that does not reach, bias that does not fit the cloth.
    """
    cut = _find_cut(wishes, top)
    around, corners = 2 * (width + height), 8 * wishes.binding_finished
    room = find_usable(wishes.binding_width, wishes, top)
    bias = wishes.binding_grain != "straight"
    join_cost = 2 * ROOT2 * top.allowance if bias else find_join_cost(wishes.binding_join, cut, top.allowance)
    least = corners + join_cost
    if wishes.binding_extra < least - SLACK:
        raise KitError(
            f"`binding_extra` is {write_length(wishes.binding_extra, top.system)}; four mitred corners take"
            f" {write_length(corners, top.system)} and the closing join {write_length(join_cost, top.system)}",
            needed=f"at least {write_length(least, top.system, step=top.step)}",
            do='write binding_extra = "12 in"',
        )
    if cut > room + SLACK:
        raise KitError(
            f"the binding is cut {write_length(cut, top.system)} wide from cloth of {write_length(room, top.system)}",
            needed="strips no wider than the cloth",
            do="narrow the binding or use wider cloth",
        )
    needed = around + wishes.binding_extra
    lengths, kept, cloth, square = _find_strips(needed, cut, join_cost, room, wishes, top)
    total = sum(lengths) - (len(lengths) - 1) * join_cost
    marks = _mark_joins(lengths, join_cost)
    if square is not None:
        marks += _mark_crossings(lengths, join_cost, cut)
    spare = 0.0 if bias else total - needed
    trimmed, joins = place_joins((width, height), marks, wishes.binding_finished, wishes.join_clear, spare)
    lengths = (lengths[0] - trimmed, *lengths[1:])
    return BindingPlan(
        wishes.binding_grain, wishes.binding_fold, "diagonal" if bias else wishes.binding_join,
        wishes.binding_finished, cut, wishes.binding_finished, wishes.binding_finished - top.allowance,
        around, corners, wishes.binding_extra, needed, lengths, kept, join_cost, total - trimmed,
        cloth, find_bought(cloth, wishes, top), room, square, joins, _find_clear(joins),
    )  # fmt: skip


def _find_clear(joins: Sequence[BindingJoin]) -> float:
    return min(join.corner for join in joins)


def _find_cut(wishes: FinishingWishes, top: TopFacts) -> float:
    """Return the cut width, rounded up, or that of existing strips after a check that it is enough."""
    exact = find_binding_width(wishes.binding_finished, wishes.binding_fold, wishes.binding_loft)
    if wishes.binding_cut is None:
        return round_up(exact, top.step)
    if exact > wishes.binding_cut + SLACK:
        raise _refuse_cut(exact, wishes.binding_cut, wishes, top)
    return wishes.binding_cut


def _refuse_cut(exact: float, cut: float, wishes: FinishingWishes, top: TopFacts) -> KitError:
    layers, lofts = (6, 2) if wishes.binding_fold == "double" else (4, 1)
    widest = (cut - lofts * wishes.binding_loft) / layers
    do = f"cut strips {write_length(exact, top.system, step=top.step)} wide"
    if widest > 0:
        do += f", or finish it {write_length(_round_down(widest, top.system), top.system)} wide at most"
    return KitError(
        f"a {wishes.binding_fold}-fold binding that finishes {write_length(wishes.binding_finished, top.system)}"
        f" takes strips of {write_length(exact, top.system)}; these are cut {write_length(cut, top.system)}",
        needed="strips as wide as the binding folds to",
        do=do,
    )


def _round_down(inches: float, system: System) -> float:
    """Round down to a 64th of an inch, or a tenth of a millimetre."""
    step = 0.01 * CM if system == "metric" else 1 / 64
    return floor((inches + SLACK) / step) * step


def _find_strips(
    needed: float, cut: float, join_cost: float, room: float, wishes: FinishingWishes, top: TopFacts
) -> tuple[tuple[float, ...], int, float, float | None]:
    """Return the strips' lengths, the number from left-over cloth, the cloth off the bolt, the side of a square."""
    if wishes.binding_grain == "bias square":
        side = find_bias_square(needed, cut, top.allowance, room, top.system)
        count, _ = measure_bias_square(side, cut, top.allowance)
        return (side * ROOT2,) * count, 0, side, side
    if wishes.binding_grain == "bias lengths":
        length = room * ROOT2
        count = count_strips(needed, length, join_cost, part="binding")
        return (length,) * count, 0, room + count * cut * ROOT2, None
    kept = _use_left_over(needed, cut, join_cost, top) if wishes.left_over_first else ()
    missing = needed - (sum(kept) - len(kept) * join_cost)
    bought = count_strips(missing, room, join_cost, part="binding") if missing - join_cost > SLACK else 0
    return (*kept, *(room,) * bought), len(kept), bought * cut, None


def _use_left_over(needed: float, cut: float, join_cost: float, top: TopFacts) -> tuple[float, ...]:
    """Return strips of left-over cloth, the longest first, until there is enough."""
    strips = []
    for width, length in top.left_over:
        short, long = sorted((width, length))
        if long >= max(SHORTEST, 2 * join_cost):
            strips += [long] * int((short + SLACK) / cut)
    kept: list[float] = []
    for strip in sorted(strips, reverse=True):
        if sum(kept) - (len(kept) - 1) * join_cost >= needed - SLACK:
            break
        kept.append(strip)
    return tuple(kept)


def _mark_joins(lengths: Sequence[float], join_cost: float) -> tuple[float, ...]:
    """Return the place of the middle of each join along the joined strip."""
    return tuple(sum_ - (k + 0.5) * join_cost for k, sum_ in enumerate(accumulate(lengths[:-1])))


def _mark_crossings(lengths: Sequence[float], join_cost: float, cut: float) -> tuple[float, ...]:
    """Return the crossings of the first seam of a bias square with each strip: each twice the width farther."""
    starts = [k * (length - join_cost) for k, length in enumerate(lengths)]
    return tuple(start + (2 * k + 1) * cut for k, start in enumerate(starts) if (2 * k + 1) * cut < lengths[k])
