"""Strip quilts: rails, nine-patches and other rows of strips, and what is refused."""

import pytest
from hypothesis import given, settings
from strategies import Case, cases

from kit.errors import PatchworkError
from kit.geometry.outlines import measure_box
from kit.planning.pieces.cut_list import cut_list

MANY = settings(max_examples=60)


def quilt(**keys):
    return Case({"family": "strips", "columns": 1, "rows": 1, "turns": ["0"], **keys}, "1/4 in")


def size_of(outline):
    left, bottom, right, top = measure_box(outline)
    return right - left, top - bottom


def test_a_rail_fence_of_four_two_and_a_half_inch_strips_makes_an_eight_inch_block():
    block = quilt(pattern=["deep sea sand foam"]).family.make_block(0.25)
    assert (block.width, block.height) == (8, 8)
    assert [size_of(shape.outline) for shape in block.shapes] == [(2, 8)] * 4


def test_a_nine_patch_of_two_and_a_half_inch_strips_makes_a_six_inch_block_of_squares():
    patchwork = quilt(pattern=["a b a", "b a b", "a b a"]).build()
    assert patchwork.finished == (6, 6)
    cuts = cut_list(patchwork)
    assert [(p.kind, p.slot, p.count, p.cut["side"]) for p in cuts.pieces] == [
        ("square", "a", 5, 2.5),
        ("square", "b", 4, 2.5),
    ]


def test_the_pattern_is_read_from_the_top_left():
    patches = quilt(pattern=["a b", "c d"]).build().patches
    where = {p.slot: measure_box(p.outline)[:2] for p in patches}
    assert where == {"a": (0, 2), "b": (2, 2), "c": (0, 0), "d": (2, 0)}


def test_a_row_cut_of_its_own_sets_the_height_of_the_rows():
    block = quilt(pattern=["a b"], row_cut="6 1/2 in").family.make_block(0.25)
    assert (block.width, block.height) == (4, 6)


@MANY
@given(cases("strips"))
def test_slots_are_filled_as_often_as_the_pattern_names_them(case):
    family, patches = case.family, case.build().patches
    words = " ".join(family.pattern).split()
    inside = [patch.slot for patch in patches if patch.group]
    for slot in words:
        assert inside.count(slot) == words.count(slot) * family.columns * family.rows


@MANY
@given(cases("strips"))
def test_every_strip_is_cut_to_the_width_that_the_study_names(case):
    family = case.family
    for piece in cut_list(case.build()).pieces:
        if piece.name in ("strip", "patch"):
            assert any(size == pytest.approx(family.strip_cut) for size in piece.cut.values())


def test_borders_are_sewn_sides_first_or_ends_first():
    sides = {p.id: size_of(p.outline) for p in quilt(border=[{"finished": "2 in"}]).build().patches}
    ends = {p.id: size_of(p.outline) for p in quilt(border=[{"finished": "2 in", "first": "ends"}]).build().patches}
    assert (sides["border1-left"], sides["border1-top"]) == ((2, 6), (10, 2))
    assert (ends["border1-left"], ends["border1-top"]) == ((2, 10), (6, 2))


def test_sashing_without_an_outside_runs_between_the_blocks_only():
    case = Case({"family": "strips", "columns": 3, "rows": 2, "sashing": {"finished": "1 in"}}, "1/4 in")
    patchwork = case.build().verify()
    assert patchwork.finished == (3 * 6 + 2, 2 * 6 + 1)
    assert sum(p.id.startswith("sash-v") for p in patchwork.patches) == 4
    assert sum(p.id.startswith("sash-h") for p in patchwork.patches) == 1


def test_outer_sashing_with_cornerstones_has_one_stone_at_every_crossing():
    sashing = {"finished": "1 in", "outer": True, "cornerstones": True}
    patchwork = Case({"family": "strips", "columns": 3, "rows": 2, "sashing": sashing}, "1/4 in").build().verify()
    assert patchwork.finished == (3 * 6 + 4, 2 * 6 + 3)
    assert sum(p.slot == "cornerstone" for p in patchwork.patches) == 4 * 3
    assert sum(p.slot == "sashing" for p in patchwork.patches) == 4 * 2 + 3 * 3


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"pattern": ["a b", "a b c"]}, "`design.pattern` has rows of 2, 3 slots"),
        ({"pattern": [""]}, "`design.pattern` has rows of 0 slots"),
        ({"pattern": ["  ", "a"]}, "`design.pattern` has rows of 0, 1 slots"),
        ({"strip_cut": "3/4 in"}, "`design.strip_cut` leaves 0.25 in"),
        ({"strip_cut": "1/4 in"}, "`design.strip_cut` leaves -0.25 in"),
        ({"row_cut": "3/4 in"}, "`design.row_cut` leaves 0.25 in"),
        ({"pattern": ["a b c", "a b c"], "turns": ["0 90"]}, "quarter turns for a block that finishes 6 x 4 in"),
        ({"pattern": ["a " * 20_001]}, "The design would have 20,001 patches"),
        ({"columns": 20_000, "rows": 2}, "The design would have 120,000 patches"),
    ],
)
def test_keys_that_contradict_one_another_are_refused_with_what_to_do(keys, said):
    with pytest.raises(PatchworkError) as caught:
        quilt(**keys).build()
    assert said in str(caught.value)
    assert caught.value.needed
    assert caught.value.do
