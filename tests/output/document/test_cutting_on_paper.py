"""The cutting read out of the finished PDF: cloth is cut by the text of the page alone, and gives every piece."""

import re
from dataclasses import replace
from io import BytesIO

import pytest
from printed import cut_out, pattern_of
from printed_twin import flatten, list_cloths
from pypdf import PdfReader

from kit.checks.cutting_words_check import check_cutting_words, cut_by_words
from kit.model.printed import PrintedLine
from kit.output.document.document import set_document
from kit.output.words.printed_words import print_cutting
from kit.pipeline import make_pattern
from kit.study import open_study, study_from_keys, study_keys

pytestmark = pytest.mark.slow

HEADS = r"From the (?:end|rest), |Open the fold\."
SPLIT = re.compile(rf"(?<!Cut )(?<!Take )(?<!the )(?<!it, )(?<= )(?=\(\d+\) )|(?<= )(?={HEADS})")
STUDIES = ("tideline", "ferry-steps", "gull-point", "boat-shed", "harbour-wheel", "town-quay")


def read_lines(group):
    """Return the lines of one group of strips, each as deep as its words say."""
    lines, under = [], 0
    for part in (part.strip() for part in SPLIT.split(group)):
        if not lines:
            depth = 0
        elif part.startswith("Open the fold"):
            depth, under = 1, 1
        elif re.match(rf"{HEADS}|\(\d+\) strips? ", part):
            depth = under = 1
        else:
            depth = 1 + under
        lines.append(PrintedLine(part, depth))
    return tuple(lines)


def read_paper(pattern):
    """Return everything printed about cutting, its lines from the text of the PDF, fabric by fabric."""
    pages = [page.extract_text() for page in PdfReader(BytesIO(set_document(pattern))).pages]
    given = print_cutting(pattern)
    listed = flatten(cut_out(pages, "The pieces", "Cutting"))
    for piece in given.pieces:
        size = re.escape(flatten(piece.cut))
        assert re.search(
            rf"{piece.id} .*?{piece.hand or '–'} {piece.count} .*?{size}(?= [A-Z]+[a-z\d]| Piece |$)", listed
        ), piece.id
    cloths = []
    text = flatten(cut_out(pages, "Cutting", "Sewing")).partition(" The print of ")[0]
    for heading, groups in list_cloths(text):
        lines = tuple(line for group in groups for line in read_lines(group))
        cloths += [
            replace(cloth, lines=lines)
            for cloth in given.cloths
            if re.search(rf"[ ,]{re.escape(cloth.fabric)} \(", heading)
        ]
    assert {cloth.fabric for cloth in cloths} == {cloth.fabric for cloth in given.cloths}
    return replace(given, cloths=tuple(cloths)), given


@pytest.mark.parametrize("name", STUDIES)
def test_cloth_cut_by_the_text_of_the_page_gives_every_piece(name):
    paper, given = read_paper(pattern_of(name))
    found = check_cutting_words(paper)
    assert found == check_cutting_words(given)
    assert found.pieces == sum(piece.count for piece in given.pieces)


def test_a_count_more_on_the_page_is_refused():
    paper, _ = read_paper(pattern_of("ferry-steps"))
    cloth = paper.cloths[0]
    lines = tuple(replace(line, text=re.sub(r"^\((\d)\) (\d)", r"(1\1) \2", line.text)) for line in cloth.lines)
    assert lines != cloth.lines
    assert cut_by_words(replace(paper, cloths=(replace(cloth, lines=lines), *paper.cloths[1:]))).faults


def test_a_print_is_cut_by_the_text_of_the_page():
    keys = study_keys(open_study("data/studies/ferry-steps.toml"))
    for fabric in keys["fabric"]:
        fabric |= {"repeat": "11 in", "repeat_across": "7 in", "motif_along": "2 in", "motif_across": "3 in"}
    paper, given = read_paper(make_pattern(study_from_keys(keys)))
    found = check_cutting_words(paper)
    assert found == check_cutting_words(given)
    assert found.pieces == sum(piece.count for piece in given.pieces)
