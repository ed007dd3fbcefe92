"""Trapped parts: counted by hand on small tops, none where seams come first, fewer after loops are moved earlier."""

from collections import Counter
from dataclasses import replace

import pytest

from kit.checks.quilting_check import check_quilting_plan
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.planning.quilting import quilting_plan as quilting
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.planning.quilting.trapped_parts import find_held, find_trapped


def make_squares(across, down, side=4.0):
    outlines = [make_rectangle(side * i, side * j, side, side) for j in range(down) for i in range(across)]
    return patchwork_from_outlines(outlines, ["ab"[(k % across + k // across) % 2] for k in range(across * down)])


NINE = make_squares(3, 3)
RING = [0, 1, 2, 5, 8, 7, 6, 3]
CENTRE = NINE.patches[4].id


def number(order):
    return {patch: k for k, patch in enumerate(order)}


def test_the_middle_of_nine_is_trapped_when_the_ring_round_it_comes_first():
    assert find_trapped(NINE, number([*RING, 4]), set()) == (CENTRE,)
    assert find_trapped(NINE, number([4, *RING]), set()) == ()
    assert find_trapped(NINE, number([*RING[:7], 4, RING[7]]), set()) == ()


def test_a_corner_does_not_lead_out():
    """The last of the ring is a corner square, which touches the middle one only at its corner."""
    assert find_trapped(NINE, number([*RING[1:], 4, RING[0]]), set()) == (CENTRE,)


def test_a_part_whose_seams_are_stitched_cannot_shift_and_one_without_stitches_lets_out():
    assert find_trapped(NINE, number([*RING, 4]), {4}) == ()
    assert find_trapped(NINE, number([*RING[:7], 4]), set()) == ()


def test_two_parts_closed_in_together_are_both_trapped():
    top = make_squares(4, 3)
    inner = [5, 6]
    order = [k for k in range(12) if k not in inner] + inner
    assert find_trapped(top, number(order), set()) == tuple(top.patches[k].id for k in inner)


def test_held_are_those_whose_every_seam_is_in_the_ditch():
    inner = [side for side, twin in enumerate(NINE.mesh.twin.tolist()) if twin > side]
    assert find_held(NINE, inner) == set(range(9))
    mesh = NINE.mesh
    missing = next(side for side in inner if 4 in (mesh.face[side], mesh.face[mesh.twin[side]]))
    assert 4 not in find_held(NINE, [side for side in inner if side != missing])


@pytest.mark.parametrize("begin", ["middle", "anywhere"])
def test_with_the_seams_first_no_part_is_trapped_whatever_follows(begin):
    wishes = (Stitching("a", "swirls", 1.0), Stitching("b", "echo", 1.0), Stitching())
    plan = quilting_plan(make_squares(5, 5), QuiltingWishes(wishes, begin=begin))
    assert plan.trapped == ()


def test_motifs_before_fillers_close_fillers_in_unless_the_seams_are_stitched_and_the_plan_says_which():
    top = make_squares(5, 5)
    plan = quilting_plan(top, QuiltingWishes((Stitching("a", "swirls", 1.0), Stitching("b", "echo", 1.0))))
    check_quilting_plan(top, plan)
    slots = {patch.id: patch.slot for patch in top.patches}
    assert len(plan.trapped) == 5, "the squares of fillers that are not at the edge"
    assert {slots[name] for name in plan.trapped} == {"a"}


def test_moving_loops_earlier_traps_fewer_and_leaves_every_leg_and_the_length(monkeypatch):
    top = make_squares(8, 8)
    wishes = QuiltingWishes((Stitching("a", "meander", 1.0), Stitching("b", "meander", 1.0)))
    freed = quilting_plan(top, wishes)
    check_quilting_plan(top, freed)
    monkeypatch.setattr("kit.planning.quilting.trapped_parts.MOST_TRIES", 0)
    plain = quilting.quilting_plan(top, wishes)
    assert len(freed.trapped) < len(plain.trapped)
    assert freed.length == pytest.approx(plain.length)
    assert Counter(freed.runs[0].stretches) == Counter(plain.runs[0].stretches)
    assert freed.stops == plain.stops


def test_trapped_parts_that_are_hidden_or_made_up_are_refused():
    top = make_squares(5, 5)
    plan = quilting_plan(top, QuiltingWishes((Stitching("a", "swirls", 1.0), Stitching("b", "echo", 1.0))))
    with pytest.raises(CheckError, match="is not said to be closed in"):
        check_quilting_plan(top, replace(plan, trapped=plan.trapped[1:]))
    with pytest.raises(CheckError, match="`patch-0001` is said to be closed in"):
        check_quilting_plan(top, replace(plan, trapped=(*plan.trapped, "patch-0001")))
