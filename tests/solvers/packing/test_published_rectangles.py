"""Published lists of rectangles: the data, layouts by straight cuts, and nothing that a simple rule undercuts."""

from collections import Counter

import pytest
from priority_rules import find_least_by_rule
from published_rectangles import PROVED, read_published
from small_sheets import check_layout, cut_apart

from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.strip_packing import measure_layout

pytestmark = pytest.mark.slow

EVERY = read_published()
SMALL = [one for one in EVERY if len(one.pieces) <= 25 and one.width <= 100]
FEW = 14
"""Lists of no more pieces are laid out thoroughly as well: some seconds each."""
BY_NAME = {one.name: one for one in EVERY}


def test_a_pinwheel_is_told_from_what_can_be_cut():
    pinwheel = [(0, 0, 2, 1), (2, 0, 1, 2), (1, 2, 2, 1), (0, 1, 1, 2), (1, 1, 1, 1)]
    assert not cut_apart(pinwheel)
    assert cut_apart([(0, 0, 2, 1), (2, 0, 1, 2), (0, 1, 2, 1)])


def test_the_lists_are_as_many_and_as_large_as_published():
    assert Counter(one.family for one in EVERY) == {"C": 21, "ngcut": 12, "cgcut": 3, "gcut": 13, "beng": 10, "bkw": 11}
    sizes = {family: sorted(len(one.pieces) for one in EVERY if one.family == family) for family in ("C", "bkw")}
    # Hopper and Turton (2001), table 1; Burke, Kendall and Whitwell (2004), table 1.
    assert sizes["C"] == sorted([16, 17, 16, 25, 25, 25, 28, 29, 28, *[49] * 3, *[73] * 3, *[97] * 3, 196, 197, 196])
    assert sizes["bkw"] == [10, 20, 30, 40, 50, 60, 70, 80, 100, 200, 300]


@pytest.mark.parametrize("one", EVERY, ids=lambda one: one.name)
def test_areas_are_those_of_the_sources_and_no_known_length_is_below_them(one):
    area = sum(wide * high for wide, high in one.pieces)
    assert area == one.area
    if one.family in {"C", "bkw"}:
        assert area == one.width * one.best  # cut from a sheet without waste
    elif one.best:
        assert area <= one.width * one.best
    assert all(wide <= one.width for wide, _ in one.pieces)


@pytest.mark.parametrize(
    ("one", "turn"),
    [(one, bool(k % 2)) for k, one in enumerate(SMALL)],
    ids=lambda value: getattr(value, "name", "turned" if value else "fixed"),
)
def test_small_lists_are_never_longer_than_the_rules_and_thorough_never_than_steady(one, turn):
    kinds = one.kinds(turn=turn)
    steady, bound = lay_out(kinds, one.width, "steady")
    check_layout(kinds, one.width, steady)
    assert (
        max(bound, one.least(turn=turn))
        <= measure_layout(steady)
        <= find_least_by_rule(one.pieces, one.width, turn=turn)[0]
    )
    if len(one.pieces) > FEW:
        return
    thorough, better = lay_out(kinds, one.width, "thorough")
    check_layout(kinds, one.width, thorough)
    assert bound <= better <= measure_layout(thorough) <= measure_layout(steady)


def test_no_bound_is_above_a_length_that_straight_cuts_reach():
    # bkw and gcut1 to 3 as given: their least lengths are known to be reached by straight cuts, or were reached here.
    for name, reached in (("bkw1", 40), ("bkw2", 50), ("bkw3", 50), ("gcut1", 1016), ("gcut3", 1803), ("C1P1", 20)):
        kinds = BY_NAME[name].kinds(turn=False)
        layout, bound = lay_out(kinds, BY_NAME[name].width, "steady")
        assert bound <= reached
        assert measure_layout(layout) == reached


def test_straight_cuts_need_more_than_the_least_where_the_least_is_a_pinwheel():
    # C1P2 is known to be packed 20 long; by straight cuts no layout is that short, which the pairs prove.
    layout, bound = lay_out(BY_NAME["C1P2"].kinds(turn=False), 20, "steady")
    assert bound == 21
    assert measure_layout(layout) == 22
    assert "ngcut8" in PROVED
    layout, bound = lay_out(BY_NAME["ngcut8"].kinds(turn=False), 20, "steady")
    assert measure_layout(layout) == bound == 35
