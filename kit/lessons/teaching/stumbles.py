"""Who stumbles where: learners' files put together, by learner and lesson, and by slip."""

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from kit.errors import KitError
from kit.lessons.contents import LESSONS
from kit.lessons.screens.learner_progress import LearnerProgress, Try, take_progress

MOST_FILES = 200
NOTHING = "–"


@dataclass(frozen=True, slots=True)
class LearnerFile:
    """One learner's file: the name that it goes by, and the answers in it."""

    name: str
    progress: LearnerProgress


@dataclass(frozen=True, slots=True)
class ClassRecord:
    """The files of a class.

    Attributes
    ----------
    learners
        One file each, in the order of their names.
    refused
        A sentence for each file that could not be read, or was handed in twice.
    """

    learners: tuple[LearnerFile, ...] = ()
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SlipCount:
    """How often a class made one slip.

    Attributes
    ----------
    name
        The slip.
    learners
        Those who made it for certain.
    times
        Exercises in which it is the only slip that explains the answer.
    perhaps
        Exercises in which another slip leads to the same answer.
    lessons, kinds
        Where it was made.
    """

    name: str
    learners: tuple[str, ...]
    times: int
    perhaps: int
    lessons: tuple[str, ...]
    kinds: tuple[str, ...]


def collect_learners(files: str | os.PathLike[str] | Sequence[tuple[str, bytes]]) -> ClassRecord:
    """Put learners' files together; what cannot be read is told and keeps no other from being read.

    Parameters
    ----------
    files
        A folder with their files (`*.json`), or the name and the bytes of each.

    Raises
    ------
    KitError
        A folder that is not there, or more than 200 files.
    """
    handed = _read_folder(Path(files)) if isinstance(files, str | os.PathLike) else list(files)
    if len(handed) > MOST_FILES:
        raise KitError(f"There are {len(handed)} files", needed=f"at most {MOST_FILES}", do="take one class at a time")
    learners, refused, seen = list[LearnerFile](), list[str](), dict[bytes, str]()
    for file, held in handed:
        if held in seen:
            refused.append(f"{file}: the same as {seen[held]}; counted once")
            continue
        seen[held] = file
        try:
            progress = take_progress(held, file)
        except KitError as error:
            refused.append(str(error))
            continue
        learners.append(LearnerFile(_name_apart(Path(file).stem, [one.name for one in learners]), progress))
    return ClassRecord(tuple(sorted(learners, key=lambda one: _sort_name(one.name))), tuple(refused))


def _read_folder(folder: Path) -> list[tuple[str, bytes]]:
    if not folder.is_dir():
        raise KitError(
            f"There is no folder `{folder.name}`", needed="a folder of learners' files", do="correct its name"
        )
    try:
        return [(path.name, path.read_bytes()) for path in sorted(folder.glob("*.json")) if path.is_file()]
    except OSError as error:
        said = f"The folder `{folder.name}` cannot be read ({error.strerror})"
        raise KitError(said, needed="files that may be read", do="copy them to a folder of your own") from None


def _name_apart(name: str, taken: Sequence[str]) -> str:
    """Return a name that no other file has: browsers save every learner's file under the same one."""
    number, made = 2, name
    while made in taken:
        made, number = f"{name} ({number})", number + 1
    return made


def _sort_name(name: str) -> list[tuple[int, int, str]]:
    """Return a key by which "learner 10" comes after "learner 9"."""
    return [(0, int(part), "") if part.isdigit() else (1, 0, part.lower()) for part in re.split(r"(\d+)", name) if part]


def find_lesson_of(kind: str) -> str:
    """Return the title of the lesson of a kind of exercise."""
    return next((lesson.title for lesson in LESSONS.values() if kind in lesson.kinds), "Other")


def _find_place(kind: str) -> tuple[int, str]:
    """Return where a kind comes in the lessons; one that no lesson has comes last."""
    order = [one for lesson in LESSONS.values() for one in lesson.kinds]
    return (order.index(kind) if kind in order else len(order), kind)


def list_stumbles(record: ClassRecord) -> pd.DataFrame:
    """Return who stumbles where: a row for each learner, a column for each lesson that anybody has tried.

    A cell says how many exercises were right without help, of how many, how many ways were shown, and the slip that
    was made most often; a last column says it of all lessons.
    """
    kinds_of = {lesson.title: lesson.kinds for lesson in LESSONS.values()}
    tried = [
        title
        for title, kinds in kinds_of.items()
        if any(one.kind in kinds for learner in record.learners for one in learner.progress.tries)
    ]
    rows = []
    for learner in record.learners:
        row = {"Learner": learner.name}
        row |= {title: _tell(learner.progress, kinds_of[title]) for title in tried}
        row["Altogether"] = _tell(learner.progress, [kind for title in tried for kind in kinds_of[title]])
        rows.append(row)
    return pd.DataFrame(rows)


def _tell(progress: LearnerProgress, kinds: Sequence[str]) -> str:
    asked, right = progress.count(kinds)
    shown = progress.count_shown(kinds)
    slips = progress.find_slips(kinds)
    said = f"{right} of {asked}" if asked else NOTHING
    said += f", {shown} shown" if shown else ""
    return f"{said}: {slips[0][0]} ({slips[0][1]})" if slips else said


def count_slips(record: ClassRecord) -> tuple[SlipCount, ...]:
    """Count each slip: first those that most learners made, then those made most often.

    An exercise counts once for each learner, however often the same slip was typed. Where several slips lead to one
    answer, none of them is certain.
    """
    sure, perhaps = dict[str, dict[tuple[str, str, int, str], Try]](), dict[str, set[tuple[str, str, int, str]]]()
    for learner in record.learners:
        for one in learner.progress.tries:
            place = (learner.name, one.kind, one.seed, one.system)
            for name in one.mistakes:
                if len(one.mistakes) == 1:
                    sure.setdefault(name, {})[place] = one
                else:
                    perhaps.setdefault(name, set()).add(place)
    found = []
    for name in {*sure, *perhaps}:
        certain = sure.get(name, {})
        maybe = perhaps.get(name, set()) - set(certain)
        made_in = {kind for _, kind, _, _ in (*certain, *maybe)}
        kinds = tuple(sorted(made_in, key=_find_place))
        learners = tuple(sorted({who for who, _, _, _ in certain}, key=_sort_name))
        lessons = tuple(dict.fromkeys(map(find_lesson_of, kinds)))
        found.append(SlipCount(name, learners, len(certain), len(maybe), lessons, kinds))
    return tuple(sorted(found, key=lambda one: (-len(one.learners), -one.times, -one.perhaps, one.name)))


def list_slips(record: ClassRecord) -> pd.DataFrame:
    """Return a row for each slip of the class, the commonest first."""
    return pd.DataFrame(
        [
            {
                "Slip": one.name,
                "Learners": len(one.learners),
                "Times": one.times,
                "Perhaps": one.perhaps,
                "Lessons": ", ".join(one.lessons),
                "Who": ", ".join(one.learners) or NOTHING,
            }
            for one in count_slips(record)
        ],
        columns=["Slip", "Learners", "Times", "Perhaps", "Lessons", "Who"],
    )
