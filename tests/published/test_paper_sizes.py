"""Paper sizes against the published table: ISO 216, and the A size of ANSI/ASME Y14.1."""

from io import BytesIO
from math import sqrt

import pytest
from published_tables import read_table
from pypdf import PdfReader

from kit.output.document.document import PAPERS, set_document
from kit.output.pictures.page_tiles import COMMON
from kit.pipeline import make_pattern
from kit.study import open_study

ROWS = read_table("paper_sizes.csv")
SIZES = {row["name"].split(" /")[0]: (float(row["w_mm"]), float(row["h_mm"])) for row in ROWS}
POINT = 25.4 / 72


def test_each_a_size_is_the_next_larger_one_halved_and_rounded_down():
    for n in range(6):
        (wide, high), small = SIZES[f"A{n}"], SIZES[f"A{n + 1}"]
        assert small == (high // 2, wide)


@pytest.mark.parametrize("n", range(7))
def test_a_sizes_have_sides_as_one_to_the_root_of_two_within_a_millimetre(n):
    wide, high = SIZES[f"A{n}"]
    assert abs(high - wide * sqrt(2)) < 1


def test_sizes_given_in_both_systems_agree():
    for row in ROWS:
        if row["w_in"]:
            assert float(row["w_in"]) * 25.4 == pytest.approx(float(row["w_mm"]), abs=0.05)
            assert float(row["h_in"]) * 25.4 == pytest.approx(float(row["h_mm"]), abs=0.05)


@pytest.mark.parametrize("paper", list(PAPERS))
def test_pages_of_the_document_have_the_published_size(paper):
    pattern = make_pattern(open_study("data/studies/ferry-steps.toml"))
    for page in PdfReader(BytesIO(set_document(pattern, paper))).pages:
        size = [float(side) * POINT for side in page.mediabox[2:]]
        assert size == pytest.approx(SIZES[paper], abs=0.01)


def test_templates_lie_within_what_both_papers_have():
    assert COMMON[0] <= min(SIZES["A4"][0], SIZES["Letter"][0])
    assert COMMON[1] <= min(SIZES["A4"][1], SIZES["Letter"][1])
