"""The cutting read out of the finished PDF: cloth is cut by the text of the page alone, and gives every piece."""

import re
from dataclasses import replace

import pytest
from printed import pattern_of
from printed_cutting_pages import read_cutting
from printed_elements import list_elements

from kit.checks.cutting_words_check import check_cutting_words, cut_by_words
from kit.output.document.document import set_document
from kit.output.words.printed_words import print_cutting
from kit.pipeline import make_pattern
from kit.publish import redraft
from kit.study import editions, open_study, study_from_keys, study_keys

pytestmark = pytest.mark.slow

STUDIES = ("tideline", "ferry-steps", "gull-point", "boat-shed", "harbour-wheel", "town-quay")


def read_paper(*patterns, edition="standard"):
    """Return what is printed about the cutting of each size, as it stands in the file and as it was given."""
    system = patterns[0].study.measures.system
    data = set_document(patterns, "Letter", system, edition=edition)
    return list(zip(read_cutting(patterns, list_elements(data)), map(print_cutting, patterns), strict=True))


def assert_cut(papers):
    for paper, given in papers:
        found = check_cutting_words(paper)
        assert found == check_cutting_words(given)
        assert found.pieces == sum(piece.count for piece in given.pieces)


@pytest.mark.parametrize("name", STUDIES)
def test_cloth_cut_by_the_text_of_the_page_gives_every_piece(name):
    assert_cut(read_paper(pattern_of(name)))


@pytest.mark.parametrize("edition", ["large print"])
def test_every_size_of_a_metric_file_is_cut_by_its_own_lines(edition):
    sizes = [redraft(make_pattern(one), "metric") for one in editions(open_study("data/studies/chandlery.toml"))]
    papers = read_paper(*sizes, edition=edition)
    assert len({paper.pieces for paper, _ in papers}) == len(sizes) == 3
    assert_cut(papers)


def test_a_count_more_on_the_page_is_refused():
    ((paper, _),) = read_paper(pattern_of("ferry-steps"))
    cloth = paper.cloths[0]
    lines = tuple(replace(line, text=re.sub(r"^\((\d)\) (\d)", r"(1\1) \2", line.text)) for line in cloth.lines)
    assert lines != cloth.lines
    assert cut_by_words(replace(paper, cloths=(replace(cloth, lines=lines), *paper.cloths[1:]))).faults


def test_a_print_is_cut_by_the_text_of_the_page():
    keys = study_keys(open_study("data/studies/ferry-steps.toml"))
    for fabric in keys["fabric"]:
        fabric |= {"repeat": "11 in", "repeat_across": "7 in", "motif_along": "2 in", "motif_across": "3 in"}
    assert_cut(read_paper(make_pattern(study_from_keys(keys))))
