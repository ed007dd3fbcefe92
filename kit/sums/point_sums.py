"""Sums on blocks on point: their setting triangles, half a block in place of one, the size of the top."""

from collections import Counter
from math import floor

from kit.errors import KitError
from kit.geometry.outlines import Outline
from kit.lengths import Length
from kit.model.patchwork import Patchwork, patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.setting_sums import ROOT2, draw_patches, make_design
from kit.sums.sum_terms import Number, Size, SumTerms, take_terms
from kit.sums.unit_sums import find_given, refuse_lost, say_ruler, undo_cut

MOST_BLOCKS = 60
"""Blocks in a row on point that are drawn and counted."""


def setting_triangles(
    block: Length | None = None,
    *,
    unfinished: Length | None = None,
    square: Length | None = None,
    float_finished: Length | None = None,
    sashing: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Setting triangles of blocks on point: the squares for sides and corners; or the block that a square suits.

    Parameters
    ----------
    block, unfinished
        Size of the block in the quilt, or with its allowances.
    square
        Square on hand for the side triangles, in place of both.
    float_finished
        How far the points lie inside the finished edge.
    sashing
        Finished width of sashes round every block.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "side", "corner" exact; "side cut", "corner cut" on the ruler; "block".

    Raises
    ------
    KitError
        Not exactly one size; sashing together with a float.

    Examples
    --------
    >>> answer = setting_triangles("7 in")
    >>> answer["side cut"], answer["corner cut"], round(setting_triangles(square="11 1/8 in")["block"], 3)
    (11.125, 5.875, 7.013)
    """
    terms = take_terms(block, unfinished, square, float_finished, sashing, system=system, allowance=allowance)
    given = find_given(block=block, unfinished=unfinished, square=square)
    size = terms.length({"block": block, "unfinished": unfinished, "square": square}[given] or 0, given)
    e, s = (0.0 if value in (None, "") else terms.length(value or 0, name, zero_allowed=True)
            for value, name in ((float_finished, "float"), (sashing, "sashing")))  # fmt: skip
    if e and s:
        raise KitError("sashing runs to the edge, so that the points cannot float inside it",
                       needed="a float or sashing, not both", do="leave one of them out")  # fmt: skip
    if given == "unfinished":
        size -= 2 * terms.allowance
    if given == "square":
        size = undo_cut(lambda f: _cut_setting(_set_on_point(2, 2, f, e, s, terms), terms)[0], size, "square", terms)
    refuse_lost(size, "block", terms)
    patchwork = _set_on_point(2, 2, size, e, s, terms)
    side, corner = _cut_setting(patchwork, terms)
    figures: dict[str, Figure] = {
        "side": side, "corner": corner, "side cut": terms.up(side), "corner cut": terms.up(corner), "block": size,
    }  # fmt: skip
    short = (2 * terms.allowance, (size + 2 * terms.allowance) / ROOT2)
    return SumAnswer(
        f"Setting triangles for blocks that finish {terms.say(round(size, 4))} on point",
        (
            f"Sides: squares {terms.say_cut(side)}, cut twice, four triangles each.",
            f"Corners: two squares {terms.say_cut(corner)}, cut once.",
        ),
        (
            f"The diagonal of the block is {terms.say(round(size * ROOT2, 4))}.",
            *([f"A float of {terms.say(e)} makes both {terms.say(2 * e)} larger."] if e else []),
            "With the straight grain at the edge of the quilt.",
            f"A block halved as a setting triangle, cut {terms.say(round(short[1] * ROOT2, 4))}, is too small: its"
            f" short sides finish {terms.say(round(size - terms.allowance * ROOT2, 4))}, and the border takes"
            f" {terms.say(terms.allowance)} off every point.",
        ),
        say_ruler(terms),
        figures,
        terms.system,
        draw_patches(patchwork, "Blocks on point with their setting triangles"),
    )


def halved_block(finished: Length, *, allowance: Length | None = None, system: str | None = None) -> SumAnswer:
    """A whole cut block halved as a setting triangle: by how much it is too small.

    Parameters
    ----------
    finished
        Size of the block in the quilt; it is cut with its allowances and halved.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "legs" finished, "short" (the legs' shortfall), "points" (what the border cuts off a point).

    Raises
    ------
    KitError
        A block that is lost in its seams.

    Examples
    --------
    >>> round(halved_block("6 in")["short"], 3)
    0.354
    """
    terms = take_terms(finished, system=system, allowance=allowance)
    f, a = terms.length(finished, "finished size"), terms.allowance
    right: Outline = ((0.0, 0.0), (f, 0.0), (0.0, f))
    need = cut_list(patchwork_from_outlines([right], allowance=a)).pieces[0].cut["square"]
    have = f + 2 * a
    legs = f - (need - have)
    return SumAnswer(
        f"A block that finishes {terms.say(f)}, cut whole and halved",
        (f"Its legs finish {terms.say(round(legs, 4))}, {terms.say(round(f - legs, 4))} too short.",
         f"The seam of the border cuts {terms.say(round((f - legs) / ROOT2, 4))} off each point, whatever the size."),
        (f"Half a square has to be cut {terms.say(round(need, 4))}; the block is cut {terms.say(have)}.",),
        say_ruler(terms), {"legs": legs, "short": f - legs, "points": (f - legs) / ROOT2}, terms.system,
        draw_shapes([(((0, 0), (have, 0), (0, have)), "cut")], "Half a block as a setting triangle", dashed=[right]),
    )  # fmt: skip


def on_point(
    columns: Number | None = None,
    rows: Number | None = None,
    block: Length = "12 in",
    *,
    top: Size | None = None,
    float_finished: Length | None = None,
    sashing: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """A top of blocks on point: its size, how many blocks and triangles it takes; or the blocks that fill a top.

    Parameters
    ----------
    columns, rows
        Blocks with a corner at the top edge, and at the side.
    block
        Finished size of a block.
    top
        Finished size wished for, in place of columns and rows: the answer is the largest top within it.
    float_finished, sashing, allowance, system
        As for `setting_triangles`.

    Returns
    -------
    SumAnswer
        Figures: "columns", "rows", "width", "height", "blocks", "sides", "corners", "diagonal".

    Raises
    ------
    KitError
        More than 60 blocks in a row, a top that holds no block, or both counts and a top.

    Examples
    --------
    >>> on_point(block="6 in", top="40 x 50 in")["rows"]
    5
    >>> answer = on_point(4, 5, "6 in")
    >>> answer["blocks"], answer["sides"], answer["corners"]
    (32, 14, 4)
    """
    terms = take_terms(block, float_finished, sashing, top, system=system, allowance=allowance)
    size = terms.length(block, "block")
    e, s = (0.0 if value in (None, "") else terms.length(value or 0, name, zero_allowed=True)
            for value, name in ((float_finished, "float"), (sashing, "sashing")))  # fmt: skip
    if top in (None, ""):
        m, n = terms.count(columns or 0, "columns"), terms.count(rows or 0, "rows")
    else:
        find_given(columns=columns, rows=rows, top=top)
        m, n = _fill_top(terms.size(top or 0, "top"), size, e, s, terms)
    if max(m, n) > MOST_BLOCKS:
        raise KitError(f"{m} by {n} blocks on point", needed=f"at most {MOST_BLOCKS} in a row", do="correct the counts")
    patchwork = _set_on_point(m, n, size, e, s, terms)
    held = Counter(patch.slot for patch in patchwork.patches)
    wide, high = patchwork.finished
    return SumAnswer(
        f"{m} by {n} blocks of {terms.say(size)} on point",
        (f"The top finishes {terms.say(round(wide, 4))} by {terms.say(round(high, 4))}.",
         f"{held['block']} blocks, {held['side']} side triangles, {held['corner']} corner triangles."),
        (f"On point a block is as wide as its diagonal: {terms.say(size)} × √2 = {terms.say(round(size * ROOT2, 4))}.",
         f"Blocks: {m} × {n} and {m - 1} × {n - 1} between them."),
        say_ruler(terms),
        {"columns": m, "rows": n, "width": wide, "height": high, "blocks": held["block"],
         "sides": held["side"], "corners": held["corner"],
         "diagonal": size * ROOT2},
        terms.system, draw_patches(patchwork, f"{m} by {n} blocks on point"),
    )  # fmt: skip


def _fill_top(wish: tuple[float, float], block: float, e: float, s: float, terms: SumTerms) -> tuple[int, int]:
    """Return the most blocks across and down that a top of a size holds: the size grows evenly with them."""
    one, two = (_set_on_point(k, k, block, e, s, terms).finished[0] for k in (2, 3))
    found = [floor((side - one) / (two - one) + 2 + 1e-9) for side in wish]
    if min(found) < 1:
        raise KitError(f"a top of {terms.say_size(wish)} holds no block of {terms.say(block)} on point",
                       needed="a larger top, or a smaller block", do="correct one of the two")  # fmt: skip
    return found[0], found[1]


def _set_on_point(m: int, n: int, block: float, e: float, s: float, terms: SumTerms) -> Patchwork:
    """Return plain squares on point, as the family of the study file makes them."""
    keys: dict[str, object] = {
        "family": "grid blocks", "columns": m, "rows": n, "pattern": ["block"], "cell_finished": f"{block!r} in",
        "on_point": {"side_slot": "side", "corner_slot": "corner"} | ({"float_finished": f"{e!r} in"} if e else {}),
    }  # fmt: skip
    if s:
        keys["sashing"] = {"finished": f"{s!r} in", "outer": True, "cornerstones": True}
    return make_design(keys, terms)


def _cut_setting(patchwork: Patchwork, terms: SumTerms) -> tuple[float, float]:
    """Return the squares for the side and for the corner triangles."""
    cuts = cut_list(patchwork, terms.step)
    found = {piece.slot: piece.cut["square"] for piece in cuts.pieces if "square" in piece.cut}
    return found["side"], found["corner"]
