"""Rows first: nested only for a step of the shop, no strip wider than the ruler, joins spared, margin, widths."""

import re
from dataclasses import replace
from math import ceil

import pytest
from cut_lists import make_list
from cutting_sweep import draw_list
from hypothesis import given
from hypothesis import strategies as st

import kit
from kit.checks.cutting_check import check_cutting_plan
from kit.errors import KitError, StudyError
from kit.model.cutting import ClothWishes
from kit.model.fabrics import Supply
from kit.output.words.notes import list_notes
from kit.output.words.strip_rows import read_strip
from kit.planning.cutting.blanks import join_strips
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.study import study_from_keys, study_keys

WISHES = ClothWishes()


def plan(cuts, effort="steady", wishes=WISHES, **options):
    """Return the checked plan of the only cloth."""
    found = cutting_plan(cuts, [Supply("patch", **options)], effort=effort, wishes=wishes)
    check_cutting_plan(cuts, found)
    return found.cloths[0]


def change(name, **tables):
    """Return a study with keys laid over its tables."""
    keys = study_keys(kit.open_study(f"data/studies/{name}.toml"))
    return study_from_keys(keys | {table: {**keys.get(table, {}), **more} for table, more in tables.items()})


# Rows and nesting


def test_nineteen_pieces_of_two_and_a_half_by_twelve_and_a_half_come_of_rows():
    # 16 stand in a strip of 12 1/2 in, 3 lie in a strip of 2 1/2 in: 15 in in all, and every cut is in the words.
    found = plan(make_list([(2.5, 12.5, 19)]), width=42)
    assert found.used == 15.0
    assert sorted((strip.height, len(strip.cuts)) for strip in found.strips) == [(2.5, 3), (12.5, 16)]
    assert all(read_strip(strip) for strip in found.strips)


@pytest.mark.parametrize("seed", range(12))
def test_what_is_not_nested_is_rows_and_nesting_saves_a_step_of_the_shop(seed):
    width, sizes = draw_list(seed)
    cuts = make_list(sizes)
    chosen = plan(cuts, width=width)
    rows = plan(cuts, width=width, wishes=replace(WISHES, nesting="never"))
    assert all(read_strip(strip) for strip in rows.strips)
    assert chosen.rows == pytest.approx(rows.used)
    if any(read_strip(strip) is None for strip in chosen.strips):
        assert chosen.used <= rows.used - 4.5 + 1e-6
    else:
        assert chosen.used == pytest.approx(rows.used)


@pytest.mark.parametrize("nesting", ["never", "worth it", "always"])
@pytest.mark.parametrize("seed", range(6))
def test_no_strip_is_wider_than_the_ruler(seed, nesting):
    width, sizes = draw_list(seed)
    for ruler in (12.5, 24.0):
        found = plan(make_list(sizes), width=width, wishes=replace(WISHES, nesting=nesting, ruler=ruler))
        for strip in found.strips:
            larger = [cut.height for cut in strip.cuts if min(cut.width, cut.height) > ruler]
            assert strip.height <= max([ruler, *larger]) + 1e-6


def test_a_piece_larger_than_the_ruler_both_ways_has_a_strip_of_its_own_width():
    found = plan(make_list([(30, 32, 1), (5, 5, 6)]), width=42)
    assert max(strip.height for strip in found.strips) == 30
    assert found.used == 30.0  # the six squares come of the end, 42 - 32 = 10 in: two to a strip of 5 in


def test_rows_of_a_fat_quarter_are_as_few_as_nested_ones_where_they_can_be():
    # Twelve squares of 5 in: three rows of four in 18 by 20 in, so twelve to each.
    cuts = make_list([(5, 5, 24)])
    found = cutting_plan(cuts, [Supply("patch", "fat quarter", 42)], effort="steady", wishes=WISHES)
    check_cutting_plan(cuts, found)
    assert found.cloth["patch"] == 2
    assert all(len(read_strip(strip)) == 3 for strip in found.cloths[0].strips)


