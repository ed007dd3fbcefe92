"""Cutting plan: it can be cut, gives every piece, is never below its bound, and says where cloth is short."""

from collections import Counter
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Case, cases

from kit.checks.cutting_check import check_cutting_plan
from kit.errors import KitError, NoPlanError
from kit.geometry.outlines import make_rectangle, measure_area, move_outline
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.output.words.notice_words import say_notices
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list, divide_by_fabric

pytestmark = pytest.mark.slow

FEW = settings(max_examples=12)
FEWER = settings(max_examples=4)
SLACK = 1e-4


def squares(count, side):
    """Return the cut list of a row of squares of a cut size, with quarter-inch allowances."""
    finished = side - 0.5
    row = [make_rectangle(i * finished, 0, finished, finished) for i in range(count)]
    return cut_list(patchwork_from_outlines(row))


def half_squares(count, finished):
    """Return the cut list of so many half-square triangles in one slot, the rest of the squares in another."""
    halves = [((0, 0), (finished, 0), (0, finished)), ((finished, 0), (finished, finished), (0, finished))]
    outlines = [move_outline(half, i * finished, 0) for i in range(count) for half in halves]
    return cut_list(patchwork_from_outlines(outlines, ["light", "dark"] * count))


def framed(width, height, border):
    """Return the cut list of a plain top in a butted border."""
    sides = [make_rectangle(-border, 0, border, height), make_rectangle(width, 0, border, height)]
    ends = [make_rectangle(-border, y, width + 2 * border, border) for y in (-border, height)]
    slots = ["middle", *["border"] * 4]
    return cut_list(patchwork_from_outlines([make_rectangle(0, 0, width, height), *sides, *ends], slots))


def count_planned(plan):
    """Count what is cut and what is short, by slot, fabric and piece."""
    planned = Counter()
    for cloth in plan.cloths:
        for strip in cloth.strips:
            for cut in strip.cuts:
                planned[cloth.supply.slot, cut.piece] += cut.count
        for piece, count in cloth.short.items():
            planned[cloth.supply.slot, piece] += count
    return +planned


def overlap(one, other):
    across = min(one.x + one.width, other.x + other.width) - max(one.x, other.x)
    up = min(one.y + one.height, other.y + other.height) - max(one.y, other.y)
    return across > SLACK and up > SLACK


def inspect(cuts, plan):
    """Assert what a plan of any cloth must hold; written for the tests alone."""
    pieces = {piece.id: piece for piece in cuts.pieces}
    for cloth in plan.cloths:
        area = 0.0
        for strip in cloth.strips:
            for i, cut in enumerate(strip.cuts):
                assert cut.x >= -SLACK
                assert cut.y >= -SLACK
                assert cut.x + cut.width <= strip.length + SLACK
                assert cut.y + cut.height <= strip.height + SLACK
                mates = [other for other in strip.cuts[:i] if overlap(cut, other)]
                for mate in mates:
                    assert strip.folded
                    assert (mate.x, mate.y, mate.width) == (cut.x, cut.y, cut.width)
                    assert {pieces[mate.piece].hand, pieces[cut.piece].hand} == {"left", "right"}
                assert len(mates) <= 1
                area += measure_area(pieces[cut.piece].outline) * cut.count
        assert cloth.used >= cloth.bound - SLACK or cloth.short
        if cloth.supply.form == "yardage":
            assert cloth.used == pytest.approx(sum(strip.height for strip in cloth.strips))
            assert cloth.used * cloth.supply.width >= area - SLACK or cloth.short
        else:
            assert cloth.used == len(cloth.strips)
    needed = Counter()
    for piece in cuts.pieces:
        needed[piece.slot, piece.id] += piece.count
    assert count_planned(plan) == needed
    for slot, total in plan.cloth.items():
        mine = [cloth for cloth in plan.cloths if cloth.supply.slot == slot]
        assert total == pytest.approx(sum(cloth.used for cloth in mine))
        assert plan.bound[slot] == pytest.approx(sum(cloth.bound for cloth in mine))
        assert bool(plan.short.get(slot)) == any(cloth.short for cloth in mine)


# Properties


