"""The pattern as a booklet of half sheets: pages set at half size and imposed in fours, to fold and stitch."""

import os
from io import BytesIO
from pathlib import Path

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    StreamObject,
    TextStringObject,
)

from kit.model.pattern import Pattern
from kit.output.document.document import PAPERS, PageLayout, check_wish, forbid_scaling, prepare, save, typeset
from kit.output.words.strings import LANGUAGE


def write_booklet(pattern: Pattern, path: str | os.PathLike[str], paper: str = "Letter") -> Path:
    """Write the pattern as a booklet for printing on both sides, flipped on the short edge, folding and stitching.

    The type keeps its size, because pages are set again at half a sheet. Templates are left out: they need the whole
    sheet and stay with the full-size edition.

    Parameters
    ----------
    pattern
        Every plan of a study.
    path
        The file to write.
    paper
        "Letter" or "A4": the sheet before folding.

    Raises
    ------
    KitError
        As for `set_document`; a file that cannot be written.
    """
    check_wish("paper", paper, tuple(PAPERS))
    width, height = PAPERS[paper]
    layout = PageLayout(height / 2, width, 12.0, 10.0, 1, 44.0, cover_words=66.0, templates=False)
    parts = prepare(pattern, rooms=layout.rooms)
    return save(forbid_scaling(impose(typeset(parts, layout))), path)


def order_pages(count: int) -> list[tuple[int, int]]:
    """Return for each side of each sheet the left and right pages, from 0; numbers from `count` on are blank.

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
    """Return a PDF of half sheets laid two by two on whole sheets, in the order of a stitched booklet.

    Each page becomes a form drawn by the sheet, so that its content is neither read nor changed. The sheets have no
    tags: they are for the printer; the file for reading on a screen is the pattern itself.
    """
    reader = PdfReader(BytesIO(data))
    width, height = float(reader.pages[0].mediabox.width), float(reader.pages[0].mediabox.height)
    writer = PdfWriter()
    forms = [_make_form(writer, page) for page in reader.pages]
    for left, right in order_pages(len(forms)):
        sheet = writer.add_blank_page(width=2 * width, height=height)
        here = {f"/P{number}": (forms[number], x) for number, x in ((left, 0.0), (right, width)) if number < len(forms)}
        drawn = DecodedStreamObject()
        drawn.set_data(b"".join(f"q 1 0 0 1 {x:.4f} 0 cm {name} Do Q\n".encode() for name, (_, x) in here.items()))
        held = DictionaryObject({NameObject(name): form for name, (form, _) in here.items()})
        sheet[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): held})
        sheet[NameObject("/Contents")] = writer._add_object(drawn)  # noqa: SLF001  there is no other way to add one
    writer.root_object[NameObject("/Lang")] = TextStringObject(LANGUAGE)
    writer.add_metadata({"/Title": str(reader.metadata.title) if reader.metadata else ""})
    kept = BytesIO()
    writer.write(kept)
    return kept.getvalue()


def _make_form(writer: PdfWriter, page: PageObject) -> IndirectObject:
    """Return a page as a form in a file: its unchanged content, with its resources."""
    form = StreamObject()
    contents = page.get_contents()
    form.set_data(contents.get_data() if contents is not None else b"")
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/BBox"): ArrayObject(FloatObject(side) for side in page.mediabox),
            NameObject("/Resources"): page["/Resources"].clone(writer),
        }
    )
    return writer._add_object(form.flate_encode())  # noqa: SLF001  there is no other way to add one
