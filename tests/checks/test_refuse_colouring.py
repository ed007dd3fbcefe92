"""The check of a colouring refuses every damaged one and names what is wrong."""

from dataclasses import replace

import pytest

from kit.checks.colouring_check import check_colouring
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Fabric
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.colouring.colour_plan import colour_plan

FABRICS = [
    *(Fabric("dark", f"dark {i}", "#102030", limit=4) for i in range(4)),
    *(Fabric("light", f"light {i}", "#f0e0d0") for i in range(3)),
]


@pytest.fixture(scope="module")
def floor():
    """Return a floor of two slots in rows of two, so that patches of one slot touch one another."""
    outlines = [make_rectangle(2 * x, 2 * y, 2, 2) for y in range(6) for x in range(4)]
    slots = [("dark" if y // 2 % 2 else "light") for y in range(6) for _ in range(4)]
    return patchwork_from_outlines(outlines, slots)


@pytest.fixture(scope="module")
def plan(floor):
    return colour_plan(floor, FABRICS, 3)


def change(plan, **assignment):
    """Return the plan with patches given other fabrics, its counts made to agree."""
    new = {**plan.assignment, **{name.replace("_", "-"): fabric for name, fabric in assignment.items()}}
    uses = {fabric.name: list(new.values()).count(fabric.name) for fabric in FABRICS}
    return replace(plan, assignment=new, uses=uses)


def refusal(floor, plan, fabrics=FABRICS):
    with pytest.raises(CheckError) as caught:
        check_colouring(floor, fabrics, plan)
    return str(caught.value)


def find_pair(floor, slot):
    """Return the ids of two patches of a slot that touch."""
    for a, b in floor.mesh.neighbours.tolist():
        if floor.patches[a].slot == floor.patches[b].slot == slot:
            return floor.patches[a].id, floor.patches[b].id
    raise AssertionError(slot)


def test_the_undamaged_plan_is_accepted(floor, plan):
    assert plan.violations == 0
    check_colouring(floor, FABRICS, plan)


def test_a_fabric_of_another_slot_is_refused_with_patch_fabric_and_both_slots(floor, plan):
    message = refusal(floor, change(plan, patch_0001="dark 0"))
    assert "`patch-0001`" in message
    assert "`light`" in message
    assert "`dark 0` of `dark`" in message


def test_a_patch_without_fabric_is_refused_by_name(floor, plan):
    fewer = {name: fabric for name, fabric in plan.assignment.items() if name != "patch-0007"}
    assert "Patch `patch-0007` has no fabric" in refusal(floor, replace(plan, assignment=fewer))
    assert "Patch `patch-0007` has no fabric" in refusal(floor, change(plan, patch_0007="no such cloth"))


def test_an_unknown_patch_is_refused_by_name(floor, plan):
    more = replace(plan, assignment={**plan.assignment, "nowhere": "light 0"})
    assert "`nowhere`" in refusal(floor, more)


def test_two_neighbours_given_one_fabric_are_refused_when_they_are_not_counted(floor, plan):
    for slot in ("dark", "light"):
        one, other = find_pair(floor, slot)
        unlimited = [replace(fabric, limit=None) for fabric in FABRICS]
        damaged = change(plan, **{one.replace("-", "_"): plan.assignment[other]})
        message = refusal(floor, damaged, unlimited)
        assert "pairs of one fabric" in message
        assert "the colouring says 0" in message
        assert f"`{one}`" in message


@pytest.mark.parametrize("violations", [1, 5, -1])
def test_a_miscounted_violation_is_refused_with_both_figures(floor, plan, violations):
    message = refusal(floor, replace(plan, violations=violations))
    assert "0 pairs of one fabric" in message
    assert f"the colouring says {violations}" in message


def test_a_touching_pair_that_is_not_named_is_refused_with_its_patches(floor, plan):
    one, other = find_pair(floor, "light")
    damaged = change(plan, **{one.replace("-", "_"): plan.assignment[other]})
    pairs = {
        tuple(sorted((floor.patches[a].id, floor.patches[b].id)))
        for a, b in floor.mesh.neighbours.tolist()
        if damaged.assignment[floor.patches[a].id] == damaged.assignment[floor.patches[b].id]
    }
    honest = replace(damaged, violations=len(pairs), touching=tuple(sorted(pairs)))
    check_colouring(floor, FABRICS, honest)
    message = refusal(floor, replace(honest, touching=tuple(sorted(pairs))[1:]))
    assert all(f"`{name}`" in message for name in min(pairs))
    false = find_pair(floor, "dark")
    message = refusal(floor, replace(honest, touching=(*honest.touching, false)))
    assert all(f"`{name}`" in message for name in false)


def test_a_limit_that_is_passed_is_refused_with_the_fabric_and_both_figures(floor, plan):
    name = max((f for f in FABRICS if f.slot == "dark"), key=lambda f: plan.uses[f.name]).name
    uses = plan.uses[name]
    tight = [replace(fabric, limit=uses - 1) if fabric.name == name else fabric for fabric in FABRICS]
    assert f"`{name}` covers {uses} patches, its limit is {uses - 1}" in refusal(floor, plan, tight)


@pytest.mark.parametrize("off", [-1, 1, 100])
def test_a_miscounted_fabric_is_refused_with_both_figures(floor, plan, off):
    for name, uses in plan.uses.items():
        message = refusal(floor, replace(plan, uses={**plan.uses, name: uses + off}))
        assert f"`{name}` covers {uses} patches, not {uses + off}" in message


def test_a_fabric_left_out_of_the_count_is_refused(floor, plan):
    for name in plan.uses:
        fewer = {other: uses for other, uses in plan.uses.items() if other != name}
        assert f"`{name}` covers {plan.uses[name]} patches, not 0" in refusal(floor, replace(plan, uses=fewer))
