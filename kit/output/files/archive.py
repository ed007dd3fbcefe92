"""All files of a pattern in one archive, with a manifest of their hashes; the same files give the same bytes."""

import hashlib
from collections.abc import Mapping
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

MANIFEST = "manifest.sha256"
"""One line per file, hash and name, in the format of the usual checking commands."""
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The earliest date of the format: the time of writing would change the bytes."""


def write_checksums(contents: Mapping[str, bytes]) -> str:
    r"""Return a line for each file, sorted by name: SHA-256, two spaces, name.

    Parameters
    ----------
    contents
        File name -> bytes.

    Examples
    --------
    >>> write_checksums({"a.csv": b""})[-8:]
    '  a.csv\n'
    """
    return "".join(f"{hashlib.sha256(contents[name]).hexdigest()}  {name}\n" for name in sorted(contents))


def bundle(contents: Mapping[str, bytes]) -> bytes:
    """Return an archive of files and their manifest; its bytes depend on nothing else.

    Parameters
    ----------
    contents
        File name -> bytes.

    References
    ----------
    PKWARE Inc., APPNOTE: .ZIP file format specification, version 6.3.10 (2022): dates begin in 1980 (from memory).
    """
    kept = BytesIO()
    whole = {MANIFEST: write_checksums(contents).encode(), **contents}
    with ZipFile(kept, "w") as archive:
        for name in sorted(whole):
            entry = ZipInfo(name, EARLIEST)
            entry.compress_type = ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, whole[name], compresslevel=6)
    return kept.getvalue()
