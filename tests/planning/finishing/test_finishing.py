"""Finishing plans of many quilts: properties that hold for each, and impossible wishes with their remedies."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit.checks.finishing_check import check_finishing_plan
from kit.errors import KitError, NoPlanError
from kit.lengths import YARD
from kit.model.finishing import ABOVE_ZERO, PARTS, FinishingWishes, TopFacts
from kit.output.words.cost_words import name_purchase
from kit.output.words.finishing_words import write_care, write_label
from kit.output.words.notice_words import say_notices
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.top_facts import gather_top

MILLIMETRES = st.integers(400, 2400).map(lambda millimetres: millimetres / 25.4)
INCHES = st.integers(16 * 8, 110 * 8).map(lambda eighths: eighths / 8)


def plan(width=60.0, height=80.0, top=None, **wishes):
    made = finishing_plan(width, height, FinishingWishes(**wishes), top)
    check_finishing_plan(width, height, made)
    return made


def refuse(*words, top=None, size=(60.0, 80.0), **wishes):
    with pytest.raises(KitError) as told:
        finishing_plan(*size, FinishingWishes(**wishes), top)
    text = str(told.value)
    assert told.value.needed
    assert told.value.do
    for word in words:
        assert word.lower() in text.lower()
    return text


@settings(max_examples=60)
@given(
    INCHES,
    INCHES,
    st.sampled_from(("straight", "bias lengths")),
    st.sampled_from(("single", "double")),
    st.sampled_from(("straight", "diagonal")),
    st.sampled_from(("butted", "mitred", "cornerstones")),
    st.floats(0, 0.1),
)
def test_the_plan_of_any_quilt_passes_its_check(width, height, grain, fold, join, corner, prewash):
    top = TopFacts(
        borders=(2.0, 3.0), corners=(corner, "butted"), ends_first=(False, True), cuts=10, seams=9, seam_length=100.0,
        left_over=((42.0, 3.0), (20.0, 30.0)),
    )  # fmt: skip
    made = plan(
        width, height, top, binding_grain=grain, binding_fold=fold, binding_join=join, border_join=join,
        prewash=prewash, left_over_first=True,
    )  # fmt: skip
    assert made.binding.total >= made.binding.needed - 1e-6
    chosen, least = made.backing.chosen, made.backing.ranked[0]
    assert least.area == min(way.area for way in made.backing.ranked)
    if chosen is not least:  # a hand's width more cloth, 4 in, for fewer seams
        assert chosen.seams < least.seams
        assert chosen.cloth * chosen.cloth_width <= (least.cloth + 4) * least.cloth_width + 1e-6


@settings(max_examples=100)
@given(
    st.tuples(MILLIMETRES, MILLIMETRES),
    st.lists(st.integers(10, 150).map(lambda millimetres: millimetres / 25.4), min_size=1, max_size=4),
)
def test_sizes_in_whole_millimetres_are_the_same_in_whatever_order_borders_are_taken_off(inner, borders):
    """Two borders of a quilt in centimetres differed in the last place of a float, and the plan was refused."""
    size = [side + 2 * sum(borders) for side in inner]
    plan(*size, TopFacts(borders=tuple(borders), corners=("butted",) * len(borders), system="metric"))


@settings(max_examples=40)
@given(INCHES, INCHES)
def test_a_quilt_turned_by_a_quarter_takes_the_same_cloth(width, height):
    one, other = plan(width, height), plan(height, width)
    assert one.backing.chosen.area == pytest.approx(other.backing.chosen.area)
    assert one.batting.chosen.area == pytest.approx(other.batting.chosen.area)
    assert len(one.binding.lengths) == len(other.binding.lengths)
    (upright,) = [way.cloth for way in one.backing.ranked if way.way == "lengthwise"]
    (level,) = [way.cloth for way in other.backing.ranked if way.way == "crosswise"]
    assert upright == pytest.approx(level)


@settings(max_examples=30)
@given(INCHES, INCHES, st.floats(0.5, 8))
def test_more_overhang_never_takes_less_cloth(width, height, more):
    near, far = plan(width, height), plan(width, height, overhang_sides=4 + more, overhang_ends=4 + more)
    assert far.backing.chosen.area >= near.backing.chosen.area
    assert far.batting.chosen.area >= near.batting.chosen.area


@settings(max_examples=40)
@given(st.floats(45, 110), st.floats(45, 110))
def test_no_join_of_the_binding_of_a_large_quilt_comes_within_four_inches_of_a_corner(width, height):
    made = plan(width, height)
    assert all(join.corner >= 4 - 1e-6 for join in made.binding.joins)
    assert sum(join.closing for join in made.binding.joins) == 1


def test_the_same_study_gives_the_same_plan():
    pattern = kit.make_pattern(kit.open_study("data/studies/lamplight.toml"))
    top = gather_top(pattern)
    assert plan(*pattern.patchwork.finished, top) == plan(*pattern.patchwork.finished, top)
    assert top.borders == (3.0,)
    assert top.seams == len(pattern.patchwork.patches) - 1
    assert len(top.purchases) == len(pattern.cutting.cloths)


def test_the_seam_length_of_a_top_is_that_of_all_edges_that_two_patches_share():
    squares = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for x in (0, 2, 4) for y in (0, 2)]
    patchwork = kit.patchwork_from_outlines(squares)
    pattern = kit.make_pattern(kit.open_study("data/studies/lamplight.toml"))
    facts = gather_top(replace(pattern, patchwork=patchwork))
    assert facts.seam_length == pytest.approx(3 * 2 + 2 * 4)


def test_every_purchase_is_at_its_bought_length_and_what_has_no_price_is_said():
    made = plan(backing_price=12.0, binding_price=10.0, batting="package", batting_price=30.0)
    costs = {purchase.what: purchase.cost for purchase in made.cost.purchases}
    assert costs["backing"] == 5 * 12.0
    assert costs["binding"] == pytest.approx(made.binding.bought / YARD * 10.0, abs=0.005)
    assert [name_purchase(purchase) for purchase in made.cost.unpriced] == ["thread, quilting"]
    assert made.cost.total == pytest.approx(60 + 30 + costs["binding"])


def test_work_is_charged_by_area_perimeter_and_hours_and_a_least_charge_holds():
    made = plan(quilting_rate=0.02, quilting_minimum=150.0, binding_rate=0.1, hour_rate=20.0, margin=0.25)
    charges = {charge.what: charge.cost for charge in made.cost.charges}
    assert charges["quilting"] == 150.0
    assert charges["binding"] == pytest.approx(28.0)
    assert charges["work"] == pytest.approx(20 * made.hours, abs=0.01)
    assert made.cost.price == pytest.approx(1.25 * made.cost.total, abs=0.01)
    assert made.cost.deposit == pytest.approx(made.cost.price / 2, abs=0.01)


def test_time_is_work_at_the_makers_own_speed():
    made = plan(hand_speed=1.6, quilting_speed=20.0, top=TopFacts(paths=(("white", 1200.0), ("blue", 600.0)), cuts=30))
    minutes = {line.work: line.minutes for line in made.time}
    assert minutes["closing-binding"] == pytest.approx(280 / 16 * 10)
    assert minutes["quilting"] == pytest.approx(90)
    assert minutes["cutting"] == pytest.approx(10)


def test_each_colour_of_thread_has_its_own_line_and_no_estimate_is_made_when_paths_are_known():
    made = plan(top=TopFacts(paths=(("white", 1200.0), ("blue", 600.0))))
    assert [line.colour for line in made.thread.lines] == ["white", "blue"]
    assert made.thread.lines[0].needle == pytest.approx(2 * made.thread.lines[1].needle)
    assert not made.thread.estimated
    assert not any("estimate" in line for line in say_notices(made.assumptions))
    assert any("estimate" in line for line in say_notices(plan().assumptions))


def test_a_gap_over_the_limit_of_the_batting_is_a_warning():
    assert plan(top=TopFacts(gap=7.9)).warnings == ()
    (warning,) = plan(top=TopFacts(gap=8.1)).warnings
    assert (warning.kind, warning["gap"], warning["limit"]) == ("gap-over-limit", 8.1, 8.0)


def test_pins_and_needles_are_counted_and_goods_for_sale_have_their_caution():
    assert any("local rules" in line for line in say_notices(plan(for_sale=True).cautions))
    assert not any("local rules" in line for line in say_notices(plan().cautions))
    assert all(
        any("needles and pins" in line for line in say_notices(made.cautions)) for made in (plan(), plan(36.0, 45.0))
    )


def test_the_sleeve_is_two_inches_shorter_than_the_quilt_and_cut_from_an_offcut_where_one_serves():
    assert plan(50.0, 60.0).sleeve.finished == (48.0, 4.0)
    served = plan(60.0, 80.0).sleeve
    assert served.offcut == (11.0, 88.0)
    assert served.cloth == 0.0
    assert plan(sleeve=False).sleeve is None


def test_the_label_leaves_the_makers_line_blank_and_carries_the_date():
    lines = write_label(plan(date="May 2026", top=TopFacts(title="Lamplight")))
    assert lines[0] == "Lamplight"
    assert "Made by: ____________________" in lines
    assert "Date: May 2026" in lines


def test_washed_size_takes_draw_in_and_then_the_shrinkage_of_each_direction():
    made = plan(100.0, 50.0, draw_in=0.02, wash_width=0.05, wash_height=0.08, bleeding=("Brick lane",))
    assert made.care.washed == pytest.approx((100 * 0.98 * 0.95, 50 * 0.98 * 0.92))
    assert any("Brick lane" in line for line in write_care(made))


def test_metric_quilts_buy_whole_tenths_of_a_metre():
    made = plan(top=TopFacts(system="metric", allowance=0.75 / 2.54, step=0.1 / 2.54))
    bought = made.backing.chosen.bought * 2.54
    assert bought == pytest.approx(round(bought / 10) * 10)
    assert all(purchase.unit in ("m", "piece") for purchase in made.cost.purchases)


@pytest.mark.parametrize("name", sorted(PARTS | ABOVE_ZERO))
def test_every_key_that_is_classed_is_a_wish(name):
    assert hasattr(FinishingWishes(), name)


# Impossible wishes


def test_a_binding_wider_than_its_strip_allows_is_refused_with_the_widest_that_it_does():
    refuse("2½", "2¼", "at most", "21\N{FRACTION SLASH}64", binding_cut=2.25, binding_finished=0.375)
    assert plan(binding_cut=2.25, binding_finished=21 / 64).binding.cut == 2.25


def test_a_strip_too_narrow_for_any_binding_is_refused_without_a_false_remedy():
    assert "at most" not in refuse("Cut strips 1¾", binding_cut=0.2, binding_finished=0.25)


@pytest.mark.parametrize(
    ("wish", "value"),
    [
        ("overhang_sides", -1.0), ("overhang_ends", -0.5), ("backing_allowance", -0.5), ("wash_width", 0.5),
        ("stitch_length", 0.0), ("hand_speed", 0.0), ("bobbin_length", 0.0), ("binding_finished", 0.0),
        ("backing_width", 0.0), ("quilting_speed", float("nan")), ("margin", float("inf")), ("prewash", 0.9),
    ],
)  # fmt: skip
def test_a_wish_that_cannot_be_is_refused_by_its_name(wish, value):
    refuse(f"`{wish}`", **{wish: value})


def test_quilting_farther_apart_than_the_batting_allows_is_refused():
    refuse("4", "3", "quilt closer", quilting_spacing=4.0, batting_limit=3.0)


def test_no_length_for_closing_is_refused():
    refuse("binding_extra", "corners", binding_extra=1.0)


def test_a_bias_square_larger_than_the_cloth_names_the_other_way():
    text = refuse("bias lengths", binding_grain="bias square", size=(160.0, 160.0))
    assert "40" in text


def test_a_border_wider_than_the_cloth_and_one_wider_than_the_top_are_refused():
    refuse("border 1", "wider cloth", top=TopFacts(borders=(40.0,)), size=(200.0, 200.0))
    refuse("border 1", "frame", top=TopFacts(borders=(31.0,)))


def test_a_sleeve_longer_than_a_small_quilt_is_refused():
    refuse("sleeve", "sleeve = false", size=(2.0, 10.0))


def test_a_batting_that_no_package_holds_names_the_largest_and_the_roll():
    with pytest.raises(NoPlanError, match=r"king.*roll"):
        finishing_plan(120.0, 130.0, FinishingWishes(batting="package"))


def test_a_way_that_does_not_serve_says_why():
    refuse("one and a half", backing="diagonal", size=(90.0, 100.0))
    refuse("on hand", backing="on hand")
    refuse("on its side", backing="crosswise", backing_one_way=True)
    refuse("no wide cloth", backing="wide", wide_width=None)


def test_backing_seams_wider_than_the_cloth_are_refused():
    refuse("join takes", backing_allowance=21.0, wide_width=None)


def test_a_test_piece_with_less_thread_than_seam_is_refused():
    refuse("test piece", thread="test", thread_test=(10.0, 9.0, 12.0))
    refuse("thread_test", thread="test")


@pytest.mark.parametrize("size", [(0.0, 10.0), (10.0, -1.0), (501.0, 10.0), (float("nan"), 10.0)])
def test_an_impossible_size_is_refused(size):
    refuse("the quilt is", size=size)
