"""What a person who listens to the pattern gets: PDF/UA-1 by a checker of others, tags, words for pictures, dates.

The checker is `page-validation`, which the index offers; it holds a file to 104 rules of PDF/UA-1 that a machine can
check (ISO 14289-1:2014 by way of the Matterhorn Protocol). What needs a person, such as whether words fit a picture, is
not among them.
"""

import re
from io import BytesIO

import page
import pdfplumber
import pytest
from printed import document_of, pattern_of
from printed_elements import list_elements
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject
from sweep_documents import walk

from kit.errors import KitError
from kit.output.document.booklet import write_booklet
from kit.output.document.dates import find_date, split_date, write_version
from kit.output.document.document import set_document
from kit.output.document.supply_list import set_supply_list
from kit.output.words.colour_words import say_colour
from kit.pipeline import make_pattern
from kit.publish import redraft
from kit.study import editions, open_study, study_from_keys, study_keys

pytestmark = pytest.mark.slow


def find_broken(data):
    """Return the rules of PDF/UA-1 that a file breaks."""
    report = page.validate_pdf_bytes(data, profile=page.ValidationProfile.PDF_UA_1)
    assert report.is_compliant == (not report.failures)
    return [str(failure) for failure in report.failures]


def list_tags(data):
    root = PdfReader(BytesIO(data)).trailer["/Root"]
    return [node for node in walk(root["/StructTreeRoot"]) if "/S" in node]


@pytest.mark.parametrize(("name", "paper", "edition"), [
    ("tideline", "Letter", "standard"), ("saltmarsh", "A4", "standard"), ("slipway", "Letter", "standard"),
    ("ferry-steps", "A4", "large print"), ("regatta-bay", "Letter", "large print"),
])  # fmt: skip
def test_a_pattern_keeps_every_rule_of_pdf_ua_that_a_machine_can_check(name, paper, edition):
    assert find_broken(set_document(pattern_of(name), paper, edition=edition)) == []


def test_a_pattern_of_several_sizes_and_a_metric_one_keep_them_too():
    sizes = [redraft(make_pattern(one), "metric") for one in editions(open_study("data/studies/chandlery.toml"))]
    assert find_broken(set_document(sizes, "A4", "metric")) == []


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel"])
def test_supply_list_and_booklet_keep_them_too(name, tmp_path):
    assert find_broken(set_supply_list(pattern_of(name))) == []
    assert find_broken(write_booklet(pattern_of(name), tmp_path / "x.pdf").read_bytes()) == []


def spoil(data, change):
    writer = PdfWriter(clone_from=PdfReader(BytesIO(data)))
    change(writer)
    kept = BytesIO()
    writer.write(kept)
    return kept.getvalue()


def drop_words(writer):
    figure = next(node for node in walk(writer.root_object["/StructTreeRoot"]) if node.get("/S") == "/Figure")
    del figure["/Alt"]


def drop_language(writer):
    del writer.root_object["/Lang"]


def drop_tags(writer):
    del writer.root_object["/StructTreeRoot"]


def call_a_head_a_cell(writer):
    for node in walk(writer.root_object["/StructTreeRoot"]):
        if node.get("/S") == "/TH":
            node[NameObject("/S")] = NameObject("/LI")


@pytest.mark.parametrize("change", [drop_words, drop_language, drop_tags, call_a_head_a_cell])
def test_the_checker_refuses_a_file_that_is_spoilt(change):
    assert find_broken(spoil(document_of("ferry-steps"), change))


def test_a_booklet_is_read_page_after_page_and_its_last_page_is_the_back_cover(tmp_path):
    data = write_booklet(pattern_of("ferry-steps"), tmp_path / "x.pdf").read_bytes()
    heads = [node for node in list_tags(data) if node["/S"] == "/H1"]
    assert len(heads) > 8
    with pdfplumber.open(BytesIO(data)) as pdf:
        outside = pdf.pages[0]
        left, right = (outside.crop((x, 0, x + outside.width / 2, outside.height)) for x in (0, outside.width / 2))
        back, front = left.extract_text(), right.extract_text()
    (count,) = set(re.findall(r"page \d+ of (\d+)", back + front))
    assert int(count) % 4 == 0
    assert f"page {count} of {count}" in back
    assert "page 1 of" in front
    for fabric in pattern_of("ferry-steps").study.fabrics:
        assert fabric.name in back
    marks = [mark for node in list_tags(data) for mark in walk(node.get("/K", [])) if mark.get("/Type") == "/MCR"]
    assert len(marks) > 200
    assert all(mark["/Stm"]["/Subtype"] == "/Form" for mark in marks)


