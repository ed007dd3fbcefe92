"""Filled forms read back from CSV: every row is read or refused by its number, and nothing that was written is lost."""

import csv
import io
import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from kit.errors import KitError
from kit.lengths import read_length, read_number
from kit.model.findings import PARTS, SEVERITIES, AskedCloth, Questions, Severity, Stumble, TesterForm
from kit.testers.form_language import put_in_english

COLUMNS = ("kind", "place", "what", "as printed", "yours", "severity", "note")
KINDS = ("about", "size", "cloth", "minutes", "stumble")
ORIGIN = ("pattern", "edition", "fingerprint", "language")
GUARD = re.compile(r"^'(?=[=+@\t\r-])")
"""The mark that the kit puts before a cell that a spreadsheet would take for a formula."""
LARGEST = 2_000_000
"""Bytes: a longer form is refused unread."""
SHOWN = 3
"""Faults of one form that are named; the others are counted."""
LONGEST_DAY = 100_000.0
"""Minutes that are believed of one stretch of work."""


@dataclass
class _Filled:
    """What was read of a form so far, and the faults found."""

    tester: str = ""
    fingerprint: str = ""
    sizes: dict[str, tuple[float, ...]] = field(default_factory=dict)
    cloth: dict[str, float] = field(default_factory=dict)
    minutes: dict[str, float] = field(default_factory=dict)
    stumbles: list[tuple[str, str, str, Severity, str]] = field(default_factory=list)
    notes: list[tuple[str, str]] = field(default_factory=list)
    seen: set[tuple[str, str]] = field(default_factory=set)
    faults: list[KitError] = field(default_factory=list)


def read_form(path: str | os.PathLike[str], asked: Questions) -> TesterForm:
    """Read one filled form.

    Parameters
    ----------
    path
        The CSV file of the tester pack, filled; commas, semicolons or tabs between the cells, as the tester's
        spreadsheet wrote it.
    asked
        What was asked, from `list_questions`.

    Returns
    -------
    TesterForm
        Sizes in inches, cloth in inches of length or as a number, minutes, and every stumble and note.

    Raises
    ------
    KitError
        A file that is not a form of this size and edition, or rows that cannot be read: the message names the row, the
        cell and the remedy.
    """
    name, rows = Path(path).name, put_in_english(read_form_rows(path), (place for place, _ in asked.places))
    filled = _Filled()
    for number, row in rows:
        try:
            _take_row(row, asked, filled)
        except KitError as error:
            filled.faults.append(error.with_place(f"{name}, row {number}"))
    if filled.faults:
        _refuse(filled.faults)
    if filled.fingerprint != asked.fingerprint:
        raise KitError(
            f"{name} is a form for another print ({filled.fingerprint[:8] or 'none named'})",
            needed=f"a form for {asked.title}, edition {asked.edition} ({asked.fingerprint[:8]})",
            do="open the study as it was when the pack was written",
        )
    tester = filled.tester or Path(path).stem
    stumbles = tuple(Stumble(tester, *one) for one in filled.stumbles)
    return TesterForm(
        tester, name, tuple(filled.sizes.items()), tuple(filled.cloth.items()), tuple(filled.minutes.items()),
        stumbles, tuple(filled.notes),
    )  # fmt: skip


def _refuse(faults: Sequence[KitError]) -> None:
    """Raise the faults of a form as one error; the first few with their remedies."""
    if len(faults) == 1:
        raise faults[0]
    more = f"; and {len(faults) - SHOWN} more" if len(faults) > SHOWN else ""
    shown = faults[:SHOWN]
    raise KitError(
        "; ".join(fault.found.rstrip(".") for fault in shown) + more,
        needed="; ".join(dict.fromkeys(fault.needed for fault in shown)),
        do="; ".join(dict.fromkeys(fault.do for fault in shown)),
    )


def find_fingerprint_of_form(path: str | os.PathLike[str]) -> str:
    """Return the fingerprint of the print that a form was written for; empty where its row is gone."""
    about = (row for _, row in read_form_rows(path) if row["kind"].lower() == "about")
    return next((row["as printed"] for row in about if row["place"].lower() == "fingerprint"), "")


