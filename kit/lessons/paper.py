"""What is printed for the class: the typesetter, with every word as text, at full size."""

import json
import unicodedata
from collections.abc import Mapping
from importlib.resources import files
from typing import Any, cast

import typst

from kit.output.document import PAPERS, check_wish, forbid_scaling

SIGNS = frozenset("–—‘’“”√×⁄½¼¾⅛⅜⅝⅞✓°″′…\N{NARROW NO-BREAK SPACE}\N{MINUS SIGN}")
"""Signs beyond Latin letters that the typesetter's fonts have."""
LAST_LATIN = "\u024f"


def set_page(template: str, data: Mapping[str, object], paper: str) -> bytes:
    """Return a document as PDF, tagged, with its fonts in it, to be printed at full size.

    Parameters
    ----------
    template
        File beside this one that lays the data out.
    data
        Texts and figures, ready for JSON; nothing in them is evaluated.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        Another paper.
    """
    check_wish("paper", paper, tuple(PAPERS))
    width, height = PAPERS[paper]
    whole = {**cast("dict[str, object]", keep_printable(data)), "width": width, "height": height}
    sources = {
        "main": files("kit.lessons").joinpath(template).read_bytes(),
        "data.json": json.dumps(whole, ensure_ascii=False).encode(),
    }
    made: bytes = typst.compile(
        cast("Any", sources), ignore_system_fonts=True, pdf_standards=["ua-1"], timestamp=0
    )
    return forbid_scaling(made)


def keep_printable(value: object) -> object:
    r"""Return data with every character that the fonts may not have replaced by its name in brackets.

    Examples
    --------
    >>> keep_printable(["Tideline \N{WAVE DASH}", 3])
    ['Tideline [wave dash]', 3]
    """
    if isinstance(value, str):
        return "".join(c if _is_known(c) else f"[{unicodedata.name(c, f'U+{ord(c):04X}').lower()}]" for c in value)
    if isinstance(value, Mapping):
        return {key: keep_printable(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [keep_printable(entry) for entry in value]
    return value


def _is_known(character: str) -> bool:
    if character in SIGNS:
        return True
    return character <= LAST_LATIN and unicodedata.category(character)[0] in "LNPSZ"
