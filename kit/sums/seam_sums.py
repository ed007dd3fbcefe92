"""Sums on seams: which allowance was sewn, which slip explains a wrong size, sets of unequal width, rows that drift."""

from collections.abc import Iterator

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import CM, SLACK, Length
from kit.output.pictures.drawing import Drawing
from kit.planning.finishing.border_strips import fit_border
from kit.rehearsal.by_hand import find_allowance
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import Lengths, Number, SumTerms, take_terms
from kit.sums.unit_sums import find_given

NEAR = 1 / 32
"""Inches: a slip explains a size that is off by no more (a choice of this kit)."""
EASE = 0.01
"""Part of an edge that may be eased in (common practice, no source)."""


def seam(strips: Lengths, measured: Length, *, allowance: Length | None = None, system: str | None = None) -> SumAnswer:
    """The allowance that was sewn, from the cut width of strips and the width of the set.

    Parameters
    ----------
    strips
        Cut width of each strip: "4 of 1 1/2 in".
    measured
        The sewn and pressed set from raw edge to raw edge.
    allowance
        The wished one.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "allowance" sewn, "off" (too deep if above zero), "expected".

    Raises
    ------
    KitError
        Fewer than two strips.

    Examples
    --------
    >>> round(seam("4 of 1 1/2 in", "4 3/8 in")["allowance"], 4)
    0.2708
    """
    terms = take_terms(strips, measured, system=system, allowance=allowance)
    cut, wide = terms.lengths(strips, "strips"), terms.length(measured, "measured width")
    sewn = find_allowance(cut, wide)
    if sewn < 0:
        raise KitError(f"strips of {terms.say(sum(cut))} in all cannot measure {terms.say(wide)} when sewn",
                       needed="a set narrower than its strips", do="measure again")  # fmt: skip
    expected = sum(cut) - 2 * terms.allowance * (len(cut) - 1)
    off = sewn - terms.allowance
    each = f"{abs(off) * (1 if terms.system == 'inch' else 25.4):.3f} {'in' if terms.system == 'inch' else 'mm'}"
    if abs(off) < NEAR / 16:
        says = ["The seam is right."]
    elif off > 0:
        says = [f"Each seam is {each} too deep: move the needle or the guide towards the edge by so much."]
    else:
        says = [f"Each seam is {each} too shallow: move the needle or the guide away from the edge by so much."]
    return SumAnswer(
        f"A set of {len(cut)} strips that measures {terms.say(wide)}",
        (f"The allowance sewn was {sewn * (1 if terms.system == 'inch' else 2.54):.4f} {terms.unit}.", *says),
        (f"({terms.say(sum(cut))} − {terms.say(wide)}) ÷ (2 × {len(cut) - 1} seams).",
         f"With {terms.say(terms.allowance)} it would measure {terms.say(expected)}."),
        ("The strips were cut true, and the fold of the pressed seam counts as part of it.",),
        {"allowance": sewn, "off": off, "expected": expected}, terms.system, _draw_set(cut, sewn),
    )  # fmt: skip


