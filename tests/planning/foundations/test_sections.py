"""The fewest papers of a block, beside the trade's counts and a complete search that shares no code with the kit."""

from math import inf

import pytest
from all_sections import count_sections
from blocks import (
    enlarge,
    four_patch,
    half_square,
    nine_patch,
    ohio_type_star,
    pinwheel,
    sawtooth_star,
    square,
    square_in_square,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from subdivisions import draw_subdivision, whirl

from kit.checks.cutting_check import check_cutting_plan
from kit.checks.foundation_check import check_foundation_plan
from kit.errors import KitError
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.foundations.foundation_plan import LARGEST, foundation_plan, list_foundation_cuts
from kit.progress import StoppedError

# common practice, no source; each count is derived again by the complete search, those of up to nine patches here
COUNTS = {
    "square in a square": (square_in_square, 1),
    "four-patch": (four_patch, 2),
    "pinwheel": (pinwheel, 2),
    "nine-patch": (nine_patch, 3),
    "sawtooth star": (sawtooth_star, 4),
    "star of quarter squares": (ohio_type_star, 5),
}


def plan_of(outlines, **wishes):
    return foundation_plan(patchwork_from_outlines(outlines), "top", **wishes)


@pytest.mark.parametrize("name", COUNTS)
def test_blocks_of_the_trade_take_as_many_papers_as_makers_use(name):
    draw, count = COUNTS[name]
    plan = plan_of(enlarge(draw(), 2))
    assert (len(plan.sections), plan.least, plan.set_in) == (count, count, 0)
    check_foundation_plan(plan)


@pytest.mark.parametrize("name", [name for name, (draw, _) in COUNTS.items() if len(draw()) <= 9])
def test_the_counts_are_those_of_a_complete_search(name):
    draw, count = COUNTS[name]
    assert count_sections(draw()) == count


def test_a_whirl_has_no_papers_without_a_seam_that_turns():
    plan = plan_of(whirl())
    assert count_sections(whirl()) == inf
    assert plan.set_in == 1
    assert len(plan.sections) == 2
    check_foundation_plan(plan)


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_the_fewest_papers_are_found_as_by_a_complete_search(first):
    """Random rooms, halved and merged, of up to nine patches."""
    for seed in range(first, first + 50):
        outlines = draw_subdivision(seed, most=9)
        plan, least = plan_of(outlines), count_sections(outlines)
        check_foundation_plan(plan)
        if least == inf:
            assert plan.set_in, seed
        else:
            assert (len(plan.sections), plan.set_in) == (least, 0), seed
            assert plan.least == least, seed


@given(st.integers(300, 10**6))
@settings(max_examples=30, deadline=None)
def test_any_subdivision_is_sewn_on_paper(seed):
    plan = plan_of(draw_subdivision(seed, most=12))
    check_foundation_plan(plan)
    assert plan.least <= len(plan.sections)


def test_a_grid_is_proved_by_its_crossings():
    side = 9
    plan = plan_of([outline for x in range(side) for y in range(side) for outline in square(2 * x, 2 * y, 2)])
    assert (len(plan.sections), plan.least) == (side, side)


def test_two_hundred_halves_are_proved():
    outlines = [
        o
        for x in range(10)
        for y in range(10)
        for o in half_square(2 * x, 2 * y, rising=(7 * x + 3 * y) % 2 == 0, side=2)
    ]
    plan = plan_of(outlines)
    assert plan.least == len(plan.sections) == 10
    check_foundation_plan(plan)


def test_papers_are_no_larger_than_the_page_that_was_given():
    plan = plan_of(enlarge(sawtooth_star(), 3), page=(7, 9))
    check_foundation_plan(plan)
    for section in plan.sections:
        wide, high = sorted(max(p[k] for p in section.outline) - min(p[k] for p in section.outline) for k in (0, 1))
        assert wide + 0.5 <= 7
        assert high + 0.5 <= 9
    assert len(plan.sections) > 4


def test_the_rectangles_are_cut_from_cloth():
    plan = plan_of(enlarge(pinwheel(), 3))
    cuts = list_foundation_cuts(plan)
    assert cuts.count == len(plan.target) == 8
    check_cutting_plan(cuts, cutting_plan(cuts))


def test_the_work_can_be_stopped():
    with pytest.raises(StoppedError):
        plan_of(enlarge(sawtooth_star(), 2), progress=lambda *_: True)


@pytest.mark.parametrize(
    ("wish", "said"),
    [({"unit": "keel"}, "There is no unit `keel`"), ({"ease": -1}, "The ease is -1 in"), ({"ease": "wide"}, "wide")],
)
def test_what_cannot_be_is_said(wish, said):
    with pytest.raises(KitError, match=said):
        foundation_plan(patchwork_from_outlines(enlarge(nine_patch(), 2)), **wish)


def test_a_block_of_too_many_patches_is_refused_before_the_work():
    side = 21
    outlines = [outline for x in range(side) for y in range(side) for outline in square(x, y)]
    assert len(outlines) > LARGEST
    with pytest.raises(KitError, match="at most"):
        plan_of(outlines)
