"""Exercises on units: their unfinished size, how many batches make them, the square for eight at a time, odd seams."""

from math import ceil
from random import Random

from kit.geometry.outlines import Outline, move_outline
from kit.lessons.exercises.exercise import (
    CUT_TAKEN,
    DOWN,
    FORGOTTEN,
    ONE_SEAM,
    RULE,
    TWICE,
    Draft,
    Terms,
)
from kit.lessons.exercises.lesson_shapes import line_up, make_cut_list, pick_size, ring_whirl
from kit.planning.batches.ways_of_making import list_ways
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ROOT2 = 2**0.5


def lay_checks(count: int, side: float, across: int = 1, down: int = 1) -> list[Outline]:
    """Return the squares of units of count by count squares, unit after unit."""
    wide = count * side
    unit = [move_outline(one, 0, row * side) for row in range(count) for one in line_up(count, side, side)]
    return [move_outline(one, x * wide, y * wide) for y in range(down) for x in range(across) for one in unit]


def ask_unit_size(chance: Random, terms: Terms) -> Draft:
    """Ask for the unfinished size of a unit of squares."""
    f, n, a, say = pick_size(chance, terms, 1, 4), chance.randint(2, 5), terms.allowance, terms.write
    patchwork, cuts = make_cut_list(lay_checks(n, f), terms)
    size = rehearse(cuts, sewing_plan(patchwork, cuts)).finished[0] + 2 * a
    return Draft(
        f"A unit is sewn from {n} rows of {n} squares; each square finishes {say(f)}. The seam allowance is {say(a)}."
        " How large is the unit unfinished, from raw edge to raw edge?",
        size,
        [
            f"{n} squares that finish {say(f)} make {say(n * f)}.",
            f"The unit has an allowance at each edge, once for the whole unit:"
            f" {say(n * f)} + {say(2 * a)} = {say(size)}.",
        ],
        [
            (FORGOTTEN, n * f, "That is the finished unit; the allowance around it is still there."),
            (CUT_TAKEN, n * (f + 2 * a), "Cut squares were added up; every seam between them takes two allowances."),
            (ONE_SEAM, n * f + a, "One allowance was added; the unit has two edges."),
            (TWICE, n * f + 4 * a, f"Two allowances are {say(2 * a)}; twice as much was added."),
        ],
    )


def ask_eight(chance: Random, terms: Terms) -> Draft:
    """Ask for the square for eight half-square units at a time."""
    f, a, say = pick_size(chance, terms, 1, 5), terms.allowance, terms.write
    way = next(one for one in list_ways("half-square", f, 8, allowance=a, step=terms.step) if one.makes == 8)
    cut = way.cloths[0].width
    return Draft(
        f"Half-square units that finish {say(f)} are made eight at a time from two squares, sewn on both sides of both"
        f" diagonals and cut apart. The seam allowance is {say(a)}. How large are the two squares cut?",
        cut,
        [
            f"A quarter of the square gives two units, like a square of {say(f)} + (2 + √2) allowances made two at a"
            f" time: {say(cut / 2)}.",
            f"Two such quarters lie side by side: 2 × {say(cut / 2)} = {say(cut)}.",
        ],
        [
            (FORGOTTEN, 2 * f, "Nothing was added for the seams."),
            (
                "two at a time taken for eight",
                f + (2 + ROOT2) * a,
                "That square gives two units; eight need four of it.",
            ),
            ("amount added once", 2 * f + (2 + ROOT2) * a, "Each half of the square needs the amount for itself."),
            (RULE, 2 * (f + 2 * a), "That is the rule of a plain square; the units also lose their diagonal seams."),
        ],
        rounding="up",
        rooted=True,
    )


def ask_batches(chance: Random, terms: Terms) -> Draft:
    """Ask for the number of pairs of squares for units made several at a time."""
    makes, words = chance.choice([(2, "two"), (4, "four"), (8, "eight")])
    need = chance.randint(11, 90)
    way = next(one for one in list_ways("half-square", 3.0, need, allowance=terms.allowance) if one.makes == makes)
    pairs = way.batches if way.name != "one by one" else ceil(need / makes)
    return Draft(
        f"{need} half-square units are made {words} at a time, each time from a light and a dark square. How many"
        " light squares are cut?",
        pairs,
        [f"Each pair of squares gives {makes} units.", f"{need} ÷ {makes}, rounded up, is {pairs}."],
        [
            (DOWN, need // makes, f"{need // makes} pairs give {need // makes * makes} units; round up."),
            ("both squares counted", 2 * pairs, "That counts light and dark squares together."),
            ("a pair for each unit", need, f"Each pair gives {makes} units."),
        ],
        noun="squares",
    )


def ask_odd_seams(chance: Random, terms: Terms) -> Draft:
    """Ask for the number of partial seams in a top of whirls."""
    across, down = chance.randint(2, 4), chance.randint(2, 4)
    f, w = 4.0, 2.0
    side = f + 2 * w
    whirls = [
        move_outline(one, x * side, y * side) for y in range(down) for x in range(across) for one in ring_whirl(f, w)
    ]
    patchwork, cuts = make_cut_list(whirls, terms)
    count = sewing_plan(patchwork, cuts).partial_seams
    return Draft(
        f"A top has {down} rows of {across} blocks. In each block four rectangles whirl around a square, and blocks are"
        " sewn together in straight rows. How many seams have to be begun, left open and finished later?",
        count,
        [
            "In one block the fourth rectangle can only be sewn on if the first seam was left half open: one partial"
            " seam a block.",
            f"Rows of blocks need none: {down} × {across} = {count}.",
        ],
        [
            (
                "four in a block",
                4 * count,
                "Only the first seam of a block is left open; the other three are sewn whole.",
            ),
            ("one row counted", across, f"That is one row; there are {down}."),
            ("two in a block", 2 * count, "The same seam is begun and finished: it is one."),
        ],
        noun="seams",
    )
