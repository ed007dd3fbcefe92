"""Steps put together: each stands once and in order, every picture numbers them, and a row is known for a row."""

from dataclasses import replace

import pytest
from printed import pattern_of

from kit.output.pictures.step_runs import draw_run
from kit.output.words.pressing_sets import list_sets, place_copies
from kit.output.words.step_words import StepSentences


def groups_of(name):
    plan = pattern_of(name).sewing
    return [group for unit in plan.units for group in plan.list_written(unit.name)]


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel", "tideline", "slipway", "gull-point"])
def test_every_step_is_in_one_group_and_their_order_is_kept(name):
    numbers = [step.number for group in groups_of(name) for step in group]
    assert sorted(numbers) == [step.number for step in pattern_of(name).sewing.steps]
    assert all(group[i].number + 1 == group[i + 1].number for group in groups_of(name) for i in range(len(group) - 1))


@pytest.mark.parametrize("name", ["tideline", "slipway", "gull-point"])
def test_each_step_of_a_group_adds_to_all_that_the_one_before_made(name):
    together = [group for group in groups_of(name) if len(group) > 1]
    assert together
    for group in together:
        made = {*group[0].first, *group[0].second}
        for step in group[1:]:
            assert step.kind in ("join", "set in")
            assert not step.ragged
            assert set(step.first) == made if step.second else set(step.first) <= made
            made |= set(step.second)


def test_a_flight_of_geese_is_one_row_and_a_panel_of_diamonds_is_shared_out():
    assert max(len(group) for group in groups_of("gull-point")) >= 17
    parts = [sum(bool(step.second) for step in group) for group in groups_of("slipway") if len(group) > 1]
    assert len(parts) > 5
    assert max(parts) <= 14


@pytest.mark.parametrize("name", ["lamplight", "slipway", "tideline"])
def test_the_picture_of_a_group_numbers_each_part_and_the_words_name_each_step(name):
    pattern = pattern_of(name)
    writer = StepSentences(pattern, pattern.sewing)
    for group in [group for group in groups_of(name) if len(group) > 1][:3]:
        drawing = draw_run(pattern, group, writer)
        assert [note.text for note in drawing.notes] == [f"{step.told}" for step in group if step.second]
        left, bottom, right, top = drawing.box
        assert all(left < note.at[0] < right and bottom < note.at[1] < top for note in drawing.notes)
        said = [number for number, *_ in writer.say_steps(group).items]
        assert sorted(n for one in said for n in read_numbers(one)) == [step.told for step in group]


def read_numbers(said):
    """Return the numbers of steps that an item of a list names: "7", "7 to 9" or "7 to 11, every second"."""
    low, _, rest = said.partition(" to ")
    high, _, every = rest.partition(", every ")
    return range(int(low), int(high or low) + 1, {"": 1, "second": 2, "third": 3, "fourth": 4}[every])


def test_steps_that_are_trimmed_sewn_in_two_stages_or_uneven_stay_by_themselves():
    plan = pattern_of("millwheel").sewing
    alone = {group[0].number for group in groups_of("millwheel") if len(group) == 1}
    assert {step.number for step in plan.steps if step.ragged or step.kind in ("partial", "close", "trim")} <= alone


def turn_back(pattern, unit, copies):
    steps = [
        replace(step, press="second", pressed_back=copies if step.unit == unit else ()) for step in pattern.sewing.steps
    ]
    return replace(pattern.sewing, steps=tuple(steps))


def test_copies_that_are_pressed_the_other_way_are_a_set_that_later_steps_name():
    pattern = pattern_of("ferry-steps")
    plan = turn_back(pattern, "block", tuple(range(10, 20)))
    assert list_sets(plan)["block"] == (tuple(range(10)), tuple(range(10, 20)))
    writer = StepSentences(pattern, plan)
    first = next(step for step in plan.steps if step.unit == "block")
    assert "toward the added part, but away from the added part in set 2 (10)" in writer.say(first)
    later = [writer.say(step) for step in plan.steps if step.unit == "row 1"]
    assert any("of set 1" in said or "of set 2" in said for said in later)


def test_units_that_take_copies_of_different_sets_are_sets_themselves():
    pattern = pattern_of("ferry-steps")
    rows = next(unit for unit in pattern.sewing.units if unit.name == "row 1")
    blocks = next(unit for unit in pattern.sewing.units if unit.name == "block")
    first = next(i for i, copy in enumerate(blocks.copies) if set(copy) <= set(rows.copies[0]))
    taken = place_copies(rows, blocks, first)
    plan = turn_back(pattern, "block", (taken[0],))
    assert len(set(taken)) == rows.count
    assert len(list_sets(plan)["row 1"]) == 2
    assert len(list_sets(turn_back(pattern, "block", tuple(range(20))))["row 1"]) == 1
