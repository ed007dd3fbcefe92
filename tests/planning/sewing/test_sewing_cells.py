"""Parts that are sewn on their own: trimmed within a trimmed part, and units that the order of the top cuts up."""

from dataclasses import replace
from math import cos, pi, sin

import pytest

import kit
from kit.checks.sewing_check import check_sewing_plan
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle, turn_outline
from kit.model.patchwork import Patch, Patchwork, Trim, Within
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_cells import gather_cells
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

PAIR, PANEL = Within("pair"), Within("panel")


def make_nested():
    """Two patches sewn higher and trimmed, and under them one sewn larger all round and trimmed with them."""
    pair, panel = (PANEL, PAIR), (PANEL,)
    patches = (
        Patch("a", make_rectangle(0, 2, 2, 2), "x", group=pair, sewn=make_rectangle(0, 1.5, 2, 3)),
        Patch("b", make_rectangle(2, 2, 2, 2), "y", group=pair, sewn=make_rectangle(2, 1.5, 2, 3)),
        Patch("c", make_rectangle(0, 0, 4, 2), "x", group=panel, sewn=make_rectangle(-0.5, -0.5, 5, 2.5)),
        Patch("d", make_rectangle(4, 0, 2, 4), "y"),
    )
    trims = (Trim(pair, make_rectangle(0, 2, 4, 2)), Trim(panel, make_rectangle(0, 0, 4, 4)))
    return Patchwork(patches, 0.25, trims).verify()


def test_a_trimmed_part_within_a_trimmed_part_is_trimmed_first_and_the_top_comes_out():
    patchwork = make_nested()
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, plan)
    assert rehearse(cuts, plan).agrees
    assert [set(step.first) for step in plan.steps if step.kind == "trim"] == [{"a", "b"}, {"a", "b", "c"}]


@pytest.mark.parametrize("lost", [0, 1])
def test_a_trim_that_is_left_out_is_missed(lost):
    patchwork = make_nested()
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    trims = [step for step in plan.steps if step.kind == "trim"]
    steps = [step for step in plan.steps if step is not trims[lost]]
    steps = tuple(replace(step, number=n) for n, step in enumerate(steps, start=1))
    with pytest.raises(CheckError, match=r"not sewn|do not lie along|1 of 2 parts are trimmed"):
        check_sewing_plan(patchwork, cuts, replace(plan, steps=steps))
    assert not rehearse(cuts, replace(plan, steps=steps)).agrees


def test_the_cells_of_a_top_hold_one_another():
    cells = gather_cells(make_nested())
    panel, pair = 4, 5
    assert cells.look_inside(-1) == {3: (3,), panel: (0, 1, 2)}
    assert cells.look_inside(panel) == {2: (2,), pair: (0, 1)}
    assert cells.trim_of == (pair, pair, panel, -1)
    assert cells.is_whole(0, pair)
    assert not cells.is_whole(0, panel)
    assert cells.is_whole(2, panel)


def make_wheel(times=6):
    """Wedges round a point, each of two triangles; the seams between the triangles meet the seams between wedges."""
    patches = []
    for k in range(times):
        angle, half = 2 * pi * k / times, pi / times
        a = (8 * cos(angle - half), 8 * sin(angle - half))
        b = (8 * cos(angle + half), 8 * sin(angle + half))
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        group = (Within("wedge", str(k + 1)),)
        patches.append(Patch(f"w{k}a", ((0.0, 0.0), a, middle), "dark", group=group))
        patches.append(Patch(f"w{k}b", ((0.0, 0.0), middle, b), "light", group=group))
    return Patchwork(tuple(patches), 0.25).verify()


def test_units_round_a_point_are_made_alike_and_once():
    patchwork = make_wheel()
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, plan)
    assert rehearse(cuts, plan).agrees
    assert next((unit.name, unit.count) for unit in plan.units) == ("wedge", 6)
    assert plan.set_in_seams == 0


def make_whirl_of_units():
    """Four rectangles round a square, each of two patches; none of their seams runs on in a neighbour."""
    patches = [Patch("m", make_rectangle(-1, -1, 2, 2), "middle")]
    for k in range(4):
        halves = (make_rectangle(-1, 1, 2.5, 2), make_rectangle(1.5, 1, 1.5, 2))
        patches += [
            Patch(f"r{k}{n}", turn_outline(half, 90.0 * k, about=(0, 0)), slot, group=(Within("bar", str(k + 1)),))
            for n, (half, slot) in enumerate(zip(halves, ("dark", "light"), strict=True))
        ]
    return Patchwork(tuple(patches), 0.25).verify()


def test_units_of_a_whirl_stay_whole_and_cost_the_one_partial_seam():
    patchwork = make_whirl_of_units()
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, plan)
    assert rehearse(cuts, plan).agrees
    assert (plan.partial_seams, plan.partial_bound, plan.set_in_seams) == (1, 1, 0)
    assert ("bar", 4) in [(unit.name, unit.count) for unit in plan.units]


def test_a_unit_that_would_cost_a_partial_seam_is_sewn_with_the_rest():
    """A square in two halves between two bars: kept whole, a unit that reaches over a straight line would be set in."""
    patches = (
        Patch("a", make_rectangle(0, 0, 2, 2), "x", group=(Within("step"),)),
        Patch("b", make_rectangle(0, 2, 2, 2), "x", group=(Within("step"),)),
        Patch("c", make_rectangle(2, 0, 2, 2), "x", group=(Within("step"),)),
        Patch("d", make_rectangle(2, 2, 2, 2), "y"),
    )
    plan = sewing_plan(Patchwork(patches, 0.25).verify())
    assert plan.set_in_seams == 0
    assert plan.partial_seams == 0
    assert kit.rehearse(cut_list(Patchwork(patches, 0.25)), plan).agrees


def test_mirror_images_of_a_unit_bear_its_name_and_say_that_they_are():
    patches = []
    for k, flip in enumerate((1.0, -1.0)):
        a = ((0.0, 0.0), (3.0 * flip, 0.0), (0.0, 2.0))
        b = ((3.0 * flip, 0.0), (3.0 * flip, 2.0), (0.0, 2.0))
        group = (Within("wing", str(k + 1)),)
        for name, outline, slot in (("a", a, "dark"), ("b", b, "light")):
            corners = outline if flip > 0 else outline[::-1]
            patches.append(Patch(f"{name}{k}", corners, slot, group=group))
    plan = sewing_plan(Patchwork(tuple(patches), 0.25).verify())
    assert [(unit.name, unit.count) for unit in plan.units] == [("wing", 1), ("wing mirrored", 1), ("top", 1)]


def test_a_unit_that_is_all_of_another_is_sewn_once():
    """A block that holds a wheel and nothing besides, in a top with more: block and wheel are the same patches."""
    whirl = make_whirl_of_units()
    both = Within("block"), Within("wheel")
    patches = [replace(patch, group=(*both, *patch.group)) for patch in whirl.patches]
    patches.append(Patch("strip", make_rectangle(-3, 3, 6, 2), "strip"))
    patchwork = Patchwork(tuple(patches), 0.25).verify()
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, plan)
    assert rehearse(cuts, plan).agrees
    assert plan.partial_seams == 1
