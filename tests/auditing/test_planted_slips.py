"""Five hundred forms of each system with one number wrong by a plausible slip, and as many right ones."""

from collections import Counter, defaultdict
from itertools import zip_longest
from random import Random

import pytest
from planted_forms import enlarge, list_own_forms, list_slips, plant

from kit.auditing.audit_form import audit_form
from kit.auditing.form_entries import read_toml_form
from kit.auditing.form_writing import write_form_text

pytestmark = pytest.mark.slow
COUNT = 500
SYSTEMS = ("inch", "metric")
KINDS = {
    "7/8 forgotten", "one border allowance", "per side for total", "area for strips", "42 for 40", "doubled count",
}  # fmt: skip


def find(form):
    return audit_form(read_toml_form(write_form_text(form)))


def name_place(form, slip):
    """Return how the audit calls the planted figure, and the line on which it stands in the file."""
    _, number, kind, k, key, _ = slip
    held = form["size"][number][kind]
    entry = held[k] if isinstance(held, list) else held
    named = f"{kind} {entry.get('name', entry.get('fabric', ''))}".strip()
    lines = write_form_text(form).splitlines()
    head = f"[[size.{kind}]]" if isinstance(held, list) else f"[size.{kind}]"
    sizes = [n for n, line in enumerate(lines) if line == "[[size]]"]
    start = [n for n, line in enumerate(lines) if line == head and n > sizes[number]][k]
    line = next(n for n, text in enumerate(lines[start:], start=start + 1) if text.startswith(f"{key} = "))
    return f"{named}: {key}", line


def draw_slips(system):
    """Return so many slips of a system, of every kind alike as far as there are so many."""
    by_kind = defaultdict(list)
    for form in list_own_forms(system):
        for slip in list_slips(form):
            made = plant(form, slip)
            if made is not None:
                by_kind[slip[0]].append((made, slip))
    for kind in sorted(by_kind):
        Random(f"22 {kind}").shuffle(by_kind[kind])  # noqa: S311  the same slips each time
    turns = zip_longest(*(by_kind[kind] for kind in sorted(by_kind)))
    return [one for turn in turns for one in turn if one is not None][:COUNT]


@pytest.mark.parametrize("system", SYSTEMS)
def test_planted_slips_are_found_and_named_at_their_line(system):
    drawn = draw_slips(system)
    assert len(drawn) == COUNT
    kinds, missed = Counter(slip[0] for _, slip in drawn), []
    for form, slip in drawn:
        where, line = name_place(form, slip)
        faults = find(form).list_faults()
        if not any(fault.where.endswith(where) and fault.line == line for fault in faults):
            missed.append((form["title"], slip, [str(fault) for fault in faults][:3]))
    assert set(kinds) == KINDS
    assert min(kinds.values()) >= 20, kinds
    assert len(missed) <= 0.02 * COUNT, missed[:5]


@pytest.mark.parametrize("system", SYSTEMS)
def test_right_forms_with_safe_oversize_raise_no_alarm(system):
    forms = list_own_forms(system)
    alarms = []
    for seed in range(COUNT):
        found = find(enlarge(forms[seed % len(forms)], seed))
        if not found.passes:
            alarms.append((found.title, seed, [str(fault) for fault in found.list_faults()][:2]))
    assert alarms == []


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_kits_own_patterns_pass_as_they_are(system):
    for form in list_own_forms(system):
        found = find(form)
        assert found.passes, found
        assert sum(line.verdict == "proved" for line in found.lines) >= 0.4 * len(found.lines)
