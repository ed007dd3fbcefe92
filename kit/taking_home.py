"""Taking files home from a served page, and bringing them back: a download as a link, an upload as a file.

On a served page a file that is saved lies in the visitor's temporary folder, out of their reach; so each place
that says a file is saved also offers it as a link that holds the file itself.
"""

import base64
import mimetypes
import os
import re
from collections.abc import Iterator
from html import escape
from pathlib import Path

from kit.errors import KitError
from kit.study.quilt_folder import find_folder, make_folder

OWN = "SEAMPROOF_OWN"
"""The variable of the environment that names the visitor's folder on a served page."""
LARGEST_LINK = 24 * 2**20
"""Bytes of the largest file that goes into a link."""
LARGEST_UPLOAD = 20 * 10**6
MADE = ("*.toml", "*.zip", "*.json", "*.pdf", "*.html", "*.csv", "*.svg", "*.png")


def is_served() -> bool:
    """Return True on a served page, where a visitor has a temporary folder of their own."""
    return bool(os.environ.get(OWN))


def write_download(path: str | os.PathLike[str], words: str = "") -> str:
    """Return a link (HTML) that downloads a file; nothing where the page is not served.

    Parameters
    ----------
    path
        The file, of at most 24 MB.
    words
        The words of the link; its name otherwise.
    """
    return make_link(path, words) if is_served() else ""


def make_link(path: str | os.PathLike[str], words: str = "") -> str:
    """Return a link (HTML) that holds a file, for a browser to save; nothing if it is gone or over 24 MB."""
    place = Path(path)
    try:
        if place.stat().st_size > LARGEST_LINK:
            return ""
        data = base64.b64encode(place.read_bytes()).decode()
    except OSError:
        return ""
    kind = mimetypes.guess_type(place.name)[0] or "application/octet-stream"
    told = escape(words or f"Download {place.name}")
    return (
        f' <a class="seamproof-download" download="{escape(place.name)}" href="data:{kind};base64,{data}"'
        f' style="color:inherit;text-decoration:underline">{told}</a>'
    )


def list_own() -> Iterator[Path]:
    """Yield the files that were made on served pages: quilts first, then what was written beside the notebooks."""
    for folder in (find_folder(), Path.cwd()):
        found = {path for kind in MADE for path in folder.glob(kind)} if folder.is_dir() else ()
        yield from sorted(found, key=lambda path: path.name)


def bring_file(name: str, data: bytes) -> Path:
    """Write a file that was uploaded into the folder of quilts, under a name that no other has; a zip is unpacked.

    Parameters
    ----------
    name
        The name it had; only its last part counts.
    data
        Its bytes, at most 20 MB.

    Returns
    -------
    Path
        The study file.

    Raises
    ------
    KitError
        Too large, not a study file or packed study by its name, or a zip that is refused.
    """
    if len(data) > LARGEST_UPLOAD:
        raise KitError(f"{name} has {len(data) / 1e6:.0f} megabytes", needed="at most 20", do="save it smaller")
    plain = re.sub(r"[^\w.-]+", "-", re.split(r"[/\\]", name)[-1]).strip(".-") or "quilt.toml"
    ending = Path(plain).suffix.lower()
    if ending not in (".toml", ".zip"):
        raise KitError(
            f"{name} is not a quilt", needed="a study file (.toml) or a packed study (.zip)", do="choose such a file"
        )
    folder, stem, number = make_folder(), Path(plain).stem, 1
    while any((folder / f"{stem}{end}").exists() for end in ("", ending)):
        number += 1
        stem = f"{Path(plain).stem}-{number}"
    if ending == ".toml":
        path = folder / f"{stem}{ending}"
        path.write_bytes(data)
        return path
    return _unpack(folder / stem, data)


def _unpack(goal: Path, data: bytes) -> Path:
    """Unpack a packed study into a folder of its own; its files are checked as those of a stranger are."""
    from kit.sharing import unpack_study  # noqa: PLC0415  a second of imports that only a zip needs

    packed = goal.with_name(f".{goal.name}.part")
    packed.write_bytes(data)
    try:
        return Path(unpack_study(packed, goal))
    finally:
        packed.unlink(missing_ok=True)