def read_form_rows(path: str | os.PathLike[str]) -> list[tuple[int, Mapping[str, str]]]:
    """Return the rows of a form by column, each with its number in the file, rows without a word left out."""
    place = Path(path)
    try:
        data = place.read_bytes()
    except OSError as error:
        raise KitError(f"{place.name} cannot be read ({error.strerror})", needed="a filled form",
                       do="name the CSV file that the tester sent") from None  # fmt: skip
    if len(data) > LARGEST:
        raise KitError(f"{place.name} is too large for a form", needed="at most 2 megabytes", do="save the form again")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise KitError(f"{place.name} is not written in UTF-8", needed="a CSV file in UTF-8",
                       do='save it again as "CSV UTF-8"') from None  # fmt: skip
    top = text.split("\n", 1)[0]
    between = max(",;\t", key=top.count)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True))
    except csv.Error as error:
        raise KitError(
            f"{place.name} is not a CSV file ({error})", needed="the form as CSV", do="save it again"
        ) from None
    head = [cell.strip().lower() for cell in lines[0]] if lines else []
    missing = [column for column in COLUMNS if column not in head]
    if missing:
        raise KitError(f"{place.name} has no column `{missing[0]}`", needed=f"the columns {', '.join(COLUMNS)}",
                       do="fill the form without changing its first row")  # fmt: skip
    return [row for number, line in enumerate(lines[1:], 2) if (row := _lay_out(place.name, number, head, line))]


def _lay_out(name: str, number: int, head: Sequence[str], line: Sequence[str]) -> tuple[int, Mapping[str, str]] | None:
    """Return a row by its columns; refuse words outside the form's columns, which would be lost."""
    row = dict.fromkeys(COLUMNS, "")
    for place, cell in enumerate(line):
        text = GUARD.sub("", " ".join(cell.split()))
        column = head[place] if place < len(head) else ""
        if column in row:
            row[column] = text
        elif text:
            raise KitError(
                f"{name}, row {number}: `{text}` stands outside the columns of the form",
                needed=f"every word in one of {', '.join(COLUMNS)}", do="move it to the column `note`",
            )  # fmt: skip
    return (number, row) if any(row.values()) else None


def _take_row(row: Mapping[str, str], asked: Questions, filled: _Filled) -> None:
    kind, place = row["kind"].lower(), row["place"]
    if kind not in KINDS:
        near = get_close_matches(kind, KINDS, n=1)
        hint = f"write {near[0]}" if near else "write stumble, and the step under `place`"
        raise KitError(f"the kind is `{row['kind']}`", needed=f"one of {', '.join(KINDS)}", do=hint)
    if kind == "stumble":
        _take_stumble(row, asked, filled)
        return
    if row["severity"]:
        raise KitError(f"the {kind} row has the severity `{row['severity']}`", needed="a severity in stumbles alone",
                       do="write a stumble row for it")  # fmt: skip
    if kind == "about":
        _take_about(row, filled)
        return
    mark = kind, place.lower()
    if mark in filled.seen:
        raise KitError(f"{kind} `{place}` is there twice", needed="one row each", do="keep the row that holds")
    filled.seen.add(mark)
    {"size": _take_size, "cloth": _take_cloth, "minutes": _take_minutes}[kind](place, row["yours"], asked, filled)
    if row["note"]:
        filled.notes.append((f"{kind} {place}", row["note"]))


def _take_about(row: Mapping[str, str], filled: _Filled) -> None:
    place = row["place"].lower()
    if place == "tester":
        filled.tester = row["yours"]
    elif place == "fingerprint":
        filled.fingerprint = row["as printed"]
    elif place not in ORIGIN:
        needed = ", ".join(("tester", *ORIGIN))
        raise KitError(f"the form says something about `{row['place']}`", needed=needed, do="write it as a note")
    elif row["yours"]:
        filled.notes.append((place, row["yours"]))
    if row["note"]:
        filled.notes.append((place, row["note"]))


def _take_size(place: str, yours: str, asked: Questions, filled: _Filled) -> None:
    steps = {size.place: size for size in asked.sizes}
    if place not in steps:
        raise KitError(f"a size after step `{place}` was not asked", needed=f"one of the steps {', '.join(steps)}",
                       do="write it as a stumble, or correct the step")  # fmt: skip
    if yours:
        filled.sizes[place] = read_size(yours)


