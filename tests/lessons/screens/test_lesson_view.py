"""Lessons on screen: every dial at every setting, exercises and their marks, the whirl, and text that stays text."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.lessons import LESSONS, make_exercise, open_lesson, read_progress, sew_whirl, show_lesson, show_worked
from kit.lessons.exercises.exercise import TERMS
from kit.lessons.exercises.whirl import PLACES

DIALS = [(name, dial.name) for name, lesson in LESSONS.items() for dial in lesson.dials]


@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_has_words_a_picture_with_its_sentence_and_exercises(name, system):
    view = open_lesson(name, system, progress=None)
    assert view.lesson.title in view.children[0].value
    assert view.exercises.exercise.kind in LESSONS[name].kinds
    still = show_lesson(name, system).data
    assert '<img alt="' in still
    assert "seamproof-sentence" in still


@pytest.mark.parametrize(("name", "dial"), DIALS, ids=str)
def test_every_setting_of_a_dial_draws_a_picture_and_moves_it(name, dial):
    view = open_lesson(name, progress=None)
    knob, seen = view.dials[dial], set()
    values = [value for _, value in LESSONS[name].dials[[d.name for d in LESSONS[name].dials].index(dial)].list_values(
        TERMS["inch"]
    )]  # fmt: skip
    for value in values[:: max(1, len(values) // 6)]:
        knob.value = value
        seen.add(view.picture.value)
        assert "<img" in view.picture.value
    assert len(seen) > 1


def test_the_allowance_picture_says_what_the_arithmetic_says():
    """Squares cut 2 1/2 in: 2 in at a quarter of an inch, 1 3/4 in at three eighths; derived."""
    for allowance, finished, row in ((0.25, "2", "8½"), (0.375, "1¾", "7¾")):
        said = show_lesson("allowance", allowance=allowance).data.replace("\N{NO-BREAK SPACE}", " ")
        assert f"each square finishes {finished} in. The row of 4 measures {row} in" in said


def test_the_error_picture_gives_the_worked_case():
    """Common question W25 (worked_cases.csv), answer derived: 12 pieces, seams 1/32 in too deep, 0.69 in short."""
    said = show_lesson("errors", patches=12, bias=1 / 32, spread=0.0).data
    assert "0.69 in shorter" in said


def test_a_wrong_answer_is_named_then_a_right_one_is_right_and_both_are_kept(tmp_path):
    view = open_lesson("allowance", progress=tmp_path / "mine.json")
    box, exercise = view.exercises, make_exercise("square", 1)
    box.answer.value = f"{exercise.mistakes[0].values[0]} in"
    assert "Allowance forgotten?" in box.said.value
    assert "✗" in box.said.value
    assert "Not yet" in box.said.value
    box.answer.value = f"{exercise.answer} in"
    box.check.click()
    assert "✓" in box.said.value
    assert "Right." in box.said.value
    assert "1 right of 1 answered" in box.count.value
    assert len(read_progress(tmp_path / "mine.json").tries) == 2
    box.how.click()
    assert exercise.solution[0] in box.way.value
    box.next.click()
    assert box.number == 2
    assert box.way.value == ""


def test_nothing_is_written_before_an_answer_and_nothing_at_all_where_pages_are_served(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    open_lesson("braid")
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setenv("SERVER_SOFTWARE", "voila/0.5")
    view = open_lesson("braid")
    view.exercises.answer.value = "3 in"
    assert list(tmp_path.iterdir()) == []


@settings(max_examples=40)
@given(st.text(max_size=60))
def test_what_is_typed_reaches_the_page_as_text_only(typed):
    box = open_lesson("whirl", progress=None).exercises
    box.answer.value = f"<img src=x onerror=alert(1)>{typed}"
    assert "<img" not in box.said.value
    assert "Traceback" not in box.said.value


def test_a_whirl_stops_in_every_order_and_closes_only_with_a_partial_seam_the_right_way_round():
    """24 orders; derived: each rectangle ends against the next, so only the four turns of one direction close."""
    orders = list(permutations(PLACES))
    assert all(sew_whirl(order).stopped for order in orders)
    closed = [order for order in orders if sew_whirl(order, partly=True).done]
    assert closed == [PLACES[k:] + PLACES[:k] for k in range(4)]


def test_the_buttons_of_the_whirl_stop_when_the_rehearsal_does():
    table = open_lesson("whirl", progress=None).children[1]
    for place in PLACES:
        table.buttons[place].click()
    assert "along two sides at once" in table.picture.value
    assert "The rehearsal says" in table.picture.value
    assert all(button.disabled for button in table.buttons.values())
    table.again.click()
    assert "Nothing is sewn yet" in table.picture.value


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: open_lesson("knitting"),
        lambda: open_lesson("braid", "ell"),
        lambda: show_lesson("braid", width=3),
        lambda: show_worked("braid", -1),
        lambda: sew_whirl(("below", "below")),
        lambda: sew_whirl(("north",)),
    ],
)
def test_nonsense_is_refused_in_a_sentence(wrong):
    with pytest.raises(KitError, match="Needed"):
        wrong()