# Joins


def plan_sides(count, length, wide=4.0, **options):
    cuts = make_list([(wide, length, count)])
    return plan(cuts, width=42, **options)


@pytest.mark.parametrize(
    ("count", "length", "joined", "used"),
    [
        # Eight strips of 4 in and 58 in: along the cloth 58 in; joined 464 in of 42 in less 11 joins, 12 strips, 48 in.
        (8, 58.0, True, 48.0),
        # Ten of 54 in: along the cloth 54 in; joined 540 in and 12 joins, 13 strips, 52 in: 2 in dearer without joins.
        (10, 54.0, False, 54.0),
        # Two of 60 in: 60 in of cloth along, 12 in joined: the joins are kept, and both figures said.
        (2, 60.0, True, 12.0),
    ],
)
def test_long_pieces_are_cut_along_the_cloth_where_that_costs_at_most_a_quarter_yard(count, length, joined, used):
    found = plan_sides(count, length)
    assert found.used == used
    assert any(cut.joined for strip in found.strips for cut in strip.cuts) == joined
    whole, with_joins = found.joins
    assert whole == length
    assert (whole - with_joins > 9.0) == joined


def test_both_figures_of_a_join_are_printed():
    pattern = kit.make_pattern(kit.open_study("data/studies/gull-point.toml"))
    said = " ".join(list_notes(pattern)).replace("\N{NO-BREAK SPACE}", " ")
    assert "long pieces cut along the cloth without joins, which takes 60½ in; joined they would take 58½ in" in said


def test_without_wishes_long_pieces_take_the_least_cloth():
    cuts = make_list([(4.0, 54.0, 10)])
    assert cutting_plan(cuts, [Supply("patch", width=42)]).cloth["patch"] == 52.0


@given(st.integers(43 * 8, 100 * 8), st.integers(1, 12), st.integers(36, 44), st.sampled_from((0.25, 0.75 / 2.54)))
def test_joined_lengths_give_their_pieces_and_no_seam_lies_within_a_hand_of_an_end(eighths, count, room, allowance):
    """Sew the lengths as the hand does, cut the pieces off in turn, and measure from every seam to the ends."""
    length = eighths / 8
    made, seams = 0.0, []
    for strip in join_strips(length, count, room, allowance):
        assert 4.0 <= strip <= room + 1e-9
        if made:
            seams.append(made - allowance)
            made -= 2 * allowance
        made += strip
    assert made == pytest.approx(count * length)
    assert all(3.999 <= seam % length <= length - 3.999 for seam in seams)


def test_a_seam_near_an_end_is_moved_though_the_bit_would_have_been_cut_off_otherwise():
    # Four of 50 1/2 in, 202 in: five of 40 in and four joins give 198 in, and the sixth was a bit of 4 1/2 in.
    assert min(join_strips(50.5, 4, 40.0, 0.25)) > 12
    # Four of 58 1/4 in: six of 40 in reach, but a seam would lie 2 in from an end; a seventh is taken.
    assert len(join_strips(58.25, 4, 40.0, 0.25)) == 7


# Margin and width


@pytest.mark.parametrize(
    ("length", "margin"),
    [(5.0, 1.0), (40.0, 2.125), (100.0, 5.125)],  # 5 % of strips and squaring up, an inch at least, in eighths
)
def test_the_margin_is_five_in_a_hundred_and_at_least_an_inch(length, margin):
    found = plan(make_list([(length / 2, 40, 2)]), width=40, wishes=replace(WISHES, ruler=None))
    assert found.used == length
    assert found.margin == margin
    assert found.as_bought == length + 1 + margin


