"""A quilt that is saved while it is worked on: its file, what was last read or written of it, and its versions.

A file outside of the maker's folder, a demonstration for instance, is never written to: the first change makes a copy
in the folder, and that is the quilt from then on. A file that somebody else has changed in the meantime (another page
with the same quilt) is not written over: `ChangedElsewhereError` says so, and whoever saves has to ask.
"""

import hashlib
import re
import shutil
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from kit.errors import KitError, StudyError
from kit.study.quilt_folder import is_kept, make_folder, name_new, set_working
from kit.study.read_file import read_study
from kit.study.save_file import save_study
from kit.study.study_record import Study
from kit.study.text_file import read_text, replace_text
from kit.study.write_file import write_study

VERSIONS = "versions"
"""The folder in the folder of quilts that holds a folder of versions for each."""
STAMP = "%Y-%m-%d %H.%M.%S"


class ChangedElsewhereError(StudyError):
    """A study file that was changed by somebody else since it was read or written here."""


@dataclass(frozen=True, slots=True)
class KeptVersion:
    """A version of a quilt: its file, when it was kept, and its name."""

    path: Path
    kept: datetime
    name: str

    @property
    def said(self) -> str:
        """Its name and its time in words."""
        when = f"{self.kept:%d %b %Y, %H:%M:%S}".lstrip("0")
        return f"{self.name} ({when})" if self.name else when


class WorkingCopy:
    """A quilt and the file in which it is saved.

    Parameters
    ----------
    path
        Its file, or the file of which a working copy is to be made.

    Attributes
    ----------
    path
        The file.
    origin
        The file that the quilt was opened from.
    study
        The quilt as it was last read or written.
    saved
        When it was last written here; None before.

    Raises
    ------
    StudyError
        A file that is not a study.
    """

    def __init__(self, path: Path) -> None:
        self.path = self.origin = path.absolute()
        self.saved: datetime | None = None
        self.study = self.read()

    @property
    def is_copy(self) -> bool:
        """Whether the quilt has a file of its own in the maker's folder."""
        return is_kept(self.path)

    def read(self) -> Study:
        """Return the quilt as the file holds it, and take that for what was last seen of it."""
        text = read_text(self.path)
        study = read_study(text, place=self.path.name, folder=self.path.parent)
        self._seen = _mark(self.path)
        self.study = study
        return study

    def is_changed_elsewhere(self) -> bool:
        """Return True if the file is not as it was last read or written here."""
        return self.path.exists() and _mark(self.path) != self._seen

    def write(self, study: Study, *, replace: bool = False) -> bool:
        """Save the quilt; return True if anything was written.

        Parameters
        ----------
        study
            The quilt as it is now.
        replace
            Write over a file that was changed elsewhere; what it holds is kept as a version.

        Raises
        ------
        ChangedElsewhereError
            The file was changed elsewhere, and `replace` was not said.
        StudyError
            It cannot be written.
        """
        if study == self.study and not replace:
            return False
        if not self.is_copy:
            self._make_copy()
        elif self.is_changed_elsewhere():
            if not replace:
                raise ChangedElsewhereError(
                    f"{self.path.name} was changed on another page", needed="one answer",
                    do="choose which of the two is kept",
                )  # fmt: skip
            self._keep_file("from another page")
        if self.saved is None and self.path.is_file():
            self._keep_file("as it was opened")
        save_study(study, self.path)
        self.study, self.saved, self._seen = study, datetime.now().astimezone(), _mark(self.path)
        return True

    def write_beside(self, study: Study) -> Path:
        """Save the quilt as a new file of its own, and go on with that.

        Raises
        ------
        StudyError
            It cannot be written.
        """
        self.path = name_new(study.title, make_folder())
        self._seen, self.saved = b"", None
        save_study(study, self.path)
        self.study, self.saved, self._seen = study, datetime.now().astimezone(), _mark(self.path)
        set_working(self.path)
        return self.path

    def _make_copy(self) -> None:
        """Give the quilt a file in the maker's folder, with its pictures of cloth; the file that it is from stays."""
        folder = make_folder()
        path = name_new(self.origin.stem, folder)
        text = read_text(self.origin)
        for name in _list_pictures(text):
            _copy_picture(self.origin.parent, folder, name)
        try:
            whole = read_study(text, place=path.name, folder=folder) == self.study
        except KitError:
            whole = False
        replace_text(path, lambda: text if whole else write_study(self.study))
        self.path, self._seen = path, _mark(path)
        set_working(path)

    # ---- versions ----------------------------------------------------------------------------------------------

    @property
    def _versions(self) -> Path:
        return self.path.parent / VERSIONS / self.path.stem

    def keep_version(self, study: Study, name: str = "") -> KeptVersion:
        """Keep the quilt as it is now among its versions.

        Raises
        ------
        StudyError
            It cannot be written.
        """
        if not self.is_copy:
            self._make_copy()
        place = self._name_version(name)
        save_study(study, place)
        return _read_version(place)

    def list_versions(self) -> list[KeptVersion]:
        """Return the versions of the quilt, the last one first."""
        if not self.is_copy or not self._versions.is_dir():
            return []
        found = [_read_version(path) for path in self._versions.glob("*.toml")]
        return sorted(found, key=lambda one: (one.kept, one.path.name), reverse=True)

    def open_version(self, version: KeptVersion) -> Study:
        """Return the quilt of a version.

        Raises
        ------
        StudyError
            A file that is not a study.
        """
        return read_study(read_text(version.path), place=version.path.name, folder=self.path.parent)

    def _keep_file(self, name: str) -> None:
        """Keep the file as it stands among the versions, to the letter."""
        shutil.copyfile(self.path, self._name_version(name))

    def _name_version(self, name: str) -> Path:
        try:
            self._versions.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise StudyError(
                f"The folder {VERSIONS} cannot be made ({error.strerror})", needed="a folder that may be written to",
                do="check it",
            ) from None  # fmt: skip
        plain = " ".join(re.sub(r"[^\w ½¼¾-]+", " ", name).split())[:60]
        stem = f"{datetime.now():{STAMP}} {plain}".strip()  # noqa: DTZ005  the maker's own clock names the file
        place, number = self._versions / f"{stem}.toml", 2
        while place.exists():
            place, number = self._versions / f"{stem} {number}.toml", number + 1
        return place


