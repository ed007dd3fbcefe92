"""String panels that are left untrimmed: what their strips make as they are sewn."""

import pytest
import shapely
from strategies import Case

from kit.errors import PatchworkError
from kit.geometry.outlines import measure_angles, measure_area, measure_box
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ENDS = ("square", "slanted")


def panel(ends, **keys):
    """Return one panel of strips that finish 1 1/2 in in the middle, then 1 in, then 2 in, each 9 in long."""
    plain = {"family": "string panels", "columns": 1, "rows": 1, "panel_finished": "9 in", "ends": ends}
    return Case(plain | {"strips_cut": ["2 in", "1 1/2 in", "2 1/2 in"]} | keys, "1/4 in")


@pytest.mark.parametrize("ends", ENDS)
def test_each_strip_of_the_list_lies_once_the_first_in_the_middle_and_the_others_on_both_sides(ends):
    patchwork = panel(ends).build().verify()
    levels = sorted(measure_box(patch.outline)[1::2] for patch in patchwork.patches)
    assert levels == [pytest.approx(level) for level in ((0, 2), (2, 3), (3, 4.5), (4.5, 5.5), (5.5, 7.5))]
    slots = {measure_box(p.outline)[1]: p.slot for p in patchwork.patches}
    assert [slots[y] for y in sorted(slots)] == ["string", "string", "middle", "string", "string"]


@pytest.mark.parametrize("ends", ENDS)
def test_nothing_of_an_untrimmed_panel_falls_off(ends):
    patchwork = panel(ends).build()
    assert not patchwork.trims
    assert all(patch.sewn is None for patch in patchwork.patches)
    assert patchwork.area == pytest.approx(9 * 7.5)


def test_strips_cut_square_are_cut_to_one_length_and_make_a_rectangle():
    case = panel("square")
    assert case.build().finished == pytest.approx((9, 7.5))
    assert case.family.make_block(0.25).outline is None
    assert {max(piece.cut.values()) for piece in cut_list(case.build()).pieces} == {9.5}


def test_strips_cut_at_45_degrees_make_a_parallelogram_each_shifted_by_what_lies_below_it():
    case = panel("slanted")
    block = case.family.make_block(0.25)
    assert sorted(round(angle, 6) for angle in measure_angles(block.outline)) == [45, 45, 135, 135]
    assert (block.width, block.height) == pytest.approx((9 + 7.5, 7.5))
    for shape in block.shapes:
        left, low, right, high = measure_box(shape.outline)
        assert left == pytest.approx(low)
        assert right - left == pytest.approx(9 + high - low)
        assert measure_area(shape.outline) == pytest.approx(9 * (high - low))
    whole = shapely.union_all([shapely.Polygon(shape.outline) for shape in block.shapes])
    assert whole.symmetric_difference(shapely.Polygon(block.outline)).area < 1e-6


@pytest.mark.parametrize("ends", ENDS)
def test_untrimmed_panels_are_sewn_as_designed(ends):
    patchwork = panel(ends).build().verify()
    cuts = cut_list(patchwork)
    result = rehearse(cuts, sewing_plan(patchwork, cuts))
    assert result.agrees, result.differences


def test_rectangles_of_strips_lie_in_a_setting_and_parallelograms_are_refused_there():
    keys = {"columns": 2, "rows": 3, "turns": ["0"], "sashing": {"finished": "1 in"}}
    assert panel("square", **keys).build().verify().finished == pytest.approx((19, 24.5))
    with pytest.raises(PatchworkError, match="not a rectangle") as caught:
        panel("slanted", **keys).build()
    assert "columns = 1 and rows = 1" in caught.value.do


def test_a_single_strip_may_be_a_panel():
    assert panel("slanted", strips_cut=["3 in"]).build().verify().finished == pytest.approx((11.5, 2.5))
