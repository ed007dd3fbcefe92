"""Symmetry: what a setting, a frame or a block claims is seen by laying the patchwork on its own image."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from redrawing import attempt
from strategies import Case, random_cases

from kit.geometry.congruence import compare_outlines
from kit.geometry.outlines import mirror_outline, turn_outline
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

NEAR = 1e-3
"""Inches by which a patch and its image may differ."""
WHIRL = {"family": "whirl", "columns": 1, "rows": 1}
SQUARES = {"family": "grid blocks", "columns": 1, "rows": 1, "pattern": ["tide"], "cell_finished": "12 in"}
TURNS = {"90": lambda o: turn_outline(o, 90), "180": lambda o: turn_outline(o, 180)}
MIRRORS = {
    "across": mirror_outline,
    "down": lambda o: tuple((x, -y) for x, y in reversed(o)),
}
CHANGES = TURNS | MIRRORS


def build(keys, allowance="1/4 in"):
    return Case(keys, allowance).build().verify()


def is_its_own_image(patchwork, change):
    """Return True if each patch lies on one of its slot, corner on corner."""
    whole = [change(patch.outline) for patch in patchwork.patches]
    left, low = (min(point[k] for outline in whole for point in outline) for k in (0, 1))
    box = patchwork.box
    there = {}
    for patch in patchwork.patches:
        there.setdefault(_middle(patch.outline), []).append(patch)
    for patch, outline in zip(patchwork.patches, whole, strict=True):
        image = [(x - left + box[0], y - low + box[1]) for x, y in outline]
        found = [other for key in _near(_middle(image)) for other in there.get(key, ())]
        if not any(other.slot == patch.slot and _same_corners(other.outline, image) for other in found):
            return False
    return True


def _middle(outline):
    return tuple(round(sum(point[k] for point in outline) / len(outline), 1) for k in (0, 1))


def _near(key):
    steps = (-0.1, 0.0, 0.1)
    return [(round(key[0] + dx, 1), round(key[1] + dy, 1)) for dx in steps for dy in steps]


def _same_corners(one, other):
    """Return True if two outlines have the same corners; the kit's congruence is tested in the same way."""
    if len(one) != len(other):
        return False
    return all(min(max(abs(x - u), abs(y - v)) for u, v in other) < NEAR for x, y in one)


def has(patchwork):
    """Return the changes that leave the patchwork as it is."""
    return {name for name, change in CHANGES.items() if is_its_own_image(patchwork, change)}


# The whole from its quarter


@settings(max_examples=40)
@given(random_cases(setting="quarters mirrored", borders=0))
def test_a_mirrored_quilt_is_its_own_image_in_both_mirrors_and_after_a_half_turn(case):
    patchwork, _ = attempt(lambda: build(case.keys, case.allowance_text))
    if patchwork:
        assert has(patchwork) >= {"across", "down", "180"}


@settings(max_examples=40)
@given(random_cases(setting="quarters turned", borders=0))
def test_a_turned_quilt_is_its_own_image_after_a_quarter_turn(case):
    keys = case.keys | {"columns": 1, "rows": 1}
    patchwork, _ = attempt(lambda: build(keys, case.allowance_text))
    if patchwork:
        assert has(patchwork) >= {"90", "180"}


@pytest.mark.parametrize("between", [None, "2 in"])
@pytest.mark.parametrize("images", ["turned", "mirrored"])
def test_a_whirl_in_quarters_has_the_symmetry_that_is_asked_for_and_no_other(images, between):
    quarters = {"images": images} | ({"between_finished": between} if between else {})
    patchwork = build(WHIRL | {"quarters": quarters, "rectangle_slots": ["tide", "foam", "kelp", "rope"]})
    assert has(patchwork) == ({"90", "180"} if images == "turned" else {"180", "across", "down"})
    side = 2 * 10 + (2 if between else 0)
    assert patchwork.finished == pytest.approx((side, side))
    assert len(patchwork.patches) == 4 * 5 + (5 if between else 0)
    assert rehearse(cut_list(patchwork), sewing_plan(patchwork)).agrees


def test_the_seams_that_result_are_those_of_the_quarters_and_the_two_through_the_middle():
    quarter = build(SQUARES)
    whole = build(SQUARES | {"quarters": {}})
    assert len(sewing_plan(quarter).steps) == 0
    assert [step.kind for step in sewing_plan(whole).steps] == ["join"] * 2
    runs = sorted(abs(step.sewn[1] - step.sewn[0]) for step in sewing_plan(whole).steps)
    assert runs == pytest.approx([12, 24])


