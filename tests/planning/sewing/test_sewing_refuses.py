"""The check of sewing plans refuses damaged ones, naming the step or the unit."""

from dataclasses import replace

import pytest
from subdivisions import as_outlines, eight_pointed_star, list_floorplans, whirl

from kit.checks.sewing_check import check_sewing_plan
from kit.designs import FAMILIES
from kit.errors import CheckError
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan

WHIRL = patchwork_from_outlines(whirl())
QUILT = FAMILIES["log cabin"].model_validate({"family": "log cabin", "columns": 2, "rows": 2, "rounds": 1}).patchwork()
BRAID = FAMILIES["braid"].model_validate({"family": "braid", "columns": 2, "pairs": 8}).patchwork()


def number(steps):
    return tuple(replace(step, number=i) for i, step in enumerate(steps, start=1))


def refuse(patchwork, damage, match):
    plan = sewing_plan(patchwork)
    check_sewing_plan(patchwork, cut_list(patchwork), plan)
    with pytest.raises(CheckError, match=match):
        check_sewing_plan(patchwork, cut_list(patchwork), damage(plan))


def change(plan, i, **fields):
    steps = list(plan.steps)
    steps[i] = replace(steps[i], **fields)
    return replace(plan, steps=tuple(steps))


def test_refuses_a_step_that_is_left_out():
    refuse(WHIRL, lambda p: replace(p, steps=number(p.steps[:1] + p.steps[2:])), "Step 2 takes")


def test_refuses_two_steps_that_are_swapped():
    def swap(plan):
        steps = list(plan.steps)
        steps[1], steps[2] = steps[2], steps[1]
        return replace(plan, steps=number(steps))

    refuse(WHIRL, swap, "Step 2 takes")


def test_refuses_steps_that_are_numbered_wrongly():
    refuse(WHIRL, lambda p: change(p, 2, number=7), "Step 7")


def test_refuses_a_partial_seam_that_is_never_finished():
    refuse(WHIRL, lambda p: replace(p, steps=p.steps[:-1]), "2.0000 in between .* are not sewn")


def test_refuses_a_partial_seam_that_is_sewn_too_far():
    refuse(WHIRL, lambda p: change(p, 0, sewn=(0.0, 4.0)), "sewn twice")


def test_refuses_a_seam_that_is_sewn_too_short():
    refuse(WHIRL, lambda p: change(p, 1, sewn=(0.0, 6.0)), "Step|only")


def test_refuses_an_offset_that_is_wrong():
    refuse(WHIRL, lambda p: change(p, 1, offset=1.0), "Step 2.*one line")


def test_refuses_a_patch_that_is_sewn_twice():
    refuse(WHIRL, lambda p: change(p, 1, second=p.steps[0].second), "Step 2")


def test_refuses_edges_of_patches_that_are_not_in_the_parts():
    refuse(WHIRL, lambda p: change(p, 1, along_second=p.steps[2].along_second), "Step 2 names edges")


def test_refuses_a_closing_that_is_called_a_plain_join():
    refuse(WHIRL, lambda p: change(p, 4, kind="join"), "Step 5 is a join with one part")


@pytest.mark.parametrize(
    ("field", "match"), [("partial_seams", "partial seams, the plan says"), ("set_in_seams", "set in seams")]
)
def test_refuses_counts_that_are_not_those_of_the_steps(field, match):
    refuse(WHIRL, lambda p: replace(p, **{field: getattr(p, field) + 1}), match)


def test_refuses_a_bound_over_the_count():
    refuse(WHIRL, lambda p: replace(p, partial_bound=2), "under its own bound of 2")


def test_refuses_a_set_in_seam_that_is_called_partial():
    star = patchwork_from_outlines(eight_pointed_star())

    def rename(plan):
        i = next(i for i, step in enumerate(plan.steps) if step.kind == "set in")
        return change(plan, i, kind="close")

    refuse(star, rename, "does not run straight through")


def test_refuses_a_copy_with_two_patches_exchanged():
    def exchange(plan):
        unit = next(unit for unit in plan.units if unit.count > 1)
        last = list(unit.copies[-1])
        last[0], last[-1] = last[-1], last[0]
        changed = replace(unit, copies=(*unit.copies[:-1], tuple(last)))
        return replace(plan, units=tuple(changed if u is unit else u for u in plan.units))

    refuse(QUILT, exchange, "Unit block, copy 4")


def test_refuses_a_copy_that_is_left_out():
    def drop(plan):
        unit = next(unit for unit in plan.units if unit.count > 1)
        changed = replace(unit, copies=unit.copies[:-1])
        return replace(plan, units=tuple(changed if u is unit else u for u in plan.units))

    refuse(QUILT, drop, "only 0.0000 in are sewn|Step")


def test_refuses_a_mirrored_copy():
    plans = [as_outlines(plan) for plan in list_floorplans(5)]
    left, right = (plan for plan in plans if sewing_plan(patchwork_from_outlines(plan)).partial_seams)
    wide = max(x for outline in left for x, _ in outline)
    both = patchwork_from_outlines([*left, *[[(x + wide, y) for x, y in outline] for outline in right]])

    def pair_up(plan):
        names = [f"patch-{i:04d}" for i in range(1, 11)]
        unit = replace(plan.units[-1], name="wheel", copies=(tuple(names[:5]), tuple(names[5:])))
        return replace(plan, units=(unit, *plan.units))

    refuse(both, pair_up, "Unit wheel, copy 2")


def test_refuses_a_part_that_is_not_trimmed():
    def leave_untrimmed(plan):
        return replace(plan, steps=number(step for step in plan.steps if step.kind != "trim"))

    refuse(BRAID, leave_untrimmed, "0 of 2 parts are trimmed")
