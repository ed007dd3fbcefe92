"""Sums on strips: how many, for how long, how much cloth; strip sets; pre-cuts compared."""

from dataclasses import replace
from math import floor

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import Length
from kit.model.fabrics import Supply
from kit.output.pictures.drawing import Drawing
from kit.planning.batches.ways_of_making import plan_strip_sets
from kit.planning.cutting.cutting_plan import count_yield, cutting_plan
from kit.planning.finishing.off_the_bolt import count_strips, find_join_cost
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cloth_sums import find_bought_cloth, refuse_several
from kit.sums.cut_figures import cut_rectangle, draw_bars, draw_shapes, plan_yardage
from kit.sums.sum_terms import Lengths, Number, Size, SumTerms, take_terms


def strips(
    cut: Length,
    *,
    count: Number | None = None,
    total: Length | None = None,
    out_of: Length | None = None,
    join: str = "straight",
    width: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Strips across the cloth: how many a length gives, how many joined ones make a length, and the cloth for them.

    Parameters
    ----------
    cut
        Cut width of a strip.
    count
        Strips needed.
    total
        The length that they make when joined end to end.
    out_of
        The length of cloth on hand.
    join
        "straight" takes two allowances, "diagonal" the width of the strip.
    width, system
        As for `squares`.

    Returns
    -------
    SumAnswer
        Figures: "strips", and "cloth", "to buy", "join" or "left".

    Raises
    ------
    KitError
        Not exactly one of `count`, `total` and `out_of`.

    Examples
    --------
    >>> strips("2 1/2 in", out_of="1 yd")["strips"], strips("2 1/2 in", total="236 in", join="diagonal")["strips"]
    (14, 7)
    """
    terms = take_terms(cut, total, out_of, system=system, width=width)
    w = terms.length(cut, "cut width")
    given = [
        name for name, value in (("count", count), ("total", total), ("out_of", out_of)) if value not in (None, "")
    ]
    refuse_several(given, ("count", "total", "out_of"))
    if w > terms.usable:
        raise KitError(f"the strip is {terms.say(w)} wide and the cloth {terms.say(terms.usable)}",
                       needed="a strip no wider than the cloth", do="cut it along the cloth")  # fmt: skip
    assumed = (
        f"Cloth {terms.say(terms.usable)} wide between the selvages; {terms.say(terms.squaring)} to square up what is"
        " bought.",
    )
    asked = f"Strips cut {terms.say(w)} across the cloth"
    figures: dict[str, Figure]
    if out_of not in (None, ""):
        long = terms.length(out_of, "cloth")
        made = floor((long + 1e-6) / w)
        left = long - made * w
        figures = {"strips": made, "left": left}
        return SumAnswer(
            f"{asked} from {terms.say(long)} of cloth", (f"{made} strips; {terms.say(left)} is left.",),
            (f"{terms.say(long)} ÷ {terms.say(w)}, rounded down, is {made}.",), assumed, figures, terms.system,
            _draw_bands(made, w, long, terms),
        )  # fmt: skip
    working = []
    figures = {}
    if total not in (None, ""):
        if join not in ("straight", "diagonal"):
            raise KitError(f"there is no join `{join!s:.30}`", needed="straight or diagonal", do="name one of these")
        whole = terms.length(total, "total", longest=5000)
        cost = find_join_cost("diagonal" if join == "diagonal" else "straight", w, terms.allowance)
        number = count_strips(whole, terms.usable, cost)
        got = number * terms.usable - (number - 1) * cost
        fewer = (number - 1) * terms.usable - max(0, number - 2) * cost
        working = [
            f"{number} strips, joined, give {number} × {terms.say(terms.usable)} − {number - 1} × {terms.say(cost)}"
            f" = {terms.say(got)}."
        ]
        working += [f"{number - 1} would give {terms.say(fewer)}, too short."] if number > 1 else []
        figures = {"join": cost, "gives": got}
        asked += f", joined to {terms.say(whole)} with {join} joins"
    else:
        number = terms.count(count if count is not None else 0, "count")
        asked = f"{number} s{asked[1:]}"
    cloth = number * w
    working.append(f"{number} × {terms.say(w)} = {terms.say(cloth)} of cloth.")
    figures |= {"strips": number, "cloth": cloth, "to buy": find_bought_cloth(cloth + terms.squaring, terms)}
    said = f"{number} strips, {terms.say(cloth)} of cloth: buy {terms.buy(cloth + terms.squaring)}."
    return SumAnswer(
        asked, (said,), tuple(working), assumed, figures, terms.system, _draw_bands(number, w, cloth, terms)
    )


def strip_sets(
    strip: Lengths,
    segment: Length,
    count: Number,
    *,
    in_set: Number | None = None,
    on_hand: Number | None = None,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Strip sets: how wide a set is sewn, how many sets and strips a number of segments takes.

    Parameters
    ----------
    strip
        Cut width of each strip, such as "5 of 2 1/2 in"; or of one, with `in_set`.
    segment
        Cut width of a segment across the set.
    count
        Segments needed.
    in_set
        Strips in a set, all alike.
    on_hand
        Strips on hand, of a roll for instance; the answer says how many segments they make.
    width, allowance, system
        Length of a strip; seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "sewn", "finished", "per set", "sets", "strips", "left", and "from hand".

    Raises
    ------
    KitError
        A segment longer than the set.

    Examples
    --------
    >>> answer = strip_sets("2 1/2 in", "10 1/2 in", 42, in_set=5, on_hand=40)
    >>> answer["sets"], answer["strips"], answer["from hand"], answer["finished"]
    (14, 70, 24, 10.0)
    """
    terms = take_terms(strip, segment, system=system, width=width, allowance=allowance)
    widths = terms.lengths(strip, "strips")
    if in_set not in (None, ""):
        widths = widths[:1] * terms.count(in_set or 0, "strips in a set")
    w, needed = terms.length(segment, "segment"), terms.count(count, "segments")
    a = terms.allowance
    if min(widths) <= 2 * a:
        raise KitError(
            f"a strip cut {terms.say(min(widths))} is lost in its seams",
            needed=f"more than {terms.say(2 * a)}",
            do="widen it",
        )
    sets = plan_strip_sets(widths, w, needed, allowance=a, width=terms.usable)
    working = [
        f"{len(widths)} strips, sewn, measure {terms.say(sum(widths))} − {len(widths) - 1} × {terms.say(2 * a)}"
        f" = {terms.say(sets.sewn)}, and finish {terms.say(sets.sewn - 2 * a)}.",
        f"{terms.say(terms.usable)} ÷ {terms.say(w)}, rounded down: {sets.per_set} segments a set.",
        f"{needed} ÷ {sets.per_set}, rounded up: {sets.sets} sets of {len(widths)} strips.",
    ]
    says = [f"{sets.sets} sets, {sets.strips} strips; a set is {terms.say(sets.sewn)} wide as sewn."]
    if sets.rest < 1e-6:
        says.append("Nothing is left of a set to square its ends: with a little lost, one segment fewer comes of each.")
    figures: dict[str, Figure] = {
        "sewn": sets.sewn, "finished": sets.sewn - 2 * a, "per set": sets.per_set, "sets": sets.sets,
        "strips": sets.strips, "left": sets.rest,
    }  # fmt: skip
    if on_hand not in (None, ""):
        have = terms.count(on_hand or 0, "strips on hand")
        made = have // len(widths) * sets.per_set
        figures["from hand"] = made
        verdict = "enough" if made >= needed else "not enough"
        says.append(f"{have} strips make {have // len(widths)} sets and {made} segments: {verdict}.")
    shapes, y = [], 0.0
    for number, one in enumerate(widths):
        shapes.append((make_rectangle(0, y, terms.usable, one - 2 * a), f"strip {number + 1}"))
        y += one - 2 * a
    dashed = [make_rectangle(k * w, 0, w, y) for k in range(min(sets.per_set, 60))]
    picture = draw_shapes(
        shapes, f"A strip set of {len(widths)} strips, cut into {sets.per_set} segments", dashed=dashed
    )
    return SumAnswer(
        f"{needed} segments cut {terms.say(w)} from sets of {len(widths)} strips", tuple(says), tuple(working),
        (f"Strips {terms.say(terms.usable)} long; allowance {terms.say(a)}; nothing lost at the ends of a set.",),
        figures, terms.system, picture,
    )  # fmt: skip


def precuts(
    cut: Size, count: Number | None = None, *, width: Length | None = None, system: str | None = None
) -> SumAnswer:
    """Pre-cuts compared: what a number of squares or rectangles takes of each; or how many each one gives.

    Parameters
    ----------
    cut
        Cut size of a piece: one side of a square, or "2 1/2 x 4 1/2 in".
    count
        Pieces needed; left out, the answer is how many come out of one of each.
    width, system
        Usable width of yardage; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: for each form that gives the piece, how many are needed; "yardage" in inches. Without a count, how many
        pieces one of each form gives.

    Raises
    ------
    KitError
        A piece that no form gives.

    Examples
    --------
    >>> precuts("2 1/2 in")["square 5 in"]
    4
    >>> precuts("2 1/2 in", 100)["strips 2½ in"], precuts("5 in", 16)["fat quarter"]
    (7, 2)
    """
    terms = take_terms(cut, system=system, width=width)
    wide, high = terms.size(cut, "cut size")
    backwards = count in (None, "")
    needed = 1 if backwards else terms.count(count or 0, "count")
    forms = (
        ("square 5 in", Supply("patch", "squares", 5)), ("square 10 in", Supply("patch", "squares", 10)),
        ("strips 2½ in", Supply("patch", "strips", 2.5, 40.0)),
        ("fat eighth", Supply("patch", "fat eighth", 20.0)), ("fat quarter", Supply("patch", "fat quarter", 20.0)),
    )  # fmt: skip
    cuts = cut_rectangle(wide, high, needed, terms)
    figures: dict[str, Figure] = {}
    each: dict[str, int] = {}
    none = []
    for name, supply in forms:
        plan = cutting_plan(cuts, [supply], effort="quick").cloths[0]
        if plan.short:
            none.append(name)
            continue
        gives = count_yield(cuts, replace(supply, count=1)) or 1
        each[name] = gives
        figures[name] = gives if backwards else round(plan.used)
    says = [f"{name}: {figures[name]}" for name in each]
    working = [f"{name}: {gives} from each one." for name, gives in each.items()]
    used = plan_yardage(cuts, terms).used
    if not backwards:
        figures["yardage"] = used
        says.append(f"yardage: {terms.say(used)}, buy {terms.buy(used)}")
    if none:
        working.append(f"Too small for the piece: {', '.join(none)}.")
    if not each and backwards:
        raise KitError(f"no pre-cut gives a piece of {terms.say_size((wide, high))}", needed="a smaller piece",
                       do="cut it from yardage")  # fmt: skip
    picture = draw_bars(
        [(name, float(gives if backwards else round(figures[name])), f"{figures[name]}")  # type: ignore[arg-type]  # counts
         for name, gives in each.items()],
        "Pieces from one of each pre-cut" if backwards else "How many of each pre-cut are needed",
    )  # fmt: skip
    return SumAnswer(
        f"What one pre-cut gives of pieces cut {terms.say_size((wide, high))}" if backwards else
        f"{needed} pieces cut {terms.say_size((wide, high))}", tuple(says), tuple(working),
        (f"Fat quarters of 18 by 20 in, fat eighths of 9 by 20 in, strips 40 in long; yardage {terms.say(terms.usable)}"
         " wide; squaring up comes on top.", "Pinked edges are measured from point to point."),
        figures, terms.system, picture,
    )  # fmt: skip


def _draw_bands(number: int, width: float, long: float, terms: SumTerms) -> Drawing | None:
    """Draw strips across the cloth, and what is left above them."""
    if not 0 < number <= 200:
        return None
    bands = [(make_rectangle(0, k * width, terms.usable, width), "strip") for k in range(number)]
    if long > number * width + 1e-6:
        bands.append((make_rectangle(0, number * width, terms.usable, long - number * width), "left over"))
    return draw_shapes(bands, f"{number} strips cut {terms.say(width)} across cloth {terms.say(terms.usable)} wide")
