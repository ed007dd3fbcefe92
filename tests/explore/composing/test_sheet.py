from copy import deepcopy
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit.errors import KitError
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.table import NEW
from kit.study import read_study, study_from_keys

SQUARE = {"patch": "square", "side_finished": "6 in", "slot": "light"}
WING = {"patch": "right triangle", "long_finished": "6 in", "slot": "sky"}
BAR = {"patch": "rectangle", "width_finished": "6 in", "height_finished": "2 in", "slot": "sand"}
POINT = {"patch": "diamond", "side_finished": "4 in", "slot": "point"}


def make_sheet(**units):
    sheet = ComposeSheet(study_from_keys(NEW))
    for name, table in units.items():
        sheet.add(name, table)
    return sheet


def list_labels(sheet):
    return [edge.label for edge in sheet.shown.laid.free]


def test_an_empty_table_takes_a_first_unit_and_names_its_free_edges():
    sheet = make_sheet(square=SQUARE)
    assert sheet.shown.laid.copies == ()
    sheet.lay("square")
    assert sorted(list_labels(sheet)) == ["square.bottom", "square.left", "square.right", "square.top"]
    assert sheet.shown.laid.troubles == ()


def test_four_wings_round_a_square_make_a_square_of_twice_its_area():
    sheet = make_sheet(square=SQUARE, wing=WING)
    sheet.lay("square")
    for side in ("left", "right", "top", "bottom"):
        sheet.put("wing", f"square.{side}")
    top = sheet.make_study().make_patchwork()
    assert top.finished == pytest.approx((6 * sqrt(2), 6 * sqrt(2)))
    assert not any(label.startswith("square") for label in list_labels(sheet))
    assert {fabric["slot"] for fabric in sheet.keys["fabric"]} >= {"light", "sky"}


def test_edges_that_do_not_match_are_told_with_both_lengths_at_their_place():
    sheet = make_sheet(square=SQUARE, bar={**BAR, "width_finished": "8 in"})
    sheet.lay("square")
    sheet.put("bar", "square.top", "bottom")
    (trouble,) = sheet.shown.laid.troubles
    assert "8 in" in trouble.text
    assert "6 in" in trouble.text
    assert trouble.place == pytest.approx((3, 6))
    sheet.slide(1, "start")
    assert sheet.shown.laid.troubles == ()


def test_units_that_overlap_are_told_by_name_at_a_place_in_both():
    sheet = make_sheet(square=SQUARE, bar=BAR)
    sheet.lay("square")
    sheet.put("bar", "square.top", "bottom")
    sheet.put("square", "square.right")
    sheet.put("square", "square 2.top", "bottom", "start")
    sheet.put("square", "bar.top")
    sheet.put("square", "square 4.right", None, "end")
    (trouble,) = sheet.shown.laid.troubles
    assert "`square 3` and `square 5` overlap by 24 square inches" in trouble.text
    x, y = trouble.place
    assert 6 < x < 12
    assert 6 < y < 12


def test_a_hole_is_told_at_a_place_within_it():
    sheet = make_sheet(square={**SQUARE, "side_finished": "4 in"}, bar=BAR)
    sheet.lay("bar")
    for end in ("bar.right", "bar 2.left", "bar 3.left"):
        sheet.put("bar", end, "bottom", "start")
    (trouble,) = sheet.shown.laid.troubles
    assert "a hole of 16 square inches" in trouble.text
    assert trouble.place == pytest.approx((4, 4))
    inner = next(label for label in list_labels(sheet) if label.startswith("bar 1.top"))
    sheet.put("square", inner)
    assert sheet.shown.laid.troubles == ()
    assert sheet.make_study().make_patchwork().finished == pytest.approx((8, 8))


def test_a_step_that_cannot_be_sewn_is_told():
    sheet = make_sheet(square=SQUARE, bar={**BAR, "width_finished": "6 1/4 in"})
    sheet.lay("square")
    sheet.put("bar", "square.top", "bottom", "start")
    (trouble,) = sheet.shown.laid.troubles
    assert "a step of ¼" in trouble.text.lower().replace("\N{NO-BREAK SPACE}", " ")


def test_what_is_left_of_an_edge_takes_the_next_unit():
    sheet = make_sheet(square={**SQUARE, "side_finished": "9 in"}, small={**SQUARE, "side_finished": "3 in"})
    sheet.lay("square")
    sheet.put("small", "square.bottom", "top", "middle")
    parts = [label for label in list_labels(sheet) if label.startswith("square.bottom")]
    assert parts == ["square.bottom part 1", "square.bottom part 2"]
    sheet.put("small", "square.bottom part 1", "top")
    sheet.put("small", "square.bottom", "top")
    assert not any(label.startswith("square.bottom") for label in list_labels(sheet))
    assert sheet.shown.laid.troubles == ()
    assert sheet.make_study().make_patchwork().finished == pytest.approx((9, 12))


