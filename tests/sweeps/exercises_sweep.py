"""Every kind of exercise worked out twice: by the kit, and by a formula of the printed question alone.

PYTHONPATH=.:tests/support python tests/sweeps/exercises_sweep.py [INSTANCES]
"""

import sys
from math import isclose

from lesson_formulas import work_out

from kit.lengths import write_exact
from kit.lessons.exercises.catalogue import KINDS, make_exercise
from kit.lessons.exercises.exercise import SLIP
from kit.lessons.exercises.marking import mark


def check_exercise(kind, exercise, system):
    """Assert that the answer is that of the formula, and that each named mistake is recognised by its name."""
    expected = work_out(kind, exercise.question)
    unit = 2.54 if system == "metric" and exercise.asks == "length" else 1.0
    within = 2e-3 if system == "metric" else 1e-6
    assert isclose(exercise.answer * unit, expected, rel_tol=0, abs_tol=within), exercise
    verdict = mark(exercise, write_answer(exercise, exercise.answer)).verdict
    assert verdict == ("mistake" if exercise.bought and exercise.answer < exercise.most - SLIP else "right")
    assert mark(exercise, write_answer(exercise, exercise.most)).verdict == "right"
    for wrong in exercise.mistakes:
        found = mark(exercise, write_answer(exercise, wrong.values[0]))
        assert found.verdict == "mistake"
        assert wrong.name in found.mistakes
        assert wrong.why in found.said


def write_answer(exercise, value):
    return write_exact(value) if exercise.asks == "length" else str(round(value))


def main(instances=200):
    for kind in KINDS:
        for system, count in (("inch", instances), ("metric", instances // 5)):
            for seed in range(count):
                check_exercise(kind, make_exercise(kind, seed, system), system)
        print(f"{kind}: {instances} and {instances // 5} instances, each answer and each mistake", flush=True)  # noqa: T201


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
