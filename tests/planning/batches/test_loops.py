"""Strip sets and loops: random shifts, checkers and rail fences come out in the right place, damage is refused."""

from dataclasses import replace
from math import radians as to_radians
from math import sin, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit.checks.batch_check import check_making_plan
from kit.designs import Bargello
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Supply
from kit.model.making import MakingWishes
from kit.model.patchwork import patchwork_from_outlines
from kit.output.files.twin import read_twin_making, write_twin
from kit.planning.batches.find_units import group_units
from kit.planning.batches.making_plan import making_plan
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.batch_rehearsal import find_wrong
from kit.rehearsal.rehearse import rehearse

FABRICS = ("fog", "sea", "rust", "kelp", "sand", "foam")


def draft(patchwork):
    """Return the parts of a making plan, with every patch's place in the rehearsal of the steps."""
    cuts = cut_list(patchwork)
    steps = sewing_plan(group_units(patchwork, cuts), cuts)
    assignment = {patch.id: patch.slot for patch in patchwork.patches}
    supplies = [Supply(slot, fabric=slot) for slot in patchwork.slots]
    sewn = rehearse(cuts, steps)
    assert sewn.agrees
    return patchwork, cuts, steps, assignment, supplies, sewn.placed


def make(patchwork, **wishes):
    """Return a making plan that its check has accepted, and its single pieces besides."""
    patchwork, cuts, steps, assignment, supplies, placed = draft(patchwork)
    plan = making_plan(patchwork, cuts, steps, assignment, supplies, MakingWishes(**wishes))
    check_making_plan(patchwork, cuts, steps, assignment, plan, placed)
    return plan, sum(piece.count for piece in plan.pieces if piece.patches)


def weave(rows, side=2.0):
    """Return rows of squares above one another."""
    outlines = [make_rectangle(x * side, y * side, side, side) for y, row in enumerate(rows) for x in range(len(row))]
    return patchwork_from_outlines(outlines, [slot for row in rows for slot in row])


def lean(widths, fabrics, high, count, slant):
    """Return rows of parallelograms, every second one turned."""
    outlines, slots = [], []
    step = 1 / tan(to_radians(slant))
    for n in range(count):
        x = 0.0
        for width, fabric in list(zip(widths, fabrics, strict=True))[:: 1 if n % 2 == 0 else -1]:
            wide = width / sin(to_radians(slant))
            low, top = n * high, (n + 1) * high
            corners = ((x, low), (x + wide, low), (x + wide, top), (x, top))
            outlines.append(tuple((px + py * step, py) for px, py in corners))
            slots.append(fabric)
            x += wide
    return patchwork_from_outlines(outlines, slots)


# Random tops


@settings(max_examples=25, deadline=None)
@given(
    strips=st.integers(3, 7),
    loops=st.integers(1, 3),
    shifts=st.lists(st.integers(-9, 9), min_size=2, max_size=9),
    widths=st.lists(st.sampled_from(("1 1/4 in", "1 1/2 in", "2 in", "2 1/2 in")), min_size=1, max_size=4),
)
def test_every_column_of_a_random_bargello_comes_out_of_its_sets_in_place(strips, loops, shifts, widths):
    slots = [f"s{n}" for n in range(strips)]
    keys = {"strip_slots": slots, "loops": loops, "shifts": [shift / 2 for shift in shifts], "widths_cut": widths}
    patchwork = Bargello(family="bargello", **keys).patchwork(0.25).verify()
    plan, single = make(patchwork, strip_sets="sewn into loops")
    made = {patch for one in plan.made for unit in one.units for patch in unit}
    assert single == len(patchwork.patches) - len(made)


def test_a_bargello_of_one_loop_is_cut_from_it_whole():
    keys = {"loops": 2, "shifts": [0, 1, 2, 1.5, 0, -1, -0.5, 3], "widths_cut": ["2 in"]}
    plan, single = make(Bargello(family="bargello", **keys).patchwork(0.25).verify())
    (loop,) = plan.made
    assert (single, loop.way, loop.loop, len(loop.fabrics)) == (0, "sewn into loops", True, 12)
    assert sum(one.added for one in loop.segments) == 2  # the two half shifts
    assert [len(loop.lengths), loop.seams] == [1, 12 + 2]


@settings(max_examples=25, deadline=None)
@given(across=st.integers(2, 9), down=st.integers(4, 12), period=st.integers(2, 5))
def test_checkers_and_diagonal_runs_of_any_size_come_from_sets(across, down, period):
    rows = [[FABRICS[(x + y) % period] for x in range(across)] for y in range(down)]
    plan, single = make(weave(rows))
    made = {patch for one in plan.made for unit in one.units for patch in unit}
    assert single + len(made) == across * down


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_random_rows_of_squares_are_made_right_or_left_single(data):
    few = st.lists(st.sampled_from(FABRICS[:3]), min_size=4, max_size=4)
    kinds = data.draw(st.lists(few, min_size=1, max_size=3))
    rows = [data.draw(st.sampled_from(kinds))[:: data.draw(st.sampled_from((1, -1)))] for _ in range(8)]
    make(weave(rows))
    make(weave(rows), strip_sets="sewn into loops")


