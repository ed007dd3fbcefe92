"""The publishing loop by command: the forms written, read back, and the errata listed, for every size of a study."""

import os
from collections.abc import Sequence
from pathlib import Path

from kit.errors import KitError
from kit.lengths import System
from kit.model.findings import Findings
from kit.model.pattern import Pattern
from kit.model.print_record import PrintRecord
from kit.output import tables
from kit.output.document.tester_pages import set_errata
from kit.output.files.files import make_stem, write_csv, write_files
from kit.output.words.errata_words import list_errata, write_errata_texts
from kit.output.words.strings import use_language
from kit.output.words.tester_words import list_report
from kit.pipeline import make_pattern
from kit.progress import Progress, keep_quiet, report
from kit.publish import redraft
from kit.study import editions, open_study
from kit.testers.errata import Printed, find_errata, name_size
from kit.testers.form_reading import find_fingerprint_of_form
from kit.testers.merged_forms import read_findings
from kit.testers.pack import write_tester_pack
from kit.testers.print_records import ENDING, open_record

Named = str | os.PathLike[str]


def write_forms(
    study: Named, folder: Named, paper: str | None, system: System | None, *, language: str = "English",
    progress: Progress = keep_quiet,
) -> list[str]:  # fmt: skip
    """Write the tester pack of every size of a study; return the names of the files."""
    patterns = make_sizes(study, system, progress)
    return [f"{path}" for path in write_tester_pack(patterns, folder, paper, language=language, progress=progress)]


def make_sizes(study: Named, system: System | None = None, progress: Progress = keep_quiet) -> list[Pattern]:
    """Return the pattern of every size of a study, redrafted if a system is named."""
    sizes = editions(open_study(study))
    made = []
    for number, one in enumerate(sizes):
        report(progress, f"plans of edition {one.edition}", number, len(sizes))
        made.append(_redraft(make_pattern(one), system))
    report(progress, "plans", len(sizes), len(sizes))
    return made


def _redraft(pattern: Pattern, system: System | None) -> Pattern:
    return redraft(pattern, system) if system else pattern


def find_editions(named: Named, system: System | None = None) -> list[Printed]:
    """Return every size of an edition: records of a tester pack, in its folder or alone, or made from a study.

    Raises
    ------
    KitError
        A folder without a record, or a file that is neither.
    """
    place = Path(named)
    if not place.is_dir():
        return [open_record(place)] if place.suffix == ".json" else [*make_sizes(named, system)]
    records = [open_record(path) for path in sorted(place.glob(f"*{ENDING}"))]
    if not records:
        raise KitError(f"The folder {place.name} holds no record of an edition", needed=f"files that end in {ENDING}",
                       do="name the folder of the tester pack, or the study")  # fmt: skip
    return [*records]


def tell_findings(
    tested: Named, forms: Sequence[Named], folder: Named | None, system: System | None, language: str = "English"
) -> list[str]:
    """Read the forms of one or several sizes back; return the report of each, write the tables if a folder is named.

    What was tested is a study file, or the folder of its tester pack, or one record in it.
    """
    lines: list[str] = []
    contents: dict[str, bytes] = {}
    for found in sort_forms(find_editions(tested, system), forms):
        with use_language(language):
            lines += [*([""] if lines else []), *list_report(found)]
        stem = make_stem(f"{found.questions.title} {found.questions.edition}")
        contents[f"{stem}-findings.csv"] = write_csv(tables.findings(found)).encode()
        contents[f"{stem}-measured.csv"] = write_csv(tables.measured(found)).encode()
    if folder is not None:
        lines += ["", *(f"{path}" for path in write_files(contents, folder))]
    return lines


def sort_forms(tested: Sequence[Printed], forms: Sequence[Named]) -> list[Findings]:
    """Return the findings of each size that has forms; a form belongs to the size whose fingerprint it bears.

    Raises
    ------
    KitError
        A form that belongs to none, or as for `read_findings`.
    """
    sizes = {find_print(one): one for one in tested}
    mine: dict[str, list[Named]] = {mark: [] for mark in sizes}
    for form in forms:
        mark = find_fingerprint_of_form(form)
        if mark not in mine:
            names = ", ".join(f"{name_edition(one)} ({known[:8]})" for known, one in sizes.items())
            raise KitError(
                f"{Path(form).name} is a form for another print ({mark[:8] or 'none named'})",
                needed=f"a form for {names}",
                do="name the study as it was when the pack was written, or the folder of the pack",
            )
        mine[mark].append(form)
    return [read_findings(named, sizes[mark]) for mark, named in mine.items() if named]


def name_edition(one: Printed) -> str:
    """Return the edition of a pattern or a record."""
    return one.edition if isinstance(one, PrintRecord) else one.study.edition


def find_print(one: Printed) -> str:
    """Return the fingerprint of a pattern or a record."""
    return one.fingerprint if isinstance(one, PrintRecord) else one.colophon.get("fingerprint", "")


def tell_errata(
    old: Named, new: Named, forms: Sequence[Named], folder: Named | None, paper: str | None, system: System | None,
    language: str = "English",
) -> list[str]:  # fmt: skip
    """Return the errata line by line; write them as page, text and CSV if a folder is named.

    The old edition is a study file, or the folder of its tester pack with the records of its sizes, or one record,
    which is compared with the size of that name.
    """
    before, after = find_editions(old, system), make_sizes(new, system)
    if len(before) == 1 and len(after) > 1:
        name = name_size(name_edition(before[0]))
        after = [one for one in after if name_size(one.study.edition) == name] or after
    errata = find_errata(before, after, sort_forms(before, forms) if forms else ())
    pages: dict[str, bytes] = {}
    with use_language(language):
        lines = list(list_errata(errata))
        if folder is not None:
            chosen = paper or ("A4" if errata.system == "metric" else "Letter")
            stem = make_stem(f"{errata.title} {errata.new_edition}")
            pages = {
                f"{stem}-errata.pdf": set_errata(write_errata_texts(errata), chosen),
                f"{stem}-errata.txt": ("\n".join(lines) + "\n").encode(),
                f"{stem}-errata.csv": write_csv(tables.errata(errata)).encode(),
            }
    if folder is not None:
        lines += ["", *(f"{path}" for path in write_files(pages, folder))]
    return lines