@FEW
@given(cases(), st.integers(1, 3))
def test_every_piece_of_every_fabric_is_cut_and_nothing_overlaps(case, many):
    patchwork = case.build()
    cuts = cut_list(patchwork)
    fabric = {patch.id: f"{patch.slot} {i % many}" for i, patch in enumerate(patchwork.patches)}
    divided = divide_by_fabric(cuts, fabric)
    for planned in (cuts, divided):
        plan = cutting_plan(planned)
        inspect(planned, plan)
        check_cutting_plan(planned, plan)
        assert not any(plan.short.values())


@FEWER
@given(cases(), st.sampled_from([18.0, 21.0, 36.5, 42.0, 54.0, 108.0]))
def test_every_width_of_cloth_gives_a_plan_that_can_be_cut(case, width):
    cuts = cut_list(case.build())
    plan = cutting_plan(cuts, [Supply(slot, "yardage", width) for slot in cuts.slots])
    inspect(cuts, plan)
    check_cutting_plan(cuts, plan)


@FEW
@given(
    cases(),
    st.sampled_from(["strips", "squares", "fat quarter", "remnant"]),
    st.sampled_from([1.5, 2.5, 5.0, 10.0, 18.0]),
    st.integers(1, 40),
)
def test_what_a_few_pre_cuts_do_not_give_is_short_and_the_rest_is_cut(case, form, width, count):
    cuts = cut_list(case.build())
    length = 30.0 if form in ("strips", "remnant") else None
    plan = cutting_plan(cuts, [Supply(slot, form, width, length, count) for slot in cuts.slots])
    inspect(cuts, plan)
    check_cutting_plan(cuts, plan)
    assert all(len(cloth.strips) <= count for cloth in plan.cloths)


