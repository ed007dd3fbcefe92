"""Sums on binding: straight and bias strips, squares and parallelograms for bias, scalloped and round edges."""

from dataclasses import replace
from math import sqrt

from kit.errors import KitError
from kit.lengths import Length, round_up
from kit.model.finishing import TopFacts, find_usual
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.finishing_picture import draw_binding
from kit.planning.finishing.binding import find_binding_width, plan_binding
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.off_the_bolt import find_join_cost
from kit.sums.answer import Figure, SumAnswer
from kit.sums.sum_terms import Number, Size, SumTerms, take_terms
from kit.sums.unit_sums import find_given

GRAINS = ("straight", "bias square", "bias lengths")


def binding(
    quilt: Size | None = None,
    *,
    strips_on_hand: Number | None = None,
    cut: Length | None = None,
    finished: Length | None = None,
    fold: str = "double",
    grain: str = "straight",
    join: str = "diagonal",
    extra: Length | None = None,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Binding: the cut width, the strips and the cloth; or how far strips on hand go.

    Parameters
    ----------
    quilt
        Finished size of the quilt.
    strips_on_hand
        Strips on hand, in place of it: the answer is the edge that they bind.
    cut, finished, fold
        Cut width of the strips (left out: from the finished width), visible width, "double" or "single".
    grain
        "straight", "bias square" (one continuous strip) or "bias lengths".
    join
        "diagonal" or "straight".
    extra
        Length for corners and closing; left out: 12 in.
    width, allowance, system
        Usable width of the cloth; seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "cut", "needed", "strips", "gives", "fewer give", "cloth", "to buy", "square" (bias square).

    Raises
    ------
    KitError
        Neither quilt nor strips; strips too narrow; bias that does not fit the cloth.

    Examples
    --------
    >>> answer = binding("51 x 61 in", cut="2 1/2 in")
    >>> answer["needed"], answer["strips"], answer["fewer give"]
    (236.0, 7, 227.5)
    """
    terms = take_terms(quilt, cut, finished, extra, system=system, width=width, allowance=allowance)
    find_given(quilt=quilt, strips_on_hand=strips_on_hand)
    usual = find_usual(terms.system)
    for value, known, what in ((grain, GRAINS, "grain"), (join, ("diagonal", "straight"), "join"),
                               (fold, ("double", "single"), "fold")):  # fmt: skip
        if value not in known:
            raise KitError(f"there is no {what} `{value!s:.30}`", needed=", ".join(known), do="name one of these")
    more = usual.binding_extra if extra in (None, "") else terms.length(extra or 0, "extra")
    seen = usual.binding_finished if finished in (None, "") else terms.length(finished or 0, "finished width")
    strip = None if cut in (None, "") else terms.length(cut or 0, "cut width")
    if quilt in (None, ""):
        return _bind_from(terms.count(strips_on_hand or 0, "strips"), strip, seen, fold, join, more, terms)
    size = terms.size(quilt or 0, "quilt")
    wishes = replace(
        usual,
        binding_cut=strip,
        binding_finished=seen,
        binding_fold=fold,  # type: ignore[arg-type]  # checked
        binding_grain=grain,  # type: ignore[arg-type]  # checked
        binding_join=join,  # type: ignore[arg-type]  # checked
        binding_extra=more,
        sleeve=False,
        batting="roll",
    )
    facts = TopFacts(system=terms.system, allowance=terms.allowance, step=terms.step, usable_width=terms.usable)
    plan = plan_binding(*size, wishes, facts)
    n, whole = len(plan.lengths), plan.cloth_width
    figures: dict[str, Figure] = {
        "cut": plan.cut, "needed": plan.needed, "around": plan.perimeter, "strips": n, "gives": plan.total,
        "join": plan.join_cost, "cloth": plan.cloth, "to buy": plan.bought,
    }  # fmt: skip
    working = [f"Round the quilt {terms.say(plan.perimeter)}, and {terms.say(more)} for corners and closing:"
               f" {terms.say(plan.needed)}."]  # fmt: skip
    if grain == "straight":
        fewer = (n - 1) * whole - max(0, n - 2) * plan.join_cost
        figures["fewer give"] = fewer
        says = [
            f"{n} strips cut {terms.say(plan.cut)}, {terms.say(plan.cloth)} of cloth: buy {terms.buy(plan.bought)}."
        ]
        working.append(
            f"{n - 1} strips give {terms.say(fewer)}, too short; a {join} join takes {terms.say(plan.join_cost)}."
        )
        working.append("Dividing by the width alone forgets the joins; the square-root rule is for bias.")
    elif plan.square is not None:
        figures["square"] = plan.square
        says = [f"One square of {terms.say(plan.square)}, cut into a continuous strip {terms.say(plan.cut)} wide."]
        working.append(
            f"By area {terms.say(round(sqrt(plan.needed * plan.cut), 2))} would do: strips are whole, so it is not."
        )
    else:
        says = [f"{n} bias strips cut {terms.say(plan.cut)}, from {terms.say(round(plan.cloth, 3))} of cloth: buy"
                f" {terms.buy(plan.bought)}."]  # fmt: skip
    says.append(f"No join lies nearer to a corner than {terms.say(round(plan.clear, 2))}.")
    try:
        picture: Drawing | None = draw_binding(finishing_plan(*size, wishes, facts))
    except KitError:
        picture = None
    return SumAnswer(
        f"{fold.capitalize()}-fold binding for {terms.say_size(size)}", tuple(says), tuple(working),
        (f"Cloth {terms.say(terms.usable)} wide; {terms.say(terms.squaring)} for squaring up.",
         f"It finishes {terms.say(seen)} wide on the front."),
        figures, terms.system, picture,
    )  # fmt: skip


def _bind_from(
    count: int, strip: float | None, seen: float, fold: str, join: str, more: float, terms: SumTerms
) -> SumAnswer:
    """Say how long an edge a number of strips binds."""
    usual = find_usual(terms.system)
    w = round_up(find_binding_width(seen, fold, usual.binding_loft), terms.step) if strip is None else strip
    cost = find_join_cost("diagonal" if join == "diagonal" else "straight", w, terms.allowance)
    gives = count * terms.usable - (count - 1) * cost
    edge = gives - more
    if edge <= 0:
        raise KitError(
            f"{count} strips give {terms.say(gives)}, and closing takes {terms.say(more)}",
            needed="more strips",
            do="cut more",
        )
    return SumAnswer(
        f"How far {count} strips of {terms.say(terms.usable)} go as binding",
        (f"They bind an edge of {terms.say(edge)}: a square quilt of {terms.say(round(edge / 4, 2))}.",),
        (f"Joined they give {terms.say(gives)}; {terms.say(more)} goes into corners and closing.",),
        (f"Strips cut {terms.say(w)}, {join} joins of {terms.say(cost)}.",),
        {"gives": gives, "edge": edge, "strips": count, "cut": w}, terms.system,
    )  # fmt: skip