def test_pictures_are_told_by_what_they_show():
    said = [str(node["/Alt"]) for node in list_tags(document_of("ferry-steps")) if node["/S"] == "/Figure"]
    assert all(len(words) > 15 for words in said)
    assert "Most of it is " in said[0]
    assert "%" in said[0]
    shares = [int(share) for share in re.findall(r"(\d+)\s%", said[0])]
    assert shares == sorted(shares, reverse=True)
    assert 0 < sum(shares) <= 101
    swatches = [words for words in said if words.startswith("Swatch")]
    assert len(swatches) == len(pattern_of("ferry-steps").study.fabrics)
    assert all(re.fullmatch(r"Swatch of fabric \w+: [a-z-]+, (?:dark|medium|light)", words) for words in swatches)
    assert not [words for words in said if re.search(r"\d\.\d{2,}", words)]


def test_no_table_has_a_column_without_a_head():
    heads = []
    for kind, cells in list_elements(document_of("gull-point")):
        if kind == "Table":
            heads.append(None)
        elif kind == "TR":
            heads[-1] = heads[-1] or cells
            assert all(heads[-1])
            assert len(cells) == len(heads[-1])
    assert len(heads) > 8


CSS = {
    "red": "#8b0000 #dc143c #ff0000 #b22222", "orange": "#ffa500 #ff8c00", "yellow": "#ffff00 #ffd700 #ffffe0",
    "green": "#006400 #228b22 #90ee90 #2e8b57 #3cb371 #32cd32 #556b2f #98fb98 #9acd32",
    "blue": "#0000ff #00008b #add8e6 #b0e0e6 #4169e1 #4682b4 #87ceeb #6495ed #191970 #1e90ff",
    "purple": "#800080 #9370db #663399 #4b0082 #ee82ee", "pink": "#ffc0cb #ff69b4 #ff1493 #ffb6c1",
    "brown": "#8b4513 #d2691e #bc8f8f #a0522d #d2b48c", "grey": "#808080 #a9a9a9 #d3d3d3 #708090 #696969",
    "black": "#000000", "white": "#ffffff", "blue-green": "#008080 #40e0d0 #008b8b #20b2aa",
}  # fmt: skip
"""CSS Color Module Level 4, named colours: those whose names hold the word; browns and blue-greens by their dyes."""


@pytest.mark.parametrize("word", CSS)
def test_a_colour_has_the_word_that_its_published_name_holds(word):
    assert {say_colour(colour) for colour in CSS[word].split()} == {word}


def test_a_date_comes_from_the_study_or_from_the_environment_and_never_from_the_clock(monkeypatch):
    keys = study_keys(open_study("data/studies/ferry-steps.toml"))
    keys.pop("date", None)
    bare = make_pattern(study_from_keys(keys))
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert find_date(bare) == ""
    assert "CreationDate" not in str(PdfReader(BytesIO(set_document(bare))).metadata)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1772323200")  # 2026-03-01, 00:00 UTC
    assert (find_date(bare), write_version(bare)) == ("2026-03-01", "edition 1, 2026-03-01")
    data = set_document(bare)
    assert data == set_document(bare)
    assert "D:20260301" in str(PdfReader(BytesIO(data)).metadata)
    with pdfplumber.open(BytesIO(data)) as pdf:
        assert all("edition 1, 2026-03-01 · page" in one.extract_text() for one in pdf.pages)
    dated = make_pattern(study_from_keys({**keys, "date": "spring tide"}))
    assert find_date(dated) == "spring tide"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    with pytest.raises(KitError, match="whole seconds"):
        find_date(bare)
    assert split_date("2026-13-01") is None
