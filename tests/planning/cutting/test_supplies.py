"""What cloth is on hand: repeats, naps, dye lots, fat eighths, remnants, shrinkage; pieces longer than it is wide."""

from collections import Counter
from dataclasses import replace

import pytest
from cut_lists import make_list
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import cases

from kit.checks.cutting_check import check_cutting_plan
from kit.geometry.outlines import make_rectangle, move_outline
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.output.words.notice_words import say_notices
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list

FEW = settings(max_examples=30)


def plan(cuts, *supplies, **options):
    """Return the checked plan of a cut list from yardage of given properties, or from given supplies."""
    found = cutting_plan(cuts, supplies or [Supply("patch", **options)])
    check_cutting_plan(cuts, found)
    return found


def mitred(width, height, border):
    """Return the cut list of a plain top in a mitred border."""
    left, bottom, right, top = -border, -border, width + border, height + border
    inner = ((0, 0), (width, 0), (width, height), (0, height))
    outer = ((left, bottom), (right, bottom), (right, top), (left, top))
    sides = [(outer[i], outer[(i + 1) % 4], inner[(i + 1) % 4], inner[i]) for i in range(4)]
    return cut_list(patchwork_from_outlines([inner, *sides], ["middle", *["border"] * 4]))


# Prints


@pytest.mark.parametrize(("way", "squares"), [({}, 10), ({"one_way": True}, 10), ({"nap": True}, 20)])
def test_a_nap_leaves_one_triangle_a_square(way, squares):
    # The other triangle of a square lies turned by half; common practice, no source.
    halves = [((0, 0), (3, 0), (0, 3)), ((3, 0), (3, 3), (0, 3))]
    outlines = [move_outline(half, 3 * i, 0) for i in range(20) for half in halves]
    cuts = cut_list(patchwork_from_outlines(outlines, ["light", "dark"] * 20))
    light = replace(cuts, pieces=tuple(piece for piece in cuts.pieces if piece.slot == "light"))
    found = plan(light, Supply("light", **way))
    assert sum(len(strip.cuts) for cloth in found.cloths for strip in cloth.strips) == squares


@pytest.mark.parametrize(
    ("lying", "standing", "way", "cloth"),
    [
        (0, 16, {}, 16.5),  # 16 of 2 1/2 in stand side by side in 40 in
        (0, 16, {"one_way": True}, 16.5),
        (16, 0, {}, 16.5),
        (16, 0, {"one_way": True}, 20.0),  # 2 of 16 1/2 in lie along 40 in: 8 strips of 2 1/2 in
        (8, 8, {}, 16.5),
        (8, 8, {"one_way": True}, 19.0),  # 8 stand in 20 in of 16 1/2, six lie beside them, two in one strip more
        (8, 8, {"nap": True}, 19.0),
    ],
)
def test_sashes_of_a_one_way_print_are_cut_lying_and_standing_as_in_the_top(lying, standing, way, cloth):
    outlines = [make_rectangle(16, 2 * i, 16, 2) for i in range(lying)]
    outlines += [make_rectangle(32 + 2 * i, 0, 2, 16) for i in range(standing)]
    found = plan(cut_list(patchwork_from_outlines(outlines)), **way)
    assert found.cloth["patch"] == cloth
    cuts = [cut for strip in found.cloths[0].strips for cut in strip.cuts]
    if way:
        assert sum(cut.count for cut in cuts if cut.width > cut.height) == lying


