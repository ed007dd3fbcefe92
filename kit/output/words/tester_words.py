"""The words of the testers' form and of the report on what they found."""

from collections.abc import Iterator, Mapping, Sequence
from math import isclose
from statistics import median
from types import MappingProxyType
from typing import Any

from kit.lengths import System, write_buying, write_length, write_nearest
from kit.model.findings import (
    PARTS,
    SEVERITIES,
    AskedSize,
    AskedTime,
    ComparedAmount,
    Findings,
    FoundPlace,
    Questions,
    Unfound,
)
from kit.output.words.form_words import name_form
from kit.output.words.sizes import write_size
from kit.output.words.strings import TEXTS, find_language, is_original, say, say_name

WORDS: Mapping[str, Any] = MappingProxyType(TEXTS["testers"])
SHORT = 8
"""Letters of a fingerprint that are printed."""
SPARE = 12
"""Empty rows for stumbles; a tester adds as many as there are."""


def say_tester(key: str, **facts: object) -> str:
    """Return a sentence for testers with its facts filled in.

    Examples
    --------
    >>> say_tester("report_step", step=3)
    'step 3'
    """
    return str(WORDS[key].format(**facts))


def say_amount(form: str, amount: float, system: System, *, bought: bool = False) -> str:
    """Return an amount of cloth: a length of yardage, as the shop sells it if `bought`, else a number of pre-cuts."""
    if form != "yardage":
        return say_tester("count_of", count=f"{amount:g}", form=say_name(name_form(form, amount)))
    return write_buying(amount, system) if bought else write_nearest(amount, system)


def name_asked_work(asked: AskedTime) -> str:
    """Return what a stretch of work is called on the form."""
    if asked.work != "piecing":
        return str(TEXTS["work"][asked.work])
    return say_tester("sewing_unit", unit=say_name(asked.unit)) if asked.unit else say_tester("sewing_rest")


def name_measured(asked: AskedSize) -> str:
    """Return what is measured after a step: a unit, or what there is of it so far."""
    return say_tester("whole_unit" if asked.whole else "part_of_unit", unit=say_name(asked.unit))


def name_severity(severity: str) -> str:
    """Return how bad a stumble was, as the form says it.

    Examples
    --------
    >>> name_severity("read twice")
    'read twice'
    """
    return str(WORDS[f"severity_{severity.replace(' ', '-')}"])


def name_form_part(part: str) -> str:
    """Return a part of the printed pattern as the form calls it.

    Examples
    --------
    >>> name_form_part("fabric key")
    'fabric key'
    """
    return str(WORDS[f"part_{part.replace(' ', '-')}"])


def write_form_rows(asked: Questions) -> list[dict[str, str]]:
    """Return the rows of the CSV file that a tester fills, one for each thing asked; stumbles have rows to spare."""
    rows = [_row("about", key, "", value) for key, value in _list_origin(asked)]
    rows.append(_row("about", "tester", say_tester("row_about_tester")))
    for size in asked.sizes:
        said = write_size(size.size, asked.system)
        rows.append(_row("size", size.place, name_measured(size), said))
    for cloth in asked.cloth:
        needed = say_amount(cloth.form, cloth.needed, asked.system)
        rows.append(_row("cloth", cloth.fabric, cloth.letter, needed))
    rows += [_row("minutes", one.place, name_asked_work(one), f"{one.minutes:.0f}") for one in asked.times]
    rows.append(_row("stumble", "", say_tester("row_stumble")))
    return [*rows, *(_row("stumble", "", "") for _ in range(SPARE - 1))]


def _row(kind: str, place: str, what: str, printed: str = "") -> dict[str, str]:
    return {
        "kind": kind, "place": place, "what": what, "as printed": printed, "yours": "", "severity": "", "note": "",
    }  # fmt: skip


def _list_origin(asked: Questions) -> list[tuple[str, str]]:
    told = [("pattern", asked.title), ("edition", asked.edition), ("fingerprint", asked.fingerprint)]
    return told if is_original() else [*told, ("language", find_language())]


def list_report(found: Findings) -> tuple[str, ...]:
    """Return the report on the findings of one size, line by line: places, sizes, cloth, minutes, notes, estimate."""
    asked, names = found.questions, [form.tester for form in found.forms]
    forms = say_tester("forms_one" if len(names) == 1 else "forms_many", count=len(names))
    first = say_tester("report_title", title=asked.title, edition=asked.edition, forms=forms, names=", ".join(names))
    return (
        first, "", *_report_places(found), "", *_report_sizes(found), "", say_tester("report_cloth"),
        *(_report_cloth(row, asked) for row in found.cloth if row.taken), "", say_tester("report_minutes"),
        *_report_minutes(found), *_report_notes(found), "", say_tester("report_left"), *say_unfound(found.unfound),
    )  # fmt: skip


def name_place(place: FoundPlace) -> str:
    """Return where something was found: the step, and what the testers called it if they called it otherwise."""
    others = [one for one in place.places if one != f"{place.step}"]
    if not place.step:
        return ", ".join(others)
    key = "report_step_as" if others else "report_step"
    return say_tester(key, step=place.step, places=", ".join(others))


