"""The tables for the maker: what is said to be cut adds up to the cut list, in words for one and for many."""

import re
from collections import Counter

import pytest

import kit

STUDIES = ["tideline", "ferry-steps", "lamplight", "gull-point"]


@pytest.fixture(scope="module", params=STUDIES)
def sketch(request):
    return kit.make_sketch(kit.open_study(f"data/studies/{request.param}.toml"))


def test_the_results_of_the_cutting_table_add_up_to_the_cut_list(sketch):
    given = Counter()
    for row in kit.tables.cutting(sketch).itertuples():
        told = re.search(rf"(\d+) of {row.Piece}\b", row.Result) or re.search(r"(\d+) triangles?", row.Result)
        if not row.Result.startswith("lengths for"):
            spare = re.search(r"(\d+) spare", row.Result)
            given[row.Piece] += int(told.group(1)) - (int(spare.group(1)) if spare else 0)
    assert given == {piece.id: piece.count for piece in sketch.cut_list.pieces}


def test_nothing_is_cut_no_times(sketch):
    table = kit.tables.cutting(sketch)
    assert not any(text.startswith("(0)") for text in table["Sub-cut"])


def test_lengths_to_be_joined_are_long_enough_for_what_they_become():
    sketch = kit.make_sketch(kit.open_study("data/studies/tideline.toml"))
    table = kit.tables.cutting(sketch)
    joined = table[table["Sub-cut"].str.contains("to be joined")]
    assert len(joined) == 3
    assert set(joined["Result"]) == {"lengths for D1"}
    made = table[table["First cut"].str.startswith("Sew the")].iloc[-1]
    assert made["Sub-cut"].replace("\N{NO-BREAK SPACE}", " ") == "(4) 1½ in × 45⅜ in: piece D1"
    assert made["Result"] == "4 of D1"
    lengths = [cut.width for plan in sketch.cutting.cloths for strip in plan.strips for cut in strip.cuts if cut.joined]
    assert sum(lengths) - 2 * 0.25 * (len(lengths) - 1) >= 4 * 45.375 - 1e-6


def test_one_strip_is_one_strip(sketch):
    for text in kit.tables.shopping(sketch)["Spare"]:
        assert not re.search(r"\b1 strips", str(text))
