"""The forms of the composing table: what they show is what a unit is, and what they hold is what it becomes."""

from pathlib import Path

import pytest

import kit
from kit.explore.composing.row_builder import RowBuilder
from kit.explore.composing.setting_keys import lay_flat, stand_up_keys
from kit.study import open_study, study_from_keys

STUDIES = Path(__file__).resolve().parents[3] / "data" / "studies"
STONE = {"patch": "square", "side_finished": "6 in", "slot": "light"}
CLOTH = [{"slot": "light", "name": "Sand", "colour": "#d9c9a3"}]
FIELD = {
    "block": "stone", "columns": 3, "rows": 2, "sashing": {"finished": "1 in", "slot": "path", "cornerstones": True},
    "on_point": {"oversize": "1/2 in"}, "alternate": {"slot": "plain"}, "quarters": {"images": "mirrored"},
    "border": [{"finished": "2 in", "slot": "kerb", "corners": "mitred"}, {"finished": "4 in", "slot": "wall"}],
}  # fmt: skip


def make_table(**units):
    return kit.compose(study_from_keys({"title": "x", "design": {"family": "units"}, "unit": units, "fabric": CLOTH}))


def list_stored_units():
    for path in sorted(STUDIES.glob("*.toml")):
        study = open_study(path)
        if study.design.family == "units":
            yield from ((study, unit) for unit in study.design.units)


def test_keys_laid_flat_stand_up_as_they_were():
    assert stand_up_keys(lay_flat(FIELD)) == FIELD


def test_what_the_fields_of_any_stored_unit_show_is_read_back_as_its_keys():
    seen = 0
    for study, name in list_stored_units():
        table = kit.compose(study)
        table.panel.section.value = "Units"
        form = table.panel.form
        form.choose(name)
        if form.sizes.fields:
            seen += 1
            assert form.sizes.read() == table.sheet.units[name], name
    assert seen > 10


def test_a_field_that_is_changed_changes_the_unit_and_is_undone():
    table = make_table(stone=STONE, whole={"rows": ["stone stone"]})
    table.panel.section.value = "Units"
    form = table.panel.form
    form.choose("stone")
    form.sizes.fields["side_finished"].value = "4 in"
    form.sizes.fields["oversize"].value = "1/2 in"
    form.buttons["Change the unit"].click()
    assert table.sheet.units["stone"] == {**STONE, "side_finished": "4 in", "oversize": "1/2 in"}
    table.panel.undo.click()
    assert table.sheet.units["stone"] == STONE
    assert form.sizes.fields["side_finished"].value == "6 in"


def test_a_unit_is_set_out_with_sashing_and_borders_by_fields_alone():
    table = make_table(stone=STONE)
    new = table.panel.new
    new.kind.value = ("block", "")
    new.offer(table.panel._list_offered())
    given = {
        "columns": "3", "rows": "2", "sashing.finished": "1 in", "border 1.finished": "2 in", "border 1.slot": "kerb",
    }  # fmt: skip
    for key, value in given.items():
        new.fields[key].value = value
    new.fields["block"].value = "stone"
    new.name.value = "field"
    new.button.click()
    assert table.sheet.units["field"] == {
        "block": "stone", "columns": 3, "rows": 2, "sashing": {"finished": "1 in"},
        "border": [{"finished": "2 in", "slot": "kerb"}],
    }  # fmt: skip
    assert table.sheet.make_or_none("field").size == pytest.approx((3 * 6 + 2 + 4, 2 * 6 + 1 + 4))


def test_rows_are_put_together_by_choosing_and_taken_back():
    rows = RowBuilder(("arm", "star"))
    rows.begin_row()
    rows.unit.value, rows.turn.value, rows.mirrored.value, rows.count.value = "star", 90, True, 3
    rows.add()
    rows.begin_row()
    assert rows.value == "arm star(mirror 90)*3\nstar(mirror 90)*3"
    rows.take_back()
    rows.take_back()
    assert rows.value == "arm"


@pytest.mark.parametrize(
    ("open_unit", "inner"),
    [({"rows": ["stone stone"]}, "rows"), ({"around": "stone", "times": 4, "corner": 1}, "ring"), (STONE, "part")],
)
def test_a_unit_of_any_kind_that_lies_open_is_joined_to(open_unit, inner):
    table = make_table(stone=STONE, whole=open_unit)
    before = len(table.study.make_patchwork().patches)
    edge = table.sheet.shown.laid.free[0].label
    table.sheet.put("stone", edge, place="start")
    assert table.sheet.units[inner] == open_unit
    assert len(table.sheet.make_or_none("whole").shapes) == before + 1
    assert inner in table.sheet.note
    assert table.sheet.undo()
    assert table.sheet.units["whole"] == open_unit


def test_a_length_that_cannot_be_read_is_told_with_the_label_of_its_field():
    table = make_table(stone=STONE)
    table.panel.new.fields["side_finished"].value = "three"
    table.panel.new.button.click()
    assert (
        "Side, finished: \N{LEFT DOUBLE QUOTATION MARK}three\N{RIGHT DOUBLE QUOTATION MARK} is not a length"
        in table.panel.told.value
    )
    assert "alert" in table.panel.told.value


def test_copies_that_do_not_close_are_told_with_the_labels_of_the_form():
    table = make_table(stone=STONE, whole={"join": ["stone"]})
    table.panel.section.value = "Copies"
    table.panel.times.value = 3
    table._do(table.panel.copy_round)
    assert "“Copies” is 3" in table.panel.told.value
    assert "centre =" not in table.panel.told.value
    table.panel.times.value = 4
    table.panel.corner.value = 1
    table._do(table.panel.copy_round)
    assert table.panel.told.value == ""
    assert table.sheet.units["whole"] == {"around": "stone", "times": 4, "corner": 1}


def test_what_was_wrong_is_told_again_when_the_table_is_laid_again():
    table = make_table(stone=STONE, bar={**STONE, "side_finished": "4 in"}, whole={"join": ["stone"]})
    table.sheet.put("bar", "stone.top", "bottom")
    told = table.sheet.shown.laid.troubles
    assert told
    table.sheet.set_title("another")
    assert table.sheet.shown.laid.troubles == told
