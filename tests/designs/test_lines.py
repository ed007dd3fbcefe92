"""Drawn designs: what is drawn is what is cut, and what cannot be sewn is named."""

from dataclasses import replace

import pytest
from drawings import sheets
from hypothesis import given, settings
from hypothesis import strategies as st
from redrawing import attempt, count_pieces, is_sewn_as_it_is, redraw
from strategies import Case, cases, random_cases, random_settings

from kit.checks.cut_list_check import check_cut_list
from kit.designs import FAMILIES
from kit.errors import KitError, PatchworkError, StudyError
from kit.planning.pieces.cut_list import cut_list
from kit.study import read_study, study_from_keys, study_keys, write_study

MANY = settings(max_examples=40)
FEWER = settings(max_examples=25)
TRIMMED = {"braid", "string panels"}
"""Families whose pieces are sewn larger and trimmed: a drawing holds what is left, so it is cut from other pieces."""


def draw(*lines, allowance="1/4 in", **keys):
    return Case({"family": "lines", "lines": list(lines)} | keys, allowance).build().verify()


def refusal(*lines, **keys):
    with pytest.raises(KitError) as caught:
        draw(*lines, **keys)
    assert caught.value.do
    return str(caught.value)


# Redrawn families


@pytest.mark.parametrize("family", sorted(set(FAMILIES) - TRIMMED - {"units"}))
def test_every_family_redrawn_line_by_line_gives_the_same_cut_list(family):
    patchwork = FAMILIES[family].model_validate({"family": family, "columns": 2, "rows": 1}).patchwork().verify()
    assert is_sewn_as_it_is(patchwork)
    drawn = Case(redraw(patchwork), "1/4 in").build().verify()
    assert count_pieces(drawn) == count_pieces(patchwork)


@pytest.mark.parametrize("family", sorted(TRIMMED))
def test_a_family_that_is_trimmed_is_redrawn_as_it_would_be_cut_if_nothing_were_trimmed(family):
    keys = {"family": family, "columns": 1, "rows": 1}
    keys |= {"pairs": 7, "column_finished": "4 3/4 in", "start": "triangle"} if family == "braid" else {}
    patchwork = Case(keys, "1/4 in").build().verify()
    drawn = Case(redraw(patchwork), "1/4 in").build().verify()
    flat = replace(patchwork, patches=tuple(replace(one, sewn=None) for one in patchwork.patches), trims=())
    assert not is_sewn_as_it_is(patchwork)
    assert count_pieces(drawn) == count_pieces(flat)


def test_a_string_panel_redrawn_shows_the_same_patches_but_is_cut_to_their_shape_since_nothing_is_trimmed():
    panel = FAMILIES["string panels"].model_validate({"family": "string panels", "columns": 1, "rows": 1})
    patchwork = panel.patchwork()
    drawn = Case(redraw(patchwork), "1/4 in").build().verify()
    assert not is_sewn_as_it_is(patchwork)
    assert [len(patch.outline) for patch in drawn.patches].count(3) == 2
    assert drawn.area == pytest.approx(patchwork.area)
    assert {kind for _, kind, *_ in count_pieces(patchwork)} == {"rectangle"}
    assert "rectangle" not in {kind for _, kind, *_ in count_pieces(drawn)}


def test_a_braid_redrawn_is_refused_by_name_where_trimming_left_tips_that_cannot_be_sewn():
    braid = FAMILIES["braid"].model_validate({"family": "braid", "columns": 1})
    with pytest.raises(PatchworkError, match=r"almost meet|has an edge of|is a sliver"):
        Case(redraw(braid.patchwork()), "1/4 in").build()


@FEWER
@given(st.one_of(cases("log cabin"), cases("strips"), random_cases()))
def test_any_design_of_untrimmed_pieces_is_the_same_when_it_is_redrawn(case):
    patchwork, _ = attempt(lambda: case.build().verify())
    if patchwork is None or len(patchwork.patches) > 200 or not is_sewn_as_it_is(patchwork):
        return
    drawn, refused = attempt(lambda: Case(redraw(patchwork), case.allowance_text).build().verify())
    if refused:  # seams that a family puts within a sixteenth of one another
        assert "almost meet" in str(refused)
    else:
        assert count_pieces(drawn) == count_pieces(patchwork)


# What is drawn


@MANY
@given(sheets())
def test_a_sheet_tiles_its_frame_and_is_cut_patch_by_patch(sheet):
    patchwork = Case(sheet.keys(), "1/4 in").build().verify()
    assert len(patchwork.patches) == sheet.patches
    assert patchwork.finished == (sheet.across, sheet.up)
    cuts = cut_list(patchwork)
    check_cut_list(patchwork, cuts)
    assert cuts.count == sheet.patches


@MANY
@given(sheets(), st.randoms(use_true_random=False))
def test_neither_the_order_nor_the_direction_of_the_lines_matters(sheet, random):
    lines = [" ".join(text.split()[::-1]) if random.random() < 0.5 else text for text in sheet.keys()["lines"]]
    random.shuffle(lines)
    assert Case(sheet.keys(lines=lines), "1/4 in").build() == Case(sheet.keys(), "1/4 in").build()