def _report_places(found: Findings) -> Iterator[str]:
    if not found.places:
        yield say_tester("report_none")
        return
    yield say_tester("report_places")
    for place in found.places:
        yield say_tester(
            "report_place", where=name_place(place), severity=name_severity(place.severity),
            testers=", ".join(place.testers),
        )  # fmt: skip
        for one in place.stumbles:
            note = f" ({one.note})" if one.note else ""
            yield say_tester("report_stumble", tester=one.tester, read=one.read, expected=one.expected, note=note)


def say_off(off: Sequence[float], system: System) -> str:
    """Return how far a measured size is from the printed one, side by side."""
    if all(isclose(side, 0, abs_tol=1e-6) for side in off):
        return say_tester("off_none")
    said = [
        say_tester("off_larger" if side > 0 else "off_smaller", by=write_length(abs(round(side, 3)), system))
        for side in off if not isclose(side, 0, abs_tol=1e-6)
    ]  # fmt: skip
    return " × ".join(dict.fromkeys(said))


def _report_sizes(found: Findings) -> Iterator[str]:
    system = found.questions.system
    limit = write_length(find_size_limit(system), system)
    out = [size for size in found.sizes if size.out]
    yield say_tester("report_sizes" if out else "report_sizes_none", limit=limit)
    for size in out:
        off = ", ".join(say_tester("report_off", tester=name, off=say_off(one, system)) for name, one in size.off)
        yield say_tester(
            "report_size" if size.asked.step else "report_size_ready",
            step=size.asked.step, unit=name_measured(size.asked), off=off,
            size=write_size(size.asked.size, system), all_out=say_tester("report_all_out") if size.all_out else "",
        )  # fmt: skip


def find_size_limit(system: System) -> float:
    """Return by how much a measured size may differ, inches: 1/8 in or 3 mm (common practice, no source)."""
    return 0.125 if system == "inch" else 0.3 / 2.54


def _report_cloth(row: ComparedAmount, asked: Questions) -> str:
    taken = ", ".join(
        say_tester("report_taken", tester=name, amount=say_amount(row.form, amount, asked.system))
        for name, amount in row.taken
    )
    return say_tester(
        "report_cloth_row", fabric=row.place, needed=say_amount(row.form, row.stated, asked.system), taken=taken,
        buy=say_amount(row.form, row.bought, asked.system, bought=True),
        over=say_tester("report_over", names=", ".join(row.over)) if row.over else "",
    )  # fmt: skip


def _report_minutes(found: Findings) -> Iterator[str]:
    works = {asked.place: name_asked_work(asked) for asked in found.questions.times}
    for row in (one for one in found.times if one.taken):
        taken = ", ".join(say_tester("report_taken", tester=name, amount=f"{spent:g}") for name, spent in row.taken)
        middle = median(spent for _, spent in row.taken)
        yield say_tester("report_minutes_row", work=works[row.place], planned=row.stated, taken=taken, middle=middle)


def _report_notes(found: Findings) -> Iterator[str]:
    notes = [(form.tester, row, note) for form in found.forms for row, note in form.notes]
    if notes:
        yield from ("", say_tester("report_notes"))
        yield from (say_tester("report_note", tester=tester, row=row, note=note) for tester, row, note in notes)


def say_unfound(told: Unfound) -> tuple[str, ...]:
    """Return the estimate in sentences, with its limits."""
    facts: dict[str, object] = {
        "found": told.found, "common": told.common, "testers": len(told.by_tester), "whole": told.whole,
        "left": told.left, "corrected": told.corrected, "spread": told.spread,
    }  # fmt: skip
    if told.method == "Lincoln-Petersen":
        first, second = told.by_tester
        begin = say_tester("left_two", first=first, second=second, **facts)
    else:
        begin = say_tester("left_more" if told.method == "Chao" else "left_none", **facts)
    return begin, *(say_tester(f"limit_{limit}", **facts) for limit in told.limits)


def write_form_texts(asked: Questions) -> dict[str, object]:
    """Return the texts of the printed form, ready for the typesetter."""
    system = asked.system
    size = " × ".join(write_nearest(side, system) for side in asked.finished)
    piece = next(
        (place.upper() for place, _ in asked.places if place[-1:].isdigit() and place[:1].isalpha()), say("none")
    )
    parts = ", ".join(name_form_part(place) for place, step in asked.places if not step and place in PARTS)
    return {
        "title": say_tester("title", title=asked.title),
        "about": say_tester("about", edition=asked.edition, size=size, short=asked.fingerprint[:SHORT]),
        "how_lines": list(WORDS["how_lines"]),
        "sizes": [
            [f"{one.step or '–'}", name_measured(one), f"{one.count}", write_size(one.size, system)]
            for one in asked.sizes
        ],
        "cloth": [
            [
                one.letter, one.fabric, say_amount(one.form, one.needed, system),
                say_amount(one.form, one.bought, system, bought=True),
            ]
            for one in asked.cloth
        ],
        "minutes": [
            [name_asked_work(one), say_tester("minute_one", minutes=f"{one.minutes:.0f}")] for one in asked.times
        ],
        "severities": [name_severity(one) for one in SEVERITIES],
        "stumbles_how": say_tester("stumbles_how", piece=piece, parts=parts),
    }  # fmt: skip
