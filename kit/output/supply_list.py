"""The supply list of a class: one page that a student reads before the day."""

import os
from pathlib import Path

from kit.model.pattern import Pattern
from kit.output.document import PAPERS, check_wish, choose_layout, prepare, save, typeset
from kit.output.document_parts import Parts
from kit.output.strings import say


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
    parts = prepare(pattern)
    kept = ("title", "cover", "requirements", "tools", "cautions", "colophon")
    data = {name: parts.data[name] for name in kept} | {"before": [say("before_read"), say("before_label")]}
    pictures = {"top.svg": parts.pictures["top.svg"]}
    return typeset(Parts(data, pictures), choose_layout(paper), "supplies.typ")