@pytest.mark.parametrize(("one", "other"), [(10, 10), (7, 3), (1, 12), (5, 0)])
@pytest.mark.parametrize(("way", "share"), [("one_way", 2), ("nap", 1)])
def test_triangles_of_both_diagonals_come_from_squares_cut_on_both(one, other, way, share):
    # In plain cloth an odd one of each diagonal shares a square; derived.
    up, down = ((0, 0), (3, 0), (3, 3)), ((0, 0), (3, 0), (0, 3))
    rest = {up: ((0, 0), (3, 3), (0, 3)), down: ((3, 0), (3, 3), (0, 3))}
    halves = [up] * one + [down] * other
    outlines = [move_outline(half, 3 * i, 0) for i, first in enumerate(halves) for half in (first, rest[first])]
    cuts = cut_list(patchwork_from_outlines(outlines, ["light", "dark"] * len(halves)))
    light = replace(cuts, pieces=tuple(piece for piece in cuts.pieces if piece.slot == "light"))
    found = plan(light, Supply("light", **{way: True}))
    squares = sum(len(strip.cuts) for strip in found.cloths[0].strips)
    assert squares == -(-one // share) + -(-other // share)


def test_of_pieces_whose_directions_nobody_knows_any_number_can_be_planned():
    cuts = cut_list(patchwork_from_outlines([make_rectangle(0, 0, 2, 6)]))
    many = replace(cuts, pieces=(replace(cuts.pieces[0], count=30),))
    found = plan(many, Supply("patch", "remnant", 10, 10, one_way=True), Supply("patch", one_way=True))
    assert [sum(cut.count for strip in cloth.strips for cut in strip.cuts) for cloth in found.cloths] == [4, 26]


@FEW
@given(cases(), st.sampled_from(["one_way", "nap"]))
def test_every_design_can_be_cut_from_a_one_way_print_and_takes_no_less(case, way):
    cuts = cut_list(case.build())
    found = plan(cuts, *[Supply(slot, width=108, **{way: True}) for slot in cuts.slots])
    assert not found.short
    plain = plan(cuts, *[Supply(slot, width=108) for slot in cuts.slots])
    assert all(found.cloth[slot] >= plain.cloth[slot] - 1e-9 for slot in cuts.slots)


# Pre-cuts and what is on hand


@pytest.mark.parametrize("side", [1.5, 2.0, 2.5, 3.0, 3.5, 4.5, 5.0])
@pytest.mark.parametrize(("form", "high"), [("fat quarter", 18), ("fat eighth", 9)])
def test_squares_of_a_fat_quarter_and_a_fat_eighth_are_counted_by_whole_rows(form, high, side):
    # Half the usable width of 40 in by 18 and by 9 in; common practice, no source.
    each = int(20 // side) * int(high // side)
    supply = Supply("patch", form, 40)
    assert plan(make_list([(side, side, each)]), supply).cloth["patch"] == 1
    assert plan(make_list([(side, side, each + 1)]), supply).cloth["patch"] == 2


@pytest.mark.parametrize(("wide", "long", "gives"), [(9.0, 22.0, 24), (7.0, 7.0, 4), (2.5, 40.0, 16), (2.0, 40.0, 0)])
def test_a_remnant_is_enough_or_what_is_missing_is_said(wide, long, gives):
    found = plan(make_list([(2.5, 2.5, 30)]), Supply("patch", "remnant", wide, long, 1))
    missing = sum(count for cloth in found.cloths for count in cloth.short.values())
    assert missing == 30 - gives
    assert found.short["patch"] == f"patch: {missing} of A1"
    enough = plan(make_list([(2.5, 2.5, max(1, gives))]), Supply("patch", "remnant", wide, long, 1))
    assert bool(enough.short) == (gives == 0)


def test_one_remnant_is_used_after_another_and_cloth_is_bought_for_the_rest():
    first, second = Supply("patch", "remnant", 5.0, 10.0, 1), Supply("patch", "remnant", 2.5, 40.0, 1)
    found = plan(make_list([(2.5, 2.5, 30)]), first, second, Supply("patch"))
    cut = [sum(cut.count for strip in cloth.strips for cut in strip.cuts) for cloth in found.cloths]
    assert cut == [8, 16, 6]
    assert not found.short


# Dye lots


def test_pieces_of_one_kind_come_from_one_dye_lot_where_one_is_enough():
    # 24 large squares do not fit the first lot, so none of them is cut from it; the small ones do.
    cuts = make_list([(4.5, 4.5, 24), (2.5, 2.5, 16)])
    first = Supply("patch", "yardage", 40, length=12, lot="A")
    second = Supply("patch", "yardage", 40, length=60, lot="B")
    found = plan(cuts, first, second)
    lots = {}
    for cloth in found.cloths:
        for strip in cloth.strips:
            for cut in strip.cuts:
                lots.setdefault(cut.piece, set()).add(cloth.supply.lot)
    assert lots == {"A1": {"B"}, "A2": {"A"}}
    assert not found.short


def test_without_lots_the_first_cloth_is_used_up():
    cuts = make_list([(4.5, 4.5, 24)])
    found = plan(cuts, Supply("patch", "yardage", 40, length=12), Supply("patch", "yardage", 40, length=60))
    cut = Counter({i: sum(c.count for s in cloth.strips for c in s.cuts) for i, cloth in enumerate(found.cloths)})
    assert cut == {0: 16, 1: 8}


# Washing


@pytest.mark.parametrize(("shrinkage", "across"), [(0.0, 16), (0.01, 15), (0.03, 15), (0.07, 14)])
def test_what_shrinks_is_narrower_and_is_bought_longer(shrinkage, across):
    found = plan(make_list([(2.5, 2.5, 100)]), shrinkage=shrinkage, washed=shrinkage > 0)
    (cloth,) = found.cloths
    assert cloth.used == -(-100 // across) * 2.5
    assert cloth.as_bought * (1 - shrinkage) == pytest.approx(cloth.used + 1.0)


@pytest.mark.parametrize(("one", "other", "warned"), [(True, False, True), (True, True, False), (None, True, False)])
def test_washed_and_unwashed_cloth_in_one_top_is_warned_of(one, other, warned):
    outlines = [make_rectangle(0, 0, 2, 2), make_rectangle(2, 0, 2, 2)]
    cuts = cut_list(patchwork_from_outlines(outlines, ["light", "dark"]))
    found = plan(cuts, Supply("light", washed=one), Supply("dark", washed=other))
    assert any("shrink" in warning for warning in say_notices(found.warnings)) == warned


# Pieces longer than the cloth is wide


def test_a_mitred_border_longer_than_the_cloth_is_joined():
    # 4 in round 60 x 50: the long sides are 69 1/4 and 59 1/4 in to the ruler, with half an inch lost at each join.
    # Two of 69 1/4 take 3 strips of 40 in and 20 in; two of 59 1/4 take 2 and 39 1/2: seven strips of 4 1/2 in.
    found = plan(mitred(60, 50, 4), Supply("middle", width=108), Supply("border"))
    (border,) = [cloth for cloth in found.cloths if cloth.supply.slot == "border"]
    assert found.cloth["border"] == 7 * 4.5
    assert not found.short
    parts = Counter()
    for strip in border.strips:
        for cut in strip.cuts:
            assert cut.joined
            parts[cut.piece] += cut.width
    assert parts == {"B1": 2 * 69.25 + 3 * 0.5, "B2": 2 * 59.25 + 2 * 0.5}


def test_a_wide_mitred_border_is_cut_along_the_cloth_where_that_takes_less():
    # Four of 58 1/4 in to the ruler by 9 1/2 in lie side by side in 40 in; joined they would take 6 strips,
    # 57 in, with a seam 2 in from an end; 7 strips, 66 1/2 in, keep seams off. Four of 57 1/4 in take 6 strips, 57 in.
    found = plan(mitred(39, 39, 9), Supply("middle", width=108), Supply("border"))
    assert found.cloth["border"] == 58.25
    found = plan(mitred(38, 38, 9), Supply("middle", width=108), Supply("border"))
    assert found.cloth["border"] == 57
    found = plan(mitred(36, 36, 9), Supply("middle", width=108), Supply("border"))
    assert found.cloth["border"] == 55.25
    (border,) = [cloth for cloth in found.cloths if cloth.supply.slot == "border"]
    assert all(strip.lengthwise for strip in border.strips)


@FEW
@given(st.integers(30, 90), st.integers(30, 90), st.integers(8, 40), st.sampled_from(["yardage", "strips"]))
def test_every_mitred_border_can_be_cut(width, height, border, form):
    cloth = Supply("border") if form == "yardage" else Supply("border", "strips", border / 4 + 0.5, 40)
    found = plan(mitred(width, height, border / 4), Supply("middle", width=108), cloth)
    assert not found.short