def slip(
    measured: Length,
    expected: Length,
    *,
    pieces: Number = 2,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Why a unit came out at a wrong size: the slips that explain it, the likeliest first.

    Parameters
    ----------
    measured
        What it measures, raw edge to raw edge.
    expected
        What it should measure, raw edge to raw edge.
    pieces
        Pieces across it.
    allowance
        The allowance that was to be sewn.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "off", "per seam", "slips" (their number), "first".

    Raises
    ------
    KitError
        Sizes that are not lengths.

    Examples
    --------
    >>> slip("4 in", "4 1/2 in")["first"]
    'finished size taken'
    """
    terms = take_terms(measured, expected, system=system, allowance=allowance)
    is_, want = terms.length(measured, "measured size"), terms.length(expected, "expected size")
    n = terms.count(pieces, "pieces")
    off = is_ - want
    if abs(off) < NEAR / 4:
        return SumAnswer(f"{terms.say(is_)} in place of {terms.say(want)}", ("It is right.",), (),
                         (f"Within {terms.say(NEAR / 4)}.",),
                         {"off": off, "per seam": 0.0, "slips": 0, "first": "none"}, terms.system)  # fmt: skip
    found = sorted(_list_slips(off, n, terms), key=lambda one: one[0])
    near = [one for one in found if one[0] <= NEAR + SLACK]
    seams = max(1, n - 1)
    deep = -off / (2 * seams)
    says = [said for _, _, said in near]
    says.append(
        f"Or each of the {seams} seam{'s' * (seams != 1)} is {terms.say(round(abs(deep), 4))} too"
        f" {'deep' if deep > 0 else 'shallow'}."
    )
    figures: dict[str, Figure] = {
        "off": off, "per seam": deep, "slips": len(near), "first": near[0][1] if near else "seams",
    }  # fmt: skip
    return SumAnswer(
        f"{terms.say(is_)} in place of {terms.say(want)}, {n} pieces across", tuple(says),
        (f"It is {terms.say(round(abs(off), 4))} too {'small' if off < 0 else 'large'}.",),
        (f"Allowance {terms.say(terms.allowance)}; a slip is named where it is within {terms.say(NEAR)}.",), figures,
        terms.system,
        draw_shapes([(make_rectangle(0, 0, is_, is_), "as it is")], "As it is, and as it should be dashed",
                    dashed=[make_rectangle(0, 0, want, want)]),
    )  # fmt: skip


def unequal(
    measured: Lengths, *, pieces: Number = 2, allowance: Length | None = None, system: str | None = None
) -> SumAnswer:
    """Sets or units of unequal width: trim to one size, take in the seams, or ease.

    Parameters
    ----------
    measured
        Width of each, raw edge to raw edge.
    pieces
        Pieces across each.
    allowance
        Seam allowance.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "common" (the size that all can be trimmed to), "spread", "mean", "share", "per seam" (deepest
        correction of a seam).

    Raises
    ------
    KitError
        Fewer than two widths.

    Examples
    --------
    >>> answer = unequal("9 7/8, 10, 10 1/8 in", pieces=5)
    >>> answer["common"], answer["spread"], answer["per seam"]
    (9.875, 0.25, 0.03125)
    """
    terms = take_terms(measured, system=system, allowance=allowance)
    widths, n = terms.lengths(measured, "widths"), terms.count(pieces, "pieces", 2)
    if len(widths) < 2:
        raise KitError("one width alone is not unequal", needed="two widths", do="measure all of them")
    fit = fit_border(widths)
    low, high = min(widths), max(widths)
    per = (high - low) / (2 * (n - 1))
    eased = fit.share <= EASE + SLACK
    says = [
        f"Trim all to {terms.say(low)} if the outer pieces bear it: {terms.say(round(high - low, 4))} off the widest.",
        f"Or take the seams of the widest in: {terms.say(round(per, 4))} deeper in each of its {n - 1} seams.",
        f"Or ease to the mean, {terms.say(round(fit.length, 4))}: {100 * fit.share:.1f} %"
        + (", within the usual 1 %." if eased else ", more than the usual 1 %: do not."),
    ]
    return SumAnswer(
        f"{len(widths)} widths from {terms.say(low)} to {terms.say(high)}", tuple(says),
        (f"Their mean is {terms.say(round(fit.length, 4))}; the farthest is {terms.say(round(fit.ease, 4))} off.",),
        (f"{n} pieces across each.",),
        {"common": low, "spread": high - low, "mean": fit.length, "share": fit.share, "per seam": per}, terms.system,
        draw_shapes([(make_rectangle(0, 1.2 * k * high / 8, w, high / 8), "set") for k, w in enumerate(widths)],
                    "The widths, one above another"),
    )  # fmt: skip


def row_drift(
    pieces: str | Lengths, off: Length | None = None, *, apart: Length | None = None, system: str | None = None
) -> SumAnswer:
    """Rows of many and of few pieces over one width: how far they part if each seam is off; or what each was off.

    Parameters
    ----------
    pieces
        Pieces in each row: "12, 3".
    off
        By how much each seam is too deep.
    apart
        How far the rows lie apart at the end, in place of it.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "off", "short" (of each row), "apart" (the most and the least).

    Raises
    ------
    KitError
        Counts that are not whole numbers, or not exactly one of off and apart.

    Examples
    --------
    >>> row_drift("12, 3", apart="9/16 in")["off"]
    0.03125
    >>> answer = row_drift("12, 3", "1/32 in")
    >>> answer["short"], answer["apart"]
    ((0.6875, 0.125), 0.5625)
    """
    terms = take_terms(off, apart, system=system)
    listed = pieces.replace(",", " ").split() if isinstance(pieces, str) else list(pieces)  # type: ignore[arg-type]  # counted below
    counts = [terms.count(one, "pieces") for one in listed]
    if not counts:
        raise KitError("no row is given", needed="the pieces of each row", do='write "12, 3"')
    seams = max(counts) - min(counts)
    if find_given(off=off, apart=apart) == "off":
        deep = terms.length(off or 0, "error")
    else:
        if not seams:
            raise KitError("the rows have equally many pieces", needed="rows of many and of few",
                           do="give the pieces of each row")  # fmt: skip
        deep = terms.length(apart or 0, "distance") / (2 * seams)
    short = tuple((count - 1) * 2 * deep for count in counts)
    far = max(short) - min(short)
    says = [f"They lie {terms.say(round(far, 4))} apart at the end."]
    if off in (None, ""):
        said = f"{deep * (1 if terms.system == 'inch' else 25.4):.3f} {'in' if terms.system == 'inch' else 'mm'}"
        says.insert(0, f"Each seam is {said} too deep.")
    high = max(short) / max(len(counts), 3) or 1.0
    whole = 12 * high
    rows = [(make_rectangle(0, -1.5 * k * high, max(whole - one, high), high), f"{count} pieces")
            for k, (count, one) in enumerate(zip(counts, short, strict=True))]  # fmt: skip
    return SumAnswer(
        f"Rows of {', '.join(map(str, counts))} pieces, each seam {terms.say(round(deep, 6))} too deep", tuple(says),
        tuple(f"{count} pieces, {count - 1} seams × 2 × {terms.say(round(deep, 6))} = {terms.say(round(one, 4))} short."
              for count, one in zip(counts, short, strict=True)),
        ("Every seam is off by the same; the rows were to be equally wide.",),
        {"off": deep, "short": short, "apart": far}, terms.system,
        draw_shapes(rows, "The ends of the rows, with the difference enlarged"),
    )  # fmt: skip


def _list_slips(off: float, n: int, terms: SumTerms) -> Iterator[tuple[float, str, str]]:
    """Yield how far each slip is from the difference, its name and its sentence."""
    a = terms.allowance
    say = terms.say
    inch = terms.system == "inch"
    wide, narrow = (0.375, 0.125) if inch else (CM, 0.5 * CM)
    seams = max(1, n - 1)
    slips = [
        (
            -2 * a,
            "finished size taken",
            f"It has its finished size: {say(2 * a)} for the outer seams is missing. The pieces"
            " were cut without them, or it was trimmed to the finished size.",
        ),
        (
            2 * a,
            "unfinished size taken",
            f"It is {say(2 * a)} larger: an unfinished size was taken for a finished one.",
        ),
        (-2 * a * seams - 2 * a, "no allowances", "Every piece was cut at its finished size."),
        (-2 * (wide - a) * seams, "wide seams", f"The seams were sewn {say(wide)} deep."),
        (2 * (a - narrow) * seams, "narrow seams", f"The seams were sewn {say(narrow)} deep."),
        (
            -terms.step * n,
            "cut a mark short",
            f"Every piece was cut {say(terms.step)} too small, one mark of the ruler.",
        ),
        (terms.step * n, "cut a mark over", f"Every piece was cut {say(terms.step)} too large, one mark of the ruler."),
        (-a, "one allowance", f"One allowance is missing: a piece was cut {say(a)} short."),
        (
            2 * a * seams,
            "seams not counted",
            "The seams between the pieces were added, but not sewn as deep as planned.",
        ),
    ]
    if n > 2:
        slips.append((-2 * a, "one seam more", "One seam more was sewn than planned."))
    for effect, name, said in slips:
        yield abs(effect - off), name, said


def _draw_set(cut: tuple[float, ...], sewn: float) -> Drawing:
    shapes, x = [], 0.0
    last = len(cut) - 1
    for k, one in enumerate(cut):
        wide = one - sewn * ((k > 0) + (k < last))
        shapes.append((make_rectangle(x, 0, wide, max(cut) * 3), ("odd", "even")[k % 2]))
        x += wide
    return draw_shapes(shapes, f"A set of {len(cut)} strips")
