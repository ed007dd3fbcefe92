"""Corrections from an audit: what the pattern says, what to read instead, and why, as a page or a table."""

import csv
import io
import os
from html import escape
from pathlib import Path

from kit.auditing.audit_lines import Audit
from kit.errors import KitError
from kit.sharing.whole_file import write_whole

HEADS = ("Where", "It says", "Read instead", "Why")
STYLE = (
    "@page{margin:.7in}body{font:11pt/1.4 sans-serif;color:#26221f}table{border-collapse:collapse;width:100%}"
    "th,td{border-bottom:1px solid #c9c2b6;padding:4pt 8pt 4pt 0;text-align:left;vertical-align:top}"
)


def list_corrections(audit: Audit) -> tuple[tuple[str, str, str, str], ...]:
    """Return a row for each figure to correct: where, what it says, what to read instead, why.

    Parameters
    ----------
    audit
        Of a form.
    """
    return tuple(
        (line.where, line.says, line.found or "to be worked out again", line.note) for line in audit.list_faults()
    )


def write_corrections(audit: Audit, path: str | os.PathLike[str]) -> Path:
    """Write the corrections of an audit: a stand-alone page to print (.html), or a table (.csv).

    Parameters
    ----------
    audit
        Of a form.
    path
        The file to write.

    Raises
    ------
    KitError
        Another ending, or a place that cannot be written to.
    """
    place = Path(path)
    rows = list_corrections(audit)
    if place.suffix.lower() == ".csv":
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows([HEADS, *rows])
        return write_whole(place, text.getvalue().replace("\N{NO-BREAK SPACE}", " ").encode("utf-8"))
    if place.suffix.lower() not in (".html", ".htm"):
        raise KitError(
            f"the corrections are to be {place.name:.60}",
            needed="a name that ends in .html or .csv",
            do="write corrections.html",
        )
    return write_whole(place, set_corrections(audit).encode("utf-8"))


def set_corrections(audit: Audit) -> str:
    """Return the corrections as a stand-alone page; every text is escaped."""
    rows = list_corrections(audit)
    heads = "".join(f"<th>{head}</th>" for head in HEADS)
    cells = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    said = f"<table><thead><tr>{heads}</tr></thead><tbody>{cells}</tbody></table>" if rows else "<p>No corrections.</p>"
    title = escape(f"{audit.title}: corrections")
    return (
        f'<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>{title}</title><style>{STYLE}</style>'
        f"<body><h1>{title}</h1>{said}</body></html>\n"
    )
