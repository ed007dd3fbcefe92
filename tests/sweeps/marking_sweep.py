"""Marking: many right answers in many notations, and many slips.

PYTHONPATH=.:tests/support python tests/sweeps/marking_sweep.py 10000
"""

import sys
from collections import Counter
from random import Random

from written_answers import write_right, write_slip

from kit.lessons import KINDS, make_exercise, mark


def gather(count, seeds=25):
    """Return what was marked: notation -> right answers, faults among them, verdicts of slips, faults among those."""
    dice = Random(20)
    exercises = [
        make_exercise(kind, seed, system) for kind in KINDS for system in ("inch", "metric") for seed in range(seeds)
    ]
    ways, faults, slips, missed = Counter(), [], Counter(), []
    for number in range(count):
        exercise = exercises[number % len(exercises)]
        way, which, text = write_right(exercise, dice)
        found = mark(exercise, text)
        ways[way] += 1
        if found.verdict != "right":
            faults.append((exercise.kind, exercise.seed, exercise.terms.system, way, which, text, found.said))
        name, way, text = write_slip(exercise, dice)
        found = mark(exercise, text)
        as_named = name in found.mistakes
        slips["named" if as_named else f"{found.verdict}{'' if name == 'other' else ', not named'}"] += 1
        if found.verdict not in ("mistake", "wrong"):
            missed.append((exercise.kind, exercise.seed, exercise.terms.system, name, way, text, found.said))
    return ways, faults, slips, missed


if __name__ == "__main__":
    ways, faults, slips, missed = gather(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
    print(f"{sum(ways.values())} right answers in {len(ways)} notations, {len(faults)} not marked right")
    print(f"{sum(slips.values())} slips: {dict(slips)}; {len(missed)} neither named nor honestly unknown")
    for one in [*faults[:40], *missed[:40]]:
        print(*one, sep=" | ")
    sys.exit(bool(faults or missed))
