"""The form of a written pattern, read from TOML or from a spreadsheet table: plain entries with their lines.

The form holds what a pattern says and nothing else: measures, sizes, and for each size its pieces, units, batches,
borders, cloth, backing, batting, binding and totals. Nothing is guessed from prose.
"""

import csv
import io
import os
import re
import tomllib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from kit.errors import KitError

LARGEST = 5_000_000
"""Bytes: a longer form is refused unread."""
MOST_ENTRIES = 20_000
KEYS: Mapping[str, tuple[str, ...]] = {
    "measures": ("system", "seam_allowance", "round_cuts_to"),
    "size": ("name", "finished", "usable_width", "system", "seam_allowance", "round_cuts_to"),
    "piece": ("name", "shape", "cut", "finished", "count", "fabrics"),
    "unit": ("name", "count", "size", "parts", "rows", "shapes"),
    "batch": ("name", "unit", "way", "finished", "units", "batches", "makes", "cuts", "gives"),
    "border": ("name", "inside", "finished", "cut", "sides", "ends", "corners", "strips"),
    "cloth": ("fabric", "form", "width", "length", "buy", "one_way", "repeat"),
    "backing": ("size", "buy", "width", "overhang"),
    "batting": ("size",),
    "binding": ("cut", "finished", "fold", "strips", "buy", "grain"),
    "totals": ("pieces", "kinds"),
}
"""The kinds of entries, and what each may hold."""
SINGLE = ("measures", "backing", "batting", "binding", "totals")


@dataclass(frozen=True)
class FormEntry:
    """One entry of the form.

    Attributes
    ----------
    size
        Name of the size that it belongs to; empty for the measures of all.
    kind, name
        "piece", "unit", ...; its name.
    line
        Where it begins.
    texts
        Key -> what is written: a text, a number, a truth or a list.
    lines
        Key -> its line.
    """

    size: str
    kind: str
    name: str
    line: int
    texts: Mapping[str, Any]
    lines: Mapping[str, int]

    @property
    def where(self) -> str:
        """Its place in words."""
        named = f"{self.kind} {self.name}".strip()
        return ", ".join(part for part in (self.size, named) if part and part != f"size {self.size}") or named


@dataclass(frozen=True)
class PatternForm:
    """A form as it was read: its title, its entries, and what could not be read, each with its line."""

    title: str
    entries: tuple[FormEntry, ...]
    faults: tuple[tuple[int, str, str], ...]


def read_pattern_form(path: str | os.PathLike[str]) -> PatternForm:
    """Read a form from a TOML file, or from a table with the ending `.csv`.

    Raises
    ------
    KitError
        A file that cannot be read, or is neither.
    """
    place = Path(path)
    try:
        if place.stat().st_size > LARGEST:
            raise KitError(f"{place.name} is too large for a form", needed="a form of a pattern", do="divide it")
        text = place.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise KitError(
            f"{place.name} cannot be read ({error.strerror})",
            needed="the form of a pattern",
            do="name a TOML file or a table",
        ) from None
    except UnicodeDecodeError:
        raise KitError(f"{place.name} is not a text", needed="a form in UTF-8", do="save it as UTF-8") from None
    return read_table_form(text, place.stem) if place.suffix.lower() == ".csv" else read_toml_form(text, place.name)


def read_toml_form(text: str, name: str = "form") -> PatternForm:
    """Read the text of a form in TOML.

    Raises
    ------
    KitError
        A text that is not TOML; names the line.
    """
    try:
        held = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise KitError(f"{name} is not a form: {error}", needed="a form in TOML", do="correct that line") from None
    places = _find_lines(text)
    faults: list[tuple[int, str, str]] = []
    entries: list[FormEntry] = []
    title = str(held.pop("title", name))[:200]
    if "measures" in held:
        entries += _take_entries("", "measures", held.pop("measures"), places, (), faults)
    sizes = held.pop("size", [])
    known = ["title", "measures", "size"]
    faults += [(places.get((key,), {}).get("", 0), str(key)[:60], _say_unknown(str(key), known)) for key in held]
    for number, size in enumerate(sizes if isinstance(sizes, list) else []):
        if not isinstance(size, dict):
            faults.append((0, "size", "A size is a table: write [[size]]"))
            continue
        named = str(size.get("name", f"size {number + 1}"))[:80]
        own = {key: value for key, value in size.items() if key not in KEYS or key in KEYS["size"] or key == "size"}
        entries += _take_entries(named, "size", [own | {"name": named}], places, (number,), faults)
        for kind in KEYS:
            if kind in size and kind not in ("size", "measures"):
                entries += _take_entries(named, kind, size[kind], places, (number,), faults)
    if not isinstance(sizes, list):
        faults.append((0, "size", "The sizes are tables: write [[size]]"))
    return PatternForm(title, tuple(entries[:MOST_ENTRIES]), tuple(faults))


