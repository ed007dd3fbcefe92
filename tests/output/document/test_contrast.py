"""Every sign in print has a contrast of at least 7 to 1 to what lies beneath it, measured in the PDF."""

from dataclasses import replace
from io import BytesIO

import pdfplumber
import pytest
import typst
from printed import document_of, pattern_of
from printed_contrast import find_contrast, find_faint, list_contrasts, read_colour

from kit.output.document.booklet import write_booklet
from kit.output.document.document import choose_layout, list_sources, prepare, set_document
from kit.output.document.printable import SETTING
from kit.output.document.supply_list import write_supply_list
from kit.pipeline import make_pattern

pytestmark = pytest.mark.slow

STUDIES = [
    "boat-shed",
    "harbour-wheel",
    "lamplight",
    "slipway",
    "tideline",
    "town-quay",
]  # every sort of page is among them


def find_faint_in(data):
    with pdfplumber.open(BytesIO(data)) as pdf:
        return find_faint(pdf)


@pytest.mark.parametrize(("ink", "ground", "contrast"), [
    ("000000", "ffffff", 21.0),
    ("767676", "ffffff", 4.54),
    ("595959", "ffffff", 7.0),
    ("0000ff", "ffffff", 8.59),
])  # fmt: skip
def test_the_contrast_of_two_colours_is_that_of_the_guidelines(ink, ground, contrast):
    """Figures that go round with W3C's Web Content Accessibility Guidelines 2.1 (from memory), to two places."""
    one, other = ([int(text[i : i + 2], 16) / 255 for i in (0, 2, 4)] for text in (ink, ground))
    assert find_contrast(one, other) == find_contrast(other, one) == pytest.approx(contrast, abs=0.006)


def test_colours_of_a_pdf_are_read_in_grey_in_red_green_and_blue_and_in_four_inks():
    assert read_colour(None) == read_colour((0.0,)) == read_colour(0) == (0.0, 0.0, 0.0)
    assert read_colour((0.2, 0.4, 0.6)) == (0.2, 0.4, 0.6)
    assert read_colour((0.0, 0.5, 1.0, 0.5)) == (0.5, 0.25, 0.0)


def test_the_ground_of_a_sign_is_what_was_filled_last_beneath_it():
    source = b"""#set page(width: 40mm, height: 30mm, margin: 0mm)
#place(dx: 5mm, dy: 5mm, rect(width: 20mm, height: 20mm, fill: rgb("#000080")))
#place(dx: 6mm, dy: 6mm, circle(radius: 8mm, fill: rgb("#ffffff")))
#place(dx: 12mm, dy: 12mm)[a]
#place(dx: 6mm, dy: 20mm, text(size: 6pt)[b])
#place(dx: 30mm, dy: 12mm, text(fill: rgb("#767676"))[c])
#place(dx: 28mm, dy: 10mm, rect(width: 8mm, height: 8mm, stroke: 1pt))
"""
    with pdfplumber.open(BytesIO(typst.compile(source, **SETTING))) as pdf:
        found = {sign.get_text(): round(contrast, 1) for sign, contrast in list_contrasts(pdf.pages[0])}
    assert found == {"a": 21.0, "b": 1.3, "c": 4.5}


def test_a_lighter_ink_is_noticed_on_every_page_with_text():
    layout = choose_layout("Letter")
    sources = list_sources(prepare(pattern_of("ferry-steps")), layout)
    sources["main"] = sources["main"].replace(b'#let ink = rgb("#000000")', b'#let ink = rgb("#777777")')
    faint = find_faint_in(typst.compile(sources, **SETTING))
    assert {contrast for _, contrast, _ in faint} == {4.48}
    assert len(faint) > 10


@pytest.mark.parametrize("name", STUDIES)
def test_every_sign_of_a_pattern_has_a_contrast_of_seven_to_one(name):
    assert find_faint_in(document_of(name)) == []


def test_every_sign_of_large_print_of_a_booklet_and_of_a_supply_list_has_it_too(tmp_path):
    pattern = pattern_of("millwheel")
    assert find_faint_in(set_document(pattern, edition="large print")) == []
    assert find_faint_in(write_booklet(pattern, tmp_path / "booklet.pdf").read_bytes()) == []
    assert find_faint_in(write_supply_list(pattern, tmp_path / "list.pdf").read_bytes()) == []


@pytest.mark.parametrize("colour", ["#000000", "#7a0a20", "#ffffff"])
def test_letters_can_be_read_on_cloth_of_any_colour(colour):
    study = pattern_of("ferry-steps").study
    fabrics = tuple(replace(fabric, colour=colour) for fabric in study.fabrics)
    assert find_faint_in(set_document(make_pattern(replace(study, fabrics=fabrics)))) == []
