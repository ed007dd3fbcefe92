"""How much is still unfound: judged by counting, by likelihoods and by what the estimates are proved to give."""

from fractions import Fraction
from math import comb

import pytest

from kit.errors import KitError
from kit.testers.unfound import estimate_unfound


def make_two(first, second, common):
    return [set(range(first)), set(range(first - common, first + second - common))]


def test_two_testers_with_12_and_9_found_and_6_in_common_give_18_in_all():
    # The figures of the job: 12 and 9 found, 6 in common; 12 x 9 / 6 = 18 (Lincoln and Petersen; Polya 1976 for two
    # proofreaders, from memory).
    told = estimate_unfound(make_two(12, 9, 6))
    assert (told.method, told.found, told.by_tester, told.common) == ("Lincoln-Petersen", 15, (12, 9), 6)
    assert told.whole == pytest.approx(18)
    assert told.left == pytest.approx(3)
    assert "few-in-common" in told.limits


@pytest.mark.parametrize(("first", "second", "common"), [(12, 9, 6), (10, 7, 3), (20, 15, 11), (5, 5, 5), (8, 3, 1)])
def test_the_estimate_of_two_is_the_most_likely_number(first, second, common):
    # By counting, without the formula: of N places, 'first' are marked; how likely are 'common' among 'second'?
    def likelihood(whole):
        return Fraction(comb(first, common) * comb(whole - first, second - common), comb(whole, second))

    seen = first + second - common
    best = max(range(seen, 200), key=likelihood)
    assert int(estimate_unfound(make_two(first, second, common)).whole) - best in (0, 1)
    whole = max(seen, int(estimate_unfound(make_two(first, second, common)).whole))
    assert likelihood(whole) == likelihood(best)


@pytest.mark.parametrize(("whole", "first", "second"), [(18, 12, 9), (10, 6, 5), (14, 14, 3)])
def test_the_corrected_estimate_is_right_on_average(whole, first, second):
    # Chapman 1951 (from memory): without bias where both together could have found everything.
    mean = sum(
        Fraction(comb(first, m) * comb(whole - first, second - m), comb(whole, second))
        * Fraction(estimate_unfound(make_two(first, second, m)).corrected).limit_denominator(10**6)
        for m in range(max(0, first + second - whole), min(first, second) + 1)
    )
    assert float(mean) == pytest.approx(whole, abs=1e-9)


@pytest.mark.parametrize("testers", [3, 4, 5])
def test_where_every_place_is_found_as_easily_the_estimate_of_several_is_exact(testers):
    # Each of 2**t subsets of testers found the same number of places: each finds a place with probability one half.
    each = 4
    sets = [set() for _ in range(testers)]
    for pattern in range(1, 2**testers):
        for tester in range(testers):
            if pattern >> tester & 1:
                sets[tester] |= {(pattern, copy) for copy in range(each)}
    told = estimate_unfound(sets)
    assert told.method == "Chao"
    assert told.whole == pytest.approx(each * 2**testers)
    assert told.left == pytest.approx(each)


def test_where_some_places_are_harder_to_find_the_estimate_of_several_is_too_low_and_says_so():
    # 64 places found with probability one half by each of three, 64 never found.
    sets = [{(p, c) for p in range(8) for c in range(8) if p >> tester & 1} for tester in range(3)]
    told = estimate_unfound(sets)
    assert told.whole < 128
    assert "at-least" in told.limits


def test_two_without_a_place_in_common_get_no_estimate_but_are_told_why():
    told = estimate_unfound([{1, 2, 3}, {4, 5}])
    assert (told.method, told.whole, told.left, told.found) == ("none", None, None, 5)
    assert told.limits[0] == "none-in-common"
    assert told.corrected == pytest.approx(11)


def test_one_tester_or_nothing_found_gets_no_estimate():
    assert estimate_unfound([{1, 2}]).limits == ("one-tester",)
    assert estimate_unfound([set(), set()]).limits == ("nothing-found",)
    with pytest.raises(KitError, match=r"Needed: .*Read at least one form"):
        estimate_unfound([])


def test_several_of_whom_no_two_found_the_same_get_a_finite_figure_that_says_so():
    told = estimate_unfound([{1}, {2}, {3, 4}])
    assert told.whole > told.found
    assert "none-twice" in told.limits


def test_all_in_common_leaves_nothing():
    assert estimate_unfound([{1, 2}, {1, 2}]).left == 0
    assert estimate_unfound([{1, 2}, {1, 2}, {1, 2}]).left == 0
