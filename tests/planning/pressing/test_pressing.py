"""Pressing: seams nest where they cross, odd cycles are pressed open, wishes come first."""

from dataclasses import replace
from itertools import product

import pytest
from subdivisions import as_outlines, draw_subdivision, list_floorplans

from kit.checks.pressing_check import check_pressing
from kit.designs import FAMILIES
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.pressing.pressing_plan import press_seams
from kit.planning.sewing.sewing_plan import sewing_plan


def grid(rows, columns, slots=None):
    outlines = [make_rectangle(3 * i, 3 * j, 3, 3) for j in range(rows) for i in range(columns)]
    return patchwork_from_outlines(outlines, slots)


def nine_patches(columns, turns=("0",)):
    pattern = ["a b a", "b c b", "a b a"]
    keys = {"family": "strips", "columns": columns, "rows": 1, "turns": list(turns), "pattern": pattern}
    return FAMILIES["strips"].model_validate(keys).patchwork()


def press(patchwork, **wish):
    plan = press_seams(patchwork, sewing_plan(patchwork), **wish)
    check_pressing(patchwork, cut_list(patchwork), plan)
    return plan


@pytest.mark.parametrize(("rows", "columns"), [(1, 4), (2, 2), (3, 3), (4, 5), (7, 6)])
def test_on_a_grid_all_crossings_nest(rows, columns):
    found = press(grid(rows, columns)).pressing
    assert found.crossings == found.nesting == (rows - 1) * (columns - 1)
    assert found.open_steps == found.odd_cycles == ()


@pytest.mark.parametrize("seed", range(30))
def test_random_subdivisions_nest_or_are_pressed_open(seed):
    press(patchwork_from_outlines(draw_subdivision(seed, most=12)))


def test_like_blocks_side_by_side_nest_when_every_second_is_pressed_the_opposite_way():
    plan = press(nine_patches(2))
    found = plan.pressing
    assert found.nesting == found.crossings
    assert not found.open_steps
    blocks = next(unit for unit in plan.units if unit.name == "block")
    assert {step.pressed_back for step in plan.steps if step.unit == "block"} <= {(), (1,)}
    assert blocks.count == 2


def four_patches(side):
    tables = {
        "light": {"patch": "square", "side_finished": "2 in", "slot": "light"},
        "dark": {"patch": "square", "side_finished": "2 in", "slot": "dark"},
        "four": {"rows": ["light dark", "dark light"]},
        "whole": {"rows": [" ".join(["four"] * side)] * side},
    }
    return FAMILIES["units"].model_validate({"family": "units", "top": "whole", "unit": tables}).patchwork()


def test_four_patches_made_alike_nest_at_all_49_crossings_when_every_second_is_laid_with_a_half_turn():
    plan = press(four_patches(4))
    found = plan.pressing
    assert (found.crossings, found.nesting) == (49, 49)  # 8 by 8 squares have 7 by 7 inner corners
    assert found.half_turned == ("four",)
    four = next(unit for unit in plan.units if unit.name == "four")
    (back,) = {step.pressed_back for step in plan.steps if step.unit == "four" and step.pressed_back}
    middles = [
        sum(complex(*point) for patch in copy for point in four_outlines(plan, patch)) / 16 for copy in four.copies
    ]
    colours = {(round(z.real / 4 + z.imag / 4) % 2, k in back) for k, z in enumerate(middles)}
    assert len(colours) == 2  # a checkerboard


def four_outlines(plan, patch):
    return dict(plan.target)[patch]


def test_refuses_copies_of_a_unit_that_are_pressed_in_many_ways():
    patchwork = nine_patches(3)
    plan = press(patchwork)
    first, second, *_ = (step.number for step in plan.steps if step.unit == "block")
    steps = tuple(
        replace(step, pressed_back={first: (1,), second: (2,)}.get(step.number, step.pressed_back))
        for step in plan.steps
    )
    with pytest.raises(CheckError, match="unit block are pressed in more than two ways"):
        check_pressing(patchwork, cut_list(patchwork), replace(plan, steps=steps))


def count_least_open(patchwork, plan):
    """Return the fewest steps pressed open of all ways to press a plan in which every copy is pressed alike."""
    steps = [step.number for step in plan.steps if step.press]
    best = len(steps)
    for sides in product(("first", "second", "open"), repeat=len(steps)):
        if sides.count("open") < best:
            chosen = dict(zip(steps, sides, strict=True))
            tried = replace(plan, steps=tuple(replace(s, press=chosen[s.number], pressed_back=()) for s in plan.steps))
            if _passes(patchwork, tried):
                best = sides.count("open")
    return best


