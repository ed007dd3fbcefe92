"""Sewing plans: units as a maker would make them, partial and set-in seams where they must be, and none elsewhere."""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from strategies import cases
from subdivisions import (
    butted_frame,
    draw_subdivision,
    eight_pointed_star,
    half_square_star,
    hexagon_flower,
    mirror,
    tumbling_block,
    whirl,
)

from kit.checks.sewing_check import check_sewing_plan
from kit.designs import FAMILIES
from kit.geometry.outlines import make_rectangle, measure_area, measure_box
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.seams import build_seams, find_straight_seams
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.planning.sewing.splitting import split_as_told, split_patches
from kit.progress import StoppedError
from kit.rehearsal.rehearse import rehearse
from kit.study import open_study

STUDIES = Path(__file__).parents[3] / "data" / "studies"


def plan_of(patchwork):
    """Return a plan that its check and the rehearsal accept."""
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, plan)
    rehearsal = rehearse(cuts, plan)
    assert rehearsal.agrees, rehearsal.differences
    return plan


def plan_of_outlines(outlines):
    return plan_of(patchwork_from_outlines(outlines))


def name_units(plan):
    return {unit.name: unit.count for unit in plan.units}


@settings(max_examples=40, deadline=None)
@given(cases())
def test_every_family_is_sewn_with_straight_seams_and_rehearsed(case):
    if case.keys["family"] in ("braid", "log cabin", "strips"):
        plan = plan_of(case.build().verify())
        assert (plan.partial_seams, plan.set_in_seams) == (0, 0)


@pytest.mark.parametrize("seed", range(40))
def test_random_subdivisions_are_rehearsed(seed):
    plan_of_outlines(draw_subdivision(seed, most=12))


# Units


@pytest.mark.parametrize(
    ("name", "units"),
    [
        ("tideline", {"blade with accent": 45, "column": 3, "top": 1}),
        ("lamplight", {"block": 36, "row": 6, "top": 1}),
        ("ferry-steps", {"block": 20, "row 1": 3, "row 2": 2, "top": 1}),
        ("millwheel", {"blade with accent": 16, "panel": 4, "centre": 1, "wheel": 1, "block": 1, "top": 1}),
    ],
)
def test_studies_are_made_of_units_that_a_maker_would_name(name, units):
    plan = plan_of(open_study(STUDIES / f"{name}.toml").make_patchwork())
    assert name_units(plan) == units


def test_a_row_of_blocks_with_sashing_is_a_unit_and_level_sashes_are_joined_to_rows():
    keys = {"family": "strips", "columns": 3, "rows": 3, "pattern": ["a b c"], "turns": ["0"],
            "sashing": {"finished": "1 in"}, "border": [{"finished": "2 in"}]}  # fmt: skip
    patchwork = FAMILIES["strips"].model_validate(keys).patchwork()
    plan = plan_of(patchwork)
    assert name_units(plan) == {"block": 9, "row": 3, "top": 1}
    assert dict(plan.units[1].parts)["block"] == 3


def test_identical_whirls_are_solved_once_and_become_one_unit():
    outlines = [[(x + 10 * i, y + 10 * j) for x, y in o] for i in range(3) for j in range(3) for o in whirl()]
    plan = plan_of_outlines(outlines)
    assert plan.partial_seams == plan.partial_bound == 9
    assert sum(step.kind == "partial" for step in plan.steps) == 1


def test_mirrored_parts_are_not_taken_for_copies():
    chevron = [[(0, 0), (4, 0), (6, 3), (2, 3)], [(4, 0), (10, 0), (10, 3), (6, 3)], [(0, 0), (2, 3), (0, 3)]]
    both = chevron + [[(x + 20, y) for x, y in o] for o in mirror(chevron)]
    filling = [make_rectangle(10, 0, 0.5, 3)] if min(x for o in both[3:] for x, _ in o) > 10 else []
    plan = plan_of_outlines(both + filling)
    assert max(unit.count for unit in plan.units if len(unit.copies[0]) >= 3) == 1


# Partial and set-in seams


