"""Frames: pieced ones fit both ways, spacers are the narrowest that do, and bars stand between columns."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import Case

from kit.designs.spacers import count_units, list_unit_lengths, solve_spacer
from kit.errors import PatchworkError
from kit.geometry.outlines import measure_box
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

EIGHTHS = st.integers(8, 400).map(lambda n: n / 8)
UNITS = st.integers(4, 48).map(lambda n: n / 8)


def build(width, height, *borders, **keys):
    """Return a plain top of so many inches with frames round it."""
    cell = {"cell_finished": f"{width} in"}
    if width != height:
        cell = {"cell_finished": "1 in", "column_widths": [width], "row_heights": [height]}
    design = {"family": "grid blocks", "columns": 1, "rows": 1, "pattern": ["tide"], "border": list(borders)} | cell
    return Case(design | keys, "1/4 in").build().verify()


def sizes(patchwork, name):
    """Return the widths and heights of the patches of a name."""
    boxes = [measure_box(patch.outline) for patch in patchwork.patches if patch.name == name]
    return Counter((round(right - left, 4), round(top - bottom, 4)) for left, bottom, right, top in boxes)


# The solver


@given(EIGHTHS, EIGHTHS, UNITS, st.sampled_from([0.5, 0.75, 1.5]), st.booleans())
def test_with_its_spacer_the_unit_fits_both_ways(width, height, unit, least, even):
    spacer = solve_spacer(width, height, unit, least, even=even)
    assert spacer.across * unit == pytest.approx(width + 2 * spacer.sides)
    assert spacer.down * unit == pytest.approx(height + 2 * spacer.ends)
    assert not even or (spacer.across % 2 == spacer.down % 2 == 0)
    for strip in (spacer.sides, spacer.ends):
        assert strip == 0 or strip >= least - 1e-9


@given(EIGHTHS, EIGHTHS, UNITS, st.sampled_from([0.5, 0.75, 1.5]))
def test_no_narrower_spacer_fits_found_by_trying_every_sixteenth(width, height, unit, least):
    spacer = solve_spacer(width, height, unit, least)
    if spacer.sides == spacer.ends != 0:
        tried = [n / 16 for n in range(round(least * 16), round(spacer.sides * 16))]
        assert not any(count_units(width + 2 * a, unit) and count_units(height + 2 * a, unit) for a in tried)
    else:
        for length, strip in ((width, spacer.sides), (height, spacer.ends)):
            tried = [n / 16 for n in range(round(least * 16), round(strip * 16))] if strip else []
            assert not any(count_units(length + 2 * a, unit) for a in tried)
            assert strip or count_units(length, unit)


def test_units_are_listed_with_the_narrowest_spacer_first_and_lie_on_the_ruler():
    found = list_unit_lengths(20, 25, 2, 4)
    widest = [max(spacer.sides, spacer.ends) for _, spacer in found]
    assert widest == sorted(widest)
    assert {unit * 8 for unit, _ in found} == set(range(16, 33))
    assert found[0][0] == 2.5


# Frames as they are sewn


@pytest.mark.parametrize("pieces", ["squares", "half squares", "geese", "teeth"])
def test_a_pieced_frame_with_its_spacer_is_sewn_as_designed(pieces):
    patchwork = build(20, 25, {"finished": "3 in", "pieces": pieces, "unit_finished": "3 in", "fit": "spacer"})
    assert patchwork.finished == pytest.approx((20 + 2 * 0.5 + 6, 25 + 2 * 1 + 6))
    assert sizes(patchwork, "spacer") == {(0.5, 25): 2, (21, 1): 2}
    units = {"squares": "frame square", "half squares": "frame half square", "geese": "frame goose"}
    counted = sum(patch.name == units.get(pieces, "frame tooth") for patch in patchwork.patches)
    assert counted == (2 if pieces == "half squares" else 1) * 2 * (7 + 9)
    assert sizes(patchwork, "frame cornerstone") == {(3, 3): 4}
    assert rehearse(cut_list(patchwork), sewing_plan(patchwork)).agrees


def test_units_that_do_not_divide_a_side_are_refused_with_the_spacer_that_would_do():
    with pytest.raises(PatchworkError, match=r"20.in is not a whole number of.*½.in at the sides and 1.in at the ends"):
        build(20, 25, {"finished": "3 in", "pieces": "squares"})


def test_stretched_units_fill_the_sides_without_a_spacer():
    patchwork = build(20, 25, {"finished": "3 in", "pieces": "squares", "fit": "stretch"})
    assert patchwork.finished == pytest.approx((26, 31))
    assert sizes(patchwork, "spacer") == {}
    assert sizes(patchwork, "frame square") == {(round(20 / 7, 4), 3): 14, (3, 3.125): 16}


def test_the_next_frame_fits_what_the_last_one_leaves():
    first = {"finished": "2 in", "pieces": "half squares", "fit": "spacer"}
    second = {"finished": "3 in", "pieces": "teeth", "fit": "spacer"}
    patchwork = build(12, 17, {"finished": "1 1/2 in"}, first, second)
    inner = solve_spacer(15, 20, 2, 0.5)
    middle = (15 + 2 * inner.sides + 4, 20 + 2 * inner.ends + 4)
    outer = solve_spacer(*middle, 6, 0.5)
    wanted = (middle[0] + 2 * outer.sides + 6, middle[1] + 2 * outer.ends + 6)
    assert patchwork.finished == pytest.approx(wanted)
    assert rehearse(cut_list(patchwork), sewing_plan(patchwork)).agrees


@pytest.mark.parametrize(
    ("border", "said"),
    [
        ({"finished": "2 in", "fit": "spacer"}, "`design.border.fit` is set for a plain border"),
        ({"finished": "2 in", "unit_finished": "2 in"}, "`design.border.unit_finished` is set for a plain border"),
        ({"finished": "2 in", "pieces": "geese", "corners": "mitred"}, "for a pieced frame"),
        ({"finished": "3/4 in", "pieces": "geese"}, "`design.border.unit_finished` is 0.375 in"),
        ({"finished": "2 in", "pieces": "squares", "fit": "spacer", "spacer_least": "1/8 in"}, "spacer_least"),
    ],
)
def test_keys_of_a_frame_that_contradict_one_another_are_refused(border, said):
    with pytest.raises(PatchworkError) as caught:
        build(20, 25, border)
    assert said in str(caught.value)
    assert caught.value.do


@pytest.mark.parametrize(
    ("corners", "wanted"),
    [
        ("butted", {(2, 25): 2, (24, 2): 2}),
        ("mitred", {(2, 29): 2, (24, 2): 2}),
        ("cornerstones", {(2, 25): 2, (20, 2): 2}),
        ("turned", {(2, 27): 2, (22, 2): 2}),
    ],
)
def test_the_strips_of_a_plain_border_are_as_long_as_its_corners_make_them(corners, wanted):
    patchwork = build(20, 25, {"finished": "2 in", "corners": corners})
    found = sizes(patchwork, "frame" if corners == "turned" else "border")
    assert found == wanted
    assert sewing_plan(patchwork).partial_seams == (1 if corners == "turned" else 0)


# Bars


def test_bars_stand_between_columns_and_drops_add_up():
    bars = {"finished": "2 in", "drops": ["whole", "3 in", "1 in"]}
    patchwork = build(6, 6, columns=3, rows=4, bars=bars)
    assert patchwork.finished == (3 * 6 + 4 * 2, 24)
    assert sizes(patchwork, "bar") == {(2, 24): 4}
    assert sizes(patchwork, "part") == {(6, 3): 2, (6, 1): 1, (6, 5): 1}
    assert sum(patch.slot == "tide" for patch in patchwork.patches) == 4 + 3 + 3
    assert rehearse(cut_list(patchwork), sewing_plan(patchwork)).agrees


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"bars": {"finished": "2 in", "drops": ["6 in"]}}, "`design.bars.drops` holds 6"),
        ({"bars": {"finished": "1/4 in"}}, "`design.bars.finished` is 0.25 in"),
        ({"bars": {"finished": "2 in"}, "offset": {"shifts": ["1 in"]}}, "`design.offset` beside `design.bars`"),
        ({"bars": {"finished": "2 in"}, "sashing": {"finished": "1 in"}}, "`design.sashing` beside `design.bars`"),
        ({"bars": {"finished": "2 in", "drops": ["1 in"]}, "on_point": {}}, "beside `design.on_point`"),
    ],
)
def test_bars_that_cannot_be_are_refused(keys, said):
    with pytest.raises(PatchworkError) as caught:
        build(6, 6, columns=2, rows=2, **keys)
    assert said in str(caught.value)
    assert caught.value.do


# Units of a frame


def list_units(patchwork):
    """Return how many copies there are of each unit, and how many of them are mirror images."""
    return {unit.name: (unit.copies, unit.mirrored) for unit in patchwork.units.list_all()}


@pytest.mark.parametrize("running", ["round", "mirrored"])
@pytest.mark.parametrize(
    ("pieces", "unit"), [("half squares", "half-square unit"), ("geese", "goose unit"), ("teeth", "tooth unit")]
)
def test_round_a_square_the_four_sides_are_one_unit_made_of_one_unit(pieces, unit, running):
    # Teeth come in an even number of units to a side; 12 in hold four units of 3 in either way.
    keys = {"finished": "3 in", "pieces": pieces, "unit_finished": "3 in", "running": running}
    found = list_units(build(12, 12, keys))
    assert found["frame side"] == (4, 0)
    assert found["frame side with corners"] == (2, 0)
    assert sum(found[f"frame {unit}"]) == 16


def test_a_frame_of_squares_has_sides_and_its_squares_are_plain_patches():
    found = list_units(build(12, 12, {"finished": "3 in", "pieces": "squares"}, {"finished": "2 in"}))
    assert found == {"block": (1, 0), "frame side": (4, 0), "frame side with corners": (2, 0), "top": (1, 0)}


def test_round_a_rectangle_two_sides_are_one_unit_and_two_another():
    found = list_units(build(12, 18, {"finished": "3 in", "pieces": "geese", "unit_finished": "3 in"}))
    assert (found["frame side A"], found["frame side B"]) == ((2, 0), (2, 0))
    assert found["frame goose unit"] == (20, 0)


@pytest.mark.parametrize(("pieces", "height"), [("half squares", 12), ("geese", 18), ("teeth", 18)])
def test_each_unit_of_a_frame_is_made_in_one_way_in_the_order_of_sewing(pieces, height):
    patchwork = build(12, height, {"finished": "3 in", "pieces": pieces, "unit_finished": "3 in"})
    plan = sewing_plan(patchwork, cut_list(patchwork))
    made = {unit.name: unit.count for unit in plan.units}
    units = {unit.name: unit.copies for unit in patchwork.units.list_all() if unit.name.startswith("frame")}
    assert {name: made[name] for name in units} == units
