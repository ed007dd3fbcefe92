"""Files as links on a page: each is held in the page itself, so that it can be taken where nothing may be written."""

from base64 import b64encode
from collections.abc import Mapping
from html import escape
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pandas as pd

KINDS_OF_FILE = {"pdf": "application/pdf", "csv": "text/csv", "zip": "application/zip"}


def link_files(files: Mapping[str, bytes], together: str = "") -> str:
    """Return links to files as HTML, with one to all of them in an archive if that is named.

    Parameters
    ----------
    files
        Name -> bytes; the names end in pdf or csv.
    together
        Name of the archive; empty for none.
    """
    held = dict(files)
    if together:
        held = {together: pack_files(files), **held}
    links = "".join(f"<li>{_link(name, held[name])}</li>" for name in held)
    return f'<ul class="seamproof-files">{links}</ul>'


def _link(name: str, held: bytes) -> str:
    kind = name.rpartition(".")[2]
    size = f"{max(1, round(len(held) / 1000))} kB"
    address = f"data:{KINDS_OF_FILE[kind]};base64,{b64encode(held).decode()}"
    return f'<a download="{escape(name)}" href="{address}">{escape(name)}</a>, {size}'


def pack_files(files: Mapping[str, bytes]) -> bytes:
    """Return an archive of files; the same files give the same bytes."""
    made = BytesIO()
    with ZipFile(made, "w", ZIP_DEFLATED) as archive:
        for name, held in files.items():
            archive.writestr(ZipInfo(name), held, ZIP_DEFLATED)
    return made.getvalue()


def write_plain_table(table: pd.DataFrame) -> str:
    """Return a table as HTML, every cell as text; it scrolls sideways on a narrow page."""
    html = table.to_html(index=False, escape=True, border=0, justify="left")
    return f'<div class="seamproof-table seamproof-ruled">{html}</div>'
