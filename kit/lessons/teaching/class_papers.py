"""The papers of a class in one go: each as a table on screen and as the bytes of a file."""

from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from kit.lengths import System
from kit.lessons.paper.class_pages import describe_seam_card, set_class_page
from kit.lessons.paper.class_plan import list_supplies, pack_kits, plan_day, plan_samples
from kit.lessons.paper.exercise_sheets import describe_key, describe_sheet
from kit.lessons.paper.typesetting import set_page
from kit.model.pattern import Pattern
from kit.progress import Progress, keep_quiet, report


@dataclass(frozen=True, slots=True)
class ClassWishes:
    """What a teacher wishes for a class.

    Attributes
    ----------
    students, spare, hours, start, pace, cut_at_home
        As for `list_supplies`, `pack_kits` and `plan_day`.
    lessons
        Names of lessons for the exercise sheet.
    seed, count
        Number of the sheet, and of its exercises.
    system
        "inch" or "metric", of the sheet and the seam card.
    paper
        "Letter" or "A4".
    """

    students: int = 12
    spare: int = 1
    hours: float = 6.0
    start: str = "10:00"
    pace: float = 1.5
    cut_at_home: bool = False
    lessons: tuple[str, ...] = ("allowance", "sizes")
    seed: int = 1
    count: int = 12
    system: System = "inch"
    paper: str = "Letter"


@dataclass(frozen=True, slots=True)
class ClassPapers:
    """The papers of a class.

    Attributes
    ----------
    tables
        Heading -> table: supplies, kits, step-outs, timetable.
    files
        File name -> bytes: the same as CSV, the class page, sheet, key and seam card as PDF.
    questions
        The questions of the sheet, and the answers, for the screen.
    """

    tables: dict[str, pd.DataFrame]
    files: dict[str, bytes]
    questions: pd.DataFrame


def prepare_papers(pattern: Pattern, wishes: ClassWishes, progress: Progress = keep_quiet) -> ClassPapers:
    """Make every paper of a class.

    Parameters
    ----------
    pattern
        Every plan of the study.
    wishes
        What the teacher wishes.
    progress
        Told paper by paper.

    Raises
    ------
    KitError
        As for the papers; a wish outside its range.

    Notes
    -----
    One to three seconds, most of it setting the pages.
    """
    tables = {
        "Supplies": list_supplies(pattern, wishes.students),
        "Kits": pack_kits(pattern, wishes.students, wishes.spare),
        "Step-outs": plan_samples(pattern),
        "Timetable": plan_day(pattern, wishes.start, wishes.hours, wishes.pace, cut_at_home=wishes.cut_at_home),
    }
    files = {f"{name.lower()}.csv": _write_csv(table) for name, table in tables.items()}
    report(progress, "class page", 1, 5)
    files["class-page.pdf"] = set_class_page(
        pattern, wishes.students, spare=wishes.spare, hours=wishes.hours, start=wishes.start, pace=wishes.pace,
        cut_at_home=wishes.cut_at_home, paper=wishes.paper,
    )  # fmt: skip
    report(progress, "exercises", 2, 5)
    terms = (list(wishes.lessons), wishes.seed, wishes.count, wishes.system)
    sheet, key = describe_sheet(*terms), describe_key(*terms)
    files[f"sheet-{wishes.seed}.pdf"] = set_page("sheet.typ", sheet, wishes.paper)
    report(progress, "answer key", 3, 5)
    files[f"key-{wishes.seed}.pdf"] = set_page("key.typ", key, wishes.paper)
    report(progress, "seam card", 4, 5)
    files["seam-card.pdf"] = set_page("seam-card.typ", describe_seam_card(wishes.system), wishes.paper)
    return ClassPapers(tables, files, _list_questions(sheet["exercises"], key["exercises"]))


def _write_csv(table: pd.DataFrame) -> bytes:
    return f"\N{ZERO WIDTH NO-BREAK SPACE}{table.to_csv(index=False)}".encode()


def _list_questions(asked: object, answered: object) -> pd.DataFrame:
    pairs: Sequence[tuple[dict[str, str], dict[str, str]]] = list(zip(asked, answered, strict=True))  # type: ignore[call-overload]  # lists, told to the typesetter as objects
    return pd.DataFrame(
        [
            {"Number": str(n), "Question": one["question"], "Answer": key["answer"]}
            for n, (one, key) in enumerate(pairs, start=1)
        ]
    )
