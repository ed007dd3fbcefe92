"""The check refuses placements that break a rule, by name, whatever they say of themselves."""

from dataclasses import replace

import pytest

from kit.checks.colouring_check import check_colouring
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patch, Patchwork, Within
from kit.model.rules import Rules
from kit.planning.colouring.colour_plan import colour_plan
from kit.study import open_study

GRID = Patchwork(
    tuple(
        Patch(f"r{r}c{c}", make_rectangle(2 * c, 2 * r, 2, 2), "scrap", group=(Within("block", str(c // 3)),))
        for r in range(4)
        for c in range(6)
    )
)
FABRICS = [Fabric("scrap", f"P{k}", f"#{20 * k + 9:02x}6070", 4) for k in range(12)]


def damage(plan, **given):
    """Return the plan with patches given other fabrics, its uses made to agree and its violations left as they were."""
    assignment = {**plan.assignment, **given}
    names = list(assignment.values())
    return replace(plan, assignment=assignment, uses={f.name: names.count(f.name) for f in FABRICS})


def refusal(plan, rules, top=GRID, fabrics=FABRICS):
    with pytest.raises(CheckError) as caught:
        check_colouring(top, fabrics, plan, rules)
    return str(caught.value)


@pytest.mark.parametrize(
    ("rules", "one", "other"),
    [
        (Rules(), "r1c1", "r1c2"),
        (Rules(touching="corners"), "r1c1", "r2c2"),
        (Rules(apart=3), "r0c0", "r1c2"),
        (Rules(once_in_unit=True), "r0c0", "r3c2"),
    ],
    ids=["edges", "corners", "apart", "unit"],
)
def test_two_patches_of_one_print_against_a_rule_are_refused_by_name(rules, one, other):
    plan = colour_plan(GRID, FABRICS, 1, rules)
    check_colouring(GRID, FABRICS, plan, rules)
    assert plan.violations == 0
    spare = [Fabric("scrap", f.name, f.colour) for f in FABRICS]
    message = refusal(damage(plan, **{one: plan.assignment[other]}), rules, fabrics=spare)
    assert "break the rules, the colouring says 0" in message
    assert f"`{plan.assignment[other]}`" in message


def test_what_one_rule_allows_the_stricter_one_refuses():
    plan = colour_plan(GRID, [*FABRICS[:3], replace(FABRICS[3], limit=None)], 1)
    spare = [replace(f, limit=None) for f in FABRICS[:4]]
    check_colouring(GRID, spare, plan, Rules())
    assert "break the rules" in refusal(plan, Rules(once_in_unit=True), fabrics=spare)


def test_a_broken_pin_is_refused_with_both_fabrics():
    rules = Rules(pins=(("r2c3", "P5"),))
    plan = colour_plan(GRID, FABRICS, 0, rules)
    check_colouring(GRID, FABRICS, plan, rules)
    message = refusal(damage(plan, r2c3="P6"), rules)
    assert "`r2c3` is pinned to `P5` and given `P6`" in message


def test_a_fabric_that_was_set_aside_is_refused():
    rules = Rules(set_aside=("P5",))
    plan = colour_plan(GRID, FABRICS, 0, rules)
    check_colouring(GRID, FABRICS, plan, rules)
    assert "`r0c0` is given `P5`, which is set aside" in refusal(damage(plan, r0c0="P5"), rules)


def test_a_limit_that_is_passed_is_refused_with_both_figures():
    plan = colour_plan(GRID, FABRICS, 0)
    tight = [replace(f, limit=1) if f.name == "P0" else f for f in FABRICS]
    assert f"`P0` covers {plan.uses['P0']} patches, its limit is 1" in refusal(plan, Rules(), fabrics=tight)


@pytest.mark.parametrize("bound", [-1, 1, 7])
def test_a_bound_above_the_violations_or_below_zero_is_refused(bound):
    plan = replace(colour_plan(GRID, FABRICS, 0), bound=bound)
    assert f"The bound on violations is {bound}, there are 0" in refusal(plan, Rules())


def test_a_listed_pair_that_does_not_touch_is_refused_by_name():
    plan = replace(colour_plan(GRID, FABRICS, 0), touching=(("r0c0", "r3c3"),))
    assert "`r0c0` and `r3c3`" in refusal(plan, Rules())


def test_a_patch_that_the_top_does_not_have_is_refused():
    plan = colour_plan(GRID, FABRICS, 0)
    strange = replace(plan, assignment={**plan.assignment, "r9c9": "P1"})
    assert "`r9c9`" in refusal(strange, Rules())


def test_more_than_half_the_strip_in_one_hand_is_refused_where_mirror_pairs_are_asked():
    top = open_study("data/studies/tideline.toml").make_patchwork()
    fabrics = [
        *(Fabric("blade", f"P{k}", f"#{9 * k + 20:02x}6070", 10) for k in range(14)),
        *(Fabric(slot, slot, "#dddddd") for slot in top.slots if slot != "blade"),
    ]
    rules = Rules(pairs=True)
    plan = colour_plan(top, fabrics, 3, rules)
    check_colouring(top, fabrics, plan, rules)
    tight = [replace(f, limit=plan.uses[f.name]) if f.slot == "blade" else f for f in fabrics]
    left = [patch.id for patch in top.patches if patch.slot == "blade" and "L" in patch.id]
    least = min((f for f in tight if f.slot == "blade"), key=lambda f: sum(plan.assignment[p] == f.name for p in left))
    one_sided = [replace(f, limit=3) if f.name == least.name else f for f in tight]
    mine = {patch: name for patch, name in plan.assignment.items() if name != least.name}
    other = next(f.name for f in one_sided if f.slot == "blade" and f.name != least.name)
    assignment = {patch: mine.get(patch, other) for patch in plan.assignment} | dict.fromkeys(left[:3], least.name)
    uses = {f.name: list(assignment.values()).count(f.name) for f in fabrics}
    broad = [f if f.name == least.name else replace(f, limit=None) for f in one_sided]
    message = refusal(replace(plan, assignment=assignment, uses=uses), rules, top, broad)
    assert f"`{least.name}` covers 3 patches of one hand; as mirror pairs 3 pieces yield 1" in message
