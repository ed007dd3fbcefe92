"""The printed pattern of cloth that has a repeat, a nap, a top, a dye lot, or shrinks: every figure is the plan's."""

import pytest
from sweep_documents import find_faults

from kit.output.document.document import set_document
from kit.output.files.twin import read_twin, write_twin
from kit.pipeline import make_pattern
from kit.rehearsal.rehearse import rehearse
from kit.study import open_study, study_from_keys, study_keys

pytestmark = pytest.mark.slow

CLOTH = (
    {"repeat": "6 in"}, {"nap": True}, {"shrinkage": 0.03, "washed": True}, {"one_way": True}, {"lot": "lot B"},
    {"squaring": "2 in"}, {"repeat": "9 in", "stack": 4}, {"stripes": "along"},
    {"repeat": "8 in", "repeat_across": "7 in", "motif_along": "2 in", "motif_across": "3 in"},
)  # fmt: skip


@pytest.mark.parametrize(("name", "first"), [("gull-point", 0), ("regatta-bay", 0), ("tideline", 2), ("slipway", 4)])
def test_a_pattern_of_special_cloth_prints_the_figures_of_its_plan_and_can_be_followed(name, first):
    keys = study_keys(open_study(f"data/studies/{name}.toml"))
    for number, fabric in enumerate(keys["fabric"], start=first):
        fabric.update(CLOTH[number % len(CLOTH)] if fabric.get("form", "yardage") == "yardage" else {})
    pattern = make_pattern(study_from_keys(keys))
    assert find_faults(set_document(pattern, "Letter"), pattern, "Letter") == []
    assert rehearse(*read_twin(write_twin(pattern), pattern.sewing.target)).agrees
