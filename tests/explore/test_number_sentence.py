"""The numbers of the sentence: every family has them, and they are the controls' own, with one history."""

import pytest

import kit
from kit.designs import FAMILIES
from kit.explore.gallery import make_example
from kit.explore.number_sentence import SENTENCES
from kit.lengths import read_length
from kit.study import study_from_keys, study_keys

PLAIN = [family for family in FAMILIES if family not in ("units", "lines", "outlines")]


def find_numbers(explorer):
    return {number.quantity.path: number for number in explorer._sentence.children[0].numbers}


def find_control(explorer, path):
    return next(control for control in explorer._panel.controls if control.quantity.path == path)


@pytest.mark.parametrize("family", PLAIN)
def test_every_number_of_every_family_is_moved_by_its_buttons_and_undone(family):
    explorer = kit.explore(study_from_keys(study_keys(make_example(family, {}).study)))
    explorer.history._together = 0.0
    assert family in SENTENCES
    first = explorer.study
    moved = 0
    for path, number in find_numbers(explorer).items():
        if number.layout.display == "none":
            continue
        before = number.field.value
        number.more.click()
        assert number.field.value != before, path
        if not explorer.refused:
            moved += 1
            place = study_keys(explorer.study)["design"][path[1]]
            place = place[0] if isinstance(place, list) else place
            shown = number.field.value
            same = read_length(place) == read_length(shown) if isinstance(place, str) else str(place) == shown
            assert same, path
        explorer.undo()
        assert number.field.value == before
        assert explorer.study == first
    assert moved


def test_a_number_is_typed_in_any_notation_and_its_control_follows():
    explorer = kit.explore("data/studies/tideline.toml")
    number = find_numbers(explorer)["design", "strip_cut"]
    for text, inches in (("2 1/4", 2.25), ("2¾", 2.75), ("2.5 in", 2.5), ("6,5 cm", 6.5 / 2.54)):
        number.field.value = text
        assert explorer.study.design.strip_cut == pytest.approx(inches)
        assert find_control(explorer, ("design", "strip_cut")).inches == pytest.approx(inches)
    find_control(explorer, ("design", "columns")).value = 5
    assert find_numbers(explorer)["design", "columns"].field.value == "5"


def test_a_length_between_two_steps_goes_to_the_next_step_and_only_when_it_is_moved():
    explorer = kit.explore("data/studies/tideline.toml")
    number = find_numbers(explorer)["design", "strip_cut"]
    number.field.value = "2 5/16 in"
    assert explorer.study.design.strip_cut == 2.3125
    number.more.click()
    assert explorer.study.design.strip_cut == 2.375
    number.less.click()
    assert explorer.study.design.strip_cut == 2.25


def test_what_is_not_a_number_is_told_in_words():
    explorer = kit.explore("data/studies/tideline.toml")
    find_numbers(explorer)["design", "columns"].field.value = "several"
    assert "“several” is not a count" in explorer.message.value
    assert find_numbers(explorer)["design", "columns"].field.value == "3"
    find_numbers(explorer)["design", "strip_cut"].field.value = "wide"
    assert explorer.refused
    assert "last one that could be built" in explorer.message.value
    explorer.undo()
    assert find_numbers(explorer)["design", "columns"].field.value == "3"


def test_the_numbers_of_units_are_told_by_their_names():
    explorer = kit.explore("data/studies/boat-shed.toml")
    numbers = find_numbers(explorer)
    assert {path for path in numbers if path[0] == "unit"}
    path = next(path for path, number in numbers.items() if number.quantity.kind == "count")
    before = int(numbers[path].field.value)
    numbers[path].more.click()
    assert int(find_numbers(explorer)[path].field.value) == before + 1
