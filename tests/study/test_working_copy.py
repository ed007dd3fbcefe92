"""A quilt that is saved while it is worked on: nothing is lost, and nothing is written over without being asked."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

import kit
from kit.study.quilt_folder import make_folder, read_working
from kit.study.text_file import replace_text
from kit.study.working_copy import ChangedElsewhereError, WorkingCopy

STUDIES = Path(__file__).resolve().parents[2] / "data/studies"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path / "quilts"))
    return make_folder()


@pytest.fixture
def mine(folder):
    return Path(shutil.copy(STUDIES / "tideline.toml", folder))


def retitle(study, title):
    return replace(study, title=title)


def test_a_quilt_that_is_left_alone_is_not_written(mine):
    before = mine.read_bytes(), mine.stat().st_mtime_ns
    copy = WorkingCopy(mine)
    assert not copy.write(copy.study)
    assert (mine.read_bytes(), mine.stat().st_mtime_ns) == before
    assert copy.list_versions() == []
    assert copy.saved is None


def test_a_change_is_saved_and_the_file_as_it_was_stays_among_the_versions_to_the_letter(mine):
    before = mine.read_bytes()
    copy = WorkingCopy(mine)
    assert copy.write(retitle(copy.study, "Low water"))
    assert kit.open_study(mine).title == "Low water"
    (kept,) = copy.list_versions()
    assert kept.path.read_bytes() == before
    assert kept.name == "as it was opened"
    assert copy.open_version(kept).title == "Tideline"
    copy.write(retitle(copy.study, "Lower water"))
    assert len(copy.list_versions()) == 1


@pytest.mark.parametrize("name", sorted(path.stem for path in STUDIES.glob("*.toml")))
def test_a_demonstration_stays_as_it_is_and_the_change_goes_into_a_copy(folder, name):
    before = (STUDIES / f"{name}.toml").read_bytes()
    copy = WorkingCopy(STUDIES / f"{name}.toml")
    assert not copy.is_copy
    assert list(folder.iterdir()) == []
    copy.write(retitle(copy.study, "Mine"))
    assert (STUDIES / f"{name}.toml").read_bytes() == before
    assert copy.path == folder / f"{name}.toml"
    assert kit.open_study(copy.path) == retitle(kit.open_study(STUDIES / f"{name}.toml"), "Mine")
    assert read_working() == copy.path
    again = WorkingCopy(STUDIES / f"{name}.toml")
    again.write(retitle(again.study, "Mine too"))
    assert again.path == folder / f"{name}-2.toml"
    assert kit.open_study(copy.path).title == "Mine"


def test_the_pictures_of_its_cloth_come_along(folder, tmp_path):
    away = tmp_path / "away"
    (away / "fabrics").mkdir(parents=True)
    shutil.copy(STUDIES.parent / "fabrics/kelp-bed.png", away / "fabrics/kelp.png")
    text = (STUDIES / "ferry-steps.toml").read_text(encoding="utf-8")
    first = text.index("colour =")
    line = text[first : text.index("\n", first)]
    (away / "mine.toml").write_text(text.replace(line, 'picture = "fabrics/kelp.png"', 1), encoding="utf-8")
    copy = WorkingCopy(away / "mine.toml")
    copy.write(retitle(copy.study, "Kelp"))
    assert (folder / "fabrics/kelp.png").is_file()
    assert kit.open_study(copy.path).fabrics[0].picture == "fabrics/kelp.png"


def test_of_two_pages_the_second_that_saves_is_asked_and_nothing_is_lost(mine):
    one, other = WorkingCopy(mine), WorkingCopy(mine)
    one.write(retitle(one.study, "One"))
    assert other.is_changed_elsewhere()
    with pytest.raises(ChangedElsewhereError, match="changed on another page"):
        other.write(retitle(other.study, "Other"))
    assert kit.open_study(mine).title == "One"
    other.write(retitle(other.study, "Other"), replace=True)
    assert kit.open_study(mine).title == "Other"
    assert {one.open_version(kept).title for kept in one.list_versions()} >= {"Tideline", "One"}
    with pytest.raises(ChangedElsewhereError):
        one.write(retitle(one.study, "One again"))
    assert one.read().title == "Other"
    one.write(retitle(one.study, "One again"))
    assert kit.open_study(mine).title == "One again"


def test_both_may_be_kept(mine, folder):
    one, other = WorkingCopy(mine), WorkingCopy(mine)
    one.write(retitle(one.study, "One"))
    path = other.write_beside(retitle(other.study, "Other"))
    assert (kit.open_study(mine).title, kit.open_study(path).title) == ("One", "Other")
    assert path.parent == folder
    assert read_working() == path


def test_a_file_that_is_gone_is_written_again(mine):
    copy = WorkingCopy(mine)
    mine.unlink()
    copy.write(retitle(copy.study, "Back"))
    assert kit.open_study(mine).title == "Back"


def test_versions_have_names_come_last_first_and_are_never_written_over(mine):
    copy = WorkingCopy(mine)
    for name in ("wider strips", "wider strips", "../../1 1/2 in", ""):
        copy.keep_version(retitle(copy.study, f"of {name}"), name)
    found = copy.list_versions()
    assert sorted(kept.name for kept in found) == ["", "1 1 2 in", "wider strips", "wider strips 2"]
    assert all(kept.path.parent == mine.parent / "versions/tideline" for kept in found)
    assert [kept.kept for kept in found] == sorted((kept.kept for kept in found), reverse=True)


def test_a_quilt_in_a_folder_that_may_not_be_written_gets_a_copy(folder, monkeypatch):
    away = Path(shutil.copy(STUDIES / "tideline.toml", folder / "locked.toml"))
    monkeypatch.setattr("kit.study.quilt_folder.os.access", lambda path, _: Path(path) != away)
    copy = WorkingCopy(away)
    assert not copy.is_copy
    before = away.read_bytes()
    copy.write(retitle(copy.study, "Mine"))
    assert away.read_bytes() == before
    assert copy.path == folder / "locked-2.toml"


def test_a_text_that_cannot_be_made_leaves_the_old_file_and_nothing_beside_it(tmp_path):
    place = tmp_path / "mine.toml"
    place.write_text("old")

    def fail():
        raise RuntimeError("power")

    with pytest.raises(RuntimeError):
        replace_text(place, fail)
    assert place.read_text() == "old"
    assert list(tmp_path.iterdir()) == [place]


def test_when_writing_stops_half_way_the_old_file_is_whole(tmp_path, monkeypatch):
    place = tmp_path / "mine.toml"
    place.write_text("old")

    def stop(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("kit.study.text_file.os.fsync", stop)
    with pytest.raises(kit.KitError, match="No space left"):
        replace_text(place, lambda: "new" * 1000)
    assert place.read_text() == "old"
    assert list(tmp_path.iterdir()) == [place]
