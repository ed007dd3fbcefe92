"""The contents of a packed study: allowed names, limits, and the list of files with their hashes."""

import hashlib
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping
from typing import Any, NoReturn

from kit.errors import KitError

MANIFEST = "manifest.json"
FORM = 1
"""The form of a packed study that this kit writes and reads."""
ENDINGS = (".toml", ".json", ".csv", ".txt", ".png", ".jpg", ".jpeg", ".webp")
"""Allowed files in a packed study: data and pictures, nothing that a machine would run or a browser would open."""
LARGEST_ZIP = 100_000_000
"""Bytes of a packed study."""
LARGEST_FILE = 25_000_000
"""Bytes of one file in it, unpacked."""
LARGEST_SUM = 200_000_000
"""Bytes of all files in it, unpacked."""
MOST_FILES = 1_000
STEEPEST = 100
"""A file over a hundred kilobytes is refused if it unpacks to more than this many times its packed bytes."""
LONGEST_NAME = 200

_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?", re.IGNORECASE)


def refuse_entry(name: str, why: str, needed: str) -> NoReturn:
    """Refuse an entry of a packed study by its name.

    Raises
    ------
    KitError
        Always.
    """
    shown = name if len(name) <= 80 else f"{name[:80]}..."
    raise KitError(f"`{shown}` {why}", needed=needed, do="ask for the study to be packed again; nothing was unpacked")


def check_name(name: str) -> None:
    """Refuse a name that could leave its folder on some machine, or a kind of file that no study needs.

    Raises
    ------
    KitError
        Names the entry and its fault.

    Examples
    --------
    >>> check_name("../tideline.toml")
    Traceback (most recent call last):
    kit.errors.KitError: `../tideline.toml` climbs out of the folder. Needed: a path within the folder. Ask for ...
    """
    parts = name.split("/")
    within = "a path within the folder"
    if not name or len(name) > LONGEST_NAME or not all(c.isprintable() for c in name):
        refuse_entry(name, "is not a name of a file", f"1 to {LONGEST_NAME} visible characters")
    if "\\" in name or ":" in name:
        refuse_entry(name, "holds a backslash or a colon, as a drive or another system's path does", within)
    if name.startswith("/"):
        refuse_entry(name, "is an absolute path", within)
    if ".." in parts:
        refuse_entry(name, "climbs out of the folder", within)
    if any(part in ("", ".") or part != part.strip(" ") or part.endswith(".") for part in parts):
        refuse_entry(name, "has an empty part, or a part that ends in a blank or a dot", within)
    if any(_RESERVED.fullmatch(part) for part in parts) or any(c in '<>"|?*' for c in name):
        refuse_entry(name, "cannot be a file on every system", "plain letters, digits, hyphens and dots")
    if not name.lower().endswith(ENDINGS):
        refuse_entry(name, "is of a kind that no study needs", ", ".join(ENDINGS))


def check_names(names: Iterable[str]) -> None:
    """Refuse each bad name, each repeated name, and a file that is also a folder; capitals make no difference.

    Raises
    ------
    KitError
        Names the entry.
    """
    seen: dict[str, str] = {}
    for name in names:
        check_name(name)
        plain = _fold(name)
        if plain in seen:
            refuse_entry(
                name, f"occurs twice (once as `{seen[plain]}`)", "one file of each name, whatever its capitals"
            )
        seen[plain] = name
    for plain, name in seen.items():
        parts = plain.split("/")
        above = next(("/".join(parts[:i]) for i in range(1, len(parts)) if "/".join(parts[:i]) in seen), None)
        if above is not None:
            refuse_entry(name, f"lies in `{seen[above]}`, but that is a file", "files and folders of different names")


def _fold(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def write_manifest(study: str, fingerprint: str, files: Mapping[str, bytes]) -> bytes:
    """Return the manifest of a packed study.

    Parameters
    ----------
    study
        Name of the study file in it.
    fingerprint
        `Study.fingerprint`.
    files
        Name -> bytes of every other file.
    """
    listed = {
        name: {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()} for name, data in sorted(files.items())
    }
    made = {"form": FORM, "study": study, "fingerprint": fingerprint, "files": listed}
    return (json.dumps(made, indent=1, ensure_ascii=False) + "\n").encode()


def read_manifest(data: bytes) -> dict[str, Any]:
    """Read a manifest and check that it is whole.

    Raises
    ------
    KitError
        A text that is not a manifest.
    """
    try:
        made = json.loads(data.decode("utf-8"))
        _see_form(made)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        refuse_entry(
            MANIFEST, f"is not a list of files ({type(error).__name__}: {error})", "the list that `pack_study` writes"
        )
    return dict(made)


def _see_form(made: Any) -> None:
    """Raise a ValueError or its like if a manifest is not of the form written here."""
    if made["form"] != FORM:
        raise ValueError(f"form {made['form']!r:.20}, not {FORM}")
    if made["study"] not in made["files"] or not isinstance(made["fingerprint"], str):
        raise ValueError("it does not list its study")
    for held in made["files"].values():
        if not isinstance(held["bytes"], int) or not isinstance(held["sha256"], str):
            raise TypeError("a file without its bytes and hash")


def check_file(name: str, data: bytes, listed: Mapping[str, Any]) -> None:
    """Refuse a file that differs from the packed one.

    Raises
    ------
    KitError
        Names the file.
    """
    if name not in listed:
        refuse_entry(name, f"is not in `{MANIFEST}`", "only the packed files")
    if len(data) != listed[name]["bytes"] or hashlib.sha256(data).hexdigest() != listed[name]["sha256"]:
        refuse_entry(name, "was changed after it was packed", "the bytes that give the hash in the manifest")
