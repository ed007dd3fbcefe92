"""Sums on wheels of equal wedges, with a true point or a blunt one."""

from math import cos, pi, sin, tan

from kit.errors import KitError
from kit.geometry.outlines import Outline, measure_box, offset_outline
from kit.lengths import Length
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import stack_up
from kit.sums.sum_terms import Number, SumTerms, take_terms
from kit.sums.unit_sums import find_given, say_ruler, undo_cut


def wheels(
    wedges: Number,
    outside: Length | None = None,
    *,
    strip: Length | None = None,
    hole: Length | None = None,
    points: str = "true",
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Wheels of equal wedges: the strip and both cut widths of a wedge; or how large a wheel a strip makes.

    Parameters
    ----------
    wedges
        Wedges in the full round.
    outside
        Finished distance from one straight outer edge through the middle to the opposite one.
    strip
        Cut strip on hand, in place of it.
    hole
        The same across the hole in the middle; left out: the wedges meet in a point.
    points
        "true", or "blunt": the ruler leaves out the point of the wedge beyond the seam allowance.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "strip", "wide", "narrow" (cut widths), "angle", "outside".

    Raises
    ------
    KitError
        Fewer than 4 wedges, a hole as large as the wheel.

    Examples
    --------
    >>> answer = wheels(20, "16 in", hole="4 in")
    >>> answer["strip"], answer["angle"], round(answer["wide"], 3), round(answer["narrow"], 3)
    (6.5, 18.0, 3.12, 1.061)
    """
    terms = take_terms(outside, strip, hole, system=system, allowance=allowance)
    n = terms.count(wedges, "wedges", 4)
    given = find_given(outside=outside, strip=strip)
    if points not in ("true", "blunt"):
        raise KitError(f"there are no points `{points!s:.30}`", needed="true or blunt", do="name one of these")
    within = terms.length(hole, "hole") / 2 if hole not in (None, "") else 0.0
    size = terms.length((outside if given == "outside" else strip) or 0, given)
    lean = tan(pi / n)

    def cut_strip(radius: float) -> float:
        return _cut_wedge(radius, within, lean, points, terms)[0]

    radius = (
        size / 2 if given == "outside" else undo_cut(lambda r: cut_strip(within + r), size, "strip", terms) + within
    )
    if radius <= within + 1e-6:
        raise KitError(f"the hole is {terms.say(2 * within)} and the wheel {terms.say(2 * radius)}",
                       needed="a hole smaller than the wheel", do="correct one of them")  # fmt: skip
    high, wide, narrow, grown, outline = _cut_wedge(radius, within, lean, points, terms)
    figures: dict[str, Figure] = {
        "strip": high,
        "wide": wide,
        "narrow": narrow,
        "angle": 360 / n,
        "outside": 2 * radius,
    }
    tip = f"and {terms.say_cut(narrow)} at the narrow end" if narrow > 1e-6 else "and come to a point"
    turned = [_turn_wedge(outline, 2 * pi * k / n) for k in range(n)]
    wheel = [(one, ("odd", "even")[k % 2]) for k, one in enumerate(turned)]
    return SumAnswer(
        f"A wheel of {n} wedges that finishes {terms.say(round(2 * radius, 4))} across",
        (
            f"Cut strips {terms.say_cut(high)}; wedges are {terms.say_cut(wide)} at the wide end {tip}.",
            f"Each wedge has an angle of {360 / n:g}°.",
        ),
        (
            f"The wedge is {terms.say(round(radius - within, 4))} long finished, and grows by"
            f" {terms.say(terms.allowance)} on every side.",
            *(["The blunt ruler leaves out the point beyond the allowance."] if points == "blunt" else []),
        ),
        (
            *say_ruler(terms),
            "The outer edges are straight; the distance is measured from edge to edge through the middle.",
        ),
        figures,
        terms.system,
        stack_up(
            [([(grown, "cut")], f"strip {terms.say(terms.up(high))}"), (wheel, "finished")], f"A wheel of {n} wedges"
        ),
    )


def _cut_wedge(
    radius: float, within: float, lean: float, points: str, terms: SumTerms
) -> tuple[float, float, float, Outline, Outline]:
    """Return the strip of a wedge, both cut widths, its cut outline and the finished one, the point at the bottom."""
    top, foot = radius * lean, within * lean
    outline: Outline = (
        ((-foot, within), (foot, within), (top, radius), (-top, radius)) if within
        else ((0.0, 0.0), (top, radius), (-top, radius))
    )  # fmt: skip
    grown = offset_outline(outline, terms.allowance)
    low, high = measure_box(grown)[1], measure_box(grown)[3]
    wide = max(x for x, _ in grown) - min(x for x, _ in grown)
    if not within and points == "blunt":
        low = -terms.allowance
        half = wide / 2 - (high - low) * lean
        grown = ((-half, low), (half, low), (wide / 2, high), (-wide / 2, high))
        return high - low, wide, 2 * half, grown, outline
    narrow = [x for x, y in grown if abs(y - low) < 1e-9]
    return high - low, wide, max(narrow) - min(narrow), grown, outline


def _turn_wedge(outline: Outline, angle: float) -> Outline:
    return tuple((x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)) for x, y in outline)
