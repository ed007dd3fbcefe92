"""The result of a study, stored beside it: fingerprint, versions, figures and tables; and later changes."""

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from itertools import zip_longest
from pathlib import Path
from typing import Any, Literal, NamedTuple

import pandas as pd

from kit.errors import KitError
from kit.model.pattern import Pattern
from kit.output import tables
from kit.output.files.files import write_csv
from kit.output.tables import finishing_tables
from kit.sharing.versions import SOURCE, find_fingerprint, list_versions
from kit.sharing.whole_file import write_whole
from kit.study import Study, study_keys

FORM = 1
"""The form of the file that this kit writes and reads."""
ENDING = ".result.json"
LARGEST = 20_000_000
"""Bytes: a longer result is refused unread."""


class Change(NamedTuple):
    """One change since the result was stored.

    Attributes
    ----------
    kind
        "study" or "version": the origin of the result; "figure" or "table": the result itself.
    sentence
        The old and the new value.
    """

    kind: Literal["study", "version", "figure", "table"]
    sentence: str


def list_tables(pattern: Pattern) -> dict[str, str]:
    """Return every table of a pattern as CSV text, by its name."""
    made: dict[str, pd.DataFrame] = {
        "pieces": tables.pieces(pattern),
        "shopping": tables.shopping(pattern),
        "cutting": tables.cutting(pattern),
        "steps": tables.steps(pattern),
        "backing": finishing_tables.list_backings(pattern.finishing),
        "batting": finishing_tables.list_battings(pattern.finishing),
        "binding": finishing_tables.list_binding(pattern.finishing),
        "thread": finishing_tables.list_thread_lengths(pattern.finishing),
        "time": finishing_tables.list_hours(pattern.finishing),
        "costs": finishing_tables.list_costs(pattern.finishing),
    }
    return {name: write_csv(table) for name, table in made.items()}


def list_result_figures(pattern: Pattern) -> dict[str, float | int | str]:
    """Return the figures of a pattern for comparison by value; lengths in inches, to a millionth."""
    width, length = pattern.patchwork.finished
    placed = sorted(pattern.colouring.assignment.items())
    return {
        "finished width (in)": round(width, 6),
        "finished length (in)": round(length, 6),
        "patches": len(pattern.patchwork.patches),
        "pieces": pattern.cut_list.count,
        "kinds of piece": len(pattern.cut_list.pieces),
        "steps": len(pattern.sewing.steps),
        "partial seams": pattern.sewing.partial_seams,
        "set-in seams": pattern.sewing.set_in_seams,
        "like prints that touch": pattern.colouring.violations,
        "placement of the prints": hashlib.sha256(json.dumps(placed).encode()).hexdigest()[:16],
        "warnings": " ".join(pattern.warnings),
    }


def make_result(pattern: Pattern) -> dict[str, Any]:
    """Return the result of a pattern as plain data.

    Raises
    ------
    KitError
        A pattern without a study from a file, so that its keys are unknown.
    """
    study = pattern.study
    if not isinstance(study, Study):
        raise KitError(
            "The pattern was not made from a study", needed="a pattern from `make_pattern`", do="open the study first"
        )
    versions = list_versions()
    return {
        "form": FORM,
        "title": study.title,
        "edition": study.edition,
        "fingerprint": find_fingerprint(study.fingerprint, versions),
        "study": {"fingerprint": study.fingerprint, "keys": study_keys(study)},
        "versions": versions,
        "figures": list_result_figures(pattern),
        "tables": {
            name: {"sha256": hashlib.sha256(text.encode()).hexdigest(), "lines": text.split("\n")[:-1]}
            for name, text in list_tables(pattern).items()
        },
    }


