"""Exercises on braids, mirror pairs, whirls, and rows with seams a little too deep."""

from random import Random

from kit.designs.braid import Braid
from kit.lengths import CM, write_exact
from kit.lessons.exercises.exercise import CUT_TAKEN, FORGOTTEN, ONE_MORE, ONE_SEAM, ONE_SIDE, STRAIGHT, Draft, Terms
from kit.lessons.exercises.lesson_shapes import cut_piece, line_up, make_cut_list, pick_size, ring_whirl
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.by_hand import find_allowance, rehearse_by_hand

ROOT2 = 2**0.5


def make_braid(columns: int, pairs: int, strip_cut: float, width: float) -> Braid:
    """Return a braid of angled blades; lengths in inches."""
    return Braid.model_validate(
        {
            "family": "braid",
            "columns": columns,
            "pairs": pairs,
            "strip_cut": write_exact(strip_cut),
            "column_finished": write_exact(width),
        }
    )


def ask_braid(chance: Random, terms: Terms) -> Draft:
    """Ask for the growth of a braid."""
    a, say = terms.allowance, terms.write
    s, k = pick_size(chance, terms, 1, 4), chance.randint(2, 12)
    w = s + 2 * a
    few, more = (make_braid(1, 12 + n, w, 3 * s + 4).patchwork(a).finished[1] for n in (0, k))
    return Draft(
        f"A braid is sewn from strips cut {say(w)} wide, laid at 45° from the left and from the right in turn; the seam"
        f" allowance is {say(a)}. By how much do {k} pairs, a left and a right strip each, make it longer?",
        more - few,
        [
            f"A strip finishes {say(w)} − {say(2 * a)} = {say(s)} wide.",
            f"It lies at 45°, so a left and a right strip together lift the top by {say(s)} × √2 = {say(s * ROOT2)}.",
            f"{k} pairs: {say(more - few)}.",
        ],
        [
            (CUT_TAKEN, k * w * ROOT2, "The cut width was taken; only the finished width is seen in the braid."),
            (STRAIGHT, k * 2 * s, "Both widths were added as if the strips lay level; at 45° a pair adds s × √2."),
            ("a pair for each strip", 2 * k * s * ROOT2, "Left and right strip together add s × √2, not each of them."),
            ("half the diagonal taken", k * s / ROOT2, "A width at 45° measures s × √2 along the column, not s ÷ √2."),
        ],
        rooted=True,
        rounding="nearest",
    )


