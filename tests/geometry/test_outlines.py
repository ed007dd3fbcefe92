"""Outlines: tidying, measuring, offsetting, clipping, turning."""

from math import cos, pi, radians, sin, sqrt, tan

import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from kit.errors import PatchworkError
from kit.geometry.outlines import (
    TOLERANCE,
    clip_outline,
    make_rectangle,
    measure_angles,
    measure_area,
    measure_box,
    measure_directions,
    measure_edges,
    mirror_outline,
    move_outline,
    offset_outline,
    tidy_outline,
    turn_outline,
)

UNHURRIED = settings(deadline=None)
SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))


@st.composite
def convex_outlines(draw):
    """Draw corners on a circle, at least 12 degrees apart and never within a straight edge."""
    gaps = draw(st.lists(st.integers(12, 120), min_size=3, max_size=9))
    scale = 360 / sum(gaps)
    turn = draw(st.floats(0, 360))
    radius = draw(st.floats(2, 30))
    angles = [turn + sum(gaps[:i]) * scale for i in range(len(gaps))]
    return tuple((radius * cos(radians(a)), radius * sin(radians(a))) for a in angles)


@st.composite
def star_outlines(draw):
    """Draw corners at even angles round a point, each at its own distance: reflex corners too."""
    distances = draw(st.lists(st.floats(3, 9), min_size=5, max_size=9))
    n = len(distances)
    turn = draw(st.floats(0, 2 * pi))
    outline = tuple((r * cos(turn + 2 * pi * i / n), r * sin(turn + 2 * pi * i / n)) for i, r in enumerate(distances))
    assume(all(abs(angle - 180) > 2 for angle in measure_angles(outline)))
    return outline


OUTLINES = st.one_of(convex_outlines(), star_outlines())


def keeps_its_shape(outline, moved):
    """Return True if an offset outline still has every edge, running the old way, and crosses itself nowhere."""
    turned = [
        abs((a - b + 180) % 360 - 180)
        for a, b in zip(measure_directions(outline), measure_directions(moved), strict=True)
    ]
    return max(turned) < 1 and shapely.LinearRing(moved).is_simple


def measure_apart(outline, other):
    """Return how far the farthest corner of one is from the same corner of the other."""
    return max(abs(x - u) + abs(y - v) for (x, y), (u, v) in zip(outline, other, strict=True))


# Offsetting


@UNHURRIED
@given(OUTLINES, st.floats(0.01, 1))
def test_shrinking_undoes_growing(outline, allowance):
    back = offset_outline(offset_outline(outline, allowance), -allowance)
    assert measure_apart(outline, back) < 1e-9


@UNHURRIED
@given(OUTLINES, st.floats(0.05, 0.5))
@example(((0, 0), (8, 0), (8, 8), (4, 2), (0, 8)), 0.25)
def test_an_offset_outline_is_the_mitred_buffer_of_a_general_geometry_library(outline, allowance):
    grown = offset_outline(outline, allowance)
    assume(keeps_its_shape(outline, grown))
    buffer = shapely.Polygon(outline).buffer(allowance, join_style="mitre", mitre_limit=1e4)
    odd = shapely.Polygon(grown).symmetric_difference(buffer)
    assert odd.area < 1e-6 * buffer.length


@UNHURRIED
@given(OUTLINES, st.floats(0.05, 0.5))
def test_an_inward_offset_is_the_negative_mitred_buffer(outline, allowance):
    shrunk = offset_outline(outline, -allowance)
    assume(keeps_its_shape(outline, shrunk))
    buffer = shapely.Polygon(outline).buffer(-allowance, join_style="mitre", mitre_limit=1e4)
    assert shapely.Polygon(shrunk).symmetric_difference(buffer).area < 1e-6 * buffer.length


@UNHURRIED
@given(convex_outlines(), st.floats(0.05, 1))
def test_growing_a_convex_outline_adds_its_girth_times_the_allowance_and_the_mitred_corners(outline, allowance):
    corners = sum(1 / tan(radians(angle) / 2) for angle in measure_angles(outline))
    expected = measure_area(outline) + sum(measure_edges(outline)) * allowance + corners * allowance**2
    assert measure_area(offset_outline(outline, allowance)) == pytest.approx(expected, rel=1e-9)


@UNHURRIED
@given(OUTLINES, st.floats(-0.5, 0.5))
def test_an_offset_keeps_every_angle(outline, allowance):
    moved = offset_outline(outline, allowance)
    assume(keeps_its_shape(outline, moved))
    assume(min(measure_edges(moved)) > 0.01)
    assert measure_angles(moved) == pytest.approx(measure_angles(outline), abs=1e-6)


def test_each_edge_may_move_by_its_own_distance():
    grown = offset_outline(SQUARE, (1, 0, 2, 0.5))
    assert grown == ((-0.5, -1.0), (4.0, -1.0), (4.0, 6.0), (-0.5, 6.0))


@UNHURRIED
@given(OUTLINES)
def test_an_offset_by_nothing_moves_nothing(outline):
    assert measure_apart(offset_outline(outline, 0), outline) == 0


# Clipping


@UNHURRIED
@given(convex_outlines(), st.floats(0, 2 * pi), st.floats(-35, 35))
def test_the_two_parts_of_a_clipped_outline_add_up(outline, angle, reach):
    a, b = cos(angle), sin(angle)
    parts = [clip_outline(outline, a, b, reach), clip_outline(outline, -a, -b, -reach)]
    total = sum(measure_area(part) for part in parts if part)
    assert total == pytest.approx(measure_area(outline), abs=TOLERANCE * sum(measure_edges(outline)))


