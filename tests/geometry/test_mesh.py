"""Meshes: where corners lie within edges, who neighbours whom, and the proof that outlines tile."""

from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st

from kit.geometry.mesh import build_mesh, count_parts, find_crossing, find_gaps, find_overlaps
from kit.geometry.outlines import (
    clip_outline,
    make_rectangle,
    measure_area,
    measure_box,
    measure_edges,
    move_outline,
    offset_outline,
)

UNHURRIED = settings(deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])

# Four rectangles whirl round a square: each joins the side of the next, and no seam runs straight through.
WHIRL = (
    make_rectangle(3, 3, 4, 4),
    make_rectangle(0, 0, 7, 3),
    make_rectangle(7, 0, 3, 7),
    make_rectangle(3, 7, 7, 3),
    make_rectangle(0, 3, 3, 7),
)


@st.composite
def subdivisions(draw, most=14):
    """Draw a rectangle cut again and again by straight lines at any angle; corners fall within edges."""
    patches = [make_rectangle(0, 0, draw(st.integers(4, 12)), draw(st.integers(4, 12)))]
    for _ in range(draw(st.integers(1, most))):
        patch = patches[draw(st.integers(0, len(patches) - 1))]
        angle = draw(st.sampled_from([0.0, pi / 2, pi / 4]) | st.floats(0, pi))
        a, b = cos(angle), sin(angle)
        reach = [a * x + b * y for x, y in patch]
        share = draw(st.sampled_from([0.25, 0.5]) | st.floats(0.2, 0.8))
        c = min(reach) + share * (max(reach) - min(reach))
        halves = [clip_outline(patch, a, b, c), clip_outline(patch, -a, -b, -c)]
        if all(half and min(measure_edges(half)) > 0.2 and measure_area(half) > 0.2 for half in halves):
            patches[patches.index(patch) : patches.index(patch) + 1] = halves
    assume(len(patches) > 1)
    return tuple(patches)


def is_one_region(outlines):
    """Tell by a general geometry library, with a hair of slack, whether outlines tile one region without hole."""
    polygons = shapely.polygons([shapely.linearrings(outline) for outline in outlines])
    joined = shapely.union_all(shapely.buffer(polygons, 1e-7, join_style="mitre"))
    if joined.geom_type != "Polygon" or any(shapely.Polygon(ring).area > 1e-5 for ring in joined.interiors):
        return False
    return abs(sum(polygon.area for polygon in polygons) - shapely.Polygon(joined.exterior).area) < 1e-4


def neighbours_by_search(outlines):
    """Return the pairs of outlines whose boundaries run together for a while, compared each with each."""
    rings = [shapely.LinearRing(outline) for outline in outlines]
    return [
        (i, j)
        for i in range(len(rings))
        for j in range(i + 1, len(rings))
        if rings[i].intersection(rings[j].buffer(1e-6)).length > 1e-4
    ]


# Corners within edges


def test_a_neighbours_corner_within_an_edge_splits_that_edge():
    mesh = build_mesh([make_rectangle(0, 0, 4, 1), make_rectangle(0, 1, 2, 1), make_rectangle(2, 1, 2, 1)])
    upper = sorted(mesh.lengths[(mesh.face == 0) & (mesh.edge == 2)].tolist())
    assert upper == [2.0, 2.0]
    assert mesh.neighbours.tolist() == [[0, 1], [0, 2], [1, 2]]
    assert mesh.tiles()


def test_many_corners_within_one_edge_split_it_in_their_order():
    row = [make_rectangle(x, 1, 1, 1) for x in range(7)]
    mesh = build_mesh([make_rectangle(0, 0, 7, 1), *row])
    mine = np.flatnonzero((mesh.face == 0) & (mesh.edge == 2))
    assert mesh.nodes[mesh.start[mine], 0].tolist() == [7, 6, 5, 4, 3, 2, 1]
    assert mesh.face[mesh.twin[mine]].tolist() == [7, 6, 5, 4, 3, 2, 1]


def test_a_whirl_is_one_region_with_every_corner_within_an_edge():
    mesh = build_mesh(WHIRL)
    assert mesh.tiles()
    assert mesh.neighbours.tolist() == [[0, 1], [0, 2], [0, 3], [0, 4], [1, 2], [1, 4], [2, 3], [3, 4]]
    assert mesh.trace_outside()[0].count((0.0, 0.0)) == 1


def test_corners_nearer_than_the_tolerance_are_one_corner():
    mesh = build_mesh([make_rectangle(0, 0, 1, 1), make_rectangle(1 + 4e-6, -3e-6, 1, 1)])
    assert len(mesh.nodes) == 6
    assert mesh.tiles()


def test_patches_that_only_meet_in_a_corner_are_corner_neighbours():
    checker = [make_rectangle(x, y, 1, 1) for y in range(2) for x in range(2)]
    mesh = build_mesh(checker)
    assert mesh.neighbours.tolist() == [[0, 1], [0, 2], [1, 3], [2, 3]]
    assert mesh.corner_neighbours.tolist() == [[0, 1], [0, 2], [0, 3], [1, 2], [1, 3], [2, 3]]


# Random subdivisions


@UNHURRIED
@given(subdivisions())
@example(WHIRL)
def test_every_subdivision_is_shown_to_tile(outlines):
    mesh = build_mesh(outlines)
    assert mesh.tiles()
    loop = mesh.trace_outside()[0]
    assert measure_area(loop) == pytest.approx(sum(measure_area(outline) for outline in outlines), rel=1e-9)


