"""Forms of each system with one number wrong by a plausible slip, and as many right ones; 500 of each in a sweep."""

import pytest
from planted_forms import list_own_forms
from planted_slips import SYSTEMS, find, find_alarms, find_missed

pytestmark = pytest.mark.slow
COUNT, SIZES = 120, 1
"""`tests/sweeps/planted_slips.py` plants five hundred in the forms of every size; here it is the first of each."""
KINDS = {
    "7/8 forgotten", "one border allowance", "per side for total", "area for strips", "42 for 40", "doubled count",
}  # fmt: skip


@pytest.mark.parametrize("system", SYSTEMS)
def test_planted_slips_are_found_and_named_at_their_line(system):
    kinds, missed = find_missed(system, COUNT, SIZES)
    assert kinds.total() == COUNT
    assert set(kinds) == KINDS
    assert min(kinds.values()) >= 6, kinds  # few backings of the first sizes are bought narrow enough for 42 for 40
    assert len(missed) <= 0.02 * COUNT, missed[:5]


@pytest.mark.parametrize("system", SYSTEMS)
def test_right_forms_with_safe_oversize_raise_no_alarm(system):
    assert find_alarms(system, COUNT, SIZES) == []


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_kits_own_patterns_pass_as_they_are(system):
    for form in list_own_forms(system, SIZES):
        found = find(form)
        assert found.passes, found
        assert sum(line.verdict == "proved" for line in found.lines) >= 0.4 * len(found.lines)
