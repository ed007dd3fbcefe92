"""Routes: every needed edge, the least repeated, as few trails as can be, and a bound that holds."""

from itertools import combinations
from math import inf

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.solvers.routing import pairing
from kit.solvers.routing.pairing import pair_odd
from kit.solvers.routing.trails import NetworkEdge, plan_trails


@st.composite
def networks(draw, most=9):
    """Connected networks of few places: a random tree and some edges more, lengths in sixteenths."""
    count = draw(st.integers(2, most))
    sixteenths = st.integers(1, 64).map(lambda n: n / 16)
    edges = [NetworkEdge(draw(st.integers(0, k - 1)), k, draw(sixteenths)) for k in range(1, count)]
    more = st.builds(NetworkEdge, st.integers(0, count - 1), st.integers(0, count - 1), sixteenths)
    return edges + draw(st.lists(more, max_size=8))


def follow(edges, trail):
    here, times = trail.start, [0] * len(edges)
    for k, back in trail.steps:
        first, last = (edges[k].b, edges[k].a) if back else (edges[k].a, edges[k].b)
        assert first == here
        here = last
        times[k] += 1
    assert here == trail.end
    assert trail.length == pytest.approx(sum(n * edge.length for n, edge in zip(times, edges, strict=True)))
    return times


def measure_all(edges):
    """All shortest ways (Floyd and Warshall), and the odd places."""
    count = 1 + max(max(e.a, e.b) for e in edges)
    far = [[0.0 if i == j else inf for j in range(count)] for i in range(count)]
    degree = [0] * count
    for e in edges:
        far[e.a][e.b] = far[e.b][e.a] = min(far[e.a][e.b], e.length) if e.a != e.b else 0.0
        degree[e.a] += 1
        degree[e.b] += 1
    for k in range(count):
        for i in range(count):
            for j in range(count):
                far[i][j] = min(far[i][j], far[i][k] + far[k][j])
    return far, [i for i in range(count) if degree[i] % 2]


def pair_by_trying(far, odd, free):
    """The least total of all ways to pair places, leaving `free` out."""
    if free:
        return min(pair_by_trying(far, rest, 0) for rest in combinations(odd, len(odd) - free))
    if not odd:
        return 0.0
    first, rest = odd[0], odd[1:]
    return min(far[first][b] + pair_by_trying(far, [c for c in rest if c != b], 0) for b in rest)


@given(networks())
def test_a_closed_route_repeats_what_the_best_of_all_pairings_repeats(edges):
    far, odd = measure_all(edges)
    (trail,) = plan_trails(edges)
    assert min(follow(edges, trail)) >= 1
    least = sum(e.length for e in edges) + pair_by_trying(far, odd, 0)
    assert trail.length == pytest.approx(least, abs=1e-4)
    assert trail.bound == pytest.approx(least, abs=1e-4)


@given(networks())
def test_an_open_route_leaves_the_costliest_two_places_unpaired(edges):
    far, odd = measure_all(edges)
    (trail,) = plan_trails(edges, closed=False)
    assert min(follow(edges, trail)) >= 1
    least = sum(e.length for e in edges) + (pair_by_trying(far, odd, 2) if odd else 0.0)
    assert trail.length == pytest.approx(least, abs=1e-4)


@given(networks(), st.data())
def test_an_open_route_from_a_given_place_begins_there_and_is_the_shortest_that_does(edges, data):
    far, odd = measure_all(edges)
    start = data.draw(st.integers(0, len(far) - 1))
    (trail,) = plan_trails(edges, closed=False, start=start)
    assert trail.start == start
    assert min(follow(edges, trail)) >= 1
    ends = sorted(set(odd) ^ {start})
    least = sum(e.length for e in edges) + pair_by_trying(far, ends, 1)
    assert trail.length == pytest.approx(least, abs=1e-4)


@given(networks(most=14))
def test_no_route_is_longer_than_the_one_that_a_graph_library_makes_by_doubling(edges):
    graph = nx.MultiGraph()
    for e in edges:
        graph.add_edge(e.a, e.b, length=e.length)
    doubled = nx.eulerize(graph)
    theirs = 0.0
    for a, b, data in doubled.edges(data=True):
        shortest = min(d["length"] for d in graph[a][b].values())
        theirs += data.get("length", shortest)
    (trail,) = plan_trails(edges)
    assert trail.length <= theirs + 1e-4


@given(networks(), st.data())
def test_needed_edges_that_lie_apart_are_joined_and_the_bound_holds(edges, data):
    wanted = data.draw(st.lists(st.booleans(), min_size=len(edges), max_size=len(edges)).filter(any))
    mixed = [NetworkEdge(e.a, e.b, e.length, need) for e, need in zip(edges, wanted, strict=True)]
    (trail,) = plan_trails(mixed)
    times = follow(mixed, trail)
    assert all(n >= 1 for n, need in zip(times, wanted, strict=True) if need)
    assert trail.start == trail.end
    assert trail.bound <= trail.length + 1e-9
    once = sum(e.length for e in mixed if e.needed)
    assert trail.bound <= once + _least_extra(mixed) + 1e-4


def _least_extra(edges):
    """The least travel over all choices of how often each edge is repeated, at most twice."""
    need = [k for k, e in enumerate(edges) if e.needed]
    count = 1 + max(max(e.a, e.b) for e in edges)
    best = inf

    def label(used):
        group = list(range(count))
        for k in used:
            a, b = group[edges[k].a], group[edges[k].b]
            group = [a if g == b else g for g in group]
        return len({group[edges[k].a] for k in need})

    def choose(k, extra, length):
        nonlocal best
        if length >= best:
            return
        if k == len(edges):
            degree = [0] * count
            for j in (*need, *extra):
                degree[edges[j].a] += 1
                degree[edges[j].b] += 1
            if not any(d % 2 for d in degree) and label([*need, *extra]) == 1:
                best = length
            return
        for n in range(2 if edges[k].needed else 3):
            choose(k + 1, [*extra, *[k] * n], length + n * edges[k].length)

    choose(0, [], 0.0)
    return best


def test_parts_that_nothing_joins_get_a_trail_each():
    edges = [
        NetworkEdge(0, 1, 1.0),
        NetworkEdge(1, 2, 1.0),
        NetworkEdge(3, 4, 2.0),
        NetworkEdge(4, 5, 1.0, needed=False),
    ]
    trails = plan_trails(edges, closed=False, start=3)
    assert [trail.start for trail in trails] == [3, 0]
    assert [trail.length for trail in trails] == [2.0, 2.0]


def test_many_odd_places_are_paired_with_a_bound_that_the_exact_pairing_keeps(monkeypatch):
    """A comb: the teeth's ends are odd; far more than are paired exactly when the limit is lowered."""
    edges = [NetworkEdge(k, k + 1, 1.0 + (k % 3) / 8) for k in range(60)] + [
        NetworkEdge(k, 61 + k, 0.5) for k in range(61)
    ]
    around = [[] for _ in range(122)]
    for k, e in enumerate(edges):
        around[e.a].append((e.b, k, e.length))
        around[e.b].append((e.a, k, e.length))
    odd = [p for p, ways in enumerate(around) if len(ways) % 2]
    exact = pair_odd(around, odd, 0)
    monkeypatch.setattr(pairing, "EXACT", 10)
    quick = pair_odd(around, odd, 0)
    assert exact.bound == exact.length
    assert quick.bound <= exact.length + 1e-6 <= quick.length + 2e-6
    assert quick.bound >= 61 * 0.5, "each tooth has an odd end, which must be reached"
