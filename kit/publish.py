"""Publishing: the pattern in either system, on either paper, in one or several sizes, with every other file."""

import os
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import floor
from pathlib import Path

from kit.buying_ways import compare_buying
from kit.colourways import make_colourways
from kit.errors import KitError
from kit.lengths import System, write_exact
from kit.lengths.given import take_length
from kit.model.notices import notice
from kit.model.pattern import Pattern
from kit.output.document.document import Paper, check_wish, save, set_document
from kit.output.document.supply_list import set_supply_list
from kit.output.files.archive import bundle
from kit.output.files.files import list_files, make_stem, write_files
from kit.output.words.buying_words import say_buying
from kit.output.words.notice_words import say_notices
from kit.output.words.strings import check_language, use_language
from kit.paper_pages import list_paper_files
from kit.pipeline import make_pattern
from kit.progress import Progress, keep_quiet, report
from kit.study import Study, study_from_keys, study_keys

NOTED = 0.05
"""Inches: a smaller change of the finished size is not worth a word."""


def write_document(
    pattern: Pattern | Sequence[Pattern],
    path: str | os.PathLike[str],
    paper: Paper = "Letter",
    system: System = "inch",
    *,
    edition: str = "standard",
    language: str = "English",
    progress: Progress = keep_quiet,
) -> Path:
    """Write the printed pattern of a study as PDF.

    Redraft it if it was drafted in the other system, prove every line of the proof sheet, set the parts in their
    order, mark the file for printing at full size, and write it. Nothing is written when the rehearsal disagrees or a
    proof fails.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design: tables then have a column for each.
    path
        The file to write; no other file is written.
    paper
        "Letter" or "A4". Templates fit within the area common to both.
    system
        "inch" or "metric", as for `redraft`.
    edition
        "standard", or "large print": 22 pt in one column, every table as sentences.
    language
        "English" or "German".
    progress
        Called as the work goes on.

    Returns
    -------
    Path
        What was written.

    Raises
    ------
    KitError
        An unknown paper, system or edition; a design that cannot be drafted in that system; a proof that fails; a file
        that cannot be written.

    Notes
    -----
    The same pattern gives the same bytes. About 2 s for 40 pages, plus the time of `make_pattern` if it is redrafted.
    """
    check_wish("system", system, ("inch", "metric"))
    check_language(language)
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    drafted = [redraft(one, system) for one in patterns]
    others = [make_colourways(one, progress) for one in drafted]
    return save(
        set_document(drafted, paper, system, edition=edition, language=language, colourways=others, progress=progress),
        path,
    )


def redraft(pattern: Pattern, system: System, *, round_sizes_to: float | str | None = None) -> Pattern:
    """Return a pattern drafted in a system: made again with the allowance and the rounding of that system.

    Lengths that the study gives stay as they are. Finished ones keep the quilt's size; a strip that is cut 2 1/2 in,
    off a roll perhaps, is still cut so, and finishes narrower between wider allowances. Where the top changes, a
    warning gives both sizes; an edition with a round strip of its own (`strip_cut = "6.5 cm"`) then serves better.
    The cloth stays too, except that its usable width is rounded down to whole centimetres or half inches. Every piece
    is cut, every step written and every plan proved again. Nothing is converted: 0.75 cm and millimetres give other
    cut sizes than 1/4 in and eighths of an inch. If the study leaves a value open, such as the overhang of the
    backing, the usual round value of the system holds.

    Parameters
    ----------
    pattern
        Every plan of a study; returned unchanged if it has that system.
    system
        "inch" or "metric".
    round_sizes_to
        Inches or a text with its unit: finished sizes at the nearest multiple of it, so that the draft has round sizes
        of its own, as `round_sizes_to` of a study; None: sizes stay.

    Raises
    ------
    KitError
        A pattern without a study, or a design that cannot be built with that allowance.
    """
    study = pattern.study
    step = None if round_sizes_to is None else take_length(round_sizes_to, "round_sizes_to", zero_allowed=False)
    if study.measures.system == system and step is None:
        return pattern
    if not isinstance(study, Study):
        raise KitError(
            f"This {study.measures.system} pattern has no study, so it cannot be redrafted",
            needed="a pattern made from a study",
            do=f"open a study, or ask for the {study.measures.system} system",
        )
    return _tell_change(pattern, make_pattern(_redraft_study(study, system, step)))


