"""Ways of making: cut sizes, batches, cuts and seams.

The cut sizes are compared with the table of the trade's arithmetic (half-square f + (2 + √2)a, quarter-square
f + (2 + 2√2)a, four at a time u√2 + 2a, eight at a time 2f + 2(2 + √2)a, geese by the first two), which stands here
and not in the code, and with `worked_cases.csv` (W03 to W06, W22) and `cut_size_rules.json` of data/published.
"""

import csv
import json
from math import sqrt
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.lengths import round_up
from kit.planning.batches.ways_of_making import UNITS, choose_way, list_ways, plan_strip_sets

PUBLISHED = Path(__file__).parents[3] / "data" / "published"
CM = 1 / 2.54
ROOT2 = sqrt(2)

TABLE = {
    ("half-square", "one by one"): lambda f, a: [f + (2 + ROOT2) * a] * 2,
    ("half-square", "two at a time"): lambda f, a: [f + (2 + ROOT2) * a] * 2,
    ("half-square", "four at a time"): lambda f, a: [(f + 2 * a) * ROOT2 + 2 * a] * 2,
    ("half-square", "eight at a time"): lambda f, a: [2 * f + 2 * (2 + ROOT2) * a] * 2,
    ("half-square", "stitch and flip"): lambda f, a: [f + 2 * a] * 2,
    ("quarter-square", "one by one"): lambda f, a: [f + (2 + 2 * ROOT2) * a] * 2,
    ("quarter-square", "two at a time"): lambda f, a: [f + (2 + 2 * ROOT2) * a] * 2,
    ("geese", "one by one"): lambda f, a: [2 * f + (2 + 2 * ROOT2) * a, f + (2 + ROOT2) * a],
    ("geese", "four at a time"): lambda f, a: [2 * f + (2 + 2 * ROOT2) * a, f + (2 + ROOT2) * a],
    ("geese", "stitch and flip"): lambda f, a: [f + 2 * a, f + 2 * a],
}
"""Unit and way -> exact sides of the squares by finished size and allowance; of a rectangle its height."""


def pick(unit, name, *args, **kwargs):
    (way,) = [way for way in list_ways(unit, *args, **kwargs) if way.name == name]
    return way


