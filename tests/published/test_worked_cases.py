"""Worked cases: common questions of quilt makers, their answers derived from geometry, and the kit's own answers.

The numbers of the cases are those of the table. Where another answer is often given, the test says by how much it
is off. The widths of usable cloth are common practice, no source.
"""

from dataclasses import replace
from itertools import pairwise
from math import sqrt

import pytest
from published_tables import CM, cut, goose, halved_square, on_point, pick, quartered_square, read_table

from kit.checks.cut_list_check import check_cut_list
from kit.checks.cutting_check import check_cutting_plan
from kit.designs import Braid, Strips
from kit.geometry.outlines import make_rectangle, measure_box
from kit.lengths import buying_length
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.cutting.cutting_plan import SQUARING_UP, cutting_plan
from kit.planning.pieces.cut_list import cut_list

ROOT2 = sqrt(2)
EXACT = 1e-9
HALF, FOURTH = "half-square triangle", "quarter-square triangle"
FENCE = ("deep", "sea", "sand", "foam", "rust")


def grid(columns, rows, side):
    return [make_rectangle(side * x, side * y, side, side) for y in range(rows) for x in range(columns)]


def plan(cuts, *supplies):
    planned = cutting_plan(cuts, supplies)
    check_cutting_plan(cuts, planned)
    return planned


def test_the_table_holds_all_the_cases_each_with_its_answer():
    rows = read_table("worked_cases.csv")
    assert [row["case"] for row in rows[:25]] == [f"W{number:02d}" for number in range(1, 26)]
    assert all(row["asked"] and row["answer"] and row["standing"] for row in rows)


# W01: squares of 5 in from one yard


@pytest.mark.parametrize("width", [40, 42])
def test_w01_a_yard_gives_56_squares_of_5_inches_not_the_60_of_its_area(width):
    yard = Supply("patch", "yardage", width, 36 + SQUARING_UP)
    assert plan(cut(grid(8, 7, 4.5)), yard).short == {}
    (cloth,) = plan(cut(grid(10, 6, 4.5)), yard).cloths
    assert sum(cloth.short.values()) == 4


# W02: 774 squares of 3 in


@pytest.mark.parametrize(("width", "strips", "length"), [(42, 56, 168), (41, 60, 180), (40, 60, 180)])
def test_w02_774_squares_of_3_inches_depend_on_the_usable_width(width, strips, length):
    cuts = cut(grid(18, 43, 2.5))
    assert (pick(cuts, "square").count, pick(cuts, "square").rounded["side"]) == (774, 3.0)
    planned = plan(cuts, Supply("patch", "yardage", width))
    (cloth,) = planned.cloths
    assert len(cloth.strips) == strips
    assert planned.cloth["patch"] == length
    assert planned.squaring_up["patch"] == SQUARING_UP
    assert planned.bound["patch"] == length  # proved: no plan takes less, though the area would fit into less


def test_w02_the_four_and_two_thirds_yards_often_given_are_enough_at_42_inches_only_and_without_squaring_up():
    often = (4 + 2 / 3) * 36
    cuts = cut(grid(18, 43, 2.5))
    narrow, wide = (plan(cuts, Supply("patch", "yardage", width)).cloth["patch"] for width in (40, 42))
    assert wide == pytest.approx(often)
    assert narrow > often
    assert buying_length(wide + SQUARING_UP) == 171.0


# W03: a rail fence


def fence():
    design = Strips(family="strips", columns=6, rows=7, strip_cut="2 1/2 in", pattern=(" ".join(FENCE),))
    patchwork = design.patchwork(0.25).verify()
    cuts = cut_list(patchwork)
    check_cut_list(patchwork, cuts)
    return patchwork, cuts


def test_w03_a_rail_fence_of_five_strips_finishes_60_by_70_and_is_cut_10_and_a_half():
    patchwork, cuts = fence()
    assert patchwork.finished == pytest.approx((60, 70), abs=EXACT)
    assert [(piece.slot, piece.count, dict(piece.rounded)) for piece in cuts.pieces] == [
        (slot, 42, {"width": 2.5, "length": 10.5}) for slot in FENCE
    ]


@pytest.mark.parametrize(("width", "blocks", "strips"), [(40, 3, 70), (42, 4, 55)])
def test_w03_a_rail_fence_takes_as_many_strips_as_the_usable_width_has_blocks(width, blocks, strips):
    _, cuts = fence()
    # Strips for strip sets lie across the cloth, whichever way the blocks are turned in the top: a print that may be
    # turned would let pieces stand as well, and one that may not, half of them.
    cuts = replace(cuts, pieces=tuple(replace(piece, headings=()) for piece in cuts.pieces))
    planned = plan(cuts, *(Supply(slot, "yardage", width, one_way=True) for slot in FENCE))
    assert sum(len(cloth.strips) for cloth in planned.cloths) == strips
    assert {max(len(strip.cuts) for strip in cloth.strips) for cloth in planned.cloths} == {blocks}


@pytest.mark.parametrize(("length", "blocks"), [(40, 24), (42, 32)])
def test_w03_one_roll_of_forty_strips_does_not_do_it(length, blocks):
    _, cuts = fence()
    planned = plan(cuts, *(Supply(slot, "strips", 2.5, length, count=8) for slot in FENCE))
    assert set(planned.short) == set(FENCE)
    made = [42 - sum(cloth.short.values()) for cloth in planned.cloths]
    assert made == [blocks] * 5


