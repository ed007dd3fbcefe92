"""Sums on bias: one square in one strip, strips from a parallelogram, scalloped and round edges."""

from math import asin, pi, sqrt

from kit.errors import KitError
from kit.geometry.outlines import Outline
from kit.lengths import SLACK, Length, round_up
from kit.model.finishing import find_usual
from kit.output.pictures.drawing import Drawing
from kit.planning.finishing.bias_strips import ROOT2, cut_parallelogram, find_bias_square, measure_bias_square
from kit.planning.finishing.binding import find_binding_width
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import Size, take_terms
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


def bias_strips(width: Length, edge: Length, strip: Length, *, system: str | None = None) -> SumAnswer:
    """Bias strips from a parallelogram of 45°: how many, and how long each.

    Parameters
    ----------
    width
        Its width across the straight grain.
    edge
        Its edge along it.
    strip
        Cut width of the strips.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "strips", "length" of each, "step" along the edge, "total".

    Raises
    ------
    KitError
        Lengths that are not above zero.

    Examples
    --------
    >>> answer = bias_strips("31 in", "20 in", "2 1/2 in")
    >>> answer["strips"], round(answer["length"], 1), round(answer["step"], 3)
    (5, 43.8, 3.536)
    """
    terms = take_terms(width, edge, strip, system=system)
    wide, long, w = terms.length(width, "width"), terms.length(edge, "edge"), terms.length(strip, "strip")
    count, each = cut_parallelogram(wide, long, w)
    shape: Outline = ((0.0, 0.0), (wide, wide), (wide, wide + long), (0.0, long))
    return SumAnswer(
        f"Bias strips {terms.say(w)} wide from a parallelogram of {terms.say_size((wide, long))}",
        (f"{count} strips of {terms.say(round(each, 2))} each.",),
        (f"A strip takes {terms.say(w)} × √2 = {terms.say(round(w * ROOT2, 4))} of the edge, not {terms.say(w)}.",), (),
        {"strips": count, "length": each, "step": w * ROOT2, "total": count * each}, terms.system,
        draw_shapes([(shape, "cloth")], "A parallelogram of cloth at 45°"),
    )  # fmt: skip


