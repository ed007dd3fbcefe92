"""The memory of a sweep: one small file per point, so that a stopped sweep continues from there."""

import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.sharing.versions import find_fingerprint
from kit.sweeping.measuring import FIGURES, Figures

LARGEST = 100_000
"""Bytes: a longer file is not a remembered point."""


class Memory:
    """A folder of remembered points, each under the fingerprint of its study and its versions.

    Parameters
    ----------
    folder
        Made if it does not exist; None remembers nothing.
    versions
        From `list_versions`: with other versions nothing is recalled.

    Raises
    ------
    KitError
        A folder that cannot be made.
    """

    def __init__(self, folder: str | os.PathLike[str] | None, versions: Mapping[str, str]) -> None:
        self._folder = None if folder is None else Path(folder)
        self._versions = dict(versions)
        if self._folder is not None:
            try:
                self._folder.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise _refuse(self._folder, error) from None

    def recall(self, study: str) -> tuple[Figures | None, str]:
        """Return the remembered figures of a study with this fingerprint, and a word on a damaged file.

        Returns
        -------
        tuple
            The figures or None; "" or the fault of the file.
        """
        if self._folder is None:
            return None, ""
        path = self._find(study)
        try:
            if not path.exists():
                return None, ""
            if path.stat().st_size > LARGEST:
                return None, f"{path.name} is too large"
            held = json.loads(path.read_text(encoding="utf-8"))
            figures = held["figures"]
            if held["key"] != path.stem or held["sum"] != _sum(path.stem, figures) or not _is_whole(figures):
                return None, f"{path.name} does not give its own sum"
        except (OSError, ValueError, TypeError, KeyError, RecursionError) as error:
            return None, f"{path.name} cannot be read ({type(error).__name__})"
        return figures, ""

    def keep(self, study: str, figures: Figures) -> None:
        """Remember the figures of a study, in a temporary file first, so that a half-written file never remains.

        Raises
        ------
        KitError
            A folder that cannot be written.
        """
        if self._folder is None or "fault" in figures:
            return
        path = self._find(study)
        text = json.dumps({"key": path.stem, "figures": figures, "sum": _sum(path.stem, figures)}, indent=1)
        beside = path.with_name(f"{path.name}.{os.getpid()}.part")
        try:
            beside.write_text(text + "\n", encoding="utf-8")
            beside.replace(path)
        except OSError as error:
            raise _refuse(self._folder, error) from None

    def _find(self, study: str) -> Path:
        return Path(self._folder or ".") / f"{find_fingerprint(study, self._versions)}.json"


def _sum(key: str, figures: Any) -> str:
    return hashlib.sha256(json.dumps([key, figures], sort_keys=True).encode()).hexdigest()


def _is_whole(figures: Any) -> bool:
    return isinstance(figures, dict) and (set(figures) == set(FIGURES) or set(figures) == {"error"})


def _refuse(folder: Path, error: OSError) -> KitError:
    return KitError(
        f"The folder `{folder.name}` cannot remember the points ({error.strerror})",
        needed="a folder with permission to write", do="name another folder for the cache",
    )  # fmt: skip
