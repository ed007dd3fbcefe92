"""Colouring: like does not touch like where that is possible, fabrics are used evenly, the seed decides."""

from itertools import pairwise, product

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kit.checks.colouring_check import check_colouring
from kit.errors import NoPlanError
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Fabric
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.colouring.colour_plan import colour_plan

MANY = settings(max_examples=60)
JOINS = st.lists(st.booleans(), max_size=81)


def fabrics(count, slot="patch", **options):
    return [Fabric(slot, f"{slot} {i}", f"#{i * 20:02x}4060", **options) for i in range(count)]


def grid(columns, rows, side=2.0):
    return [make_rectangle(side * x, side * y, side, side) for y in range(rows) for x in range(columns)]


def bricks(columns, rows):
    """Return rows of bricks, each second row moved by half a brick; every brick touches up to six others."""
    outlines = []
    for y in range(rows):
        shift = y % 2
        edges = [0, *range(4 - 2 * shift, 4 * columns, 4), 4 * columns]
        outlines += [make_rectangle(x, 2 * y, end - x, 2) for x, end in pairwise(edges)]
    return outlines


def ring(count):
    """Return a ring of patches round a middle one: a cycle of neighbours."""
    if count == 5:
        corners = [(0, 0), (12, 0), (12, 12), (6, 12), (0, 12)]
        inner = [(4, 4), (8, 4), (8, 8), (6, 8), (4, 8)]
    else:
        corners = [(0, 0), (12, 0), (12, 12), (0, 12)]
        inner = [(4, 4), (8, 4), (8, 8), (4, 8)]
    n = len(corners)
    around = [[corners[i], corners[(i + 1) % n], inner[(i + 1) % n], inner[i]] for i in range(n)]
    return [*around, inner], ["patch"] * n + ["middle"]


def find_least(patchwork, count):
    """Return the least number of touching pairs by trying every placement."""
    pairs = patchwork.mesh.neighbours.tolist()
    return min(sum(p[a] == p[b] for a, b in pairs) for p in product(range(count), repeat=len(patchwork.patches)))


def cut_up(columns, rows, joins):
    """Return a grid of squares, some of them joined with the next one, so that seams do not line up."""
    outlines, x, y = [], 0, 0
    flags = iter(joins)
    while y < rows:
        wide = 2 if next(flags, False) and x + 2 <= columns else 1
        outlines.append(make_rectangle(2 * x, 2 * y, 2 * wide, 2))
        x += wide
        if x >= columns:
            x, y = 0, y + 1
    return outlines


# Like does not touch like


@MANY
@given(st.integers(1, 9), st.integers(1, 9), JOINS, st.integers(6, 9), st.integers(0, 99))
def test_six_fabrics_are_always_enough_whatever_the_top(columns, rows, joins, count, seed):
    patchwork = patchwork_from_outlines(cut_up(columns, rows, joins))
    plan = colour_plan(patchwork, fabrics(count), seed)
    assert plan.violations == 0
    check_colouring(patchwork, fabrics(count), plan)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("count", [4, 5, 6])
def test_four_fabrics_and_more_part_every_brick_from_its_neighbours(count, seed):
    assert colour_plan(patchwork_from_outlines(bricks(8, 10)), fabrics(count), seed).violations == 0


@pytest.mark.parametrize("seed", range(10))
def test_two_fabrics_are_enough_for_a_chequered_floor(seed):
    patchwork = patchwork_from_outlines(grid(6, 6))
    assert colour_plan(patchwork, fabrics(2), seed).violations == 0


@MANY
@given(st.integers(1, 4), st.integers(1, 3), st.lists(st.booleans(), max_size=12), st.integers(2, 3), st.integers(0, 9))
def test_few_patches_are_coloured_with_the_least_number_of_touching_pairs(columns, rows, joins, count, seed):
    patchwork = patchwork_from_outlines(cut_up(columns, rows, joins)[:9])
    plan = colour_plan(patchwork, fabrics(count), seed)
    check_colouring(patchwork, fabrics(count), plan)
    assert plan.violations == find_least(patchwork, count)


@pytest.mark.parametrize("seed", range(20))
def test_an_odd_ring_of_two_fabrics_has_exactly_one_touching_pair(seed):
    outlines, slots = ring(5)
    patchwork = patchwork_from_outlines(outlines, slots)
    both = [*fabrics(2), *fabrics(1, "middle")]
    plan = colour_plan(patchwork, both, seed)
    assert plan.violations == 1
    assert len(plan.touching) == 1
    check_colouring(patchwork, both, plan)


@pytest.mark.parametrize("seed", range(5))
def test_an_even_ring_of_two_fabrics_has_none_and_an_odd_one_of_three_neither(seed):
    for sides, count in ((4, 2), (5, 3)):
        outlines, slots = ring(sides)
        some = [*fabrics(count), *fabrics(1, "middle")]
        assert colour_plan(patchwork_from_outlines(outlines, slots), some, seed).violations == 0


