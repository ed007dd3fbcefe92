"""Settings: what lies where, symmetries of blocks, what is refused, and bias outside is counted."""

from collections import Counter
from math import sqrt

import pytest
from strategies import Case

from kit.errors import PatchworkError
from kit.geometry.congruence import compare_outlines
from kit.geometry.outlines import measure_area, mirror_outline, turn_outline
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ROOT2 = sqrt(2)
WHIRL = {"family": "whirl", "columns": 3, "rows": 2}
SQUARE = ["eight-pointed star", "grid blocks", "pinwheel", "square in square", "string panels", "whirl"]


def build(keys, allowance="1/4 in"):
    return Case(keys, allowance).build().verify()


def reading(patchwork, change=lambda outline: outline):
    """Return every patch by slot and corners, the image laid back with the lower left of its box at the origin."""
    outlines = [change(patch.outline) for patch in patchwork.patches]
    left = min(x for outline in outlines for x, _ in outline)
    low = min(y for outline in outlines for _, y in outline)
    return Counter(
        (patch.slot, frozenset((round(x - left, 3) + 0.0, round(y - low, 3) + 0.0) for x, y in outline))
        for patch, outline in zip(patchwork.patches, outlines, strict=True)
    )


# Sewn as designed


@pytest.mark.parametrize(
    "family", ["eight-pointed star", "grid blocks", "pinwheel", "square in square", "string panels", "whirl"]
)
@pytest.mark.parametrize("point", [{}, {"float_finished": "1 in"}, {"float_finished": "1/2 in", "oversize": "1/2 in"}])
def test_square_blocks_on_point_are_sewn_as_designed(family, point):
    keys = {"family": family, "columns": 2, "rows": 1, "on_point": point}
    if family == "string panels" and point:
        with pytest.raises(PatchworkError, match="one trim around each patch"):
            build(keys)
        return
    patchwork = build(keys)
    rehearsal = rehearse(cut_list(patchwork), sewing_plan(patchwork))
    assert rehearsal.agrees, rehearsal.differences
    assert rehearsal.finished == pytest.approx(patchwork.finished, abs=1e-4)


@pytest.mark.parametrize("corners", ["butted", "mitred", "cornerstones"])
def test_borders_of_every_kind_of_corner_are_sewn_as_designed(corners):
    patchwork = build(WHIRL | {"border": [{"finished": "2 in", "corners": corners}, {"finished": "1 in"}]})
    assert patchwork.finished == (3 * 10 + 6, 2 * 10 + 6)
    assert rehearse(cut_list(patchwork), sewing_plan(patchwork)).agrees


# Counts


def test_alternate_plain_patches_take_turns_with_blocks_and_begin_as_told():
    def plain(**keys):
        patchwork = build(WHIRL | {"alternate": keys})
        return {patch.id.split("-")[0] for patch in patchwork.patches if patch.slot == "plain"}

    assert plain() == {"r01c02", "r02c01", "r02c03"}
    assert plain(first="plain") == {"r01c01", "r01c03", "r02c02"}


def test_on_point_plain_patches_lie_between_the_lines_of_blocks():
    patchwork = build(WHIRL | {"alternate": {}, "on_point": {}})
    assert sum(patch.slot == "centre" for patch in patchwork.patches) == 6
    assert sum(patch.slot == "plain" for patch in patchwork.patches) == 2
    assert all(patch.grain == 45 for patch in patchwork.patches if patch.slot == "plain")


@pytest.mark.parametrize("cornerstones", [True, False])
def test_sashing_on_point_goes_round_every_block_and_ends_at_the_edge(cornerstones):
    sashing = {"finished": "1 in", "outer": True, "cornerstones": cornerstones}
    patchwork = build(WHIRL | {"on_point": {}, "sashing": sashing})
    assert patchwork.finished == pytest.approx((3 * 11 * ROOT2, 2 * 11 * ROOT2))
    sashes = [patch for patch in patchwork.patches if patch.name == "sash"]
    stones = [measure_area(patch.outline) for patch in patchwork.patches if patch.slot == "cornerstone"]
    assert len(sashes) == (4 * 3 * 2 if cornerstones else 2 * 3 * 2 + 5)
    assert Counter(round(area, 6) for area in stones) == ({1.0: 7, 0.5: 10} if cornerstones else {})


def test_a_float_keeps_the_points_that_far_from_the_edge_on_all_four_sides():
    patchwork = build(WHIRL | {"on_point": {"float_finished": "3/4 in"}})
    corners = [p for patch in patchwork.patches if patch.slot != "setting" for p in patch.outline]
    left, bottom, right, top = patchwork.box
    gaps = (
        min(x for x, _ in corners) - left, min(y for _, y in corners) - bottom,
        right - max(x for x, _ in corners), top - max(y for _, y in corners),
    )  # fmt: skip
    assert gaps == pytest.approx((0.75,) * 4)