def _read_version(path: Path) -> KeptVersion:
    stamp, _, name = path.stem[:19], path.stem[19:20], path.stem[20:]
    try:
        kept = datetime.strptime(stamp, STAMP)  # noqa: DTZ007  as above
    except ValueError:
        return KeptVersion(path, datetime.fromtimestamp(path.stat().st_mtime), path.stem)  # noqa: DTZ006  as above
    return KeptVersion(path, kept, name)


def _mark(path: Path) -> bytes:
    """Return a mark of a file's bytes; nothing for a file that cannot be read."""
    try:
        return hashlib.sha256(path.read_bytes()).digest()
    except OSError:
        return b""


def _list_pictures(text: str) -> Iterator[str]:
    """Yield the pictures of cloth that a study file names, those of its editions too."""
    yield from _look_for_pictures(tomllib.loads(text))


def _look_for_pictures(place: Any) -> Iterator[str]:
    if isinstance(place, dict):
        for key, value in place.items():
            if key == "picture" and isinstance(value, str):
                yield value
            else:
                yield from _look_for_pictures(value)
    elif isinstance(place, list):
        for one in place:
            yield from _look_for_pictures(one)


def _copy_picture(old: Path, new: Path, name: str) -> None:
    """Copy a picture to the same place under another folder, unless one is there; one that leaves its folder stays."""
    source, target = old / name, new / name
    if ".." in Path(name).parts or Path(name).is_absolute() or target.exists() or not source.is_file():
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(source, target)
