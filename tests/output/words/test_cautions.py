"""What the printed pattern warns of: what matters to whoever sews from it, in plain words."""

from dataclasses import replace

import pytest

import kit
from kit.model.notices import notice
from kit.output.words.notes import FOR_THE_MAKER, list_cautions

RULE = (notice("share-an-edge"),)


@pytest.fixture(scope="module")
def pattern():
    return kit.make_pattern(kit.open_study("data/studies/ferry-steps.toml"), "quick")


def test_reasons_of_the_placement_stay_with_the_designer(pattern):
    reasons = (
        notice("crowd", slot="sand", patches=("c01-R001", "c01-R002"), rule=RULE, needed=3, fabrics=2),
        notice("odd-ring", slot="sand", count=3, patches=("c01-R001", "c01-R002"), rule=RULE),
        notice("idle-pins", patches=("c01-R009",)),
        notice("clashes", count=4, bound=3),
    )
    assert {one.kind for one in reasons} <= FOR_THE_MAKER
    said = " ".join(list_cautions(replace(pattern, notices=(*pattern.notices, *reasons))))
    assert said == " ".join(list_cautions(pattern))
    assert "`" not in said
    assert "R001" not in said


def test_what_a_stranger_must_know_stays(pattern):
    told = (notice("bias-outside", count=4), notice("crib-size", width=30.0, height=40.0))
    said = list_cautions(replace(pattern, notices=told))
    assert any("4 bias edges" in line for line in said)
    assert any("infant" in line for line in said)
    assert len(said) == len(list_cautions(replace(pattern, notices=()))) + 2
