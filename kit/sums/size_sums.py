"""Sums on sizes: resizing a cut piece, shrinking both ways, and the size of a quilt on a bed."""

from kit.errors import KitError
from kit.fitting.beds import read_beds
from kit.geometry.outlines import Outline, make_rectangle
from kit.lengths import Length
from kit.output.pictures.drawing import Drawing
from kit.planning.finishing.care import enlarge_for_loss, spread_bed
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import cut_alone, draw_shapes
from kit.sums.sum_terms import Number, Size, SumTerms, take_terms
from kit.sums.unit_sums import find_given, refuse_lost, say_ruler, undo_cut

KINDS = ("square", "half-square", "quarter-square")


def cut_size(
    finished: Length | None = None,
    *,
    cut: Length | None = None,
    kind: str = "square",
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """The cut size of a square or triangle, or what a cut size finishes.

    Parameters
    ----------
    finished
        Finished side of a square, short side of a half-square triangle, long side of a quarter-square one.
    cut
        Cut size of the square, in place of it.
    kind
        "square", "half-square" (cut once on the diagonal) or "quarter-square" (cut twice).
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "finished", "cut" exact, "on ruler", "added".

    Raises
    ------
    KitError
        Not exactly one size, an unknown kind, or a piece lost in its seams.

    Examples
    --------
    >>> cut_size(cut="5 in")["finished"], round(cut_size("3 in", kind="half-square")["cut"], 4)
    (4.5, 3.8536)
    """
    terms = take_terms(finished, cut, system=system, allowance=allowance)
    if kind not in KINDS:
        raise KitError(f"there is no piece `{kind!s:.30}`", needed=", ".join(KINDS), do="name one of these")
    given = find_given(finished=finished, cut=cut)
    size = terms.length((finished if given == "finished" else cut) or 0, f"{given} size")
    f = size if given == "finished" else undo_cut(lambda one: _grow(one, kind, terms), size, kind, terms)
    refuse_lost(f, kind, terms)
    grown = _grow(f, kind, terms)
    says = (
        (f"Cut it {terms.say_cut(grown)}.",) if given == "finished" else (f"It finishes {terms.say(round(f, 6))}.",)
    )  # fmt: skip
    return SumAnswer(
        f"A {kind}{'' if kind == 'square' else ' triangle'} that finishes {terms.say(round(f, 4))}",
        says,
        (
            f"{terms.say(round(f, 4))} and {terms.say(round(grown - f, 4))} for the seams make"
            f" {terms.say(round(grown, 4))}.",
        ),
        say_ruler(terms),
        {"finished": f, "cut": grown, "on ruler": terms.up(grown), "added": grown - f},
        terms.system,
        draw_shapes(
            [(make_rectangle(0, 0, grown, grown), "cut")],
            f"A square cut {terms.say(round(grown, 4))}",
            dashed=[_outline(f, kind, (grown - f) / 2)],
        ),
    )


def resize(
    cut: Size,
    *,
    of: Length,
    to: Length,
    kind: str = "square",
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """A cut piece of a block brought to another size of block: allowances off, scaled, allowances on.

    Parameters
    ----------
    cut
        Cut size of the piece: one side, or "2 1/2 x 4 1/2 in" for a rectangle.
    of
        Finished size of the block that it belongs to.
    to
        Finished size of the wanted block.
    kind
        "square" (and rectangles), "half-square" or "quarter-square".
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "width", "height" as cut; "factor"; "wrong" (the cut size scaled with its allowances).

    Raises
    ------
    KitError
        A piece lost in its seams.

    Examples
    --------
    >>> resize("4 1/2 in", of="12 in", to="9 in")["width"], resize("4 1/2 in", of="12 in", to="9 in")["wrong"]
    (3.5, 3.375)
    """
    terms = take_terms(cut, of, to, system=system, allowance=allowance)
    if kind not in KINDS:
        raise KitError(f"there is no piece `{kind!s:.30}`", needed=", ".join(KINDS), do="name one of these")
    sizes, old, new = terms.size(cut, "cut size"), terms.length(of, "block"), terms.length(to, "wanted block")
    factor = new / old
    finished = [undo_cut(lambda one: _grow(one, kind, terms), side, kind, terms) for side in sizes]
    grown = [_grow(side * factor, kind, terms) for side in finished]
    same = sizes[0] == sizes[1]
    said = terms.say_cut(grown[0]) if same else f"{terms.say_cut(grown[0])} by {terms.say_cut(grown[1])}"
    figures: dict[str, Figure] = {"width": grown[0], "height": grown[1], "factor": factor, "wrong": sizes[0] * factor}
    return SumAnswer(
        f"A piece cut {terms.say(sizes[0]) if same else terms.say_size(sizes)} of a block of {terms.say(old)}, for"
        f" one of {terms.say(new)}",
        (f"Cut it {said}.",),
        (
            f"Without its seams it is {terms.say(round(finished[0], 4))}; × {factor:.4f} = "
            f"{terms.say(round(finished[0] * factor, 4))}; with its seams {terms.say(round(grown[0], 4))}.",
            f"Scaled with its seams it would be {terms.say(round(sizes[0] * factor, 4))}: the seams do not scale.",
        ),
        say_ruler(terms),
        figures,
        terms.system,
        draw_shapes(
            [(make_rectangle(0, 0, *sizes), "before"), (make_rectangle(1.2 * sizes[0], 0, *grown), "after")],
            "The piece before and after",
        ),
    )


def shrink(
    before: Size | None = None,
    *,
    after: Size | None = None,
    loss: Number | None = None,
    quilting: Number = 0,
    system: str | None = None,
) -> SumAnswer:
    """Shrinking both ways: what is left, what to start from, or what was lost.

    Parameters
    ----------
    before
        Size before the wash.
    after
        Size after it, or the wished one.
    loss
        Part lost in the wash, "5 %"; left out with both sizes: it is the answer.
    quilting
        Part lost in quilting besides.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "before", "after" as (width, height), "loss"; where both sizes are given "loss" is that of width
        and of height.

    Raises
    ------
    KitError
        Fewer than two of the three.

    Examples
    --------
    >>> round(shrink(after="90 in", loss="5 %")["before"][0], 2), shrink("9 in", loss="3 %")["after"][0]
    (94.74, 8.73)
    """
    terms = take_terms(before, after, system=system)
    drawn = terms.part(quilting, "quilting")
    sizes = {name: None if value in (None, "") else terms.size(value or 0, name)
             for name, value in (("before", before), ("after", after))}  # fmt: skip
    start, end = sizes["before"], sizes["after"]
    if loss in (None, ""):
        if start is None or end is None:
            raise KitError("two of before, after and loss are needed", needed="two of them", do='write loss "5 %"')
        lost = tuple(1 - b / a / (1 - drawn) for a, b in zip(start, end, strict=True))
        said = ", ".join(f"{100 * part:.1f} %" for part in dict.fromkeys(lost))
        return SumAnswer(
            f"What {terms.say_size(start)} lost to become {terms.say_size(end)}", (f"It lost {said}.",),
            (f"{terms.say(end[0])} ÷ {terms.say(start[0])} = {end[0] / start[0]:.4f}.",),
            ("Measured before and after in the same way.",),
            {"before": start, "after": end, "loss": lost}, terms.system,
        )  # fmt: skip
    part = terms.part(loss or 0, "loss")
    if (start is None) == (end is None):
        raise KitError("before and after are both given, or neither", needed="one of them with the loss", do="give one")
    losses = (drawn, part) if drawn else (part,)
    if start is not None:
        kept = 1.0
        for one in losses:
            kept *= 1 - one
        end = (start[0] * kept, start[1] * kept)
        says = f"It becomes {_say_one(end, terms)}."
        work = f"{terms.say(start[0])} × {kept:.4f} = {terms.say(round(end[0], 4))}."
    else:
        end = end or (0.0, 0.0)
        start = (enlarge_for_loss(end[0], *losses), enlarge_for_loss(end[1], *losses))
        says = f"Start from {_say_one(start, terms)}."
        little = terms.say(round(end[0] * (1 + sum(losses)), 4))
        work = (
            f"{terms.say(end[0])} ÷ {' ÷ '.join(f'{1 - one:g}' for one in losses)} = {terms.say(round(start[0], 2))};"
            f" adding {100 * sum(losses):g} % would give {little}, too little."
        )
    return SumAnswer(
        f"A loss of {100 * part:g} %{f' and {100 * drawn:g} % in quilting' if drawn else ''}", (says,), (work,),
        ("Width and length lose alike; wash a piece of yours to know.",),
        {"before": start, "after": end, "loss": part}, terms.system,
        draw_shapes([(make_rectangle(0, 0, *start), "before")], "Before, and after dashed",
                    dashed=[make_rectangle(0, 0, *end)]),
    )  # fmt: skip


def bed(
    bed: str | Size,
    *,
    drop: Length | None = None,
    foot: Length | None = None,
    tuck: Length = 0,
    quilt: Size | None = None,
    loss: Number = 0,
    system: str | None = None,
) -> SumAnswer:
    """The size of a quilt on a bed; or how far a quilt hangs on it.

    Parameters
    ----------
    bed
        The name of a bed, such as "queen" or "UK king", or the size of its mattress.
    drop, foot
        How far it hangs at the sides (left out: 14 in), and at the foot (left out: as at the sides).
    tuck
        Length for the pillow.
    quilt
        A quilt in place of the drop: the answer is how far it hangs.
    loss
        Part lost in quilting and washing, "5 %".
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "width", "length" of the top; "mattress"; backwards "drop", "foot".

    Raises
    ------
    KitError
        An unknown bed.

    Examples
    --------
    >>> bed("queen")["width"], bed("60 x 80 in", drop="21 in", tuck="12 in")["length"]
    (88.0, 113.0)
    >>> bed("twin", quilt="66 x 89 in")["drop"]
    14.0
    """
    beds = read_beds()
    terms = take_terms(bed, drop, foot, tuck, quilt, system=system)
    mattress = beds[bed] if isinstance(bed, str) and bed in beds else None
    if mattress is None:
        try:
            mattress = terms.size(bed, "mattress")
        except KitError:
            raise KitError(f"there is no bed `{bed!s:.30}`", needed=", ".join(sorted(beds))[:300],
                           do='name one of these, or its mattress: "60 x 80 in"') from None  # fmt: skip
    under = terms.length(tuck, "tuck", zero_allowed=True)
    named = bed if isinstance(bed, str) and bed in beds else "bed"
    if quilt not in (None, ""):
        size = terms.size(quilt or 0, "quilt")
        hangs = (size[0] - mattress[0]) / 2, size[1] - mattress[1] - under
        says = [f"It hangs {terms.say(round(hangs[0], 4))} at each side, {terms.say(round(hangs[1], 4))} at the foot."
                if min(hangs) >= 0 else "It is smaller than the mattress: "
                f"{terms.say_size(size)} on {terms.say_size(mattress)}."]  # fmt: skip
        return SumAnswer(
            f"A quilt of {terms.say_size(size)} on a {named} of {terms.say_size(mattress)}", tuple(says), (), (),
            {"drop": hangs[0], "foot": hangs[1], "mattress": mattress}, terms.system, _draw_bed(size, mattress),
        )  # fmt: skip
    hang = terms.length(drop, "drop", zero_allowed=True) if drop not in (None, "") else 14.0
    low = hang if foot in (None, "") else terms.length(foot or 0, "foot", zero_allowed=True)
    flat = spread_bed(mattress, hang, foot=low, tuck=under)
    part = terms.part(loss, "loss")
    size = (enlarge_for_loss(flat[0], part), enlarge_for_loss(flat[1], part))
    return SumAnswer(
        f"A quilt for a {named} of {terms.say_size(mattress)}",
        (f"{_say_one(size, terms, always=True)} finished.",),
        (
            f"Across: {terms.say(round(mattress[0], 4))} + 2 × {terms.say(hang)}. Along:"
            f" {terms.say(round(mattress[1], 4))} + {terms.say(low)} at the foot"
            f"{f' + {terms.say(under)} to tuck' if under else ''}.",
            *([f"Divided by {1 - part:g} for the loss."] if part else []),
        ),
        (
            "Measure the bed as it is made up: mattresses of one name differ.",
            *(
                ["Bedding does not belong in an infant's sleep space; follow current paediatric and local guidance."]
                if mattress[0] < 30
                else []
            ),
        ),
        {"width": size[0], "length": size[1], "mattress": mattress},
        terms.system,
        _draw_bed(size, mattress),
    )


def _outline(f: float, kind: str, shift: float = 0.0) -> Outline:
    if kind == "square":
        return make_rectangle(shift, shift, f, f)
    if kind == "half-square":
        return ((shift / 2, shift / 2), (shift / 2 + f, shift / 2), (shift / 2, shift / 2 + f))
    return ((shift, shift / 2), (shift + f, shift / 2), (shift + f / 2, shift / 2 + f / 2))


def _grow(f: float, kind: str, terms: SumTerms) -> float:
    """Return the cut size of a finished size, from the kit's cut list."""
    cut = cut_alone(_outline(f, kind), terms).cut
    return cut["side"] if kind == "square" else cut["square"]


def _say_one(size: tuple[float, float], terms: SumTerms, *, always: bool = False) -> str:
    both = (round(size[0], 2), round(size[1], 2))
    return terms.say(both[0]) if both[0] == both[1] and not always else terms.say_size(both)


def _draw_bed(size: tuple[float, float], mattress: tuple[float, float]) -> Drawing:
    inside = make_rectangle((size[0] - mattress[0]) / 2, size[1] - mattress[1], *mattress)
    return draw_shapes([(make_rectangle(0, 0, *size), "quilt")], "The quilt, the mattress dashed", dashed=[inside])