def test_a_mirrored_quarter_gives_as_many_left_hands_as_right_ones():
    patchwork = build({"family": "chevron", "columns": 1, "strips": 2, "quarters": {"images": "mirrored"}})
    counts = Counter()
    for piece in cut_list(patchwork).pieces:
        counts[piece.hand] += piece.count
    assert counts["left"] == counts["right"] == 8


# Frames


@pytest.mark.parametrize("pieces", ["squares", "half squares", "geese", "teeth"])
@pytest.mark.parametrize("running", ["round", "mirrored"])
def test_a_pieced_frame_runs_round_or_is_mirrored_at_the_middle_of_each_side(pieces, running):
    border = {"finished": "3 in", "pieces": pieces, "running": running, "piece_slots": ["foam", "kelp"]}
    patchwork = build(SQUARES | {"border": [border | {"unit_finished": "3 in"}]})
    found = has(patchwork)
    if running == "mirrored":
        assert found == {"90", "180", "across", "down"}
    elif pieces in ("half squares", "geese"):
        assert found == {"90", "180"}
    else:
        assert found >= {"90", "180"}


@pytest.mark.parametrize("corners", ["mitred", "cornerstones", "turned"])
def test_a_plain_frame_of_a_square_is_alike_after_a_quarter_turn(corners):
    found = has(build(SQUARES | {"border": [{"finished": "3 in", "corners": corners}]}))
    assert found == ({"90", "180"} if corners == "turned" else set(CHANGES))


def test_a_butted_frame_is_alike_after_a_half_turn_and_in_the_mirror_alone():
    assert has(build(SQUARES | {"border": [{"finished": "3 in"}]})) == {"180", "across", "down"}


# Settings and families


@pytest.mark.parametrize("point", [{}, {"float_finished": "1 in"}, {"oversize": "1/2 in"}])
@pytest.mark.parametrize(("columns", "rows"), [(2, 2), (3, 2), (1, 3)])
def test_squares_on_point_are_alike_in_both_mirrors_or_after_a_half_turn_where_they_float(point, columns, rows):
    patchwork = build(SQUARES | {"columns": columns, "rows": rows, "on_point": point})
    if "float_finished" in point:  # the seams of the diagonal rows go on to the edge, and they all lean one way
        assert has(patchwork) == {"180"}
    else:
        assert has(patchwork) == ({"90"} if columns == rows else set()) | {"180", "across", "down"}


@pytest.mark.parametrize(
    "tables",
    [
        {"sashing": {"finished": "2 in"}},
        {"sashing": {"finished": "2 in", "outer": True, "cornerstones": True}},
        {"alternate": {}},
        {"bars": {"finished": "2 in"}},
        {"on_point": {}, "sashing": {"finished": "2 in", "outer": True, "cornerstones": True}},
    ],
    ids=str,
)
def test_squares_in_a_setting_are_alike_in_both_mirrors(tables):
    patchwork = build(SQUARES | {"columns": 3, "rows": 3} | tables)
    assert has(patchwork) >= {"180", "across", "down"}


@pytest.mark.parametrize("direction", ["counter-clockwise", "clockwise"])
def test_a_turned_frame_is_alike_after_a_quarter_turn_and_the_other_way_round_in_the_mirror(direction):
    keys = {"family": "turned frame", "columns": 1, "rows": 1, "panels": "plain", "direction": direction}
    assert has(build(keys)) == {"90", "180"}


@settings(max_examples=30)
@given(st.sampled_from(["pinwheel", "whirl"]), st.data())
def test_congruence_sees_the_image_of_a_block_in_the_block_that_turns_the_other_way(family, data):
    case = data.draw(random_cases(family, "straight", borders=0))
    keys = case.keys | {"columns": 1, "rows": 1, "turns": ["0"], "rectangle_slots": ["tide"]}
    keys = {key: value for key, value in keys.items() if family == "whirl" or key != "rectangle_slots"}
    keys = {key: value for key, value in keys.items() if family == "pinwheel" or key != "turns"}
    sizes = []
    for direction in ("counter-clockwise", "clockwise"):
        patchwork, _ = attempt(lambda d=direction: build(keys | {"direction": d}, case.allowance_text))
        if patchwork is None:
            return
        assert has(patchwork) >= {"90", "180"}
        likes = compare_outlines([patch.outline for patch in patchwork.patches])
        sizes.append((len({like.shape for like in likes}), Counter(like.hand for like in likes)))
    swap = {"left": "right", "right": "left", None: None}
    assert sizes[0][0] == sizes[1][0]
    assert sizes[0][1] == Counter({swap[hand]: count for hand, count in sizes[1][1].items()})
