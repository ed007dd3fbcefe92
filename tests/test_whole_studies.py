"""Whole studies: some that seeds give, those that failed once, and the simpler ways; the sweep is whole_sweep.py."""

import json

import pytest
import tomli_w
from in_a_child import Outcome, run_in_child
from random_designs import seed_dice
from smallest_studies import count_keys, reduce_study
from whole_studies import draw_cloth, draw_whole, list_tables, mutate
from whole_sweep import choose_keys, make_whole

from kit import pipeline
from kit.errors import CheckError
from kit.output.files.twin import write_twin
from kit.study.read_file import read_study
from kit.study.study_keys import StudyKeys

FOUR = {
    "family": "grid blocks",
    "pattern": ["tide kelp", "kelp tide"],
    "cell_finished": "3 in",
    "columns": 2,
    "rows": 2,
}
PLAIN = [
    {"slot": "tide", "name": "Tide", "colour": "#123456", "form": "yardage", "width": "42 in"},
    {"slot": "kelp", "name": "Kelp", "colour": "#abcdef", "form": "yardage", "width": "42 in"},
]


def make_keys(**cloth):
    """Return the keys of four four-patches, their first fabric with some keys changed."""
    return {"title": "Bollard", "design": FOUR, "fabric": [PLAIN[0] | cloth, PLAIN[1]]}


PINNED = {
    "a cloth that yields nothing was written with the size of its first strip": {"form": "squares", "width": "2 in"},
    "strips lower than a repeat: the box of whole repeats was cut down to the strip": {
        "form": "strips", "width": "3.5 in", "repeat": "20 in",
    },
    "a remnant that lies across: its words were read as if it lay along": {
        "form": "remnant", "width": "20 in", "length": "9 in",
    },
    "pieces a little lower than a pre-cut: the whole pre-cut was taken for their side, and no word cut it down": {
        "form": "strips", "width": "3.56 in",
    },
    "a remnant thinner than a step of the ruler: the least number was a division by zero": {
        "form": "remnant", "width": "20 in", "length": "0.05 in",
    },
}  # fmt: skip


