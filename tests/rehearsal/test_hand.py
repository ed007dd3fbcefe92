"""The rehearsal with a human hand: worked cases, what must hold of any model, and its limits."""

import numpy as np
import pytest
from hand_plans import NAMES, chain, make_subdivision, make_whirl, plan_of_tree
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.rehearsal.by_hand import find_allowance, rehearse_by_hand

STILL = {"seam_spread": 0.0, "cut_spread": 0.0}


def make_rows(*counts, width=24.0):
    """Rows of equal pieces over one width, sewn row by row."""
    shapes, rows = [], []
    for k, count in enumerate(counts):
        rows.append(chain(NAMES[len(shapes) : len(shapes) + count]))
        shapes += [make_rectangle(i * width / count, 4 * k, width / count, 4) for i in range(count)]
    patchwork = patchwork_from_outlines(shapes)
    cuts = cut_list(patchwork)
    return cuts, plan_of_tree(patchwork, cuts, chain(rows))


def test_rows_of_12_and_of_3_pieces_miss_each_other_by_9_sixteenths():
    """Common question W25, answer derived: each seam 1/32 in heavy, 11·2/32 = 0.69 and 2·2/32 = 0.125 in short."""
    found = rehearse_by_hand(*make_rows(12, 3), seam_bias=1 / 32, **STILL)
    (meeting,) = found.meetings
    assert meeting.seams == (11, 2)
    assert meeting.short == pytest.approx((0.6875, 0.125))
    assert meeting.mismatch == pytest.approx(0.5625)
    assert found.expected[0] == pytest.approx(24 - (0.6875 + 0.125) / 2)
    assert found.expected[1] == pytest.approx(8 - 2 / 32)


def test_true_allowance_is_read_off_a_strip_set():
    """Common question W24, answer derived: four strips of 1 1/2 in that measure 4 3/8 in, (6 - 4.375) / 6."""
    assert find_allowance([1.5] * 4, 4.375) == pytest.approx(0.2708, abs=5e-5)


@given(st.integers(2, 12), st.floats(-0.05, 0.05))
def test_find_allowance_undoes_the_rehearsal(count, bias):
    cuts, plan = make_rows(count)
    width = rehearse_by_hand(cuts, plan, trials=1, seam_bias=bias, **STILL).expected[0]
    strips = [24 / count + 0.5] * count
    assert find_allowance(strips, width + 0.5) == pytest.approx(0.25 + bias)


def test_without_errors_the_quilt_finishes_as_designed():
    for seed in range(20):
        patchwork, cuts, plan = make_subdivision(seed)
        found = rehearse_by_hand(cuts, plan, trials=3, **STILL)
        assert found.expected == pytest.approx(patchwork.finished)
        assert found.meetings == ()


def test_rows_of_equal_counts_meet_however_deep_the_seams():
    found = rehearse_by_hand(*make_rows(6, 6, 6), seam_bias=1 / 8, **STILL)
    assert found.meetings == ()
    assert found.expected[0] == pytest.approx(24 - 5 / 4)


def test_fold_counts_once_a_seam():
    found = rehearse_by_hand(*make_rows(5), fold=1 / 16, **STILL)
    assert found.expected[0] == pytest.approx(24 - 4 / 16)


def test_a_slanted_seam_takes_more_of_the_width():
    """Two halves of a square across its diagonal: a level line loses the seam's take divided by sin 45 degrees."""
    patchwork = patchwork_from_outlines([[(0, 0), (4, 0), (0, 4)], [(4, 0), (4, 4), (0, 4)]])
    cuts = cut_list(patchwork)
    found = rehearse_by_hand(cuts, plan_of_tree(patchwork, cuts, NAMES[:2]), seam_bias=0.01, **STILL)
    assert found.expected == pytest.approx((4 - 0.02 * 2**0.5,) * 2)


def test_spread_of_independent_seams_and_cuts_adds_up_as_the_root_of_squares():
    found = rehearse_by_hand(*make_rows(10), trials=4000, seam_spread=0.02, cut_spread=0.01)
    meant = np.sqrt(9 * (2 * 0.02) ** 2 + 20 * 0.01**2)
    assert np.std(found.width) == pytest.approx(meant, rel=0.05)
    (low, high), _ = found.spread()
    assert high - low == pytest.approx(2 * 1.645 * meant, rel=0.08)


def test_the_same_seed_gives_the_same_rehearsals_and_another_does_not():
    cuts, plan = make_rows(4, 5)
    first, again, other = (rehearse_by_hand(cuts, plan, trials=250, seed=seed) for seed in (3, 3, 4))
    assert first == again
    assert first.width != other.width


def test_progress_is_told_up_to_the_last_rehearsal():
    told = []
    rehearse_by_hand(*make_rows(3), trials=250, progress=lambda _, done, wanted: told.append((done, wanted)))
    assert told == [(100, 250), (200, 250), (250, 250)]


def test_partial_seams_are_computed_like_others():
    _, cuts, plan = make_whirl()
    found = rehearse_by_hand(cuts, plan, seam_bias=0.01, **STILL)
    assert 10 - 0.06 < found.expected[0] < 10


@pytest.mark.parametrize("wrong", [{"trials": 0}, {"seam_spread": -0.1}, {"cut_spread": -0.1}])
def test_nonsense_is_refused_in_a_sentence(wrong):
    with pytest.raises(KitError, match="Needed"):
        rehearse_by_hand(*make_rows(2), **wrong)


def test_one_strip_has_no_seam_to_measure():
    with pytest.raises(KitError, match="second"):
        find_allowance([2.5], 2.5)
