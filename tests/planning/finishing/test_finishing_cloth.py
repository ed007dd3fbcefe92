"""Backing, binding and bias one by one, each against another way to compute it."""

from dataclasses import replace
from itertools import permutations, product
from math import hypot, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.checks.finishing_check import check_finishing_plan
from kit.errors import CheckError, KitError
from kit.geometry.outlines import measure_area
from kit.model.finishing import FinishingWishes, TopFacts
from kit.planning.finishing.backing import find_diagonal_length, plan_backing
from kit.planning.finishing.backing_on_hand import lay_seams, piece_backing
from kit.planning.finishing.bias_strips import cut_parallelogram, find_bias_square, measure_bias_square
from kit.planning.finishing.binding import plan_binding
from kit.planning.finishing.border_strips import fit_border, plan_borders
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.off_the_bolt import count_strips, count_unjoined

HALF = st.integers(1, 400).map(lambda n: n / 2)


@given(HALF, st.integers(20, 120), st.integers(0, 10))
def test_the_count_of_strips_is_the_first_number_that_serves(needed, length, join):
    tried = next(n for n in range(1, 300) if n * length - (n - 1) * join >= needed)
    assert count_strips(needed, length, join) == tried


def test_lengths_that_fit_whole_need_no_join():
    assert count_unjoined([20, 20, 20, 20], 40) == 2
    assert count_unjoined([41], 40) is None
    (border,) = plan_borders(20.0, 20.0, FinishingWishes(), TopFacts(borders=(1.0,)))
    assert (border.strips, border.joins) == (2, 0)


def test_three_short_borders_joined_take_a_strip_less_than_whole_ones():
    (border,) = plan_borders(26.0, 26.0, FinishingWishes(), TopFacts(borders=(1.0,)))
    assert sum(border.lengths) == pytest.approx(2 * 24.5 + 2 * 26.5)
    assert (border.strips, border.joins) == (3, 2)


# Diagonal cut


@settings(max_examples=60)
@given(st.floats(1.05, 1.45), st.floats(40, 110), st.floats(0, 0.75))
def test_the_halves_of_a_diagonal_cut_slid_and_sewn_are_as_large_as_the_backing(ratio, length, allowance):
    """Move one triangle as the hand does: along the cut by t, then over the other by two allowances."""
    room = 40.0
    width = ratio * room
    cloth = find_diagonal_length(width, length, room, allowance)
    slope = hypot(room, cloth)
    across = (room, cloth)
    t = (width - room + 2 * allowance * cloth / slope) / (room / slope)
    left = -t * across[0] / slope + 2 * allowance * cloth / slope
    top = cloth - t * across[1] / slope - 2 * allowance * room / slope
    assert room - left == pytest.approx(width)
    assert top == pytest.approx(length)


def test_the_diagonal_cut_saves_cloth_up_to_one_and_a_half_widths():
    """Useful while L·F/(2F - W) is below 2L, that is W below 1.5 F."""
    assert find_diagonal_length(59.9, 80, 40) < 160
    assert find_diagonal_length(50, 60, 40) == 80
    for width in (40, 60, 61):
        with pytest.raises(KitError, match="one and a half"):
            find_diagonal_length(width, 80, 40)


def test_a_backing_little_wider_than_the_cloth_is_cut_diagonally():
    backing = plan_backing(40.0, 60.0, FinishingWishes(wide_width=None), TopFacts())
    assert backing.chosen.way == "diagonal"
    assert backing.chosen.cloth == pytest.approx(find_diagonal_length(48.0, 68.0, 40.0, 0.5))
    assert sum(measure_area(panel.outline) for panel in backing.chosen.panels) == pytest.approx(48 * 68)


# On hand


def brute(needed, pieces, allowance):
    """The fewest pieces, by every order, turn and division into columns."""
    for count in range(1, len(pieces) + 1):
        for order in permutations(range(len(pieces)), count):
            for turns in product((0, 1), repeat=count):
                sizes = [pieces[i][::-1] if turn else pieces[i] for i, turn in zip(order, turns, strict=True)]
                for cuts in product((0, 1), repeat=count - 1):
                    columns = [[sizes[0]]]
                    for size, cut in zip(sizes[1:], cuts, strict=True):
                        columns[-1:] = [columns[-1], [size]] if cut else [[*columns[-1], size]]
                    for across, along in (needed, needed[::-1]):
                        wide = sum(min(w for w, _ in column) for column in columns) - 2 * allowance * (len(columns) - 1)
                        high = min(sum(h for _, h in c) - 2 * allowance * (len(c) - 1) for c in columns)
                        if wide >= across and high >= along:
                            return count
    return None


