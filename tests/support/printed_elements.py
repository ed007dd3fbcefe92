"""The words of a tagged PDF in its reading order, element by element: what an independent reader finds in the file."""

from io import BytesIO

import pdfplumber
import pypdfium2
from pdfplumber.structure import PDFStructTree
from pypdfium2 import raw


def list_elements(data, *, pictures=True):
    """Return every tagged element of a file: its kind, and its text, or the cells of a row; a heading is whole.

    Without pictures the letters of a picture may be incomplete and a span of spaces is empty; reading takes a sixth.
    """
    with pdfplumber.open(BytesIO(data)) as pdf:
        texts = _read_letters(pdf) if pictures else _read_letters_quickly(data)
        return [element for node in PDFStructTree(pdf) for element in _walk(node, texts)]


def _read_letters(pdf):
    """Return page and mark -> its letters."""
    texts = {}
    for page in pdf.pages:
        for char in page.chars:
            texts.setdefault((page.page_number, char.get("mcid")), []).append(char["text"])
        page.close()
    return texts


def _read_letters_quickly(data):
    """Return the same from another reader, which leaves out letters that lie over equal ones."""
    texts = {}
    with pypdfium2.PdfDocument(data) as pdf:
        for number, page in enumerate(pdf, start=1):
            words = page.get_textpage()
            for at in range(words.count_chars()):
                if not raw.FPDFText_IsGenerated(words, at):
                    mark = raw.FPDFPageObj_GetMarkedContentID(raw.FPDFText_GetTextObject(words, at))
                    texts.setdefault((number, mark), []).append(chr(raw.FPDFText_GetUnicode(words, at)))
            page.close()
    return texts


def _walk(node, texts):
    if node.type == "TR":
        yield "TR", [_join(cell, texts) for cell in node.children]
        return
    if node.type in ("H1", "H2", "H3"):
        yield node.type, _join(node, texts)
        return
    yield node.type, _read(node, texts)
    for child in node.children:
        yield from _walk(child, texts)


def _join(node, texts):
    return _read(node, texts) + "".join(_join(child, texts) for child in node.children)


def _read(node, texts):
    """Return the words of an element; where its marks begin again, it runs on to the next page."""
    page, before, found = node.page_number, -1, []
    for mark in node.mcids:
        page += mark < before
        before = mark
        found += texts.get((page, mark), [])
    return "".join(found)


def flatten(text):
    """Return a text with plain single spaces."""
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())
