"""The twin is that of the text: each of its numbers stands on paper in its place, or is named as one that is not."""

import copy
import json
from functools import cache
from io import BytesIO

import pytest
from printed import document_of, metric_of, pattern_of
from printed_twin import Paper, list_numbers, read_parts
from pypdf import PdfReader

from kit.output.document.document import set_document
from kit.output.files.twin import write_twin
from kit.publish import redraft

pytestmark = pytest.mark.slow

STUDIES = ("ferry-steps", "millwheel", "tideline", "gull-point")


@cache
def read_both(name, system="inch"):
    """Return the twin, and what stands on paper, by a reader that keeps columns apart."""
    pattern = metric_of(name) if system == "metric" else redraft(pattern_of(name), system)
    data = document_of(name) if system == "inch" else set_document(pattern, "A4", system)
    pages = [page.extract_text() for page in PdfReader(BytesIO(data)).pages]
    return json.loads(json.dumps(write_twin(pattern))), read_parts(pages)


@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize("name", STUDIES)
def test_every_number_of_the_twin_stands_on_paper_in_its_place_or_is_named_as_not_printed(name, system):
    twin, parts = read_both(name, system)
    paper = Paper(twin, system)
    assert paper.find_missing(parts) == []
    said = {path for path, _, _ in paper.said}
    assert said.isdisjoint(paper.unsaid)
    assert said | set(paper.unsaid) == set(list_numbers(twin))
    assert all(paper.unsaid.values())


@pytest.mark.parametrize("name", ["millwheel", "tideline"])
def test_a_number_that_the_paper_has_otherwise_is_missed_on_it(name):
    """Each printed number of the twin, more by a hundred or by a quarter of an inch: then no such words stand there.

    More by one it may be the number of another strip of the same cloth, which does stand there.
    """
    twin, parts = read_both(name)
    unnoticed = []
    for path in dict.fromkeys(path for path, _, _ in Paper(twin).said):
        other = copy.deepcopy(twin)
        place = other
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] += 100 if isinstance(place[path[-1]], int) else 0.25
        changed = Paper(other)
        changed.said = [one for one in changed.said if one[0] == path]
        unnoticed += [] if changed.find_missing(parts) else [path]
    assert unnoticed == []
