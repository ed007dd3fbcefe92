"""Fewest changes and fewest swaps; small cases are compared with trying everything."""

from itertools import combinations, product
from random import Random

import pytest

from kit.checks.colouring_check import check_colouring
from kit.errors import NoPlanError
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patch, Patchwork
from kit.model.rules import Rules
from kit.output.words.notice_words import say_notice
from kit.planning.colouring.colour_plan import colour_plan
from kit.planning.colouring.recolour import fix_by_swaps, recolour


def make_grid(columns, rows):
    return Patchwork(
        tuple(
            Patch(f"r{r}c{c}", make_rectangle(2 * c, 2 * r, 2, 2), "scrap") for r in range(rows) for c in range(columns)
        )
    )


def make_fabrics(count, limits=None):
    return [Fabric("scrap", f"P{k}", f"#{20 * k + 9:02x}6070", limits and limits[k]) for k in range(count)]


def pairs_of(patchwork):
    ids = [patch.id for patch in patchwork.patches]
    return [(ids[a], ids[b]) for a, b in patchwork.mesh.neighbours.tolist()]


def count_clashes(patchwork, assignment):
    return sum(assignment[a] == assignment[b] for a, b in pairs_of(patchwork))


def differ(one, other):
    return {patch for patch in one if one[patch] != other[patch]}


@pytest.mark.parametrize("seed", range(6))
def test_no_placement_that_keeps_the_pins_changes_fewer_patches(seed):
    random = Random(seed)
    grid, fabrics = make_grid(3, 3), make_fabrics(3)
    ids = [patch.id for patch in grid.patches]
    before = {patch: random.choice(fabrics).name for patch in ids}
    pins = tuple((patch, random.choice(fabrics).name) for patch in (ids[0], ids[8]))
    found = recolour(grid, fabrics, before, Rules(pins=pins))
    every = (dict(zip(ids, names, strict=True)) for names in product(["P0", "P1", "P2"], repeat=9))
    good = [of for of in every if dict(pins).items() <= of.items() and not count_clashes(grid, of)]
    least = min(len(differ(of, before)) for of in good)
    assert found.violations == count_clashes(grid, found.assignment) == 0
    assert set(found.changed) == differ(found.assignment, before)
    assert len(found.changed) == found.bound == least


@pytest.mark.parametrize("seed", range(4))
def test_limits_that_leave_nothing_to_spare_are_kept_while_a_pin_is_given_way_to(seed):
    grid, fabrics = make_grid(5, 4), make_fabrics(5)
    before = colour_plan(grid, fabrics, seed)
    tight = make_fabrics(5, [before.uses[fabric.name] for fabric in fabrics])
    other = next(fabric.name for fabric in fabrics if fabric.name != before.assignment["r1c1"])
    found = recolour(grid, tight, before.assignment, Rules(pins=(("r1c1", other),)))
    assert found.assignment["r1c1"] == other
    assert found.violations == 0
    assert found.uses == before.uses
    assert 2 <= found.bound <= len(found.changed)


def test_a_pin_that_agrees_with_the_placement_changes_nothing():
    grid, fabrics = make_grid(6, 5), make_fabrics(5)
    before = colour_plan(grid, fabrics, 4)
    made = colour_plan(grid, fabrics, 4, Rules(pins=(("r2c2", before.assignment["r2c2"]),)))
    assert made.assignment == before.assignment


def test_a_plan_with_pins_is_the_plan_without_them_but_for_the_fewest_changes():
    grid, fabrics = make_grid(8, 8), make_fabrics(6)
    before = colour_plan(grid, fabrics, 9)
    other = before.assignment["r3c4"]
    rules = Rules(pins=(("r3c3", other),))
    made = colour_plan(grid, fabrics, 9, rules)
    check_colouring(grid, fabrics, made, rules)
    assert made.violations == 0
    assert 2 <= len(differ(made.assignment, before.assignment)) <= 3


def test_two_pins_that_cannot_both_stand_are_kept_counted_and_named():
    grid, fabrics = make_grid(4, 4), make_fabrics(5)
    rules = Rules(pins=(("r1c1", "P2"), ("r1c2", "P2")))
    made = colour_plan(grid, fabrics, 0, rules)
    check_colouring(grid, fabrics, made, rules)
    assert made.violations == made.bound == 1
    assert made.touching == (("r1c1", "r1c2"),)
    assert "`r1c1` and `r1c2` are both pinned to `P2`" in say_notice(made.reasons[0])


