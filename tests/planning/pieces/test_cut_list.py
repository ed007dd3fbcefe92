"""Cut list: shrunk by the allowance each piece is its patch again; hands, grain and counts are right."""

from collections import Counter
from math import atan2, cos, degrees, hypot, pi, radians, sin, sqrt, tan

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import cases

from kit.checks.cut_list_check import check_cut_list
from kit.geometry.outlines import (
    make_rectangle,
    measure_angles,
    measure_edges,
    mirror_outline,
    move_outline,
    turn_outline,
)
from kit.model.patchwork import Patch, Patchwork, patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list, divide_by_fabric

MANY = settings(max_examples=60)
A = 0.25
ROOT2 = sqrt(2)


def shrink(outline, allowance):
    """Move every edge of an outline inward, by the slopes of its edges; written for the tests alone."""
    n = len(outline)
    lines = []
    for i in range(n):
        (x0, y0), (x1, y1) = outline[i], outline[(i + 1) % n]
        length = hypot(x1 - x0, y1 - y0)
        a, b = -(y1 - y0) / length, (x1 - x0) / length
        lines.append((a, b, a * x0 + b * y0 + allowance))
    corners = []
    for i in range(n):
        (a, b, c), (p, q, r) = lines[i - 1], lines[i]
        det = a * q - b * p
        corners.append(((c * q - b * r) / det, (a * r - c * p) / det))
    return corners


def one_patch(outline, grain=0.0, allowance=A, name="patch"):
    """Return the only piece of a top of one patch."""
    (piece,) = cut_list(Patchwork((Patch("p", tuple(outline), "s", name, (), grain),), allowance)).pieces
    return piece


def direction(p, q):
    return degrees(atan2(q[1] - p[1], q[0] - p[0]))


eighths = st.integers(8, 96).map(lambda n: n / 8)
ALLOWANCES = st.sampled_from([0.125, 0.25, 0.375, 0.75 / 2.54])


# Shrinking undoes growing


@MANY
@given(cases())
def test_a_piece_less_its_allowance_is_each_of_its_patches_turned_as_it_says(case):
    patchwork = case.build()
    for piece in cut_list(patchwork).pieces:
        finished = shrink(piece.outline, patchwork.allowance)
        edges, angles = measure_edges(finished), measure_angles(finished)
        for patch_id, turn in zip(piece.patches, piece.turns, strict=True):
            patch = patchwork.by_id[patch_id]
            shape = patch.sewn or patch.outline
            ring = shape[turn:] + shape[:turn]
            assert edges == pytest.approx(measure_edges(ring), abs=1e-4)
            assert angles == pytest.approx(measure_angles(ring), abs=0.02)
            assert patch.slot == piece.slot


@MANY
@given(cases())
def test_every_patch_has_one_piece_and_the_check_accepts_the_list(case):
    patchwork = case.build()
    cuts = cut_list(patchwork)
    owners = Counter(patch for piece in cuts.pieces for patch in piece.patches)
    assert owners == Counter(patch.id for patch in patchwork.patches)
    assert [piece.count for piece in cuts.pieces] == [len(piece.patches) for piece in cuts.pieces]
    assert len({piece.id for piece in cuts.pieces}) == len(cuts.pieces)
    check_cut_list(patchwork, cuts)


@MANY
@given(cases(), st.sampled_from([0.125, 0.0625, 0.1 / 2.54]))
def test_rounded_sizes_are_the_next_step_and_never_below_the_exact_ones(case, step):
    for piece in cut_list(case.build(), step).pieces:
        assert set(piece.rounded) == set(piece.cut) == set(piece.finished)
        for name, exact in piece.cut.items():
            assert -1e-5 < piece.rounded[name] - exact < step
            steps = piece.rounded[name] / step
            assert steps == pytest.approx(round(steps), abs=1e-6)
            assert piece.finished[name] < exact


@MANY
@given(cases())
def test_a_cut_outline_lies_on_a_longest_edge_with_its_box_at_the_origin(case):
    for piece in cut_list(case.build()).pieces:
        edges = measure_edges(piece.outline)
        assert edges[0] == pytest.approx(max(edges), abs=1e-4)
        assert (piece.outline[0][1], piece.outline[1][1]) == pytest.approx((0, 0), abs=1e-9)
        assert min(x for x, _ in piece.outline) == pytest.approx(0, abs=1e-9)
        assert min(y for _, y in piece.outline) == pytest.approx(0, abs=1e-9)


# Shapes and their sizes, as worked out by hand in the arithmetic of the design


@given(eighths, eighths, ALLOWANCES)
def test_squares_and_rectangles_grow_by_two_allowances(width, height, a):
    assume(min(width, height) >= 2 * a)
    piece = one_patch(make_rectangle(0, 0, width, height), allowance=a)
    sizes = sorted(piece.cut.values())
    if width == height:
        assert (piece.kind, sizes) == ("square", pytest.approx([width + 2 * a]))
    else:
        assert (piece.kind, sizes) == ("rectangle", pytest.approx(sorted([width + 2 * a, height + 2 * a])))


