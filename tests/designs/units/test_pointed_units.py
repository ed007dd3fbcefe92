"""Pointed braids and untrimmed string panels as units of a larger whole."""

import pytest
import shapely
from strategies import Case

from kit.errors import PatchworkError
from kit.geometry.outlines import measure_box
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ARM = {
    "family": "braid", "pairs": 6, "strip_cut": "2 1/2 in", "column_finished": "8 in", "accents": "left",
    "accent_by": "added", "ends": "pointed",
}  # fmt: skip
"""A braid that finishes 8 in wide; both edges of its end are 8/√2 = 5.657 in long."""
PANEL = {"family": "string panels", "panel_finished": "9 in", "strips_cut": ["2 in", "1 1/2 in"], "ends": "slanted"}
"""A parallelogram of strips: 9 in along them, 3 1/2 in high."""


def build(units, **keys):
    return Case({"family": "units", **keys, "unit": units}, "1/4 in").build().verify()


def rehearse_top(patchwork):
    cuts = cut_list(patchwork)
    result = rehearse(cuts, sewing_plan(patchwork, cuts))
    assert result.agrees, result.differences


def list_units(patchwork):
    return {unit.name: unit.copies for unit in patchwork.units.list_all()}


def test_triangles_sewn_to_both_edges_of_the_end_make_a_pointed_braid_a_rectangle_again():
    # The point lies 4 in above the upper ends of the sides; a square of 4 in cut once fills each corner.
    corner = {"patch": "right triangle", "short_1_finished": "4 in", "short_2_finished": "4 in", "slot": "sky"}
    joined = {"join": ["arm", "corner.long to arm.end 1", "corner.long to arm.end 2"]}
    patchwork = build({"arm": ARM, "corner": corner, "whole": joined})
    left, low, right, high = measure_box(point for patch in patchwork.patches for point in patch.outline)
    assert patchwork.area == pytest.approx((right - left) * (high - low))
    assert right - left == pytest.approx(8)
    rehearse_top(patchwork)


@pytest.mark.parametrize("start", ["triangle", "square"])
def test_four_pointed_braids_meet_in_a_centre_and_are_one_unit_made_four_times(start):
    patchwork = build({"arm": ARM | {"start": start}, "whole": {"around": "arm", "times": 4, "corner": 4}})
    assert list_units(patchwork)["arm"] == 4
    rehearse_top(patchwork)


@pytest.mark.parametrize("edge", ["left", "right", "start 1", "start 2", "end 1", "end 2"])
def test_the_edges_of_a_braid_that_is_pointed_at_both_ends_have_names(edge):
    units = {"arm": ARM | {"start": "square"}, "sail": {"patch": "square", "side_finished": f"arm.{edge}"}}
    patchwork = build(units | {"whole": {"join": ["arm", f"sail.left to arm.{edge}"]}})
    sail = next(patch.outline for patch in patchwork.patches if patch.group == ())
    arm = shapely.union_all([shapely.Polygon(p.outline).buffer(1e-6) for p in patchwork.patches if p.group])
    assert shapely.Polygon(sail).intersection(arm).area < 1e-3
    rehearse_top(patchwork)


def test_a_pointed_braid_in_rows_is_refused():
    with pytest.raises(PatchworkError, match="arm"):
        build({"arm": ARM, "whole": {"rows": ["arm arm"]}})


def test_parallelograms_of_strings_join_along_their_slanted_edges_and_mirrored_make_a_chevron():
    joined = {"join": ["strings", "strings(mirror).edge 2 to strings.edge 2"]}
    patchwork = build({"strings": PANEL, "whole": joined})
    assert list_units(patchwork)["strings"] == 2
    assert patchwork.area == pytest.approx(2 * 9 * 3.5)
    rehearse_top(patchwork)