def test_patches_of_a_slot_with_one_fabric_may_touch():
    plan = colour_plan(patchwork_from_outlines(grid(3, 3)), fabrics(1))
    assert plan.violations == 0
    assert plan.uses == {"patch 0": 9}


def test_patches_that_meet_in_a_corner_only_do_not_touch():
    plan = colour_plan(patchwork_from_outlines(grid(2, 2)), fabrics(2))
    assert plan.assignment["patch-0001"] == plan.assignment["patch-0004"]
    assert plan.violations == 0


def test_each_patch_has_a_fabric_of_its_own_slot():
    patchwork = patchwork_from_outlines(grid(4, 4), ["dark", "light"] * 8)
    plan = colour_plan(patchwork, [*fabrics(3, "dark"), *fabrics(2, "light")])
    assert all(plan.assignment[patch.id].startswith(patch.slot) for patch in patchwork.patches)


# Evenly, and by the seed


@MANY
@given(st.integers(2, 8), st.integers(2, 8), st.integers(6, 9), st.integers(0, 99))
def test_fabrics_are_used_evenly(columns, rows, count, seed):
    plan = colour_plan(patchwork_from_outlines(grid(columns, rows)), fabrics(count), seed)
    uses = list(plan.uses.values())
    assert sum(uses) == columns * rows
    assert max(uses) - min(uses) <= 2


@given(st.integers(0, 2**53), st.integers(2, 7))
@example(0, 2)
def test_the_same_seed_gives_the_same_colouring(seed, count):
    patchwork = patchwork_from_outlines(bricks(4, 5))
    assert colour_plan(patchwork, fabrics(count), seed) == colour_plan(patchwork, fabrics(count), seed)


def test_another_seed_gives_another_colouring():
    patchwork = patchwork_from_outlines(grid(6, 6))
    found = {tuple(colour_plan(patchwork, fabrics(6), seed).assignment.values()) for seed in range(10)}
    assert len(found) > 5


# Limits


@MANY
@given(st.lists(st.integers(1, 20), min_size=2, max_size=7), st.integers(0, 20))
def test_no_fabric_covers_more_patches_than_its_limit(limits, seed):
    patchwork = patchwork_from_outlines(grid(5, 3))
    some = [Fabric("patch", f"f{i}", "#123456", limit=limit) for i, limit in enumerate(limits)]
    if sum(limits) < 15:
        with pytest.raises(NoPlanError, match=rf"15 patches, its fabrics' limits add up to {sum(limits)}"):
            colour_plan(patchwork, some, seed)
        return
    plan = colour_plan(patchwork, some, seed)
    assert all(plan.uses[fabric.name] <= fabric.limit for fabric in some)
    check_colouring(patchwork, some, plan)


def test_limits_that_leave_one_way_only_are_met():
    patchwork = patchwork_from_outlines(grid(3, 3))
    some = [Fabric("patch", "five", "#123456", limit=5), Fabric("patch", "four", "#654321", limit=4)]
    plan = colour_plan(patchwork, some)
    assert plan.uses == {"five": 5, "four": 4}


def test_a_slot_without_fabric_is_refused_with_what_to_add():
    with pytest.raises(NoPlanError, match="No fabric fills slot `light`") as caught:
        colour_plan(patchwork_from_outlines(grid(2, 1), ["dark", "light"]), fabrics(2, "dark"))
    assert 'slot = "light"' in caught.value.do


def test_limits_that_add_up_to_too_little_are_refused_with_both_figures():
    with pytest.raises(NoPlanError, match="4 patches, its fabrics' limits add up to 3") as caught:
        colour_plan(patchwork_from_outlines(grid(2, 2)), [Fabric("patch", "f", "#123456", limit=3)])
    assert "raise a limit" in caught.value.do.lower()


# What the plan says of itself


@MANY
@given(st.integers(2, 6), st.integers(2, 6), st.integers(2, 3), st.integers(0, 30))
def test_the_pairs_said_to_touch_are_those_that_do(columns, rows, count, seed):
    patchwork = patchwork_from_outlines(bricks(columns, rows))
    plan = colour_plan(patchwork, fabrics(count), seed)
    ids = [patch.id for patch in patchwork.patches]
    touching = {
        frozenset((ids[a], ids[b]))
        for a, b in patchwork.mesh.neighbours.tolist()
        if plan.assignment[ids[a]] == plan.assignment[ids[b]]
    }
    assert {frozenset(pair) for pair in plan.touching} == touching
    assert plan.violations == len(plan.touching) == len(touching)
    for name, uses in plan.uses.items():
        assert uses == list(plan.assignment.values()).count(name)
