"""The front door: tiles, new quilts of every kind, the chosen quilt carried from screen to screen and kept."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

import kit
from kit.explore.beginning.going_on import STAGES
from kit.explore.beginning.new_quilt import BED, CLOTH, DRAWING, UNITS
from kit.explore.beginning.starting_keys import CHOSEN, change_family, list_family_keys, take_colours
from kit.study import study_from_keys, study_keys
from kit.study.quilt_folder import list_quilts, make_folder, read_working
from kit.study.working_copy import WorkingCopy

NOW = datetime(2026, 5, 1, tzinfo=UTC)
STUDIES = Path(__file__).resolve().parents[3] / "data/studies"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path / "quilts"))
    return make_folder()


@pytest.fixture
def door(folder):
    assert list_quilts(folder) == []
    return kit.begin()


def begin_pinwheel(door):
    door.new.title.value = "Sea pinks"
    door.new.families.buttons["pinwheel"].click()
    return WorkingCopy(read_working())


def set_columns(door, number):
    (control,) = [one for one in door.screen._panel.controls if getattr(one, "description", "") == "Blocks across"]
    control.value = number


def test_without_quilts_the_ways_to_begin_one_are_open(door):
    assert door._below.selected_index == 0
    assert set(door.new.families.buttons) == set(CHOSEN)
    assert "There are none yet" in door._place.value


def test_a_new_quilt_of_a_family_is_a_file_in_the_folder_and_every_change_is_saved_in_it(door, folder):
    copy = begin_pinwheel(door)
    assert copy.path == folder / "sea-pinks.toml"
    assert (copy.study.title, copy.study.design.family) == ("Sea pinks", "pinwheel")
    assert door.study == copy.study
    set_columns(door, 6)
    assert kit.open_study(copy.path).design.columns == 6
    assert "saved" in door.bar._line.value
    door.screen.undo()
    assert kit.open_study(copy.path) == copy.study


@pytest.mark.parametrize("family", CHOSEN)
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_a_new_quilt_of_every_family_goes_through_the_whole_pattern(family, system):
    keys = list_family_keys(family, "New", system)
    pattern = kit.make_pattern(study_from_keys(keys))
    assert pattern.rehearsal.agrees
    assert pattern.study.measures.system == system
    if system == "metric":
        assert pattern.study.measures.round_sizes_to is None


def test_tiles_show_the_quilt_last_worked_on_first_and_a_broken_file_says_so(door, folder):
    begin_pinwheel(door)
    shutil.copy(STUDIES / "slipway.toml", folder)
    (folder / "torn.toml").write_text("title = ", encoding="utf-8")
    door._back.click()
    first, *rest = door.tiles.buttons.values()
    assert first.description.splitlines()[0] == "Sea pinks"
    assert first.description.splitlines()[-1] == "last worked on"
    said = {button.description.splitlines()[0]: button for button in rest}
    assert set(said) == {"Slipway", "torn.toml"}
    assert "cannot be opened" in said["torn.toml"].description
    said["torn.toml"].click()
    assert "torn.toml is not TOML" in door.message.value
    assert door.tiles in door.children
    said["Slipway"].click()
    assert door.study.title == "Slipway"


def test_a_demonstration_opens_and_its_first_change_makes_a_copy_that_is_worked_on_from_then_on(door, folder):
    door._below.selected_index = 1
    before = (STUDIES / "chandlery.toml").read_bytes()
    next(one for key, one in door.demonstrations.buttons.items() if key.endswith("chandlery.toml")).click()
    assert kit.find_quilt("x").endswith("chandlery.toml")
    assert "A demonstration" in door.bar._line.value
    assert list_quilts(folder) == []
    set_columns(door, 2)
    assert (STUDIES / "chandlery.toml").read_bytes() == before
    assert kit.open_study(folder / "chandlery.toml").design.columns == 2
    assert kit.open_study(kit.find_quilt("x")).design.columns == 2


def test_next_carries_the_quilt_with_its_changes_through_every_screen_and_round(door):
    copy = begin_pinwheel(door)
    set_columns(door, 3)
    seen = []
    for number in (*range(1, len(STAGES)), 0):
        door.stages.next.click()
        assert door.stages.stage == number
        assert door.message.value == ""
        seen.append(type(door.screen).__name__)
        shown = getattr(door.screen, "study", None)
        assert shown is None or shown == door.study
    assert seen == ["SizeChooser", "Walkthrough", "CuttingScreen", "FinishingScreen", "QuiltingScreen", "Explorer"]
    assert door.study == kit.open_study(copy.path)
    assert door.study.design.columns == 3


def test_what_is_wished_on_a_later_screen_is_kept_and_stays_on_the_next(door):
    copy = begin_pinwheel(door)
    door.go(3)
    door.screen.fields["half_squares"].value = "eight at a time"
    assert kit.open_study(copy.path).cutting.half_squares == "eight at a time"
    door.go(4)
    door.screen.fields["binding_fold"].value = "single"
    door.go(0)
    kept = kit.open_study(copy.path)
    assert (kept.cutting.half_squares, kept.finishing.binding_fold) == ("eight at a time", "single")
    assert door.screen.study == kept


def test_the_family_is_changed_in_place_what_was_is_a_version_and_undo_brings_it_back(door):
    copy = begin_pinwheel(door)
    door._other.click()
    assert "log cabin" in door._families.buttons
    door._families.buttons["log cabin"].click()
    assert door.study.design.family == "log cabin"
    assert door.study.title == "Sea pinks"
    assert kit.open_study(copy.path) == door.study
    assert "before log cabin" in [kept.name for kept in copy.list_versions()]
    door.screen.undo()
    assert kit.open_study(copy.path) == copy.study


@pytest.mark.parametrize("name", sorted(path.stem for path in STUDIES.glob("*.toml")))
def test_every_study_can_be_pieced_as_every_family(name):
    study = kit.open_study(STUDIES / f"{name}.toml")
    for family in CHOSEN:
        changed = change_family(study, family)
        assert changed.design.family == family
        assert (changed.title, changed.measures, changed.finishing) == (study.title, study.measures, study.finishing)
        kit.make_sketch(changed)
        first = [(fabric.name, fabric.colour) for fabric in study.fabrics][: len(changed.fabrics)]
        assert [(one.name, one.colour) for one in changed.fabrics][: len(first)] == first or study.fabrics[0].cloth


def test_a_quilt_to_fit_a_bed_opens_on_the_screen_of_its_size(door):
    door.new.way.value = BED
    door.new.bed.value = "twin"
    door.new.families.buttons["chevron"].click()
    assert door.stages.stage == 1
    assert door.screen.bed.value == "twin"


def test_a_quilt_from_a_photograph_of_cloth_has_its_colours_and_keeps_the_photograph(door, folder, tmp_path):
    cloth = Image.new("RGB", (80, 60), (20, 60, 110))
    cloth.paste((230, 220, 190), (0, 0, 30, 60))
    cloth.save(tmp_path / "weave.png")
    assert take_colours(tmp_path / "weave.png") == ["#143c6e", "#e6dcbe"]
    door.new.way.value = CLOTH
    door.new.photograph.value = (upload("Sea weave.png", (tmp_path / "weave.png").read_bytes()),)
    door.new.families.buttons["pinwheel"].click()
    assert (folder / "fabrics/Sea-weave.png").read_bytes() == (tmp_path / "weave.png").read_bytes()
    first, second = kit.open_study(read_working()).fabrics
    assert (first.colour, first.picture, second.colour) == ("#143c6e", "fabrics/Sea-weave.png", "#e6dcbe")


def upload(name, data):
    return {"name": name, "type": "", "size": len(data), "content": memoryview(data), "last_modified": NOW}


@pytest.mark.parametrize(("way", "field"), [(CLOTH, "photograph"), (DRAWING, "outlines")])
def test_a_file_of_another_kind_is_refused_in_words_and_nothing_stays(door, folder, way, field):
    door.new.way.value = way
    getattr(door.new, field).value = (upload("../notes.txt", b"no picture"),)
    assert "Needed" in door.message.value
    assert door.screen is None
    assert list_quilts(folder) == []


def test_a_drawing_of_outlines_becomes_a_quilt_with_its_file_beside_it(door, folder):
    door.new.way.value = DRAWING
    data = (STUDIES / "drawings/pennant.svg").read_bytes()
    door.new.outlines.value = (upload("pennant.svg", data),)
    assert door.study.design.family == "outlines"
    assert (folder / "drawings/pennant.svg").read_bytes() == data
    assert kit.open_study(read_working()) == door.study


def test_a_drawing_board_and_a_composing_table_go_on_as_quilts(door):
    door.new.title.value = "Drawn"
    door.new.way.value = DRAWING
    door.new._table.sheet.add_line("0,0 12,12")
    door.new._go_on.click()
    assert (door.study.title, door.study.design.family) == ("Drawn", "lines")
    door._back.click()
    door.new.way.value = UNITS
    door.new._go_on.click()
    assert door.tiles in door.children  # an empty table is not a quilt, and that is said
    assert "Needed" in door.message.value


def test_two_pages_with_one_quilt_are_asked_and_each_answer_does_what_it_says(door):
    copy = begin_pinwheel(door)
    for answer, kept, shown in (("Keep this one", 7, 7), ("Take the other", 9, 9), ("Keep both", 9, 7)):
        other = WorkingCopy(copy.path)
        keys = study_keys(other.study)
        keys["design"]["columns"] = 9
        other.write(study_from_keys(keys))
        set_columns(door, 7)
        assert door.bar.waiting.design.columns == 7
        assert door.bar._question.layout.display == ""
        assert kit.open_study(copy.path).design.columns == 9
        door.bar.answers[answer].click()
        assert door.bar._question.layout.display == "none"
        assert kit.open_study(copy.path).design.columns == kept
        assert door.study.design.columns == shown
        set_columns(door, 4)
    assert kit.open_study(copy.path).design.columns == 9
    assert kit.open_study(read_working()).design.columns == 4
    assert read_working().name == "sea-pinks-2.toml"


def test_a_version_is_kept_by_name_laid_beside_and_gone_back_to(door):
    copy = begin_pinwheel(door)
    bar = door.bar
    bar.more.selected_index = 0
    bar.name.value = "four across"
    bar.keep.click()
    set_columns(door, 6)
    path = next(option[1] for option in bar.beside.options if option[0].startswith("four across"))
    bar.beside.value = path
    assert "48" in bar._shown_beside.value
    assert "four across" in bar._shown_beside.value
    assert bar._shown_beside.value.count("<img") == 2
    set_columns(door, 5)
    assert "40" in bar._shown_beside.value
    bar.versions.value = path
    bar.back.click()
    assert door.study == copy.study
    assert kit.open_study(copy.path) == copy.study
    assert any(kept.name == "before going back" for kept in copy.list_versions())
    door.screen.undo()
    assert door.study.design.columns == 5
