"""Lines closed into patches, and ends brought together: counted against known sequences and another way of closing."""

from math import cos, pi, sin

import pytest
import shapely
from drawings import sheets
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import PatchworkError
from kit.geometry.closing import MOST_LINES, close_lines, find_holder, frame_lines, measure_narrowest
from kit.geometry.outlines import measure_area
from kit.geometry.snapping import find_near_misses, snap_ends

MANY = settings(max_examples=60)


@pytest.mark.parametrize(("n", "regions"), [(1, 2), (2, 4), (3, 7), (4, 11), (5, 16), (10, 56), (20, 211)])
def test_n_lines_that_all_cross_divide_a_square_as_the_sequence_of_the_lazy_caterer_has_it(n, regions):
    # OEIS A000124, n(n + 1)/2 + 1 (from memory)
    lines = [((10 + 70 * i / n + i * i / n / n, 0), (90 - 70 * i / n - (i / n) ** 3, 100)) for i in range(n)]
    assert len(close_lines(lines, 100, 100).outlines) == regions


@pytest.mark.parametrize(("n", "regions"), [(4, 4), (8, 80), (12, 444)])
def test_a_regular_polygon_with_all_its_diagonals_has_the_known_number_of_regions(n, regions):
    # OEIS A007678; B. Poonen, M. Rubinstein, The number of intersection points made by the diagonals of a regular
    # polygon, SIAM J. Discrete Mathematics 11 (1998), p. 135, table 1 (from memory). Three diagonals and more meet in
    # one place here. Four of its sides lie on the frame, which leaves four corners outside, but for n = 4.
    reach = 10 / cos(pi / n)
    corners = [(10 + reach * cos((2 * k + 1) * pi / n), 10 + reach * sin((2 * k + 1) * pi / n)) for k in range(n)]
    corners = [(min(max(x, 0), 20), min(max(y, 0), 20)) for x, y in corners]
    lines = [(corners[i], corners[j]) for i in range(n) for j in range(i)]
    closed = close_lines(lines, 20, 20)
    assert len(closed.outlines) == regions + (4 if n > 4 else 0)
    assert not closed.open_ends
    assert not closed.islands


@MANY
@given(sheets())
def test_a_sheet_closes_into_as_many_patches_as_it_was_cut_into_and_they_fill_it(sheet):
    closed = close_lines(sheet.lines, sheet.across, sheet.up)
    assert len(closed.outlines) == sheet.patches
    assert sum(map(measure_area, closed.outlines)) == pytest.approx(sheet.across * sheet.up)
    assert (closed.open_ends, closed.bridges, closed.islands) == ((), (), ())


POINT = st.tuples(st.integers(0, 9), st.integers(0, 9))


@MANY
@given(st.lists(st.tuples(POINT, POINT).filter(lambda line: line[0] != line[1]), max_size=8))
def test_any_lines_close_as_a_general_library_closes_them(lines):
    closed = close_lines(lines, 9, 9)
    drawn = [shapely.LineString(line) for line in [*lines, *frame_lines(9, 9)]]
    found, cuts, dangles, _ = shapely.polygonize_full([shapely.node(shapely.union_all(drawn))])
    assert len(closed.outlines) == len(shapely.get_parts(found))
    assert bool(closed.open_ends) == bool(shapely.get_num_geometries(dangles))
    if not closed.open_ends:
        assert bool(closed.bridges) == bool(shapely.get_num_geometries(cuts))
    holes = sum(len(face.interiors) for face in shapely.get_parts(found))
    assert len(closed.islands) == holes
    for end in closed.open_ends:
        assert end.at in lines[end.line] or end.at in closed.nodes


def test_an_end_in_the_open_is_told_with_the_line_that_it_misses():
    closed = close_lines([((0, 5), (10, 5)), ((3, 0), (3, 4.5))], 10, 10)
    (end,) = closed.open_ends
    assert (end.line, end.at, end.near, end.distance) == (1, (3, 4.5), 0, 0.5)


def test_a_ring_that_touches_nothing_is_an_island_of_its_lines():
    ring = [((2, 2), (4, 2)), ((4, 2), (3, 4)), ((3, 4), (2, 2))]
    assert close_lines([((0, 6), (9, 6)), *ring], 9, 9).islands == ((1, 2, 3),)


