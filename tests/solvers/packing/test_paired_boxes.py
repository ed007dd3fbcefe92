"""Pairs of boxes prove what every arrangement shows; orders stay within the ruler; small random lists are proved."""

from collections import Counter
from random import Random

import pytest
from cutting_sweep import draw_list, plan
from small_sheets import check_layout, count, draw_few, find_least

from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.learned_orders import order_pieces
from kit.solvers.packing.paired_boxes import PairLimits, prove_by_pairs, search_pairs
from kit.solvers.packing.strip_packing import RectangleKind, measure_layout

LIMITS = PairLimits(5_000, 2_000_000)


def as_kinds(pieces):
    return [RectangleKind(round(long * 4), round(low * 4), n, low != long) for low, long, n in count(pieces)]


@pytest.mark.parametrize("block", range(4))
def test_pairs_find_the_least_of_every_arrangement_and_prove_the_next_shorter_impossible(block):
    for seed in range(100 + 15 * block, 115 + 15 * block):
        width, pieces = draw_few(seed)
        wide, kinds = round(width * 4), as_kinds(pieces)
        least = find_least(pieces, wide)
        found = search_pairs(kinds, wide, least, LIMITS)
        check_layout(kinds, wide, found.layout)
        assert found.layout[0][0].height == least
        assert search_pairs(kinds, wide, least - 1, LIMITS) == (None, True)
        lengths = range(max(1, least - 9), least + 9)
        layout, proved = prove_by_pairs(kinds, wide, lengths, LIMITS)
        assert lengths[proved] == measure_layout(layout) == least


def test_a_search_that_is_cut_short_says_so():
    random = Random(5)
    kinds = [RectangleKind(random.randint(5, 40), random.randint(5, 40), 2, turn=True) for _ in range(8)]
    area = sum(kind.area * kind.count for kind in kinds)
    assert not search_pairs(kinds, 60, area // 60 + 12, PairLimits(5_000, 20_000)).complete
    assert not search_pairs(kinds, 60, area // 60 + 12, PairLimits(20, 2_000_000)).complete


@pytest.mark.parametrize("seed", range(6))
def test_orders_give_every_piece_within_the_ruler(seed):
    random = Random(seed)
    sides = [(random.randint(5, 60), random.randint(5, 30), random.randint(1, 4)) for _ in range(9)]
    kinds = [RectangleKind(*side, turn=True) for side in sides]
    found = [layout for layout in order_pieces(kinds, 100, 9_999, 1, 9_000, 60) if layout]
    for layout in found:
        check_layout(kinds, 100, layout)
        assert all(strip.height <= 60 for strip, _ in layout)
    lengths = [measure_layout(layout) for layout in found]
    assert lengths == sorted(set(lengths), reverse=True)


@pytest.mark.parametrize(("seed", "least"), [(22, 9.375), (28, 10.5)])
def test_the_worst_random_lists_are_now_as_short_as_is_possible(seed, least):
    # Both were found 5.4 and 7.1 % above a bound that is all but reached: 23 and 22 pieces of four and three kinds.
    width, sizes = draw_list(seed)
    found = plan(sizes, width, "steady")
    assert found.cloth["patch"] == found.bound["patch"] == least


@pytest.mark.parametrize("seed", [45])
def test_lists_that_were_far_above_the_bound_come_within_three_parts_of_a_hundred(seed):
    # They were 4.4, 3.0, 4.2 and 3.5 % above the bound, the worst of sixty random lists. The long dives that bring
    # them down are those of thorough cutting; steady cutting, with a second for a whole quilt, leaves up to 3.5 %.
    width, sizes = draw_list(seed)
    found = plan(sizes, width, "thorough")
    assert found.bound["patch"] <= found.cloth["patch"] <= 1.03 * found.bound["patch"]


def test_a_thorough_layout_of_many_pieces_is_never_longer_than_a_steady_one():
    random = Random(8)
    kinds = [RectangleKind(random.randint(8, 60), random.randint(8, 60), 1, turn=False) for _ in range(30)]
    lengths = {effort: measure_layout(lay_out(kinds, 160, effort)[0]) for effort in ("quick", "steady", "thorough")}
    assert lengths["thorough"] <= lengths["steady"] <= lengths["quick"]


def test_within_a_ruler_nothing_shorter_is_left_though_the_search_ends_early():
    # Long sides of 21 to 30, a ruler of 20: every piece lies with its long side across. Where the least of every such
    # arrangement fits the ruler's length it has to be found; else strips within the ruler may take more.
    reached = 0
    for seed in range(40):
        random = Random(seed)
        pieces = [(random.randint(3, 9), random.randint(21, 30)) for _ in range(5)]
        kinds = [RectangleKind(long, low, n, turn=True) for (low, long), n in Counter(pieces).items()]
        least = find_least(pieces, 60, turn=False)
        layout, bound = lay_out(kinds, 60, "steady", most=20)
        check_layout(kinds, 60, layout)
        assert bound <= least <= measure_layout(layout)
        if least <= 20:
            assert measure_layout(layout) == least
            reached += 1
    assert reached > 10
