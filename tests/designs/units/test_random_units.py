"""Random trees of units: they close, areas add up, copies are alike, and what is written is read again."""

from collections import defaultdict
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_designs import Dice, seed_dice
from random_units import STRIPS, draw_units, make_design

from kit.designs import FAMILIES
from kit.errors import NoPlanError
from kit.geometry.congruence import compare_outlines
from kit.geometry.outlines import measure_area
from kit.pipeline import make_pattern
from kit.study import read_study, study_from_keys, study_keys, write_study

TREES = st.randoms(use_true_random=False).map(Dice).map(draw_units)


def build(keys):
    """Return the proved patchwork of the keys of a study."""
    return FAMILIES["units"].model_validate(make_design(keys)).patchwork().verify()


def count_copies(keys, name):
    """Return the number of copies of each family or patch inside a unit, from the words of its table."""
    table = keys["unit"][name]
    if "rows" in table:
        held = [
            word.split("(")[0]
            for _ in range(table.get("down", 1))
            for word in table["rows"][0].split()
            if word != "180)"
        ]
    elif "join" in table:
        held = [text.split(".")[0].split("(")[0] for text in table["join"]]
    elif "around" in table:
        centre = [table["centre"].split(".")[0]] if "centre" in table else []
        held = [table["around"].split(".")[0]] * table["times"] + centre
    elif "block" in table:
        held = [table["block"]] * table["columns"]
    else:
        return {name: 1}
    counts = defaultdict(int)
    for one in held:
        for leaf, count in count_copies(keys, one).items():
            counts[leaf] += count
    return dict(counts)


@settings(max_examples=60)
@given(TREES)
def test_the_area_of_a_top_is_that_of_the_copies_of_its_smallest_units(keys):
    top = build(keys)
    counts = count_copies(keys, keys["design"]["top"])
    leaves = sum(
        count * build({"design": {**keys["design"], "top": leaf}, "unit": keys["unit"]}).area
        for leaf, count in counts.items()
    )
    framed = sum(measure_area(p.outline) for p in top.patches if p.name in ("border", "frame", "sash"))
    assert top.area == pytest.approx(leaves + framed, rel=1e-9)


@settings(max_examples=60)
@given(TREES)
def test_copies_of_a_unit_are_turned_or_mirrored_images_of_one_another(keys):
    top = build(keys)
    likes = compare_outlines([patch.outline for patch in top.patches])
    middles = [np.mean(patch.outline, axis=0) for patch in top.patches]
    copies = defaultdict(lambda: defaultdict(list))
    for number, patch in enumerate(top.patches):
        for depth, within in enumerate(patch.group):
            copies[within.unit][patch.group[: depth + 1]].append(number)
    for unit, found in copies.items():
        readings = []
        for members in found.values():
            apart = sorted(
                (*sorted((likes[i].shape, likes[j].shape)), float(np.hypot(*(middles[i] - middles[j]))))
                for i in members
                for j in members
                if i <= j and abs(measure_area(top.patches[i].outline)) > 0
            )
            readings.append(([pair[2] for pair in apart], [top.patches[i].slot for i in members]))
        for (one, slots), (two, others) in pairwise(readings):
            assert sorted(one) == pytest.approx(sorted(two), abs=1e-6), unit
            assert sorted(slots) == sorted(others)


@settings(max_examples=40)
@given(TREES, st.sampled_from(STRIPS), st.integers(5, 9))
def test_another_strip_and_another_count_leave_a_tree_closed(keys, strip, pairs):
    if "braid" in keys["unit"]:
        keys["unit"]["braid"]["pairs"] = pairs
    if "geese" in keys["unit"]:
        keys["unit"]["geese"]["geese"] = pairs
    build({**keys, "design": {**keys["design"], "strip_cut": strip}})


def make_study(keys):
    """Return the study of random keys, a fabric for each slot."""
    slots = build(keys).slots
    fabrics = [
        {"slot": slot, "name": f"{slot} cloth", "colour": f"#{40 + 9 * n:02x}8090"} for n, slot in enumerate(slots)
    ]
    return study_from_keys({"title": "Random tree", "seed": 1, **keys, "fabric": fabrics})


@settings(max_examples=40)
@given(TREES)
def test_a_study_of_units_that_is_written_and_read_again_is_the_same_study(keys):
    study = make_study(keys)
    again = read_study(write_study(study))
    assert again == study
    assert again.design.unit.thaw() == keys["unit"]
    assert study_keys(study)["unit"] == keys["unit"]


@pytest.mark.parametrize("seed", range(8))
def test_every_plan_of_a_random_tree_is_proved_by_its_rehearsal(seed):
    study = make_study(draw_units(seed_dice(seed)))
    try:
        pattern = make_pattern(study, "quick")
    except NoPlanError as error:
        pytest.skip(str(error))
    assert pattern.rehearsal.agrees
    assert pattern.rehearsal.finished == pytest.approx(pattern.patchwork.finished, abs=1e-4)