@settings(max_examples=40)
@given(st.lists(st.tuples(st.integers(8, 40), st.integers(8, 40)), min_size=1, max_size=4), st.integers(20, 50))
def test_a_backing_of_what_is_on_hand_has_the_fewest_pieces_that_can_be(pieces, side):
    needed = (float(side), side + 6.0)
    panels, covers = piece_backing(needed, pieces, 0.5)
    assert (len(panels) or None) == brute(needed, pieces, 0.5)
    if panels:
        assert covers[0] >= needed[0]
        assert covers[1] >= needed[1]
        assert sum(measure_area(panel.outline) for panel in panels) == pytest.approx(needed[0] * needed[1])


def test_pieces_on_hand_are_taken_before_cloth_off_the_bolt():
    backing = plan_backing(40.0, 40.0, FinishingWishes(on_hand=((26.0, 50.0), (25.0, 48.0))), TopFacts())
    assert (backing.chosen.way, backing.chosen.seams, backing.chosen.bought) == ("on hand", 1, 0.0)


def test_seams_lie_an_allowance_inside_the_edge_of_each_width():
    assert lay_seams((40, 40, 40), 0.5, 100) == (0.0, 39.5, 78.5, 100.0)


# Bias


@given(st.floats(8, 60), st.sampled_from((1.5, 2.0, 2.25, 2.5, 3.0)))
def test_bias_counted_by_strips_is_never_longer_than_its_area_allows(side, strip):
    _, plain = measure_bias_square(side, strip)
    _, sewn = measure_bias_square(side, strip, 0.25)
    assert sewn <= plain <= side * side / strip + 1e-6


@given(st.floats(60, 400), st.sampled_from((1.5, 2.0, 2.5)))
def test_the_smallest_bias_square_serves_and_half_an_inch_less_does_not(needed, strip):
    side = find_bias_square(needed, strip, 0.25, 60.0)
    assert measure_bias_square(side, strip, 0.25)[1] >= needed - 1e-6
    assert measure_bias_square(side - 0.5, strip, 0.25)[1] < needed


def test_bias_strips_lie_within_their_parallelogram():
    """Lay the strips: each takes w·√2 of the edge, and no further one has room."""
    count, length = cut_parallelogram(31, 20, 2.5)
    assert count * 2.5 * sqrt(2) <= 20 < (count + 1) * 2.5 * sqrt(2)
    assert length == pytest.approx(hypot(31, 31))


# Borders and binding


def test_left_over_cloth_is_used_for_the_binding_first():
    top = TopFacts(left_over=((42.0, 5.0), (11.0, 11.0)))
    with_, without = (plan_binding(40.0, 50.0, FinishingWishes(left_over_first=first), top) for first in (True, False))
    assert with_.from_left_over == 2
    assert max(with_.lengths) == 42.0
    assert (len(with_.lengths), len(without.lengths)) == (5, 6)
    assert with_.cloth == 3 * 2.5
    assert with_.total >= with_.needed
    assert without.from_left_over == 0


def test_a_binding_all_of_left_over_cloth_buys_nothing():
    top = TopFacts(left_over=((42.0, 20.0),))
    binding = plan_binding(30.0, 30.0, FinishingWishes(left_over_first=True), top)
    assert binding.bought == binding.cloth == 0.0
    assert binding.total >= binding.needed


def test_the_layers_are_trimmed_outside_the_raw_edge_by_what_the_binding_is_wider_than_the_allowance():
    assert plan_binding(40.0, 50.0, FinishingWishes(), TopFacts()).beyond == 0.125
    assert plan_binding(40.0, 50.0, FinishingWishes(binding_finished=0.25), TopFacts()).beyond == 0.0


def test_a_mean_of_measurements_is_eased_by_the_same_from_both_sides():
    fit = fit_border((59.5, 60.0, 60.5))
    assert (fit.length, fit.ease) == (60.0, 0.5)
    with pytest.raises(KitError, match="measured"):
        fit_border(())


def test_measured_edges_set_the_outermost_border_and_too_much_ease_is_told():
    wishes = FinishingWishes(measured_widths=(40.25, 40.5, 40.75), measured_heights=(50.0, 50.5, 51.5))
    (border,) = plan_borders(50.0, 60.0, wishes, TopFacts(borders=(5.0,)))
    assert border.lengths == pytest.approx((50 + 2 / 3, 50 + 2 / 3, 50.5, 50.5))


