"""The check of a making plan refuses each kind of damage, and names it."""

from dataclasses import replace

import pytest

from kit.checks.batch_check import check_making_plan
from kit.designs import FlyingGeese
from kit.errors import CheckError
from kit.model.fabrics import Supply
from kit.model.making import MakingWishes
from kit.planning.batches.find_units import group_units
from kit.planning.batches.making_plan import making_plan
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan


@pytest.fixture(scope="module")
def flight():
    """Six geese of one fabric and two of another, four at a time."""
    design = FlyingGeese(
        family="flying geese", columns=1, geese=8, goose_finished="2 in", goose_slots=("gull", "gull", "gull", "tern")
    )
    patchwork = design.patchwork(0.25).verify()
    cuts = cut_list(patchwork)
    steps = sewing_plan(group_units(patchwork, cuts), cuts)
    assignment = {patch.id: patch.slot for patch in patchwork.patches}
    supplies = [Supply(slot, fabric=slot) for slot in patchwork.slots]
    plan = making_plan(patchwork, cuts, steps, assignment, supplies, MakingWishes(geese="four at a time"))
    return patchwork, cuts, steps, assignment, plan


def change(plan, number=0, **values):
    made = list(plan.made)
    made[number] = replace(made[number], **values)
    return replace(plan, made=tuple(made))


def test_the_plan_itself_passes(flight):
    check_making_plan(*flight)
    assert [(made.fabrics[0], len(made.units), made.batches, made.spare) for made in flight[4].made] == [
        ("gull", 6, 2, 2),
        ("tern", 2, 1, 2),
    ]


def resize(made, rounded):
    blank = made.blanks[0]
    return (replace(blank, rounded={"side": rounded}), *made.blanks[1:]), ((rounded, rounded), *made.sizes[1:])


def mix(first):
    one, two = first.units[:2]
    return ((one[0], two[1], one[2]), (two[0], one[1], two[2]), *first.units[2:])


def swap(first):
    one = first.units[0]
    return ((one[1], one[0], one[2]), *first.units[1:])


def cut_too(plan):
    more = replace(plan.made[0].blanks[0], id="A1", count=2)
    return replace(plan, cut_list=replace(plan.cut_list, pieces=(*plan.cut_list.pieces, more)))


def print_again(plan, count):
    return replace(plan, pieces=(replace(plan.pieces[0], count=count), *plan.pieces[1:]))


def drop(plan):
    return replace(plan, cut_list=replace(plan.cut_list, pieces=plan.cut_list.pieces[1:]))


def size(plan, side):
    blanks, sizes = resize(plan.made[0], side)
    return change(plan, blanks=blanks, sizes=sizes)


DAMAGE = {
    "a batch too few": (
        lambda plan: change(plan, batches=1), r"U1: 1 batches of 4 give 4 units, 6 are needed"),
    "a count of squares": (
        lambda plan: change(plan, blanks=(replace(plan.made[0].blanks[0], count=1), *plan.made[0].blanks[1:])),
        r"Ua: 1 are cut, 2 batches take 2"),
    "a size rounded down": (
        lambda plan: size(plan, 5.125), r"Ua: side is 5\.2071 in, printed as 5\.1250 in"),
    "a size rounded up too far": (
        lambda plan: size(plan, 5.5), r"Ua: side is 5\.2071 in, printed as 5\.5000 in"),
    "sewn larger than cut": (
        lambda plan: change(plan, sizes=((5.375, 5.375), *plan.made[0].sizes[1:])),
        r"Ua is cut 5\.2500 x 5\.2500 in, sewn 5\.3750 x 5\.3750"),
    "units of another fabric": (
        lambda plan: change(plan, 1, units=plan.made[0].units[:2]), r"is in units of U1 and of U2"),
    "fabrics exchanged": (
        lambda plan: change(plan, fabrics=("tern", "sky", "sky")), r"U1: tern is cut of gull"),
    "a unit twice": (
        lambda plan: change(plan, units=(plan.made[0].units[0], *plan.made[0].units[:-1])),
        r"is in units of U1 and of U1"),
    "sky and goose of two units": (
        lambda plan: change(plan, units=mix(plan.made[0])), r"its patches do not fill a rectangle"),
    "sky and goose exchanged": (
        lambda plan: change(plan, units=swap(plan.made[0])), r"is of sky, its batch of gull"),
    "a unit larger than it is": (
        lambda plan: change(plan, size=(5.0, 2.5)), r"too small for trimming to 5\.5000 x 3\.0000"),
    "a way that there is not": (
        lambda plan: change(plan, way="five at a time"), r"geese units are never made five at a time"),
    "a step that it does not do": (
        lambda plan: change(plan, sewn=(*plan.made[0].sewn, (5, 1))), r"U1 does step 5 in 0 copies"),
    "a step left out": (
        lambda plan: change(plan, sewn=plan.made[0].sewn[1:]), r"U1 does step 1 in 6 copies, said to be 0"),
    "a square not in the list": (
        drop, r"Ua of gull: 0 in the cut list, 2 are taken by batches"),
    "a kind of unit left out": (
        lambda plan: replace(plan, made=plan.made[:1]), r"Ub of sky: 12 in the cut list, 8 are taken"),
    "a piece of a batch cut as well": (
        cut_too, r"of gull: 2 in the cut list, 0 needed"),
    "printed otherwise than cut": (
        lambda plan: print_again(plan, 9), r"Ua is printed 9 times and cut 2 times"),
}  # fmt: skip


@pytest.mark.parametrize("name", DAMAGE)
def test_damage_is_refused_by_name(flight, name):
    harm, found = DAMAGE[name]
    with pytest.raises(CheckError, match=found):
        check_making_plan(*flight[:4], harm(flight[4]))


def test_a_size_within_a_step_but_too_small_is_refused_by_the_rehearsal(flight):
    # exact and printed sizes both a quarter inch small: no rounding tells, only what comes out of the batch
    made = flight[4].made[0]
    blank = made.blanks[0]
    small = replace(blank, cut={"side": 4.957}, rounded={"side": 5.0})
    plan = change(flight[4], blanks=(small, *made.blanks[1:]), sizes=((5.0, 5.0), *made.sizes[1:]))
    with pytest.raises(CheckError, match=r"U1, geese four at a time: a unit comes out .* too small"):
        check_making_plan(*flight[:4], plan)
