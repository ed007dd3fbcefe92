"""Exercises on blocks on point, their setting triangles, and borders."""

from random import Random

from kit.lengths import round_up
from kit.lessons.exercises.blocks_on_point import outline_on_point
from kit.lessons.exercises.exercise import FORGOTTEN, ONE_SEAM, RULE, SEWN_TAKEN, STRAIGHT, Draft, Terms
from kit.lessons.exercises.lesson_shapes import cut_piece, make_corner, make_side, pick_size
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.finishing.border_strips import plan_borders

ROOT2 = 2**0.5
TRADE = 1.414
"""The trade's figure for √2."""


def ask_on_point(chance: Random, terms: Terms) -> Draft:
    """Ask for the width of a row of blocks on point."""
    b, n, a, say = pick_size(chance, terms, 4, 14), chance.randint(2, 6), terms.allowance, terms.write
    wide = patchwork_from_outlines(outline_on_point(n, 1, b), allowance=a).finished[0]
    return Draft(
        f"Blocks that finish {say(b)} are set on point, {n} side by side, without a border. How wide does the top"
        " finish?",
        wide,
        [
            f"On point, a block is as wide as its diagonal: {say(b)} × √2 = {say(b * ROOT2)}.",
            f"{n} of them: {say(wide)}.",
        ],
        [
            (STRAIGHT, n * b, "That is the width of blocks set straight; on point each takes its diagonal."),
            (SEWN_TAKEN, n * (b + 2 * a) * ROOT2, "The unfinished block was taken; its allowances lie in the seams."),
            ("half the diagonal taken", n * b / ROOT2, "Side times √2 is the diagonal; side divided by √2 is half."),
        ],
        rooted=True,
        rounding="nearest",
    )


def ask_side_triangle(chance: Random, terms: Terms) -> Draft:
    """Ask for the square for side setting triangles."""
    b, a, say = pick_size(chance, terms, 4, 16), terms.allowance, terms.write
    cut = cut_piece([make_side(b)], terms)["square"]
    quarter = (2 + 2 * ROOT2) * a
    return Draft(
        f"Blocks that finish {say(b)} are set on point. The seam allowance is {say(a)}. How large is the square"
        " that is cut twice on the diagonals for four side setting triangles?",
        cut,
        [
            f"The long side of the triangle is the diagonal of the block: {say(b)} × √2 = {say(b * ROOT2)}.",
            f"It is a quarter-square triangle, so that the straight grain lies at the edge: add {say(quarter)}.",
            f"{say(b * ROOT2)} + {say(quarter)} = {say(cut)}.",
        ],
        [
            (RULE, b * ROOT2 + (2 + ROOT2) * a, "The amount for a half-square triangle was added to the diagonal."),
            (
                RULE,
                b / ROOT2 + (2 + ROOT2) * a,
                "That is the square for corner triangles, cut once.",
            ),
            (STRAIGHT, b + quarter, "The triangle's long side is the diagonal of the block, not its side."),
            (FORGOTTEN, b * ROOT2, "That is the finished long side; nothing was added for the seams."),
            (
                SEWN_TAKEN,
                (b + 2 * a) * ROOT2 + quarter,
                "The diagonal of the unfinished block was taken; the rule starts from the finished one.",
            ),
        ],
        rooted=True,
        rounding="up",
        trade=round_up(b * TRADE, 0.125) + 1.25 if terms.system == "inch" else 0.0,
    )


def ask_corner_triangle(chance: Random, terms: Terms) -> Draft:
    """Ask for the square for corner setting triangles."""
    b, a, say = pick_size(chance, terms, 4, 16), terms.allowance, terms.write
    cut = cut_piece([make_corner(b)], terms)["square"]
    half = (2 + ROOT2) * a
    return Draft(
        f"Blocks that finish {say(b)} are set on point. The seam allowance is {say(a)}. How large is the square"
        " cut once on the diagonal for two corner setting triangles?",
        cut,
        [
            f"The long side of the triangle is a side of the block, so a short side is {say(b)} ÷ √2 ="
            f" {say(b / ROOT2)}.",
            f"It is a half-square triangle, so that the straight grain lies at the edge: add {say(half)}.",
            f"{say(b / ROOT2)} + {say(half)} = {say(cut)}.",
        ],
        [
            (RULE, b / ROOT2 + (2 + 2 * ROOT2) * a, "The amount for a quarter-square triangle was added."),
            (RULE, b * ROOT2 + (2 + 2 * ROOT2) * a, "That is the square for side triangles, cut twice."),
            ("multiplied instead of divided", b * ROOT2 + half, "A short side is the block's side divided by √2."),
            ("halved instead of divided by √2", b / 2 + half, "Half the side is too short: divide by √2."),
            (FORGOTTEN, b / ROOT2, "That is the finished short side; nothing was added for the seams."),
        ],
        rooted=True,
        rounding="up",
        trade=round_up(b / TRADE, 0.125) + 0.875 if terms.system == "inch" else 0.0,
    )


def ask_border(chance: Random, terms: Terms) -> Draft:
    """Ask for the length of the second pair of border strips."""
    a, say = terms.allowance, terms.write
    wide, b = pick_size(chance, terms, 24, 60), pick_size(chance, terms, 2, 8)
    high = wide + pick_size(chance, terms, 8, 20)
    top = TopFacts(system=terms.system, allowance=a, step=terms.step, usable_width=terms.usable, borders=(b,))
    (border,) = plan_borders(wide + 2 * b, high + 2 * b, FinishingWishes(), top)
    cut = border.lengths[2]
    return Draft(
        f"A top finishes {say(wide)} wide and {say(high)} long. A border that finishes {say(b)} is sewn to both sides"
        f" first, then across top and bottom. The seam allowance is {say(a)}. How long are the top and bottom strips"
        " cut?",
        cut,
        [
            f"Once the sides are on, the quilt is two borders wider: {say(wide)} + {say(2 * b)} = {say(wide + 2 * b)}.",
            f"The strip also reaches into the allowance at each end: + {say(2 * a)} = {say(cut)}.",
        ],
        [
            ("borders at the sides forgotten", wide + 2 * a, "The side borders are on by then; they widen the quilt."),
            ("only one border counted", wide + b + 2 * a, "There is a border at each side."),
            (FORGOTTEN, wide + 2 * b, "That is the finished length; add an allowance at each end."),
            (ONE_SEAM, wide + 2 * b + a, "One allowance was added; the strip has two ends."),
            ("length taken for width", high + 2 * b + 2 * a, "Top and bottom strips run across the width."),
        ],
    )
