"""Controls for the units of a study: made from the study at hand, by the unit's name and the quantity."""

import ipywidgets as widgets
import pytest

import kit
from kit.explore.quantities import read_value
from kit.explore.side_panel import SidePanel
from kit.explore.unit_quantities import list_quantities
from kit.study import study_from_keys, study_keys

pytestmark = pytest.mark.slow
WHEEL = "data/studies/harbour-wheel.toml"
SMALL = """title = "Small"
[design]
family = "units"
strip_cut = "2.3 in"
[design.lengths]
star = "9 in"
twice = "2 star"
[unit.arm]
family = "braid"
pairs = 3
column_finished = "6 in"
[unit.stone]
patch = "rectangle"
width_finished = "6.3 in"
height_finished = "star"
[unit.chain]
rows = ["stone"]
across = 2
[unit.whole]
join = ["arm", "chain.left to arm.right, start"]
[[fabric]]
slot = "patch"
name = "Plain"
colour = "#8090a0"
[[fabric]]
slot = "start"
name = "Start"
colour = "#304050"
[[fabric]]
slot = "blade"
name = "Blade"
colour = "#c0a060"
"""


def walk(widget):
    if isinstance(widget, SidePanel):
        widget.open_all()
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def find(explorer, label):
    (found,) = [w for w in walk(explorer) if getattr(w, "description", "") == label]
    return found


def labels(keys):
    return {quantity.label for quantity in list_quantities(keys)}


def read_small():
    return study_keys(kit.read_study(SMALL))


def test_every_count_and_plain_length_of_the_units_has_a_control_and_what_follows_another_has_none():
    found = labels(read_small())
    assert {"Arm: pairs", "Arm: column, finished", "Stone: width, finished", "Shared length: star"} <= found
    assert {"Shared strip, cut width", "Chain: across"} <= found
    assert not found & {"Stone: height, finished", "Shared length: twice", "Arm: strip, cut"}


def test_another_unit_brings_other_controls():
    keys = read_small()
    keys["unit"]["flight"] = {"family": "flying geese", "geese": 4}
    assert labels(keys) - labels(read_small()) == {
        "Flight: columns", "Flight: rows", "Flight: geese", "Flight: goose, finished",
    }  # fmt: skip


def test_a_study_of_another_family_has_the_controls_of_its_family_alone():
    keys = study_keys(kit.open_study("data/studies/tideline.toml"))
    assert {quantity.path[0] for quantity in list_quantities(keys)} == {"design"}


def test_what_a_control_shows_is_what_the_study_holds_or_the_family_does_without_it():
    keys = read_small()
    values = {quantity.label: read_value(quantity, keys) for quantity in list_quantities(keys)}
    assert (values["Arm: pairs"], values["Arm: columns"], values["Chain: across"]) == (3, 1, 2)
    assert values["Stone: width, finished"] == pytest.approx(6.3)
    assert values["Shared strip, cut width"] == pytest.approx(2.3)


def test_a_moved_slider_of_a_unit_changes_every_copy_of_it_and_can_be_moved_back():
    explorer = kit.explore(WHEEL)
    study = explorer.study
    find(explorer, "Pier: geese").value = 6
    assert explorer.study.design.units["pier"].thaw()["geese"] == 6
    assert len(explorer.sketch.patchwork.patches) == 180 + 8 * 2 * 3
    find(explorer, "Pier: geese").value = 4
    assert explorer.study.design == study.design


def test_a_shared_strip_moves_the_whole():
    explorer = kit.explore(WHEEL)
    before = explorer.sketch.patchwork.finished[0]
    find(explorer, "Shared strip, cut width (in)").value = 5.5
    assert explorer.sketch.patchwork.finished[0] == pytest.approx(2 * before)


def test_an_impossible_count_is_a_sentence_with_both_lengths_and_the_picture_stays():
    explorer = kit.explore("data/studies/town-quay.toml")
    before = explorer.sketch
    find(explorer, "Tern: geese").value = 2
    said = explorer.message.value.replace("\xa0", " ")
    assert "44 in long and what they go round is 24 in" in said  # ten pairs of geese of 4 in, and a square of 4 in
    assert explorer.sketch is before


def test_no_control_speaks_before_it_is_touched(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    explorer = kit.explore(path)
    assert explorer.study == kit.open_study(path)
    find(explorer, "Arm: pairs").value = 4
    keys = study_keys(explorer.study)
    assert study_from_keys(keys).design.units["stone"].thaw()["width_finished"] == "6.3 in"
    assert keys["design"]["strip_cut"] == "2.3 in"


@pytest.mark.parametrize("name", ["harbour-wheel", "boat-shed", "town-quay"])
def test_every_slider_of_a_unit_may_be_pulled_to_its_ends_and_nothing_is_raised(name):
    explorer = kit.explore(f"data/studies/{name}.toml")
    for control in list(walk(explorer)):
        if isinstance(control, widgets.IntSlider) and ": " in control.description:
            before = control.value
            for value in (control.min, before + 1, before):
                control.value = value
                assert "Traceback" not in explorer.message.value
                assert "could not be done" not in explorer.message.value
