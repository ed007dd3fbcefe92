"""Sums on edges that are not straight: binding round scallops and round quilts."""

from math import asin, ceil, cos, floor, pi, sin, sqrt

from kit.errors import KitError
from kit.lengths import CM, SLACK, Length, round_up
from kit.model.finishing import find_usual
from kit.output.pictures.drawing import Drawing
from kit.planning.finishing.bias_strips import find_bias_square, measure_bias_square
from kit.planning.finishing.binding import find_binding_width
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import Size, SumTerms, take_terms
from kit.sums.unit_sums import find_given


def scallops(
    quilt: Size,
    scallop: Length | None = None,
    depth: Length = "2 in",
    *,
    binding: Length | None = None,
    strip: Length | None = None,
    extra: Length | None = None,
    width: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Binding for round scallops: how many fit each side, and the binding round them; or the most that binding allows.

    Parameters
    ----------
    quilt
        Finished size of the quilt, to the tips of the scallops.
    scallop
        Wished width of a scallop; it is brought to a whole number per side.
    depth
        How deep the arc of a scallop is.
    binding
        Bias binding on hand, in place of the width: the answer is the narrowest scallops that it binds.
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
        A scallop deeper than half its width, binding too short for any, or not exactly one of the two.

    Examples
    --------
    >>> answer = scallops("60 x 80 in", "10 in", "2 in")
    >>> answer["across"], answer["down"], round(answer["arc"], 3)
    (6, 8, 11.035)
    """
    terms = take_terms(quilt, scallop, depth, binding, strip, system=system, width=width)
    size, deep = terms.size(quilt, "quilt"), terms.length(depth, "depth")
    usual = find_usual(terms.system)
    more = usual.binding_extra if extra in (None, "") else terms.length(extra or 0, "extra")
    if find_given(scallop=scallop, binding=binding) == "scallop":
        wish = terms.length(scallop or 0, "scallop")
    else:
        wish = _find_narrowest(size, deep, terms.length(binding or 0, "binding", longest=5000) - more, terms)
    counts, chords = _fit_scallops(size, wish)
    if deep > min(chords) / 2 + SLACK:
        raise KitError(f"a scallop {terms.say(round(min(chords), 4))} wide is {terms.say(deep)} deep",
                       needed="at most half as deep as wide", do="make it flatter")  # fmt: skip
    arcs = [_measure_arc(chord, deep) for chord in chords]
    edge = 2 * sum(count * arc for count, arc in zip(counts, arcs, strict=True))
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


def _fit_scallops(size: tuple[float, float], wish: float) -> tuple[list[int], list[float]]:
    """Return how many scallops each side takes, and how wide they are."""
    counts = [max(1, round(side / wish)) for side in size]
    return counts, [side / count for side, count in zip(size, counts, strict=True)]


def _find_narrowest(size: tuple[float, float], deep: float, binding: float, terms: SumTerms) -> float:
    """Return the narrowest width, on half inches or centimetres, whose edge is no longer than the binding."""
    step = 0.5 if terms.system == "inch" else CM
    wish = step * ceil(2 * deep / step)
    while wish <= max(size):
        counts, chords = _fit_scallops(size, wish)
        edge = 2 * sum(n * _measure_arc(chord, deep) for n, chord in zip(counts, chords, strict=True))
        if deep <= min(chords) / 2 and edge <= binding + SLACK:
            return wish
        wish += step
    raise KitError(f"{terms.say(binding)} of binding, closing taken off, binds no scallops {terms.say(deep)} deep",
                   needed="a longer binding", do="make them flatter, or cut more")  # fmt: skip


def round_edge(
    across: Length | None = None, *, square: Length | None = None, strip: Length | None = None,
    extra: Length | None = None, width: Length | None = None, system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """Binding for a round quilt: the length round it, and the square for it; or how large a quilt a square binds.

    Parameters
    ----------
    across
        Diameter of the quilt.
    square
        Side of the square on hand, in place of it.
    strip, extra, width, system
        As for `scallops`.

    Returns
    -------
    SumAnswer
        Figures: "across", "edge", "needed", "square".

    Raises
    ------
    KitError
        A square wider than the cloth or too small, or not exactly one of across and square.

    Examples
    --------
    >>> round(round_edge("50 in")["edge"], 2)
    157.08
    >>> round_edge(square="18 in")["across"] >= 50
    True
    """
    terms = take_terms(across, square, strip, extra, system=system, width=width)
    usual = find_usual(terms.system)
    given = find_given(across=across, square=square)
    more = usual.binding_extra if extra in (None, "") else terms.length(extra or 0, "extra")
    w = (
        round_up(find_binding_width(usual.binding_finished, "single", usual.binding_loft), terms.step)
        if strip in (None, "")
        else terms.length(strip or 0, "strip")
    )
    if given == "across":
        d = terms.length(across or 0, "diameter")
        side = find_bias_square(pi * d + more, w, terms.allowance, terms.usable, terms.system)
        says = []
    else:
        side = terms.length(square or 0, "square")
        _, long = measure_bias_square(side, w, terms.allowance)
        d = (long - more) / pi
        if d <= 0:
            raise KitError(f"a square of {terms.say(side)} gives {terms.say(round(long, 2))} of strip, and closing"
                           f" takes {terms.say(more)}", needed="a larger square", do="cut a larger one")  # fmt: skip
        says = [f"It binds a quilt up to {terms.say(floor(d * 100) / 100)} across."]
    circle = tuple((d / 2 * cos(k * pi / 36), d / 2 * sin(k * pi / 36)) for k in range(72))
    inside = tuple((0.97 * x, 0.97 * y) for x, y in circle)
    said = terms.say(round(d, 2))
    return SumAnswer(
        f"Binding round a quilt {said} across",
        (*says, f"{terms.say(round(pi * d + more, 2))} of bias strip {terms.say(w)} wide: one square of"
         f" {terms.say(side)}."),
        (f"Round it: {said} × π = {terms.say(round(pi * d, 2))}, and {terms.say(more)} for closing.",),
        (f"Cloth {terms.say(terms.usable)} wide; strips on a curve are cut on the bias.",),
        {"across": d, "edge": pi * d, "needed": pi * d + more, "square": side},
        terms.system,
        draw_shapes([(circle, "binding"), (inside, "quilt")], f"A round quilt {said} across, its binding round it"),
    )  # fmt: skip


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
