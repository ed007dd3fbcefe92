"""What the screens have in common: sentences as text, errors in words, tables read from the left."""

import pandas as pd
import pytest

import kit
from kit.explore.screen import MOODS, Screen
from kit.explore.table_writing import write_table


@pytest.fixture
def screen():
    return Screen("seamproof-test")


@pytest.mark.parametrize("mood", MOODS)
def test_what_is_said_is_text_whatever_it_holds(screen, mood):
    screen.say("<script>alert(1)</script> & more", mood)
    assert "<script>" not in screen.message.value
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; more" in screen.message.value


def test_an_error_of_the_maker_keeps_its_remedy_and_any_other_is_a_sentence_too(screen):
    def refuse():
        raise kit.KitError("The strip is 0.3 in wide", needed="a wider one", do="write 2 1/2 in")

    assert not screen.attempt(refuse)
    assert "Write 2 1/2 in" in screen.message.value
    assert not screen.attempt(lambda: 1 / 0)
    assert "ZeroDivisionError" in screen.message.value
    assert "Traceback" not in screen.message.value
    assert screen.attempt(lambda: screen.say("Done.", "done"))


def test_a_study_is_saved_under_the_name_in_the_field_and_a_name_that_cannot_be_is_refused(screen, tmp_path):
    study = kit.open_study("data/studies/tideline.toml")
    name, button = screen.make_save(lambda: study).children
    name.value = str(tmp_path / "mine.toml")
    button.click()
    assert kit.open_study(tmp_path / "mine.toml") == study
    assert "Saved as mine.toml" in screen.message.value
    name.value = str(tmp_path / "nowhere" / "mine.toml")
    button.click()
    assert "Saved" not in screen.message.value
    assert not (tmp_path / "nowhere").exists()


def test_numbered_rows_go_without_their_numbers_and_named_rows_keep_their_names():
    frame = pd.DataFrame({"Cut": ["2½ in", "<b>"]})
    assert "<th>0</th>" not in write_table(frame)
    assert "&lt;b&gt;" in write_table(frame)
    assert "<th>1</th>" not in write_table(frame[1:])
    assert "<th>Finished</th>" in write_table(frame.set_axis(["Finished", "Buy"]))


def test_a_whole_table_keeps_six_figures():
    frame = pd.DataFrame({"Area": [10.5625, 0.00390625]})
    assert "10.5625" in write_table(frame, whole=True)
    assert "0.00390625" in write_table(frame, whole=True)
    assert "10.56<" in write_table(frame)


def test_a_column_may_hold_numbers_and_words_together():
    html = write_table(pd.DataFrame({"Of both": [0.125, "none", None]}, dtype=object), whole=True)
    assert "0.125" in html
    assert "none" in html


def test_a_sentence_in_a_whole_table_has_room_to_be_read_and_stays_text():
    sentence = "Lay <both> right sides together, sew along the line & press the seam open before it is trimmed."
    cells = {"How": [sentence, "as above", "two at a time, pressed open"]}
    html = write_table(pd.DataFrame(cells), whole=True)
    said = [html.count(f'<td class="seamproof-{size}">') for size in ("short", "words", "sentence")]
    assert said == [1, 1, 1]
    assert "Lay &lt;both&gt; right sides together, sew along the line &amp; press" in html
    assert '<td class="seamproof-' not in write_table(pd.DataFrame(cells))
