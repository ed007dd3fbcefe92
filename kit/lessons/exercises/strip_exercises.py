"""Exercises on strips: counting them, buying cloth for them, and sewing them into sets."""

from dataclasses import replace
from math import ceil, floor
from random import Random

from kit.geometry.outlines import make_rectangle
from kit.lengths import CM, write_buying
from kit.lessons.exercises.exercise import AREA, DOWN, FORGOTTEN, ONE_SEAM, ONE_SIDE, TAKEN, UP, Draft, Terms, buy_down
from kit.lessons.exercises.lesson_shapes import line_up, make_cut_list, pick_size
from kit.model.cutting import ClothPlan
from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import count_yield, cutting_plan
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

TINY = 1e-6


def pick_usable(chance: Random, terms: Terms) -> float:
    """Return a usual width of cloth between the selvages."""
    return float(chance.choice([40, 41, 42, 43])) if terms.system == "inch" else chance.choice([100, 105, 110]) * CM


def count_across(room: float, size: float) -> int:
    """Return the number of whole pieces of a size in a room, counted by laying them down."""
    return floor(room / size + TINY)


def plan_cuts(width: float, height: float, count: int, supply: Supply, terms: Terms) -> ClothPlan:
    """Return the kit's cutting plan for a number of rectangles of a finished size.

    Parameters
    ----------
    width, height
        Finished size, inches.
    count
        How many.
    supply
        The cloth.
    terms
        Allowance and ruler.
    """
    _, cuts = make_cut_list([make_rectangle(0, 0, width, height)], terms)
    piece = replace(cuts.pieces[0], count=count)
    return cutting_plan(replace(cuts, pieces=(piece,)), [supply], effort="quick").cloths[0]


def ask_squares_from_cloth(chance: Random, terms: Terms) -> Draft:
    """Ask for the number of squares from a length of cloth."""
    a, say = terms.allowance, terms.write
    f, usable = pick_size(chance, terms, 2, 8), pick_usable(chance, terms)
    c, long = f + 2 * a, chance.choice([18, 27, 36, 45]) * (1.0 if terms.system == "inch" else CM * 2.5)
    _, cuts = make_cut_list([make_rectangle(0, 0, f, f)], terms)
    fits = count_yield(cuts, Supply("patch", "remnant", usable, long, 1)) or 0
    across, down = count_across(usable, c), count_across(long, c)
    return Draft(
        f"A piece of cloth is {say(usable)} wide between the selvages and {say(long)} long. Squares are cut {say(c)}"
        f" and finish {say(f)}. How many whole squares does it give?",
        fits,
        [
            f"Across the width: {say(usable)} ÷ {say(c)} holds {across} whole squares.",
            f"Along the length: {say(long)} ÷ {say(c)} holds {down} whole strips.",
            f"{across} × {down} = {fits}.",
        ],
        [
            (AREA, floor(usable * long / c**2 + TINY), "Areas were divided, but the rests are too narrow to use."),
            (TAKEN, count_across(usable, f) * count_across(long, f), "The squares are cut larger than they finish."),
            (UP, ceil(usable / c - TINY) * ceil(long / c - TINY), "Only whole squares count: round each way down."),
        ],
        noun="squares",
    )


def ask_strips(chance: Random, terms: Terms) -> Draft:
    """Ask for the number of strips for a number of squares."""
    a, say = terms.allowance, terms.write
    f, usable, need = pick_size(chance, terms, 2, 8), pick_usable(chance, terms), chance.randint(20, 160)
    c = f + 2 * a
    per = count_across(usable, c)
    strips = len(plan_cuts(f, f, need, Supply("patch", "yardage", usable), terms).strips)
    return Draft(
        f"{need} squares that finish {say(f)} are cut from strips across cloth of {say(usable)} usable width. The seam"
        f" allowance is {say(a)}. How many strips are cut?",
        strips,
        [
            f"A square is cut {say(f)} + {say(2 * a)} = {say(c)}.",
            f"A strip holds {per} whole squares: {say(usable)} ÷ {say(c)}, rounded down.",
            f"{need} ÷ {per}, rounded up, is {strips} strips.",
        ],
        [
            (
                AREA,
                ceil(need * c / usable - TINY),
                "Areas were divided, as if a square could lie half in one strip and half in the next.",
            ),
            (TAKEN, ceil(need / count_across(usable, f)), "The finished size was laid on the strip, not the cut one."),
            (DOWN, need // per, f"{need // per} strips hold {need // per * per} squares; round up, for part of a"
             " strip is a strip that must be cut."),
            (UP, ceil(need / ceil(usable / c - TINY)), "The part of a square at the end of the strip was counted."),
        ],
        noun="strips",
    )  # fmt: skip


