"""Files of a pattern: tables as CSV, the top as SVG and as a stand-alone page."""

import os
import re
from collections.abc import Iterator
from pathlib import Path

import pandas as pd

from kit.errors import KitError
from kit.model.pattern import Pattern
from kit.output import tables
from kit.output.drawing import draw_top
from kit.output.preview import write_page
from kit.output.svg import write_svg


def write_files(pattern: Pattern, folder: str | os.PathLike[str]) -> list[Path]:
    """Write every file of a pattern into a folder, which is made if need be.

    Returns
    -------
    list of Path
        What was written; nothing is written elsewhere.

    Raises
    ------
    KitError
        When the folder or a file in it cannot be written.
    """
    place = Path(folder)
    written = []
    try:
        place.mkdir(parents=True, exist_ok=True)
        for name, text in list_files(pattern):
            path = place / name
            path.write_text(text, encoding="utf-8", newline="")
            written.append(path)
    except OSError as error:
        raise KitError(
            f"The folder `{place.name}` cannot be written to ({error.strerror})",
            needed="a folder that may be written to",
            do="name another folder",
        ) from None
    return written


def list_files(pattern: Pattern) -> Iterator[tuple[str, str]]:
    """Yield the name and text of each file of a pattern; the same study gives the same tables and SVG."""
    stem = make_stem(pattern.study.title)
    yield f"{stem}-pieces.csv", write_csv(tables.pieces(pattern))
    yield f"{stem}-shopping.csv", write_csv(tables.shopping(pattern))
    yield f"{stem}-cutting.csv", write_csv(tables.cutting(pattern))
    yield f"{stem}.svg", write_svg(draw_top(pattern))
    yield f"{stem}-outlines.svg", write_svg(draw_top(pattern, "seams"))
    yield f"{stem}.html", write_page(pattern)


def make_stem(title: str) -> str:
    """Return a file name of small letters, digits and hyphens made from a title.

    Examples
    --------
    >>> make_stem("../Ferry Steps <b>")
    'ferry-steps-b'
    """
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "study"


def write_csv(table: pd.DataFrame) -> str:
    """Return a table as CSV; fractions hyphenated, and no cell that a spreadsheet would take for a formula."""
    plain = table.map(_plain_cell)
    return str(plain.to_csv(index=False, lineterminator="\n"))


_BUILT = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def _plain_cell(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    text = re.sub(r"(\d)?([½¼¾⅛⅜⅝⅞])", lambda m: f"{m[1]}-{_BUILT[m[2]]}" if m[1] else _BUILT[m[2]], cell)
    text = text.replace("\N{NARROW NO-BREAK SPACE}", "-").replace("\N{NO-BREAK SPACE}", " ")
    text = text.replace("\N{FRACTION SLASH}", "/")
    return "'" + text if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
