"""The tester pack: for each size a form to print, the same as CSV to fill in, and the pattern as it is printed."""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

import pandas as pd

from kit.model.pattern import Pattern
from kit.output.document.document import refuse_unproved
from kit.output.document.tester_pages import set_tester_form
from kit.output.files.files import make_stem, write_csv, write_files
from kit.output.words.strings import use_language
from kit.output.words.tester_words import write_form_rows
from kit.progress import Progress, keep_quiet, report
from kit.testers.print_records import ENDING, make_record, write_record
from kit.testers.questions import list_questions


def write_tester_pack(
    pattern: Pattern | Sequence[Pattern],
    folder: str | os.PathLike[str],
    paper: str | None = None,
    *,
    language: str = "English",
    progress: Progress = keep_quiet,
) -> list[Path]:
    """Write what the testers of a pattern get besides the pattern, for each size three files.

    A form to print (PDF) and to fill in (CSV): the sizes to measure after which step, the cloth used of each fabric,
    the minutes of each stretch of work, and a row for every stumble. The record (JSON) holds what this edition prints,
    so that `find_errata` can compare a later edition with it, whatever the kit has learned by then.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design.
    folder
        The folder; made if it does not exist.
    paper
        "Letter" or "A4"; None: A4 for a metric pattern, Letter otherwise.
    language
        "English" or "German": of the forms; the record is the same in every language.
    progress
        Called as the work goes on.

    Returns
    -------
    list of Path
        The written files.

    Raises
    ------
    KitError
        An unknown paper or language; a proof that fails; a folder that cannot be written to. Nothing is written then.

    Notes
    -----
    Half a second for each size.
    """
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    contents: dict[str, bytes] = {}
    for number, one in enumerate(patterns):
        report(progress, "forms", number, len(patterns))
        contents.update(_list_pack(one, paper, language))
    report(progress, "forms", len(patterns), len(patterns))
    return write_files(contents, folder)


def _list_pack(pattern: Pattern, paper: str | None, language: str) -> Iterator[tuple[str, bytes]]:
    refuse_unproved(pattern)
    study, asked = pattern.study, list_questions(pattern)
    stem = make_stem(f"{study.title} {study.edition}")
    chosen = paper or ("A4" if study.measures.system == "metric" else "Letter")
    with use_language(language):
        form, rows = set_tester_form(asked, chosen), write_form_rows(asked)
    yield f"{stem}-test.pdf", form
    yield f"{stem}-test.csv", write_csv(pd.DataFrame(rows)).encode()
    yield f"{stem}{ENDING}", write_record(make_record(pattern)).encode()