def ask_yardage(chance: Random, terms: Terms) -> Draft:
    """Ask for the cloth to buy for a number of strips."""
    a, say = terms.allowance, terms.write
    f, count = pick_size(chance, terms, 1, 5), chance.randint(4, 24)
    w, usable = f + 2 * a, terms.usable
    supply = Supply("patch", "yardage", usable, squaring=terms.squaring)
    plan = plan_cuts(usable - 2 * a, f, count, supply, terms)
    need, shop = plan.as_bought, "eighth of a yard" if terms.system == "inch" else "10 cm"
    return Draft(
        f"{count} strips are cut across the cloth; each finishes {say(f)} wide, with an allowance of {say(a)} along"
        f" each edge. Squaring up takes {say(terms.squaring)} of the length. The shop cuts to the next {shop}. How"
        " much cloth is bought?",
        need,
        [
            f"A strip is cut {say(w)} wide.",
            f"{count} strips take {count} × {say(w)} = {say(count * w)}, with squaring up {say(need)}.",
            f"The shop rounds up to {write_buying(need, terms.system)}.",
        ],
        [
            ("squaring up forgotten", count * w, "The strips alone leave nothing to square up the end of the cloth."),
            (DOWN, buy_down(need, terms), "Rounded down, the last strip comes out too narrow; round up."),
            (TAKEN, count * f + terms.squaring, "The strips are cut wider than they finish."),
            (ONE_SEAM, count * (w - a) + terms.squaring, "Each strip has an allowance along both of its edges."),
        ],
        rounding="buy",
    )


def ask_set_width(chance: Random, terms: Terms) -> Draft:
    """Ask for the width of a sewn set of strips."""
    a, say = terms.allowance, terms.write
    f, n = pick_size(chance, terms, 1, 4), chance.randint(3, 9)
    w = f + 2 * a
    patchwork, cuts = make_cut_list(line_up(n, f, 12), terms)
    wide = rehearse(cuts, sewing_plan(patchwork, cuts)).finished[0] + 2 * a
    return Draft(
        f"{n} strips, each cut {say(w)} wide, are sewn side by side with an allowance of {say(a)}. How wide is the set"
        " from raw edge to raw edge?",
        wide,
        [
            f"{n} strips have {n - 1} seams between them, and each seam takes two allowances.",
            f"{n} × {say(w)} − {n - 1} × {say(2 * a)} = {say(wide)}.",
        ],
        [
            ("finished taken for unfinished", n * f, "The outer allowances were taken off too; they are still there."),
            (FORGOTTEN, n * w, "No seam was taken off."),
            (ONE_SEAM, n * w - 2 * a, f"One seam was taken off; there are {n - 1}."),
            (ONE_SIDE, n * w - (n - 1) * a, "A seam takes one allowance from each of its two strips."),
        ],
    )


def ask_sets(chance: Random, terms: Terms) -> Draft:
    """Ask for the number of strip sets for a number of segments."""
    a, say = terms.allowance, terms.write
    f, need = pick_size(chance, terms, 2, 9), chance.randint(12, 90)
    cut, usable = f + 2 * a, pick_usable(chance, terms)
    width = 6 * cut
    supply = Supply("patch", "strips", width, usable)
    sets = round(plan_cuts(f, width - 2 * a, need, supply, terms).used)
    per = count_across(usable, cut)
    return Draft(
        f"{need} segments that finish {say(f)} wide are cut across strip sets that are {say(usable)} long. The seam"
        f" allowance is {say(a)}. How many strip sets are sewn?",
        sets,
        [
            f"A segment is cut {say(cut)} wide, and a set gives {per} whole ones.",
            f"{need} ÷ {per}, rounded up, is {sets}.",
        ],
        [
            (AREA, ceil(need * cut / usable - TINY), "Areas were divided, as if a segment could be half in one set."),
            (TAKEN, ceil(need / count_across(usable, f)), "The segments are cut wider than they finish."),
            (DOWN, need // per, "That many sets give too few segments; round up."),
        ],
        noun="strip sets",
    )
