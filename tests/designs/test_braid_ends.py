"""Braids whose accent squares are added to blades that are all alike, and braids whose ends are left pointed."""

from itertools import product
from math import sqrt

import pytest
import shapely
from hypothesis import given, settings
from random_designs import draw_settings, seed_dice
from strategies import Case, cases

from kit.checks.sewing_check import check_sewing_plan
from kit.errors import PatchworkError
from kit.geometry.congruence import compare_outlines
from kit.geometry.outlines import (
    measure_angles,
    measure_area,
    measure_box,
    measure_edges,
    mirror_outline,
    offset_outline,
)
from kit.lengths import read_length
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ROOT2 = sqrt(2)
MANY = settings(max_examples=60)
ONE_SIDE = ("left", "right")


def braid(allowance="1/4 in", **keys):
    plain = {"family": "braid", "columns": 1, "pairs": 7, "column_finished": "8 in"}
    return Case(plain | keys, allowance)


def added(side, **keys):
    return braid(accents=side, accent_by="added", **keys)


def list_blades(patchwork):
    """Return the blades as they are sewn, by side and pair."""
    return {p.id.split("-")[1]: p.sewn or p.outline for p in patchwork.patches if p.name == "blade"}


def rehearse_top(patchwork):
    """Plan, check and rehearse a top from its cut list and steps alone."""
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, plan)
    result = rehearse(cuts, plan)
    assert result.agrees, result.differences
    assert result.finished == pytest.approx(patchwork.finished, abs=1e-4)


# Accents that are added


@MANY
@given(cases("braid", blades="angled", accent_by="added", by_length=False))
def test_before_trimming_all_blades_are_one_shape_in_two_hands(case):
    blades = list_blades(case.build())
    likes = compare_outlines([*blades.values(), *map(mirror_outline, blades.values())])
    assert len({like.shape for like in likes}) == 2
    hands = {name[0]: like.hand for name, like in zip(blades, likes, strict=False)}
    assert set(hands.values()) == {"left", "right"}


@pytest.mark.parametrize(("side", "blades"), product(ONE_SIDE, ("angled", "rectangles")))
def test_seven_pairs_are_fourteen_blades_alike_and_seven_squares_on_one_side(side, blades):
    cuts = cut_list(added(side, blades=blades, ends="pointed").build())
    counted = sorted(
        (piece.name, piece.kind, piece.hand, piece.count) for piece in cuts.pieces if piece.slot != "start"
    )
    if blades == "angled":
        pieces = [("blade", "trapezoid", "left", 7), ("blade", "trapezoid", "right", 7)]
    else:
        pieces = [("blade", "rectangle", None, 14)]
    assert counted == [("accent", "square", None, 7), *pieces]


def test_the_blades_that_no_square_is_sewn_to_are_cut_as_those_that_have_one():
    # Strips finish at 2 in, the column at 8 in: a blade with or without its square reaches 8/√2 = 5.657 in along its
    # longer finished side. Cut, that side has an allowance and √2 allowances and one more for the slant.
    pieces = [p for p in cut_list(added("left").build()).pieces if p.name == "blade"]
    assert {round(p.cut["long side"], 3) for p in pieces} == {round(8 / ROOT2 + 0.25 + 0.25 * (1 + ROOT2), 3)}


@pytest.mark.parametrize("side", ONE_SIDE)
def test_the_blades_of_a_pair_end_level_on_both_sides_of_the_column(side):
    blades = list_blades(added(side, pairs=9).build())
    for pair in range(2, 9):
        left, right = blades[f"L{pair:03d}"], blades[f"R{pair:03d}"]
        assert measure_box(left)[1] == pytest.approx(measure_box(right)[1])


@pytest.mark.parametrize(("side", "start"), product((*ONE_SIDE, "both"), ("triangle", "square", "open")))
def test_one_pair_more_makes_the_column_longer_by_a_finished_strip_times_root_two(side, start):
    less, more = (added(side, start=start, pairs=n).family.make_block(0.25) for n in (9, 10))
    assert more.height - less.height == pytest.approx(2 * ROOT2)
    assert more.width == less.width == 8.0


@pytest.mark.parametrize("side", ONE_SIDE)
def test_the_middle_of_the_column_moves_by_half_of_half_a_rise_to_below_the_corner(side):
    # Without squares the middle lies s/(2·√2) = 0.7071 in to the right of the corner where the blades begin.
    def measure_from_corner(case):
        start = next(shape for shape in case.family.make_block(0.25).shapes if shape.name == "start square")
        return sum(x for x, _ in start.sewn or start.outline) / 4 - 4.0

    assert measure_from_corner(braid(start="square")) == pytest.approx(-ROOT2 / 2)
    assert measure_from_corner(added(side, start="square")) == pytest.approx(0.0)


