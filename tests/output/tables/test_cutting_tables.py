"""The tables of ways, batches and widths, and the length to buy with an insurance.

Thresholds are compared with plans made at every half inch; lengths to buy with eighths of a yard (4 1/2 in) and tenths
of a metre, rounded up here again.
"""

import re
from itertools import pairwise
from math import ceil

import pytest

import kit
from kit.model.fabrics import Supply
from kit.planning.cutting.cloth_widths import WIDTHS, width_table
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.study import study_from_keys

CM = 1 / 2.54


def plain(text):
    return re.sub("[\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]", " ", text)


def make_study(design, *slots, system="inch", cutting=None, **fabric):
    fabrics = [{"slot": slot, "name": slot.capitalize(), "colour": "#335577", **fabric} for slot in slots]
    keys = {"title": "Windlass", "measures": {"system": system}, "design": design, "fabric": fabrics}
    return study_from_keys(keys | ({"cutting": cutting} if cutting else {}))


GEESE = {"family": "flying geese", "columns": 2, "geese": 6, "goose_finished": "2 in"}
SQUARES = {"family": "strips", "columns": 1, "rows": 1, "strip_cut": "20 1/4 in", "row_cut": "20 1/4 in",
           "pattern": ["tide tide", "tide tide", "tide tide"], "turns": ["0"]}  # fmt: skip
METRIC = {"family": "strips", "columns": 4, "rows": 4, "strip_cut": "6.5 cm", "pattern": ["tide foam tide"]}


@pytest.fixture(scope="module")
def geese():
    return kit.make_pattern(
        make_study(GEESE, "goose", "sky", cutting={"geese": "four at a time", "oversize": "1/8 in"})
    )


# Ways


def test_every_way_of_every_unit_is_listed_and_the_chosen_one_marked(geese):
    table = kit.tables.ways(geese)
    assert list(table["Way"]) == ["one by one", "four at a time", "stitch and flip"]
    assert list(table["Chosen"]) == ["", "yes", ""]
    assert list(table["Count"]) == [12] * 3
    assert list(table["Batches"] * table["Makes"] - table["Spare"]) == [12] * 3
    # 2·(2 + 1/8) + 1.2071 and 2 1/8 + 0.8536, up to the next eighth
    assert plain(table["Cut for one batch"][1]) == "(1) 5½ in square goose; (4) 3 in square sky"
    assert set(table["Outer edges"]) == {"straight"}


def test_without_a_word_a_maker_s_way_is_chosen_and_the_other_ways_stand_beside_it():
    # four at a time takes the same cloth as single pieces, and saves 9 cuts and 6 seams: 9 minutes
    table = kit.tables.ways(kit.make_pattern(make_study(GEESE, "goose", "sky")))
    assert list(table[table["Chosen"] == "yes"]["Way"]) == ["four at a time"]
    assert len(table) == 3
    single, four, _ = table["Minutes"]
    assert single - four == 9


def test_one_by_one_leaves_single_pieces_and_the_other_ways_stand_beside_them():
    table = kit.tables.ways(kit.make_pattern(make_study(GEESE, "goose", "sky", cutting={"make": "one by one"})))
    assert list(table[table["Chosen"] == "yes"]["Way"]) == ["one by one"]
    assert len(table) == 3


def test_a_sketch_that_was_not_asked_for_ways_says_so():
    with pytest.raises(kit.KitError, match="make_pattern"):
        kit.tables.ways(kit.make_sketch(make_study(GEESE, "goose", "sky")))


def test_batches_stand_in_a_table_of_their_own(geese):
    (row,) = kit.tables.making(geese).to_dict("records")
    assert (row["Unit"], row["Make"], row["Batches"], row["Spare"]) == ("U1", "12 geese", 3, 0)
    assert row["Cut"] == "3 of Ua, 12 of Ub"
    how = plain(row["How"])
    assert "Take (1) Ua, 5½ in square, of Goose; (4) Ub, 3 in square, of Sky." in how
    assert "Trim each to 4½ in × 2½ in, the point ¼ in below the edge and in the middle" in how


def test_pieces_and_cutting_name_what_is_cut_for_batches_and_no_piece_that_is_not(geese):
    pieces = kit.tables.pieces(geese)
    assert list(pieces["Piece"]) == ["Ua", "Ub"]
    assert list(pieces["Finished"]) == ["–", "–"]
    assert set(kit.tables.cutting(geese)["Piece"]) == {"Ua", "Ub"}


def test_steps_that_come_ready_say_so_and_the_others_are_sewn(geese):
    steps = kit.tables.steps(geese)
    ready = [action for action in steps["Action"] if action.startswith("Nothing to sew here: (12) come ready from U1.")]
    assert len(ready) == 2
    assert any(action.startswith("Sew ") for action in steps["Action"])


def test_the_cloth_stands_beside_the_least_that_is_proved(geese):
    table = kit.tables.cloth(geese)
    for row, plan in zip(table.to_dict("records"), geese.cutting.cloths, strict=True):
        assert plain(row["Strips take"]) == plain(kit.lengths.write_length(plan.used))
        assert plain(row["Least possible"]) == plain(kit.lengths.write_length(plan.bound))
        over = float(row["Above the least"].removesuffix(" %"))
        assert 0 <= over - 100 * (plan.used / plan.bound - 1) < 0.1 + 1e-9
    rolls = kit.tables.cloth(kit.make_sketch(kit.open_study("data/studies/tideline.toml")))
    assert "1 strip" in set(rolls["Strips take"])


