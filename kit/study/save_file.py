"""Saving a study over its file: what changed is written, and every other line stays as the maker wrote it."""

import os
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.study.read_file import read_study
from kit.study.study_record import Study
from kit.study.text_file import LARGEST, replace_text
from kit.study.toml_edit import add, arrange, find_entry, is_there, put_value, remove
from kit.study.toml_rows import Path as Keys
from kit.study.toml_rows import read_rows
from kit.study.write_file import study_keys, write_study

BOM = "\ufeff"


def save_study(study: Study, path: str | os.PathLike[str]) -> str:
    """Write a study file; `open_study(save_study(study, path)) == study`.

    Over a file that holds a study of this title or this family, only what changed is written: comments, order, layout
    and notation of everything else stay, as do line ends. A new file, or one that holds anything else, is written
    plainly.
    The text goes to a file beside it first and takes its place whole, so that nothing is lost half-way.

    Returns
    -------
    str
        The path.

    Raises
    ------
    StudyError
        When the file cannot be written.

    Notes
    -----
    A key that goes takes its line; comments above it stay. A fabric or another table that goes takes the comments
    directly above it.
    """
    place = Path(path)
    replace_text(place, lambda: _write_over(study, place))
    return str(place)


def _write_over(study: Study, place: Path) -> str:
    """Return the text of the file as it is with what changed, or the plain text where it does not hold this study."""
    plain = write_study(study)
    if not place.is_file() or place.stat().st_size > LARGEST:
        return plain
    try:
        written = place.read_bytes().decode("utf-8")
        found = read_study(written.removeprefix(BOM), folder=place.parent)
    except (KitError, UnicodeDecodeError):
        return plain
    if found == study:
        return written
    if found.title != study.title and found.design.family != study.design.family:
        return plain
    text = written.removeprefix(BOM)
    dos = text.count("\r\n") == text.count("\n")
    text = text.replace("\r\n", "\n") if dos else text
    whole = text.endswith("\n")
    for changed in _try_ways(text if whole else text + "\n", found, study):
        new = changed if whole else changed.removesuffix("\n")
        new = new.replace("\n", "\r\n") if dos else new
        try:
            if read_study(new, folder=place.parent) == study:
                return (BOM if written.startswith(BOM) else "") + new
        except KitError:
            continue
    return plain


def _try_ways(text: str, found: Study, study: Study) -> Iterator[str]:
    """Yield the text changed: where the keys differ; with keys of fabrics, then of all tables, that were left out too.

    These are for defaults that another key has changed. The last way, key for key as written, is for keys that a study
    does not write itself.
    """
    old, new, raw = study_keys(found), study_keys(study), tomllib.loads(text)
    written = _leave_out(old, raw)
    for before in (old, {**old, "fabric": written.get("fabric", [])}, written, raw):
        try:
            yield change_keys(text, (), before, new)
        except (KeyError, IndexError, ValueError, TypeError):  # a layout that cannot be changed piece by piece
            continue


def _leave_out(keys: Any, raw: Any) -> Any:
    """Return the keys without those that are not written in the file."""
    if isinstance(keys, Mapping) and isinstance(raw, Mapping):
        return {key: _leave_out(value, raw[key]) for key, value in keys.items() if key in raw}
    if isinstance(keys, list) and isinstance(raw, list) and len(keys) == len(raw):
        return [_leave_out(one, other) for one, other in zip(keys, raw, strict=True)]
    return keys


def change_keys(text: str, path: Keys, old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    """Return a TOML text with the keys of one table changed from what they were to what they are.

    Parameters
    ----------
    text
        A TOML text that ends with a line end.
    path
        The table.
    old, new
        What the text means, and what it is to mean.
    """
    for key in old:
        if key not in new:
            text = remove(text, (*path, key))
    keys = list(new)
    for number, (key, value) in enumerate(new.items()):
        here = (*path, key)
        if key in old and old[key] == value:
            continue
        if not is_there(text, here):
            text = add(text, here, value, keys[:number])
        elif find_entry(read_rows(text), here) is not None:
            text = put_value(text, here, old.get(key), value)
        elif isinstance(value, Mapping) and isinstance(old.get(key, {}), Mapping):
            text = change_keys(text, here, old.get(key, {}), value)
        elif _are_tables(value) and _are_tables(old.get(key)):
            text = _change_tables(text, here, old[key], value)
        else:
            text = add(remove(text, here), here, value, keys[:number])
    return text


def _are_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _change_tables(text: str, path: Keys, old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]) -> str:
    """Change an array of tables: each new one takes the lines of the old one that it is."""
    twins = match_tables(old, new)
    text = arrange(text, path, [table if twin is None else twin for table, twin in zip(new, twins, strict=True)])
    for number, (table, twin) in enumerate(zip(new, twins, strict=True)):
        if twin is not None and old[twin] != table:
            text = change_keys(text, (*path, number), old[twin], table)
    return text


def match_tables(old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]) -> list[int | None]:
    """Return for each new table which of the old ones it is: the same, of the same name, of the same slot, or by order.

    By order go only tables without name and slot.

    Examples
    --------
    >>> match_tables([{"name": "Fog"}, {"name": "Kelp"}], [{"name": "Kelp", "count": 2}, {"name": "Gorse"}])
    [1, None]
    """
    twins: list[int | None] = [None] * len(new)
    free = list(range(len(old)))
    for alike in (_is_same, _has_same_name, _has_same_slot, _has_neither):
        for number, table in enumerate(new):
            if twins[number] is None:
                twin = next((i for i in free if alike(old[i], table)), None)
                if twin is not None:
                    twins[number] = twin
                    free.remove(twin)
    return twins


def _is_same(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return one == other


def _has_same_name(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return "name" in one and one.get("name") == other.get("name")


def _has_same_slot(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return "slot" in one and one.get("slot") == other.get("slot")


def _has_neither(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return not {"name", "slot"} & {*one, *other}
