"""The words of the trade that a pattern explains: those that it uses, and no others."""

import re

import pytest
from printed import pages_of, pattern_of

from kit.output.words.glossary import list_glossary
from kit.output.words.strings import TEXTS

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(("name", "has", "lacks"), [
    ("millwheel", {"Partial seam"}, {"Set-in seam", "Strip set"}),
    ("slipway", {"Set-in seam", "Template"}, {"Partial seam", "Goose unit"}),
    ("saltmarsh", {"Strip set"}, {"Bias edge", "Template"}),
    ("gull-point", {"Goose unit"}, {"Set-in seam"}),
])  # fmt: skip
def test_a_pattern_explains_the_words_that_it_uses(name, has, lacks):
    words = {word for word, _ in list_glossary(pattern_of(name))}
    assert has <= words
    assert not words & lacks


def test_they_stand_in_the_pattern_in_alphabetical_order():
    text = "\n".join(pages_of("millwheel"))
    places = [text.index(f"\n{word}: ") for word, _ in list_glossary(pattern_of("millwheel"))]
    assert places == sorted(places)


def test_a_meaning_holds_for_every_pattern_so_it_has_no_figure():
    keys = {key.removesuffix("_word") for key in TEXTS["glossary"]}
    for key in keys:
        assert not re.search(r"\d|[½¼¾⅛]|\{", TEXTS["glossary"][key])
        assert TEXTS["glossary"][f"{key}_word"]
