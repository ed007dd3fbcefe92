"""Frames are values of the patchwork: true of what lies there, carried on, and no id is parsed in their place."""

import ast
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_designs import draw_border, seed_dice

import kit
from kit.designs import FAMILIES
from kit.errors import PatchworkError
from kit.geometry.outlines import make_rectangle, measure_area, measure_box
from kit.model.frames import SIDES, Frame, list_measured_borders
from kit.model.patchwork import Patch, Patchwork
from kit.planning.batches.find_units import group_units
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.splitting import split_as_told, split_patches

KIT = Path(kit.__file__).parent
WHIRL = {"family": "pinwheel", "columns": 2, "rows": 3}
PARSING = frozenset(
    ["endswith", "startswith", "split", "rsplit", "partition", "rpartition", "removeprefix", "removesuffix", "find"]
)


def build(*borders):
    return FAMILIES["pinwheel"].model_validate(WHIRL | {"border": list(borders)}).patchwork().verify()


@given(st.integers(0, 10**6))
def test_each_frame_is_the_ring_between_what_lies_inside_and_its_own_outer_edge(seed):
    dice = seed_dice(seed)
    try:
        patchwork = build(*(draw_border(dice, 0.25) for _ in range(dice.randint(1, 3))))
    except PatchworkError:
        return
    outside = {name for frame in patchwork.frames for name in frame.patches}
    inside = [patch.outline for patch in patchwork.patches if patch.id not in outside]
    for frame in patchwork.frames:
        ring = [patchwork.by_id[name].outline for name in frame.patches]
        left, bottom, right, top = measure_box(p for outline in inside for p in outline)
        hole = (right - left) * (top - bottom)
        inside += ring
        a, b, c, d = measure_box(p for outline in inside for p in outline)
        assert sum(map(measure_area, ring)) == pytest.approx((c - a) * (d - b) - hole)
        middle = {"left": (a + left) / 2, "right": (c + right) / 2, "top": (d + top) / 2, "bottom": (b + bottom) / 2}
        for side, ids in zip(SIDES, frame.sides, strict=True):
            axis = 0 if side in ("left", "right") else 1
            edges = measure_box(p for name in ids for p in patchwork.by_id[name].outline) if ids else None
            if edges:
                assert (edges[axis] + edges[axis + 2]) / 2 == pytest.approx(middle[side])
    assert len(inside) == len(patchwork.patches)


def test_corners_and_the_order_of_sewing_are_those_of_the_study():
    patchwork = build(
        {"finished": "1 in", "corners": "butted", "first": "ends"},
        {"finished": "1 in", "corners": "cornerstones"},
        {"finished": "2 in", "pieces": "squares", "fit": "spacer"},
        {"finished": "1 in", "corners": "turned"},
        {"finished": "3 in", "corners": "mitred"},
    )
    found = [(frame.kind, frame.corners, frame.ends_first, len(frame.stones)) for frame in patchwork.frames]
    assert found[:2] == [("plain", "butted", True, 0), ("plain", "cornerstones", False, 4)]
    assert found[-3:] == [
        ("pieced", "cornerstones", False, 4), ("plain", "turned", False, 0), ("plain", "mitred", False, 0)
    ]  # fmt: skip
    assert [frame.corners for frame in list_measured_borders(patchwork.frames)] == ["mitred"]


def test_a_design_of_outlines_has_no_frames_unless_a_border_is_put_round_it():
    assert kit.patchwork_from_outlines([make_rectangle(0, 0, 4, 4)]).frames == ()
    keys = {"family": "outlines", "outlines": ["patch: 0,0 4,0 4,4 0,4"]}
    assert FAMILIES["outlines"].model_validate(keys).patchwork().frames == ()
    bordered = FAMILIES["outlines"].model_validate(keys | {"border": [{"finished": "1 in"}]})
    assert len(bordered.patchwork().frames) == 1


def test_splitting_patches_carries_the_frames_on():
    patchwork = build({"finished": "2 in", "corners": "turned"}, {"finished": "1 in"})
    split = split_as_told(patchwork, split_patches(patchwork)).verify()
    assert len(split.patches) > len(patchwork.patches)
    for old, new in zip(patchwork.frames, split.frames, strict=True):
        for was, now in zip((*old.sides, old.stones), (*new.sides, new.stones), strict=True):
            areas = [sum(measure_area(one.by_id[name].outline) for name in ids)
                     for one, ids in ((patchwork, was), (split, now))]  # fmt: skip
            assert areas[0] == pytest.approx(areas[1])
    assert list_measured_borders(split.frames) == list_measured_borders(patchwork.frames)


def test_grouping_units_carries_the_frames_on():
    patchwork = build({"finished": "2 in"})
    grouped = group_units(patchwork, cut_list(patchwork))
    assert grouped != patchwork
    assert grouped.frames == patchwork.frames


def test_a_border_that_was_split_and_those_inside_it_are_not_cut_to_measure():
    one = Frame("plain", "butted", ("a",), ("b",), ("c",), ("d",))
    assert list_measured_borders([one, one.rename({"c": ("c-a", "c-b")}), one]) == (one,)
    assert list_measured_borders([one, one.rename({"c": ("c-a", "c-b")})]) == ()


def test_a_frame_of_patches_that_are_not_there_is_refused():
    patches = (Patch("p", make_rectangle(0, 0, 4, 4), "a"),)
    with pytest.raises(PatchworkError, match="`q`"):
        Patchwork(patches, frames=(Frame("plain", "butted", ("p",), ("q",), (), ()),))


def _find_parsed_ids(text):
    """Return the lines in which an id is taken apart: a text method on `.id` or on what stands for one, or an index."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in PARSING:
            held = node.func.value
        elif isinstance(node, ast.Subscript):
            held = node.value
        elif isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.In | ast.NotIn):
            held = node.comparators[0] if isinstance(node.left, ast.Constant | ast.JoinedStr) else None
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") in ("match", "search", "fullmatch"):
            held = next((arg for arg in node.args if isinstance(arg, ast.Attribute)), None)
        else:
            continue
        if isinstance(held, ast.Attribute) and held.attr == "id":
            found.append(ast.unparse(node))
    return found


def test_no_id_is_parsed_for_meaning():
    assert {
        path.relative_to(KIT).as_posix(): found
        for path in sorted(KIT.rglob("*.py"))
        if (found := _find_parsed_ids(path.read_text(encoding="utf-8")))
    } == {}


@pytest.mark.parametrize(
    "planted",
    [
        'frames = [patch for patch in patches if patch.id.endswith("-left")]',
        'side = patch.id.rsplit("-", maxsplit=1)[-1]',
        'if self.patch.id.startswith("border"): pass',
        'left = "left" in patch.id',
        "letter = piece.id[0]",
        're.match("border[0-9]+", patch.id)',
        'stem = frame.id.removesuffix("left")',
    ],
)
def test_an_id_that_is_parsed_is_found(planted):
    assert _find_parsed_ids(planted)