@settings(max_examples=60)
@given(sheets(depth=2), st.data())
def test_a_drawing_takes_every_setting_or_says_why_it_cannot(sheet, data):
    keys = sheet.keys(columns=data.draw(st.integers(1, 3)), rows=data.draw(st.integers(1, 3)))
    keys |= data.draw(random_settings(0.25))
    patchwork, _ = attempt(lambda: Case(keys, "1/4 in").build().verify())
    if patchwork:
        check_cut_list(patchwork, cut_list(patchwork))


def test_places_are_in_squares_with_fractions_or_in_lengths_with_units():
    one = draw("0,3 6,3", size="6,6", grid_finished="1/2 in")
    two = draw("0in,1.5in 3in,1.5in", size="3in,3in", grid_finished="7 in")
    three = draw("0,1/2 1,0.5", size="1,1", grid_finished="3 in")
    four = draw("0cm,38.1mm 7.62cm,38.1mm", size="3,3")
    assert one == two == three == four


def test_a_line_of_many_places_is_as_many_lines_as_it_has_steps():
    assert draw("0,0 6,6 12,0") == draw("0,0 6,6", "6,6 12,0")


def test_patches_are_counted_as_they_are_read_and_take_the_slot_of_a_place_within_them():
    top = draw("0,6 12,6", "6,6 6,12", slots={"sky": "1,11", "sea": "3,2"}, fill="sail")
    assert [(patch.id, patch.slot) for patch in top.patches] == [
        ("r01c01-p001", "sky"),
        ("r01c01-p002", "sail"),
        ("r01c01-p003", "sea"),
    ]


def test_the_grain_runs_along_the_outside_or_along_most_of_the_edges_or_as_told():
    lines = ("6,0 12,6", "12,6 6,12", "6,12 0,6", "0,6 6,0")
    assert [patch.grain for patch in draw(*lines).patches] == [0, 0, 45, 0, 0]
    told = draw(*lines, grain={"0": "6,6", "30": "1,1"})
    assert [patch.grain for patch in told.patches] == [0, 0, 0, 30, 0]


# What cannot be sewn


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["0,6 12,6", "3,0 3,5"], "Line 2 (`3,0 3,5`) ends in the open at 3,5; the nearest is Line 1"),
        (["0,6 12,6", "3,0 3,5.98"], "Line 2 (`3,0 3,5.98`) and Line 1 (`0,6 12,6`) almost meet at 3,5.98: 0.0200 in"),
        (["0,6 12,6", "3,0 3,6.02"], "almost meet at 3,6.02"),
        (["0.03,0 12,12"], "a corner of the drawing almost meet at 0.03,0"),
        (["0,0.03 12,0.03"], "almost meet"),
        (["3,3 6,3 6,6 3,3"], "Nothing joins Line 1"),
        (["0,6 13,6"], "Line 1 (`0,6 13,6`) leaves the drawing at 13,6. Needed: places from 0,0 to 12,12"),
        (["6,6 6,6"], "Line 1 (`6,6 6,6`) has no length at 6,6"),
        (["6,6"], "Line 1 is `6,6`"),
        (["0,6 12"], "line 1, holds `12`"),
        (["0,6 12,six"], "line 1, holds `12,six`"),
        (["0,6 nan,6"], "holds `nan,6`"),
        (["0,6 1e999,6"], "holds `1e999,6`"),
        (["0,6 12 in,6"], "holds `12`"),
        (["0,0.4 12,0.4"], "Patch `p002` has an edge of 0.400 in, from 12,0 to 12,0.4"),
        (["0,0 6,0.2 12,0"], "is a sliver, 0.200 in across"),
    ],
)
def test_lines_that_make_no_patches_are_named_with_their_place(lines, said):
    assert said in refusal(*lines)


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"slots": {"sky": "1,6"}}, "`design.slots.sky` names 1,6, a place on a seam or outside"),
        ({"slots": {"sky": "1,13"}}, "names 1,13"),
        ({"slots": {"sky": "1,1", "sea": "2,2"}}, "The patch at 2,2 is given to `sky` and to `sea` in `design.slots`"),
        ({"grain": {"30": "1,1", "60": "2,2"}}, "is given to `30` and to `60` in `design.grain`"),
        ({"snap": "1/2 in"}, "`design.snap` is ½"),
        ({"size": "12"}, "`design.size` holds `12`"),
        ({"size": "0,12"}, "`design.size` is `0,12`"),
        ({"size": "12,12 3,3"}, "`design.size` is `12,12 3,3`"),
        ({"size": "600,12"}, "at most 500 in"),
    ],
)
def test_keys_that_name_no_patch_or_no_size_are_refused(keys, said):
    assert said in refusal("0,6 12,6", **keys)


