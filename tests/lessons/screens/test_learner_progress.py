"""A learner's file: written whole, read back, refused in words when damaged, and never lost."""

import json
import os

import pytest

from kit.errors import KitError
from kit.lessons import LearnerProgress, make_exercise, mark, open_lesson, read_progress, write_progress
from kit.lessons.screens.exercise_view import AnswerRecord


def answer(progress, seed, typed, kind="square"):
    exercise = make_exercise(kind, seed)
    return progress.add(exercise, typed, mark(exercise, typed))


def fill():
    progress = answer(LearnerProgress(), 1, "1 in")
    progress = answer(progress, 1, make_exercise("square", 1).shown)
    return answer(progress, 2, f"{make_exercise('square', 2).mistakes[0].values[0]} in")


def test_it_reads_back_as_it_was_written(tmp_path):
    path = write_progress(fill(), tmp_path / "mine.json")
    assert read_progress(path) == fill()
    assert json.loads(path.read_text(encoding="utf-8"))["version"] == 2
    assert [file.name for file in tmp_path.iterdir()] == ["mine.json"]


def test_it_counts_exercises_not_tries_and_names_the_slips():
    progress = fill()
    assert progress.count(("square",)) == (2, 1)
    assert progress.count(("braid",)) == (0, 0)
    assert progress.find_slips(("square",)) == (("allowance forgotten", 1),)


def test_the_same_answer_twice_counts_once():
    once = answer(LearnerProgress(), 1, "1 in")
    assert answer(once, 1, " 1 in ") == once


def test_a_file_that_is_not_there_is_an_empty_progress(tmp_path):
    assert read_progress(tmp_path / "none.json") == LearnerProgress()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "damaged"),
        ("{", "damaged"),
        ("[]", "not a progress file"),
        ('{"version": 1}', "not a progress file"),
        ('{"version": 3, "tries": []}', "version 3"),
        ('{"version": 1, "tries": [3]}', "entry 1"),
        ('{"version": 1, "tries": [{"kind": "square"}]}', "entry 1"),
        ("[" * 100_000, "damaged"),
        ("\udcff", "damaged"),
    ],
)
def test_a_damaged_file_is_refused_in_words_and_left_as_it_is(tmp_path, text, said):
    path = tmp_path / "mine.json"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    before = path.read_bytes()
    for use in (lambda: read_progress(path), lambda: write_progress(fill(), path)):
        with pytest.raises(KitError, match=said) as error:
            use()
        assert "not changed" in str(error.value)
    assert path.read_bytes() == before


def test_one_damaged_entry_is_named(tmp_path):
    path = write_progress(fill(), tmp_path / "mine.json")
    kept = json.loads(path.read_text(encoding="utf-8"))
    kept["tries"][1]["seed"] = "one"
    path.write_text(json.dumps(kept), encoding="utf-8")
    with pytest.raises(KitError, match=r"entry 2, `seed`"):
        read_progress(path)


def test_what_another_page_wrote_meanwhile_is_kept(tmp_path):
    path = tmp_path / "mine.json"
    here = answer(LearnerProgress(), 1, "1 in")
    there = answer(LearnerProgress(), 5, "2 in", "braid")
    write_progress(here, path)
    write_progress(there, path)
    write_progress(answer(here, 1, "3 in"), path)
    assert {(one.kind, one.typed) for one in read_progress(path).tries} == {
        ("square", "1 in"), ("braid", "2 in"), ("square", "3 in"),
    }  # fmt: skip


def test_when_writing_fails_the_old_file_stays_whole_and_nothing_is_left_behind(tmp_path, monkeypatch):
    path = write_progress(fill(), tmp_path / "mine.json")
    before = path.read_bytes()

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(KitError, match="No space left"):
        write_progress(answer(fill(), 9, "1 in"), path)
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == ["mine.json"]


def test_a_page_with_a_damaged_file_goes_on_without_it_and_says_so(tmp_path):
    path = tmp_path / "mine.json"
    path.write_text("{", encoding="utf-8")
    book = AnswerRecord(path)
    exercise = make_exercise("square", 1)
    book.add(exercise, "1 in", mark(exercise, "1 in"))
    assert "damaged" in book.tell(("square",))
    assert "while this page is open" in book.tell(("square",))
    assert path.read_text(encoding="utf-8") == "{"


def test_what_was_shown_is_kept_and_a_copied_answer_does_not_count(tmp_path):
    view = open_lesson("allowance", progress=tmp_path / "mine.json")
    box = view.exercises
    box.how.click()
    box.answer.value = box.exercise.shown
    assert "As shown." in box.said.value
    assert "0 right of 1 answered. The way was shown for 1." in box.count.value
    again = open_lesson("allowance", progress=tmp_path / "mine.json").exercises
    again.answer.value = again.exercise.shown
    assert "As shown." in again.said.value
    again.next.click()
    again.answer.value = again.exercise.shown
    assert "1 right of 2 answered" in again.count.value
    assert read_progress(tmp_path / "mine.json").count_shown(("square",)) == 1


def test_a_file_of_the_first_version_is_still_read(tmp_path):
    path = write_progress(fill(), tmp_path / "mine.json")
    path.write_text(path.read_text(encoding="utf-8").replace('"version": 2', '"version": 1'), encoding="utf-8")
    assert read_progress(path).tries == fill().tries
