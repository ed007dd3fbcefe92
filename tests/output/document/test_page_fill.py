"""No page of a pattern is less than half full but the last of a part: an independent reader draws and measures them."""

import pytest
from printed import document_of
from printed_fill import measure_fill

from kit.output.document.document import choose_layout

pytestmark = pytest.mark.slow

STUDIES = ("ferry-steps", "gull-point", "harbour-wheel", "millwheel", "regatta-bay", "tideline")
HALF = 0.5
LEAST = 0.12
"""Not even the last page of a part holds but a line or two."""


@pytest.mark.parametrize("name", STUDIES)
def test_no_page_is_less_than_half_full_but_the_last_of_a_part(name):
    pages = measure_fill(document_of(name), choose_layout("Letter").margin)
    assert len(pages) > 9
    assert [(page.number, page.part) for page in pages if page.fill < HALF and not page.last] == []
    assert [(page.number, page.part) for page in pages if page.fill < LEAST] == []