def test_w10_a_whirl_needs_one_partial_seam_that_opens_the_outer_end():
    plan = plan_of_outlines(whirl())
    assert (plan.partial_seams, plan.partial_bound, plan.set_in_seams) == (1, 1, 0)
    assert [step.kind for step in plan.steps] == ["partial", "join", "join", "join", "close"]
    first, last = plan.steps[0], plan.steps[-1]
    assert first.sewn[1] - first.sewn[0] == pytest.approx(2)
    assert last.sewn[1] - last.sewn[0] == pytest.approx(5)
    assert plan.units[-1].unfinished == pytest.approx((10.5, 10.5))


def test_w11_a_butted_frame_needs_none_and_begins_with_the_short_sides():
    plan = plan_of_outlines(butted_frame())
    assert (plan.partial_seams, plan.set_in_seams) == (0, 0)
    short = {"patch-0002", "patch-0003"}
    assert {patch for step in plan.steps[:2] for patch in step.second} == short


def find_open_end(plan):
    """Return on which side of the part that lies the partial seam is open: at its beginning or at its end."""
    step = next(step for step in plan.steps if step.kind == "partial")
    low = max(0.0, step.offset)
    return "beginning" if step.sewn[0] > low + 1e-6 else "end"


@pytest.mark.parametrize("seed", range(30))
def test_a_mirrored_design_has_a_mirrored_plan(seed):
    outlines = draw_subdivision(seed)
    plan, other = plan_of_outlines(outlines), plan_of_outlines(mirror(outlines))
    assert (plan.partial_seams, plan.set_in_seams) == (other.partial_seams, other.set_in_seams)
    assert len([s for s in plan.steps if s.second]) == len([s for s in other.steps if s.second])


def test_the_mirror_image_of_a_whirl_opens_the_other_end():
    ends = {find_open_end(plan_of_outlines(whirl())), find_open_end(plan_of_outlines(mirror(whirl())))}
    assert ends == {"beginning", "end"}


@pytest.mark.parametrize(
    ("draw", "set_in"), [(eight_pointed_star, 8), (tumbling_block, 1), (hexagon_flower, 6), (half_square_star, 0)]
)
def test_seams_are_set_in_where_the_trade_knows_them(draw, set_in):
    plan = plan_of_outlines(draw())
    assert (plan.set_in_seams, plan.set_in_bound, plan.partial_seams) == (set_in, set_in, 0)


def test_seams_stop_at_the_corner_where_another_is_set_in():
    plan = plan_of_outlines(tumbling_block())
    assert [len(step.stops) for step in plan.steps] == [1, 1, 1]


# Turned frames


def build_wheel(**keys):
    return FAMILIES["turned frame"].model_validate({"family": "turned frame", **keys}).patchwork().verify()


@pytest.mark.parametrize("direction", ["clockwise", "counter-clockwise"])
@pytest.mark.parametrize("corners", ["none", "triangles"])
@pytest.mark.parametrize("panels", ["plain", "braid"])
@pytest.mark.parametrize("blades", ["angled", "rectangles"])
def test_a_turned_frame_needs_one_partial_seam(direction, corners, panels, blades):
    wheel = build_wheel(direction=direction, corners=corners, panels=panels, blades=blades, panel_finished="7 in")
    plan = plan_of(wheel)
    assert (plan.partial_seams, plan.partial_bound, plan.set_in_seams) == (1, 1, 0)


def test_the_two_directions_of_a_turned_frame_are_mirror_images():
    ways = ("clockwise", "counter-clockwise")
    ends = {find_open_end(plan_of(build_wheel(direction=way, centre="plain"))) for way in ways}
    assert ends == {"beginning", "end"}


def test_a_panel_of_a_turned_frame_is_as_long_as_centre_and_panel_together():
    wheel = build_wheel(centre_finished="5 in", panel_finished="3 in")
    sizes = [measure_box(patch.outline) for patch in wheel.patches if patch.name == "panel"]
    assert [sorted((right - left, top - bottom)) for left, bottom, right, top in sizes] == [pytest.approx([3, 8])] * 4


def test_every_turned_frame_of_several_has_its_partial_seam():
    plan = plan_of(build_wheel(columns=2, rows=2, panels="braid", turns=["0 90", "180 270"]))
    assert plan.partial_seams == 4
    assert name_units(plan)["panel"] == 16