# Widths


def test_a_threshold_that_is_not_a_whole_inch_is_found():
    # two squares of 20 1/4 in lie in a strip from 40 1/2 in on: six then take 3 strips, before that 6
    pattern = kit.make_sketch(make_study(SQUARES, "tide", width="42 in"))
    table = kit.tables.widths(kit.compare_widths(pattern))
    assert [plain(width) for width in table["Usable width"]] == ["39 in", "40 in", "41 in", "42 in", "44 in"]
    assert [plain(length) for length in table["Strips take"]] == ["121½ in"] * 2 + ["60¾ in"] * 3
    assert [plain(said) for said in table["Enough from"]] == ["39 in"] * 2 + ["40½ in"] * 3
    assert list(table["Planned"]) == ["", "", "", "yes", ""]


@pytest.mark.parametrize("name", ["lamplight", "gull-point"])
def test_thresholds_are_those_of_plans_at_every_half_inch(name):
    sketch = kit.make_sketch(kit.open_study(f"data/studies/{name}.toml"))
    supply = next(plan.supply for plan in sketch.cutting.cloths if len(plan.strips) > 4)
    rows = width_table(sketch.making.cut_list, supply, effort="quick")
    assert [row.width for row in rows] == list(WIDTHS)

    def measure(width):
        mine = [piece for piece in sketch.making.cut_list.pieces if piece.fabric == supply.fabric]
        cuts = kit.model.cutting.CutList(tuple(mine), sketch.cut_list.allowance, sketch.cut_list.step)
        cloth = Supply(supply.slot, "yardage", width, fabric=supply.fabric)
        return cutting_plan(cuts, [cloth], effort="quick").cloth[supply.slot]

    for before, row in pairwise(rows):
        assert row.cloth <= before.cloth
        if row.cloth < before.cloth:
            assert measure(row.enough_from) <= row.cloth + 1e-6
            assert before.width < row.enough_from <= row.width
            assert row.enough_from - 0.5 <= before.width or measure(row.enough_from - 0.5) > row.cloth


def test_a_width_at_which_a_strip_set_does_not_fit_says_what_cannot_be_cut():
    design = {"family": "strips", "columns": 4, "rows": 4, "strip_cut": "2 1/2 in", "pattern": ["tide foam tide"]}
    study = make_study(design, "tide", "foam", width="44 in", cutting={"strip_sets": "sewn and cut across"})
    pattern = kit.make_pattern(study)
    length = max(size[0] for size in pattern.making.made[0].sizes)
    table = kit.compare_widths(pattern, (20, length, 44))
    for fabric in table.fabrics:
        assert [bool(row.short) for row in fabric.rows] in ([False] * 3, [True, False, False])
    assert len(kit.tables.widths(table)) == 6


def test_yardage_alone_has_a_width_and_no_width_is_refused():
    cuts = kit.make_sketch(make_study(GEESE, "goose", "sky")).cut_list
    with pytest.raises(kit.KitError, match="comes as strips"):
        width_table(cuts, Supply("sky", "strips", 2.5))
    with pytest.raises(kit.KitError, match="no width to try"):
        width_table(cuts, Supply("sky"), ())


# What to buy


@pytest.mark.parametrize("insurance", [0.0, 1.0, 4.5, 9.0])
@pytest.mark.parametrize(("design", "system"), [(GEESE, "inch"), (SQUARES, "inch"), (METRIC, "metric")])
def test_what_is_bought_holds_strips_squaring_up_and_insurance_and_less_than_one_step_more(design, system, insurance):
    slots = {"flying geese": ("goose", "sky")}.get(
        design["family"], ("tide", "foam") if design is METRIC else ("tide",)
    )
    sketch = kit.make_sketch(make_study(design, *slots, system=system, price=10))
    step, unit = (4.5, 36.0) if system == "inch" else (10 * CM, 100 * CM)
    shopping = kit.tables.shopping(sketch, insurance)
    widths = kit.tables.widths(kit.compare_widths(sketch, (40,)), insurance)
    assert len(shopping) == len(slots)
    for plan in sketch.cutting.cloths:
        least, mark = (1.0, 0.125) if system == "inch" else (2.5 * CM, 0.1 * CM)
        strips = plan.used + least  # as much for squaring up as the least margin: common practice, no source
        margin = ceil(max(0.05 * strips, least) / mark - 1e-6) * mark
        need = strips + margin + insurance
        bought = ceil((need - 1e-6) / step) * step
        (row,) = [row for row in shopping.to_dict("records") if row["Fabric"] == plan.supply.fabric]
        assert row["Cost"] == pytest.approx(10 * bought / unit, abs=0.006)
        (same,) = [row for row in widths.to_dict("records") if row["Fabric"] == plan.supply.fabric]
        assert same["Buy"] == row["Buy"]
        assert bought - need < step
        assert ("Insurance" in row) == bool(insurance)
