"""The rows of a TOML text: which lines hold a header, a key with its value, a comment or nothing, and where each lies.

The text is known to be TOML; only its layout is read here. Names of keys are read by `tomllib`.
"""

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeAlias

Path: TypeAlias = tuple[str | int, ...]
"""Keys from the root down; the number of the entry stands after the key of an array of tables."""

_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'  # strings of several lines
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'  # strings of one line
    r"|'[^'\n]*'"
    r"|\#[^\n]*|[\[\]{}]|=|\n|[^\"'#\[\]{}=\n]+",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class TomlRow:
    """One line of the file, or the lines over which one value reaches.

    Attributes
    ----------
    kind
        "header", "entry", "comment" or "blank".
    start, end
        Where it begins, and where the next begins.
    path
        Of a header its table, of an entry its key; empty otherwise.
    value
        Where the value of an entry begins and ends.
    """

    kind: Literal["header", "entry", "comment", "blank"]
    start: int
    end: int
    path: Path = ()
    value: tuple[int, int] = (0, 0)


def read_rows(text: str) -> list[TomlRow]:
    """Return the rows of a TOML text that ends with a line end, in order."""
    rows: list[TomlRow] = []
    counts: dict[Path, int] = {}
    table: Path = ()
    for start, end, equals, finish in _split(text):
        line = text[start:end]
        bare = line.strip()
        if not bare or bare.startswith("#"):
            rows.append(TomlRow("comment" if bare else "blank", start, end))
        elif equals is None:
            table = _resolve(text[start:finish].strip(), counts)
            rows.append(TomlRow("header", start, end, table))
        else:
            key = (*table, *_read_key(f"{text[start:equals]} = 0"))
            after = text[equals + 1 : finish]
            rows.append(TomlRow("entry", start, end, key, (finish - len(after.lstrip()), finish)))
    return rows


def _split(text: str) -> Iterator[tuple[int, int, int | None, int]]:
    """Yield for each row where it starts and ends, where its equals sign is, and where its last word ends."""
    start, depth, equals, finish = 0, 0, None, 0
    for token in _TOKEN.finditer(text):
        word = token.group()
        if word == "\n" and not depth:
            yield start, token.end(), equals, finish
            start, equals, finish = token.end(), None, token.end()
            continue
        depth += (word in ("[", "{")) - (word in ("]", "}"))
        if word == "=" and not depth and equals is None:
            equals = token.start()
        if not word.startswith("#") and word.strip():
            finish = token.start() + len(word.rstrip())


def _resolve(header: str, counts: dict[Path, int]) -> Path:
    """Return the table that a header opens, and count it where it is one of an array."""
    several = header.startswith("[[")
    keys = _read_key(header[1:-1] if several else header)
    path: Path = ()
    for key in keys[:-1]:
        path = (*path, key)
        path = (*path, counts[path] - 1) if path in counts else path
    path = (*path, keys[-1])
    if several:
        counts[path] = counts.get(path, 0) + 1
        return (*path, counts[path] - 1)
    return path


@lru_cache(maxsize=4096)
def _read_key(text: str) -> tuple[str, ...]:
    """Return the keys of a header or of a dotted key."""
    found, keys = tomllib.loads(text), []
    while isinstance(found, dict) and found:
        key, found = next(iter(found.items()))
        keys.append(key)
    return tuple(keys)


def find_lead(rows: Sequence[TomlRow], place: int) -> int:
    """Return the first of the comments that stand directly above a row, or the row itself."""
    while place and rows[place - 1].kind == "comment":
        place -= 1
    return place


def find_block_end(rows: Sequence[TomlRow], place: int) -> int:
    """Return the row after the last entry of the block that a header opens, and after comments directly below it."""
    last = place
    for i in range(place + 1, len(rows)):
        if rows[i].kind == "header":
            break
        if rows[i].kind == "entry":
            last = i
    end = last + 1
    while end < len(rows) and rows[end].kind == "comment":
        end += 1
    return end if end == len(rows) or rows[end].kind == "blank" else last + 1


def find_block(rows: Sequence[TomlRow], path: Path) -> tuple[int, int] | None:
    """Return the rows, first and after the last, of a table and everything below it; None where no header opens it."""
    heads = [i for i, row in enumerate(rows) if row.kind == "header" and row.path[: len(path)] == path]
    if not heads:
        return None
    return find_lead(rows, heads[0]), find_block_end(rows, heads[-1])
