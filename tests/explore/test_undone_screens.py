"""Undo and redo on the screens of cutting, finishing, quilting and sizes; and what each of them keeps in a file."""

import shutil
from pathlib import Path

import ipywidgets as widgets
import pytest

import kit
from kit.explore.fit_screen import TYPED
from kit.explore.side_panel import SidePanel
from kit.explore.undo_buttons import PLAN_KEYS
from kit.study import study_keys

STUDIES = Path(__file__).resolve().parents[2] / "data/studies"


def press(screen, name):
    (button,) = [one for one in walk(screen) if isinstance(one, widgets.Button) and one.description == name]
    button.click()


def walk(widget):
    if isinstance(widget, SidePanel):
        widget.open_all()  # its sections are made when they are opened
    for child in getattr(widget, "children", ()):
        yield child
        yield from walk(child)


def read_texts(screen):
    """Return all that a screen shows, and what its controls hold."""
    shown = [one.value for one in walk(screen) if isinstance(one, widgets.HTML) and one is not screen.message]
    held = [one.value for one in walk(screen) if hasattr(one, "value") and not isinstance(one, widgets.HTML)]
    return shown, held


def move_cutting(screen):
    screen.fields["make"].value = "one by one"
    yield
    screen.fields["width"].field.value = "38 in"
    yield
    screen.fields["insurance"].field.value = "4 1/2 in"
    yield
    screen.fields["margin"].value = 10


def move_finishing(screen):
    screen.fields["overhang_sides"].field.value = "5 1/16 in"
    yield
    screen.fields["binding_fold"].value = "single"
    yield
    screen.fields["backing_price"].value = 12.5


def move_quilting(screen):
    screen.fields["gap_limit"].field.value = "2 in"
    yield
    press(screen.rows, "Add a way of stitching")
    yield
    screen.fields["stop_minutes"].value = 2


SCREENS = [
    (kit.explore_cutting, move_cutting),
    (kit.explore_finishing, move_finishing),
    (kit.explore_quilting, move_quilting),
]


@pytest.mark.parametrize(("make", "moves"), SCREENS, ids=lambda one: one.__name__)
@pytest.mark.parametrize("name", ["ferry-steps", "tideline"])
def test_every_act_is_undone_and_done_again_with_all_that_is_shown(make, moves, name):
    screen = make(kit.open_study(STUDIES / f"{name}.toml"))
    screen.history._together = 0.0
    states = [(screen.study, read_texts(screen))]
    states.extend((screen.study, read_texts(screen)) for _ in moves(screen))
    states.append((screen.study, read_texts(screen)))
    assert len({str(state[1]) for state in states}) == len(states)
    for study, texts in reversed(states[:-1]):
        press(screen, "Undo")
        assert screen.study == study
        assert read_texts(screen)[1] == texts[1]
        assert read_texts(screen)[0] == texts[0]
    press(screen, "Undo")
    assert "Nothing has been done" in screen.message.value
    for study, texts in states[1:]:
        press(screen, "Redo")
        assert screen.study == study
        assert read_texts(screen) == texts


@pytest.mark.parametrize(("make", "moves"), SCREENS, ids=lambda one: one.__name__)
def test_after_an_undo_the_controls_still_work_and_what_was_undone_is_gone(make, moves):
    screen = make(kit.open_study(STUDIES / "ferry-steps.toml"))
    screen.history._together = 0.0
    first = screen.study
    acts = moves(screen)
    next(acts)
    press(screen, "Undo")
    assert screen.study == first
    for _ in acts:
        pass
    assert screen.study != first
    press(screen, "Redo")
    assert "Nothing was undone" in screen.message.value


def test_a_slider_that_is_drawn_along_is_one_act():
    screen = kit.explore_finishing(kit.open_study(STUDIES / "ferry-steps.toml"))
    first = screen.study
    for inches in (4.5, 5.0, 5.5):
        screen.fields["overhang_sides"].slider.value = inches
    assert screen.history.before == 1
    press(screen, "Undo")
    assert screen.study == first


def test_a_setting_that_cannot_be_built_is_undone_to_the_last_that_could():
    screen = kit.explore_quilting(kit.open_study(STUDIES / "ferry-steps.toml"))
    first = screen.study
    while any(one.description == "" and one.icon == "trash" for one in walk(screen.rows) if hasattr(one, "icon")):
        next(one for one in walk(screen.rows) if getattr(one, "icon", "") == "trash").click()
    assert screen.refused
    press(screen, "Undo")
    assert not screen.refused
    assert screen.study == first