def test_a_mirrored_unit_lies_along_the_same_edge():
    sheet = make_sheet(arm={"family": "braid", "pairs": 3}, bar=BAR)
    sheet.lay("arm")
    sheet.put("arm", "arm.right", "left")
    joined = {edge.name for edge in sheet.shown.laid.free if edge.copy == 1}
    sheet.mirror(1)
    assert sheet.units["whole"]["join"] == ["arm", "arm(mirror).right to arm.right"]
    assert {edge.name for edge in sheet.shown.laid.free if edge.copy == 1} == {
        {"right": "left"}.get(name, name) for name in joined
    }


def test_a_turn_goes_through_every_edge_and_comes_back():
    sheet = make_sheet(square=SQUARE, wing={**WING, "long_finished": "8 in"})
    sheet.lay("square")
    sheet.put("wing", "square.top", "long", "start")
    seen = []
    for _ in range(3):
        sheet.turn(1)
        seen.append(sheet.shown.table[1].edge)
    assert seen == ["short 1", "short 2", "long"]
    sheet.turn(0, 90)
    assert sheet.units["whole"]["join"][0] == "square(90)"


def test_taking_a_unit_away_takes_what_is_joined_to_it():
    sheet = make_sheet(square=SQUARE)
    sheet.lay("square")
    sheet.put("square", "square.right", "left")
    sheet.put("square", "square 2.right", "left")
    sheet.put("square", "square 1.top", "bottom")
    assert sheet.take_away(1) == ("square 2", "square 3")
    assert sheet.units["whole"]["join"] == ["square", "square.bottom to square.top"]
    sheet.take_away(0)
    assert "whole" not in sheet.units


def test_copies_round_a_corner_and_on_a_unit_in_the_middle_make_a_star_in_an_octagon():
    sheet = make_sheet(point=POINT, wing={"patch": "right triangle", "short_1_finished": "4 in",
                                          "short_2_finished": "4 in"})  # fmt: skip
    sheet.lay("point")
    star = sheet.copy_round(8, corner=1, name="star")
    assert len(sheet.make_or_none(star).shapes) == 8
    sheet.begin("octagon")
    sheet.lay("wing")
    with pytest.raises(KitError, match="16 edges for 8 copies"):
        sheet.copy_round(8, at="wing.short 2", centre="star", name="ring")
    assert "ring" not in sheet.units
    sheet.copy_round(8, at="wing.short 2", centre="star", side="edge 1", name="ring")
    assert len(sheet.make_or_none("ring").outline) == 8


def test_a_unit_that_fits_a_notch_meets_both_of_its_sides():
    wing = {"patch": "right triangle", "short_1_finished": "4 in", "short_2_finished": "4 in"}
    sheet = make_sheet(point=POINT, wing=wing)
    sheet.lay("point")
    sheet.copy_round(8, corner=1, name="star")
    for number in range(8):
        sheet.put("wing", next(label for label in list_labels(sheet) if label.startswith("star")))
        assert len([label for label in list_labels(sheet) if label.startswith("star")]) == 14 - 2 * number
    assert len(sheet.shown.laid.outline) == 8


def test_a_quarter_is_mirrored_into_the_whole():
    sheet = make_sheet(square=SQUARE, bar=BAR)
    sheet.lay("square")
    sheet.put("bar", "square.top", "bottom")
    sheet.copy_round(4, images="mirrored", corner=1, name="all")
    assert sheet.units["all"] == {"around": "part", "times": 4, "images": "mirrored", "corner": 1}
    assert sheet.make_study().make_patchwork().finished == pytest.approx((12, 16))


def test_a_copy_across_an_edge_lies_on_its_other_side():
    sheet = make_sheet(square=SQUARE, bar=BAR)
    sheet.lay("square", angle=90)
    sheet.put("bar", "square.top", "bottom")
    sheet.copy_across("bar.top")
    assert sheet.make_study().make_patchwork().finished == pytest.approx((16, 6))


def test_what_lies_becomes_a_unit_of_its_own():
    sheet = make_sheet(square=SQUARE)
    sheet.lay("square")
    sheet.put("square", "square.right", "left")
    assert sheet.make_group("two") == "two"
    sheet.put("two", "two.top", "bottom")
    assert sheet.units["whole"]["join"] == ["two", "two.bottom to two.top"]
    assert len(sheet.make_study().make_patchwork().patches) == 4


def test_a_unit_that_holds_the_one_that_lies_open_is_refused():
    sheet = make_sheet(square=SQUARE)
    sheet.lay("square")
    sheet.make_group("two")
    sheet.open_unit("two")
    with pytest.raises(KitError, match="made with `two`"):
        sheet.put("whole", "square.top")


