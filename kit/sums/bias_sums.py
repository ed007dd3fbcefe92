"""Sums on bias: one square in one strip, strips from a parallelogram."""

from math import ceil, sqrt

from kit.errors import KitError
from kit.geometry.outlines import Outline
from kit.lengths import SLACK, Length
from kit.output.pictures.drawing import Drawing
from kit.planning.finishing.bias_strips import ROOT2, cut_parallelogram, find_bias_square, measure_bias_square
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import take_terms
from kit.sums.unit_sums import find_given


def bias_square(
    length: Length | None = None, strip: Length = "2 1/2 in", *, square: Length | None = None,
    width: Length | None = None, allowance: Length | None = None, system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """A square for one continuous bias strip: its side for a length, or the length that a square gives.

    Parameters
    ----------
    length
        Length of binding needed.
    strip
        Cut width of the strip.
    square
        Side of a square on hand, in place of the length.
    width, allowance, system
        Usable width of the cloth; seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "square", "strips", "length", "plain length" (without the seams), "area square", "area length".

    Raises
    ------
    KitError
        Neither a length nor a square; a square wider than the cloth.

    Examples
    --------
    >>> bias_square("244 in", "2 1/2 in")["square"], round(bias_square(square="18 in")["length"], 1)
    (25.5, 99.7)
    """
    terms = take_terms(length, strip, square, system=system, width=width, allowance=allowance)
    find_given(length=length, square=square)
    w = terms.length(strip, "strip")
    if square in (None, ""):
        needed = terms.length(length or 0, "length", longest=5000)
        side = find_bias_square(needed, w, terms.allowance, terms.usable, terms.system)
    else:
        side = terms.length(square or 0, "square")
        needed = 0.0
    count, long = measure_bias_square(side, w, terms.allowance)
    _, plain = measure_bias_square(side, w)
    figures: dict[str, Figure] = {"square": side, "strips": count, "length": long, "plain length": plain,
                                  "area length": side * side / w}  # fmt: skip
    if not count:
        raise KitError(f"a square of {terms.say(side)} gives no strip {terms.say(w)} wide", needed="a larger square",
                       do="cut a larger one")  # fmt: skip
    if needed:
        figures["area square"] = sqrt(needed * w)
        figures["needed"] = needed
        says = [
            f"A square of {terms.say(side)}: {count} strips in one, {terms.say(round(long, 2))} long.",
            f"By area {terms.say(round(sqrt(needed * w), 2))} would be said, too small: strips are whole.",
        ]
    else:
        says = [f"{count} strips in one, {terms.say(round(long, 2))} long.",
                f"By area it would be {terms.say(round(side * side / w, 2))}; strips are whole."]  # fmt: skip
    return SumAnswer(
        f"Bias strip {terms.say(w)} wide from one square", tuple(says),
        (f"A strip takes {terms.say(w)} × √2 = {terms.say(round(w * ROOT2, 4))} along the edge.",
         f"The two seams of {terms.say(terms.allowance)} take their part; without them it would be"
         f" {terms.say(round(plain, 2))}."),
        (f"Squares in half inches; cloth {terms.say(terms.usable)} wide.",), figures, terms.system,
        _draw_bias(side, w, count),
    )  # fmt: skip


def bias_strips(
    width: Length, edge: Length | None = None, strip: Length = "2 1/2 in", *, total: Length | None = None,
    system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """Bias strips from a parallelogram of 45°: how many, and how long each; or the edge that a total length takes.

    Parameters
    ----------
    width
        Its width across the straight grain.
    edge
        Its edge along it.
    strip
        Cut width of the strips.
    total
        Length of all strips together, in place of the edge.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "strips", "length" of each, "step" along the edge, "total", "edge".

    Raises
    ------
    KitError
        Lengths that are not above zero, or not exactly one of edge and total.

    Examples
    --------
    >>> round(bias_strips("31 in", total="219 in")["edge"], 3)
    17.678
    >>> answer = bias_strips("31 in", "20 in", "2 1/2 in")
    >>> answer["strips"], round(answer["length"], 1), round(answer["step"], 3)
    (5, 43.8, 3.536)
    """
    terms = take_terms(width, edge, strip, total, system=system)
    wide, w = terms.length(width, "width"), terms.length(strip, "strip")
    if find_given(edge=edge, total=total) == "edge":
        long, says = terms.length(edge or 0, "edge"), []
    else:
        wanted = terms.length(total or 0, "total", longest=5000)
        long = ceil(wanted / (wide * ROOT2) - SLACK) * w * ROOT2
        says = [f"An edge of {terms.say(round(long, 2))} gives {terms.say(wanted)} of strip."]
    count, each = cut_parallelogram(wide, long, w)
    shape: Outline = ((0.0, 0.0), (wide, wide), (wide, wide + long), (0.0, long))
    return SumAnswer(
        f"Bias strips {terms.say(w)} wide from a parallelogram of {terms.say_size((wide, round(long, 2)))}",
        (*says, f"{count} strips of {terms.say(round(each, 2))} each."),
        (f"A strip takes {terms.say(w)} × √2 = {terms.say(round(w * ROOT2, 4))} of the edge, not {terms.say(w)}.",
         f"Each is as long as the slope: {terms.say(wide)} × √2 = {terms.say(round(wide * ROOT2, 2))}."),
        ("The slope lies at exactly 45°; joins and squaring the ends come off the total.",),
        {"strips": count, "length": each, "step": w * ROOT2, "total": count * each, "edge": long}, terms.system,
        draw_shapes([(shape, "cloth")], "A parallelogram of cloth at 45°, its strips dashed", dashed=[
            ((0.0, k * w * ROOT2), (wide, wide + k * w * ROOT2)) for k in range(1, min(count, 300) + 1)]),
    )  # fmt: skip


def _draw_bias(side: float, strip: float, count: int) -> Drawing:
    step = strip * ROOT2
    lines: list[Outline] = [((0.0, k * step), (side, side + k * step)) for k in range(count + 1)]
    cloth: Outline = ((0.0, 0.0), (side, side), (side, side + side), (0.0, side))
    return draw_shapes(
        [(cloth, "square, cut and sewn to a parallelogram")], "The strips of a bias square", dashed=lines
    )
