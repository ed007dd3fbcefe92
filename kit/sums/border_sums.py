"""Sums on borders and backs: borders by every join and corner, one length for both, backing and batting."""

from dataclasses import replace
from math import floor

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import SLACK, Length
from kit.model.finishing import FinishingWishes, TopFacts, find_usual
from kit.model.finishing_parts import BorderPlan
from kit.output.pictures.drawing import Drawing
from kit.planning.finishing.border_strips import fit_border, plan_borders
from kit.planning.finishing.off_the_bolt import find_join_cost
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import Lengths, Size, SumTerms, take_terms

CORNERS = ("butted", "mitred", "cornerstones")
JOINS = ("straight", "diagonal")


def borders(
    top: Size,
    finished: Length | None = None,
    *,
    join: str = "straight",
    corners: str = "butted",
    remnant: Size | None = None,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """A border round a top: its strips and cloth, across and along; or the widest border that a remnant gives.

    Parameters
    ----------
    top
        Finished width and height of the top inside the border.
    finished
        Finished width of the border; left out with a remnant.
    join
        How strips are joined: "straight" or "diagonal".
    corners
        "butted", "mitred" or "cornerstones".
    remnant
        Cloth on hand, its width and length: the answer is the widest border that comes out of it.
    width, allowance, system
        Usable width of the cloth; seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "cut", "upright", "level" (cut lengths), "strips", "join", "across", "along" (inches of cloth),
        "buy across", "buy along", "finished".

    Raises
    ------
    KitError
        Neither a border nor a remnant, or a remnant too small.

    Examples
    --------
    >>> answer = borders("40 x 50 in", "5 in")
    >>> answer["strips"], answer["across"], answer["along"], answer["upright"]
    (6, 33.0, 50.5, 50.5)
    """
    terms = take_terms(top, finished, remnant, system=system, width=width, allowance=allowance)
    size = terms.size(top, "top")
    _check_choice(join, JOINS, "join")
    _check_choice(corners, CORNERS, "corners")
    if finished in (None, ""):
        if remnant in (None, ""):
            raise KitError("neither a border nor a remnant is given", needed="one of both", do='write finished "5 in"')
        have = terms.size(remnant or 0, "remnant")
        terms = replace(terms, usable=have[0])
        b = _find_widest(size, have[1], join, corners, terms)
    else:
        b = terms.length(finished or 0, "border")
    across, along = (_plan(size, b, join, corners, way, terms) for way in ("crosswise", "lengthwise"))
    figures: dict[str, Figure] = {
        "finished": b, "cut": across.cut, "upright": across.lengths[0], "level": across.lengths[2],
        "strips": across.strips, "joins": across.joins, "join": across.join_cost,
        "across": across.cloth, "along": along.cloth, "buy across": across.bought, "buy along": along.bought,
    }  # fmt: skip
    says = [
        f"Cut {terms.say(across.cut)} wide: two of {terms.say(across.lengths[0])} and two of"
        f" {terms.say(across.lengths[2])}.",
        f"Across the cloth: {across.strips} strips, {across.joins} joins, {terms.say(across.cloth)}: buy"
        f" {terms.buy(across.bought)}.",
        f"Along the cloth: no joins, {terms.say(along.cloth)}: buy {terms.buy(along.bought)}.",
    ]
    if remnant not in (None, ""):
        have = terms.size(remnant or 0, "remnant")
        fits = [name for name, plan in (("across", across), ("along", along)) if plan.cloth <= have[1] + SLACK]
        figures["fits"] = bool(fits)
        said = f"It fits, cut {' or '.join(fits)} the cloth." if fits else "It does not fit."
        says.insert(0, f"The remnant of {terms.say_size(have)}, a border that finishes {terms.say(b)}: {said}")
    out = (size[0] + 2 * b, size[1] + 2 * b)
    return SumAnswer(
        f"A {corners} border that finishes {terms.say(b)} round a top of {terms.say_size(size)}",
        tuple(says),
        (
            f"The quilt then finishes {terms.say_size(out)}.",
            f"A {join} join takes {terms.say(across.join_cost)} of a strip.",
            "By the edge alone joins would be forgotten; by area the cloth would be too little.",
        ),
        (
            f"Allowance {terms.say(terms.allowance)}; cloth {terms.say(terms.usable)} wide; {terms.say(terms.squaring)}"
            " for squaring up.",
            *(["Mitred strips are cut 3 in longer than the edge and two borders."] if corners == "mitred" else []),
        ),
        figures,
        terms.system,
        _draw_border(size, b, corners, terms),
    )


def border_length(measured: Lengths, *, system: str | None = None) -> SumAnswer:
    """One length for two opposite borders, from measurements of the top at both edges and through the middle.

    Parameters
    ----------
    measured
        The measurements, raw edges included: "41 1/2, 42, 42 1/2 in".
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "length", "ease", "share", "per quarter".

    Raises
    ------
    KitError
        No measurement.

    Examples
    --------
    >>> answer = border_length("41 1/2, 42, 42 1/2 in")
    >>> answer["length"], answer["ease"], answer["per quarter"]
    (42.0, 0.5, 0.125)
    """
    terms = take_terms(measured, system=system)
    fit = fit_border(terms.lengths(measured, "measurements"))
    share = f"{100 * fit.share:.1f} %"
    much = fit.share > FinishingWishes().ease_limit + SLACK
    says = [f"Cut both borders {terms.say(round(fit.length, 4))}.",
            f"Up to {terms.say(round(fit.ease, 4))} is eased in, {share} of the edge:"
            f" {terms.say(round(fit.per_quarter, 4))} between quarter marks."]  # fmt: skip
    if much:
        says.append("That is over 1 %: look for the seams that are off before you ease it in.")
    return SumAnswer(
        f"One length from {len(fit.measured)} measurements", tuple(says),
        ("The mean of the measurements, the same for both sides, so that the quilt lies flat.",),
        ("The two edges and the middle were measured, raw edges included.",),
        {"length": fit.length, "ease": fit.ease, "share": fit.share, "per quarter": fit.per_quarter}, terms.system,
        draw_shapes([(make_rectangle(0, k * 3.0, w, 2.0), "edge") for k, w in enumerate(fit.measured)],
                    "The measurements, one above another"),
    )  # fmt: skip


def _check_choice(value: str, known: tuple[str, ...], what: str) -> None:
    if value not in known:
        raise KitError(f"there are no {what} `{value!s:.30}`", needed=", ".join(known), do="name one of these")


def _plan(size: tuple[float, float], b: float, join: str, corners: str, way: str, terms: SumTerms) -> BorderPlan:
    wishes = replace(find_usual(terms.system), border_join=join, border_cloth=way)  # type: ignore[arg-type]  # checked
    facts = TopFacts(
        system=terms.system, allowance=terms.allowance, step=terms.step, usable_width=terms.usable, borders=(b,),
        corners=(corners,),  # type: ignore[arg-type]  # checked
    )  # fmt: skip
    return plan_borders(size[0] + 2 * b, size[1] + 2 * b, wishes, facts)[0]


def _find_widest(size: tuple[float, float], long: float, join: str, corners: str, terms: SumTerms) -> float:
    """Return the widest border, in half inches or centimetres, that a remnant gives cut one way or the other."""
    step = 0.5 if terms.system == "inch" else terms.step * 10
    best = 0.0
    for k in range(1, floor(terms.usable / step) + 1):
        b = k * step
        try:
            fits = any(
                _plan(size, b, join, corners, way, terms).cloth <= long + SLACK for way in ("crosswise", "lengthwise")
            )
        except KitError:
            break
        best = b if fits else best
    if not best:
        raise KitError(f"the remnant gives no border round {terms.say_size(size)}", needed="more cloth", do="piece it")
    return best


def _draw_border(size: tuple[float, float], b: float, corners: str, terms: SumTerms) -> Drawing:
    w, h = size
    if corners == "butted":
        parts = [make_rectangle(0, b, b, h), make_rectangle(b + w, b, b, h), make_rectangle(0, 0, w + 2 * b, b),
                 make_rectangle(0, b + h, w + 2 * b, b)]  # fmt: skip
    elif corners == "cornerstones":
        parts = [make_rectangle(0, b, b, h), make_rectangle(b + w, b, b, h), make_rectangle(b, 0, w, b),
                 make_rectangle(b, b + h, w, b)]  # fmt: skip
        parts += [make_rectangle(x, y, b, b) for x in (0, b + w) for y in (0, b + h)]
    else:
        o, i = make_rectangle(0, 0, w + 2 * b, h + 2 * b), make_rectangle(b, b, w, h)
        parts = [(o[k], o[(k + 1) % 4], i[(k + 1) % 4], i[k]) for k in range(4)]
    shapes = [(make_rectangle(b, b, w, h), "top"), *((part, "border") for part in parts)]
    return draw_shapes(shapes, f"A {corners} border of {terms.say(b)}")


def join_cost(
    cut: Length, *, join: str = "straight", allowance: Length | None = None, system: str | None = None
) -> SumAnswer:
    """What one join takes of a strip.

    Parameters
    ----------
    cut
        Cut width of the strip.
    join
        "straight" or "diagonal".
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "lost".

    Raises
    ------
    KitError
        An unknown join.

    Examples
    --------
    >>> join_cost("8 in")["lost"], join_cost("8 in", join="diagonal")["lost"]
    (0.5, 8.0)
    """
    terms = take_terms(cut, system=system, allowance=allowance)
    _check_choice(join, JOINS, "joins")
    w = terms.length(cut, "cut width")
    lost = find_join_cost("diagonal" if join == "diagonal" else "straight", w, terms.allowance)
    how = "two allowances" if join == "straight" else "the width of the strip"
    working = (
        f"Straight: the ends overlap by 2 × {terms.say(terms.allowance)} = {terms.say(2 * terms.allowance)}.",
        f"Diagonal: the ends cross at a right angle, and the seam runs through the crossing: {terms.say(w)} is lost.",
    )
    long = 2 * w
    if join == "straight":
        ends = [make_rectangle(0, 0, long, w), make_rectangle(long - lost, 0, long, w)]
        seam = [((long - lost / 2, 0.0), (long - lost / 2, w))]
    else:
        ends = [make_rectangle(0, 0, long, w), make_rectangle(long - w, w - long, w, long)]
        seam = [((long - w, 0.0), (long, w))]
    return SumAnswer(
        f"A {join} join in a strip cut {terms.say(w)}", (f"It takes {terms.say(lost)}: {how}.",), working,
        (f"Allowance {terms.say(terms.allowance)}; both strips are cut {terms.say(w)} wide.",), {"lost": lost},
        terms.system, draw_shapes([(ends[0], "first strip"), (ends[1], "second strip")],
                                  f"The two strips as they are laid for a {join} join, the seam dashed", dashed=seam),
    )  # fmt: skip
