"""The folder of quilts: where it is, what is in it, and which quilt is being worked on."""

import os
import shutil
from pathlib import Path

import pytest

import kit
from kit.study.quilt_folder import (
    find_folder,
    is_demonstration,
    is_kept,
    list_quilts,
    make_folder,
    name_new,
    read_working,
    set_working,
)

STUDIES = Path(__file__).resolve().parents[2] / "data/studies"


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A project laid out as it comes, without a folder of quilts yet; work goes on in its notebooks."""
    monkeypatch.delenv("SEAMPROOF_QUILTS")
    (tmp_path / "notebooks").mkdir()
    shutil.copytree(STUDIES, tmp_path / "data/studies")
    monkeypatch.chdir(tmp_path / "notebooks")
    return tmp_path


def test_the_folder_is_beside_the_notebooks_wherever_in_the_project_one_works(home, monkeypatch):
    assert find_folder() == home / "quilts"
    monkeypatch.chdir(home)
    assert find_folder() == home / "quilts"
    monkeypatch.chdir(home / "data/studies")
    assert find_folder() == home / "quilts"


def test_outside_of_a_project_the_folder_is_in_place_and_a_variable_names_another(tmp_path, monkeypatch):
    monkeypatch.delenv("SEAMPROOF_QUILTS")
    monkeypatch.chdir(tmp_path)
    assert find_folder() == tmp_path / "quilts"
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path / "elsewhere"))
    assert make_folder() == tmp_path / "elsewhere"
    assert (tmp_path / "elsewhere").is_dir()


def test_while_none_is_chosen_a_notebook_opens_its_demonstration_and_afterwards_the_chosen_one(home):
    given = "../data/studies/tideline.toml"
    assert kit.find_quilt(given) == given
    mine = make_folder() / "mine.toml"
    shutil.copy(STUDIES / "lamplight.toml", mine)
    set_working(mine)
    assert kit.open_study(kit.find_quilt(given)).title == "Lamplight"
    assert (home / "quilts/working-on.txt").read_text() == "mine.toml\n"
    set_working(home / "data/studies/slipway.toml")
    assert kit.open_study(kit.find_quilt(given)).title == "Slipway"
    mine.unlink()
    set_working(mine)
    assert kit.find_quilt(given) == given


def test_the_project_may_be_moved_and_the_quilt_is_still_found(home, tmp_path_factory, monkeypatch):
    shutil.copy(STUDIES / "lamplight.toml", make_folder() / "mine.toml")
    set_working(find_folder() / "mine.toml")
    new = tmp_path_factory.mktemp("moved") / "project"
    shutil.move(home, new)
    monkeypatch.chdir(new / "notebooks")
    assert read_working() == new / "quilts/mine.toml"


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize("text", ["", "\n", "nowhere.toml", "a\0b", "x" * 9000, "..", "."])
def test_whatever_the_note_holds_a_missing_quilt_is_none(text):
    (make_folder() / "working-on.txt").write_text(text, encoding="utf-8")
    assert read_working() is None


@pytest.mark.usefixtures("home")
def test_a_note_that_is_not_text_is_none():
    (make_folder() / "working-on.txt").write_bytes(b"\xff\xfe\x00")
    assert read_working() is None


def test_quilts_are_listed_with_the_last_changed_first(home):
    folder = make_folder()
    for number, name in enumerate(("tideline", "slipway", "lamplight")):
        shutil.copy(STUDIES / f"{name}.toml", folder)
        os.utime(folder / f"{name}.toml", (1000 + number, 1000 + number))
    (folder / "working-on.txt").write_text("x")
    assert [quilt.path.stem for quilt in list_quilts(folder)] == ["lamplight", "slipway", "tideline"]
    assert list_quilts(home / "nowhere") == []


def test_a_demonstration_is_not_the_makers_own_and_a_copy_in_the_folder_is(home):
    assert is_demonstration(home / "data/studies/tideline.toml")
    assert is_demonstration(STUDIES / "tideline.toml")
    assert not is_kept(STUDIES / "tideline.toml")
    mine = make_folder() / "tideline.toml"
    shutil.copy(STUDIES / "tideline.toml", mine)
    assert is_kept(mine)
    assert not is_demonstration(mine)


def test_a_new_name_is_never_one_that_is_there(tmp_path):
    assert name_new("../Über & out", tmp_path).name == "über-out.toml"
    assert name_new("///", tmp_path).name == "quilt.toml"
    for wanted in ("fog.toml", "fog-2.toml", "fog-3.toml"):
        path = name_new("Fog", tmp_path)
        assert path.name == wanted
        path.touch()


def test_a_folder_that_cannot_be_made_is_refused_in_words(tmp_path, monkeypatch):
    (tmp_path / "file").touch()
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path / "file/quilts"))
    with pytest.raises(kit.KitError, match="SEAMPROOF_QUILTS"):
        make_folder()
