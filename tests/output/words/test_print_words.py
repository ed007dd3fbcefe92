"""Prints in demonstration studies: every plan passes its check, and a reader of the words cuts every piece."""

import pytest

from kit.checks.cutting_check import check_cutting_plan
from kit.checks.cutting_words_check import cut_by_words
from kit.output.words.printed_words import print_cutting
from kit.pipeline import make_sketch
from kit.study import open_study, study_from_keys, study_keys

PRINTS = (
    {"repeat": "24 in"}, {"repeat": "11 in", "repeat_across": "7 in", "motif_along": "2 in", "motif_across": "3 in"},
    {"repeat": "18 in", "stack": 4}, {"repeat": "20 in", "stack": 3, "nap": True}, {"stripes": "along"},
    {"stripes": "across", "repeat": "9 in", "one_way": True}, {"repeat": "30 cm", "one_way": True},
    {"stripes": "along", "repeat_across": "6 in", "motif_across": "1 in"}, {"repeat": "9 in", "nap": True},
)  # fmt: skip


@pytest.mark.parametrize("way", PRINTS, ids=" ".join)
@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize("name", ["ferry-steps", "harbour-wheel", "tideline"])
def test_prints_of_every_kind_can_be_cut_by_their_words(name, system, way):
    # among them mirrored blades, quarter triangles of both directions, long borders that are joined or stand upright
    keys = study_keys(open_study(f"data/studies/{name}.toml"))
    keys.pop("edition", None)
    keys["measures"] = {"system": system}
    for fabric in keys["fabric"]:
        fabric.update(way if fabric.get("form", "yardage") == "yardage" else {})
    sketch = make_sketch(study_from_keys(keys))
    check_cutting_plan(sketch.making.cut_list, sketch.cutting)
    found = cut_by_words(print_cutting(sketch))
    assert found.faults == ()
    assert found.strips == sum(len(plan.strips) for plan in sketch.cutting.cloths)
    short = sum(sum(plan.short.values()) for plan in sketch.cutting.cloths)
    assert found.pieces == sum(piece.count for piece in sketch.making.pieces) - short
    assert not short or way.get("stack")  # of a stack, long pieces that may not be turned are short, and said to be
