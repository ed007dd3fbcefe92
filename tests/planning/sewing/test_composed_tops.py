"""Random composed tops: copies are made and pressed alike, in no more written steps than unit by unit."""

from dataclasses import replace

import pytest
from random_designs import seed_dice
from random_units import draw_units, make_design

from kit.checks.pressing_check import check_pressing
from kit.checks.sewing_check import check_sewing_plan
from kit.designs import FAMILIES
from kit.errors import CheckError
from kit.planning.pieces.cut_list import cut_list
from kit.planning.pressing.pressing_plan import press_seams
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse


def build(seed):
    return FAMILIES["units"].model_validate(make_design(draw_units(seed_dice(seed)))).patchwork().verify()


def count_by_simple_rule(patchwork):
    """Count the steps of a maker who makes unit by unit and tells every seam by itself, mirror images once more."""
    mirrored = {(unit.name, placing.mirrored) for unit in patchwork.units.list_all() for placing in unit.placings}
    parts: dict[tuple[str, ...], set] = {}
    names: dict[tuple, str] = {}
    for patch in patchwork.patches:
        for depth in range(len(patch.group) + 1):
            whole = patch.group[:depth]
            names[whole] = whole[-1].unit if whole else ""
            inner = patch.group[: depth + 1] if depth < len(patch.group) else (patch.id,)
            parts.setdefault(whole, set()).add(inner)
    seams: dict[str, int] = {}
    for whole, inner in parts.items():
        seams[names[whole]] = max(seams.get(names[whole], 0), len(inner) - 1)
    images = {name: max(1, sum(one == name for one, _ in mirrored)) for name in seams}
    return sum(count * images[name] for name, count in seams.items())


@pytest.mark.parametrize("seed", range(60))
def test_a_composed_top_takes_no_more_written_steps_than_unit_by_unit_and_is_proved(seed):
    patchwork = build(seed)
    cuts = cut_list(patchwork)
    plan = press_seams(patchwork, sewing_plan(patchwork, cuts))
    check_sewing_plan(patchwork, cuts, plan)
    check_pressing(patchwork, cuts, plan)
    assert rehearse(cuts, plan).agrees
    stages = plan.partial_seams + len(patchwork.trims)  # a partial seam is told twice, a trim once
    assert len(plan.written) <= count_by_simple_rule(patchwork) + stages


@pytest.mark.parametrize("seed", range(12))
def test_a_copy_that_is_pressed_in_its_own_way_is_refused(seed):
    patchwork = build(seed)
    cuts = cut_list(patchwork)
    plan = press_seams(patchwork, sewing_plan(patchwork, cuts))
    units = {unit.name: [s for s in plan.steps if s.unit == unit.name and s.press] for unit in plan.units}
    damaged = [
        steps
        for unit in plan.units
        if unit.count > 2 and len(steps := units[unit.name]) > 1 and not any(step.pressed_back for step in steps)
    ]
    for steps in damaged:
        back = {steps[0].number: (1,), steps[1].number: (2,)}
        other = tuple(replace(step, pressed_back=back.get(step.number, step.pressed_back)) for step in plan.steps)
        with pytest.raises(CheckError, match="pressed in more than two ways"):
            check_pressing(patchwork, cuts, replace(plan, steps=other))
