"""Sums on backs: every way to sew a backing, what a length of cloth backs, and the batting."""

from dataclasses import replace

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import Length
from kit.model.finishing import FinishingWishes, TopFacts, find_usual
from kit.model.finishing_parts import Backing
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.finishing_picture import draw_backing
from kit.planning.finishing.backing import plan_backing
from kit.planning.finishing.batting import plan_batting
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import Size, SumTerms, take_terms
from kit.sums.unit_sums import find_given


def backing(
    quilt: Size | None = None,
    *,
    cloth: Length | None = None,
    overhang: Length | None = None,
    on_hand: "str | tuple[Size, ...] | None" = None,
    one_way: bool | str = False,
    wide: Length | None = None,
    width: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Backing: every way to sew it, with its cloth; or the quilt that a length of cloth backs.

    Parameters
    ----------
    quilt
        Finished size of the top.
    cloth
        Cloth on hand, in place of it: the answer is the largest backing from it in one, two and three widths.
    overhang
        Backing beyond the top on each side; left out: 4 in.
    on_hand
        Pieces on hand that may be cut and sewn together: "40 x 72 in; 40 x 36 in".
    one_way
        The print has a top.
    wide
        Width of wide cloth; left out: none is used.
    width, system
        Usable width of the cloth; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "widths", "seams", "cloth", "to buy", "covers"; for each way its cloth; "enough from" (the
        width on which one width fewer serves). Backwards: "1 width", "2 widths", ... as (width, height).

    Raises
    ------
    KitError
        Neither quilt nor cloth; pieces on hand that are not enough are named among the ways, not refused.

    Examples
    --------
    >>> answer = backing("60 x 80 in")
    >>> answer["way"], answer["widths"], answer["cloth"], answer["to buy"] / 36
    ('lengthwise', 2, 176.0, 5.0)
    """
    terms = take_terms(quilt, cloth, overhang, on_hand, wide, system=system, width=width)
    find_given(quilt=quilt, cloth=cloth)
    over = find_usual(terms.system).overhang_sides
    if overhang not in (None, ""):
        over = terms.length(overhang or 0, "overhang", zero_allowed=True)
    seam = find_usual(terms.system).backing_allowance
    if quilt in (None, ""):
        return _back_from(terms.length(cloth or 0, "cloth", longest=2000), over, seam, terms)
    size = terms.size(quilt or 0, "quilt")
    pieces = () if on_hand in (None, "") else terms.sizes(on_hand or "", "piece")
    wishes = replace(
        find_usual(terms.system), overhang_sides=over, overhang_ends=over, on_hand=pieces,
        backing_one_way=one_way in (True, "yes"), sleeve=False, batting="roll",
        wide_width=None if wide in (None, "") else terms.length(wide or 0, "wide cloth"),
    )  # fmt: skip
    facts = TopFacts(system=terms.system, allowance=terms.allowance, step=terms.step, usable_width=terms.usable)
    plan = plan_backing(*size, wishes, facts)
    chosen = next((way for way in plan.ranked if way.way == "on hand"), plan.chosen)
    needed = (size[0] + 2 * over, size[1] + 2 * over)
    figures: dict[str, Figure] = {
        "way": chosen.way, "widths": len(chosen.panels), "seams": chosen.seams, "cloth": chosen.cloth,
        "to buy": chosen.bought, "covers": chosen.covers, "needed": needed,
    }  # fmt: skip
    figures |= {way.way: way.cloth for way in plan.ranked}
    first = _say_way(chosen, terms)
    says = [first[:1].upper() + first[1:]]
    says += [f"Or {_say_way(way, terms)}" for way in plan.ranked if way is not chosen]
    fewer = len(chosen.panels) - 1
    if chosen.way in ("lengthwise", "crosswise") and fewer:
        across = needed[0] if chosen.way == "lengthwise" else needed[1]
        enough = terms.up((across + (fewer - 1) * 2 * seam) / fewer)
        figures["enough from"] = enough
        count = f"{fewer} width{'s' * (fewer != 1)}"
        says.append(
            f"On cloth {terms.say(enough)} wide {count} would serve; at {terms.say(terms.usable)} {count}"
            f" cover{'s' * (fewer == 1)} {terms.say(fewer * terms.usable - (fewer - 1) * 2 * seam)}."
        )
    if pieces and chosen.way != "on hand":
        says.append(f"The {len(pieces)} pieces on hand do not cover it.")
    return SumAnswer(
        f"A backing for {terms.say_size(size)}",
        tuple(says),
        (
            f"With {terms.say(over)} on every side it measures {terms.say_size(needed)}.",
            f"n widths cover n × {terms.say(terms.usable)}, less {terms.say(2 * seam)} for every seam.",
        ),
        (
            f"Cloth {terms.say(terms.usable)} wide; seams of {terms.say(seam)}; {terms.say(terms.squaring)} for"
            " squaring up.",
        ),
        figures,
        terms.system,
        _draw_back(size, wishes, facts, chosen),
    )


def batting(
    quilt: Size | None = None, *, package: Size | None = None, overhang: Length | None = None, system: str | None = None
) -> SumAnswer:
    """Batting: the package that holds a quilt, or lengths off the roll; or the largest quilt that a package holds.

    Parameters
    ----------
    quilt
        Finished size of the top.
    package
        Batting on hand, in place of it.
    overhang
        Batting beyond the top on each side; left out: 4 in.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "package" (its name), "size", "joins", "needed"; backwards "largest".

    Raises
    ------
    KitError
        Neither quilt nor package.

    Examples
    --------
    >>> batting("64 x 82 in")["package"], batting(package="72 x 90 in")["largest"]
    ('twin', (64.0, 82.0))
    """
    terms = take_terms(quilt, package, overhang, system=system)
    find_given(quilt=quilt, package=package)
    usual = find_usual(terms.system)
    over = (
        usual.overhang_sides if overhang in (None, "") else terms.length(overhang or 0, "overhang", zero_allowed=True)
    )
    if quilt in (None, ""):
        have = terms.size(package or 0, "package")
        largest = (have[0] - 2 * over, have[1] - 2 * over)
        if min(largest) <= 0:
            raise KitError(
                f"a package of {terms.say_size(have)} is all overhang", needed="a larger one", do="correct it"
            )
        return SumAnswer(
            f"What a package of {terms.say_size(have)} holds", (f"A quilt of {terms.say_size(largest)} at most.",),
            (f"{terms.say(over)} is taken off every side.",), (), {"largest": largest}, terms.system,
            _draw_inside(have, largest),
        )  # fmt: skip
    size = terms.size(quilt or 0, "quilt")
    plan = plan_batting(*size, replace(usual, overhang_sides=over, overhang_ends=over), terms.system)
    says = []
    for way in ("package", "roll"):
        one = next((one for one in plan.ranked if one.way == way), None)
        if one is not None:
            what = f"The {one.name} package" if way == "package" else "Off the roll"
            joins = f"{one.joins} join{'s' * (one.joins != 1)}"
            says.append(f"{what}, {terms.say_size(one.size)}{', turned' if one.turned else ''}: {joins}.")
    best = next((one for one in plan.ranked if one.way == "package"), plan.chosen)
    return SumAnswer(
        f"Batting for {terms.say_size(size)}", tuple(says),
        (f"With {terms.say(over)} on every side it measures {terms.say_size(plan.needed)}.",),
        ("Packages of common sizes; look at the wrapper of yours.",),
        {"package": best.name, "size": best.size, "joins": best.joins, "needed": plan.needed, "turned": best.turned},
        terms.system, _draw_inside(best.size[::-1] if best.turned else best.size, plan.needed),
    )  # fmt: skip


def _say_way(way: Backing, terms: SumTerms) -> str:
    seams = f"{way.seams} seam{'s' * (way.seams != 1)}"
    if way.way == "on hand":
        return f"Pieces on hand: {len(way.panels)} panels, {seams}, nothing to buy."
    names = {"lengthwise": "seams along the quilt", "crosswise": "seams across it", "wide": "wide cloth",
             "diagonal": "one cut from corner to corner, slid and sewn"}  # fmt: skip
    panels = f"{len(way.panels)} panel{'s' * (len(way.panels) != 1)}"
    return f"{names[way.way]}: {panels}, {seams}, {terms.say(round(way.cloth, 4))}: buy {terms.buy(way.bought)}."


def _back_from(cloth: float, over: float, seam: float, terms: SumTerms) -> SumAnswer:
    """Say what a length of cloth backs, in one, two and three widths."""
    figures: dict[str, Figure] = {}
    says = []
    for count in (1, 2, 3):
        wide, high = count * terms.usable - (count - 1) * 2 * seam, cloth / count
        quilt = (wide - 2 * over, high - 2 * over)
        if min(quilt) > 0:
            name = f"{count} width{'s' * (count > 1)}"
            figures[name] = quilt
            says.append(f"{name}: a backing of {terms.say(wide)} by {terms.say(round(high, 4))}, for a quilt of"
                        f" {terms.say(quilt[0])} by {terms.say(round(quilt[1], 4))} at most.")  # fmt: skip
    if not figures:
        raise KitError(f"{terms.say(cloth)} of cloth is all overhang", needed="more cloth", do="take less overhang")
    return SumAnswer(
        f"What {terms.say(cloth)} of cloth backs",
        tuple(says),
        (f"n widths cover n × {terms.say(terms.usable)}, less {terms.say(2 * seam)} for every seam.",),
        (
            f"{terms.say(over)} of overhang on every side; cloth {terms.say(terms.usable)} wide; nothing for squaring"
            " up.",
        ),
        figures,
        terms.system,
    )


def _draw_back(size: tuple[float, float], wishes: FinishingWishes, facts: TopFacts, way: Backing) -> Drawing | None:
    try:
        return draw_backing(finishing_plan(*size, wishes, facts), way)
    except KitError:
        return None


def _draw_inside(outer: tuple[float, float], inner: tuple[float, float]) -> Drawing:
    within = make_rectangle((outer[0] - inner[0]) / 2, (outer[1] - inner[1]) / 2, *inner)
    return draw_shapes(
        [(make_rectangle(0, 0, *outer), "batting")], "The batting, and what it holds dashed", dashed=[within]
    )