def test_mitred_strips_are_the_side_two_borders_and_a_little_longer():
    wishes = FinishingWishes(mitre_extra=3.0)
    (border,) = plan_borders(50.0, 60.0, wishes, TopFacts(borders=(5.0,), corners=("mitred",)))
    assert border.lengths == (50.5 + 10 + 3,) * 2 + (40.5 + 10 + 3,) * 2


def test_cornerstones_end_the_strips_at_the_corners():
    (border,) = plan_borders(50.0, 60.0, FinishingWishes(), TopFacts(borders=(5.0,), corners=("cornerstones",)))
    assert border.lengths == (50.5, 50.5, 40.5, 40.5)


# Joins that a hand's width more cloth spares


def plan_top(width, height, **facts):
    return finishing_plan(width, height, FinishingWishes(sleeve=False, wide_width=None), TopFacts(**facts))


def kinds(plan):
    return {one.kind: one for one in plan.assumptions}


def test_a_backing_takes_a_hand_more_cloth_for_a_seam_less_and_says_so():
    # 102 by 67 in: along the quilt three widths of 42 in, 201 in; across it two of 102 in, 204 in. 102 by 66: 198 in.
    plan = plan_top(94.0, 59.0, usable_width=42.0)
    check_finishing_plan(94.0, 59.0, plan)
    assert [(way.way, way.seams, way.cloth) for way in plan.backing.ranked] == [
        ("lengthwise", 2, 201.0), ("crosswise", 1, 204.0),
    ]  # fmt: skip
    assert plan.backing.chosen.way == "crosswise"
    said = kinds(plan)["backing-seams-spared"]
    assert (said["count"], said["more"]) == (1, 4.5)  # 202 1/2 and 207 in are bought, with an inch for squaring up
    more = plan_top(94.0, 58.0, usable_width=42.0)
    check_finishing_plan(94.0, 58.0, more)
    assert (more.backing.chosen.way, more.backing.chosen.cloth) == ("lengthwise", 198.0)
    assert "backing-seams-spared" not in kinds(more)


def test_a_backing_that_takes_the_least_though_a_hand_spares_a_seam_is_refused():
    plan = plan_top(94.0, 59.0, usable_width=42.0)
    damaged = replace(plan, backing=replace(plan.backing, chosen=plan.backing.ranked[0]))
    with pytest.raises(CheckError, match="the way `lengthwise` is taken"):
        check_finishing_plan(94.0, 59.0, damaged)


def test_the_width_that_spares_a_seam_or_a_strip_is_said_up_to_a_hand():
    # 84 in across: two widths of 42 in and a seam of 1/2 in give 83 in; two of 42 1/2 in give 84 in.
    said = kinds(plan_top(76.0, 76.0, usable_width=42.0))
    assert (said["backing-wider"]["width"], said["backing-wider"]["seams"]) == (42.5, 1)
    assert "backing-wider" not in kinds(plan_top(90.0, 90.0, usable_width=42.0))
    # Binding round 60 by 62 in is 256 in; 7 strips of 42 in and diagonal joins of 2 1/2 in give 279 in, 6 give 239 1/2:
    # they would have to be (256 + 12 1/2) / 6 = 44 3/4 in long.
    said = kinds(plan_top(60.0, 62.0, usable_width=42.0))
    assert (said["binding-wider"]["width"], said["binding-wider"]["strips"]) == (44.75, 6)
    assert "binding-wider" not in kinds(plan_top(63.0, 67.0, usable_width=42.0))  # (272 + 12 1/2) / 6 = 47 1/2 in


@pytest.mark.parametrize(("side", "way", "cloth"), [(43.0, "lengthwise", 43.5), (44.0, "crosswise", 40.0)])
def test_a_border_is_cut_along_the_cloth_where_that_takes_a_hand_more_than_joins(side, way, cloth):
    # Four strips of 10 in lie side by side in 42 in. Round 43 in: 24 1/2 and 43 1/2 in long, so 43 1/2 in along
    # the cloth; joined 136 in, four strips, 40 in. Round 44 in: 44 1/2 in along the cloth, over a hand more than 40 in.
    plan = plan_top(side, side, usable_width=42.0, borders=(9.5,))
    check_finishing_plan(side, side, plan)
    (border,) = plan.borders
    assert (border.way, border.cloth) == (way, cloth)
    assert ("border-joins-spared" in kinds(plan)) == (way == "lengthwise")
    other = replace(border, cloth=border.other, other=border.cloth, way="crosswise", strips=4, joins=3)
    if way == "lengthwise":
        with pytest.raises(CheckError, match="border 1"):
            check_finishing_plan(side, side, replace(plan, borders=(other,)))
