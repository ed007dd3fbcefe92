"""Sheets made from slips: exercises in which a slip can be made and is told from every right answer."""

import os
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.exercises.catalogue import KINDS, make_exercise
from kit.lessons.exercises.exercise import WRONG_UNIT, Exercise
from kit.lessons.paper.exercise_sheets import describe_answers, describe_questions
from kit.lessons.paper.typesetting import set_page
from kit.lessons.teaching.stumbles import ClassRecord, count_slips
from kit.output.document.document import save

TRIED = 60
"""The most exercises of a kind that are looked at for one with a slip."""


@cache
def list_kinds_with(slip: str, system: System = "inch") -> tuple[str, ...]:
    """Return the kinds of exercises in which a slip can be made.

    Examples
    --------
    >>> list_kinds_with("rounded down")
    ('strips', 'cloth to buy', 'number of strip sets', 'squares for units')
    """
    return tuple(
        kind for kind in KINDS if any(_can_slip(make_exercise(kind, seed, system), slip) for seed in (1, 2, 3))
    )


def _can_slip(exercise: Exercise, slip: str) -> bool:
    return exercise.asks == "length" if slip == WRONG_UNIT else any(one.name == slip for one in exercise.mistakes)


def aim_exercises(
    slips: Sequence[str],
    count: int = 12,
    seed: int = 1,
    system: System = "inch",
    *,
    first: Sequence[str] = (),
    known: Sequence[tuple[str, int]] = (),
) -> tuple[Exercise, ...]:
    """Make exercises that aim at slips, the slips in turn and the kinds of each in turn.

    Parameters
    ----------
    slips
        Names of slips, the commonest first.
    count
        The number of exercises, 1 to 200.
    seed
        Number of the sheet: exercises are numbered from 100 times it.
    system
        "inch" or "metric".
    first
        Kinds that come first where they allow the slip: those in which the class made it.
    known
        Kinds and numbers of exercises that were answered before; they are left out.

    Raises
    ------
    KitError
        No slip, or one that no exercise knows.
    """
    if not slips:
        raise KitError("No slip was named", needed="at least one", do="collect learners' files, or name a slip")
    if not 1 <= count <= 200:
        raise KitError(f"The number of exercises is {count}", needed="1 to 200", do="take twelve")
    kinds_of = {}
    for slip in slips:
        kinds = list_kinds_with(slip, system)
        if not kinds:
            raise KitError(f"No exercise knows the slip `{slip}`", needed="a slip of the table", do="leave it out")
        kinds_of[slip] = tuple(kind for kind in kinds if kind in first) or kinds
    taken = set(known)
    made = []
    for number in range(count):
        slip = slips[number % len(slips)]
        kinds = kinds_of[slip]
        made.append(_find_exercise(kinds[number // len(slips) % len(kinds)], slip, seed, system, taken))
    return tuple(made)


def _find_exercise(kind: str, slip: str, seed: int, system: System, taken: set[tuple[str, int]]) -> Exercise:
    """Return the next exercise of a kind that allows a slip and was not taken before."""
    for number in range(seed * 100, seed * 100 + TRIED * (len(taken) + 1)):
        if (kind, number) not in taken:
            exercise = make_exercise(kind, number, system)
            if _can_slip(exercise, slip):
                taken.add((kind, number))
                return exercise
    raise KitError(f"No exercise of the kind `{kind}` with the slip `{slip}` was found", do="take another sheet number")


def aim_at_class(
    record: ClassRecord, count: int = 12, seed: int = 1, system: System = "inch", slips: int = 3
) -> "SlipSheet":
    """Return a sheet that aims at the commonest slips of a class, in the kinds of exercises in which they were made.

    Raises
    ------
    KitError
        No slip in the files.
    """
    counted = [one for one in count_slips(record) if list_kinds_with(one.name, system)][:slips]
    if not counted:
        raise KitError("The files hold no slip", needed="answers with slips", do="take a sheet by its lessons")
    names = tuple(one.name for one in counted)
    known = [(one.kind, one.seed) for learner in record.learners for one in learner.progress.tries]
    first = [kind for one in counted for kind in one.kinds]
    return SlipSheet(names, aim_exercises(names, count, seed, system, first=first, known=known), seed)


class SlipSheet:
    """A sheet that aims at slips.

    Attributes
    ----------
    slips
        Their names, the commonest first.
    exercises
        In their order; each allows the slip whose turn it is.
    seed
        Number of the sheet.
    """

    def __init__(self, slips: tuple[str, ...], exercises: tuple[Exercise, ...], seed: int) -> None:
        self.slips, self.exercises, self.seed = slips, exercises, seed

    def list_aims(self) -> tuple[str, ...]:
        """Return the slip that each exercise aims at."""
        return tuple(self.slips[number % len(self.slips)] for number in range(len(self.exercises)))

    def set_sheet(self, paper: str = "Letter") -> bytes:
        """Return the sheet as PDF; it does not name the slips."""
        return set_page(
            "sheet.typ", describe_questions(self.exercises, f"Exercises, sheet {self.seed} for this class"), paper
        )

    def set_key(self, paper: str = "Letter") -> bytes:
        """Return the key as PDF, with the slip that each exercise aims at."""
        told = [
            f"{slip} ({', '.join(str(n + 1) for n, aim in enumerate(self.list_aims()) if aim == slip)})"
            for slip in self.slips
        ]
        described = describe_answers(self.exercises, f"Key to exercises, sheet {self.seed} for this class")
        return set_page("key.typ", {**described, "note": f"Aims at: {'; '.join(told)}. {described['note']}"}, paper)

    def write(self, folder: str | os.PathLike[str], paper: str = "Letter") -> tuple[Path, Path]:
        """Write sheet and key into a folder; return their paths.

        Raises
        ------
        KitError
            A folder that cannot be written to.
        """
        place = Path(folder)
        sheet = save(self.set_sheet(paper), place / f"class-sheet-{self.seed}.pdf")
        return sheet, save(self.set_key(paper), place / f"class-key-{self.seed}.pdf")
