"""Likeness: turned copies are one shape, mirrored ones the other hand of it, symmetric ones of neither hand."""

from math import cos, pi, radians, sin

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from kit.geometry.congruence import compare_outlines
from kit.geometry.outlines import (
    make_rectangle,
    measure_angles,
    measure_edges,
    mirror_outline,
    move_outline,
    turn_outline,
)

UNHURRIED = settings(deadline=None)
HALF_RECTANGLE = ((0.0, 0.0), (6.0, 0.0), (0.0, 3.0))
LEANING = ((0.0, 0.0), (6.0, 0.0), (8.0, 2.0), (2.0, 2.0))


def regular(n, side=3.0):
    radius = side / (2 * sin(pi / n))
    return tuple((radius * cos(2 * pi * i / n), radius * sin(2 * pi * i / n)) for i in range(n))


SYMMETRIC = [
    make_rectangle(0, 0, 3, 3),
    make_rectangle(0, 0, 5, 2),
    ((0, 0), (4, 0), (0, 4)),
    ((0, 0), (4, 0), (2, 1.3)),
    ((0, 0), (8, 0), (6, 2), (2, 2)),
    ((0, 0), (3, 0), (3 + 3 * cos(pi / 4), 3 * sin(pi / 4)), (3 * cos(pi / 4), 3 * sin(pi / 4))),
    ((0, 0), (2, -1), (6, 0), (2, 1)),
    regular(3),
    regular(5),
    regular(6),
    regular(8),
]


@st.composite
def outlines(draw):
    """Draw corners at even angles round a point, distances in sixteenths so that edges differ clearly or not at all."""
    sixteenths = draw(st.lists(st.integers(32, 144), min_size=3, max_size=8))
    n = len(sixteenths)
    outline = tuple((r / 16 * cos(2 * pi * i / n), r / 16 * sin(2 * pi * i / n)) for i, r in enumerate(sixteenths))
    assume(all(abs(angle - 180) > 1 for angle in measure_angles(outline)))
    return outline


def put(outline, degrees, start, dx, dy):
    """Return the outline begun at another corner, turned and moved."""
    start %= len(outline)
    return move_outline(turn_outline(outline[start:] + outline[:start], degrees), dx, dy)


def reads_alike_both_ways(outline):
    """Return True if edges and angles, to a thousandth, read the same backwards from some corner."""
    sides = [round(x, 3) for x in measure_edges(outline)]
    angles = [round(x, 2) for x in measure_angles(outline)]
    n = len(outline)
    there = [(angles[k], sides[k]) for k in range(n)]
    return any(
        all(
            abs(there[k][0] - angles[(s - k) % n]) < 0.02 and abs(there[k][1] - sides[(s - k - 1) % n]) < 0.002
            for k in range(n)
        )
        for s in range(n)
    )


PLACES = st.tuples(st.floats(-360, 360), st.integers(0, 7), st.floats(-80, 80), st.floats(-80, 80))


@UNHURRIED
@given(outlines(), PLACES, PLACES)
@example(HALF_RECTANGLE, (90.0, 1, 0.0, 0.0), (180.0, 2, 5.0, 5.0))
def test_turned_copies_are_one_shape_of_one_hand(outline, place, other):
    one, two = compare_outlines([put(outline, *place), put(outline, *other)])
    assert one.shape == two.shape
    assert one.hand == two.hand


@UNHURRIED
@given(outlines(), PLACES)
@example(LEANING, (37.0, 3, 1.0, 2.0))
def test_a_mirrored_copy_is_another_shape_of_the_other_hand_unless_the_shape_is_symmetric(outline, place):
    one, two = compare_outlines([outline, put(mirror_outline(outline), *place)])
    if reads_alike_both_ways(outline):
        assert (one.shape, one.hand) == (two.shape, None)
    else:
        assert one.shape != two.shape
        assert {one.hand, two.hand} == {"left", "right"}


@UNHURRIED
@given(st.sampled_from(SYMMETRIC), PLACES)
def test_a_symmetric_shape_has_no_hand_however_it_lies(outline, place):
    likes = compare_outlines([outline, put(outline, *place), put(mirror_outline(outline), *place)])
    assert [(like.shape, like.hand) for like in likes] == [(0, None)] * 3


@UNHURRIED
@given(outlines(), PLACES)
def test_the_first_edge_of_every_copy_is_the_same_longest_one(outline, place):
    copy = put(outline, *place)
    one, two = compare_outlines([outline, copy])
    edges, others = measure_edges(outline), measure_edges(copy)
    n = len(outline)
    assert edges[one.first] == pytest.approx(max(edges), abs=1e-4)
    assert [edges[(one.first + k) % n] for k in range(n)] == pytest.approx(
        [others[(two.first + k) % n] for k in range(n)], abs=1e-4
    )


@UNHURRIED
@given(outlines(), outlines())
def test_shapes_with_other_edges_are_not_alike(outline, other):
    assume(sorted(measure_edges(outline)) != pytest.approx(sorted(measure_edges(other)), abs=1e-3))
    one, two = compare_outlines([outline, other])
    assert one.shape != two.shape


@pytest.mark.parametrize(("outline", "hand"), [(HALF_RECTANGLE, "left"), (mirror_outline(HALF_RECTANGLE), "right")])
def test_the_hand_says_at_which_end_of_the_longest_edge_the_sharper_corner_lies(outline, hand):
    (like,) = compare_outlines([outline])
    n = len(outline)
    angles = measure_angles(outline)
    sharper_left = angles[like.first] < angles[(like.first + 1) % n]
    assert like.hand == hand == ("left" if sharper_left else "right")


def test_a_parallelogram_that_leans_right_is_the_other_hand_of_one_that_leans_left():
    right, left, turned = compare_outlines([LEANING, mirror_outline(LEANING), turn_outline(LEANING, 180)])
    assert right.shape == turned.shape != left.shape
    assert (right.hand, left.hand) == ("left", "right")


def test_a_difference_of_a_tenth_of_a_thousandth_of_an_inch_makes_another_shape():
    likes = compare_outlines([make_rectangle(0, 0, 3, 2), make_rectangle(0, 0, 3.0001, 2), make_rectangle(9, 9, 3, 2)])
    assert likes[0].shape == likes[2].shape != likes[1].shape


def test_equal_edges_at_other_angles_make_another_shape():
    rhombs = [
        ((0, 0), (3, 0), (3 + 3 * cos(radians(a)), 3 * sin(radians(a))), (3 * cos(radians(a)), 3 * sin(radians(a))))
        for a in (45, 60, 120)
    ]
    likes = compare_outlines(rhombs)
    assert likes[0].shape != likes[1].shape == likes[2].shape
