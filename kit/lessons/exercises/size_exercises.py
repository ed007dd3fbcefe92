"""Exercises on cut sizes: squares, rectangles, triangles, finished from cut, and sizes after scaling.

Every answer comes from the kit's own cut list of the shape.
"""

from random import Random

from kit.geometry.outlines import make_rectangle, measure_box, offset_outline
from kit.lengths import CM
from kit.lessons.exercises.exercise import (
    CUT_TAKEN,
    FORGOTTEN,
    ONE_SEAM,
    RULE,
    SEWN_TAKEN,
    TWICE,
    UNSCALED,
    Draft,
    Terms,
)
from kit.lessons.exercises.lesson_shapes import cut_piece, halve_square, pick_size, quarter_square

ROOT2 = 2**0.5


def ask_square(chance: Random, terms: Terms) -> Draft:
    """Ask for the cut size of a square patch."""
    f, a, say = pick_size(chance, terms, 1, 12), terms.allowance, terms.write
    cut = cut_piece([make_rectangle(0, 0, f, f)], terms)["side"]
    return Draft(
        f"A square patch finishes {say(f)}. The seam allowance is {say(a)}. How large is the square cut?",
        cut,
        [
            "A seam allowance lies on each side of the patch.",
            f"Add two allowances: {say(f)} + {say(2 * a)} = {say(cut)}.",
        ],
        [
            (FORGOTTEN, f, f"{say(f)} is the finished size; add an allowance at each side."),
            (ONE_SEAM, f + a, "One allowance was added; the patch has a seam on each side."),
            (TWICE, f + 4 * a, f"Two allowances are {say(2 * a)}; twice as much was added."),
            (RULE, f + (2 + ROOT2) * a, "That is the rule of a half-square triangle; a square has no point to reach."),
        ],
    )


def ask_rectangle(chance: Random, terms: Terms) -> Draft:
    """Ask for the cut length of a rectangular patch."""
    w, a, say = pick_size(chance, terms, 1, 6), terms.allowance, terms.write
    f = w + pick_size(chance, terms, 1, 8)
    cut = cut_piece([make_rectangle(0, 0, w, f)], terms)["length"]
    return Draft(
        f"A patch finishes {say(w)} wide and {say(f)} long. The seam allowance is {say(a)}. How long is it cut?",
        cut,
        [
            "The length has a seam at each end.",
            f"Add two allowances to the length: {say(f)} + {say(2 * a)} = {say(cut)}.",
        ],
        [
            (FORGOTTEN, f, f"{say(f)} is the finished length; add an allowance at each end."),
            (ONE_SEAM, f + a, "One allowance was added; the length has a seam at each end."),
            (TWICE, f + 4 * a, f"Two allowances are {say(2 * a)}; twice as much was added."),
            ("width taken for length", w + 2 * a, "That is the cut width; the question was the length."),
        ],
    )


def ask_half_square(chance: Random, terms: Terms) -> Draft:
    """Ask for the square that is cut once on the diagonal."""
    f, a, say = pick_size(chance, terms, 1, 10), terms.allowance, terms.write
    cut = cut_piece(halve_square(f), terms)["square"]
    return Draft(
        f"Two half-square triangles make a square that finishes {say(f)}. The seam allowance is {say(a)}. How large is"
        " the square that is cut once on the diagonal?",
        cut,
        [
            "Beyond the seam line a half-square triangle needs one allowance at its square corner and, because its"
            " point runs on past the corner of the patch, (1 + √2) allowances at the sharp end of each short side.",
            f"Together (2 + √2) allowances: {say((2 + ROOT2) * a)}.",
            f"{say(f)} + {say((2 + ROOT2) * a)} = {say(cut)}.",
        ],
        [
            (FORGOTTEN, f, f"{say(f)} is the finished side; nothing was added for the seams."),
            (RULE, f + 2 * a, "That is the rule of a plain square; the triangle also loses its diagonal seam."),
            (RULE, f + (2 + 2 * ROOT2) * a, "That is the rule of a quarter-square triangle, cut twice."),
            (ONE_SEAM, f + a, "One allowance was added; each short side needs room at both of its ends."),
            (
                SEWN_TAKEN,
                f + (4 + ROOT2) * a,
                f"The rule was applied to {say(f + 2 * a)}, the unfinished square; it starts from the finished one.",
            ),
        ],
        rooted=True,
        rounding="up",
    )