@given(eighths, ALLOWANCES)
def test_right_triangles_with_equal_legs_are_half_or_quarter_squares_by_their_grain(f, a):
    corner = [(0, 0), (f, 0), (0, f)]
    half, quarter = one_patch(corner, allowance=a), one_patch(corner, grain=45, allowance=a)
    assert half.kind == "half-square triangle"
    assert half.cut["square"] == pytest.approx(f + (2 + ROOT2) * a)
    assert quarter.kind == "quarter-square triangle"
    assert quarter.cut["square"] == pytest.approx(f * ROOT2 + (2 + 2 * ROOT2) * a)


@given(eighths, eighths, ALLOWANCES)
def test_half_rectangle_triangles_grow_by_their_inscribed_circle(p, q, a):
    assume(abs(p - q) > 0.01)
    r = (p + q - hypot(p, q)) / 2
    piece = one_patch([(0, 0), (p, 0), (0, q)], allowance=a)
    assert piece.kind == "half-rectangle triangle"
    legs = sorted([p * (1 + a / r), q * (1 + a / r)])
    assert [piece.cut["short leg"], piece.cut["long leg"]] == pytest.approx(legs)


@given(st.floats(2, 12), st.floats(0.5, 4), st.floats(30, 80), ALLOWANCES)
def test_trapezoids_grow_by_the_half_angles_of_their_base(short, height, angle, a):
    lean = height / tan(radians(angle))
    outline = [(0, 0), (short + 2 * lean, 0), (short + lean, height), (lean, height)]
    piece = one_patch(outline, allowance=a)
    assume(short + 2 * lean > height / sin(radians(angle)) + 0.1)
    half = radians(angle) / 2
    assert piece.kind == "trapezoid"
    assert piece.cut["strip"] == pytest.approx(height + 2 * a)
    assert piece.cut["long side"] == pytest.approx(short + 2 * lean + 2 * a / tan(half))
    assert piece.cut["short side"] == pytest.approx(short + 2 * a * tan(half))


@given(eighths, eighths, ALLOWANCES)
def test_45_degree_parallelograms_step_along_the_strip_by_root_two(width, height, a):
    # `width` is the finished width across the slanted ends, so the long side finishes at width·√2.
    assume(width * ROOT2 > height * ROOT2 + 0.05)
    outline = [(0, 0), (width * ROOT2, 0), (width * ROOT2 + height, height), (height, height)]
    piece = one_patch(outline, allowance=a)
    assert piece.kind == "parallelogram"
    assert piece.cut["strip"] == pytest.approx(height + 2 * a)
    assert piece.cut["step"] == pytest.approx((width + 2 * a) * ROOT2)


@given(eighths, ALLOWANCES)
def test_60_degree_triangles_need_a_strip_three_allowances_wider(t, a):
    side = 2 * t / sqrt(3)
    piece = one_patch([(0, 0), (side, 0), (side / 2, t)], allowance=a)
    assert piece.kind == "60° triangle"
    assert piece.cut["strip"] == pytest.approx(t + 3 * a)


# Hands


LEANING = ((0, 0), (5, 0), (7, 2), (2, 2))
ENDED = ((0, 0), (6, 0), (6, 2), (2, 2))


@given(st.sampled_from([LEANING, ENDED]), st.floats(0, 360), st.integers(0, 3))
def test_a_turned_copy_has_the_same_hand_and_a_mirrored_one_the_other(outline, angle, start):
    turned = turn_outline(outline[start:] + outline[:start], angle)
    hands = [one_patch(shape).hand for shape in (outline, turned, mirror_outline(turned))]
    assert hands[0] == hands[1] != hands[2]
    assert set(hands) == {"left", "right"}


def test_a_piece_whose_sharper_end_lies_at_the_left_is_left_handed():
    assert one_patch([(0, 0), (6, 0), (6, 2), (2, 2)]).hand == "left"
    assert one_patch([(0, 0), (6, 0), (4, 2), (0, 2)]).hand == "right"


@pytest.mark.parametrize(
    "outline",
    [
        make_rectangle(0, 0, 4, 2),
        ((0, 0), (4, 0), (0, 4)),
        ((0, 0), (8, 0), (6, 2), (2, 2)),
        ((0, 0), (4, 0), (2, 3)),
        tuple((3 * cos(k * pi / 3), 3 * sin(k * pi / 3)) for k in range(6)),
    ],
    ids=["rectangle", "half square", "trapezoid", "isosceles triangle", "hexagon"],
)
def test_a_shape_that_is_its_own_mirror_image_has_no_hand(outline):
    assert one_patch(outline).hand is None


