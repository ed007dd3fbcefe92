"""Ways of stitching: lines lie where they are wanted, at their distance, inside, and cover what they should."""

from itertools import pairwise
from math import hypot, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from quilting_sweep import FIGURES
from random_areas import PLAIN, draw_area, measure_lines

from kit.geometry.gaps import measure_clearance
from kit.geometry.outlines import make_rectangle, turn_outline
from kit.geometry.paths import crosses_itself, find_holders, lies_inside, measure_path, measure_region, split_path
from kit.model.quilting_wishes import TIGHTEST, WAYS, Stitching
from kit.planning.quilting.quilting_ways import stitch_region

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
    return stitch_region(Stitching("here", way, spacing, **more), rings, (0.37, 0.21), 0).paths


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
        assert away.min() >= turn * spacing - 1 / 64
        # a corner is rounded to a quarter of the spacing: of 45 degrees, the sharpest here, it is cut by 0.4 spacings
        assert away.max() <= turn * spacing + 0.25 * spacing * (1 / sin(pi / 8) - 1)
        assert np.median(np.abs(away - turn * spacing)) <= 1 / 64
    rounds = {round(float(np.median(distance_to_edge(rings, walk(p)))) / spacing) for p in paths}
    assert rounds == set(range(1, len(rounds) + 1))
    x, y = np.meshgrid(np.linspace(-1, 20, 211), np.linspace(-1, 16, 171))
    places = np.column_stack([x.ravel(), y.ravel()])
    within = places[find_holders([rings[0]], places) == 0]
    holes = within[find_holders(rings[1:], within) == 0] if len(rings) > 1 else within[:0]
    free = np.array(sorted({tuple(p) for p in within.tolist()} - {tuple(p) for p in holes.tolist()}))
    # a last ring with no room for its round corners is left out
    assert distance_to_edge(rings, free).max() <= (len(rounds) + 1 + 0.25) * spacing + 1 / 64


@pytest.mark.parametrize("name", REGIONS)
@pytest.mark.parametrize(
    ("way", "widest"),
    [
        ("meander", 2.4),
        ("swirls", 1.75),
        ("loops", 2.2),
        ("spiral", 1.75),
        ("grid", 1.01),
        ("pebbles", 1.9),
        ("chain", 2.2),
    ],
)
@pytest.mark.parametrize("spacing", [0.5, 0.8])
def test_a_filler_stays_inside_and_leaves_hardly_any_open_circle_over_so_many_spacings(way, widest, name, spacing):
    rings = REGIONS[name]
    paths = stitch(way, rings, spacing)
    assert lies_inside(rings, paths)
    clear = measure_clearance(paths, rings)
    wide = clear.centres[2 * clear.radii > widest * spacing]
    rare = np.unique(np.floor(wide / (2 * spacing)), axis=0)
    assert len(rare) <= max(3, 0.04 * measure_region(rings) / (2 * spacing) ** 2)


@pytest.mark.parametrize("name", REGIONS)
def test_a_meander_is_one_line_from_the_edge_and_back_that_never_crosses_itself(name):
    rings = REGIONS[name]
    (path,) = stitch("meander", rings, 0.5)
    assert tuple(path[0]) == tuple(path[-1])
    assert distance_to_edge(rings, path[:1])[0] < 1e-9
    assert not crosses_itself(path)


@pytest.mark.parametrize("seed", range(0, 28, 2))
@pytest.mark.parametrize("way", WAYS[1:])
def test_any_area_takes_its_way_or_a_narrower_form_or_is_left_to_its_seams(way, seed):
    """A sample of the sweep of quilting; the least radius is measured by circles through three points."""
    _, rings = draw_area(seed)
    drawn = stitch_region(Stitching("area", way, 0.6, motif=FIGURES.get(way, ())), rings, rings[0][0], seed)
    assert drawn.fit in ("as wished", "narrower", "left")
    assert bool(drawn.paths) == (drawn.fit != "left")
    if drawn.paths:
        inside, crossing, bend, _, _ = measure_lines(rings, drawn.paths, drawn.spacing, way)
        assert inside
        assert not crossing
        assert bend >= 0.9 * TIGHTEST


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
    if way in PLAIN:
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


@pytest.mark.parametrize("name", ["rectangle", "square", "triangle", "parallelogram", "strip", "corner piece"])
def test_a_serpentine_runs_from_end_to_end_and_swings_between_the_two_sides(name):
    rings = REGIONS[name]
    (path,) = stitch("serpentine", rings, 0.8)
    assert lies_inside(rings, [path])
    assert not crosses_itself(path)
    assert distance_to_edge(rings, path[[0, -1]]).max() < 1e-6
    assert distance_to_edge(rings, walk(path)[20:-20]).min() > 0.01


def test_half_a_wave_of_a_serpentine_takes_one_spacing():
    (path,) = stitch("serpentine", REGIONS["strip"], 1.5)
    middle = walk(path)[:, 1] - 1.0
    crossings = np.flatnonzero(np.diff(np.sign(np.round(middle, 6))) != 0)
    assert len(set(np.round(walk(path)[crossings, 0] / 1.5 - 0.5).tolist())) == 8
    assert np.abs(middle).max() == pytest.approx(0.86, abs=0.02), "the rest stays free at the edge"


def test_a_chain_round_a_border_comes_out_even_at_every_corner():
    """At all four corners of a border the strands do the same: turned by a half turn the chain lies on itself."""
    paths = stitch("chain", REGIONS["frame"], 1.6)
    assert all(tuple(path[0]) == tuple(path[-1]) for path in paths)
    middle = np.array([10.0, 8.0])
    for path in paths:
        turned = 2 * middle - walk(path)
        away = np.min([distance_to_edge((tuple(map(tuple, other[:-1].tolist())),), turned) for other in paths], axis=0)
        assert away.max() < 0.12


@pytest.mark.parametrize("name", ["rectangle", "square", "triangle", "parallelogram", "corner piece"])
def test_corner_curves_run_from_corner_to_corner_inside_the_patch(name):
    rings = REGIONS[name]
    paths = stitch("corner curves", rings, 1.0)
    ends = np.array([path[0] for path in paths])
    assert sorted(map(tuple, ends.round(6).tolist())) == sorted(rings[0])
    assert all(hypot(*(path[-1] - ends[(k + 1) % len(ends)])) < 1e-6 for k, path in enumerate(paths))
    assert lies_inside(rings, paths)
    assert not crosses_itself(np.concatenate([path[:-1] for path in paths] + [paths[0][:1]]))


@pytest.mark.parametrize(("way", "spacing"), [("echo", 2.5), ("outline", 2.5), ("motif", 2.5)])
def test_a_region_too_narrow_for_every_form_of_its_way_is_left(way, spacing):
    drawn = stitch_region(Stitching("here", way, spacing, motif=STAR), REGIONS["strip"], (0.0, 0.0), 0)
    assert (drawn.fit, drawn.paths) == ("left", ())


def test_a_region_too_narrow_for_the_wish_takes_the_narrower_form():
    drawn = stitch_region(Stitching("here", "echo", 1.2), REGIONS["strip"], (0.0, 0.0), 0)
    assert drawn.fit == "narrower"
    assert drawn.spacing == pytest.approx(0.66)
    away = distance_to_edge(REGIONS["strip"], walk(drawn.paths[0]))
    assert away.min() == pytest.approx(0.66, abs=1 / 64)
    assert away.max() < 0.66 + 0.25 * 0.66


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