# Splitting


def split_up(outlines, alternative):
    parts = dict(alternative.splits)
    ids = [f"patch-{i:04d}" for i in range(1, len(outlines) + 1)]
    return [part for name, outline in zip(ids, outlines, strict=True) for part in parts.get(name, (outline,))]


@pytest.mark.parametrize(("draw", "pieces", "seams"), [(whirl, 1, 1), (tumbling_block, 1, 0), (hexagon_flower, 5, -1)])
def test_with_patches_split_every_seam_runs_straight_through(draw, pieces, seams):
    outlines = draw()
    alternative = split_patches(patchwork_from_outlines(outlines))
    assert (alternative.pieces_added, alternative.seams_added) == (pieces, seams)
    split = split_up(outlines, alternative)
    assert len(split) == len(outlines) + pieces
    plan = plan_of_outlines(split)
    assert (plan.partial_seams, plan.set_in_seams) == (0, 0)


def test_nothing_is_split_where_straight_seams_suffice():
    assert split_patches(patchwork_from_outlines(butted_frame())) is None


def test_a_field_of_hexagons_is_sewn_in_straight_seams_as_half_hexagons():
    # common practice, no source: hexagons are cut in halves from point to point or from side to side, sewn in rows
    side, wide = 3.0, 3.0 * 3**0.5
    field = [
        [(x * wide + (y % 2) * wide / 2 + dx, y * 1.5 * side + dy) for dx, dy in hexagon_flower(side)[0]]
        for x in range(9)
        for y in range(8)
    ]
    whole = patchwork_from_outlines(field)
    alternative = split_patches(whole)
    assert all(len(parts) == 2 for _, parts in alternative.splits)
    assert alternative.pieces_added <= len(field)
    straight = plan_of(split_as_told(whole, alternative).verify())
    assert (straight.partial_seams, straight.set_in_seams) == (0, 0)


def test_tumbling_blocks_are_sewn_in_straight_seams_when_each_lid_is_halved():
    # common practice, no source: one diamond of three is cut in two triangles, then rows run straight
    keys = {"family": "sixty degrees", "shape": "tumbling blocks", "edge_finished": "3 in", "across": 6, "down": 8}
    whole = FAMILIES["sixty degrees"].model_validate(keys).patchwork()
    alternative = split_patches(whole)
    (slot,) = {whole.by_id[patch].slot for patch, _ in alternative.splits}
    assert alternative.pieces_added == sum(
        patch.slot == slot and abs(measure_area(patch.outline) - 9 * 3**0.5 / 2) < 1e-6 for patch in whole.patches
    )
    straight = plan_of(split_as_told(whole, alternative).verify())
    assert (straight.partial_seams, straight.set_in_seams) == (0, 0)


# Seams


def test_a_whirl_has_four_seams_each_ending_on_the_next():
    patchwork = patchwork_from_outlines(whirl())
    seams = find_straight_seams(build_seams(patchwork.mesh, range(5), [()] * 5))
    assert len(seams) == 4
    onto = {i: [k for k in seam.ends_on if k >= 0] for i, seam in enumerate(seams)}
    assert all(len(found) == 1 for found in onto.values())
    k, seen = 0, []
    while k not in seen:
        seen.append(k)
        k = onto[k][0]
    assert len(seen) == 4


def test_a_large_part_tells_its_progress_and_can_be_stopped_within_it():
    keys = {"family": "sixty degrees", "shape": "hexagons", "across": 12, "down": 12, "edge_finished": "2 in"}
    patchwork, heard = FAMILIES["sixty degrees"].model_validate(keys).patchwork(), []
    sewing_plan(patchwork, progress=lambda what, done, whole: heard.append((what, done / whole)))
    shares = [share for _, share in heard]
    assert {what for what, _ in heard} == {"sewing"}
    assert len(shares) > 20
    assert all(one <= other or other == 0 for one, other in pairwise(shares))  # a second plan starts again
    assert 0 == shares[0] < max(shares) <= 1
    with pytest.raises(StoppedError, match="stopped at sewing"):
        sewing_plan(patchwork, progress=lambda _, done, whole: 0.6 < done / whole < 0.9)
