"""The sewing read back out of a printed pattern: the words of every card, in the reading order of the tagged file."""

import re
from dataclasses import replace
from io import BytesIO

import pdfplumber
from pdfplumber.structure import PDFStructTree

from kit.output.document.sewing_texts import print_sewing

HEADS = ("along", "dot at", "press")


def read_elements(data):
    """Yield every tagged element of a file that holds words: its kind, and its text, or the cells of a row."""
    with pdfplumber.open(BytesIO(data)) as pdf:
        texts = {}
        for page in pdf.pages:
            for char in page.chars:
                texts.setdefault((page.page_number, char.get("mcid")), []).append(char["text"])
        for node in PDFStructTree(pdf):
            yield from _walk(node, texts)


def _walk(node, texts):
    if node.type == "TR":
        yield "TR", [_join(cell, texts) for cell in node.children]
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


def read_cards(data):
    """Return the cards of a file: number, "make 4", text, rows, result, and the words in the picture."""
    cards = []
    for kind, text in read_elements(data):
        if kind == "H3" and text.startswith("Step"):
            cards.append({"number": text, "make": "", "texts": [], "rows": [], "seen": ""})
        elif not cards:
            continue
        elif kind in ("H1", "H2"):
            cards.append(
                {"number": "", "make": "", "texts": [], "rows": [], "seen": ""}
            )  # what follows does not belong to a card
        elif kind == "TR":
            _add_row(cards[-1]["rows"], text)
        elif kind == "Figure":
            cards[-1]["seen"] += text
        elif text and kind in ("Span", "P"):
            if not cards[-1]["make"]:
                cards[-1]["make"] = text.removeprefix(": ").removesuffix(" (detail)")
            else:
                cards[-1]["texts"].append(text)
    return [card for card in cards if card["number"]]


def _add_row(rows, cells):
    """Add a row of a list; a list that goes on in another column, or on another page, has its heads again."""
    if not rows or tuple(cells) != rows[0]:
        rows.append(tuple(cells))


def _read_told(texts):
    """Return the rows of a list in large print: a number, then the part and what follows under which head."""
    found = []
    for number, told in zip(texts[::2], texts[1::2], strict=True):
        part, *cells = told.strip().removesuffix(".").split("; ")
        row = {"step": number, "added part": part}
        for cell in cells:
            head = next(head for head in HEADS if cell.startswith(f"{head} "))
            row[head] = cell.removeprefix(f"{head} ")
        found.append(row)
    heads = ["step", "added part", *(head for head in HEADS if any(head in row for row in found))]
    return [tuple(heads), *(tuple(row.get(head, "") for head in heads) for row in found)]


def read_sewing(pattern, data):
    """Return everything printed about sewing, the words of the cards as they stand in a file.

    The rest, such as what pictures show and the units that come ready, is what was given to the typesetter.
    """
    printed = print_sewing(pattern, pattern.sewing)
    cards = iter(read_cards(data))
    units = []
    for unit in printed.units:
        if not unit.cards[0].number:
            units.append(unit)
            continue
        units.append(replace(unit, cards=tuple(_take(card, next(cards)) for card in unit.cards)))
    left = list(cards)
    assert not left, left[:1]
    return replace(printed, units=tuple(units))


def _take(card, found):
    assert set(card.picture.letters) <= set(found["seen"]) or max(map(len, card.picture.letters), default=0) > 1
    texts = found["texts"]
    rows, result = tuple(found["rows"]), ""
    if card.rows and not rows:
        rows = tuple(_read_told(texts[1 : texts.index(next(text for text in texts if text.startswith("Result: ")))]))
    if card.rows:
        result = next(text for text in texts if text.startswith("Result: "))
    text = texts[0] if card.rows else re.match(r".*?Result: .+?(?:begun|unfinished)\.", texts[0])[0]
    return replace(card, number=found["number"], make=found["make"], text=text, rows=rows, result=result)
