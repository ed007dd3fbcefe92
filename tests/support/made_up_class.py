"""A made-up class of twelve learners: who answers what, and which slips each of them tends to.

Run as a command it writes the files that the notebook shows:
PYTHONPATH=.:tests/support python tests/support/made_up_class.py data/class
"""

import sys
from pathlib import Path
from random import Random

from kit.lengths import write_plain
from kit.lessons import LESSONS, LearnerProgress, make_exercise, mark, write_progress
from kit.lessons.exercises.exercise import AREA, CUT_DOWN, DOWN, FORGOTTEN, ONE_SEAM, RULE, STRAIGHT

TENDS = {
    "learner-1": (FORGOTTEN,), "learner-2": (FORGOTTEN, AREA), "learner-3": (AREA,), "learner-4": (RULE, FORGOTTEN),
    "learner-5": (CUT_DOWN,), "learner-6": (FORGOTTEN, RULE), "learner-7": (AREA, ONE_SEAM), "learner-8": (RULE,),
    "learner-9": (FORGOTTEN, STRAIGHT), "learner-10": (), "learner-11": (AREA, RULE), "learner-12": (DOWN, AREA),
}  # fmt: skip
"""Learner -> slips. Counted by hand: allowance forgotten 5, area 5, wrong triangle rule 4; every other one once."""
LESSONS_SEEN = ("allowance", "sizes", "triangles", "on point", "strips")


def answer_exercises(name, slips):
    """Return the answers of a learner: a slip where it can be made, then the right answer; else right at once."""
    dice, progress = Random(f"class/{name}"), LearnerProgress()
    for lesson in LESSONS_SEEN:
        for kind in LESSONS[lesson].kinds:
            exercise = make_exercise(kind, dice.randint(1, 3))
            for wrong in exercise.mistakes:
                alone = len(exercise.find_mistakes(wrong.values[0])) == 1
                if wrong.name in slips and alone:
                    progress = answer(progress, exercise, wrong.values[0])
                    break
            if dice.random() < 0.15:
                progress = progress.show(exercise)
            right = exercise.most if exercise.bought else exercise.answer
            typed = write_plain(right) if exercise.asks == "length" else str(round(right))
            progress = progress.add(exercise, typed, mark(exercise, typed, shown=progress.was_shown(exercise)))
    return progress


def answer(progress, exercise, value):
    typed = f"{value:.4f} in" if exercise.asks == "length" else str(round(value))
    return progress.add(exercise, typed, mark(exercise, typed))


def write_class(folder):
    """Write a file for each learner; return their paths."""
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    return [write_progress(answer_exercises(name, slips), place / f"{name}.json") for name, slips in TENDS.items()]


if __name__ == "__main__":
    write_class(sys.argv[1])
