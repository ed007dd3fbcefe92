"""The rehearsal gives the design back: plans written by hand, thousand random subdivisions, units, trims, copies."""

from dataclasses import replace
from math import sqrt

import pytest
from hand_plans import (
    NAMES,
    chain,
    find_runs,
    make_cubes,
    make_subdivision,
    make_trimmed,
    make_whirl,
    plan_of_tree,
    plan_of_units,
)

from kit.geometry.outlines import make_rectangle, measure_box, turn_outline
from kit.model.patchwork import patchwork_from_outlines
from kit.model.sewing import SewingPlan
from kit.planning.pieces.cut_list import cut_list
from kit.rehearsal.rehearse import rehearse


def make_four_patch():
    """Four 3 in squares in two rows."""
    patchwork = patchwork_from_outlines(
        [make_rectangle(x, y, 3, 3) for y in (0, 3) for x in (0, 3)], ["dark", "light", "light", "dark"]
    )
    cuts = cut_list(patchwork)
    return patchwork, cuts, plan_of_tree(patchwork, cuts, (NAMES[:2], NAMES[2:4]))


def make_turned_pairs(turn):
    """Two pairs of squares beside each other, the second pair turned round; its outlines begin at other corners."""
    square = make_rectangle(0, 0, 2, 2)
    pair = [square, make_rectangle(0, 2, 2, 2)]
    other = [
        turn_outline(outline, turn, about=(3, 2))
        for outline in (make_rectangle(2, 0, 2, 2), make_rectangle(2, 2, 2, 2))
    ]
    patchwork = patchwork_from_outlines([*pair, *other], ["dark", "light"] * 2)
    cuts = cut_list(patchwork)
    a, b, c, d = NAMES[:4]
    return patchwork, cuts, plan_of_units(patchwork, cuts, [("pair", [(a, b), (c, d)]), ("top", [((a, b), (c, d))])])


def test_four_squares_give_a_four_patch():
    patchwork, cuts, plan = make_four_patch()
    found = rehearse(cuts, plan)
    assert found.agrees, found.differences
    assert found.finished == pytest.approx((6, 6), abs=1e-9)
    assert sorted(found.placed) == sorted(patchwork.by_id)
    assert found.left_over == ()


def test_whirl_closes_its_partial_seam_at_10_inches():
    """Common question W10, answer derived: a 4 in centre in four 3 x 7 in rectangles finishes 10 in."""
    _, cuts, plan = make_whirl()
    found = rehearse(cuts, plan)
    assert found.agrees, found.differences
    assert found.finished == pytest.approx((10, 10), abs=1e-9)


def test_third_diamond_is_set_in():
    _, cuts, plan = make_cubes()
    found = rehearse(cuts, plan)
    assert found.agrees, found.differences
    assert found.finished == pytest.approx((4 * sqrt(3), 8), abs=1e-9)


@pytest.mark.parametrize("part", range(10))
def test_hundred_random_subdivisions_come_out_to_a_millionth_of_an_inch(part):
    for seed in range(100 * part, 100 * part + 100):
        patchwork, cuts, plan = make_subdivision(seed)
        found = rehearse(cuts, plan)
        assert found.agrees, (seed, found.differences)
        assert found.finished == pytest.approx(patchwork.finished, abs=1e-6), seed
        for patch in patchwork.patches:
            ours, meant = measure_box(found.placed[patch.id]), measure_box(patch.outline)
            assert ours == pytest.approx(meant, abs=1e-6), (seed, patch.id)


@pytest.mark.parametrize("turn", [0, 180])
def test_a_turned_copy_of_a_unit_takes_its_place(turn):
    _, cuts, plan = make_turned_pairs(turn)
    found = rehearse(cuts, plan)
    assert found.agrees, found.differences


def test_rows_of_blocks_are_sewn_once_and_copied():
    shapes, trees = [], []
    for row in range(4):
        for column in range(3):
            x, y, n = 6 * column, 6 * row, len(shapes)
            shapes += [make_rectangle(x, y, 2, 6), make_rectangle(x + 2, y, 4, 2), make_rectangle(x + 2, y + 2, 4, 4)]
            trees.append((NAMES[n], (NAMES[n + 1], NAMES[n + 2])))
    patchwork = patchwork_from_outlines(shapes)
    cuts = cut_list(patchwork)
    rows = [chain(trees[k : k + 3]) for k in range(0, 12, 3)]
    plan = plan_of_units(patchwork, cuts, [("block", trees), ("row", rows), ("top", [chain(rows)])])
    assert len(plan.steps) == 2 + 2 + 3
    found = rehearse(cuts, plan)
    assert found.agrees, found.differences
    assert len(found.placed) == 36


def test_ragged_strips_are_trimmed_and_sewn_on():
    _, cuts, plan = make_trimmed()
    found = rehearse(cuts, plan)
    assert found.agrees, found.differences
    assert found.finished == pytest.approx((8, 4), abs=1e-9)


def test_how_the_whole_top_lies_does_not_matter_and_its_mirror_image_does():
    _, cuts, plan = make_whirl()
    turned = tuple((patch, turn_outline(outline, 90)) for patch, outline in plan.target)
    assert rehearse(cuts, replace(plan, target=turned)).differences == ()
    mirrored = tuple((patch, tuple((-x, y) for x, y in reversed(outline))) for patch, outline in plan.target)
    assert not rehearse(cuts, replace(plan, target=mirrored)).agrees


def test_an_empty_plan_leaves_every_piece_over():
    _, cuts, plan = make_four_patch()
    found = rehearse(cuts, SewingPlan((), (), 0, 0, 0, 0, plan.target))
    assert not found.agrees
    assert len(found.left_over) == 3
    assert "left over" in found.differences[0]


def test_seam_left_open_is_reported():
    """The last seam of the whirl is not finished: everything lies in place and the top still has a slit."""
    _, cuts, plan = make_whirl()
    found = rehearse(cuts, replace(plan, steps=plan.steps[:-1]))
    assert not found.agrees
    assert any("5.0000" in said or "are sewn" in said for said in found.differences), found.differences


def test_runs_of_several_edges_are_read_in_the_direction_of_sewing():
    patchwork, cuts, plan = make_four_patch()
    first, second, _ = find_runs(patchwork, cuts, NAMES[:2], NAMES[2:4])
    back = replace(plan.steps[2], along_first=first[::-1], along_second=second[::-1])
    assert rehearse(cuts, replace(plan, steps=(*plan.steps[:2], back))).agrees
    wrong = replace(plan.steps[2], along_first=first[::-1])
    found = rehearse(cuts, replace(plan, steps=(*plan.steps[:2], wrong)))
    assert not found.agrees
    assert "Step 3" in found.differences[0]
