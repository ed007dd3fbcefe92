"""Files of text: read whole or refused in words; written beside the old file first, then in its place."""

import os
from collections.abc import Callable
from difflib import get_close_matches
from errno import EISDIR
from pathlib import Path
from secrets import token_hex

from kit.errors import StudyError

LARGEST = 1_000_000
"""Bytes: a longer file is refused unread."""


def read_text(path: Path, wanted: str = "a study file", holding: str = "a title, a [design] and fabrics") -> str:
    """Return the text of a file of at most a megabyte.

    Parameters
    ----------
    path
        The file.
    wanted, holding
        What it should be and what it holds, for the messages.

    Raises
    ------
    StudyError
        A file that is not there, too large, empty, or not UTF-8 text.
    """
    name = path.name or str(path)
    try:
        if path.exists() and not path.is_file():
            kind = "a folder" if path.is_dir() else "not a file"
            raise StudyError(f"{name} is {kind}", needed=wanted, do="name a file that ends in .toml")
        data = path.read_bytes() if path.stat().st_size <= LARGEST else None
    except FileNotFoundError:
        near = get_close_matches(path.name, [p.name for p in path.parent.glob("*.toml")], n=1)
        do = f"is {near[0]} meant?" if near else "check the name and the folder"
        raise StudyError(f"{name} does not exist", needed=wanted, do=do) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise StudyError(f"{name} cannot be read ({why})", needed="a readable file", do="check it") from None
    if data is None:
        raise StudyError(f"{name} is over a megabyte", needed=wanted, do="check that it is the right file")
    if not data.strip():
        raise StudyError(f"{name} is empty", needed=holding, do=f"copy an existing {wanted.removeprefix('a ')}")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise StudyError(
            f"{name} is not UTF-8 text (byte {error.start})", needed="a text file", do="save it as UTF-8"
        ) from None


def replace_text(place: Path, make_text: Callable[[], str]) -> None:
    """Write a text to a file beside the place, which then takes its place whole: what is there is the old or the new.

    The file beside it has a name of its own, so that two who save at once do not write into one another.

    Raises
    ------
    StudyError
        When it cannot be written.
    """
    try:
        if place.is_dir():
            raise IsADirectoryError(EISDIR, "it is a folder")
        beside = place.with_name(f"{place.name}.{token_hex(4)}.part")
        data = make_text().encode("utf-8")
        try:
            with beside.open("wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            beside.replace(place)
        finally:
            beside.unlink(missing_ok=True)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise StudyError(
            f"{place.name or place} cannot be written ({why})",
            needed="a folder that is there and may be written to",
            do="choose another folder or name",
        ) from None
