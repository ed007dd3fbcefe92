"""Exercise sheets to print, and the key to each: made from the same seed, marked by the same code."""

import os
from collections.abc import Sequence
from pathlib import Path
from zlib import crc32

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.contents import LESSONS, find_lesson
from kit.lessons.exercises.catalogue import KINDS, make_set
from kit.lessons.exercises.exercise import TERMS, Exercise
from kit.lessons.paper.typesetting import set_page
from kit.output.document.document import save


def write_sheet(
    path: str | os.PathLike[str],
    subjects: str | Sequence[str],
    seed: int = 1,
    count: int = 12,
    *,
    system: System = "inch",
    paper: str = "Letter",
) -> Path:
    """Write a sheet of exercises to print, without answers.

    Parameters
    ----------
    path
        The file to write; no other file is written.
    subjects
        Names of lessons or of kinds of exercises.
    seed
        Number of the sheet: the same number, the same sheet.
    count
        The number of exercises.
    system
        "inch" or "metric".
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        An unknown subject, system or paper, a count outside 1 to 200, a file that cannot be written.
    """
    return save(set_page("sheet.typ", describe_sheet(subjects, seed, count, system), paper), path)


def write_key(
    path: str | os.PathLike[str],
    subjects: str | Sequence[str],
    seed: int = 1,
    count: int = 12,
    *,
    system: System = "inch",
    paper: str = "Letter",
) -> Path:
    """Write the key to a sheet: answers, solutions, and the mistakes behind wrong answers.

    Parameters and errors are those of `write_sheet`; sheet and key with the same parameters have the same mark.
    """
    return save(set_page("key.typ", describe_key(subjects, seed, count, system), paper), path)


def find_kinds(subjects: str | Sequence[str]) -> tuple[str, ...]:
    """Return the kinds of exercises for the given lessons and kinds.

    Examples
    --------
    >>> find_kinds(["braid", "strips"])[:2]
    ('braid', 'strips')
    """
    named = [subjects] if isinstance(subjects, str) else list(subjects)
    kinds: list[str] = []
    for name in named:
        if name in LESSONS:
            kinds += find_lesson(name).kinds
        elif name in KINDS:
            kinds.append(name)
        else:
            raise KitError(
                f"There is neither a lesson nor an exercise `{name}`",
                needed=", ".join([*LESSONS, *(kind for kind in KINDS if kind not in LESSONS)]),
                do="choose from these",
            )
    return tuple(dict.fromkeys(kinds))


def describe_sheet(subjects: str | Sequence[str], seed: int, count: int, system: System) -> dict[str, object]:
    """Return the contents of a sheet; its parameters are those of `write_sheet`."""
    return describe_questions(_make(subjects, seed, count, system), f"Exercises, sheet {seed}")


def describe_key(subjects: str | Sequence[str], seed: int, count: int, system: System) -> dict[str, object]:
    """Return the contents of the key; its parameters are those of `write_sheet`."""
    return describe_answers(_make(subjects, seed, count, system), f"Key to exercises, sheet {seed}")


def describe_questions(exercises: Sequence[Exercise], title: str) -> dict[str, object]:
    """Return the contents of a sheet of some exercises, all of one system."""
    return {
        "title": title,
        "mark": sign_set(exercises),
        "note": _tell_terms(exercises[0].terms.system),
        "exercises": [
            {"question": one.question, "asks": "" if one.asks == "length" else one.noun} for one in exercises
        ],
    }


def describe_answers(exercises: Sequence[Exercise], title: str) -> dict[str, object]:
    """Return the contents of the key to some exercises."""
    return {
        "title": title,
        "mark": sign_set(exercises),
        "note": _tell_terms(exercises[0].terms.system),
        "exercises": [
            {
                "kind": one.kind,
                "answer": one.shown,
                "rounding": one.rounding,
                "solution": list(one.solution),
                "mistakes": [[_write_wrong(one, wrong.values[0]), wrong.name, wrong.why] for wrong in one.mistakes],
            }
            for one in exercises
        ],
    }


def sign_set(exercises: Sequence[Exercise]) -> str:
    """Return a short mark made from all questions: sheet and key with the same mark belong together."""
    text = "\n".join(one.question for one in exercises)
    return f"{crc32(text.encode()):08x}"


def _make(subjects: str | Sequence[str], seed: int, count: int, system: System) -> tuple[Exercise, ...]:
    return make_set(find_kinds(subjects), seed, count, system)


def _tell_terms(system: System) -> str:
    terms = TERMS[system]
    return (
        f"A length without a unit is in {'inches' if system == 'inch' else 'centimetres'}, cloth to buy in"
        f" {'yards' if system == 'inch' else 'metres'}. Cut sizes may be rounded up to the next {terms.ruler}, measured"
        f" sizes to the nearest; the seam allowance is {terms.write(terms.allowance)} unless a question says otherwise."
    )


def _write_wrong(exercise: Exercise, value: float) -> str:
    return exercise.terms.write(value) if exercise.asks == "length" else str(round(value))