def _passes(patchwork, plan):
    """Return True if the check finds nothing but the figures changed."""
    presses = tuple((step.number, step.press) for step in plan.steps)
    trial = replace(plan, pressing=replace(plan.pressing, presses=presses, open_steps=(), crossings=-1))
    try:
        check_pressing(patchwork, cut_list(patchwork), trial)
    except CheckError as error:
        return "do not nest" not in str(error)
    raise AssertionError


@pytest.mark.parametrize("columns", [2, 3])
def test_no_way_of_pressing_opens_fewer_seams(columns):
    keys = {"family": "strips", "columns": columns, "rows": 1, "turns": ["0"], "pattern": ["a b", "c d"]}
    patchwork = FAMILIES["strips"].model_validate(keys).patchwork()
    plan = press(patchwork)
    assert len(plan.pressing.open_steps) <= count_least_open(patchwork, plan)  # which presses all copies alike


@pytest.mark.parametrize("number", range(0, 90, 9))
def test_no_way_of_pressing_a_small_floorplan_does_better(number):
    patchwork = patchwork_from_outlines(as_outlines(list_floorplans(5)[number]))
    plan = press(patchwork)
    assert len(plan.pressing.open_steps) == count_least_open(patchwork, plan)


def test_seams_go_toward_the_dark_where_one_side_is_darker():
    patchwork = grid(1, 2, ["dark", "light"])
    plan = press(patchwork, wish="dark", lightness={"patch-0001": 20.0, "patch-0002": 80.0})
    step = plan.steps[0]
    dark = "first" if "patch-0001" in step.first else "second"
    assert step.press == dark


def test_seams_go_toward_the_sashing():
    keys = {"family": "strips", "columns": 2, "rows": 1, "pattern": ["a"], "sashing": {"finished": "1 in"}}
    patchwork = FAMILIES["strips"].model_validate(keys).patchwork()
    for step in press(patchwork, wish="sashing").steps:
        side = step.along_first if step.press == "first" else step.along_second
        assert all(patchwork.by_id[edge.patch].name == "sash" for edge in side)


def test_all_seams_are_pressed_open_on_request():
    plan = press(grid(3, 3), wish="open")
    assert {step.press for step in plan.steps} == {"open"}
    assert plan.pressing.nesting == 0


def test_seams_that_nest_are_thinner_than_seams_that_do_not():
    plan = press(grid(2, 2))
    assert plan.pressing.layers == 7
    alike = replace(plan, steps=tuple(replace(step, pressed_back=()) for step in plan.steps))
    with pytest.raises(CheckError, match="do not nest"):
        check_pressing(grid(2, 2), cut_list(grid(2, 2)), alike)
    assert press(grid(2, 2), wish="open").pressing.layers == 4


def test_the_thickest_junction_of_eight_triangles_is_their_middle():
    middle, ring = (3.0, 3.0), [(0, 0), (3, 0), (6, 0), (6, 3), (6, 6), (3, 6), (0, 6), (0, 3)]
    eight = [(middle, ring[k], ring[(k + 1) % 8]) for k in range(8)]
    found = press(patchwork_from_outlines(eight)).pressing
    assert found.thickest == pytest.approx((3, 3))
    assert found.crossings == 3


def refuse(damage, match):
    patchwork = grid(3, 3)
    with pytest.raises(CheckError, match=match):
        check_pressing(patchwork, cut_list(patchwork), damage(press(patchwork)))


def test_refuses_a_seam_without_a_side():
    refuse(lambda p: replace(p, steps=(replace(p.steps[0], press=None), *p.steps[1:])), "Step 1")


def test_refuses_a_side_that_is_flipped():
    def flip(plan):
        step = plan.steps[0]
        other = replace(step, press="first" if step.press == "second" else "second", pressed_back=())
        presses = ((1, other.press), *plan.pressing.presses[1:])
        return replace(plan, steps=(other, *plan.steps[1:]), pressing=replace(plan.pressing, presses=presses))

    refuse(flip, "do not nest")


def test_refuses_figures_that_are_not_those_of_the_steps():
    refuse(lambda p: replace(p, pressing=replace(p.pressing, nesting=3)), "4 of 4 crossings nest; the plan says 3")


def test_refuses_a_plan_that_was_not_pressed():
    refuse(lambda p: replace(p, pressing=None), "no pressing")