# W04, W07: geese and setting triangles, by the finished size


def test_w04_geese_of_4_and_a_half_by_2_and_a_half_unfinished_come_from_their_finished_size():
    cuts = cut(goose(4, 2), ["goose", "sky", "sky"])
    large, small = pick(cuts, FOURTH, "goose"), pick(cuts, HALF, "sky")
    assert (large.cut["square"], small.cut["square"]) == pytest.approx((5.207, 2.854), abs=0.0005)
    assert (large.rounded["square"], small.rounded["square"]) == (5.25, 2.875)


@pytest.mark.parametrize(
    ("block", "side", "side_up", "corner", "corner_up"),
    [(7, 11.107, 11.125, 5.803, 5.875), (6.5, 10.399, 10.5, 5.450, 5.5)],
    ids=["7 in finished", "7 in unfinished"],
)
def test_w07_setting_triangles_of_a_7_inch_block_depend_on_which_7_is_meant(block, side, side_up, corner, corner_up):
    cuts = cut(*on_point(2, 2, block))
    sides, corners = pick(cuts, FOURTH, "side"), pick(cuts, HALF, "corner")
    assert (sides.cut["square"], corners.cut["square"]) == pytest.approx((side, corner), abs=0.0005)
    assert (sides.rounded["square"], corners.rounded["square"]) == (side_up, corner_up)


# W22, triangles in centimetres


def test_w22_the_metric_shortcuts_are_six_tenths_and_twelve_tenths_of_a_millimetre_short():
    allowance = 0.75 * CM
    half = pick(cut(halved_square(10 * CM), allowance=allowance), HALF).cut["square"] / CM - 10
    fourth = pick(cut(quartered_square(10 * CM), allowance=allowance), FOURTH).cut["square"] / CM - 10
    assert (half, fourth) == pytest.approx((2.561, 3.621), abs=0.0005)
    assert (10 * (half - 2.5), 10 * (fourth - 3.5)) == pytest.approx((0.6, 1.2), abs=0.05)


# W24: the true seam allowance from a strip set


def test_w24_four_strips_that_measure_4_3_8_were_sewn_with_0_2708():
    true = (4 * 1.5 - 4.375) / 6
    assert true == pytest.approx(0.2708, abs=0.5e-4)
    outlines = [make_rectangle(k * (1.5 - 2 * true), 0, 1.5 - 2 * true, 6) for k in range(4)]
    cuts = cut(outlines, allowance=true)
    assert pick(cuts, "rectangle").cut["width"] == pytest.approx(1.5, abs=EXACT)
    assert patchwork_from_outlines(outlines, allowance=true).finished[0] + 2 * true == pytest.approx(4.375, abs=EXACT)


# The braid, from strips that finish 2 in wide


def braid(**keys):
    design = Braid(family="braid", columns=1, strip_cut="2 1/2 in", start="open", **keys)
    return design.patchwork(0.25).verify()


@pytest.mark.parametrize("blades", ["angled", "rectangles"])
def test_each_pair_of_a_braid_advances_it_by_the_diagonal_of_its_finished_strip(blades):
    column = braid(column_finished="6 in", pairs=14, blades=blades)
    whole = {patch.id: measure_box(patch.sewn or patch.outline)[1] for patch in column.patches}
    for side in "RL":
        feet = [whole[key] for key in sorted(whole) if f"-{side}0" in key]
        steps = [after - before for before, after in pairwise(feet)]
        inner = steps[4:-4]
        assert len(inner) >= 4
        assert inner == pytest.approx([2 * ROOT2] * len(inner), abs=EXACT)
        assert inner[0] == pytest.approx(2.828, abs=0.0005)


def test_one_pair_more_makes_a_braid_longer_by_the_diagonal_of_its_finished_strip():
    lengths = [braid(column_finished="6 in", pairs=pairs).finished[1] for pairs in (12, 13)]
    assert lengths[1] - lengths[0] == pytest.approx(2 * ROOT2, abs=EXACT)


def test_rectangles_cut_6_and_a_half_long_braid_into_a_column_6_92_wide_finished():
    width = (2 * (6.5 - 0.25) - 2) / ROOT2 - 0.5
    assert width == pytest.approx(6.92, abs=0.005)
    column = braid(column_finished=f"{width!r} in", pairs=12, blades="rectangles")
    cuts = cut_list(column)
    check_cut_list(column, cuts)
    blade = pick(cuts, "rectangle")
    assert blade.cut["length"] == pytest.approx(6.5, abs=EXACT)
    assert blade.cut["width"] == pytest.approx(2.5, abs=EXACT)
    assert blade.rounded == {"width": 2.5, "length": 6.5}
    assert column.finished[0] == pytest.approx(width, abs=EXACT)


def test_a_braid_of_angled_blades_has_a_left_one_for_every_right_one():
    column = braid(column_finished="6 in", pairs=20)
    counts = dict.fromkeys(["left", "right"], 0)
    for piece in cut_list(column).pieces:
        if piece.kind == "parallelogram" or (piece.kind == "trapezoid" and piece.hand):
            counts[piece.hand] += piece.count
    assert counts["left"] > 10
    assert abs(counts["left"] - counts["right"]) <= 1