def test_a_line_between_two_rings_has_one_patch_on_both_its_sides():
    rings = [((x, y), (x + dx, y + dy)) for x in (1, 6) for y, dx, dy in ((1, 2, 0), (1, 0, 2))]
    rings += [((x + 2, 1), (x, 3)) for x in (1, 6)]
    closed = close_lines([*rings, ((3, 1), (6, 1))], 9, 9)
    assert closed.bridges == (6,)


def test_lines_drawn_twice_and_over_one_another_are_one():
    once = close_lines([((0, 5), (10, 5))], 10, 10)
    twice = close_lines([((0, 5), (6, 5)), ((10, 5), (4, 5)), ((0, 5), (10, 5))], 10, 10)
    assert once.outlines == twice.outlines


def test_too_many_lines_and_too_many_meetings_are_refused_before_the_work():
    with pytest.raises(PatchworkError, match="100,000 lines"):
        close_lines([((0, 0), (1, 1))] * 100_000, 9, 9)
    fan = [((100 * i / MOST_LINES, 0), (100 - 100 * i / MOST_LINES, 100)) for i in range(MOST_LINES)]
    with pytest.raises(PatchworkError, match="meet more than 200,000 times"):
        close_lines(fan, 100, 100)


def test_the_narrowest_way_through_a_patch_and_the_patch_that_holds_a_place():
    assert measure_narrowest(((0, 0), (6, 0), (3, 0.5))) == pytest.approx(0.5)
    assert measure_narrowest(((0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4))) == pytest.approx(5 / 2**0.5)
    squares = [((0, 0), (2, 0), (2, 2), (0, 2)), ((2, 0), (4, 0), (4, 2), (2, 2))]
    assert find_holder(squares, [(1, 1), (3, 1), (2, 1), (5, 5)]) == [0, 1, None, None]


# Snapping


@MANY
@given(sheets(), st.data())
def test_ends_that_were_shaken_come_back_together(sheet, data):
    corners = [(0.0, 0.0), (sheet.across, 0.0), (sheet.across, sheet.up), (0.0, sheet.up)]
    ends = [*corners, *(point for line in sheet.lines for point in line)]
    edges = [(0, 1), (1, 2), (2, 3), (3, 0), *((4 + 2 * k, 5 + 2 * k) for k in range(len(sheet.lines)))]
    off = st.floats(-0.02, 0.02)
    shaken = [*corners, *((x + data.draw(off), y + data.draw(off)) for x, y in ends[4:])]
    found, moves = snap_ends(shaken, edges, 0.12, fixed=4)
    assert found[:4] == corners
    assert all(move.end >= 4 for move in moves)
    lines = list(zip(found[4::2], found[5::2], strict=True))
    closed = close_lines([line for line in lines if line[0] != line[1]], sheet.across, sheet.up)
    assert not closed.open_ends
    assert len(closed.outlines) == sheet.patches
    assert snap_ends(found, edges, 0.12, fixed=4) == (found, ())


def test_an_end_that_overshoots_is_drawn_back_and_one_that_falls_short_is_drawn_on():
    frame = [(0, 0), (9, 0), (9, 9), (0, 9)]
    ends = [*frame, (0, 5), (9, 5), (3, 0), (3, 5.03), (6, 9), (6, 5.04)]
    edges = [(0, 1), (1, 2), (2, 3), (3, 0), (4, 5), (6, 7), (8, 9)]
    found, moves = snap_ends(ends, edges, 0.05, fixed=4)
    assert (found[7], found[9]) == ((3, 5), (6, 5))
    assert [(move.end, round(move.distance, 6)) for move in moves] == [(7, 0.03), (9, 0.04)]


def test_what_almost_meets_is_found_nearest_first_and_what_touches_is_not():
    ends = [(0, 0), (9, 0), (4, 0.02), (4, 5), (4.01, 5), (9, 9), (5, 0), (5, 3)]
    edges = [(0, 1), (2, 3), (4, 5), (6, 7)]
    misses = find_near_misses(ends, edges, 0.05)
    assert [(miss.end, miss.other, miss.is_edge) for miss in misses] == [(4, 3, False), (2, 0, True)]
    assert [round(miss.distance, 6) for miss in misses] == [0.01, 0.02]