@pytest.mark.parametrize(
    ("pins", "said"),
    [
        ((("r0c0", "Nothing"),), "is not a fabric of the study"),
        ((("r0c0", "Plain"),), "fills slot `ground`"),
        ((("r0c0", "P1"),), "is set aside"),
        ((("r0c0", "P0"), ("r1c1", "P0"), ("r2c2", "P0")), "`P0` is pinned to 3 patches, there is enough for 2"),
    ],
)
def test_a_pin_that_cannot_stand_is_a_sentence(pins, said):
    fabrics = [*make_fabrics(5, [2, 9, 9, 9, 9]), Fabric("ground", "Plain", "#ffffff")]
    with pytest.raises(NoPlanError, match=said):
        colour_plan(make_grid(3, 3), fabrics, 0, Rules(pins=pins, set_aside=("P1",)))


def test_pins_of_patches_that_are_gone_are_listed_and_do_no_harm():
    made = colour_plan(make_grid(3, 3), make_fabrics(4), 0, Rules(pins=(("r9c9", "P1"),)))
    assert made.idle_pins == ("r9c9",)
    assert made.violations == 0


def test_a_fabric_that_ran_out_is_replaced_where_it_lay_and_hardly_elsewhere():
    grid, fabrics = make_grid(6, 6), make_fabrics(6)
    before = colour_plan(grid, fabrics, 2)
    gone = {patch for patch, name in before.assignment.items() if name == "P3"}
    found = recolour(grid, [fabric for fabric in fabrics if fabric.name != "P3"], before.assignment)
    assert found.violations == 0
    assert gone <= set(found.changed)
    assert len(gone) <= found.bound <= len(found.changed) <= len(gone) + 2


@pytest.mark.parametrize("seed", range(6))
def test_no_fewer_swaps_mend_a_layout(seed):
    random = Random(seed)
    grid = make_grid(4, 3)
    fabrics = make_fabrics(3)
    layout = dict(colour_plan(grid, fabrics, seed).assignment)
    ids = list(layout)
    for _ in range(2):
        a, b = random.sample(ids, 2)
        layout[a], layout[b] = layout[b], layout[a]
    found = fix_by_swaps(grid, fabrics, layout)
    assert found.violations == count_clashes(grid, found.assignment) == 0
    assert sorted(found.assignment.values()) == sorted(layout.values())
    now = dict(layout)
    for a, b in found.swaps:
        now[a], now[b] = now[b], now[a]
    assert now == found.assignment
    assert len(found.swaps) == found.bound <= 2
    if found.bound == 2:
        for a, b in combinations(ids, 2):
            assert count_clashes(grid, {**layout, a: layout[b], b: layout[a]})


def test_a_layout_that_is_sound_needs_no_swap():
    grid, fabrics = make_grid(5, 5), make_fabrics(4)
    found = fix_by_swaps(grid, fabrics, colour_plan(grid, fabrics, 1).assignment)
    assert (found.swaps, found.changed, found.bound, found.gap) == ((), (), 0, 0)


def test_a_pinned_patch_is_never_swapped():
    grid, fabrics = make_grid(5, 4), make_fabrics(5)
    layout = dict(colour_plan(grid, fabrics, 1).assignment)
    layout["r1c1"], layout["r3c4"] = layout["r1c2"], layout["r1c1"]
    pins = (("r1c1", layout["r1c1"]),)
    found = fix_by_swaps(grid, fabrics, layout, Rules(pins=pins))
    assert found.violations == 0
    assert found.assignment["r1c1"] == layout["r1c1"]


def test_a_layout_with_a_hole_cannot_be_mended_by_swaps():
    grid, fabrics = make_grid(3, 3), make_fabrics(3)
    with pytest.raises(NoPlanError, match="Patch `r0c0` has no fabric"):
        fix_by_swaps(grid, fabrics, {})


def test_many_damaged_patches_are_mended_and_the_bound_stays_below():
    random = Random(7)
    grid, fabrics = make_grid(12, 12), make_fabrics(7)
    layout = {patch.id: random.choice(fabrics).name for patch in grid.patches}
    found = recolour(grid, fabrics, layout)
    assert found.violations == 0
    assert 0 < found.bound <= len(found.changed) < 70
    swapped = fix_by_swaps(grid, fabrics, layout)
    assert swapped.violations == count_clashes(grid, swapped.assignment)
    assert swapped.bound <= len(swapped.swaps)