@pytest.mark.parametrize(("make", "moves"), SCREENS, ids=lambda one: one.__name__)
def test_of_a_path_every_change_is_saved_and_undone_in_the_file(make, moves, tmp_path, monkeypatch):
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path))
    mine = Path(shutil.copy(STUDIES / "ferry-steps.toml", tmp_path / "mine.toml"))
    before = kit.open_study(mine)
    screen = make(mine)
    assert mine.read_bytes() == (STUDIES / "ferry-steps.toml").read_bytes()
    next(moves(screen))
    assert kit.open_study(mine) == screen.study != before
    press(screen, "Undo")
    assert kit.open_study(mine) == before


@pytest.mark.parametrize(("make", "moves"), SCREENS, ids=lambda one: one.__name__)
def test_a_screen_takes_over_another_quilt_and_undo_brings_the_first_back(make, moves):
    assert moves
    screen = make(kit.open_study(STUDIES / "ferry-steps.toml"))
    first, other = screen.study, kit.open_study(STUDIES / "tideline.toml")
    screen.take_study(other)
    assert study_keys(screen.study)["design"] == study_keys(other)["design"]
    press(screen, "Undo")
    assert study_keys(screen.study)["design"] == study_keys(first)["design"]
    assert (
        len(screen._sketch.patchwork.patches if hasattr(screen, "_sketch") else screen.sketch.patchwork.patches) == 84
    )


def test_the_screen_for_a_size_undoes_fields_answers_choices_and_what_was_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path))
    mine = Path(shutil.copy(STUDIES / "ferry-steps.toml", tmp_path / "mine.toml"))
    screen = kit.choose_size(mine)
    screen.history._together = 0.0

    def look():
        fields = tuple(field.value for field in screen._asking)
        return fields, screen.table.value, screen.pick.value, screen.picture.value, screen.editions.value, screen.kept

    states = [look()]
    acts = [
        lambda: setattr(screen.bed, "value", TYPED),
        lambda: setattr(screen.lengths["width"], "value", "60 in"),
        lambda: setattr(screen.lengths["height"], "value", "60 in"),
        screen.find,
        lambda: setattr(screen.pick, "value", 2),
        screen.keep,
        screen.use,
        lambda: setattr(screen.lengths["width"], "value", "80 in"),
        screen.find,
    ]
    for act in acts:
        act()
        states.append(look())
        assert kit.open_study(mine) == screen.kept
    assert states[6][5].editions
    assert states[7][5].design.columns != states[6][5].design.columns
    for state in reversed(states[:-1]):
        press(screen, "Undo")
        assert look() == state
        assert kit.open_study(mine) == screen.kept
    for state in states[1:]:
        press(screen, "Redo")
        assert look() == state
    assert kit.open_study(mine) == screen.kept


def test_the_keys_of_undo_belong_to_the_screen():
    assert "seamproof-plan" in PLAN_KEYS
    assert "seamproof-explorer" not in PLAN_KEYS.split("addEventListener")[0]


@pytest.mark.parametrize("make", [kit.explore, *(one for one, _ in SCREENS)], ids=lambda one: one.__name__)
def test_a_file_that_is_there_is_replaced_only_when_save_is_pressed_twice(make, tmp_path):
    there = Path(shutil.copy(STUDIES / "tideline.toml", tmp_path / "there.toml"))
    before = there.read_bytes()
    screen = make(kit.open_study(STUDIES / "ferry-steps.toml"))
    (name,) = [one for one in walk(screen) if getattr(one, "description", "") == "Study file"]
    name.value = str(there)
    press(screen, "Save the study")
    assert "there.toml is there already" in screen.message.value
    assert there.read_bytes() == before
    name.value = str(tmp_path / "new.toml")
    press(screen, "Save the study")
    assert kit.open_study(tmp_path / "new.toml").title == "Ferry Steps"
    name.value = str(there)
    press(screen, "Save the study")
    assert there.read_bytes() == before
    press(screen, "Save the study")
    assert kit.open_study(there).title == "Ferry Steps"
    press(screen, "Save the study")
    assert "Saved" in screen.message.value
