"""Publishing: the pattern in either system, on either paper, in one size or several, and every file beside it."""

import os
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import floor
from pathlib import Path

from kit.errors import KitError
from kit.lengths import System
from kit.model.pattern import Pattern
from kit.output.document.document import Paper, check_wish, save, set_document
from kit.output.document.supply_list import set_supply_list
from kit.output.files.archive import bundle
from kit.output.files.files import list_files, make_stem, write_files
from kit.pipeline import make_pattern
from kit.progress import Progress, keep_quiet, report
from kit.study import Study, study_from_keys, study_keys


def write_document(
    pattern: Pattern | Sequence[Pattern],
    path: str | os.PathLike[str],
    paper: Paper = "Letter",
    system: System = "inch",
    *,
    edition: str = "standard",
    progress: Progress = keep_quiet,
) -> Path:
    """Write the printed pattern of a study as PDF.

    Draft it anew where it was drafted in the other system, prove every line of the proof sheet, set the parts in their
    order, mark the file to be printed at full size, and write it. Nothing is written when the rehearsal disagrees or a
    proof fails.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design: tables then have a column for each.
    path
        Where to; only this file is written.
    paper
        "Letter" or "A4". Templates lie within what both have in common.
    system
        "inch" or "metric": as `redraft` has it.
    edition
        "standard", or "large print": 22 pt in one column, every table as sentences.
    progress
        Called as the work goes on.

    Returns
    -------
    Path
        What was written.

    Raises
    ------
    KitError
        Another paper, system or edition; a design that cannot be drafted in that system; a proof that fails; a place
        that cannot be written to.

    Notes
    -----
    The same pattern gives the same bytes. About 2 s for 40 pages, and as long as `make_pattern` on top where it is
    drafted anew.
    """
    check_wish("system", system, ("inch", "metric"))
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    drafted = [redraft(one, system) for one in patterns]
    return save(set_document(drafted, paper, system, edition=edition, progress=progress), path)


def redraft(pattern: Pattern, system: System) -> Pattern:
    """Return a pattern drafted in a system: the study made anew with the allowance and the rounding of that system.

    Finished sizes stay what they are, and so does the cloth but that its usable width is rounded down to whole
    centimetres or half inches; every piece is cut, every step written and every plan proved anew. Nothing is converted:
    1/4 in and eighths of an inch against 0.75 cm and millimetres give other cut sizes, and what the study leaves open,
    such as how far the backing reaches, takes the usual round values of the system.

    Parameters
    ----------
    pattern
        Every plan of a study; returned as it is where it has that system.
    system
        "inch" or "metric".

    Raises
    ------
    KitError
        A pattern that does not come from a study, or a design that cannot be built with that allowance.
    """
    study = pattern.study
    if study.measures.system == system:
        return pattern
    if not isinstance(study, Study):
        raise KitError(
            f"This pattern is drafted in the {study.measures.system} system and has no study to draft it anew from",
            needed="a pattern made from a study",
            do=f"open a study, or ask for the {study.measures.system} system",
        )
    return make_pattern(_redraft_study(study, system))


def _redraft_study(study: Study, system: System) -> Study:
    """Return the study read anew in a system: what it does not say takes the usual values of that system.

    Usable widths are rounded down to whole centimetres or half inches.
    """
    keys = study_keys(replace(study, editions=()))
    keys["measures"] = {"system": system}
    usual = study_from_keys(keys)
    step = 1 / 2.54 if system == "metric" else 0.5

    def fit(width: float) -> float:
        return max(step, floor(width / step + 1e-6) * step)

    fabrics = tuple(
        replace(new, width=fit(old.width)) if old.form == "yardage" else new
        for old, new in zip(study.fabrics, usual.fabrics, strict=True)
    )
    measures = replace(usual.measures, usable_width=fit(study.measures.usable_width))
    return replace(usual, fabrics=fabrics, measures=measures)


def write_publication(
    pattern: Pattern | Sequence[Pattern],
    folder: str | os.PathLike[str],
    paper: Paper | None = None,
    *,
    edition: str = "standard",
    progress: Progress = keep_quiet,
) -> list[Path]:
    """Write every file of a pattern into a folder, and an archive that holds them all.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design: tables and pictures are of the first.
    folder
        Where to; made if need be.
    paper
        None: A4 for a metric pattern, Letter otherwise.
    edition
        As for `write_document`.
    progress
        Called as the work goes on.

    Returns
    -------
    list of Path
        What was written, the archive last.

    Raises
    ------
    KitError
        As for `write_document`; nothing is written then.
    """
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    paper = paper or ("A4" if patterns[0].study.measures.system == "metric" else "Letter")
    contents = dict(_list_publication(patterns, paper, edition, progress))
    stem = make_stem(patterns[0].study.title)
    return write_files({**contents, f"{stem}.zip": bundle(contents)}, folder)


def _list_publication(
    patterns: Sequence[Pattern], paper: Paper, edition: str, progress: Progress
) -> Iterator[tuple[str, bytes]]:
    first, system = patterns[0], patterns[0].study.measures.system
    stem = make_stem(first.study.title)
    yield f"{stem}-pattern.pdf", set_document(patterns, paper, system, edition=edition, progress=progress)
    report(progress, "supply list", 0, 1)
    yield f"{stem}-supplies.pdf", set_supply_list(first, paper)
    report(progress, "supply list", 1, 1)
    for name, text in list_files(first, progress):
        yield name, text.encode()
