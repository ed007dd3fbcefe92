"""The finishing in sentences: every figure is one of the plan, and each way of doing it is told as it is done."""

import re

import pytest

import kit
from kit.lengths import read_length
from kit.model.finishing import FinishingWishes, TopFacts, find_usual
from kit.output.words.finishing_words import describe_finishing, list_finishing_steps
from kit.planning.finishing.finishing_plan import finishing_plan


def steps(width=60.0, height=80.0, top=None, **wishes):
    found = describe_finishing(finishing_plan(width, height, FinishingWishes(**wishes), top))
    return {heading: " ".join(lines).replace("\N{NO-BREAK SPACE}", " ") for heading, lines in found}


def test_the_parts_come_in_the_order_of_working_and_what_is_not_there_is_left_out():
    order = ["Backing", "Layers", "Quilting and thread", "Binding", "Hanging sleeve", "Label", "Washing and care"]
    assert list(steps()) == order
    assert list(steps(sleeve=False, top=TopFacts(borders=(3.0,)))) == ["Borders", *order[:4], *order[5:]]


def test_a_pattern_tells_its_own_finishing_with_the_thread_and_gap_of_its_quilting():
    pattern = kit.make_pattern(kit.open_study("data/studies/ferry-steps.toml"))
    told = dict(list_finishing_steps(pattern))
    alone = dict(describe_finishing(pattern.finishing))
    assert told["Quilting and thread"][1:] == alone.pop("Quilting and thread")
    assert {heading: told[heading] for heading in alone} == alone
    assert told["Quilting and thread"][0].startswith("Quilt along the drawn lines")
    assert all(line.endswith((".", "care card")) for lines in told.values() for line in lines)
    assert any("widest unquilted gap" in line for line in told["Quilting and thread"])


def test_borders_say_which_strips_come_first_and_how_corners_are_made():
    said = steps(top=TopFacts(borders=(5.0,)))["Borders"]
    assert "sewn first, two strips of 70½ in; sewn last, across the others, two strips of 60½ in" in said
    assert "about ¾ in along a side and about ½ in along an end" in said
    turned = steps(top=TopFacts(borders=(5.0,), ends_first=(True,)))["Borders"]
    assert "sewn last, across the others, two strips of 80½ in; sewn first, two strips of 50½ in" in turned
    assert "45°" in steps(top=TopFacts(borders=(5.0,), corners=("mitred",)))["Borders"]
    stones = steps(top=TopFacts(borders=(5.0,), corners=("cornerstones",)))["Borders"]
    assert stones.count("two strips") == 2
    assert "for the sides, left and right" in stones
    assert "for the ends, at the top and the bottom" in stones
    assert "two strips of 70½ in" in stones
    assert "two strips of 50½ in" in stones
    assert "square" in stones


def test_a_diagonal_backing_is_one_length_cut_once():
    said = steps(44.0, 60.0, backing="diagonal")["Backing"]
    assert said.startswith("Cut one length of 40 in × ")
    assert "once from corner to corner" in said
    assert "Cut (2)" not in said


def test_each_way_of_a_backing_names_what_is_cut():
    assert "Cut (2) 40 in × 88 in." in steps()["Backing"]
    assert "Keep the leftovers: 11 in × 88 in. The sleeve is cut from them." in steps()["Backing"]
    wide = steps(backing="wide")["Backing"]
    assert wide.startswith("Use wide backing cloth, 106 in usable. Cut one length of 68 in × 106 in.")
    hand = steps(40.0, 40.0, on_hand=((26.0, 50.0), (25.0, 48.0)))["Backing"]
    assert "26 in × 50 in" in hand
    assert "25 in × 48 in" in hand


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({}, "Cut (8) strips 2½ in wide across the cloth. Join strips at a right angle"),
        ({"binding_fold": "single"}, "under by a quarter"),
        ({"binding_join": "straight"}, "straight seam"),
        ({"binding_grain": "bias square", "binding_width": 60.0}, "Cut a square of"),
        ({"binding_grain": "bias lengths"}, "at 45° to the selvage"),
    ],
)
def test_each_way_of_a_binding_is_told(wishes, words):
    assert words in steps(**wishes)["Binding"]


def test_a_first_strip_that_is_cut_shorter_is_told_with_its_length():
    plan = finishing_plan(66.0, 66.0)
    assert plan.binding.lengths[0] == 39.25
    assert "Cut the first of them to 39¼ in" in steps(66.0, 66.0)["Binding"]


def test_left_over_cloth_is_named_with_its_lengths():
    said = steps(top=TopFacts(left_over=((42.0, 5.0),)), left_over_first=True)["Binding"]
    assert "Cut (2) strips 2½ in wide from the cloth left over from the top: 42 in, 42 in long. Cut (6) strips" in said


def test_the_place_to_begin_is_the_closing_join_of_the_plan():
    plan = finishing_plan(60.0, 80.0)
    (closing,) = (join for join in plan.binding.joins if join.closing)
    said = steps()["Binding"]
    found = re.search(r"Begin at the (\w+), (?:about )?([^,]+) from the ([\w ]+) corner", said)
    assert found[1] == closing.side
    assert read_length(found[2]) == pytest.approx(closing.along, abs=1 / 16)
    ends = {"lower right": (60, 0), "lower left": (0, 0), "upper left": (0, 80), "upper right": (60, 80)}
    corner = ends[found[3]]
    walked = abs(corner[0] - closing.at[0]) + abs(corner[1] - closing.at[1])
    assert walked == pytest.approx(closing.along)


def test_a_metric_quilt_is_told_in_centimetres_and_metres_alone():
    top = TopFacts(system="metric", allowance=0.75 / 2.54, step=0.1 / 2.54, borders=(3.0,))
    plan = finishing_plan(60.0, 80.0, find_usual("metric"), top)
    text = " ".join(line for _, lines in describe_finishing(plan) for line in lines)
    assert not re.search(r"\d[\s\N{NO-BREAK SPACE}](?:in|yd)\b", text)
    assert "10\N{NO-BREAK SPACE}cm beyond the top" in text


def test_a_name_of_the_study_stays_text():
    said = steps(top=TopFacts(title="{braces} <b>"))["Label"]
    assert "{braces} <b>" in said
