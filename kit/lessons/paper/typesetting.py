"""Setting the papers for the class: every word as text, at full size."""

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any, cast

import typst

from kit.output.document.document import PAPERS, check_wish, forbid_scaling
from kit.output.document.printable import SETTING, make_printable


def set_page(template: str, data: Mapping[str, object], paper: str) -> bytes:
    """Return a document as a tagged PDF with embedded fonts, for printing at full size.

    Parameters
    ----------
    template
        Layout file beside this one.
    data
        Texts and figures, ready for JSON; nothing in them is evaluated.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        An unknown paper.
    """
    check_wish("paper", paper, tuple(PAPERS))
    width, height = PAPERS[paper]
    whole = {**cast("dict[str, object]", make_printable(data)), "width": width, "height": height}
    sources = {
        "main": files("kit.lessons.paper").joinpath(template).read_bytes(),
        "data.json": json.dumps(whole, ensure_ascii=False).encode(),
    }
    made: bytes = typst.compile(cast("Any", sources), **SETTING, pdf_standards=["ua-1"])
    return forbid_scaling(made)