def ask_quarter_square(chance: Random, terms: Terms) -> Draft:
    """Ask for the square that is cut twice on the diagonals."""
    f, a, say = pick_size(chance, terms, 2, 12), terms.allowance, terms.write
    cut = cut_piece(quarter_square(f), terms)["square"]
    return Draft(
        f"Four quarter-square triangles make a square that finishes {say(f)}: that is the long side of each. The seam"
        f" allowance is {say(a)}. How large is the square that is cut twice on the diagonals?",
        cut,
        [
            "The long side of the triangle has a sharp point at each end, and each point runs (1 + √2) allowances"
            " past the corner of the patch.",
            f"Together (2 + 2√2) allowances: {say((2 + 2 * ROOT2) * a)}.",
            f"{say(f)} + {say((2 + 2 * ROOT2) * a)} = {say(cut)}.",
        ],
        [
            (FORGOTTEN, f, f"{say(f)} is the finished long side; nothing was added for the seams."),
            (RULE, f + 2 * a, "That is the rule of a plain square; two seams cross in the middle of this one."),
            (RULE, f + (2 + ROOT2) * a, "That is the rule of a half-square triangle, cut once."),
            (
                "short side taken for the long one",
                f / ROOT2 + (2 + 2 * ROOT2) * a,
                "The rule starts from the long side of the triangle, at the edge of the square.",
            ),
            (
                SEWN_TAKEN,
                f + (4 + 2 * ROOT2) * a,
                f"The rule was applied to {say(f + 2 * a)}, the unfinished square; it starts from the finished one.",
            ),
        ],
        rooted=True,
        rounding="up",
    )


def ask_finished(chance: Random, terms: Terms) -> Draft:
    """Ask for the finished width of a strip with both long edges sewn."""
    a, say = terms.allowance, terms.write
    w = pick_size(chance, terms, 1, 6) + 2 * a
    left, _, right, _ = measure_box(offset_outline(make_rectangle(0, 0, w, 10 * w), -a))
    return Draft(
        f"A strip is cut {say(w)} wide and sewn along both of its long edges with an allowance of {say(a)}. How wide"
        " does it finish?",
        right - left,
        [
            "Each of the two seams takes one allowance.",
            f"Take two allowances away: {say(w)} − {say(2 * a)} = {say(right - left)}.",
        ],
        [
            (CUT_TAKEN, w, "That is the cut width; both seams take their allowance out of it."),
            (ONE_SEAM, w - a, "One seam was counted; the strip has one along each edge."),
            ("allowance added instead of taken", w + 2 * a, "The seams make a strip narrower, not wider."),
            (TWICE.replace("added", "taken"), w - 4 * a, f"Two allowances are {say(2 * a)}; twice as much was taken."),
        ],
    )


def ask_scaled(chance: Random, terms: Terms) -> Draft:
    """Ask for the cut size of a piece if its block is made in another size."""
    a, say = terms.allowance, terms.write
    small, large = chance.choice([(12, 6), (8, 12), (6, 12), (12, 9), (8, 16), (12, 18), (6, 9), (10, 15), (9, 12)])
    unit = 1.0 if terms.system == "inch" else 2.5 * CM
    block, other = small * unit, large * unit
    fits = [n for n in (2, 3, 4) if _is_on_ruler(block / n, terms) and _is_on_ruler(other / n, terms)]
    f = block / chance.choice(fits or [1])
    c, k = f + 2 * a, other / block
    cut = cut_piece([make_rectangle(0, 0, f * k, f * k)], terms)["side"]
    return Draft(
        f"For a block that finishes {say(block)} a square is cut {say(c)}; the seam allowance is {say(a)}. The block is"
        f" made again so that it finishes {say(other)}, with the same allowance. How large is the square cut then?",
        cut,
        [
            f"Take the allowances away first: {say(c)} − {say(2 * a)} = {say(f)} finished.",
            f"Scale the finished size: {say(f)} × {say(other)} ÷ {say(block)} = {say(f * k)}.",
            f"Add the allowances again, because a seam keeps its width: {say(f * k)} + {say(2 * a)} = {say(cut)}.",
        ],
        [
            (
                UNSCALED,
                c * k,
                "The cut size was scaled with its allowances: take them away first, add them again last.",
            ),
            (FORGOTTEN, f * k, "That is the finished size after scaling; add the allowances again."),
            (
                UNSCALED,
                c * k + 2 * a,
                "Allowances were added at the end, but not taken away before scaling.",
            ),
            (
                "difference added instead of scaled",
                c + other - block,
                "The block's growth was added to the piece; the piece grows in proportion.",
            ),
        ],
        rounding="up",
    )


def _is_on_ruler(inches: float, terms: Terms) -> bool:
    return abs(inches / terms.step - round(inches / terms.step)) < 1e-6