@UNHURRIED
@given(subdivisions())
@example(WHIRL)
def test_neighbours_are_those_that_a_search_of_every_pair_finds(outlines):
    assert [tuple(pair) for pair in build_mesh(outlines).neighbours.tolist()] == neighbours_by_search(outlines)


@UNHURRIED
@given(subdivisions())
@example(WHIRL)
def test_each_side_has_its_twin_across_the_seam_or_lies_on_the_outside(outlines):
    mesh = build_mesh(outlines)
    inner = np.flatnonzero(mesh.twin >= 0)
    assert (mesh.twin[mesh.twin[inner]] == inner).all()
    assert (mesh.face[mesh.twin[inner]] != mesh.face[inner]).all()
    left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
    outside = mesh.lengths[mesh.twin < 0].sum()
    assert outside == pytest.approx(2 * (right - left + top - bottom), rel=1e-6)


@UNHURRIED
@given(subdivisions())
def test_the_sides_of_a_patch_are_as_long_together_as_its_edges(outlines):
    mesh = build_mesh(outlines)
    girths = [float(mesh.lengths[mesh.face == i].sum()) for i in range(len(outlines))]
    assert girths == pytest.approx([sum(measure_edges(outline)) for outline in outlines], rel=1e-6)


@UNHURRIED
@given(subdivisions(), st.randoms(use_true_random=False))
def test_the_order_of_the_outlines_changes_no_neighbour(outlines, rng):
    order = list(range(len(outlines)))
    rng.shuffle(order)
    mesh = build_mesh([outlines[i] for i in order])
    found = {frozenset((order[i], order[j])) for i, j in mesh.neighbours.tolist()}
    assert found == {frozenset(pair) for pair in build_mesh(outlines).neighbours.tolist()}


# Damaged subdivisions


def damage(outlines, which, kind, dx, dy):
    patches = list(outlines)
    if kind == "moved":
        patches[which] = move_outline(patches[which], dx, dy)
    elif kind == "dropped":
        del patches[which]
    elif kind == "doubled":
        patches.append(patches[which])
    elif kind == "grown":
        patches[which] = offset_outline(patches[which], abs(dx))
    else:
        patches[which] = offset_outline(patches[which], -abs(dx) / 10)
    return patches


@UNHURRIED
@given(
    subdivisions(),
    st.integers(0, 99),
    st.sampled_from(["moved", "dropped", "doubled", "grown", "shrunk"]),
    st.floats(0.02, 0.3),
    st.floats(-0.3, 0.3),
)
@example(WHIRL, 0, "dropped", 0.1, 0.0)
@example(WHIRL, 0, "moved", 0.1, 0.0)
@example(WHIRL, 1, "dropped", 0.1, 0.0)
def test_damaged_outlines_tile_only_where_a_general_geometry_library_says_so(outlines, which, kind, dx, dy):
    damaged = damage(outlines, which % len(outlines), kind, dx, dy)
    assume(not find_crossing(damaged))
    assert build_mesh(damaged).tiles() == is_one_region(damaged)


@UNHURRIED
@given(subdivisions(), st.integers(0, 99), st.sampled_from(["doubled", "grown"]), st.floats(0.02, 0.3))
def test_a_doubled_or_a_grown_patch_is_found_and_its_overlap_measured(outlines, which, kind, amount):
    which %= len(outlines)
    damaged = damage(outlines, which, kind, amount, 0)
    assert not build_mesh(damaged).tiles()
    overlaps = find_overlaps(damaged)
    assert all(which in (i, j) for i, j, _ in overlaps)
    assert overlaps
    if kind == "doubled":
        assert overlaps[0][2] == pytest.approx(measure_area(outlines[which]))


@pytest.mark.parametrize("kind", ["moved", "dropped", "doubled", "grown", "shrunk"])
def test_a_grid_with_its_middle_patch_damaged_does_not_tile(kind):
    grid = [make_rectangle(2 * x, 2 * y, 2, 2) for y in range(3) for x in range(3)]
    assert build_mesh(grid).tiles()
    assert not build_mesh(damage(grid, 4, kind, 0.1, 0.05)).tiles()


def test_a_top_without_one_of_its_corner_blocks_still_tiles():
    grid = [make_rectangle(2 * x, 2 * y, 2, 2) for y in range(3) for x in range(3)]
    assert build_mesh(grid[1:]).tiles()


def test_a_hole_is_named_with_the_patches_round_it():
    gaps = find_gaps(WHIRL[1:])
    assert [(round(abs(measure_area(hole)), 9), around) for hole, around in gaps] == [(16.0, (0, 1, 2, 3))]
    assert not build_mesh(WHIRL[1:]).tiles()


def test_patches_that_touch_in_one_corner_only_are_two_parts():
    pair = [make_rectangle(0, 0, 2, 2), make_rectangle(2, 2, 2, 2)]
    assert not build_mesh(pair).tiles()
    assert count_parts(pair) == 2


def test_patches_apart_are_not_one_region():
    pair = [make_rectangle(0, 0, 2, 2), make_rectangle(5, 0, 2, 2)]
    assert not build_mesh(pair).tiles()
    assert count_parts(pair) == 2
    assert len(build_mesh(pair).trace_outside()) == 2


def test_an_outline_that_crosses_itself_is_found():
    bow = ((0, 0), (4, 4), (4, 0), (0, 3))
    found = find_crossing([make_rectangle(0, 0, 2, 2), bow])
    assert [i for i, _ in found] == [1]
