"""Sums on settings: blocks on point, rows that add up, frames round a centre, equal strips, braids, colours."""

from pydantic import ValidationError

from kit.designs import FAMILIES
from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import Length, write_exact
from kit.model.patchwork import Patchwork, patchwork_from_outlines
from kit.output.pictures.drawing import Drawing
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import SumTerms, take_terms
from kit.sums.unit_sums import find_given, refuse_lost, say_ruler

ROOT2 = 2**0.5


def frame(
    centre: Length, strip: Length | None = None, *, block: Length | None = None, way: str = "butted",
    allowance: Length | None = None, system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """A frame of four rectangles round a square: their sizes and the block; or the frame that fills a block.

    Parameters
    ----------
    centre
        Finished side of the square.
    strip
        Finished width of the rectangles.
    block
        Finished size of the whole block, in place of the width.
    way
        "butted": two short ones, then two long ones; "whirl": four alike, each past the end of the one before.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "block" finished, "strip" finished, "short", "long" finished lengths, "short cut", "long cut",
        "partial seams".

    Raises
    ------
    KitError
        An unknown way, not exactly one of strip and block, or a block no larger than its centre.

    Examples
    --------
    >>> frame("4 in", block="10 in")["strip"]
    3.0
    >>> answer = frame("4 in", "3 in", way="whirl")
    >>> answer["block"], answer["long"], answer["partial seams"]
    (10.0, 7.0, 1)
    """
    terms = take_terms(centre, strip, block, system=system, allowance=allowance)
    c = terms.length(centre, "centre")
    if find_given(strip=strip, block=block) == "strip":
        w = terms.length(strip or 0, "strip")
    else:
        whole = terms.length(block or 0, "block")
        w = (whole - c) / 2
        if w <= 0:
            raise KitError(f"a block of {terms.say(whole)} has no room for a frame round {terms.say(c)}",
                           needed="a block larger than its centre", do="correct one of the two")  # fmt: skip
    whole, long = c + 2 * w, c + w
    if way == "whirl":
        around = [make_rectangle(0, 0, long, w), make_rectangle(long, 0, w, long), make_rectangle(w, long, long, w),
                  make_rectangle(0, w, w, long)]  # fmt: skip
    elif way == "butted":
        around = [make_rectangle(0, w, w, c), make_rectangle(w + c, w, w, c), make_rectangle(0, 0, whole, w),
                  make_rectangle(0, w + c, whole, w)]  # fmt: skip
    else:
        raise KitError(f"there is no frame `{way!s:.30}`", needed="butted or whirl", do="name one of these")
    patchwork = patchwork_from_outlines(
        [make_rectangle(w, w, c, c), *around], ["centre", *["frame"] * 4], allowance=terms.allowance
    )
    partial = sewing_plan(patchwork).partial_seams
    lengths = (long, long) if way == "whirl" else (c, whole)
    a2 = 2 * terms.allowance
    says = (
        [f"Four rectangles finish {terms.say_size((w, long))}; cut {terms.say_size((w + a2, long + a2))}."]
        if way == "whirl"
        else [f"Two finish {terms.say_size((w, c))} and two {terms.say_size((w, whole))};"
              f" cut {terms.say_size((w + a2, c + a2))} and {terms.say_size((w + a2, whole + a2))}."]
    )  # fmt: skip
    says += [f"The block finishes {terms.say(whole)}, {f'with {partial}' if partial else 'without a'} partial seam."]
    working = (
        ("Each rectangle is as long as the centre and its own width together.",
         "The first is sewn part way and finished last; the mirror image leaves the other end open.")
        if way == "whirl" else ("The two short ones are sewn first, then the long ones across them.",)
    )  # fmt: skip
    return SumAnswer(
        f"A {way} frame {terms.say(w)} wide round a square of {terms.say(c)}", tuple(says), working, say_ruler(terms),
        {"block": whole, "strip": w, "short": lengths[0], "long": lengths[1], "short cut": lengths[0] + a2,
         "long cut": lengths[1] + a2, "partial seams": partial},
        terms.system, draw_patches(patchwork, f"A {way} frame round a square"),
    )  # fmt: skip


def braid(strip: Length, *, cut_length: Length | None = None, column: Length | None = None,
          allowance: Length | None = None, system: str | None = None) -> SumAnswer:  # fmt: skip
    """A braid: how much each pair adds; how wide a column rectangles make, or how long to cut them for a column.

    Parameters
    ----------
    strip
        Cut width of the strips.
    cut_length
        Cut length of the rectangles, for the width of the column.
    column
        Finished width of the column, for the cut length of the rectangles.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "pair" (inches that a pair adds), "column" (finished width), "cut length" (exact).

    Raises
    ------
    KitError
        Strips lost in their seams, rectangles too short for a column, or both a length and a column.

    Examples
    --------
    >>> answer = braid("2 1/2 in", cut_length="6 1/2 in")
    >>> round(answer["pair"], 3), round(answer["column"], 2)
    (2.828, 6.92)
    """
    terms = take_terms(strip, cut_length, column, system=system, allowance=allowance)
    w = terms.length(strip, "strip")
    refuse_lost(w - 2 * terms.allowance, "strip", terms)
    long = max(3.0, 3 * w)
    grown = [_make_braid(w, long, pairs, terms).finished[1] for pairs in (12, 13)]
    figures: dict[str, Figure] = {"pair": grown[1] - grown[0]}
    says = [f"Each pair, one left and one right, adds {terms.say(round(grown[1] - grown[0], 4))}."]
    wide = long
    if (cut_length, column) not in ((None, None), ("", ""), (None, ""), ("", None)):
        given = find_given(cut_length=cut_length, column=column)

        def cut_of(wide: float) -> float:
            pieces = cut_list(_make_braid(w, wide, 12, terms), terms.step).pieces
            return max(piece.cut["length"] for piece in pieces if piece.kind == "rectangle")

        low, high = 2 * long, 4 * long
        rise = (cut_of(high) - cut_of(low)) / (high - low)
        if given == "column":
            wide = terms.length(column or 0, "column")
            size = cut_of(low) + (wide - low) * rise
            says.insert(0, f"Cut rectangles {terms.say_cut(size)} long.")
        else:
            size = terms.length(cut_length or 0, "cut length")
            wide = low + (size - cut_of(low)) / rise
        refuse_lost(wide, "braid", terms)
        figures |= {"column": wide, "cut length": size}
        says.append(f"Rectangles cut {terms.say(round(size, 4))} make a column that finishes"
                    f" {terms.say(round(wide, 4))} wide.")  # fmt: skip
    try:
        picture = draw_patches(_make_braid(w, wide, 8, terms), "A column of a braid")
    except KitError:
        picture = None
    return SumAnswer(
        f"A braid of strips cut {terms.say(w)}", tuple(says),
        (f"A strip finishes {terms.say(w - 2 * terms.allowance)}, and lies at 45°: × √2.",), say_ruler(terms), figures,
        terms.system, picture,
    )  # fmt: skip


def _make_braid(w: float, column: float, pairs: int, terms: SumTerms) -> Patchwork:
    keys = {"family": "braid", "columns": 1, "strip_cut": write_exact(w), "column_finished": f"{column!r} in",
            "pairs": pairs, "start": "open", "blades": "rectangles"}  # fmt: skip
    return make_design(keys, terms)


def make_design(keys: dict[str, object], terms: SumTerms) -> Patchwork:
    """Return the verified patchwork of the keys of a study, refused in words where lengths do not go."""
    try:
        return FAMILIES[str(keys["family"])].model_validate(keys).patchwork(terms.allowance).verify()
    except ValidationError as error:
        raise KitError("these sizes make no setting that can be sewn: " + str(error.errors()[0]["msg"])[:200],
                       needed="lengths that cloth allows", do="correct the sizes") from None  # fmt: skip


def draw_patches(patchwork: Patchwork, title: str) -> Drawing:
    """Draw the patches of a top, each slot in a colour of its own."""
    shapes = [(patch.outline, patch.slot) for patch in patchwork.patches]
    return draw_shapes(shapes, title)
