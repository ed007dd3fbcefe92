"""Pages of the printed pattern as pictures for the screen."""

from collections.abc import Sequence
from io import BytesIO
from typing import Any, cast

import typst
from pypdf import PdfReader

from kit.errors import KitError
from kit.model.pattern import Pattern
from kit.output.document.document import PAPERS, check_wish, choose_layout, list_sources, prepare
from kit.output.document.printable import SETTING


def draw_page(pattern: Pattern | Sequence[Pattern], words: str, paper: str = "Letter", dots: float = 80.0) -> bytes:
    """Return the first page with the given words, as a PNG picture.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design.
    words
        Words on the page: "Cutting", "Step 19".
    paper
        "Letter" or "A4".
    dots
        Dots per inch.

    Raises
    ------
    KitError
        Words missing from every page, or a pattern that is not proved.
    """
    check_wish("paper", paper, tuple(PAPERS))
    layout = choose_layout(paper)
    sources = cast("Any", list_sources(prepare(pattern, rooms=layout.rooms), layout))
    data: bytes = typst.compile(sources, **SETTING)
    wanted = " ".join(words.split())
    for number, page in enumerate(PdfReader(BytesIO(data)).pages):
        if wanted in " ".join(page.extract_text().split()):
            pictures: list[bytes] = cast("Any", typst.compile)(sources, **SETTING, format="png", ppi=dots)
            return pictures[number]
    raise KitError(f"No page has the words `{words}`", needed="words of the pattern", do='try for instance "Cutting"')
