"""Five hundred forms of each system with one number wrong by a plausible slip, and as many right ones, audited.

    PYTHONPATH=.:tests/support python tests/sweeps/planted_slips.py [FORMS]

The suite takes some of them (`tests/auditing/test_planted_slips.py`).
"""

import sys
from collections import Counter, defaultdict
from itertools import islice, zip_longest
from random import Random

from planted_forms import enlarge, list_own_forms, list_slips, plant

from kit.auditing.audit_form import audit_form
from kit.auditing.form_entries import read_toml_form
from kit.auditing.form_writing import write_form_text

SYSTEMS = ("inch", "metric")


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


def draw_slips(system, count, sizes=None):
    """Return so many slips of a system, of every kind alike as far as there are so many."""
    by_kind = defaultdict(list)
    for form in list_own_forms(system, sizes):
        for slip in list_slips(form):
            by_kind[slip[0]].append((form, slip))
    for kind in sorted(by_kind):
        Random(f"22 {kind}").shuffle(by_kind[kind])  # noqa: S311  the same slips each time
    turns = zip_longest(*(by_kind[kind] for kind in sorted(by_kind)))
    drawn = ((plant(form, slip), slip) for turn in turns for form, slip in filter(None, turn))
    return list(islice(((made, slip) for made, slip in drawn if made is not None), count))


def find_missed(system, count, sizes=None):
    """Return how many slips of each kind were planted, and those that are not found and named at their line."""
    kinds, missed = Counter(), []
    for form, slip in draw_slips(system, count, sizes):
        kinds[slip[0]] += 1
        where, line = name_place(form, slip)
        faults = find(form).list_faults()
        if not any(fault.where.endswith(where) and fault.line == line for fault in faults):
            missed.append((form["title"], slip, [str(fault) for fault in faults][:3]))
    return kinds, missed


def find_alarms(system, count, sizes=None):
    """Return the right forms, made safely larger here and there, in which the audit finds a fault."""
    forms, alarms = list_own_forms(system, sizes), []
    for seed in range(count):
        found = find(enlarge(forms[seed % len(forms)], seed))
        if not found.passes:
            alarms.append((found.title, seed, [str(fault) for fault in found.list_faults()][:2]))
    return alarms


def main(count=500):
    for system in SYSTEMS:
        kinds, missed = find_missed(system, count)
        print(f"{system}: {kinds.total()} slips, {len(missed)} not found; {dict(kinds)}", flush=True)  # noqa: T201
        print(*missed, sep="\n")  # noqa: T201
        alarms = find_alarms(system, count)
        print(f"{system}: {count} right forms, {len(alarms)} false alarms", flush=True)  # noqa: T201
        print(*alarms, sep="\n")  # noqa: T201


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
