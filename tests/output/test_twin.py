"""The twin of the printed instructions: followed, it gives the quilt; with any one number changed, it is refused."""

import copy
import json

import pytest
from printed import pattern_of

from kit.errors import KitError
from kit.output.instructions import StepWriter
from kit.output.twin import read_twin, write_twin
from kit.passes.rehearsal import rehearse


def find_fault(twin, target):
    """Return what the printed figures contradict, the first difference of the rehearsal, or nothing."""
    try:
        pieces, plan = read_twin(twin, target)
    except KitError as error:
        return str(error)
    rehearsal = rehearse(pieces, plan)
    if not rehearsal.agrees:
        return rehearsal.differences[0]
    off = max(abs(a - b) for a, b in zip(rehearsal.finished, twin["finished"], strict=True))
    return f"the finished size is {off} in off" if off > 1e-6 else ""


def list_numbers(value, path=()):
    if isinstance(value, dict | list):
        for key, entry in value.items() if isinstance(value, dict) else enumerate(value):
            yield from list_numbers(entry, (*path, key))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def change(twin, path):
    """Return a copy with one number changed: counts by one, lengths by a sixteenth of an inch."""
    changed = copy.deepcopy(twin)
    place = changed
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] += 1 if isinstance(place[path[-1]], int) else 0.0625
    return changed


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel", "tideline", "slipway"])
def test_following_the_twin_gives_the_quilt(name):
    pattern = pattern_of(name)
    twin = json.loads(json.dumps(write_twin(pattern)))
    assert find_fault(twin, pattern.sewing.target) == ""


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel"])
def test_the_steps_of_the_twin_are_those_that_are_printed(name):
    pattern = pattern_of(name)
    _, plan = read_twin(json.loads(json.dumps(write_twin(pattern))), pattern.sewing.target)
    ours, theirs = StepWriter(pattern, plan), StepWriter(pattern, pattern.sewing)
    for mine, step in zip(plan.steps, pattern.sewing.steps, strict=True):
        if not step.press:
            assert ours.say(mine) == theirs.say(step)


def test_any_single_number_that_is_changed_is_caught():
    pattern = pattern_of("ferry-steps")
    twin = json.loads(json.dumps(write_twin(pattern)))
    paths = list(list_numbers(twin))
    missed = [path for path in paths if not find_fault(change(twin, path), pattern.sewing.target)]
    assert len(paths) > 300
    assert missed == []


def test_any_printed_number_of_a_partial_seam_is_caught():
    pattern = pattern_of("millwheel")
    twin = json.loads(json.dumps(write_twin(pattern)))
    paths = [path for path in list_numbers(twin) if "sewn" in path or path[-1] == "partial_seams"]
    assert len(paths) >= 5
    assert all(find_fault(change(twin, path), pattern.sewing.target) for path in paths)
