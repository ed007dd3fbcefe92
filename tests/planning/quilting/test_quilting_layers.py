"""Layers of one area, turns, and areas too narrow for their way: each plan is accepted by its check."""

import numpy as np
import pytest
import shapely

from kit.checks.quilting_check import check_quilting_plan
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.planning.quilting.quilting_plan import quilting_plan


def make_squares(across, down, side):
    outlines = [make_rectangle(side * i, side * j, side, side) for j in range(down) for i in range(across)]
    return patchwork_from_outlines(outlines, ["ab"[(k % across + k // across) % 2] for k in range(across * down)])


def plan_checked(patchwork, *stitchings, **more):
    plan = quilting_plan(patchwork, QuiltingWishes(stitchings, **more))
    check_quilting_plan(patchwork, plan)
    return plan


def test_an_area_too_narrow_for_its_way_is_stitched_along_its_seams_and_told():
    outlines = [make_rectangle(0, 0, 9, 0.5), make_rectangle(0, 0.5, 9, 4), make_rectangle(0, 4.5, 9, 0.5)]
    patchwork = patchwork_from_outlines(outlines, ["a", "a", "a"])
    plan = plan_checked(patchwork, Stitching("a", "echo", 0.5))
    assert [(region.way, region.fit) for region in plan.regions] == [
        ("ditch", "in the ditch"), ("echo", "as wished"), ("ditch", "in the ditch"),
    ]  # fmt: skip
    assert {line.way for line in plan.lines} == {"ditch", "echo"}


@pytest.mark.parametrize("filler", ["loops", "swirls", "meander", "leaves", "serpentine", "pebbles"])
def test_an_echo_and_a_filler_inside_it_are_one_thread_and_keep_apart(filler):
    patchwork = make_squares(3, 2, 5.0)
    plan = plan_checked(
        patchwork, Stitching(), Stitching("top", "echo", 0.25, rounds=1, within="area"),
        Stitching("a", "echo", 0.25, rounds=1), Stitching("a", filler, 0.5, within="inside"),
    )  # fmt: skip
    assert len(plan.runs) == 1
    rings = {r.id: shapely.Polygon(r.rings[0]) for r in plan.regions if r.way == filler}
    assert len(rings) == 3
    assert all(area.area == pytest.approx(4.5**2, abs=0.02) for area in rings.values())
    for line in plan.lines:
        if line.way == filler:
            assert rings[line.region].buffer(1e-6).covers(shapely.LineString(line.points))


def test_a_motif_and_a_filler_around_it_do_not_meet():
    patchwork = make_squares(2, 2, 6.0)
    star = ((0, 0), (2, 1), (4, 0), (3, 2), (4, 4), (2, 3), (0, 4), (1, 2))
    plan = plan_checked(
        patchwork,
        Stitching(),
        Stitching("a", "motif", 1.0, motif=star),
        Stitching("a", "meander", 0.4, within="around"),
    )
    for region in (r for r in plan.regions if r.way == "meander"):
        assert len(region.rings) == 2
        motif = next(
            shapely.Polygon(line.points) for line in plan.lines if line.way == "motif" and line.region in region.id
        )
        curve = next(shapely.LineString(line.points) for line in plan.lines if line.region == region.id)
        assert curve.intersection(motif.buffer(-1e-6)).length == 0


def test_two_fillers_take_turns_area_by_area():
    outlines = [make_rectangle(2 * k, 0, 2, 9) for k in range(7)]
    patchwork = patchwork_from_outlines(outlines, ["strip"] * 7)
    plan = plan_checked(
        patchwork, Stitching("strip", "echo", 0.25, rounds=1),
        Stitching("strip", "loops", 0.5, within="inside", turn=1, turns=2),
        Stitching("strip", "serpentine", 0.5, within="inside", turn=2, turns=2),
    )  # fmt: skip
    ways = sorted((np.mean([x for x, _ in r.rings[0]]), r.way) for r in plan.regions if r.way != "echo")
    assert [way for _, way in ways] == ["loops", "serpentine"] * 3 + ["loops"]
    assert len(plan.runs) == 1
