"""Names with markup, quotes, emoji, right-to-left text, 200 characters, in every edition: printed as text, whole."""

from dataclasses import replace
from functools import cache
from io import BytesIO

import pdfplumber
import pytest
from printed import pattern_of, read_study_text
from pypdf import PdfReader
from sweep_documents import EMBEDDED, list_fonts

from kit.output.document.booklet import write_booklet
from kit.output.document.document import PAPERS, set_document
from kit.output.document.supply_list import write_supply_list
from kit.output.document.tester_pages import set_tester_form
from kit.pipeline import make_pattern
from kit.publish import redraft
from kit.study import read_study
from kit.testers.questions import list_questions

pytestmark = pytest.mark.slow

NASTY = {
    "markup": '#set page(width: 1cm) *bold* _it_ $x$ `raw` <label> @ref [block] \\ // /* #{panic("x")}',
    "html": "<script>alert('x')</script> &amp; <b>",
    "quotes": "\"double\" 'single' “curly” \\u{41}",
    "emoji": "Reel 🧵 and 🪡 at sea 🌊",
    "right to left": "שלום עולם",
    "long": ("Harbour wall at dusk " * 10)[:200].strip(),
    "unbroken": "x" * 200,
}
SAID = {"🧵": "[spool of thread]", "🪡": "[sewing needle]", "🌊": "[water wave]"}
"""What is printed of signs that no font has."""
EDITIONS = {
    "standard": lambda pattern, _: set_document(pattern),
    "large print": lambda pattern, _: set_document(pattern, edition="large print"),
    "booklet": lambda pattern, folder: write_booklet(pattern, folder / "x.pdf").read_bytes(),
    "supply list": lambda pattern, folder: write_supply_list(pattern, folder / "x.pdf").read_bytes(),
    "form for testers": lambda pattern, _: set_tester_form(list_questions(pattern)),
    "metric": lambda pattern, _: set_document(redraft(pattern, "metric"), "A4", "metric"),
}
PAIRS = [(name, edition) for edition in EDITIONS for name in NASTY
         if edition == "standard" or name in ("right to left", "unbroken")]  # fmt: skip
"""Every name in the usual pattern; in the other editions those that turn the line round or break it."""
MORE = {"standard": 2, "large print": 8, "booklet": 4, "supply list": 0, "form for testers": 2, "metric": 3}
"""So many pages more than with plain names each edition may take."""


@cache
def pattern_named(name):
    study = read_study(read_study_text("ferry-steps"))
    word = NASTY[name]
    fabrics = tuple(replace(one, name=word) if one.name == "Wake" else one for one in study.fabrics)
    return make_pattern(replace(study, title=word, fabrics=fabrics))


@cache
def count_plain(edition, folder):
    return len(PdfReader(BytesIO(EDITIONS[edition](pattern_of("ferry-steps"), folder))).pages)


def squeeze(text):
    return "".join(text.replace("\N{NO-BREAK SPACE}", "").replace("\N{ZERO WIDTH SPACE}", "").split())


@pytest.mark.parametrize(("name", "edition"), PAIRS)
def test_a_nasty_name_is_printed_as_text_within_the_page_in_fonts_that_are_embedded(name, edition, tmp_path):
    """As title and as fabric. Markup that was obeyed would change the page or vanish from the text."""
    data = EDITIONS[edition](pattern_named(name), tmp_path)
    reader = PdfReader(BytesIO(data))
    assert len(reader.pages) <= count_plain(edition, tmp_path) + MORE[edition]
    fonts = [font for page in reader.pages for font in list_fonts(page["/Resources"].get_object(), set())]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert EMBEDDED & set(inner["/FontDescriptor"].get_object())
    with pdfplumber.open(BytesIO(data)) as pdf:
        for page in pdf.pages:
            size = sorted((float(page.width), float(page.height)))
            assert size == pytest.approx(sorted(side / 25.4 * 72 for side in find_paper(edition)), abs=0.1)
            assert all(char["x0"] >= 18 and char["x1"] <= page.width - 18 for char in page.chars)
            assert all(char["top"] >= 18 and char["bottom"] <= page.height - 18 for char in page.chars)
        shown = squeeze("".join(char["text"] for page in pdf.pages for char in page.chars))
    word = NASTY[name]
    for sign, said in SAID.items():
        word = word.replace(sign, said)
    least = 2 if edition in ("supply list", "form for testers") else 3
    assert shown.count(squeeze(word)) + (shown.count(squeeze(word)[::-1]) if name == "right to left" else 0) >= least


def find_paper(edition):
    return PAPERS["A4" if edition == "metric" else "Letter"]


def test_nothing_in_a_name_is_run_and_the_file_holds_no_script(tmp_path):
    for edition, write in EDITIONS.items():
        for name in ("markup", "html"):
            data = write(pattern_named(name), tmp_path)
            assert not any(
                word in data for word in (b"/JavaScript", b"/JS ", b"/JS(", b"/JS<", b"/Launch", b"/OpenAction")
            ), edition
