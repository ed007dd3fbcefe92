import pytest

import kit
from kit.explore.composing.table import open_unfinished
from kit.study import study_from_keys

SQUARE = {"patch": "square", "side_finished": "6 in", "slot": "light"}
STUDY = {
    "title": "Two stones",
    "design": {"family": "units"},
    "unit": {"stone": SQUARE, "whole": {"join": ["stone", "stone.left to stone.right"]}},
    "fabric": [{"slot": "light", "name": "Sand", "colour": "#d9c9a3"}],
}


def make_table():
    table = kit.compose()
    table.sheet.add("stone", SQUARE)
    table.show()
    return table


def test_a_unit_that_is_taken_lies_on_an_empty_table_and_goes_where_an_edge_is_clicked():
    table = make_table()
    table.take("stone")
    table.picture.click((6.0, 3.0))
    assert table.sheet.units["whole"]["join"] == ["stone", "stone.left to stone.right"]
    assert table.study.make_patchwork().finished == pytest.approx((12, 6))


def test_a_click_can_choose_an_edge_instead_and_a_click_between_edges_chooses_a_unit():
    table = kit.compose(study_from_keys(STUDY))
    table.panel.click.value = "choose"
    table.picture.click((12.0, 3.0))
    assert table.panel.at.value == "stone 2.right"
    assert len(table.sheet.shown.laid.copies) == 2
    table.picture.click((3.0, 3.0))
    assert table.panel.lying.value == 0


def test_only_what_changed_is_sent_to_the_picture():
    table = kit.compose(study_from_keys(STUDY))
    before = table.picture.patches.data, table.picture.edges.data
    table.picture.click((3.0, 3.0))
    assert (table.picture.patches.data, table.picture.edges.data) == before
    assert len(table.picture.patches.data["xs"]) == 2


def test_an_unfinished_study_is_saved_with_its_reason_and_opened_again(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    table = make_table()
    table.save("begun.toml")
    assert "not a whole top yet" in table.message.value
    assert kit.compose("begun.toml").sheet.text == table.sheet.text
    assert open_unfinished("begun.toml") == table.sheet.shown.study


def test_what_cannot_be_done_is_said_in_place():
    table = make_table()
    table.panel.unit.value = None
    table._do(table.panel.place)
    assert "No unit is taken" in table.message.value


def test_the_explorer_follows_the_table_and_the_table_the_explorer():
    explorer = kit.explore(study_from_keys(STUDY))
    table = explorer._composing
    table.take("stone")
    table.picture.click((12.0, 3.0))
    assert len(explorer.sketch.patchwork.patches) == 3
    explorer._keys["unit"]["stone"]["side_finished"] = "4 in"
    explorer._update()
    assert table.study.make_patchwork().finished == pytest.approx((12, 4))
    assert table.sheet.undo()
    assert table.study.make_patchwork().finished == pytest.approx((18, 6))


def test_every_kind_of_new_unit_that_the_form_offers_can_be_made_as_it_is_offered():
    table = kit.compose()
    new = table.panel.new
    for label, (way, _) in new.kind.options:
        if way in ("patch", "family"):
            new.kind.value = dict(new.kind.options)[label]
            count = len(table.sheet.units)
            new.button.click()
            assert len(table.sheet.units) == count + 1, (label, table.message.value)
