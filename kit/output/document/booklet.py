"""The pattern as a booklet of half sheets: pages set at half size and imposed in fours, to fold and stitch."""

import os
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import TypeAlias, cast

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    NumberObject,
    StreamObject,
)

from kit.model.pattern import Pattern
from kit.output.document.document import PAPERS, PageLayout, check_wish, forbid_scaling, prepare, save, typeset

FormOnSheet: TypeAlias = tuple[IndirectObject, IndirectObject]
"""The sheet on which a page lies, and the page as a form."""


def write_booklet(pattern: Pattern, path: str | os.PathLike[str], paper: str = "Letter") -> Path:
    """Write the pattern as a booklet for printing on both sides, flipped on the short edge, folding and stitching.

    The type keeps its size, because pages are set again at half a sheet. Templates are left out: they need the whole
    sheet and stay with the full-size edition. The last page is the back cover: what to buy, and where corrections are.

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
    layout = PageLayout(height / 2, width, 12.0, 10.0, 1, 44.0, cover_words=66.0, templates=False, back=True)
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

    Each page becomes a form drawn by the sheet, so that its content is neither read nor changed. The tags stay: each
    mark is then looked for in the form of its page, and a screen reader follows the pages in their own order. Links,
    which would lie at the places of the half sheets, become plain words.

    References
    ----------
    ISO 32000-1:2008, 14.7.4.2: marked content in a form XObject.
    """
    writer = PdfWriter(clone_from=PdfReader(BytesIO(data)))
    pages = list(writer.pages)
    width, height = float(pages[0].mediabox.width), float(pages[0].mediabox.height)
    forms = [_make_form(writer, page) for page in pages]
    sheets: dict[int, IndirectObject] = {}
    for left, right in order_pages(len(forms)):
        sheet = writer.add_blank_page(width=2 * width, height=height)
        here = {f"/P{number}": (number, x) for number, x in ((left, 0.0), (right, width)) if number < len(forms)}
        drawn = DecodedStreamObject()
        drawn.set_data(b"".join(f"q 1 0 0 1 {x:.4f} 0 cm {name} Do Q\n".encode() for name, (_, x) in here.items()))
        held = DictionaryObject({NameObject(name): forms[number] for name, (number, _) in here.items()})
        sheet[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): held})
        sheet[NameObject("/Contents")] = writer._add_object(drawn)  # noqa: SLF001  there is no other way to add one
        sheets |= {number: _refer(sheet) for number, _ in here.values()}
    places = {_refer(page).idnum: (sheets[k], forms[k]) for k, page in enumerate(pages)}
    root = writer.root_object
    _move_marks(cast("DictionaryObject", root["/StructTreeRoot"].get_object()), places)
    for name in ("/Outlines", "/Dests", "/Names", "/PageLabels", "/OpenAction"):
        if name in root:
            del root[name]
    for _ in pages:
        writer.remove_page(0)
    kept = BytesIO()
    writer.write(kept)
    return kept.getvalue()


def _refer(page: PageObject) -> IndirectObject:
    """Return where a page of a file stands in it."""
    if page.indirect_reference is None:
        raise RuntimeError("a page of a file has its place there")
    return page.indirect_reference


def _move_marks(node: DictionaryObject, places: Mapping[int, FormOnSheet], page: int = 0) -> None:
    """Let every mark at and below a tag be looked for in the form of its page; `page` is that of the tag above."""
    own = _find_page(node, page)
    if "/Pg" in node:
        node[NameObject("/Pg")] = places[own][0]
    if "/K" not in node:
        return
    kids = node["/K"]
    moved = ArrayObject()
    for kid in kids if isinstance(kids, ArrayObject) else [kids]:
        one = kid.get_object()
        if isinstance(one, NumberObject):
            moved.append(_make_mark(one, places[own]))
        elif not isinstance(one, DictionaryObject):
            continue
        elif one.get("/Type") == "/MCR":
            moved.append(_make_mark(cast("NumberObject", one["/MCID"]), places[_find_page(one, own)]))
        elif one.get("/Type") == "/OBJR":
            node[NameObject("/S")] = NameObject("/Span")
        else:
            _move_marks(one, places, own)
            moved.append(kid)
    node[NameObject("/K")] = moved


def _find_page(node: DictionaryObject, above: int) -> int:
    """Return the number of the page that a tag names, or of the one above it."""
    named = node.raw_get("/Pg") if "/Pg" in node else None
    return named.idnum if isinstance(named, IndirectObject) else above


def _make_mark(number: NumberObject, place: FormOnSheet) -> DictionaryObject:
    sheet, form = place
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/MCR"),
            NameObject("/Pg"): sheet,
            NameObject("/Stm"): form,
            NameObject("/MCID"): number,
        }
    )


def _make_form(writer: PdfWriter, page: PageObject) -> IndirectObject:
    """Return a page as a form in its file: its unchanged content, with its resources and its place among the tags."""
    form = StreamObject()
    contents = page.get_contents()
    form.set_data(contents.get_data() if contents is not None else b"")
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/BBox"): ArrayObject(FloatObject(side) for side in page.mediabox),
            NameObject("/Resources"): page.raw_get("/Resources"),
        }
    )
    if "/StructParents" in page:
        form[NameObject("/StructParents")] = page["/StructParents"]
    return writer._add_object(form.flate_encode())  # noqa: SLF001  there is no other way to add one
