"""Cutting to the least cloth: the optimum where all arrangements are known, nearly no waste where none is needed.

`tests/sweeps/cutting_sweep.py` does the same for some hundred sheets and lists; here are as many as a minute allows.
"""

import pytest
from cut_lists import count_by_kind, make_list
from cutting_sweep import draw_list, draw_sheet, pack, plan
from hypothesis import given, settings
from hypothesis import strategies as st
from small_sheets import count, draw_few, find_least

from kit.checks.cutting_check import check_cutting_plan
from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import cutting_plan

FEW = settings(max_examples=8)


# All arrangements


def test_the_search_of_the_tests_knows_a_case_worked_by_hand():
    # 2 x 6 and two of 3 x 4 in 6 wide: 6 x 2 above 3 x 4 twice, 6 long; area is 36 of 36.
    assert find_least([(2, 6), (3, 4), (3, 4)], 6) == 6
    # In 5 wide two of 3 x 4 stand above each other, 3 wide and 8 long, and 2 x 6 stands beside them.
    assert find_least([(2, 6), (3, 4), (3, 4)], 5) == 8


@pytest.mark.parametrize("effort", ["steady", "thorough"])
@pytest.mark.parametrize("block", range(2))
def test_a_handful_of_pieces_takes_the_least_of_all_arrangements(effort, block):
    for seed in range(15 * block, 15 * block + 15):
        width, pieces = draw_few(seed)
        found = plan(count(pieces), width, effort)
        assert found.cloth["patch"] == found.bound["patch"] == find_least(pieces, round(width * 4)) / 4, seed


# Sheets that can be cut without waste


@pytest.mark.parametrize("block", [0, 3])
def test_sheets_cut_apart_at_random_are_put_together_again(block):
    over = []
    for seed in range(5 * block, 5 * block + 5):
        width, length, sizes = draw_sheet(seed)
        found = plan(sizes, width)
        assert found.bound["patch"] <= length + 1e-6
        over.append(found.cloth["patch"] / length - 1)
    assert max(over) <= 0.06
    assert sum(over) / len(over) <= 0.02


# Random lists


@pytest.mark.parametrize("block", range(4))
def test_lists_come_near_the_bound_and_take_no_more_than_strips_by_kind_or_a_packer(block):
    gaps, ratios = [], []
    for seed in range(5 * block, 5 * block + 5):
        width, sizes = draw_list(seed)
        found = plan(sizes, width, "steady")
        assert found.cloth["patch"] <= count_by_kind(sizes, width) + 1e-6, seed
        gaps.append(found.gap)
        ratios.append(found.cloth["patch"] / pack(sizes, width))
    assert sum(gaps) / len(gaps) <= 0.03
    assert sum(ratios) / len(ratios) <= 1.0


# Direction


@FEW
@given(st.integers(0, 10_000))
def test_a_one_way_print_takes_at_least_as_much(seed):
    width, sizes = draw_list(seed)
    cuts = make_list([(low, long, min(many, 12)) for low, long, many in sizes])
    lengths = []
    for way in ({}, {"one_way": True}, {"nap": True}):
        found = cutting_plan(cuts, [Supply("patch", width=width, **way)], effort="steady")
        check_cutting_plan(cuts, found)
        lengths.append(found.cloth["patch"])
    assert lengths == sorted(lengths)