@UNHURRIED
@given(convex_outlines(), st.floats(0, 2 * pi), st.floats(-35, 35))
def test_what_is_kept_lies_on_the_kept_side(outline, angle, reach):
    a, b = cos(angle), sin(angle)
    kept = clip_outline(outline, a, b, reach)
    assert all(a * x + b * y <= reach + 2 * TOLERANCE for x, y in kept)
    assert not kept or measure_area(kept) > 0


def test_clipping_through_two_corners_halves_a_square():
    assert clip_outline(SQUARE, 1, 1, 4) == ((0.0, 0.0), (4.0, 0.0), (0.0, 4.0))


def test_nothing_is_left_of_an_outline_beyond_the_line():
    assert clip_outline(SQUARE, 1, 0, -1) == ()


def test_a_line_along_an_edge_leaves_all_or_nothing():
    assert clip_outline(SQUARE, 1, 0, 4) == SQUARE
    assert clip_outline(SQUARE, 1, 0, 0) == ()


# Tidying


@UNHURRIED
@given(OUTLINES, st.data())
def test_an_outline_is_tidied_to_the_same_corners_whichever_way_round(outline, data):
    start = data.draw(st.integers(0, len(outline) - 1))
    given_round = list(outline[start:] + outline[:start])
    clockwise = given_round[::-1]
    tidy, back = tidy_outline(given_round), tidy_outline(clockwise)
    assert measure_area(tidy) > 0
    assert measure_area(back) == pytest.approx(measure_area(tidy))
    assert set(tidy) == set(back) == {(float(x), float(y)) for x, y in outline}


@UNHURRIED
@given(OUTLINES, st.data())
def test_repeated_corners_and_corners_within_an_edge_are_dropped(outline, data):
    corners = []
    for i, (x, y) in enumerate(outline):
        u, v = outline[(i + 1) % len(outline)]
        corners += [(x, y)] * data.draw(st.integers(1, 3))
        within = sorted(data.draw(st.sets(st.sampled_from([0.25, 0.5]))))
        corners += [(x + t * (u - x), y + t * (v - y)) for t in within]
    assert set(tidy_outline(corners)) == set(outline)


def test_a_closed_ring_is_read_as_the_outline():
    assert tidy_outline([*SQUARE, SQUARE[0]]) == SQUARE


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        ([], "0 corners given"),
        ([(0, 0), (1, 0)], "2 corners given"),
        ([(0, 0), (1, 1), (2, 2)], "encloses no area"),
        ([(0, 0), (1, 0), (0, 0), (1, 0)], "encloses no area"),
        ([(0, 0), (4, 0), (float("nan"), 4)], "not finite"),
        ([(0, 0), (4, 0), (float("inf"), 4)], "not finite"),
        ([(0, 0), (4, 0), (2e6, 4)], "million"),
        ([(0, 0), (4, 0), (4, "x")], "not a pair of numbers"),
        ([(0, 0), (4, 0), (4, None)], "not a pair of numbers"),
        ([(0, 0), (4, 0), (4, 4, 4)], "not a pair of numbers"),
        ([0, 1, 2], "not a pair of numbers"),
    ],
)
def test_corners_that_make_no_outline_are_refused_by_name(corners, said):
    with pytest.raises(PatchworkError) as caught:
        tidy_outline(corners, name="outline 7")
    assert "utline 7" in str(caught.value)
    assert said in str(caught.value)


# Measuring, moving, turning


@UNHURRIED
@given(OUTLINES)
def test_area_angles_and_box_agree_with_a_general_geometry_library(outline):
    polygon = shapely.Polygon(outline)
    assert measure_area(outline) == pytest.approx(polygon.area)
    assert sum(measure_edges(outline)) == pytest.approx(polygon.length)
    assert sum(measure_angles(outline)) == pytest.approx(180 * (len(outline) - 2))
    assert measure_box(outline) == pytest.approx(polygon.bounds)


@UNHURRIED
@given(OUTLINES, st.floats(-720, 720), st.floats(-50, 50), st.floats(-50, 50))
def test_turning_and_moving_change_no_edge_and_no_angle(outline, degrees, dx, dy):
    moved = move_outline(turn_outline(outline, degrees, about=(dx, dy)), dx, dy)
    assert measure_edges(moved) == pytest.approx(measure_edges(outline))
    assert measure_angles(moved) == pytest.approx(measure_angles(outline), abs=1e-6)


def test_four_quarter_turns_are_exactly_none():
    outline = ((0.1, 0.2), (3.3, 0.7), (1.9, 2.6))
    turned = outline
    for _ in range(4):
        turned = turn_outline(turned, 90)
    assert turned == outline


def test_a_square_turned_by_an_eighth_reaches_as_far_as_its_diagonal():
    left, _, right, _ = measure_box(turn_outline(SQUARE, 45, about=(2, 2)))
    assert right - left == pytest.approx(4 * sqrt(2))


@UNHURRIED
@given(OUTLINES, st.floats(-20, 20))
def test_a_mirror_image_runs_counter_clockwise_and_mirrors_back(outline, axis):
    image = mirror_outline(outline, axis=axis)
    assert measure_area(image) == pytest.approx(measure_area(outline))
    assert measure_apart(mirror_outline(image, axis=axis), outline) < 1e-9


def test_a_rectangle_is_as_wide_and_high_as_asked():
    assert measure_box(make_rectangle(1, 2, 3.5, 0.5)) == (1, 2, 4.5, 2.5)
    assert measure_area(make_rectangle(1, 2, 3.5, 0.5)) == 1.75