def ask_pairs(chance: Random, terms: Terms) -> Draft:
    """Ask for the number of cuts through folded cloth for the blades of a braid."""
    s, say = pick_size(chance, terms, 1, 3), terms.write
    columns, pairs = chance.randint(2, 4), chance.randint(4, 10)
    cuts = cut_list(make_braid(columns, pairs, s + 2 * terms.allowance, 3 * s + 4).patchwork(terms.allowance))
    left = sum(piece.count for piece in cuts.pieces if piece.hand == "left")
    return Draft(
        f"A braid of {columns} columns has {pairs} pairs in each: a left and a right strip with a slanted end. Strips"
        f" cut {say(s + 2 * terms.allowance)} wide are folded right sides together and cut through both layers. How"
        " many times is a slanted piece cut off the folded strips?",
        left,
        [
            "One cut through folded cloth gives one left and one right piece, because its layers face opposite ways.",
            f"{columns} columns × {pairs} pairs = {left} left pieces and as many right ones: {left} cuts.",
        ],
        [
            ("folded cloth counted as one layer", 2 * left, "Each cut gives two pieces, one of each hand."),
            ("halved once more than needed", -(-left // 2), "A pair is already one cut; do not halve again."),
            ("one column counted", pairs, f"That is one column; there are {columns}."),
        ],
        noun="cuts",
    )


def ask_whirl(chance: Random, terms: Terms) -> Draft:
    """Ask for the cut length of a rectangle that whirls around a square."""
    a, say = terms.allowance, terms.write
    f, w = pick_size(chance, terms, 2, 8), pick_size(chance, terms, 1, 5)
    cut = cut_piece(ring_whirl(f, w)[1:2], terms)["length"]
    make_cut_list(ring_whirl(f, w), terms)
    return Draft(
        f"Four rectangles whirl round a square that finishes {say(f)}; each finishes {say(w)} wide and ends against the"
        f" side of the next. The seam allowance is {say(a)}. How long is each rectangle cut?",
        cut,
        [
            f"Each lies along the square and past it by the width of one rectangle: {say(f)} + {say(w)} ="
            f" {say(f + w)} finished.",
            f"Add two allowances: {say(cut)}.",
        ],
        [
            ("two widths added", f + 2 * w + 2 * a, "That is the outer strip of a butted frame; a whirl passes once."),
            ("width of the next one forgotten", f + 2 * a, "It also lies against the end of its neighbour."),
            (FORGOTTEN, f + w, "That is the finished length; add an allowance at each end."),
            (ONE_SEAM, f + w + a, "One allowance was added; the rectangle has two ends."),
        ],
    )


def ask_row_error(chance: Random, terms: Terms) -> Draft:
    """Ask for the shortfall of a row with every seam a little too deep."""
    say, n = terms.write, chance.randint(4, 16)
    e = chance.choice([1 / 64, 1 / 32, 1 / 16]) if terms.system == "inch" else chance.choice([0.5, 1, 1.5]) * CM / 10
    f = pick_size(chance, terms, 2, 4)
    patchwork, cuts = make_cut_list(line_up(n, f, 6), terms)
    plan = sewing_plan(patchwork, cuts)
    found = rehearse_by_hand(cuts, plan, trials=1, seam_bias=e, seam_spread=0.0, cut_spread=0.0)
    short = found.design[0] - found.expected[0]
    return Draft(
        f"A row of {n} patches should finish {say(n * f)} wide. Every seam is sewn {say(e)} too deep. How much shorter"
        " does the row come out?",
        short,
        [
            f"{n} patches have {n - 1} seams between them.",
            f"A seam takes its error out of both of its patches: 2 × {say(e)} = {say(2 * e)}.",
            f"{n - 1} × {say(2 * e)} = {say(short)}.",
        ],
        [
            (ONE_SIDE, (n - 1) * e, "A seam takes cloth from both of its patches."),
            (ONE_MORE, 2 * n * e, f"{n} patches have {n - 1} seams between them."),
            (ONE_SEAM, 2 * e, f"That is the loss of one seam; there are {n - 1}."),
        ],
    )


def ask_true_allowance(chance: Random, terms: Terms) -> Draft:
    """Ask for the allowance actually sewn, from the width of a strip set."""
    a, say, n = terms.allowance, terms.write, chance.randint(3, 6)
    f = pick_size(chance, terms, 1, 3)
    off = chance.choice([-1, 1]) * (chance.choice([1 / 32, 1 / 16]) if terms.system == "inch" else CM / 10)
    w = f + 2 * a
    measured = n * w - 2 * (n - 1) * (a + off)
    true = find_allowance([w] * n, measured)
    return Draft(
        f"{n} strips cut {say(w)} wide were sewn side by side. The set measures {say(measured)} from raw edge to raw"
        " edge. Which seam allowance was really sewn?",
        true,
        [
            f"Before sewing, the strips measure {n} × {say(w)} = {say(n * w)} in all.",
            f"The seams took {say(n * w)} − {say(measured)} = {say(n * w - measured)}.",
            f"{n - 1} seams take two allowances each: {say(n * w - measured)} ÷ {2 * (n - 1)} = {say(true)}.",
        ],
        [
            (ONE_MORE, (n * w - measured) / (2 * n), f"{n} strips have {n - 1} seams between them."),
            ("both sides taken for one", 2 * true, "A seam takes two allowances, one from each strip."),
            (ONE_SEAM, (n * w - measured) / 2, f"All was charged to one seam; there are {n - 1}."),
        ],
    )