BORDERED = {
    "stripes along a piece: it stood higher than the cloth, and was cut down to it": (
        2, {"finished": "3 in"}, {"form": "fat eighth", "width": "42 in", "stripes": "along"},
    ),
    "a mitred border of joined lengths was drawn as angled pieces that lie in a strip": (
        9, {"finished": "2 in", "corners": "mitred"}, {"form": "strips", "width": "2.5 in"},
    ),
    "joined lengths of pre-cuts with a repeat were told as if the print ran on over the seams": (
        9, {"finished": "1 3/8 in"}, {"form": "fat eighth", "width": "42 in", "repeat": "0.25 in"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BORDERED)
def test_borders_that_failed_once_are_made(name):
    blocks, border, cloth = BORDERED[name]
    design = FOUR | {"columns": blocks, "rows": blocks, "border": [border]}
    fabrics = [*PLAIN, {"slot": "border", "name": "Rope", "colour": "#888888"} | cloth]
    found = run_in_child(make_whole, {"title": "Bollard", "design": design, "fabric": fabrics})
    assert found.kind == "made", found


@pytest.mark.parametrize("name", PINNED)
def test_cloth_that_failed_once_gives_a_pattern_or_a_sentence(name):
    found = run_in_child(make_whole, make_keys(**PINNED[name]))
    assert found.kind in ("made", "refused"), found


def test_cloth_that_is_too_small_for_anything_is_written_as_short():
    pattern = pipeline.make_pattern(read_study(tomli_w.dumps(make_keys(form="squares", width="2 in"))), "quick")
    assert pattern.cutting.short["tide"]
    assert json.dumps(write_twin(pattern))


@pytest.mark.slow
@pytest.mark.parametrize("mutants", [False, True], ids=["whole", "mutants"])
@pytest.mark.parametrize("block", range(4))
def test_some_whole_studies_are_made_or_refused_in_words(block, mutants):
    for seed in range(5000 + 10 * block, 5010 + 10 * block):
        found = run_in_child(make_whole, choose_keys(seed, mutants=mutants))
        assert not found.bad, (seed, found)


def test_every_table_of_the_file_is_drawn():
    drawn = {table for seed in range(16) for table in draw_whole(seed)}
    assert drawn >= {*list_tables(), "design", "fabric", "title"} - {"date"}
    dice = seed_dice(1)
    fabric = {key for _ in range(1500) for one in draw_cloth(dice, "tide") for key in one}
    (keys, _) = StudyKeys.model_fields["fabric"].annotation.__args__
    assert fabric >= set(keys.model_fields) - {"picture", "cloth"}
    assert draw_whole(3) == draw_whole(3)
    assert mutate(draw_whole(3), 3) != draw_whole(3)


# The child and the reducer themselves


def fail_as_asked(keys):
    """Do in a child what the keys say."""
    if keys["do"] == "raise":
        raise IndexError("out of range")
    if keys["do"] == "refuse":
        raise CheckError("it is refused")
    while keys["do"] == "hang":
        pass
    if keys["do"] == "eat":
        return "made", str(len(bytearray(10**9))), ""
    return "made", "", ""


@pytest.mark.parametrize(
    ("do", "kind"),
    [("raise", "raw"), ("refuse", "own plan"), ("hang", "hung"), ("eat", "memory"), ("nothing", "made")],
)
def test_a_child_tells_what_became_of_its_study(do, kind):
    found = run_in_child(fail_as_asked, {"do": do}, seconds=2, memory=300 * 1024**2)
    assert found.kind == kind, found
    assert found.bad == (kind != "made")


def test_a_study_that_fails_is_made_small():
    keys = draw_whole(5)
    keys["finishing"] = {"binding_finished": "1/4 in", "extra": [1, 2, 3, 4, 5, 6, 7, 8]}

    def fails(smaller):
        return 6 in smaller.get("finishing", {}).get("extra", ()) and bool(smaller.get("title"))

    small = reduce_study(keys, fails)
    assert small == {"title": keys["title"], "finishing": {"extra": [6]}}
    assert count_keys(small) == 4


# A check that refuses the kit's own plan


def refuse_twice(monkeypatch, name, times):
    """Let a check of the pipeline refuse the first plans that it sees."""
    seen = []
    check = getattr(pipeline, name)

    def refuse(*what):
        seen.append(what)
        if len(seen) <= times:
            raise CheckError("a unit comes out too small")
        return check(*what)

    monkeypatch.setattr(pipeline, name, refuse)


@pytest.mark.parametrize(
    ("times", "said"),
    [(1, ("by itself",)), (2, ("plain rows",)), (3, ("by itself", "plain rows")), (4, ("in the ditch",))],
)
def test_a_plan_that_its_check_refuses_is_made_in_a_simpler_way_with_a_warning(monkeypatch, times, said):
    study = read_study(tomli_w.dumps(make_keys()))
    refuse_twice(monkeypatch, "check_making_plan", times)
    pattern = pipeline.make_pattern(study, "quick")
    assert pattern.study == study
    warned = [text for text in pattern.warnings if "a unit comes out too small" in text]
    assert len(warned) == len(said)
    assert all(words in text for words, text in zip(said, warned, strict=True))


def test_a_plan_refused_in_every_way_says_what_still_works(monkeypatch):
    refuse_twice(monkeypatch, "check_making_plan", 99)
    with pytest.raises(CheckError, match=r"too small.*nothing is written.*still shown"):
        pipeline.make_pattern(read_study(tomli_w.dumps(make_keys())), "quick")


def test_a_refusal_is_not_counted_as_a_fault():
    assert not Outcome("refused", "", "").bad
    assert not Outcome("no plan", "", "").bad
