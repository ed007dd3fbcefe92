"""Ways of making: the units from one batch, its squares, and the cost of each way.

No amount comes from a table. A unit's pieces are its finished patches grown by the allowance; if several units are
sewn at once, cloth is laid, sewn and cut as outlines, the result is measured, and the cut size follows by solving.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor, sqrt
from typing import Literal, TypeAlias

from kit.errors import KitError
from kit.geometry.outlines import (
    TOLERANCE,
    Outline,
    clip_outline,
    make_rectangle,
    measure_box,
    measure_edges,
    offset_outline,
)
from kit.lengths import round_up, write_refused
from kit.model.making import Cloths, MakingWish, Way, WayName
from kit.model.strip_sets import StripSets

BatchUnit: TypeAlias = Literal["half-square", "quarter-square", "geese"]
UNITS: tuple[BatchUnit, ...] = ("half-square", "quarter-square", "geese")
FAR = 100.0
"""Inches: a square too large to be used up by any allowance."""


def list_ways(
    unit: BatchUnit,
    finished: float,
    count: int,
    *,
    allowance: float = 0.25,
    step: float = 0.125,
    width: float = 40.0,
    oversize: float = 0.0,
) -> tuple[Way, ...]:
    """List the ways of making a unit, each with its cut sizes, cloth, cuts and seams.

    Parameters
    ----------
    unit
        "half-square" and "quarter-square": a square unit; "geese": twice as wide as it is high.
    finished
        Finished side of the square, or finished height of the goose, in inches.
    count
        The number of units needed.
    allowance, step, width
        Seam allowance, the step for rounding up cut sizes, and the usable width, in inches.
    oversize
        Inches added to the unit and trimmed away later.

    Raises
    ------
    KitError
        An unknown unit, or sizes that are not positive.

    Examples
    --------
    >>> for way in list_ways("half-square", 3.0, 24):
    ...     print(f"{way.name}: {way.cloths[0].width:.4f}, {way.batches} times")
    one by one: 3.8536, 12 times
    two at a time: 3.8536, 12 times
    four at a time: 5.4497, 6 times
    eight at a time: 7.7071, 3 times
    stitch and flip: 3.5000, 24 times
    """
    if unit not in UNITS:
        raise KitError(f"There is no unit `{unit}`", needed=", ".join(UNITS), do="name one of these")
    if finished <= 0 or count < 1 or allowance <= 0 or oversize < 0:
        raise KitError(
            f"{count} units of {write_refused(finished)} finished with {write_refused(allowance)} allowance and"
            f" {write_refused(oversize)} oversize",
            needed="at least one unit, and sizes above zero",
            do="correct the size or the number",
        )
    side = finished + oversize
    if unit == "geese":
        drafts = _list_geese(side, allowance, step)
    else:
        drafts = (_list_half if unit == "half-square" else _list_quarter)(side, allowance)
    return tuple(_cost(draft, count, finished, allowance, step, width) for draft in drafts)


def choose_way(ways: Sequence[Way], wish: MakingWish = "least cloth") -> Way:
    """Return the way with the least cloth, or with the fewest cuts; the other decides among equals.

    A way that leaves the units' outer edges on the bias is never chosen: the study has to name it.
    """
    ways = [way for way in ways if not way.bias] or ways
    if wish == "least cloth":
        return min(ways, key=lambda way: (way.cloth, way.cuts + way.seams))
    return min(ways, key=lambda way: (way.cuts, way.seams, way.cloth))


# One batch


@dataclass(frozen=True)
class _Draft:
    """One batch: its cut shapes, its units, and the finished size of a unit from rounded cuts."""

    name: WayName
    cloths: tuple[Cloths, ...]
    makes: int
    cuts: int
    seams: int
    result: Callable[[Sequence[float]], float]
    bias: bool = False


def _list_half(finished: float, allowance: float) -> list[_Draft]:
    single = _measure_half(finished, allowance)
    two = _solve(lambda side: _sew_across(side, allowance) - 2 * allowance, finished)
    four = _solve(lambda side: _sew_round(side, allowance) - 2 * allowance, finished)
    eight = _solve(lambda side: _sew_across(side / 2, allowance) - 2 * allowance, finished)
    plain = _measure_square(finished, allowance)
    return [
        _Draft("one by one", _pair(single), 2, 2, 2, lambda s: s[0] - sqrt(2) * allowance),
        _Draft("two at a time", _pair(two), 2, 1, 2, lambda s: _sew_across(s[0], allowance)),
        _Draft("four at a time", _pair(four), 4, 2, 4, lambda s: _sew_round(s[0], allowance), bias=True),
        _Draft("eight at a time", _pair(eight), 8, 4, 4, lambda s: _sew_across(s[0] / 2, allowance)),
        _Draft("stitch and flip", _pair(plain), 1, 1, 1, lambda s: s[0]),
    ]


def _list_quarter(finished: float, allowance: float) -> list[_Draft]:
    single = _measure_quarter(finished, allowance)
    two = _solve(lambda side: _sew_across(_sew_across(side, allowance), allowance) - 2 * allowance, finished)
    return [
        _Draft("one by one", _pair(single), 2, 4, 6, lambda s: s[0] - 2 * sqrt(2) * allowance),
        _Draft("two at a time", _pair(two), 2, 2, 4, lambda s: _sew_across(_sew_across(s[0], allowance), allowance)),
    ]


def _list_geese(finished: float, allowance: float, step: float) -> list[_Draft]:
    large, small = _measure_quarter(2 * finished, allowance), _measure_half(finished, allowance)
    plain = _measure_square(finished, allowance)
    wide = plain + finished
    # what rounding makes a unit wider, half of it is lost below the goose: the skies have to give that height
    high = _grow(plain, plain + (round_up(wide, step) - wide) / 2, step)
    sky = _grow(small, _sew_goose(round_up(large, step), allowance) + sqrt(2) * allowance, step)
    return [
        _Draft(
            "one by one",
            (Cloths("goose", large, large, 1), Cloths("sky", small, small, 4)),
            4, 6, 8, lambda s: min(_sew_goose(s[0], allowance), s[1] - sqrt(2) * allowance),
        ),
        _Draft(
            "four at a time",
            (Cloths("goose", large, large, 1), Cloths("sky", sky, sky, 4)),
            4, 3, 6, lambda s: min(_sew_goose(s[0], allowance), s[1] - sqrt(2) * allowance),
        ),
        _Draft(
            "stitch and flip",
            (Cloths("goose", wide, high, 1), Cloths("sky", high, high, 2)),
            1, 2, 2, lambda s: s[1],
        ),
    ]  # fmt: skip


def _grow(side: float, needed: float, step: float) -> float:
    """Return a side that is long enough once it is rounded: the side itself, or what is needed."""
    return side if round_up(side, step) > needed - TOLERANCE else needed


def _pair(side: float) -> tuple[Cloths, ...]:
    return tuple(Cloths(name, side, side, 1) for name in ("first", "second"))


def _cost(draft: _Draft, count: int, finished: float, allowance: float, step: float, width: float) -> Way:
    """Count the cloth, cuts and seams for a number of units."""
    batches = ceil(count / draft.makes)
    cloth, sizes = 0.0, []
    cuts = batches * (draft.cuts + sum(part.number for part in draft.cloths))
    for part in draft.cloths:
        wide, high = round_up(part.width, step), round_up(part.height, step)
        cloth += ceil(part.number * batches / max(1, floor(width / wide + TOLERANCE))) * high
        sizes.append(high)
    trim = draft.result(sizes) - (finished + 2 * allowance)
    return Way(
        draft.name, draft.cloths, draft.makes, batches, batches * draft.makes - count, cuts,
        batches * draft.seams, cloth, max(0.0, round(trim, 9)), draft.bias,
    )  # fmt: skip


# Geometry


def _solve(result: Callable[[float], float], wanted: float) -> float:
    """Return the side that gives the wanted result; results grow evenly with the side."""
    low, high = 2 * wanted + FAR, 4 * wanted + 2 * FAR
    rise = (result(high) - result(low)) / (high - low)
    return low + (wanted - result(low)) / rise


def _measure_square(finished: float, allowance: float) -> float:
    return measure_edges(offset_outline(make_rectangle(0, 0, finished, finished), allowance))[0]


def _measure_half(finished: float, allowance: float) -> float:
    """Return the short side of a right triangle with equal legs, grown by the allowance."""
    return measure_edges(offset_outline(((0, 0), (finished, 0), (0, finished)), allowance))[0]


def _measure_quarter(finished: float, allowance: float) -> float:
    """Return the long side of such a triangle, given its finished long side, grown by the allowance."""
    half = finished / 2
    return measure_edges(offset_outline(((0, 0), (finished, 0), (half, half)), allowance))[0]


def _sew_across(side: float, allowance: float) -> float:
    """Return the unfinished side of a unit from two squares, sewn on both sides of a diagonal and cut along it.

    The visible part of one square lies beyond the seam; the other is its mirror image in the seam.
    """
    seam = (side - sqrt(2) * allowance) / sqrt(2)
    seen = clip_outline(make_rectangle(0, 0, side, side), 1 / sqrt(2), 1 / sqrt(2), seam)
    return _open_out(seen, (1 / sqrt(2), 1 / sqrt(2)), seam)


def _sew_round(side: float, allowance: float) -> float:
    """Return the unfinished side of a unit from two squares, sewn around the edge and cut along both diagonals."""
    quarter: Outline = ((0, 0), (side, 0), (side / 2, side / 2))
    seen = clip_outline(quarter, 0, -1, -allowance)
    return _open_out(seen, (0, -1), -allowance) / sqrt(2)


def _sew_goose(large: float, allowance: float) -> float:
    """Return the unfinished height of a goose with a quarter of a square as its large triangle."""
    finished = large - (_measure_quarter(1.0, allowance) - 1.0)
    return finished / 2 + 2 * allowance


def _open_out(seen: Outline, normal: tuple[float, float], offset: float) -> float:
    """Return the width of the box around an outline and its mirror image in the seam."""
    a, b = normal
    mirrored = [(x - 2 * a * (a * x + b * y - offset), y - 2 * b * (a * x + b * y - offset)) for x, y in seen]
    left, bottom, right, top = measure_box([*seen, *mirrored])
    return max(right - left, top - bottom)


# Strip sets


def plan_strip_sets(
    strips: Sequence[float],
    segment: float,
    count: int,
    *,
    allowance: float = 0.25,
    width: float = 40.0,
    squaring: float = 0.0,
) -> StripSets:
    """Count the strip sets for a number of segments.

    Parameters
    ----------
    strips
        Cut width of each strip of a set, inches.
    segment
        Cut width of a segment, inches.
    count
        Segments needed.
    allowance, width
        Seam allowance and length of a strip, inches.
    squaring
        Inches for squaring up the ends of each set.

    Raises
    ------
    KitError
        A segment that is longer than a set.

    Examples
    --------
    >>> plan_strip_sets([2.5] * 5, 10.5, 42).strips, plan_strip_sets([2.5] * 5, 10.5, 42, width=42).strips
    (70, 55)
    """
    room = width - squaring
    per_set = floor((room + TOLERANCE) / segment)
    if per_set < 1:
        raise KitError(
            f"A segment of {write_refused(segment)} does not fit a strip set of {write_refused(room)}",
            needed="a segment shorter than the set",
            do="cut narrower segments or use longer strips",
        )
    sets = ceil(count / per_set)
    sewn = sum(strip - 2 * allowance for strip in strips) + 2 * allowance
    return StripSets(sewn, per_set, sets, sets * len(strips), room - per_set * segment, sets * (len(strips) - 1), count)
