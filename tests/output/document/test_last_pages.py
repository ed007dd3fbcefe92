"""The words of the trade do not stand alone on a page, and a map of fabrics does not leave a few rows to the next."""

from functools import cache
from io import BytesIO

import pytest
from printed import document_of, pattern_of, read_text
from printed_elements import list_elements
from pypdf import PdfReader

import kit
from kit.output.document.document import set_document
from kit.output.words.glossary import list_glossary
from kit.study import editions, open_study

pytestmark = pytest.mark.slow

WORDS, PROOF, COLOURS, FINISHING = "Words used", "Proof sheet", "Colouring page", "Finishing"


@cache
def throw(paper):
    _, found, _ = editions(open_study("data/studies/lamplight.toml"))
    return set_document(kit.make_pattern(found, "quick"), paper)


def find_parts(data):
    """Return the parts in the order of the outline, with their pages."""
    reader = PdfReader(BytesIO(data))
    found = [one for one in reader.outline if not isinstance(one, list)]
    return {str(one.title): reader.get_destination_page_number(one) for one in found}


@pytest.mark.parametrize(("name", "paper"), [
    ("ferry-steps", "Letter"), ("ferry-steps", "A4"), ("tideline", "Letter"), ("tideline", "A4"),
    ("millwheel", "Letter"), ("gull-point", "Letter"), ("gull-point", "A4"),
])  # fmt: skip
def test_the_words_used_have_company_on_their_page(name, paper):
    data = document_of(name, paper)
    parts = find_parts(data)
    page = parts[WORDS]
    order = list(parts)
    others = [part for part, number in parts.items() if number == page and part != WORDS]
    before = read_text(data)[page].split(WORDS)[0].strip()
    assert others or before, "they stand alone"
    if order.index(WORDS) > order.index(COLOURS):
        assert order[order.index(WORDS) + 1] == PROOF
        assert parts[PROOF] == page
    else:
        assert order.index(WORDS) > order.index(FINISHING)
    text = " ".join(" ".join(read_text(data)).split())
    for word, meaning in list_glossary(pattern_of(name)):
        assert text.count(" ".join(f"{word}: {meaning}.".split())) == 1


def test_ferry_steps_ends_with_them_before_the_proof_sheet_and_every_reader_finds_them_there():
    data = document_of("ferry-steps")
    parts = find_parts(data)
    assert parts[WORDS] == parts[PROOF] == len(PdfReader(BytesIO(data)).pages) - 1
    heads = [text.strip() for kind, text in list_elements(data) if kind == "H1"]
    assert heads.count(WORDS) == 1
    assert heads.index(COLOURS) < heads.index(WORDS) < heads.index(PROOF)
    cover = " ".join(read_text(data)[0].split()).replace(".", " ")
    assert f"{WORDS} {parts[WORDS] + 1}" in " ".join(cover.split())


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_a_map_of_many_blocks_is_set_closer_before_it_leaves_a_few_rows_to_another_page(paper):
    parts = find_parts(throw(paper))
    assert parts["Cutting"] == parts["Where each fabric goes"] + 1
    page = read_text(throw(paper))[parts["Where each fabric goes"]]
    rows = [line.split() for line in page.splitlines()]
    assert [int(row[0]) for row in rows if len(row) > 10 and row[0].isdigit() and row[1].isalpha()] == list(
        range(1, 37)
    )