@FEW
@given(st.integers(1, 120), st.sampled_from([1.5, 2.0, 2.5, 3.5, 4.25, 6.5]), st.sampled_from([36.0, 40.0, 42.5]))
def test_strips_times_yield_reach_the_number_of_squares_and_one_strip_fewer_does_not(count, side, width):
    plan = cutting_plan(squares(count, side), [Supply("patch", "yardage", width)])
    strips = ceil(count / int(width // side))
    assert plan.cloth["patch"] == pytest.approx(strips * side)


# Worked by hand


def test_a_hundred_two_and_a_half_inch_squares_take_seven_strips_of_forty_inches():
    plan = cutting_plan(squares(100, 2.5))
    assert plan.cloth["patch"] == 17.5
    assert plan.bound["patch"] <= 17.5


@pytest.mark.parametrize(("triangles", "strips"), [(1, 1), (2, 1), (3, 1), (20, 1), (21, 2), (41, 3)])
def test_an_odd_number_of_half_square_triangles_takes_one_more_square(triangles, strips):
    # Finished 3 in, cut from 3 7/8 in squares; ten squares, twenty triangles, come out of a strip of 40 in.
    cuts = half_squares(triangles, 3.0)
    plan = cutting_plan(cuts)
    assert plan.cloth["light"] == pytest.approx(3.875 * strips)
    inspect(cuts, plan)


def test_a_five_inch_border_round_forty_by_fifty_takes_six_strips_with_joins():
    # Two sides of 50 1/2 in and two ends of 50 1/2 in are 202 in; each join takes 1/2 in of the strips of 40 in:
    # 6 strips give 6·40 - 5·1/2 = 237 1/2 in, 5 strips only 198 in. Six strips of 5 1/2 in are 33 in of cloth.
    plan = cutting_plan(framed(40, 50, 5), [Supply("middle", "yardage", 60), Supply("border", "yardage", 40)])
    assert plan.cloth["border"] == pytest.approx(33.0)
    assert not plan.short.get("border")


def test_the_joins_of_a_border_are_charged():
    # Four strips of 49 3/4 in are 199 in: five strips hold 200 in, but only 198 in once they are joined.
    plan = cutting_plan(framed(39.25, 49.25, 5), [Supply("middle", "yardage", 60), Supply("border", "yardage", 40)])
    assert plan.cloth["border"] == pytest.approx(33.0)


def test_a_border_that_fits_a_strip_is_not_joined():
    plan = cutting_plan(framed(30, 20, 2), [Supply("middle", "yardage", 60), Supply("border", "yardage", 40)])
    # Two sides of 20 1/2 in and two ends of 34 1/2 in, each 2 1/2 in wide: the ends take a strip each.
    assert plan.cloth["border"] <= 4 * 2.5
    assert plan.cloth["border"] >= 3 * 2.5


def test_blades_of_both_hands_are_cut_in_pairs_through_folded_strips():
    cuts = cut_list(Case({"family": "braid", "columns": 2, "pairs": 12}, "1/4 in").build())
    plan = cutting_plan(cuts, [Supply("blade", "strips", 2.5, 40), Supply("start")])
    inspect(cuts, plan)
    hands = Counter()
    for cloth in plan.cloths:
        for strip in cloth.strips:
            for cut in strip.cuts:
                hand = cuts.pieces[[piece.id for piece in cuts.pieces].index(cut.piece)].hand
                if hand:
                    assert strip.folded
                    hands[hand] += cut.count
    assert hands == {"left": 24, "right": 24}


def test_pieces_of_one_hand_are_not_cut_through_folded_cloth():
    cuts = cut_list(patchwork_from_outlines([((0, 0), (6, 0), (6, 2), (2, 2))]))
    assert not any(strip.folded for cloth in cutting_plan(cuts).cloths for strip in cloth.strips)


def test_strips_of_a_roll_are_counted_and_not_measured():
    # 16 squares of 2 1/2 in come out of a strip of 40 in: 33 squares take 3 strips.
    plan = cutting_plan(squares(33, 2.5), [Supply("patch", "strips", 2.5, 40)])
    assert plan.cloth["patch"] == 3
    assert plan.bound["patch"] == 3


def test_a_strip_narrower_than_its_piece_gives_none():
    plan = cutting_plan(squares(3, 3.0), [Supply("patch", "strips", 2.5, 40)])
    assert plan.short["patch"]
    assert plan.cloth["patch"] == 0


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_too_few_strips_leave_as_many_pieces_short_as_are_missing(count):
    cuts = squares(33, 2.5)
    plan = cutting_plan(cuts, [Supply("patch", "strips", 2.5, 40, count=count)])
    missing = sum(number for cloth in plan.cloths for number in cloth.short.values())
    assert missing == max(0, 33 - 16 * count)
    assert bool(plan.short.get("patch")) == (missing > 0)
    if missing:
        assert f"{missing} of A1" in plan.short["patch"]


def test_too_short_a_length_of_yardage_is_said_to_be_short():
    plan = cutting_plan(squares(100, 2.5), [Supply("patch", "yardage", 40, length=12)])
    missing = sum(number for cloth in plan.cloths for number in cloth.short.values())
    # Squaring up takes 1 in; four strips of 2 1/2 in come out of the other 11 in.
    assert missing == 100 - 4 * 16
    assert plan.short["patch"]


def test_no_supply_for_a_slot_is_refused_with_what_to_add():
    with pytest.raises(NoPlanError, match="no cloth for slot `light`") as caught:
        cutting_plan(half_squares(2, 3.0), [Supply("dark")])
    assert 'kit.Supply("light"' in caught.value.do


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"form": "bolt"}, "has the form `bolt`"),
        ({"width": 0}, "has the width 0"),
        ({"width": -3.0}, "has the width -3"),
        ({"length": 0.0}, "has the length 0"),
        ({"count": 0}, "has the count 0"),
        ({"width": float("nan")}, "has the width nan"),
    ],
)
def test_an_impossible_supply_is_refused_with_its_slot(options, said):
    with pytest.raises(KitError, match=said) as caught:
        Supply("ground", **options)
    assert "`ground`" in str(caught.value)
    assert caught.value.do


def test_the_usable_width_and_squaring_up_are_said_with_the_plan():
    plan = cutting_plan(squares(5, 2.5))
    assert any("40" in sentence and "usable width" in sentence for sentence in say_notices(plan.assumptions))
    assert any("squaring up" in sentence for sentence in say_notices(plan.assumptions))
    assert plan.squaring_up["patch"] == 1.0


def test_the_same_pieces_give_the_same_plan():
    cuts = cut_list(Case({"family": "log cabin", "columns": 2, "rows": 2}, "1/4 in").build())
    assert cutting_plan(cuts) == cutting_plan(cuts)
