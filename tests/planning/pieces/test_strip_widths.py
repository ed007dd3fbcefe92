"""A roll stays as wide as it is: no piece is wider than its strip, in a metric study either."""

import pytest

import kit
from kit.checks.cutting_words_check import check_cutting_words
from kit.output.words.printed_words import print_cutting


@pytest.fixture(scope="module")
def metric():
    return kit.redraft(kit.make_pattern(kit.open_study("data/studies/tideline.toml")), "metric")


def test_a_roll_of_two_and_a_half_inches_stays_six_centimetres_thirty_five(metric):
    rolls = [fabric for fabric in metric.study.fabrics if fabric.form == "strips"]
    assert {round(fabric.width * 2.54, 6) for fabric in rolls} == {6.35}
    blades = [piece for piece in metric.cut_list.pieces if piece.slot == "blade"]
    assert {round(piece.rounded["strip"] * 2.54, 6) for piece in blades} == {6.35}
    finished = {round(piece.finished["strip"] * 2.54, 6) for piece in blades}
    assert finished == {4.85}  # the strip less two allowances of 0.75 cm


def test_pieces_of_yardage_are_rounded_to_the_ruler_as_ever(metric):
    (accent,) = (piece for piece in metric.cut_list.pieces if piece.slot == "accent")
    assert round(accent.rounded["side"] * 2.54, 6) == 6.4


def test_no_printed_piece_is_wider_than_its_strip(metric):
    printed = print_cutting(metric)
    text = " ".join(line.text for cloth in printed.cloths if cloth.form == "strips" for line in cloth.lines)
    assert "6.35" in text
    assert "6.4" not in text
    assert check_cutting_words(printed)
    assert any("strip 6.35" in piece.cut.replace("\N{NO-BREAK SPACE}", " ") for piece in printed.pieces)


def test_what_the_strips_change_is_said(metric):
    assert any("finished size is" in warning for warning in metric.warnings)
