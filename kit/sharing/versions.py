"""The origin of a result: the kit with its source, Python, and the libraries that decide a figure."""

import hashlib
import json
import sys
from collections.abc import Mapping
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

LIBRARIES = (
    "coloraide", "highspy", "numpy", "pandas", "pillow", "pint", "pyclipper", "pydantic", "rustworkx", "shapely",
    "tomli-w",
    "tomlkit",
)  # fmt: skip
"""Libraries behind a figure or a table; libraries that only show it are left out."""
KIT = "seamproof"
SOURCE = "source"
"""The key of the kit's own source among the versions: between releases the version number says little."""


def list_versions() -> dict[str, str]:
    """Return everything behind a result besides the study: the kit, its source, Python, the libraries.

    Notes
    -----
    The source is read once per process, some 20 ms. A machine's name, kind or folders are not included.
    """
    python = f"{sys.version_info.major}.{sys.version_info.minor}"
    found = {KIT: _find_version(KIT), SOURCE: hash_source(), "python": python}
    return found | {name: _find_version(name) for name in LIBRARIES}


def find_fingerprint(study: str, versions: Mapping[str, str]) -> str:
    """Return one fingerprint of a study's fingerprint and the versions.

    Parameters
    ----------
    study
        `Study.fingerprint`.
    versions
        From `list_versions`.

    Examples
    --------
    >>> find_fingerprint("a", {"numpy": "2.4.6"})[:12]
    '96d25bc33c6d'
    """
    text = json.dumps([study, sorted(versions.items())], ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


@cache
def hash_versions() -> str:
    """Return one fingerprint of the versions of this process."""
    return find_fingerprint("", list_versions())


@cache
def hash_source() -> str:
    """Return the SHA-256 of the kit's source files in the order of their names, whatever their line endings."""
    home = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256()
    for path in sorted(home.rglob("*.py"), key=lambda path: path.relative_to(home).as_posix()):
        text = path.read_bytes().replace(b"\r\n", b"\n")
        digest.update(f"{path.relative_to(home).as_posix()}\0{len(text)}\0".encode() + text)
    return digest.hexdigest()


def _find_version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"
