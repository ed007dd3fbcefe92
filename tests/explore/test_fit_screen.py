"""The screen for a size: what is typed is searched, what is chosen is shown, what is kept is an edition."""

import pytest

import kit
from kit.explore.fit_screen import TYPED, choose_size


@pytest.fixture
def screen():
    return choose_size(kit.open_study("data/studies/ferry-steps.toml"))


def test_a_bed_is_chosen_and_ten_ways_to_it_are_shown_with_the_picture_of_the_first(screen):
    assert screen.keep_button.disabled
    screen.bed.value = "twin"
    screen.find()
    assert "Twin: mattress 38\N{NO-BREAK SPACE}in × 75\N{NO-BREAK SPACE}in" in screen.message.value
    assert len(screen.found.options) == len(screen.pick.options) == 10
    assert screen.study == screen.found.options[0].sketch.study
    assert "<img" in screen.picture.value
    screen.pick.value = 3
    assert screen.study == screen.found.options[3].sketch.study


def test_fields_that_do_not_count_are_closed(screen):
    assert screen.lengths["width"].disabled
    assert not screen.lengths["drop"].disabled
    screen.bed.value = TYPED
    assert not screen.lengths["width"].disabled
    assert screen.lengths["drop"].disabled


@pytest.mark.parametrize(
    ("width", "said"), [("wide", "wide"), ("1 in", "Nothing finishes within"), ("<b>9</b>", "&lt;b&gt;")]
)
def test_what_cannot_be_searched_is_said_in_place(screen, width, said):
    screen.bed.value = TYPED
    screen.lengths["width"].value, screen.lengths["height"].value = width, "5 in"
    screen.find()
    assert screen.found is None
    assert said in screen.message.value
    assert "<b>" not in screen.message.value


def test_sizes_are_kept_as_editions_in_columns_and_saved(screen, tmp_path):
    screen.bed.value = "crib"
    screen.lengths["drop"].value = "0 in"
    screen.lengths["tolerance"].value = "4 in"
    screen.find()
    assert "does not belong in an infant&#x27;s sleep space" in screen.message.value
    screen.name.value = "floor"
    screen.keep()
    assert [one.name for one in screen.kept.editions] == ["as written", "floor"]
    assert "<th>floor</th>" in screen.editions.value
    screen.file.value = str(tmp_path / "floor.toml")
    screen.save()
    assert kit.open_study(tmp_path / "floor.toml") == screen.kept
    screen.file.value = str(tmp_path / "none" / "floor.toml")
    screen.save()
    assert "cannot be written" in screen.message.value
    screen.name.value = " "
    screen.keep()
    assert "an edition is called" in screen.message.value


def test_a_study_of_units_shows_which_keys_change_and_keeps_them_as_an_edition():
    screen = choose_size(kit.open_study("data/studies/harbour-wheel.toml"))
    screen.lengths["tolerance"].value = "4 in"
    screen.find()
    assert "Pier: geese 4 → 8" in screen.table.value
    assert screen.pick.options[0][0].startswith("1: Pier: geese 4 → 8, 90.3553")
    assert screen.study.design.units["pier"].thaw()["geese"] == 8
    screen.name.value = "bed"
    screen.keep()
    assert screen.kept.editions[-1].overrides() == {"unit": {"pier": {"geese": 8}}}
