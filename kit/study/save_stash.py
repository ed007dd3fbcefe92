"""Saving a stash over its file: what changed is written, and every other line stays as the maker wrote it."""

import os
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.model.stash import Stash
from kit.study.save_file import change_keys
from kit.study.stash_file import read_stash, stash_keys, write_stash
from kit.study.text_file import replace_text


def save_stash(stash: Stash, path: str | os.PathLike[str]) -> str:
    """Write a stash file; `open_stash(save_stash(stash, path)) == stash`.

    Over a stash file only what changed is written: comments, order and layout of everything else stay. The text goes to
    a file beside it first and takes its place whole.

    Raises
    ------
    StudyError
        When the file cannot be written.
    """
    place = Path(path)
    replace_text(place, lambda: _write_over_stash(stash, place))
    return str(place)


def _write_over_stash(stash: Stash, place: Path) -> str:
    """Return the text of the file with what changed, or the plain text where it holds no stash."""
    plain = write_stash(stash)
    try:
        written = place.read_bytes().decode("utf-8") if place.is_file() else ""
        found = read_stash(written) if written.strip() else None
    except (KitError, UnicodeDecodeError):
        return plain
    if found is None or found == stash:
        return plain if found is None else written
    if "\r" in written or not written.endswith("\n"):
        return plain
    try:
        raw = tomllib.loads(written)
        changed = change_keys(written, (), _as_written(stash_keys(found), raw), _as_written(stash_keys(stash), raw))
        return changed if read_stash(changed) == stash else plain
    except (KitError, KeyError, IndexError, ValueError, TypeError):
        return plain


def _as_written(keys: Mapping[str, Any], raw: Mapping[str, Any]) -> dict[str, Any]:
    """Return the keys without the widths of cloths that the file leaves at their default."""
    bare = {one.get("name") for one in raw.get("cloth", ()) if "width" not in one}
    if "cloth" not in keys:
        return dict(keys)
    cloths = [{k: v for k, v in one.items() if k != "width" or one["name"] not in bare} for one in keys["cloth"]]
    return {**keys, "cloth": cloths}
