"""Tables of a screen as HTML, every cell as text."""

import re
from html import unescape

import pandas as pd

SHORT, LONG = 14, 60
"""The most letters of a cell without line breaks, and the most of a cell that is not a sentence."""
TABLE_CSS = (
    "<style>.seamproof-table th,.seamproof-table td{text-align:left!important;vertical-align:top}"
    ".seamproof-table th,.seamproof-table td{padding:2px 12px 2px 4px}"
    ".seamproof-table tbody tr:nth-child(even){background:rgba(128,128,128,.12)}"
    ".seamproof-table table{border-collapse:collapse}"
    ".seamproof-whole table{width:auto;max-width:none}.seamproof-whole td{max-width:32em}"
    ".seamproof-short{white-space:nowrap!important}.seamproof-words{min-width:8em}.seamproof-sentence{min-width:18em}"
    "</style>"
)


def write_table(table: pd.DataFrame, *, whole: bool = False) -> str:
    """Return a table as HTML with every cell as text; plain row numbers are left out.

    Parameters
    ----------
    table
        The table.
    whole
        It keeps six figures, and its sentences are not broken into narrow columns: the table scrolls sideways on a
        narrow page.
    """
    figures = "{:.6g}".format if whole else "{:.2f}".format
    named = not pd.api.types.is_integer_dtype(table.index)
    empty = table.isna()
    plain = table.astype(object).mask(empty, "–") if empty.to_numpy().any() else table
    html = plain.to_html(index=named, escape=True, border=0, na_rep="–", float_format=figures, justify="left")
    if whole:
        html = re.sub(r"<td>([^<]*)</td>", _give_room, html)
    names = "seamproof-table seamproof-whole" if whole else "seamproof-table"
    return f'<div class="{names}" style="overflow-x:auto">{TABLE_CSS}{html}</div>'


def _give_room(cell: re.Match[str]) -> str:
    """Return a cell with the class for the room of its text."""
    length = len(unescape(cell[1]))
    size = "short" if length <= SHORT else "words" if length <= LONG else "sentence"
    return f'<td class="seamproof-{size}">{cell[1]}</td>'
