"""The screen of quick sums and the command: every sum in one form, wrong words in sentences, copied and printed."""

import shlex
import subprocess
import sys

import pytest

import kit
from kit.__main__ import main
from kit.sums.question_list import list_quick_sums
from kit.sums.sum_card import set_card
from kit.sums.sum_command import spell_example


@pytest.mark.parametrize("question", list_quick_sums(), ids=lambda question: question.name)
def test_each_sum_is_answered_by_its_example_as_soon_as_it_is_chosen(question):
    screen = kit.quick()
    screen.pick.value = question.name
    assert screen.answer is not None, screen.status.value
    assert screen.answer.asked.split("\N{NO-BREAK SPACE}")[0] in screen.status.value
    assert screen.text.value == str(screen.answer)


def test_what_is_typed_is_answered_and_a_bare_number_has_the_unit_of_the_system():
    screen = kit.quick("squares")
    screen.fields["cut"].value = "5"
    screen.fields["out_of"].value = "1 yd"
    assert screen.answer["squares"] == 56
    screen.fields["system"].value = "metric"
    assert screen.answer.system == "metric"


@pytest.mark.parametrize("typed", ["a lot", "-3 in", "", "<b>4 in</b>", "5 kg"])
def test_a_wrong_word_is_answered_with_a_sentence_and_the_screen_goes_on(typed):
    screen = kit.quick("squares")
    screen.fields["cut"].value = typed
    assert screen.answer is None
    assert "<b>4" not in screen.status.value
    assert screen.save.disabled
    screen.fields["cut"].value = "5 in"
    assert screen.answer is not None
    assert not screen.save.disabled


def test_the_screen_begins_with_what_is_named():
    screen = kit.quick("half_squares", square="5 in")
    assert screen.answer["finished"] == pytest.approx(4.1464, abs=5e-5)
    with pytest.raises(kit.KitError, match="squares"):
        kit.quick("square")


def test_the_card_is_written_whole_and_asks_for_nothing(tmp_path):
    screen = kit.quick("bed")
    screen.file.value = str(tmp_path / "queen.html")
    screen.write_card()
    page = (tmp_path / "queen.html").read_text(encoding="utf-8")
    assert page == set_card(screen.answer)
    assert "@page{size:6in 4in" in page
    assert "http://" not in page.replace("http://www.w3.org", "")
    assert "<script" not in page
    screen.file.value = str(tmp_path / "none" / "card.html")
    screen.write_card()
    assert "cannot be written" in screen.saved.value
    screen.file.value = "card.exe"
    screen.write_card()
    assert "ends in .html" in screen.saved.value


def test_the_card_escapes_what_was_typed():
    page = set_card(kit.sums.SumAnswer("<b>", ("<script>alert(1)</script>",)))
    assert "<script" not in page
    assert "&lt;script" in page


# the command


@pytest.mark.parametrize("question", list_quick_sums(), ids=lambda question: question.name)
def test_each_example_of_the_list_is_answered_as_it_is_typed(question, capsys):
    assert main(shlex.split(spell_example(question))[1:]) == 0
    said = capsys.readouterr().out
    assert len(said.splitlines()) >= 2


def test_the_list_names_every_sum(capsys):
    assert main(["sum"]) == 0
    said = capsys.readouterr().out
    assert all(question.name.replace("_", "-") in said for question in list_quick_sums())


@pytest.mark.parametrize(
    ("words", "phrase"),
    [(["squares", "5 kg", "--out-of", "1 yd"], "mass"), (["backing"], "one of quilt, cloth"),
     (["binding", "--grain", "bias square", "--quilt", "120 x 120 in", "--width", "20 in"], "larger than the cloth"),
     (["bed", "sofa"], "queen")],
)  # fmt: skip
def test_a_wrong_question_is_told_in_words_and_ends_with_one(words, phrase, capsys):
    assert main(["sum", *words]) == 1
    assert phrase in capsys.readouterr().err


def test_the_command_writes_a_card(tmp_path, capsys):
    card = tmp_path / "sum.html"
    assert main(["sum", "cut-size", "--cut", "5 in", "--card", str(card)]) == 0
    assert card.is_file()
    assert str(card) in capsys.readouterr().out


def test_the_command_is_one_of_the_kit():
    told = subprocess.run(
        [sys.executable, "-m", "kit", "--help"], capture_output=True, text=True, check=True, timeout=60
    )
    assert "answer one question" in told.stdout
