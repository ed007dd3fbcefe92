"""Ways of stitching: lines lie where they are wanted, at their distance, inside, and cover what they should."""

from itertools import pairwise
from math import hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.geometry.gaps import measure_clearance
from kit.geometry.outlines import make_rectangle, turn_outline
from kit.geometry.paths import crosses_itself, find_holders, lies_inside, measure_path, measure_region, split_path
from kit.model.quilting_wishes import Stitching
from kit.planning.quilting.quilting_ways import stitch_region

NON_CROSSING = ("outline", "echo", "motif", "grid", "serpentine", "swirls", "meander")
"""Ways whose lines neither cross themselves nor one another within a region."""

REGIONS = {
    "rectangle": (make_rectangle(0, 0, 10, 3),),
    "square": (make_rectangle(2, -1, 8, 8),),
    "triangle": (((0.0, 0.0), (9.0, 0.0), (0.0, 9.0)),),
    "parallelogram": (((0.0, 0.0), (8.0, 0.0), (11.0, 3.0), (3.0, 3.0)),),
    "strip": (make_rectangle(0, 0, 12, 2),),
    "corner piece": (((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (4.0, 4.0), (4.0, 10.0), (0.0, 10.0)),),
    "frame": (make_rectangle(0, 0, 20, 16), make_rectangle(3, 3, 14, 10)[::-1]),
}
STAR = ((0, 0), (2, 1), (4, 0), (3, 2), (4, 4), (2, 3), (0, 4), (1, 2))


def stitch(way, rings, spacing, **more):
    return stitch_region(Stitching("here", way, spacing, **more), rings, (0.37, 0.21), 0, "here")


def distance_to_edge(rings, points):
    """The least distance of each point to the edges of a region, by plain arithmetic."""
    least = np.full(len(points), np.inf)
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
            run = np.array([bx - ax, by - ay])
            t = np.clip(((points - (ax, ay)) @ run) / (run @ run), 0, 1)
            foot = np.array([ax, ay]) + t[:, None] * run
            least = np.minimum(least, np.hypot(*(points - foot).T))
    return least


def walk(path, step=0.05):
    at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    s = np.linspace(0, at[-1], max(2, int(at[-1] / step)))
    return np.column_stack([np.interp(s, at, path[:, 0]), np.interp(s, at, path[:, 1])])


@pytest.mark.parametrize("name", REGIONS)
@pytest.mark.parametrize("spacing", [0.25, 0.5, 0.7])
def test_echo_lines_keep_their_distance_everywhere(name, spacing):
    rings = REGIONS[name]
    paths = stitch("echo", rings, spacing)
    for path in paths:
        away = distance_to_edge(rings, walk(path))
        turn = round(float(np.median(away)) / spacing)
        assert turn >= 1
        assert np.abs(away - turn * spacing).max() <= 1 / 64
    rounds = {round(float(np.median(distance_to_edge(rings, walk(p)))) / spacing) for p in paths}
    assert rounds == set(range(1, len(rounds) + 1))
    x, y = np.meshgrid(np.linspace(-1, 20, 211), np.linspace(-1, 16, 171))
    places = np.column_stack([x.ravel(), y.ravel()])
    within = places[find_holders([rings[0]], places) == 0]
    holes = within[find_holders(rings[1:], within) == 0] if len(rings) > 1 else within[:0]
    free = np.array(sorted({tuple(p) for p in within.tolist()} - {tuple(p) for p in holes.tolist()}))
    assert distance_to_edge(rings, free).max() <= (len(rounds) + 1) * spacing + 1 / 64


@pytest.mark.parametrize("name", REGIONS)
@pytest.mark.parametrize("way", ["meander", "loops", "swirls"])
@pytest.mark.parametrize("spacing", [0.5, 1.0])
def test_a_filler_stays_inside_and_leaves_no_circle_of_one_and_a_half_spacings_open(way, name, spacing):
    rings = REGIONS[name]
    (path,) = stitch(way, rings, spacing)
    assert lies_inside(rings, [path])
    assert 2 * measure_clearance([path], rings).bound <= 1.5 * spacing
    assert tuple(path[0]) == tuple(path[-1])
    assert distance_to_edge(rings, path[:1])[0] < 1e-9
    assert crosses_itself(path) == (way == "loops")


@pytest.mark.parametrize("quarter", [1, 2, 3])
def test_a_turned_region_gets_the_same_filler_turned(quarter):
    ring = REGIONS["triangle"][0]
    (plain,) = stitch("meander", (ring,), 0.5)
    (turned,) = stitch("meander", (turn_outline(ring, 90 * quarter),), 0.5)
    back = np.array(turn_outline(turned.tolist(), -90 * quarter))
    assert measure_path(turned) == pytest.approx(measure_path(plain))
    assert np.abs(np.sort(back, axis=0) - np.sort(plain, axis=0)).max() < 1e-5


@pytest.mark.parametrize("name", REGIONS)
@pytest.mark.parametrize("way", ["outline", "echo", "motif", "grid", "crosshatch", "meander", "swirls", "loops"])
def test_every_line_lies_inside_its_region_and_only_some_ways_cross(way, name):
    rings = REGIONS[name]
    paths = stitch(way, rings, 0.5, motif=STAR)
    assert lies_inside(rings, paths)
    if way in NON_CROSSING:
        assert not any(crosses_itself(path) for path in paths)


@pytest.mark.parametrize("angle", [0, 30, 45, 90, 123.4])
@pytest.mark.parametrize("spacing", [0.25, 0.4])
def test_parallel_lines_measure_the_area_over_their_distance(angle, spacing):
    for name in ("square", "corner piece", "frame"):
        rings = REGIONS[name]
        total = sum(measure_path(path) for path in stitch("grid", rings, spacing, angle=angle))
        assert total == pytest.approx(measure_region(rings) / spacing, rel=0.03)


def test_a_crosshatch_is_a_grid_and_the_grid_across():
    rings = REGIONS["triangle"]
    both = stitch("crosshatch", rings, 0.5, angle=20)
    one, other = stitch("grid", rings, 0.5, angle=20), stitch("grid", rings, 0.5, angle=110)
    assert sum(map(measure_path, both)) == pytest.approx(sum(map(measure_path, one + other)))


@pytest.mark.parametrize("name", ["rectangle", "square", "triangle", "parallelogram", "strip"])
def test_a_serpentine_runs_from_end_to_end_and_swings_between_the_two_sides(name):
    rings = REGIONS[name]
    (path,) = stitch("serpentine", rings, 0.8)
    assert lies_inside(rings, [path])
    assert not crosses_itself(path)
    assert distance_to_edge(rings, path[[0, -1]]).max() < 1e-6
    assert distance_to_edge(rings, path[20:-20]).min() > 0.01


def test_half_a_wave_of_a_serpentine_takes_one_spacing():
    (path,) = stitch("serpentine", REGIONS["strip"], 1.5)
    middle = path[:, 1] - 1.0
    crossings = np.flatnonzero(np.diff(np.sign(np.round(middle, 9))) != 0)
    assert len(set(np.round(path[crossings, 0] / 1.5).tolist())) in (8, 9)
    assert np.abs(middle).max() == pytest.approx(1.0 - 0.3, abs=0.1)


@pytest.mark.parametrize("name", ["rectangle", "square", "triangle", "parallelogram", "corner piece"])
def test_corner_curves_run_from_corner_to_corner_inside_the_patch(name):
    rings = REGIONS[name]
    paths = stitch("corner curves", rings, 1.0)
    ends = [tuple(path[0]) for path in paths]
    assert ends == list(rings[0])
    assert all(tuple(path[-1]) == ends[(k + 1) % len(ends)] for k, path in enumerate(paths))
    assert lies_inside(rings, paths)
    assert not crosses_itself(np.concatenate([path[:-1] for path in paths] + [paths[0][:1]]))


@pytest.mark.parametrize(
    ("way", "spacing"),
    [("meander", 1.5), ("swirls", 1.5), ("loops", 1.5), ("echo", 1.1), ("outline", 1.0), ("motif", 1.2)],
)
def test_a_region_too_narrow_is_refused_with_the_remedy(way, spacing):
    with pytest.raises(KitError, match="too narrow") as told:
        stitch(way, REGIONS["strip"], spacing, angle=0, motif=STAR)
    assert "`here` is 2 in wide" in str(told.value).replace("\xa0", " ")
    assert "spacing" in told.value.do or "echo" in told.value.do


def test_a_region_between_two_lines_of_a_grid_is_refused_with_the_remedy():
    with pytest.raises(KitError, match="too narrow for grid") as told:
        stitch_region(Stitching("here", "grid", 9.0, angle=0), REGIONS["strip"], (0.0, 5.0), 0, "here")
    assert "set the spacing to at most 1" in told.value.do


@pytest.mark.parametrize("name", ["corner piece", "frame"])
def test_a_serpentine_is_refused_where_there_are_no_two_sides(name):
    with pytest.raises(KitError, match="has no two sides"):
        stitch("serpentine", REGIONS[name], 1.0)


@settings(max_examples=40)
@given(
    st.lists(st.tuples(st.floats(0, 6), st.floats(0, 4)), min_size=2, max_size=7, unique=True),
    st.floats(3, 8),
    st.floats(3, 6),
)
def test_the_widest_gap_is_the_largest_empty_circle_found_by_climbing_from_a_grid(corners, width, height):
    """The other method: distances by plain arithmetic on a grid of places, then the best of them climbed uphill."""
    path = np.array(corners) * (width / 6, height / 4)
    if measure_path(path) < 0.1:
        return
    rings = (make_rectangle(0, 0, width, height),)
    found = measure_clearance([path], rings)
    segments = [*pairwise(path)]
    segments += [(np.array(a), np.array(b)) for a, b in zip(rings[0], rings[0][1:] + rings[0][:1], strict=True)]

    def room(points):
        least = np.full(len(points), np.inf)
        for a, b in segments:
            run = b - a
            size = run @ run
            t = np.clip((points - a) @ run / size, 0, 1) if size > 0 else np.zeros(len(points))
            least = np.minimum(least, np.hypot(*(points - a - t[:, None] * run).T))
        return least

    x, y = np.meshgrid(np.linspace(0, width, 50), np.linspace(0, height, 50))
    places = np.column_stack([x.ravel(), y.ravel()])
    best = places[np.argsort(-room(places))[:60]]
    ring = np.array([(np.cos(t), np.sin(t)) for t in np.linspace(0, 2 * np.pi, 16, endpoint=False)])
    step = 0.1
    while step > 1e-5:
        trial = (best[:, None] + step * ring[None]).reshape(-1, 2)
        inside = ((trial >= 0) & (trial <= (width, height))).all(axis=1)
        rooms = np.where(inside, room(trial), -1).reshape(len(best), -1)
        pick = rooms.argmax(axis=1)
        better = rooms.max(axis=1) > room(best)
        best = np.where(better[:, None], best + step * ring[pick], best)
        step *= 1 if better.any() else 0.5
    widest = room(best).max()
    assert found.radii.max() == pytest.approx(widest, abs=3e-3)
    assert found.bound >= widest - 1e-6


def test_a_path_is_split_where_it_is_told_and_nothing_is_lost():
    path = np.array([(0.0, 0.0), (3.0, 0.0), (3.0, 4.0), (0.0, 0.0)])
    parts = split_path(path, [1.0, 3.0, 5.5, 11.0])
    assert [round(measure_path(part), 9) for part in parts] == [1.0, 2.0, 2.5, 5.5, 1.0]
    for first, second in pairwise(parts):
        assert hypot(*(first[-1] - second[0])) < 1e-12
