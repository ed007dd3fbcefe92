"""The supply list of a class: one page for students to read before the day."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from kit.model.pattern import Pattern
from kit.output.document.document import PAPERS, check_wish, choose_layout, refuse_unproved, save, typeset
from kit.output.document.parts import Parts, list_supply_parts
from kit.output.words.strings import say

MOST = 30
"""The most rows on a page; with more fabrics, those of one role bought alike share a row."""
MOST_WAYS = 18
"""The most rows and lines of ways to buy on the page; with more, the ways are left out."""
SHOWN = 4
"""The most names of fabrics in a shared row."""


def write_supply_list(pattern: Pattern, path: str | os.PathLike[str], paper: str = "Letter") -> Path:
    """Write a student's supplies for a class, on one page.

    Parameters
    ----------
    pattern
        Every plan of a study.
    path
        The file to write.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        As for `set_document`; a file that cannot be written.
    """
    return save(set_supply_list(pattern, paper), path)


def set_supply_list(pattern: Pattern, paper: str = "Letter", ways: Sequence[str] = ()) -> bytes:
    """Return the bytes of `write_supply_list`; its parameters and errors are the same.

    `ways` are the ways to buy the cloth of each part, a line each; they are left out where the page has no room.
    """
    check_wish("paper", paper, tuple(PAPERS))
    refuse_unproved(pattern)
    parts = list_supply_parts(pattern)
    data: dict[str, Any] = {**parts.data, "before": [say("before_read"), say("before_label")]}
    if len(data["requirements"]["rows"]) > MOST:
        data["requirements"] = {**data["requirements"], "rows": _share_rows(data["requirements"]["rows"])}
    room = len(data["requirements"]["rows"]) + len(ways) <= MOST_WAYS
    data["ways"] = list(ways) if room else []
    return typeset(Parts(data, parts.pictures), choose_layout(paper), "supplies.typ")


def _share_rows(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """Return the rows, with fabrics of one role bought alike in one row under their first and last letters."""
    alike: dict[tuple[str, ...], list[Sequence[str]]] = {}
    for row in rows:
        alike.setdefault((row[2], row[3]) if row[0] != say("none") else tuple(row), []).append(row)
    shared = []
    for found in alike.values():
        first, last = found[0], found[-1]
        if len(found) == 1:
            shared.append(list(first))
            continue
        names = ", ".join(row[1] for row in found[:SHOWN]) + (" …" if len(found) > SHOWN else "")
        letters = say("run_numbers", first=first[0], last=last[0])
        shared.append([letters, names, first[2], say("of_each", count=len(found), what=first[3])])
    return shared