def read_size(text: str) -> tuple[float, ...]:
    """Read a measured size: one length for a square, or width and length; the unit may stand at the end alone.

    Raises
    ------
    LengthError
        Not one or two lengths with a unit.

    Examples
    --------
    >>> read_size("8 1/2 x 8-3/8 in"), read_size("21.5 cm × 21.5 cm") == read_size("21.5 cm") * 2
    ((8.5, 8.375), True)
    """
    parts = [part.strip() for part in re.split(r"\s*[x×]\s*", text.strip(), flags=re.IGNORECASE)]
    if len(parts) > 2:
        raise KitError(f"the size `{text}` has {len(parts)} lengths", needed="a width and a length",
                       do='write for instance "8 1/2 x 8 1/2 in"')  # fmt: skip
    unit = re.search(r"[^\d\s.,/½¼¾⅛⅜⅝⅞⁄-]+$", parts[-1])
    if unit and re.search(r"\d|[½¼¾⅛⅜⅝⅞]", parts[0][-1:]):
        parts[0] += f" {unit[0]}"
    return tuple(read_length(part, name="size") for part in parts)


def _take_cloth(place: str, yours: str, asked: Questions, filled: _Filled) -> None:
    cloths = {cloth.fabric.lower(): cloth for cloth in asked.cloth}
    cloths |= {cloth.letter.lower(): cloth for cloth in asked.cloth if cloth.letter.lower() not in cloths}
    if place.lower() not in cloths:
        raise KitError(f"the fabric `{place}` is not in the pattern", needed=_join(one.fabric for one in asked.cloth),
                       do="correct its name")  # fmt: skip
    if yours:
        cloth = cloths[place.lower()]
        filled.cloth[cloth.fabric] = _read_cloth(yours, cloth)


def _read_cloth(text: str, cloth: AskedCloth) -> float:
    if cloth.form == "yardage":
        return read_length(text, name=f"cloth of {cloth.fabric}", zero_allowed=True, longest=100_000)
    return _read_count(text, f"number of {cloth.form} of {cloth.fabric}")


def _take_minutes(place: str, yours: str, asked: Questions, filled: _Filled) -> None:
    works = {time.place.lower(): time.place for time in asked.times}
    if place.lower() not in works:
        raise KitError(f"the work `{place}` is not on the form", needed=_join(works.values()), do="correct its name")
    if yours:
        filled.minutes[works[place.lower()]] = _read_count(yours, "number of minutes")


def _read_count(text: str, what: str) -> float:
    number = read_number(text, name=what)
    if not 0 <= number <= LONGEST_DAY:
        raise KitError(f"the {what} is `{text}`", needed=f"0 to {LONGEST_DAY:,.0f}", do="correct the number")
    return number


def _take_stumble(row: Mapping[str, str], asked: Questions, filled: _Filled) -> None:
    place = re.sub(r"^(?:step|piece|unit|Schritt|Teil|Einheit)\s+", "", row["place"], flags=re.IGNORECASE)
    if not any(row[column] for column in ("place", "as printed", "yours", "severity", "note")):
        return
    known = dict(asked.places)
    if place.lower() not in known:
        near = get_close_matches(place.lower(), [one for one in known if not one.isdigit()], n=1)
        hint = f"write {near[0]}, if that is meant" if near else "write the step, or the part that comes nearest"
        found = f"the place of the stumble is `{row['place']}`" if place else "the stumble has no place"
        raise KitError(found, needed=f"a step from 1 to {asked.steps}, a piece, a unit, a fabric, or one of"
                       f" {_join(PARTS)}", do=hint)  # fmt: skip
    severity = next((one for one in SEVERITIES if one == row["severity"].lower()), None)
    if severity is None:
        found = f"the severity is `{row['severity']}`" if row["severity"] else "the severity is missing"
        raise KitError(found, needed=f"one of {_join(SEVERITIES)}", do="ask the tester how bad it was")
    if not row["as printed"] and not row["yours"] and not row["note"]:
        raise KitError("the stumble has no words", needed="what was read, and what was expected", do="ask the tester")
    filled.stumbles.append((place.lower(), row["as printed"], row["yours"], severity, row["note"]))


def _join(names: Iterable[str]) -> str:
    return ", ".join(names)