def test_renaming_keeps_the_top_and_taking_out_is_refused_by_the_users_names():
    sheet = make_sheet(square=SQUARE)
    sheet.lay("square")
    before = sheet.make_study().make_patchwork()
    sheet.rename("square", "stone")
    sheet.rename("whole", "quilt")
    assert sheet.top == "quilt"
    assert sheet.opened == "quilt"
    assert sheet.make_study().make_patchwork().finished == before.finished
    with pytest.raises(KitError, match="used by `quilt`"):
        sheet.delete("stone")


def test_a_million_copies_are_told_before_anything_is_built():
    sheet = make_sheet(square=SQUARE)
    sheet.take_text(sheet.text + '\n[unit.many]\nrows = ["square*1000"]\ndown = 1000\n')
    assert "20,000" in sheet.explain("many")
    sheet.lay("square")
    with pytest.raises(KitError, match="20,000"):
        sheet.put("many", "square.top")


def test_text_that_cannot_be_read_changes_nothing():
    sheet = make_sheet(square=SQUARE)
    before = deepcopy(sheet.keys)
    with pytest.raises(KitError, match="TOML"):
        sheet.take_text("not a study")
    with pytest.raises(KitError):
        sheet.set_key("square", "side_finished", "?")
    assert sheet.keys == before


def test_a_study_of_another_family_is_refused():
    with pytest.raises(KitError, match="units"):
        kit.compose(study_from_keys({"title": "x", "design": {"family": "pinwheel"}}))


VERBS = (
    "lay", "put", "put", "put", "put", "put", "mirror", "turn", "slide", "take_away", "copy_round", "copy_across",
    "make_group", "begin", "open", "rename", "delete", "set_top", "set_key", "lengths", "undo", "redo",
)  # fmt: skip


def do_something(sheet, draw):
    """Do one thing to the sheet that depends on how it stands; what it refuses it refuses."""
    verb = draw(st.sampled_from(VERBS))
    units, laid = sorted(sheet.units) or ["none"], sheet.shown.laid
    name = draw(st.sampled_from(units))
    edge = draw(st.sampled_from([one.label for one in laid.free] or ["none"]))
    at = draw(st.integers(0, max(len(laid.copies) - 1, 0)))
    place = draw(st.sampled_from((None, "start", "middle", "end")))
    acts = {
        "lay": lambda: sheet.lay(name, mirrored=place is None),
        "put": lambda: sheet.put(name, edge, None, place, mirrored=at % 2 == 1),
        "mirror": lambda: sheet.mirror(at),
        "turn": lambda: sheet.turn(at),
        "slide": lambda: sheet.slide(at, place),
        "take_away": lambda: sheet.take_away(at),
        "copy_round": lambda: sheet.copy_round(4, images="mirrored", corner=1),
        "copy_across": lambda: sheet.copy_across(edge),
        "make_group": sheet.make_group,
        "begin": sheet.begin,
        "open": lambda: sheet.open_unit(name),
        "rename": lambda: sheet.rename(name, sheet.name_new("stone")),
        "delete": lambda: sheet.delete(name),
        "set_top": lambda: sheet.set_top(name),
        "set_key": lambda: sheet.set_key(name, "slot", f"slot {at}"),
        "lengths": lambda: sheet.put_design("lengths", {"one": f"{at + 1} in"}),
        "undo": sheet.undo,
        "redo": sheet.redo,
    }
    try:
        acts[verb]()
    except KitError:
        return


def describe(sheet):
    laid = sheet.shown.laid
    outlines = [copy.outline for copy in laid.copies]
    return (
        deepcopy(sheet.keys), sheet.opened, sheet.text, laid.free, laid.troubles, outlines,
    )  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_whatever_is_done_is_undone_and_done_again_to_the_very_same_state(data):
    sheet = make_sheet(square=SQUARE, wing=WING, bar=BAR)
    for _ in range(data.draw(st.integers(3, 25))):
        do_something(sheet, data.draw)
    while sheet.redo():
        pass
    states = [describe(sheet)]
    while sheet.undo():
        states.append(describe(sheet))
    assert sheet.units == {}
    for state in reversed(states):
        assert describe(sheet) == state
        sheet.redo()
    assert not sheet.redo()


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_the_text_is_read_back_as_the_same_study_and_the_same_sheet(data):
    sheet = make_sheet(square=SQUARE, wing=WING, bar=BAR)
    for _ in range(data.draw(st.integers(3, 20))):
        do_something(sheet, data.draw)
    study = read_study(sheet.text)
    assert study == sheet.shown.study
    again = ComposeSheet(study)
    again.open_unit(sheet.opened)
    assert again.text == sheet.text
    assert describe(again)[3:] == describe(sheet)[3:]