def test_squares_added_on_both_sides_give_what_squares_taken_out_on_both_sides_give():
    for start in ("triangle", "square", "open"):
        keys = {"accents": "both", "start": start}
        assert braid(**keys, accent_by="added").build().patches == braid(**keys).build().patches


def test_added_on_the_right_is_the_mirror_image_of_added_on_the_left():
    left, right = (added(side, sides="two slots").build() for side in ONE_SIDE)
    swapped = {p.id.translate(str.maketrans("LR", "RL")): mirror_outline(p.outline, axis=4.0) for p in left.patches}
    for patch in right.patches:
        both = [shapely.Polygon(o) for o in (patch.outline, swapped[patch.id])]
        assert both[0].symmetric_difference(both[1]).area < 1e-6


@MANY
@given(cases("braid", accent_by="added"))
def test_no_cloth_is_missing_where_a_column_with_added_squares_is_cut(case):
    patchwork = case.build().verify()
    for trim in patchwork.trims:
        sewn = [offset_outline(p.sewn or p.outline, case.allowance) for p in patchwork.patches if p.group == trim.group]
        cloth = shapely.union_all([shapely.Polygon(outline).buffer(1e-7, join_style="mitre") for outline in sewn])
        cut = shapely.Polygon(offset_outline(trim.outline, case.allowance))
        assert cut.difference(cloth).area < 1e-5


@pytest.mark.parametrize("side", ONE_SIDE)
def test_rectangles_with_a_square_added_are_no_longer_than_the_column_needs(side):
    # Seams are folded: a strip shows its finished width, 2 in, and at its ends also the allowance.
    patchwork = added(side, blades="rectangles", pairs=12).build()
    shown = []
    for outline in list_blades(patchwork).values():
        ends = [0.25 if abs(length - 2.0) < 1e-6 else 0.0 for length in measure_edges(outline)]
        shown.append(shapely.Polygon(offset_outline(outline, ends)))
    cloth = shapely.union_all(shown).buffer(1e-6)
    low, high = 8.0, patchwork.finished[1] - 8.0
    for outer, inner, further in ((-0.25, 1.0, -0.26), (8.25, 7.0, 8.26)):
        assert cloth.covers(shapely.box(min(outer, inner), low, max(outer, inner), high))
        assert not cloth.covers(shapely.box(min(further, inner), low, max(further, inner), high))


@MANY
@given(cases("braid", accent_by="added"))
def test_braids_with_added_squares_are_sewn_as_designed(case):
    rehearse_top(case.build().verify())


def test_the_narrowest_column_that_a_refusal_asks_for_holds_a_blade_and_its_added_square():
    with pytest.raises(PatchworkError) as caught:
        added("left", column_finished="3 in").build()
    width = caught.value.needed.removeprefix("at least ").split(" so ")[0]
    # 2 in strips: the short side of a blade is W/√2 - 2 in and has to be two allowances long: W = 2.5·√2 = 3.5355 in.
    assert 2.5 * ROOT2 <= read_length(width) < 2.5 * ROOT2 + 0.125
    added("left", column_finished=width).build().verify()


# Ends that are left pointed


def outline_of(case):
    return case.family.make_block(case.allowance).outline


@pytest.mark.parametrize(("start", "angles"), [("triangle", [90, 90, 90, 135, 135]), ("square", [90, 90, *[135] * 4])])
@pytest.mark.parametrize("accents", [{}, {"accents": "left", "accent_by": "added"}])
def test_a_pointed_column_has_a_right_angle_at_its_point_and_another_at_a_starting_square(start, angles, accents):
    assert (
        sorted(round(a, 6) for a in measure_angles(outline_of(braid(start=start, ends="pointed", **accents)))) == angles
    )


@pytest.mark.parametrize(("start", "blades"), product(("triangle", "square", "open"), ("angled", "rectangles")))
def test_the_patches_of_a_pointed_column_fill_its_outline(start, blades):
    block = braid(start=start, blades=blades, ends="pointed").family.make_block(0.25)
    whole = shapely.union_all([shapely.Polygon(shape.outline) for shape in block.shapes])
    assert whole.symmetric_difference(shapely.Polygon(block.outline)).area < 1e-6
    assert sum(measure_area(shape.outline) for shape in block.shapes) == pytest.approx(whole.area)
    assert (block.width, block.height) == pytest.approx(measure_box(block.outline)[2:])


