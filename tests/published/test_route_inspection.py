"""Route inspection against the oldest worked example and against streets of squares.

The seven bridges: L. Euler, Solutio problematis ad geometriam situs pertinentis, Commentarii academiae scientiarum
Petropolitanae 8 (1741), pp. 128-140: no walk crosses each bridge once (from memory). With every bridge of unit length
the least repeated is 2 closed (four odd banks, two pairs) and 1 open. The figures for grids follow from the odd
corners: (a - 1) on each long side, (b - 1) on each short one, paired along the rim; whole numbers, so no tolerance.
"""

import pytest

from kit.solvers.routing.trails import NetworkEdge, plan_trails

BRIDGES = [(0, 1), (0, 1), (0, 2), (0, 2), (0, 3), (1, 3), (2, 3)]
GRIDS = {(2, 2): (16, 14), (3, 3): (28, 27), (4, 4): (48, 46), (5, 5): (68, 67), (6, 8): (124, 122)}


def make_grid(a, b):
    """Every side of a by b unit squares."""
    across = [NetworkEdge(i * (b + 1) + j, (i + 1) * (b + 1) + j, 1.0) for i in range(a) for j in range(b + 1)]
    return across + [NetworkEdge(i * (b + 1) + j, i * (b + 1) + j + 1, 1.0) for i in range(a + 1) for j in range(b)]


def follow(edges, trail):
    """Assert that a trail hangs together and return how often it runs along each edge."""
    here, times = trail.start, [0] * len(edges)
    for k, back in trail.steps:
        first, last = (edges[k].b, edges[k].a) if back else (edges[k].a, edges[k].b)
        assert first == here
        here = last
        times[k] += 1
    assert here == trail.end
    return times


def test_no_walk_crosses_each_of_the_seven_bridges_once():
    edges = [NetworkEdge(a, b, 1.0) for a, b in BRIDGES]
    (walk,) = plan_trails(edges, closed=False)
    assert sorted(follow(edges, walk)) == [1] * 6 + [2]
    assert walk.length == walk.bound == 8


def test_the_round_over_the_seven_bridges_crosses_nine_times():
    edges = [NetworkEdge(a, b, 1.0) for a, b in BRIDGES]
    (walk,) = plan_trails(edges)
    assert min(follow(edges, walk)) == 1
    assert walk.start == walk.end
    assert walk.length == walk.bound == 9


@pytest.mark.parametrize("size", GRIDS, ids=lambda size: f"{size[0]}x{size[1]}")
def test_every_line_of_a_grid_is_stitched_at_the_known_least_length(size):
    edges = make_grid(*size)
    for closed, least in zip((True, False), GRIDS[size], strict=True):
        (trail,) = plan_trails(edges, closed=closed)
        assert min(follow(edges, trail)) == 1
        assert (trail.start == trail.end) == closed
        assert trail.length == trail.bound == least
