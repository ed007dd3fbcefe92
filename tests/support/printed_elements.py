"""The words of a tagged PDF in its reading order, element by element: what an independent reader finds in the file."""

from io import BytesIO

import pdfplumber
from pdfplumber.structure import PDFStructTree


def list_elements(data):
    """Return every tagged element of a file: its kind, and its text, or the cells of a row; a heading is whole."""
    with pdfplumber.open(BytesIO(data)) as pdf:
        texts = {}
        for page in pdf.pages:
            for char in page.chars:
                texts.setdefault((page.page_number, char.get("mcid")), []).append(char["text"])
            page.close()
        return [element for node in PDFStructTree(pdf) for element in _walk(node, texts)]


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
