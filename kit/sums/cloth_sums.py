"""Sums on cloth: how many pieces a length gives, how much cloth pieces take, strips, strip sets and pre-cuts."""

from dataclasses import replace
from math import floor

from kit.errors import KitError
from kit.lengths import YARD, Length, buying_length
from kit.model.cutting import CutList
from kit.output.pictures.cutting_picture import draw_cloth
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import MANY, count_from, cut_rectangle, name_readably, plan_remnant, plan_yardage
from kit.sums.sum_terms import Number, Size, SumTerms, take_terms

WANT_SQUARING = 1.0
"""Inches: with less left over, squaring up costs a row (common practice, no source)."""


def squares(
    cut: Length,
    *,
    count: Number | None = None,
    out_of: Size | None = None,
    width: Length | None = None,
    squaring: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Squares from cloth: how many a piece gives, or how much cloth a number takes.

    Parameters
    ----------
    cut
        Cut side of a square, allowances included.
    count
        Squares needed; then the answer is strips and cloth.
    out_of
        The cloth on hand: a length of the usable width, such as "2 yd"; or both sides, such as "18 x 21 in".
    width
        Usable width of the cloth; left out: 40 in.
    squaring
        What squaring up takes of the length; left out: an inch of cloth to buy, and nothing of cloth on hand, where the
        answer says what remains for it.
    system
        "inch" or "metric"; left out: metric where a text is.

    Returns
    -------
    SumAnswer
        Figures: "squares", "across", "down", "left"; or "per strip", "strips", "cloth", "to buy".

    Raises
    ------
    KitError
        Neither or both of `count` and `out_of`, or a square larger than the cloth.

    Examples
    --------
    >>> squares("5 in", out_of="1 yd", width="42 in")["squares"]
    56
    >>> squares("3 in", count=774, width="41 in")["cloth"]
    180.0
    """
    terms = take_terms(cut, out_of, squaring, system=system, width=width)
    side = terms.length(cut, "cut size")
    return _ask_cloth((side, side), "squares", count, out_of, squaring, terms)


def rectangles(
    cut: Size,
    *,
    count: Number | None = None,
    out_of: Size | None = None,
    width: Length | None = None,
    squaring: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Rectangles from cloth: how many a piece gives, or how much cloth a number takes.

    Parameters
    ----------
    cut
        Cut width and length, such as "2 1/2 x 4 1/2 in".
    count, out_of, width, squaring, system
        As for `squares`.

    Returns
    -------
    SumAnswer
        Figures: "rectangles", "left"; or "per strip", "strips", "cloth", "to buy".

    Raises
    ------
    KitError
        As for `squares`.

    Examples
    --------
    >>> rectangles("2 1/2 x 4 1/2 in", count=40)["cloth"]
    12.5
    """
    terms = take_terms(cut, out_of, squaring, system=system, width=width)
    return _ask_cloth(terms.size(cut, "cut size"), "rectangles", count, out_of, squaring, terms)


def refuse_several(given: list[str], names: tuple[str, ...]) -> None:
    """Refuse none or several of what excludes one another."""
    if len(given) != 1:
        raise KitError(
            f"{' and '.join(given) or 'none of them'} is given",
            needed=f"one of {', '.join(names)}",
            do="give one alone",
        )


def find_bought_cloth(cloth: float, terms: SumTerms) -> float:
    """Return the inches that the shop cuts."""
    return buying_length(cloth, terms.system)


def _ask_cloth(
    size: tuple[float, float],
    noun: str,
    count: Number | None,
    out_of: Size | None,
    squaring: Length | None,
    terms: SumTerms,
) -> SumAnswer:
    given = [name for name, value in (("count", count), ("out_of", out_of)) if value not in (None, "")]
    refuse_several(given, ("count", "out_of"))
    usual = 0.0 if count in (None, "") else terms.squaring
    lost = usual if squaring in (None, "") else terms.length(squaring or 0, "squaring", zero_allowed=True)
    cuts = cut_rectangle(*size, 1, terms)
    if count not in (None, ""):
        return _take_cloth(cuts, size, noun, terms.count(count or 0, "count"), lost, terms)
    return _give_pieces(cuts, size, noun, out_of or "", lost, terms)


def _name_cut(size: tuple[float, float], terms: SumTerms) -> str:
    return terms.say(size[0]) if size[0] == size[1] else terms.say_size(size)


def _give_pieces(
    cuts: CutList, size: tuple[float, float], noun: str, out_of: Size, lost: float, terms: SumTerms
) -> SumAnswer:
    both = isinstance(out_of, tuple | list) or any(mark in str(out_of) for mark in ("x", "×", "by"))
    wide, long = (
        terms.size(out_of, "cloth")
        if both
        else (terms.usable, terms.length(out_of if not isinstance(out_of, tuple) else 0, "cloth", longest=2000))
    )
    usable = long - lost
    if usable <= 0:
        raise KitError(
            f"squaring up takes {terms.say(lost)} of {terms.say(long)}", needed="some cloth left", do="correct it"
        )
    fits = count_from(cuts, wide, usable)
    across, down = (floor((room + 1e-6) / side) for room, side in zip((wide, usable), size, strict=True))
    left = usable - down * size[1]
    says = [f"{fits} {noun}."]
    working = []
    if fits == across * down:
        working = [
            f"Across: {terms.say(wide)} ÷ {terms.say(size[0])} holds {across}.",
            f"Along: {terms.say(usable)} ÷ {terms.say(size[1])} holds {down}.",
            f"{across} × {down} = {fits}.",
        ]
        if down and left < WANT_SQUARING - 1e-6 and not lost:
            fewer = across * floor((usable - WANT_SQUARING + 1e-6) / size[1])
            if fewer < fits:
                says.append(
                    f"Only {terms.say(left)} is left to square up the ends: if that takes {terms.say(WANT_SQUARING)},"
                    f" it is {max(fewer, 0)}."
                )
    elif fits:
        working = [f"Laid both ways, {fits} fit; in rows one way alone {across * down} would."]
    area = floor(wide * usable / (size[0] * size[1]) + 1e-6)
    if area > fits:
        working.append(f"By area it would be {area}, but the rests are too narrow to use.")
    if not fits:
        says = [f"None: a piece cut {_name_cut(size, terms)} does not fit."]
    drawing = None
    if 0 < fits <= MANY:
        drawn = draw_cloth(plan_remnant(cuts, wide, usable, fits), system=terms.system)
        drawing = name_readably(drawn, _name_cut(size, terms))
    figures: dict[str, Figure] = {noun: fits, "across": across, "down": down, "left": max(0.0, left)}
    assumed = [f"Cloth {terms.say(wide)} wide between the selvages."] if not both else []
    assumed.append(f"{terms.say(lost) if lost else 'Nothing'} for squaring up.")
    return SumAnswer(
        f"{noun.capitalize()} cut {_name_cut(size, terms)} from cloth of {terms.say_size((wide, long))}", tuple(says),
        tuple(working), tuple(assumed), figures, terms.system, drawing,
    )  # fmt: skip


def _take_cloth(
    cuts: CutList, size: tuple[float, float], noun: str, needed: int, lost: float, terms: SumTerms
) -> SumAnswer:
    if min(size) > terms.usable:
        raise KitError(f"a piece cut {_name_cut(size, terms)} is wider than the cloth, {terms.say(terms.usable)}",
                       needed="a piece that fits across the cloth", do="use wider cloth")  # fmt: skip
    plan = plan_yardage(replace(cuts, pieces=(replace(cuts.pieces[0], count=needed),)), terms)
    per = max(sum(cut.count for cut in strip.cuts) for strip in plan.strips)
    total = plan.used + lost
    working = [f"A strip of {terms.say(terms.usable)} holds {per} of them.",
               f"{len(plan.strips)} strips take {terms.say(plan.used)} of cloth."]  # fmt: skip
    if lost:
        working.append(f"With {terms.say(lost)} for squaring up, {terms.say(total)}.")
    area = needed * size[0] * size[1] / terms.usable
    if plan.used > area + 1e-6:
        working.append(f"By area it would be {terms.say(round(area, 2))}, too little: strips are whole.")
    if plan.used <= plan.bound + 1e-6:
        working.append("No plan takes less.")
    figures: dict[str, Figure] = {
        "per strip": per,
        "strips": len(plan.strips),
        "cloth": plan.used,
        "total": total,
        "to buy": find_bought_cloth(total, terms),
        "yards": total / YARD,
    }
    return SumAnswer(
        f"Cloth for {needed} {noun} cut {_name_cut(size, terms)}",
        (f"{len(plan.strips)} strips, {terms.say(total)} of cloth: buy {terms.buy(total)}.",), tuple(working),
        (f"Cloth {terms.say(terms.usable)} wide between the selvages; {terms.say(lost) if lost else 'nothing'} for"
         " squaring up.",),
        figures, terms.system, name_readably(draw_cloth(plan, system=terms.system), _name_cut(size, terms))
        if needed <= MANY else None,
    )  # fmt: skip
