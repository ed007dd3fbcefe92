"""Pairing the odd places of a network with the least length, and a proven bound."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

import rustworkx
from rustworkx.visit import DijkstraVisitor, StopSearch

Network = Sequence[Sequence[tuple[int, int, float]]]
"""For each node, the (neighbour, edge, length) of its edges."""

EXACT = 200
"""The most odd places paired exactly among all pairs; beyond it each is paired only with its nearest."""
NEAREST = 10
SCALE = 100_000
"""Lengths are matched as whole hundred-thousandths of an inch."""


@dataclass(frozen=True)
class Pairing:
    """Odd places joined two and two.

    Attributes
    ----------
    paths
        For each pair, the edges from one to the other.
    free
        Unpaired places: the beginning and the end of an open route.
    length
        Inches of all paths.
    bound
        No pairing is shorter.
    """

    paths: tuple[tuple[int, ...], ...]
    free: tuple[int, ...]
    length: float
    bound: float


def pair_odd(network: Network, odd: Sequence[int], free: int = 0) -> Pairing:
    """Join odd places two and two along shortest paths of least total length, leaving out `free` of them.

    Find the shortest ways between odd places, add one helper without length for each place that may stay free, and
    match by greatest weight; the weight is how much shorter a way is than the longest.

    Parameters
    ----------
    network
        Lengths in inches.
    odd
        The places: an even number plus `free`.
    free
        0 for a closed route, 1 if only its end is free, 2 if both ends are.

    Notes
    -----
    Exact for up to 200 places: O(n³), 0.2 s. Beyond, each place looks at its 10 nearest, and the bound comes from
    discs around the places. The radii of two discs never add up to more than the way between their centres, so
    paired places are at least their radii apart.

    References
    ----------
    J. Edmonds, E. Johnson, Matching, Euler tours and the Chinese postman, Mathematical Programming 5 (1973), p. 88;
    M. Jünger, W. Pulleyblank, Geometric duality and combinatorial optimization (1993), on discs (both from memory).
    """
    if len(odd) <= free:
        return Pairing((), tuple(odd), 0.0, 0.0)
    few = len(odd) <= EXACT
    near = len(odd) if few else NEAREST
    while True:
        ways, limits = find_shortest_ways(network, odd, near)
        mates = _match(len(odd), ways, free)
        if mates is not None:
            break
        near *= 2
    graph = _make_graph(network)
    paths, unpaired, length = [], [], 0.0
    for i, j in mates:
        if j < 0:
            unpaired.append(odd[i])
        else:
            paths.append(_follow(graph, network, odd[i], odd[j]))
            length += ways[i, j]
    bound = length if few else min(length, _bound(ways, limits, free))
    return Pairing(tuple(paths), tuple(unpaired), length, bound)


def bound_pairing(network: Network, odd: Sequence[int], free: int = 0) -> float:
    """Return a lower bound on every pairing, as in `pair_odd`, but without pairing if there are many places."""
    if len(odd) <= EXACT:
        return pair_odd(network, odd, free).bound
    return _bound(*find_shortest_ways(network, odd, NEAREST), free)


Ways = dict[tuple[int, int], float]
"""For pairs in rising order, the length of the shortest way between them."""


def find_shortest_ways(network: Network, odd: Sequence[int], near: int) -> tuple[Ways, list[float]]:
    """Return the shortest ways from each odd place to its nearest places, and the radius of each search."""
    graph = _make_graph(network)
    ways: Ways = {}
    if near >= len(odd):
        for i, source in enumerate(odd):
            far = rustworkx.dijkstra_shortest_path_lengths(graph, source, float)
            ways |= {(i, j): far[odd[j]] for j in range(i + 1, len(odd)) if odd[j] in far}
        return ways, [inf] * len(odd)
    index = {place: i for i, place in enumerate(odd)}
    limits = []
    for i, source in enumerate(odd):
        nearest = _Nearest(index, source, near)
        rustworkx.dijkstra_search(graph, [source], float, nearest)
        limits.append(nearest.limit)
        ways |= {(min(i, j), max(i, j)): length for j, length in nearest.found.items()}
    return ways, limits


def _make_graph(network: Network) -> rustworkx.PyGraph[None, float]:
    graph: rustworkx.PyGraph[None, float] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * len(network))
    graph.add_edges_from([(a, b, size) for a, ways in enumerate(network) for b, _, size in ways if a <= b])
    return graph


class _Nearest(DijkstraVisitor[float]):
    """Notes how far the nearest odd places lie from one, and stops the search with the last that is wanted.

    Attributes
    ----------
    found
        Number of an odd place -> inches.
    limit
        No place nearer than this was missed.
    """

    def __init__(self, index: Mapping[int, int], source: int, near: int) -> None:
        self.index, self.source, self.near = index, source, near
        self.found: dict[int, float] = {}
        self.limit = inf

    def discover_vertex(self, v: int, score: float) -> None:
        """Enter a place as the search reaches it."""
        if v not in self.index or v == self.source:
            return
        self.found[self.index[v]] = score
        if len(self.found) == self.near:
            self.limit = score
            raise StopSearch


def _follow(graph: rustworkx.PyGraph[None, float], network: Network, source: int, goal: int) -> tuple[int, ...]:
    """Return the edges of the shortest way between two places."""
    places = rustworkx.dijkstra_shortest_paths(graph, source, goal, float)[goal]
    return tuple(min((size, k) for b, k, size in network[a] if b == there)[1] for a, there in pairwise(places))


def _match(count: int, ways: Ways, free: int) -> list[tuple[int, int]] | None:
    """Return pairs of least length, with -1 for a free place, or None if not all can be paired."""
    longest = max(ways.values(), default=0.0)
    top = round(longest * SCALE) + 1
    edges = [(i, j, top - round(size * SCALE)) for (i, j), size in ways.items()]
    edges += [(i, count + k, top) for k in range(free) for i in range(count)]
    graph: rustworkx.PyGraph[None, int] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * (count + free))
    graph.add_edges_from(edges)
    mates = rustworkx.max_weight_matching(graph, max_cardinality=True, weight_fn=int)
    if 2 * len(mates) < count + free:
        return None
    pairs = sorted((min(a, b), max(a, b)) for a, b in mates)
    return [(a, b if b < count else -1) for a, b in pairs]


def _bound(ways: Ways, limits: Sequence[float], free: int) -> float:
    """Return the sum of the radii of discs that grow in turn as far as their neighbours allow.

    An unseen way is at least as long as the search radius of each of its ends; so radii of half of it cannot make
    two discs overlap unseen.
    """
    lists: list[list[tuple[float, int]]] = [[] for _ in limits]
    for (i, j), size in ways.items():
        lists[i].append((size, j))
        lists[j].append((size, i))
    radius = [min(size for size, _ in around) / 2 for around in lists]
    for _ in range(3):
        for i, around in enumerate(lists):
            radius[i] = min([limits[i] / 2, *(size - radius[j] for size, j in around)])
    left_out = sorted(radius, reverse=True)[:free]
    return max(0.0, sum(radius) - sum(left_out))
