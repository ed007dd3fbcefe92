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
        As for `write_document`.
    """
    check_wish("paper", paper, tuple(PAPERS))
    parts = prepare(pattern)
    kept = ("title", "cover", "requirements", "tools", "cautions", "colophon")
    data = {name: parts.data[name] for name in kept} | {"before": [say("before_read"), say("before_label")]}
    pictures = {"top.svg": parts.pictures["top.svg"]}
    return save(typeset(Parts(data, pictures), choose_layout(paper), "supplies.typ"), path)
