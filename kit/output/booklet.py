"""The pattern as a booklet of half sheets: pages set at half size and imposed in fours, to fold and stitch."""

import os
from io import BytesIO
from pathlib import Path

from pypdf import PageObject, PdfReader, PdfWriter, Transformation

from kit.model.pattern import Pattern
from kit.output.document import PAPERS, Layout, check_wish, forbid_scaling, prepare, save, typeset

POINTS = 72 / 25.4
"""Points in a millimetre."""


def write_booklet(pattern: Pattern, path: str | os.PathLike[str], paper: str = "Letter") -> Path:
    """Write the pattern as a booklet: print on both sides, turned on the short edge, fold and stitch.

    The type keeps its size, for pages are set anew at half a sheet. Templates are left out: they need the whole sheet
    and stay with the full-size edition.

    Parameters
    ----------
    pattern
        Every plan of a study.
    path
        Where to.
    paper
        "Letter" or "A4": the sheet that is folded.

    Raises
    ------
    KitError
        As for `set_document`; a place that cannot be written to.
    """
    check_wish("paper", paper, tuple(PAPERS))
    width, height = PAPERS[paper]
    layout = Layout(height / 2, width, 12.0, 10.0, 1, 44.0, 66.0, templates=False)
    return save(forbid_scaling(impose(typeset(prepare(pattern), layout))), path)


def order_pages(count: int) -> list[tuple[int, int]]:
    """Return for each side of each sheet the pages left and right, from 0; numbers from `count` on are blank.

    Examples
    --------
    >>> order_pages(4), order_pages(5)[0]
    ([(3, 0), (1, 2)], (7, 0))
    """
    whole = -(-count // 4) * 4
    sides = []
    for sheet in range(whole // 4):
        first, last = 2 * sheet, whole - 1 - 2 * sheet
        sides += [(last, first), (first + 1, last - 1)]
    return sides


def impose(data: bytes) -> bytes:
    """Return a PDF of half sheets laid two by two on whole sheets, in the order of a stitched booklet."""
    pages = PdfReader(BytesIO(data)).pages
    width, height = float(pages[0].mediabox.width), float(pages[0].mediabox.height)
    writer = PdfWriter()
    for left, right in order_pages(len(pages)):
        sheet = PageObject.create_blank_page(width=2 * width, height=height)
        for number, shift in ((left, 0.0), (right, width)):
            if number < len(pages):
                sheet.merge_transformed_page(pages[number], Transformation().translate(shift, 0))
        writer.add_page(sheet)
    kept = BytesIO()
    writer.write(kept)
    return kept.getvalue()