def read_table_form(text: str, title: str = "form") -> PatternForm:
    """Read the text of a form as a table: columns size, kind, and the keys of the entries; one row per entry.

    Raises
    ------
    KitError
        A table without the columns size and kind.
    """
    try:
        rows = list(csv.reader(io.StringIO(text)))
    except csv.Error as error:
        raise KitError(
            f"the table cannot be read ({error})", needed="a table of comma-separated values", do="save it again as CSV"
        ) from None
    heads = [head.strip().lower() for head in rows[0]] if rows else []
    if not {"size", "kind"} <= set(heads):
        raise KitError(
            "the table has not the columns size and kind",
            needed="a head with size, kind and the keys",
            do="take the table that the kit writes as a model",
        )
    entries, faults = [], []
    for number, row in enumerate(rows[1:], start=2):
        held = {head: cell.strip() for head, cell in zip(heads, row, strict=False) if cell.strip()}
        if not held:
            continue
        kind, size = held.pop("kind", ""), held.pop("size", "")
        if kind == "title":
            title = held.get("name", title)
            continue
        if kind not in KEYS:
            faults.append((number, kind[:60] or "a row", _say_unknown(kind, list(KEYS))))
            continue
        if "unit size" in held:
            held["size"] = held.pop("unit size")
        texts = {key: value.split(" | ") if key in ("rows", "shapes") else value for key, value in held.items()}
        entries.append(_make_entry(size, kind, texts, number, dict.fromkeys(texts, number), faults))
    return PatternForm(title, tuple(entries[:MOST_ENTRIES]), tuple(faults))


def _take_entries(
    size: str,
    kind: str,
    held: Any,
    places: Mapping[tuple[Any, ...], Mapping[str, int]],
    path: tuple[int, ...],
    faults: list[tuple[int, str, str]],
) -> Iterator[FormEntry]:
    listed = held if isinstance(held, list) else [held]
    for number, one in enumerate(listed):
        at = (
            ("size", *path)
            if kind == "size"
            else ("measures",)
            if kind == "measures"
            else ("size", *path, kind, number)
        )
        lines = places.get(at, {})
        if not isinstance(one, dict):
            faults.append((lines.get("", 0), kind, f"{kind} is a table: write [[size.{kind}]]"))
            continue
        yield _make_entry(size, kind, one, lines.get("", 0), lines, faults)


def _make_entry(
    size: str,
    kind: str,
    held: Mapping[str, Any],
    line: int,
    lines: Mapping[str, int],
    faults: list[tuple[int, str, str]],
) -> FormEntry:
    texts = {}
    for key, value in held.items():
        if key not in KEYS[kind]:
            faults.append((lines.get(key, line), f"{kind}: {str(key)[:40]}", _say_unknown(str(key), list(KEYS[kind]))))
        else:
            texts[key] = value
    name = str(texts.get("fabric" if kind == "cloth" else "name", "" if kind in SINGLE else "without a name"))[:80]
    return FormEntry(size, kind, name, line, texts, {key: lines.get(key, line) for key in texts})


def _say_unknown(key: str, known: list[str]) -> str:
    near = get_close_matches(key, known, n=1)
    return f"The form has no `{key:.40}`" + (f"; is `{near[0]}` meant?" if near else f"; it has {', '.join(known)}")


def _find_lines(text: str) -> dict[tuple[Any, ...], dict[str, int]]:
    """Return the place of each table (its path, with the numbers of its arrays) -> key -> line, "" for its head."""
    found: dict[tuple[Any, ...], dict[str, int]] = defaultdict(dict)
    counts: dict[tuple[Any, ...], int] = defaultdict(int)
    at: tuple[Any, ...] = ()
    size = -1
    for number, line in enumerate(text.splitlines(), start=1):
        head = re.match(r"\s*\[\[?\s*([\w. -]+?)\s*\]\]?", line)
        if head and "=" not in line.split("]")[0]:
            parts = [part.strip() for part in head[1].split(".")]
            if parts == ["size"]:
                size += 1
                at = ("size", size)
            elif parts[0] == "size" and len(parts) == 2:
                at = ("size", size, parts[1], counts[size, parts[1]])
                counts[size, parts[1]] += 1
            else:
                at = tuple(parts)
            found[at].setdefault("", number)
            continue
        key = re.match(r"\s*[\"']?([\w -]+?)[\"']?\s*=", line)
        if key:
            found[at].setdefault(key[1], number)
            if not at:
                found[key[1],].setdefault("", number)
    return found