def test_a_large_checkers_of_two_fabrics_is_hardly_cut_singly():
    plan, single = make(weave([[FABRICS[(x + y) % 2] for x in range(10)] for y in range(12)]))
    assert single == 0
    assert sum(one.seams for one in plan.made) < 30  # one by one it is 108


@settings(max_examples=20, deadline=None)
@given(
    slant=st.sampled_from((30.0, 45.0, 60.0, 75.0, 105.0, 120.0, 135.0)),
    widths=st.lists(st.sampled_from((1.0, 1.5, 2.0, 3.0)), min_size=2, max_size=4),
    high=st.sampled_from((1.5, 2.0, 3.0)),
)
def test_rows_of_parallelograms_come_from_sets_cut_on_the_slant(slant, widths, high):
    plan, _ = make(lean(widths, FABRICS[: len(widths)], high, 6, slant), strip_sets="sewn and cut across")
    # equal parallelograms also lie in rows the other way, across the same angle
    assert all(min(abs(one.slant - way) for way in (slant, 180 - slant)) < 1e-4 for one in plan.made)


@pytest.mark.parametrize("rising", [True, False])
def test_half_rectangles_of_either_hand_come_two_at_a_time(rising):
    outlines = []
    for y in range(4):
        for x in range(5):
            a, b, c, d = ((3 * (x + i), 2 * (y + j)) for i, j in ((0, 0), (1, 0), (1, 1), (0, 1)))
            outlines += [(a, b, c), (a, c, d)] if rising else [(a, b, d), (b, c, d)]
    plan, single = make(patchwork_from_outlines(outlines, ["fog", "sea"] * 20), half_rectangles="two at a time")
    (made,) = plan.made
    assert (single, made.unit, made.rising, made.batches) == (0, "half-rectangle", rising, 10)
    # 2 + 1/2 + 1/2 · 3 / √13 is 2.916, 3 + 1/2 + 1/2 · 2 / √13 is 3.777: in the ratio 3 : 2, 3 in by 4 1/2
    assert made.sizes == ((4.5, 3.0),) * 2


# The rule


def test_what_saves_no_work_stays_single():
    rows = [[FABRICS[(x * (y + 1)) % 6] for x in range(6)] for y in range(3)]
    plan, single = make(weave(rows))
    assert (plan.made, single) == ((), 18)
    assert all(choice.chosen == "one by one" for choice in plan.choices)


def test_one_by_one_makes_nothing_together():
    plan, single = make(weave([["fog", "sea"] * 4] * 8), make="one by one")
    assert (plan.made, single) == ((), 64)


# Damage


@pytest.fixture(scope="module")
def loops():
    keys = {"loops": 2, "shifts": [0, 1, 2, 1.5, 0, -1, -0.5, 3], "widths_cut": ["2 in", "1 1/2 in"]}
    drafted = draft(Bargello(family="bargello", **keys).patchwork(0.25).verify())
    patchwork, cuts, steps, assignment, supplies, _ = drafted
    return drafted, making_plan(patchwork, cuts, steps, assignment, supplies, MakingWishes())


def change(made, number, **values):
    """Return sets with one segment that differs."""
    segments = list(made.segments)
    segments[number] = replace(segments[number], **values)
    return replace(made, segments=tuple(segments))


DAMAGES = {
    "opened at the next seam": (lambda made: change(made, 0, start=(made.segments[0].start + 1) % 12), "differs"),
    "a strip too few": (lambda made: change(made, 0, strips=11), "differs|too small|square inches"),
    "a segment too narrow": (lambda made: change(made, 0, width=1.0), "too small|in comes|trimming"),
    "no loop after all": (lambda made: replace(made, loop=False), "hang together|no seam|lines"),
    "nothing taken apart": (lambda made: replace(made, apart=()), "taken apart"),
    "a set too short": (lambda made: replace(made, lengths=tuple(n / 2 for n in made.lengths)), "long"),
    "a seam too few": (lambda made: replace(made, seams=made.seams - 1), "lines are sewn"),
    "a half that stays whole": (
        lambda made: change(made, next(i for i, one in enumerate(made.segments) if one.added), foot=0.0), "differs",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DAMAGES)
def test_damaged_sets_are_refused(loops, name):
    (patchwork, cuts, steps, assignment, _, placed), plan = loops
    damage, said = DAMAGES[name]
    check_making_plan(patchwork, cuts, steps, assignment, plan, placed)
    with pytest.raises(CheckError, match=said):
        check_making_plan(
            patchwork, cuts, steps, assignment, replace(plan, made=(damage(plan.made[0]), *plan.made[1:])), placed
        )


# The demonstration


def test_the_bargello_of_the_studies_is_one_loop_but_for_its_borders():
    pattern = kit.make_pattern(kit.open_study("data/studies/saltmarsh.toml"))
    assert sum(piece.count for piece in pattern.making.pieces if piece.patches) == 8  # two borders
    seams = len(pattern.patchwork.patches) - 1 - pattern.making.saved
    assert seams == sum(chain.seams for chain in pattern.chains) <= 120
    assert pattern.sewing.pressing.nesting == pattern.sewing.pressing.crossings
    twin = write_twin(pattern)
    assert [find_wrong(made, dict(pattern.sewing.target), 0.25) for made in read_twin_making(twin)] == [""]
    twin["making"][0]["segments"][0]["width"] -= 0.25
    with pytest.raises(CheckError, match="is left of the sets"):
        read_twin_making(twin)
