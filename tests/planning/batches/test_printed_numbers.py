"""The numbers of printed steps: 1, 2, 3 in the order of printing, the same wherever a step is named."""

import re
from dataclasses import replace

import pytest
from printed import pattern_of

import kit
from kit.checks.batch_check import check_making_plan
from kit.errors import CheckError, KitError
from kit.explore.walkthrough import Walkthrough
from kit.model.making import MakingPlan
from kit.output.document.sewing_parts import list_units
from kit.output.words.chain_words import list_chains
from kit.planning.batches.printed_numbers import number_printed
from kit.testers.print_records import make_record
from kit.testers.questions import list_questions


def list_cards(pattern):
    """Return the numbers of the steps on each printed card that has any."""
    cards = [card["number"] for unit in list_units(pattern)[0] for card in unit["steps"] if card["number"]]
    ends = [[int(number) for number in re.findall(r"\d+", card)] for card in cards]
    return [list(range(found[0], found[-1] + 1)) for found in ends]


@pytest.mark.parametrize("name", ["saltmarsh", "gull-point", "town-quay", "tideline"])
def test_cards_are_numbered_from_one_in_the_order_of_printing(name):
    pattern = pattern_of(name)
    numbers = [number for card in list_cards(pattern) for number in card]
    assert numbers == list(range(1, len(numbers) + 1))
    assert numbers == [step.told for step in pattern.sewing.steps if step.told]


@pytest.mark.parametrize("name", ["saltmarsh", "gull-point", "town-quay"])
def test_every_other_place_calls_a_step_by_its_printed_number(name):
    pattern = pattern_of(name)
    told = {step.told: step for step in pattern.sewing.steps if step.told}
    last = {step.unit: step.told for step in pattern.sewing.steps}
    for line in list_chains(pattern):
        for number, unit in re.findall(r"of step (\d+), ([^;(]+)", line.sew):
            assert told[int(number)].unit == unit.strip()
    assert {row["Step"] for row in kit.tables.steps(pattern).to_dict("records")} - {"–"} == set(told)
    asked = list_questions(pattern)
    assert asked.steps == len(told)
    for size in asked.sizes:
        assert size.step == last[size.unit] if size.whole else told[size.step].unit == size.unit
    assert len({size.place for size in asked.sizes}) == len(asked.sizes)
    assert [step.number for step in make_record(pattern).steps] == list(told)
    walk = Walkthrough(pattern, pattern.sewing)
    assert walk.slider.max == len(told)
    walk.slider.value = 2
    assert "<b>2.</b>" in walk.picture.value
    assert "<b>2.</b>" in kit.show_step(pattern, 2).data
    with pytest.raises(KitError, match=f"1 to {len(told)}"):
        kit.show_step(pattern, len(told) + 1)


def test_without_batches_every_step_is_printed_under_its_own_number():
    pattern = pattern_of("tideline")
    plan = number_printed(pattern.sewing, MakingPlan((), pattern.cut_list, pattern.cut_list.pieces))
    assert [step.told for step in plan.steps] == [step.number for step in plan.steps]


def test_a_plan_that_nobody_numbered_calls_steps_by_their_own_numbers():
    steps = pattern_of("saltmarsh").sewing.steps
    assert [replace(step, printed=None).told for step in steps] == [step.number for step in steps]


@pytest.mark.parametrize("damage", ["shown", "hidden", "swapped"])
def test_refuses_numbers_that_skip_or_count_what_comes_ready(damage):
    pattern = pattern_of("gull-point")
    steps = list(pattern.sewing.steps)
    ready = next(i for i, step in enumerate(steps) if not step.told)
    first = next(i for i, step in enumerate(steps) if step.told)
    changes = {"shown": {ready: 1}, "hidden": {first: 0}, "swapped": {first: 2, first + 1: 1}}[damage]
    for place, number in changes.items():
        steps[place] = replace(steps[place], printed=number)
    sewing = replace(pattern.sewing, steps=tuple(steps))
    facts = pattern.patchwork, pattern.cut_list, sewing, pattern.colouring.assignment, pattern.making
    with pytest.raises(CheckError, match="is printed as"):
        check_making_plan(*facts)
