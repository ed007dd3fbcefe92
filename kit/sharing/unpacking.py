"""Opening a packed study from somebody else: nothing in it is trusted; all is unpacked or nothing."""

import os
import shutil
import stat
import struct
import zipfile
import zlib
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from kit.errors import KitError
from kit.sharing.manifest import (
    LARGEST_FILE,
    LARGEST_SUM,
    LARGEST_ZIP,
    MANIFEST,
    MOST_FILES,
    STEEPEST,
    check_file,
    check_name,
    check_names,
    read_manifest,
    refuse_entry,
)
from kit.sharing.results import find_result, open_result
from kit.study import open_study

MILLION = 1_000_000
SMALL = 100_000
"""Bytes: smaller files may have any ratio of packing."""
DAMAGE = (
    OSError, EOFError, RuntimeError, ValueError, OverflowError, IndexError,
    zipfile.BadZipFile, zlib.error, struct.error,
)  # fmt: skip
"""Errors of the zip reader on bytes that are not a zip (`RuntimeError` for features that it lacks)."""


def unpack_study(path: str | os.PathLike[str], folder: str | os.PathLike[str]) -> Path:
    """Unpack a packed study into a new folder.

    Check that the zip is small enough, that every name stays inside on any machine, that every entry is a
    plain file and none unpacks to too much. Read each, counting its real bytes, and compare it with its hash.
    Then check that the study opens and that the tables are those of its result. Only then does the folder appear.

    Parameters
    ----------
    path
        The zip.
    folder
        A new or empty folder.

    Returns
    -------
    Path
        The study file in the folder.

    Raises
    ------
    KitError
        Names the refused entry and the reason; nothing is left behind.

    Notes
    -----
    Hashes find changes by accident or in one place. A consistent change of a table, its result and the list is
    found by `kit check`: it makes the pattern again and compares.
    """
    source, goal = Path(path), Path(folder)
    if goal.exists() and (not goal.is_dir() or any(goal.iterdir())):
        raise KitError(f"{goal.name} already exists", needed="a new or empty folder", do="name another folder")
    files, manifest = _read_zip(source)
    try:
        goal.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(mkdtemp(prefix=".unpacking-", dir=goal.parent))
    except OSError as error:
        raise KitError(
            f"{goal.name} cannot be made ({error.strerror})", needed="a folder with permission to write",
            do="name another folder",
        ) from None  # fmt: skip
    try:
        _write(files, beside)
        _check_study(beside / manifest["study"], manifest["fingerprint"])
        beside.chmod(0o755)
        if goal.exists():
            goal.rmdir()
        beside.rename(goal)
    except OSError as error:
        raise KitError(
            f"{goal.name} cannot be written ({error.strerror})", needed="a folder with permission to write",
            do="name another folder",
        ) from None  # fmt: skip
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return goal / str(manifest["study"])


def _read_zip(path: Path) -> tuple[dict[str, bytes], dict[str, Any]]:
    """Return name -> bytes of every file of a zip, each compared with the manifest, and the manifest."""
    try:
        if path.stat().st_size > LARGEST_ZIP:
            most = f"at most {LARGEST_ZIP // MILLION} megabytes"
            raise KitError(f"{path.name} is too large for a packed study", needed=most, do="ask for smaller pictures")
        with zipfile.ZipFile(path) as packed:
            _check_entries(packed.infolist())
            read = {entry.filename: _read_entry(packed, entry) for entry in packed.infolist()}
    except DAMAGE as error:
        found = f"{path.name} cannot be read as a zip ({getattr(error, 'strerror', None) or error})"
        raise KitError(found, needed="a packed study", do="fetch it again") from None
    if MANIFEST not in read:
        refuse_entry(MANIFEST, f"is not in {path.name}", "the list of files from `pack_study`")
    manifest = read_manifest(read.pop(MANIFEST))
    for name, data in read.items():
        check_file(name, data, manifest["files"])
    for name in manifest["files"]:
        if name not in read:
            refuse_entry(name, "was packed and is missing", "every file of the list")
    return read, manifest


def _check_entries(entries: list[zipfile.ZipInfo]) -> None:
    """Refuse names, kinds and sizes before anything is read."""
    if len(entries) > MOST_FILES:
        found = f"The zip holds {len(entries)} files"
        raise KitError(found, needed=f"at most {MOST_FILES}", do="ask for only the study")
    for entry in entries:
        check_name(entry.orig_filename)
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG):
            what = "a link" if kind == stat.S_IFLNK else "not a plain file"
            refuse_entry(entry.orig_filename, f"is {what}", "plain files only")
        if entry.flag_bits & 0x1:
            refuse_entry(entry.orig_filename, "is locked with a password", "plain files only")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            refuse_entry(entry.orig_filename, "is packed in an uncommon way", "stored or deflated files")
        if entry.file_size > LARGEST_FILE:
            refuse_entry(
                entry.orig_filename, f"unpacks to {entry.file_size // MILLION} megabytes",
                f"at most {LARGEST_FILE // MILLION}",
            )  # fmt: skip
        if entry.file_size > max(SMALL, STEEPEST * entry.compress_size):
            refuse_entry(
                entry.orig_filename, f"unpacks to over {STEEPEST} times its bytes", f"at most {STEEPEST} times"
            )
    check_names(entry.orig_filename for entry in entries)
    total = sum(entry.file_size for entry in entries)
    if total > LARGEST_SUM:
        raise KitError(
            f"The zip unpacks to {total // MILLION} megabytes", needed=f"at most {LARGEST_SUM // MILLION}",
            do="ask for smaller pictures",
        )  # fmt: skip


def _read_entry(packed: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bytes:
    """Return the bytes of an entry; one byte more than declared is refused."""
    with packed.open(entry) as stream:
        data = stream.read(entry.file_size + 1)
    if len(data) != entry.file_size:
        refuse_entry(entry.orig_filename, "does not unpack to its declared size", f"{entry.file_size} bytes")
    return data


def _write(files: dict[str, bytes], folder: Path) -> None:
    """Write every file into an empty folder; check each path once more."""
    home = folder.resolve()
    for name, data in files.items():
        path = home.joinpath(*name.split("/"))
        if not path.resolve().is_relative_to(home):
            refuse_entry(name, "would lie outside the folder", "a path within the folder")
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as out:
            out.write(data)


def _check_study(path: Path, fingerprint: str) -> None:
    """Check that the study opens, that the result belongs to the packed study, and that the tables are its tables.

    A later kit may read the study differently; `kit check` says so.
    """
    open_study(path)
    place = find_result(path)
    if not place.is_file():
        refuse_entry(place.name, "is missing", "the result of the study")
    result = open_result(place)
    if result["study"]["fingerprint"] != fingerprint:
        refuse_entry(place.name, "is the result of another study", fingerprint[:12])
    for name, held in result["tables"].items():
        check_name(f"tables/{name}.csv")
        table = path.parent / "tables" / f"{name}.csv"
        lines = "".join(f"{line}\n" for line in held["lines"])
        if not table.is_file() or table.read_bytes() != lines.encode():
            refuse_entry(f"tables/{name}.csv", f"is not the table in `{place.name}`", "one table in both places")