def scallops(
    quilt: Size,
    scallop: Length,
    depth: Length,
    *,
    strip: Length | None = None,
    extra: Length | None = None,
    width: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Binding for round scallops: how many fit each side, and the length of bias binding round them.

    Parameters
    ----------
    quilt
        Finished size of the quilt, to the tips of the scallops.
    scallop
        Wished width of a scallop; it is brought to a whole number per side.
    depth
        How deep the arc of a scallop is.
    strip
        Cut width of the bias strip; left out: single fold, four times the finished width.
    extra
        Length for closing; left out: 12 in.
    width, system
        Usable width of the cloth; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "across", "down" (scallops per side), "wide", "high" (their widths), "arc" (length along one),
        "needed", "square" (for the bias strip).

    Raises
    ------
    KitError
        A scallop deeper than half its width.

    Examples
    --------
    >>> answer = scallops("60 x 80 in", "10 in", "2 in")
    >>> answer["across"], answer["down"], round(answer["arc"], 3)
    (6, 8, 11.035)
    """
    terms = take_terms(quilt, scallop, depth, strip, system=system, width=width)
    size, wish, deep = terms.size(quilt, "quilt"), terms.length(scallop, "scallop"), terms.length(depth, "depth")
    counts = [max(1, round(side / wish)) for side in size]
    chords = [side / count for side, count in zip(size, counts, strict=True)]
    if deep > min(chords) / 2 + SLACK:
        raise KitError(f"a scallop {terms.say(round(min(chords), 4))} wide is {terms.say(deep)} deep",
                       needed="at most half as deep as wide", do="make it flatter")  # fmt: skip
    arcs = [_measure_arc(chord, deep) for chord in chords]
    more = find_usual(terms.system).binding_extra if extra in (None, "") else terms.length(extra or 0, "extra")
    edge = 2 * sum(count * arc for count, arc in zip(counts, arcs, strict=True))
    usual = find_usual(terms.system)
    w = (
        round_up(find_binding_width(usual.binding_finished, "single", usual.binding_loft), terms.step)
        if strip in (None, "")
        else terms.length(strip or 0, "strip")
    )
    figures: dict[str, Figure] = {
        "across": counts[0], "down": counts[1], "wide": chords[0], "high": chords[1], "arc": arcs[0], "edge": edge,
        "needed": edge + more,
    }  # fmt: skip
    says = [
        f"{counts[0]} scallops of {terms.say(round(chords[0], 4))} across, {counts[1]} of"
        f" {terms.say(round(chords[1], 4))} down; bind {terms.say(round(edge + more, 2))} on the bias."
    ]
    try:
        side = find_bias_square(edge + more, w, terms.allowance, terms.usable, terms.system)
        figures["square"] = side
        says.append(f"A square of {terms.say(side)} gives that in strips {terms.say(w)} wide.")
    except KitError:
        says.append(f"One square across the cloth does not give that in strips {terms.say(w)} wide: cut bias lengths.")
    straight = 2 * sum(size)
    return SumAnswer(
        f"Round scallops about {terms.say(wish)} wide and {terms.say(deep)} deep round {terms.say_size(size)}",
        tuple(says),
        (
            f"Along an arc {terms.say(round(arcs[0], 4))} in place of {terms.say(round(chords[0], 4))}.",
            f"A straight edge would be {terms.say(straight)}; the scallops add {terms.say(round(edge - straight, 2))}.",
        ),
        (
            "Each scallop is one arc of a circle; corners are not rounded further. Binding on curves is cut on the"
            " bias.",
        ),
        figures,
        terms.system,
        _draw_scallop(chords[0], deep),
    )


def round_edge(
    across: Length, *, strip: Length | None = None, extra: Length | None = None, width: Length | None = None,
    system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """Binding for a round quilt: the length round it, and the square for the bias strip.

    Parameters
    ----------
    across
        Diameter of the quilt.
    strip, extra, width, system
        As for `scallops`.

    Returns
    -------
    SumAnswer
        Figures: "edge", "needed", "square".

    Raises
    ------
    KitError
        A square wider than the cloth.

    Examples
    --------
    >>> round(round_edge("50 in")["edge"], 2)
    157.08
    """
    terms = take_terms(across, strip, extra, system=system, width=width)
    usual = find_usual(terms.system)
    d = terms.length(across, "diameter")
    more = usual.binding_extra if extra in (None, "") else terms.length(extra or 0, "extra")
    w = (
        round_up(find_binding_width(usual.binding_finished, "single", usual.binding_loft), terms.step)
        if strip in (None, "")
        else terms.length(strip or 0, "strip")
    )
    side = find_bias_square(pi * d + more, w, terms.allowance, terms.usable, terms.system)
    return SumAnswer(
        f"Binding round a quilt {terms.say(d)} across",
        (f"{terms.say(round(pi * d + more, 2))} of bias strip {terms.say(w)} wide: one square of {terms.say(side)}.",),
        (f"Round it: {terms.say(d)} × π = {terms.say(round(pi * d, 2))}, and {terms.say(more)} for closing.",),
        (f"Cloth {terms.say(terms.usable)} wide.",),
        {"edge": pi * d, "needed": pi * d + more, "square": side},
        terms.system,
    )


def _measure_arc(chord: float, depth: float) -> float:
    radius = (chord * chord / 4 + depth * depth) / (2 * depth)
    return 2 * radius * asin(min(1.0, chord / (2 * radius)))


def _draw_scallop(chord: float, depth: float) -> Drawing:
    radius = (chord * chord / 4 + depth * depth) / (2 * depth)
    xs = [chord * k / 24 for k in range(25)]
    arc = [(x, depth - radius + sqrt(max(0.0, radius * radius - (x - chord / 2) ** 2))) for x in xs]
    one = tuple((x, y) for x, y in reversed(arc))
    shapes = []
    for k in range(3):
        moved = tuple((x + k * chord, y) for x, y in one)
        shapes.append(((*moved, (k * chord, -depth), ((k + 1) * chord, -depth)), "quilt"))
    return draw_shapes(shapes, f"Three scallops {chord:.2f} in wide")


def _draw_bias(side: float, strip: float, count: int) -> Drawing:
    step = strip * ROOT2
    lines: list[Outline] = [((0.0, k * step), (side, side + k * step)) for k in range(count + 1)]
    cloth: Outline = ((0.0, 0.0), (side, side), (side, side + side), (0.0, side))
    return draw_shapes(
        [(cloth, "square, cut and sewn to a parallelogram")], "The strips of a bias square", dashed=lines
    )