def test_the_end_of_a_pointed_column_worked_out_by_hand():
    # 2 in strips in an 8 in column: the point lies 4 - 1/√2 = 3.2929 in from the left side and 4.7071 in from the
    # right, so the edges of the end are √2 times as long, 4.657 and 6.657 in: they differ by one strip.
    outline = outline_of(braid(ends="pointed"))
    x, top = max(outline, key=lambda point: point[1])
    assert x == pytest.approx(4 - 1 / ROOT2)
    high = {side: max(y for u, y in outline if abs(u - side) < 1e-6) for side in (0.0, 8.0)}
    assert (top - high[0.0]) * ROOT2 == pytest.approx(4.6569, abs=1e-4)
    assert (top - high[8.0]) * ROOT2 == pytest.approx(6.6569, abs=1e-4)


@pytest.mark.parametrize("start", ["triangle", "square", "open"])
def test_one_pair_more_makes_a_pointed_column_longer_by_one_rise(start):
    less, more = (outline_of(braid(start=start, ends="pointed", pairs=n)) for n in (8, 9))
    assert measure_box(more)[3] - measure_box(less)[3] == pytest.approx(2 * ROOT2)
    assert measure_area(more) - measure_area(less) == pytest.approx(8 * 2 * ROOT2)


def test_from_the_corner_of_the_square_to_the_point_a_pair_and_the_square_each_rise_by_root_two_strips():
    assert measure_box(outline_of(braid(start="square", ends="pointed", pairs=7)))[3] == pytest.approx(8 * 2 * ROOT2)


@pytest.mark.parametrize(
    ("blades", "start", "accents", "accent_by"),
    product(
        ("angled", "rectangles"), ("triangle", "square", "open"), ("none", "right", "both"), ("taken out", "added")
    ),
)
def test_pointed_columns_are_sewn_and_trimmed_as_designed(blades, start, accents, accent_by):
    keys = {"blades": blades, "start": start, "accents": accents, "accent_by": accent_by}
    patchwork = braid(ends="pointed", **keys).build().verify()
    rehearse_top(patchwork)
    (trim,) = patchwork.trims
    cloth = [shapely.Polygon(offset_outline(p.sewn or p.outline, 0.25)).buffer(1e-7) for p in patchwork.patches]
    cut = shapely.Polygon(offset_outline(trim.outline, 0.25))
    assert cut.difference(shapely.union_all(cloth)).area < 1e-5


@pytest.mark.parametrize("start", ["square", "open"])
def test_the_number_of_pairs_that_a_pointed_column_asks_for_is_the_least(start):
    with pytest.raises(PatchworkError) as caught:
        braid(pairs=1, start=start, column_finished="20 in", ends="pointed").build()
    asked = int(caught.value.needed.removeprefix("at least ").split()[0])
    braid(pairs=asked, start=start, column_finished="20 in", ends="pointed").build().verify()
    with pytest.raises(PatchworkError, match=f"at least {asked} pairs"):
        braid(pairs=asked - 1, start=start, column_finished="20 in", ends="pointed").build()


def test_a_pointed_column_of_a_given_length_is_refused_with_the_remedy():
    with pytest.raises(PatchworkError) as caught:
        braid(ends="pointed", length_finished="30 in").build()
    assert "`design.length_finished`" in caught.value.found
    assert "`pairs`" in caught.value.do.lower()


@pytest.mark.parametrize(
    "keys",
    [
        {"columns": 2},
        {"border": [{"finished": "2 in"}]},
        *(tables for tables in draw_settings(seed_dice(3), 0.25).values() if tables),
    ],
)
def test_a_pointed_column_in_a_setting_is_refused_with_the_remedy(keys):
    with pytest.raises(PatchworkError) as caught:
        braid(ends="pointed", **keys).build()
    assert any(caught.value.found.startswith(f"`design.{key}`") for key in keys)
    assert "columns = 1" in caught.value.do


def test_a_pointed_column_turned_upside_down_is_trimmed_to_the_outline_turned():
    patchwork = braid(ends="pointed", turns=["180"]).build().verify()
    (trim,) = patchwork.trims
    low = [point for point in trim.outline if abs(point[1]) < 1e-6]
    assert low == [pytest.approx((8 - (4 - 1 / ROOT2), 0.0), abs=1e-6)]
    rehearse_top(patchwork)