def test_a_fabric_may_have_a_margin_of_its_own_or_none_and_cloth_on_hand_is_not_exceeded():
    cuts = make_list([(5, 5, 8)])
    assert plan(cuts, width=40, margin=0.0).margin == 0
    assert plan(cuts, width=40, margin=0.5).margin == 3.0
    assert plan(cuts, width=40, length=6.5).margin == 0.5
    assert plan(cuts, width=40, wishes=replace(WISHES, margin=0.0)).margin == 0
    with pytest.raises(KitError, match="has the margin 5"):
        Supply("patch", margin=5)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_bought_is_enough_from_the_width_said_and_needs_no_more_than_said_below(seed):
    _, sizes = draw_list(seed)
    cuts = make_list(sizes)
    found = plan(cuts, width=42)
    bought = ceil(found.as_bought / 4.5 - 1e-6) * 4.5
    said = found.enough
    assert said.width <= 42
    assert plan(cuts, width=said.width).as_bought <= bought + 1e-6
    assert said.narrower in {said.width, said.width - 0.5}
    if said.narrower < said.width:
        assert plan(cuts, width=said.narrower).as_bought <= said.buy + 1e-6
        assert said.buy > bought


def test_a_square_less_to_a_strip_is_seen_in_the_width():
    # 16 squares of 2 1/2 in fill 40 in; 15 to a strip of 39 1/2 in, and 32 squares then take three strips.
    found = plan(make_list([(2.5, 2.5, 64)]), width=42)
    assert found.used == 10.0
    assert (found.enough.width, found.enough.narrower) == (40.0, 39.5)
    assert found.enough.buy == 14.5  # five strips, an inch for squaring up and one of margin


# The keys of a study


@pytest.mark.parametrize(
    ("key", "text", "held"),
    [
        ("nesting", "never", "never"), ("nesting", "always", "always"), ("ruler", "18 in", 18.0),
        ("long_cuts", "0 in", 0.0), ("long_cuts", "1/2 yd", 18.0), ("margin", 0.1, 0.1), ("margin", 0, 0.0),
        ("margin_least", "2 in", 2.0),
    ],
)  # fmt: skip
def test_every_key_is_held_and_reads_back(key, text, held, tmp_path):
    study = change("tideline", cutting={key: text})
    assert getattr(study.cloth, key) == held
    assert kit.open_study(kit.save_study(study, tmp_path / "x.toml")) == study


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("nesting", "sometimes", "cutting.nesting"), ("ruler", "3 in", "cutting.ruler"),
        ("ruler", "9 yd", "cutting.ruler"),
        ("ruler", 24, "cutting.ruler"), ("long_cuts", "400 in", "cutting.long_cuts"), ("margin", 5, "cutting.margin"),
        ("margin", -0.1, "cutting.margin"), ("margin_least", "1 yd", "cutting.margin_least"),
        ("rular", "24 in", "rular"),
    ],
)  # fmt: skip
def test_a_wrong_key_is_refused_with_its_name(key, text, said):
    with pytest.raises(StudyError) as caught:
        change("tideline", cutting={key: text})
    assert said in caught.value.found
    assert re.search("write|Write|is .* meant", str(caught.value)) or caught.value.do


def test_a_metric_study_has_its_own_round_sizes():
    wishes = change("ferry-steps", measures={"system": "metric"}).cloth
    in_centimetres = [round(inches * 2.54, 6) for inches in (wishes.ruler, wishes.long_cuts, wishes.margin_least)]
    assert in_centimetres == [60, 25, 2.5]
    assert round(wishes.shop_step * 2.54, 6) == 10


def test_a_margin_of_a_fabric_reads_back(tmp_path):
    keys = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
    keys["fabric"][0]["margin"] = 0.2
    study = study_from_keys(keys)
    assert study.fabrics[0].margin == 0.2
    assert kit.open_study(kit.save_study(study, tmp_path / "x.toml")) == study
    keys["fabric"][0]["margin"] = 2
    with pytest.raises(StudyError, match="margin"):
        study_from_keys(keys)