def test_mitred_strips_are_trapezoids_with_45_degree_ends_and_cornerstones_are_squares():
    mitred = build(WHIRL | {"border": [{"finished": "2 in", "corners": "mitred"}]})
    strips = [piece for piece in cut_list(mitred).pieces if piece.slot == "border"]
    assert [(piece.kind, piece.count, sorted(round(a) for a in piece.angles)) for piece in strips] == [
        ("trapezoid", 2, [45, 45, 135, 135]),
        ("trapezoid", 2, [45, 45, 135, 135]),
    ]
    squared = build(WHIRL | {"border": [{"finished": "2 in", "corners": "cornerstones"}]})
    stones = [piece for piece in cut_list(squared).pieces if piece.slot == "cornerstone"]
    assert [(piece.kind, piece.count, piece.cut) for piece in stones] == [("square", 4, {"side": 2.5})]


# Refusals


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"on_point": {}, "offset": {"shifts": ["3 in"]}}, "`design.offset` beside `design.on_point`"),
        ({"on_point": {}, "sashing": {"finished": "1 in"}}, "`design.sashing.outer` is false on point"),
        (
            {"on_point": {"float_finished": "1 in"}, "sashing": {"finished": "1 in", "outer": True}},
            "beyond the points; there sashes end",
        ),
        ({"on_point": {}, "alternate": {"first": "plain"}, "rows": 1}, "no block would be left"),
        (
            {"offset": {"shifts": ["3 in"]}, "sashing": {"finished": "1 in", "cornerstones": True}},
            "`design.sashing.cornerstones` with shifted rows",
        ),
        ({"offset": {"shifts": ["9 3/4 in"]}}, "`design.offset.shifts` holds"),
        ({"offset": {"shifts": ["12 in"]}}, "and leaves nothing"),
        ({"sashing": {"finished": "3/8 in"}}, "`design.sashing.finished` is 0.375 in"),
        ({"border": [{"finished": "2 in"}, {"finished": "1/4 in"}]}, "`design.border.finished` is 0.25 in"),
    ],
)
def test_combinations_that_cannot_be_are_refused_with_the_reason(keys, said):
    with pytest.raises(PatchworkError) as caught:
        build(WHIRL | keys)
    assert said in str(caught.value)
    assert caught.value.needed
    assert caught.value.do


def test_a_block_that_is_not_square_is_refused_on_point_with_both_figures():
    with pytest.raises(PatchworkError, match=r"finishes 4.in x 24.in: its points would not line up"):
        build({"family": "flying geese", "on_point": {}})


# Symmetry: the patchwork is congruent with its image, slot by slot


@pytest.mark.parametrize("pattern", [["tide/foam kelp", "rope tide:foam:kelp:rope"]])
@pytest.mark.parametrize("symmetry", ["turned", "mirrored"])
def test_a_quarter_turned_or_mirrored_makes_a_block_that_is_its_own_image(pattern, symmetry):
    one = build({"family": "grid blocks", "columns": 1, "rows": 1, "pattern": pattern, "symmetry": symmetry})
    turn, mirror = reading(one, lambda o: turn_outline(o, 90)), reading(one, mirror_outline)
    assert (turn == reading(one)) == (symmetry == "turned")
    assert (mirror == reading(one)) == (symmetry == "mirrored")


@pytest.mark.parametrize("family", ["pinwheel", "whirl"])
def test_pinwheels_and_whirls_are_alike_after_a_quarter_turn_and_the_other_way_round_in_the_mirror(family):
    keys = {"family": family, "columns": 1, "rows": 1}
    one, other = build(keys), build(keys | {"direction": "clockwise"})
    assert reading(one, lambda o: turn_outline(o, 90)) == reading(one)
    assert reading(one, mirror_outline) == reading(other) != reading(one)


@pytest.mark.parametrize("columns", [2, 3])
@pytest.mark.parametrize("point", [{}, {"float_finished": "1 in"}])
def test_a_setting_on_point_is_alike_after_a_half_turn(columns, point):
    keys = {"family": "square in square", "columns": columns, "rows": 2, "on_point": point}
    patchwork = build(keys)
    assert reading(patchwork, lambda o: turn_outline(o, 180)) == reading(patchwork)


def test_a_pair_of_chevron_columns_is_its_own_mirror_image():
    patchwork = build({"family": "chevron", "columns": 2})
    assert reading(patchwork, mirror_outline) == reading(patchwork)
    hands = Counter(like.hand for like in compare_outlines([p.outline for p in patchwork.patches if p.name == "strip"]))
    assert hands["left"] == hands["right"] == 2 * 12


# Grain: what a choice puts outside


@pytest.mark.parametrize(
    ("point", "bias"),
    [
        ({}, 0),
        ({"side_cut": "half-square"}, 6),
        ({"corner_cut": "quarter-square"}, 8),
        ({"side_cut": "half-square", "corner_cut": "quarter-square"}, 14),
        ({"float_finished": "1 in"}, 0),
        ({"float_finished": "1 in", "side_cut": "half-square"}, 6),
    ],
)
def test_setting_triangles_have_the_straight_grain_outside_unless_a_choice_puts_bias_there(point, bias):
    patchwork = build(WHIRL | {"on_point": point})
    assert sum(piece.outside_bias for piece in cut_list(patchwork).pieces) == bias
