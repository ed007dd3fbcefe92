"""The supply list of a class: one page that a student reads before the day."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from kit.model.pattern import Pattern
from kit.output.document.document import PAPERS, check_wish, choose_layout, refuse_unproved, save, typeset
from kit.output.document.parts import Parts, list_supply_parts
from kit.output.words.strings import say

MOST = 30
"""Rows that a page holds; of more fabrics than that, those of one role that are bought alike share a row."""
SHOWN = 4
"""So many names of fabrics stand in a row that they share."""


def write_supply_list(pattern: Pattern, path: str | os.PathLike[str], paper: str = "Letter") -> Path:
    """Write what a student brings to a class, on one page.

    Parameters
    ----------
    pattern
        Every plan of a study.
    path
        Where to.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        As for `set_document`; a place that cannot be written to.
    """
    return save(set_supply_list(pattern, paper), path)


def set_supply_list(pattern: Pattern, paper: str = "Letter") -> bytes:
    """Return the bytes that `write_supply_list` writes; its parameters and errors are the same."""
    check_wish("paper", paper, tuple(PAPERS))
    refuse_unproved(pattern)
    parts = list_supply_parts(pattern)
    data: dict[str, Any] = {**parts.data, "before": [say("before_read"), say("before_label")]}
    if len(data["requirements"]["rows"]) > MOST:
        data["requirements"] = {**data["requirements"], "rows": _share_rows(data["requirements"]["rows"])}
    return typeset(Parts(data, parts.pictures), choose_layout(paper), "supplies.typ")


def _share_rows(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """Return the rows with fabrics of one role that are bought alike in one, the first and the last letter of them."""
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