def read_case(number):
    lines = (PUBLISHED / "worked_cases.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return next(row for row in rows if row["case"] == number)


@pytest.mark.parametrize("allowance", [0.25, 0.375, 0.75 * CM, 0.6 * CM])
@pytest.mark.parametrize("finished", [1.0, 2.0, 3.0, 4.375, 7.0, 5 * CM, 12.5 * CM])
def test_every_way_cuts_what_the_trades_arithmetic_says(finished, allowance):
    listed = {(unit, way.name): way for unit in UNITS for way in list_ways(unit, finished, 12, allowance=allowance)}
    assert set(listed) == set(TABLE)
    for key, way in listed.items():
        assert [cloth.height for cloth in way.cloths] == pytest.approx(TABLE[key](finished, allowance), abs=1e-9), key


def test_a_goose_that_is_stitched_and_flipped_begins_as_a_rectangle_of_its_own_size():
    goose, sky = pick("geese", "stitch and flip", 2.0, 4).cloths
    assert (goose.width, goose.height, goose.number) == pytest.approx((4.5, 2.5, 1))
    assert (sky.width, sky.height, sky.number) == pytest.approx((2.5, 2.5, 2))


def test_oversize_is_added_to_the_finished_unit_before_its_squares_are_found():
    plain, large = (pick("half-square", "two at a time", 3.0, 8, oversize=extra) for extra in (0.0, 0.125))
    assert large.cloths[0].width - plain.cloths[0].width == pytest.approx(0.125)
    assert large.trim >= plain.trim + 0.1
    eight = pick("half-square", "eight at a time", 3.0, 8, oversize=0.125)
    assert eight.cloths[0].width == pytest.approx(2 * 3.125 + 2 * (2 + ROOT2) * 0.25)


# Worked cases: common questions, answers derived


def test_w04_four_geese_at_a_time_of_4_and_a_half_by_2_and_a_half_unfinished():
    assert "large square 5 1/4, small squares 2 7/8 (exact 5.207 and 2.854)" in read_case("W04")["answer"]
    way = pick("geese", "four at a time", 2.0, 24)
    large, small = way.cloths
    assert (large.width, small.width) == pytest.approx((5.207, 2.854), abs=5e-4)
    assert (round_up(large.width, 0.125), round_up(small.width, 0.125)) == (5.25, 2.875)
    assert (large.number, small.number, way.makes, way.batches, way.spare) == (1, 4, 4, 6, 0)


def test_w05_four_half_square_units_round_the_edge_of_3_and_a_half_unfinished():
    assert "3.5·√2 + 0.5 = 5.450, up to 5 1/2; every outer edge is bias" in read_case("W05")["answer"]
    way = pick("half-square", "four at a time", 3.0, 8)
    assert way.cloths[0].width == pytest.approx(5.450, abs=5e-4)
    assert round_up(way.cloths[0].width, 0.125) == 5.5
    assert way.bias
    assert not any(other.bias for other in list_ways("half-square", 3.0, 8) if other.name != way.name)


def test_w06_eight_half_square_units_at_a_time_of_7_and_a_half_unfinished():
    assert "15.707, up to 15 3/4" in read_case("W06")["answer"]
    way = pick("half-square", "eight at a time", 7.0, 20)
    assert way.cloths[0].width == pytest.approx(15.707, abs=5e-4)
    assert round_up(way.cloths[0].width, 0.125) == 15.75
    assert (way.batches, way.spare) == (3, 4)


def test_w22_and_the_metric_geese_of_the_published_rules_are_larger_than_the_metric_shortcut():
    assert "half-square + 2.561 cm, quarter-square + 3.621 cm" in read_case("W22")["answer"]
    large, small = pick("geese", "four at a time", 5 * CM, 4, allowance=0.75 * CM, step=0.1 * CM).cloths
    assert (large.width / CM - 10, small.width / CM - 5) == pytest.approx((3.621, 2.561), abs=5e-4)
    rules = json.loads((PUBLISHED / "cut_size_rules.json").read_text(encoding="utf-8"))["rules"]
    (metric,) = [rule for rule in rules if rule["unit"] == "metric"]
    (shortcut,) = metric["examples"]  # 13.5 and 7.5: the shortcut of the tutorial, which the rules call too small
    assert large.width / CM > shortcut["large"]
    assert small.width / CM > shortcut["small"]


def test_w03_strip_sets_of_a_rail_fence():
    answer = read_case("W03")["answer"]
    assert "3 blocks a set, 14 sets, 70 strips; 42 in: 4 a set" in answer
    narrow, wide = (plan_strip_sets([2.5] * 5, 10.5, 42, width=width) for width in (40, 42))
    assert (narrow.per_set, narrow.sets, narrow.strips) == (3, 14, 70)
    assert (wide.per_set, wide.sets, wide.strips, wide.rest) == (4, 11, 55, 0)
    assert narrow.sewn == wide.sewn == 10.5
    assert plan_strip_sets([2.5] * 5, 10.5, 42, width=42, squaring=0.5).per_set == 3


# Counting


def test_bias_edges_are_never_chosen_for_the_maker():
    ways = list_ways("half-square", 3.0, 24)
    assert min(ways, key=lambda way: way.cloth).bias  # it would save cloth here
    assert not choose_way(ways).bias
    assert not choose_way(ways, "fewest cuts").bias


@settings(max_examples=40)
@given(
    st.sampled_from(UNITS),
    st.integers(2, 60).map(lambda n: n / 8),
    st.integers(1, 200),
    st.sampled_from([0.0, 0.125]),
)
def test_batches_give_enough_and_never_a_whole_batch_too_much(unit, finished, count, oversize):
    for way in list_ways(unit, finished + 1, count, oversize=oversize):
        assert way.batches * way.makes == count + way.spare
        assert 0 <= way.spare < way.makes
        assert way.trim >= oversize - 1e-9  # cut sizes are rounded up: a unit is never too small


def test_the_wish_decides_and_the_other_measure_breaks_ties():
    ways = list_ways("half-square", 3.0, 16)
    least, fewest = choose_way(ways), choose_way(ways, "fewest cuts")
    assert least.cloth == min(way.cloth for way in ways)
    assert (least.cuts, fewest.cuts) == (8 * 3, 2 * 6)  # squares and the cuts that part them, a batch
    assert fewest.cuts == min(way.cuts for way in ways)
    assert (least.name, fewest.name) == ("two at a time", "eight at a time")


@pytest.mark.parametrize(
    ("unit", "finished", "count", "options", "found"),
    [
        ("kite", 3.0, 4, {}, "no unit `kite`"),
        ("geese", 0.0, 4, {}, "0 in finished"),
        ("geese", 2.0, 0, {}, "0 units"),
        ("geese", 2.0, 4, {"oversize": -0.125}, "-0.125 in oversize"),
    ],
)
def test_impossible_sizes_are_refused(unit, finished, count, options, found):
    with pytest.raises(KitError, match=found):
        list_ways(unit, finished, count, **options)


def test_a_segment_longer_than_a_set_is_refused():
    with pytest.raises(KitError, match="41 in does not fit a strip set of 40 in"):
        plan_strip_sets([2.5] * 3, 41, 4)