def write_result(result: Mapping[str, Any]) -> str:
    """Return a result as text; the same result gives the same bytes."""
    return json.dumps(result, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def find_result(study: str | os.PathLike[str]) -> Path:
    """Return the path of the result of a study file: beside it.

    Examples
    --------
    >>> find_result("studies/tideline.toml").name
    'tideline.result.json'
    """
    path = Path(study)
    return path.with_name(path.stem + ENDING)


def store_result(pattern: Pattern, path: str | os.PathLike[str]) -> Path:
    """Store the result of a pattern, so that `kit check` can later list the changes.

    Parameters
    ----------
    pattern
        From `make_pattern`.
    path
        The file to write; the command compares `<study>.result.json` beside `<study>.toml`.

    Raises
    ------
    KitError
        The file cannot be written.
    """
    return write_whole(Path(path), write_result(make_result(pattern)).encode())


def open_result(path: str | os.PathLike[str]) -> dict[str, Any]:
    """Read a stored result and check that it is whole.

    Raises
    ------
    KitError
        A file that is not a result, or a table that does not give its hash; names the table.
    """
    place = Path(path)
    try:
        if place.stat().st_size > LARGEST:
            most = f"at most {LARGEST // 10**6} megabytes"
            raise KitError(f"{place.name} is too large for a result", needed=most, do="store it again")
        text = place.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise KitError(
            f"{place.name} cannot be read ({error})", needed="a stored result", do="store it again"
        ) from None
    return read_result(text, place.name)


def read_result(text: str, name: str) -> dict[str, Any]:
    """Read the text of a stored result; see `open_result`."""
    try:
        result = json.loads(text)
        _see_form(result)
        for table, held in result["tables"].items():
            lines = "".join(f"{line}\n" for line in held["lines"])
            if hashlib.sha256(lines.encode()).hexdigest() != held["sha256"]:
                raise KitError(
                    f"{name}: the table `{table}` was changed after it was stored",
                    needed="the stored lines", do="store the result again",
                )  # fmt: skip
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        found = f"{name} is not a stored result ({type(error).__name__}: {error})"
        raise KitError(found, needed="a file of `store_result`", do="store it again") from None
    return dict(result)


def _see_form(result: Any) -> None:
    """Raise a ValueError or its like if a result is not of the form written here."""
    if result["form"] != FORM:
        raise ValueError(f"form {result['form']!r:.20}, not {FORM}")
    texts = [result["fingerprint"], result["study"]["fingerprint"], *result["versions"].values()]
    if not all(isinstance(text, str) for text in texts):
        raise TypeError("a fingerprint or version is not a text")
    for part in (result["study"]["keys"], result["figures"], result["tables"]):
        if not isinstance(part, dict):
            raise TypeError("a table of it is missing")


def compare_result(stored: Mapping[str, Any], pattern: Pattern) -> tuple[Change, ...]:
    """Return the changes between a stored result and a fresh pattern.

    First the changes of origin (keys of the study, versions), then of the figures and the lines of the tables.

    Parameters
    ----------
    stored
        From `open_result`.
    pattern
        From `make_pattern`.

    Returns
    -------
    tuple of Change
        Empty if everything is the same.
    """
    fresh = make_result(pattern)
    return (
        *(Change("study", said) for said in _compare_study(stored["study"], fresh["study"])),
        *(Change("version", said) for said in _compare_versions(stored["versions"], fresh["versions"])),
        *(Change("figure", said) for said in _compare_values(stored["figures"], fresh["figures"])),
        *(Change("table", said) for said in _compare_tables(stored["tables"], fresh["tables"])),
    )


def _compare_study(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    if was["fingerprint"] != now["fingerprint"]:
        said = list(_compare_values(dict(_flatten(was["keys"])), dict(_flatten(now["keys"])), "at its default"))
        yield from said or [f"the study has the fingerprint {now['fingerprint'][:12]}, not {was['fingerprint'][:12]}"]


def _compare_versions(was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """Name each version that differs; for the source only the fact."""
    shown = {key: value for key, value in was.items() if key != SOURCE}
    yield from _compare_values(shown, {key: value for key, value in now.items() if key != SOURCE})
    if was.get(SOURCE) != now.get(SOURCE):
        yield "the source of the kit has changed"


def _compare_values(was: Mapping[str, Any], now: Mapping[str, Any], absent: str = "not there") -> Iterator[str]:
    for key in dict.fromkeys([*was, *now]):
        before, after = (_show(side[key]) if key in side else absent for side in (was, now))
        if before != after or was.get(key) != now.get(key):
            yield f"{key} was {before}, is {after}"


def _compare_tables(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    """For each table that differs, give the first different line, and the number of such lines."""
    for name in dict.fromkeys([*was, *now]):
        if name not in now or name not in was:
            yield f"the table `{name}` is {'gone' if name in was else 'new'}"
            continue
        if was[name]["sha256"] == now[name]["sha256"]:
            continue
        pairs = enumerate(zip_longest(was[name]["lines"], now[name]["lines"], fillvalue="(no such line)"))
        other = [(row, before, after) for row, (before, after) in pairs if before != after]
        row, before, after = other[0]
        many = f" ({len(other)} lines differ)" if len(other) > 1 else ""
        yield f"table `{name}`, row {row}: was {_show(before)}, is {_show(after)}{many}"


def _flatten(value: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Yield each leaf of nested keys under its dotted name; places in a list count from 1."""
    if isinstance(value, list | tuple):
        value = dict(enumerate(value, 1))
    if not isinstance(value, Mapping):
        yield place, value
        return
    for key, held in value.items():
        yield from _flatten(held, f"{place}.{key}" if place else str(key))


def _show(value: Any) -> str:
    """Return a value as a sentence shows it: short, and without control codes for a terminal."""
    shown = " ".join(f"{value}"[:120].split())
    text = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in shown)
    text = text if len(text) < 120 else f"{text[:110]}..."
    return f"`{text}`" if isinstance(value, str) else text