def test_ends_that_almost_meet_are_moved_only_when_that_is_asked_for_and_each_move_is_told():
    lines = ["0,6 12,6", "3,0 3,5.97", "9,0.02 9,6.04"]
    assert "almost meet" in refusal(*lines)
    family = FAMILIES["lines"].model_validate({"family": "lines", "lines": lines, "snap": "1/16 in"})
    assert family.patchwork().verify() == draw("0,6 12,6", "3,0 3,6", "9,0 9,6")
    assert family.list_moves(family.trace()) == [
        "Line 2 (`3,0 3,5.97`): 3,5.97 moved to 3,6 (0.030 in)",
        "Line 3 (`9,0.02 9,6.04`): 9,0.02 moved to 9,0 (0.020 in)",
        "Line 3 (`9,0.02 9,6.04`): 9,6.04 moved to 9,6 (0.040 in)",
    ]


def test_a_line_is_never_bent_to_meet_another():
    # the end of line 2 lies on line 1 already; line 3 passes 0.03 in beside it
    said = refusal("0,6 12,6", "6,0 6,6", "6.03,12 6.03,0", snap="1/16 in")
    assert "almost meet" in said or "has an edge of" in said


# Hostile input


def study(design, **more):
    fabric = {"slot": "ground", "name": "Fog", "colour": "#dfe6ea"}
    return {"title": "Sheet", "design": {"family": "lines"} | design, "fabric": [fabric]} | more


def test_a_hundred_thousand_lines_are_refused_before_any_is_read():
    with pytest.raises(StudyError, match=r"`design.lines` is a list of 100000. Needed: a list of at most 2000"):
        study_from_keys(study({"lines": ["no,line"] * 100_000}))
    many = study_from_keys(study({"lines": [" ".join(["no,line"] * 900)] * 4}))
    with pytest.raises(PatchworkError, match="The drawing has 3,596 lines"):
        many.make_patchwork()


@pytest.mark.parametrize(
    "value",
    [["[" * 5_000 + "]" * 5_000], [[["0,0 1,1"]]], {"a": "0,0 1,1"}, "0,0 1,1", [{}], [None], ["\x1b[0m"], [17]],
    ids=str,
)  # fmt: skip
def test_lines_that_cannot_be_read_are_refused_in_words(value):
    with pytest.raises(KitError) as caught:
        study_from_keys(study({"lines": value})).make_patchwork()
    assert "design.lines" in str(caught.value)


def test_lines_nested_five_hundred_deep_are_refused():
    text = 'title = "x"\n[design]\nfamily = "lines"\nlines = ' + "[" * 500 + "]" * 500
    with pytest.raises(StudyError):
        read_study(text)


WILD = st.text('0123456789.,- /ein½"', max_size=14)


@settings(max_examples=150)
@given(st.lists(WILD, max_size=4), st.sampled_from([None, "1/16 in", "1/4 in"]))
def test_whatever_is_written_as_lines_gives_a_top_or_words(lines, snap):
    patchwork, refused = attempt(lambda: draw(*lines, **({"snap": snap} if snap else {})))
    assert (patchwork is None) == (refused is not None)


HALVES = st.integers(0, 24).map(lambda n: n / 2)
OFF = st.sampled_from([0.0, 0.0, 0.0, 0.03, 0.1, -0.02])
ANYWHERE = st.tuples(st.tuples(HALVES, OFF).map(sum), st.tuples(HALVES, OFF).map(sum))


@settings(max_examples=100)
@given(st.lists(st.lists(st.tuples(HALVES, HALVES), min_size=2, max_size=3), max_size=5))
def test_any_lines_in_the_frame_give_a_proved_cut_list_or_words(lines):
    patchwork, _ = attempt(lambda: draw(*(" ".join(f"{x},{y}" for x, y in line) for line in lines)))
    if patchwork:
        check_cut_list(patchwork, cut_list(patchwork))


@settings(max_examples=100)
@given(st.lists(st.lists(ANYWHERE, min_size=2, max_size=3), max_size=5))
def test_any_lines_that_are_snapped_give_a_top_or_words(lines):
    texts = [" ".join(f"{x:.4f},{y:.4f}" for x, y in line) for line in lines]
    patchwork, _ = attempt(lambda: draw(*texts, snap="1/4 in"))
    assert patchwork is None or patchwork.area == pytest.approx(144)


@MANY
@given(sheets(depth=2))
def test_a_drawn_study_is_the_same_study_when_it_is_saved_and_opened(sheet):
    fabrics = [{"slot": slot, "name": slot, "colour": "#123456"} for slot in ("ground", "corner")]
    keys = sheet.keys(slots={"corner": f"{sheet.across - 0.3},0.1"}, grain={"45": f"{sheet.across - 0.3},0.1"})
    one = study_from_keys({"title": "Sheet", "design": keys, "fabric": fabrics})
    assert read_study(write_study(one)) == one
    assert study_from_keys(study_keys(one)).make_patchwork() == one.make_patchwork()
