"""The maker's folder of quilts: the files in it, which of them is being worked on, and names for new ones.

The folder is `quilts`, beside the notebooks. The one file in it that is not a study, `working-on.txt`, holds the path
of the quilt that is being worked on, as seen from the folder; every notebook asks for it here.
"""

import os
import re
from dataclasses import dataclass
from pathlib import Path

from kit.errors import KitError
from kit.shipped import find_shipped
from kit.study.text_file import replace_text

ASKED = "SEAMPROOF_QUILTS"
"""The variable of the environment that names another folder."""
FOLDER = "quilts"
WORKING = "working-on.txt"
LONGEST_PATH = 4000
"""Letters: a longer text in the file is not a path."""


@dataclass(frozen=True, slots=True)
class KeptQuilt:
    """A study file in the folder, and when it was last changed (seconds, as the system counts them)."""

    path: Path
    changed: float


def find_folder() -> Path:
    """Return the folder of the maker's quilts; it need not be there yet.

    It is the one that `SEAMPROOF_QUILTS` names; else `quilts` beside the nearest folder `notebooks` above the folder
    that Python works in; else `quilts` in that folder.
    """
    asked = os.environ.get(ASKED, "").strip()
    if asked:
        return Path(asked).expanduser().absolute()
    here = Path.cwd()
    for place in (here, *here.parents):
        if place.name == "notebooks" and (place.parent / "data").is_dir():
            return place.parent / FOLDER
        if (place / "notebooks").is_dir() and (place / "data" / "studies").is_dir():
            return place / FOLDER
    return here / FOLDER


def make_folder() -> Path:
    """Return the folder of the maker's quilts, made if need be.

    Raises
    ------
    KitError
        It cannot be made or written to.
    """
    folder = find_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        writable = os.access(folder, os.W_OK)
    except OSError:
        writable = False
    if not writable:
        raise KitError(
            f"Quilts cannot be kept in {folder}", needed="a folder that may be written to",
            do=f"name another one in the variable {ASKED}",
        )  # fmt: skip
    return folder


def list_quilts(folder: Path) -> list[KeptQuilt]:
    """Return the study files in a folder, the one last changed first."""
    found = []
    for path in folder.glob("*.toml") if folder.is_dir() else ():
        try:
            found.append(KeptQuilt(path, path.stat().st_mtime))
        except OSError:  # it went while the folder was read
            continue
    return sorted(found, key=lambda quilt: (-quilt.changed, quilt.path.name))


def is_kept(path: Path) -> bool:
    """Return True if a file has its place in the folder of the maker's quilts itself, and may be written."""
    place = path.absolute()
    writable = os.access(place if place.exists() else place.parent, os.W_OK)
    return writable and place.parent.resolve() == find_folder().resolve()


def is_demonstration(path: Path) -> bool:
    """Return True if a file is one of the demonstration studies that come with the kit."""
    folder = path.resolve().parent
    return (
        folder == find_shipped("data/studies").resolve() or folder == (find_folder().parent / "data/studies").resolve()
    )


def list_demonstrations() -> list[Path]:
    """Return the demonstration studies by name: those laid out beside the folder of quilts, else those of the kit."""
    beside = find_folder().parent / "data" / "studies"
    place = beside if beside.is_dir() else find_shipped("data/studies")
    return sorted(place.glob("*.toml"))


def read_working() -> Path | None:
    """Return the file of the quilt that is being worked on; None if none is, or if it is gone."""
    folder = find_folder()
    try:
        text = (folder / WORKING).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return None
    if not text or len(text) > LONGEST_PATH or "\0" in text:
        return None
    path = Path(os.path.normpath(folder / text))
    return path if path.is_file() else None


def set_working(path: Path) -> None:
    """Remember which quilt is being worked on.

    Raises
    ------
    KitError
        The folder cannot be written to.
    """
    folder, place = make_folder(), path.absolute()
    try:
        text = os.path.relpath(place, folder)
    except ValueError:  # on another drive
        text = str(place)
    replace_text(folder / WORKING, lambda: Path(text).as_posix() + "\n")


def find_quilt(otherwise: str | os.PathLike[str]) -> str:
    """Return the file of the quilt that you work on, chosen in `0-begin`; without one, that of a demonstration.

    Parameters
    ----------
    otherwise
        The study file to take while none is chosen.
    """
    working = read_working()
    if working is None:
        return os.fspath(otherwise)
    try:
        return os.path.relpath(working)
    except ValueError:  # on another drive
        return str(working)


def name_new(title: str, folder: Path | None = None) -> Path:
    """Return a path in the folder of quilts for a quilt of this title that no file has yet.

    Examples
    --------
    >>> name_new("Fog & Kelp", Path("nowhere")).name
    'fog-kelp.toml'
    """
    folder = find_folder() if folder is None else folder
    stem = re.sub(r"[^\w]+", "-", title.lower()).strip("-_")[:60] or "quilt"
    path, number = folder / f"{stem}.toml", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.toml", number + 1
    return path
