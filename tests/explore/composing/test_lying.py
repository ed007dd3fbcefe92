import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import PatchworkError
from kit.explore.composing.lying import Lying, list_hanging, mirror_lying, read_lying, take_lying, write_lying
from kit.explore.composing.unit_uses import list_used, list_users, list_within, map_units, mark_units

EDGES = ("left", "right", "end", "short 1", "edge 3")


@st.composite
def tables(draw):
    """Draw what could lie on a table: three units, each joined to any earlier one."""
    names = st.sampled_from(("arm", "star", "a-2"))
    first = Lying(draw(names), draw(st.booleans()), draw(st.sampled_from((0.0, 90.0, 22.5))))
    laid = [first]
    for i in range(draw(st.integers(0, 8))):
        place = draw(st.sampled_from((None, "start", "middle", "end")))
        shift = draw(st.sampled_from(("", "2 in", "arm.left - 1 strip"))) if place else ""
        laid.append(
            Lying(
                draw(names), draw(st.booleans()), 0.0, draw(st.sampled_from(EDGES)), draw(st.integers(0, i)),
                draw(st.sampled_from(EDGES)), place, shift,
            )
        )  # fmt: skip
    return tuple(laid)


@given(tables())
def test_what_lies_is_written_and_read_back_the_same(table):
    assert read_lying(write_lying(table), "join") == table


@given(tables(), st.integers(0, 8))
def test_mirroring_twice_changes_nothing(table, at):
    at %= len(table)
    assert mirror_lying(mirror_lying(table, at), at) == table


@given(tables(), st.integers(0, 8))
def test_taking_one_away_takes_all_that_hang_on_it_and_nothing_else(table, at):
    at %= len(table)
    gone = list_hanging(table, at)
    kept = [i for i in range(len(table)) if i not in gone]
    left = take_lying(table, at)
    assert [(one.name, one.edge) for one in left] == [(table[i].name, table[i].edge) for i in kept]
    assert [kept[one.host] for one in left if one.host >= 0] == [table[i].host for i in kept if table[i].host >= 0]
    assert all(table[i].host in gone for i in gone if i != at)


def test_a_text_that_joins_to_what_is_not_there_is_refused_with_what_is():
    with pytest.raises(PatchworkError, match=r"no unit so far `arm 3`.*one of `arm`"):
        read_lying(["arm", "arm.left to arm.left", "arm.left to arm 3.left"], "join")


UNITS = {
    "arm": {"family": "braid", "pairs": 5},
    "star": {"patch": "square", "side_finished": "arm.left - 2 strips", "slot": "arm", "name": "arm"},
    "row": {"rows": ["arm star*2 arm(mirror)", "star arm(90) star"], "spacer_slot": "arm"},
    "half": {"join": ["arm", "star.left to arm.left, start arm.end", "row.left to star.right"]},
    "ring": {"around": "half.edge 1", "centre": "star", "times": 4},
    "whole": {"block": "ring", "border": [{"pieces": "units", "sides": ["arm*5 star"], "corner_unit": "star"}]},
}


def test_a_unit_is_found_wherever_it_is_named_and_nowhere_else():
    assert list_used(UNITS["star"], UNITS) == ("arm",)
    assert list_used(UNITS["half"], UNITS) == ("arm", "star", "row")
    assert list_used(UNITS["whole"], UNITS) == ("ring", "arm", "star")
    assert list_users("arm", {"design": {"lengths": {"a": "2 arm.left"}}, "unit": UNITS}) == (
        "star", "row", "half", "whole", "the design",
    )  # fmt: skip
    assert set(list_within("ring", UNITS)) == {"ring", "half", "star", "arm", "row"}


def test_renaming_there_and_back_gives_the_same_tables():
    there = map_units(UNITS, lambda name: {"arm": "blade-12"}.get(name, name))
    assert there["half"]["join"][:2] == ["blade-12", "star.left to blade-12.left, start blade-12.end"]
    assert there["star"]["slot"] == "arm"
    assert there["row"]["rows"] == ["blade-12 star*2 blade-12(mirror)", "star blade-12(90) star"]
    assert map_units(there, lambda name: {"blade-12": "arm"}.get(name, name)) == UNITS


def test_a_mark_changes_with_what_a_unit_is_made_of_and_with_nothing_else():
    before = mark_units(UNITS, {})
    after = mark_units({**UNITS, "row": {"rows": ["star"]}}, {})
    assert {name for name in UNITS if before[name] != after[name]} == {"row", "half", "ring", "whole"}
    assert all(before[name] != mark for name, mark in mark_units(UNITS, {"strip": 2.5}).items())