def test_left_and_right_pieces_of_one_shape_are_listed_apart():
    outlines = [ENDED, mirror_outline(ENDED, axis=6)]
    pieces = cut_list(patchwork_from_outlines(outlines)).pieces
    assert [(piece.kind, piece.count) for piece in pieces] == [("trapezoid", 1), ("trapezoid", 1)]
    assert {piece.hand for piece in pieces} == {"left", "right"}
    assert pieces[0].cut == pytest.approx(pieces[1].cut)


# Grain and bias


@given(eighths, st.sampled_from([0, 90, 180, 270]))
def test_a_half_square_triangle_is_bias_along_its_long_side_alone(f, grain):
    piece = one_patch([(0, 0), (f, 0), (0, f)], grain=grain)
    assert piece.bias == (True, False, False)


@given(eighths, st.sampled_from([45, 135, 225]))
def test_a_quarter_square_triangle_is_bias_along_both_legs(f, grain):
    piece = one_patch([(0, 0), (f, 0), (0, f)], grain=grain)
    assert piece.bias == (False, True, True)


def test_a_blade_with_one_slanted_end_is_bias_there_alone():
    piece = one_patch(ENDED)
    slanted = [bool(round(direction(*pair) % 90)) for pair in zip(piece.outline, piece.outline[1:] + piece.outline[:1],
                                                                  strict=True)]  # fmt: skip
    assert list(piece.bias) == slanted
    assert sum(piece.bias) == 1


def test_a_square_set_on_point_is_cut_on_the_straight_grain_and_a_rectangle_too():
    outline = turn_outline(make_rectangle(0, 0, 4, 4), 45)
    assert not any(one_patch(outline, grain=45).bias)


def test_bias_edges_on_the_outside_are_counted_where_they_lie():
    # A 4 in square on point in an 8 in frame of four corner triangles: with their legs on the grain the outside is
    # straight; with their long side on the grain all eight legs are bias, and they are the outside.
    square = turn_outline(make_rectangle(-2, -2, 4, 4), 45)
    r = 2 * ROOT2
    corners = [((r, 0), (r, r), (0, r)), ((0, r), (-r, r), (-r, 0)), ((-r, 0), (-r, -r), (0, -r)),
               ((0, -r), (r, -r), (r, 0))]  # fmt: skip
    outside = {}
    for grain in (0, 45):
        patches = [Patch("a", square, "middle", grain=45)]
        patches += [Patch(f"b{i}", corner, "corner", grain=grain) for i, corner in enumerate(corners)]
        cuts = cut_list(Patchwork(tuple(patches)).verify())
        outside[grain] = {piece.slot: piece.outside_bias for piece in cuts.pieces}
    assert outside == {0: {"middle": 0, "corner": 0}, 45: {"middle": 0, "corner": 8}}


def test_a_three_by_three_of_half_squares_lists_an_odd_number_of_triangles_as_it_is():
    cell = [((0, 0), (2, 0), (0, 2)), ((2, 0), (2, 2), (0, 2))]
    outlines = [move_outline(half, 2 * x, 2 * y) for y in range(3) for x in range(3) for half in cell]
    slots = ["light", "dark"] * 9
    cuts = cut_list(patchwork_from_outlines(outlines, slots))
    assert [(p.kind, p.count, p.slot) for p in cuts.pieces] == [
        ("half-square triangle", 9, "light"),
        ("half-square triangle", 9, "dark"),
    ]


# Order and division by fabric


def test_pieces_come_slot_by_slot_and_the_largest_first():
    outlines = [make_rectangle(0, 0, 2, 2), make_rectangle(2, 0, 4, 2), make_rectangle(0, 2, 6, 1)]
    cuts = cut_list(patchwork_from_outlines(outlines, ["b", "a", "b"]))
    assert [(p.id, p.slot, p.kind) for p in cuts.pieces] == [
        ("A1", "b", "rectangle"),
        ("A2", "b", "square"),
        ("B1", "a", "rectangle"),
    ]


@MANY
@given(cases(), st.integers(1, 4), st.randoms(use_true_random=False))
def test_divided_by_fabric_the_list_holds_the_same_pieces_and_each_patch_once(case, many, random):
    patchwork = case.build()
    cuts = cut_list(patchwork)
    fabric = {patch.id: f"{patch.slot} {random.randrange(many)}" for patch in patchwork.patches}
    divided = divide_by_fabric(cuts, fabric)
    assert divided.count == cuts.count
    for piece in divided.pieces:
        assert {fabric[patch] for patch in piece.patches} == {piece.fabric}
        assert piece.count == len(piece.patches) == len(piece.turns)
    totals = Counter()
    for piece in divided.pieces:
        totals[piece.id] += piece.count
    assert totals == Counter({piece.id: piece.count for piece in cuts.pieces})