def _tell_change(before: Pattern, made: Pattern) -> Pattern:
    """Say plainly where strips that stay as they are give another finished size, and which counts of pieces differ.

    What a redraft rounds by its own wish is said once, by the pattern itself.
    """
    found = []
    sides = zip(before.patchwork.finished, made.patchwork.finished, strict=True)
    if any(abs(old - new) >= NOTED for old, new in sides):
        found.append(
            notice("size-redrafted", width=made.patchwork.finished[0], height=made.patchwork.finished[1],
                   before_width=before.patchwork.finished[0], before_height=before.patchwork.finished[1])
        )  # fmt: skip
    then, now = _count_pieces(before), _count_pieces(made)
    other = tuple(
        notice("count-redrafted", piece=name, count=float(count), before=float(then.get(kind, ("", 0))[1]))
        for kind, (name, count) in now.items()
        if count != then.get(kind, ("", 0))[1]
    )
    found += [notice("counts-redrafted", pieces=other)] if other else []
    said = say_notices(found, made.study.measures.system)
    return replace(made, notices=(*made.notices, *found), warnings=(*made.warnings, *said))


def _count_pieces(pattern: Pattern) -> dict[tuple[str, str, str | None, int], tuple[str, int]]:
    """Return the name and the count of each piece by role, shape and hand, and its turn among those alike in them."""
    counted: dict[tuple[str, str, str | None, int], tuple[str, int]] = {}
    met: Counter[tuple[str, str, str | None]] = Counter()
    for piece in pattern.making.pieces:
        kind = piece.slot, piece.name, piece.hand
        counted[*kind, met[kind]] = piece.id, piece.count
        met[kind] += 1
    return counted


def _redraft_study(study: Study, system: System, step: float | None) -> Study:
    """Return the study read again in a system: keys that it leaves out take the usual values of that system.

    Usable widths are rounded down to whole centimetres or half inches.
    """
    keys = study_keys(replace(study, editions=()))
    keys["measures"] = {"system": system, **({} if step is None else {"round_sizes_to": write_exact(step, system)})}
    usual = study_from_keys(keys)
    whole = 1 / 2.54 if system == "metric" else 0.5

    def fit(width: float) -> float:
        return max(whole, floor(width / whole + 1e-6) * whole)

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
    language: str = "English",
    progress: Progress = keep_quiet,
) -> list[Path]:
    """Write every file of a pattern into a folder, and one archive of them all.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design: tables and pictures show the first. Sizes
        of one system share a document; those of the other have one of their own, named after it.
    folder
        The folder; made if it does not exist.
    paper
        None: A4 for a metric pattern, Letter otherwise.
    edition, language
        As for `write_document`; the pattern and the supply list are in that language, tables and drawings in English.
    progress
        Called as the work goes on.

    Returns
    -------
    list of Path
        The written files, the archive last.

    Raises
    ------
    KitError
        As for `write_document`; nothing is written then.
    """
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    contents = dict(_list_publication(patterns, paper, edition, language, progress))
    stem = make_stem(patterns[0].study.title)
    return write_files({**contents, f"{stem}.zip": bundle(contents)}, folder)


def _list_publication(
    patterns: Sequence[Pattern], paper: Paper | None, edition: str, language: str, progress: Progress
) -> Iterator[tuple[str, bytes]]:
    first = patterns[0]
    stem = make_stem(first.study.title)
    names = dict(zip(map(id, patterns), _name_supplies(patterns), strict=True))
    by_system: dict[System, list[Pattern]] = {}
    for one in patterns:
        by_system.setdefault(one.study.measures.system, []).append(one)
    for system, sizes in by_system.items():
        page: Paper = paper or ("A4" if system == "metric" else "Letter")
        others = [make_colourways(one, progress) for one in sizes]
        made = set_document(
            sizes, page, system, edition=edition, language=language, colourways=others, progress=progress
        )
        mark = "" if system == first.study.measures.system else f"-{system}"
        yield f"{stem}-pattern{mark}.pdf", made
        for number, one in enumerate(sizes):
            for name, data in list_paper_files(one, page, language):
                yield f"{stem}-papers-{name}{names[id(one)]}.pdf", data
            report(progress, "papers", number + 1, len(sizes))
        for number, one in enumerate(sizes):
            report(progress, "supply list", number, len(sizes))
            several = [slot for slot in compare_buying(one) if len(slot.ways) > 1]
            with use_language(language):
                supplies = set_supply_list(one, page, [say_buying(slot, system) for slot in several])
            yield f"{stem}-supplies{names[id(one)]}.pdf", supplies
        report(progress, "supply list", len(sizes), len(sizes))
    for name, text in list_files(first, progress):
        yield name, text.encode()


def _name_supplies(patterns: Sequence[Pattern]) -> list[str]:
    """Return what tells the supply lists of several sizes apart in the names of their files."""
    if len(patterns) == 1:
        return [""]
    names = [make_stem(pattern.study.edition.split(", ", 1)[-1]) for pattern in patterns]
    return [f"-{name}" if names.count(name) == 1 else f"-{name}-{k}" for k, name in enumerate(names, 1)]
