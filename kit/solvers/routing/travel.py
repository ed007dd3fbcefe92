"""The travel of a route besides its needed edges: the least found, and a lower bound for every route."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import rustworkx

from kit.solvers.routing.pairing import EXACT, NEAREST, Network, bound_pairing, pair_odd

TILTS = (1.0005, 1.3, 2.0)
"""Factor on the length of repeated needed edges: pairs then prefer ways that join groups."""
WORK = 200_000
"""The budget for improving a route: odd places times places searched, summed over the pairings tried."""
MOST_ROUNDS = 6
TINY = 1e-7
"""Inches: a smaller gain does not make a route shorter."""


@dataclass(frozen=True, slots=True)
class NetworkEdge:
    """A stretch between two places of a network.

    Attributes
    ----------
    a, b
        The places, numbered from 0; they may be one.
    length
        Inches.
    needed
        Whether the route must run along it; other stretches are only for travel.
    """

    a: int
    b: int
    length: float
    needed: bool = True


@dataclass(frozen=True)
class Travel:
    """The repeats of each edge beyond its need.

    Attributes
    ----------
    times
        Edge -> times, 1 or more.
    free
        The unpaired odd places: the ends of an open route.
    length
        Inches of travel in all.
    bound
        No route travels less.
    """

    times: dict[int, int]
    free: tuple[int, ...]
    length: float
    bound: float


def plan_travel(
    edges: Sequence[NetworkEdge], around: Network, needed: Sequence[int], start: int | None, free: int
) -> Travel:
    """Return the travel that connects the needed edges and makes every place even, except `free` places.

    If they are connected already, pair the odd places; that is the least. Otherwise join the groups by a least
    spanning tree and pair. Then try the other order: pair, join the groups still apart, keep only the joining edges,
    and pair again, as long as the route becomes shorter.

    Parameters
    ----------
    edges, around
        The network.
    needed
        Edges of one connected part of it.
    start
        The beginning of the route; None: anywhere.
    free
        0 for a closed route, 1 or 2 if one or both of its ends are free.
    """
    joining, tree, groups = join_groups(edges, around, needed, start)
    fixed = start if free == 1 else None
    best = _pair(edges, around, needed, joining, fixed, free)
    if not joining:
        return best
    odd = find_odd(edges, needed, fixed)
    bound = max(bound_pairing(around, odd, free), tree * (1.0 if free else groups / (groups - 1)))
    rounds = _count_rounds(len(odd), len(edges))
    for tilt in TILTS[:rounds]:
        trial = _join_last(edges, around, needed, start, free, tilt)
        for _ in range(rounds):
            shorter = _pair(edges, around, needed, thin(edges, needed, trial.times, start), fixed, free)
            better = shorter.length < trial.length - TINY
            trial = shorter if better else trial
            if not better:
                break
        best = trial if trial.length < best.length - TINY else best
    return Travel(best.times, best.free, best.length, min(bound, best.length))


def _count_rounds(odd: int, edges: int) -> int:
    """Return the number of improvements that the budget allows; on a large network zero."""
    looks = edges if odd <= EXACT else 8 * NEAREST
    return min(MOST_ROUNDS, WORK // max(1, odd * looks))


def _pair(
    edges: Sequence[NetworkEdge],
    around: Network,
    needed: Sequence[int],
    joining: Sequence[int],
    fixed: int | None,
    free: int,
) -> Travel:
    """Return the least travel that contains given edges; these join all groups."""
    pairing = pair_odd(around, find_odd(edges, [*needed, *joining], fixed), free)
    times = Counter([*joining, *(k for path in pairing.paths for k in path)])
    kept = drop_pairs(edges, needed, times)
    length = sum(edges[k].length * n for k, n in kept.items())
    return Travel(kept, pairing.free, length, min(pairing.bound, length))


def _join_last(
    edges: Sequence[NetworkEdge], around: Network, needed: Sequence[int], start: int | None, free: int, tilt: float
) -> Travel:
    """Return the travel of pairs made first, with the joining edges added there and back."""
    need = set(needed)
    tilted = [[(b, k, size * tilt if k in need else size) for b, k, size in ways] for ways in around]
    fixed = start if free == 1 else None
    pairing = pair_odd(tilted, find_odd(edges, needed, fixed), free)
    times = Counter(k for path in pairing.paths for k in path)
    for k in join_groups(edges, around, [*needed, *times], start)[0]:
        times[k] += 2
    kept = drop_pairs(edges, needed, times)
    return Travel(kept, pairing.free, sum(edges[k].length * n for k, n in kept.items()), 0.0)


def thin(edges: Sequence[NetworkEdge], needed: Sequence[int], times: Mapping[int, int], start: int | None) -> list[int]:
    """Return only the edges of the travel that join groups, the shortest first."""
    fast = {place for k in needed for place in (edges[k].a, edges[k].b)} | (set() if start is None else {start})
    tried = [*needed, *sorted(times, key=lambda k: (edges[k].length, k))]
    joined = join_in_turn([(edges[k].a, edges[k].b) for k in tried])
    kept = {tried[n] for n in joined if n >= len(needed)}
    ends: dict[int, set[int]] = {}
    for k in kept:
        for place in (edges[k].a, edges[k].b):
            ends.setdefault(place, set()).add(k)
    loose = [place for place, ways in ends.items() if len(ways) == 1 and place not in fast]
    while loose:
        place = loose.pop()
        for k in tuple(ends[place]):
            kept.discard(k)
            other = edges[k].b if edges[k].a == place else edges[k].a
            ends[place].discard(k)
            ends[other].discard(k)
            if len(ends[other]) == 1 and other not in fast:
                loose.append(other)
    return sorted(kept)


def drop_pairs(edges: Sequence[NetworkEdge], needed: Sequence[int], times: Mapping[int, int]) -> dict[int, int]:
    """Return times without the double travel along edges that the trail does not need, longest first."""
    extra = {k: 2 - n % 2 if n and not edges[k].needed else n % 2 for k, n in times.items()}
    single = [*needed, *(k for k in sorted(extra) if extra[k] == 1)]
    double = sorted((k for k in extra if extra[k] == 2), key=lambda k: (edges[k].length, k))
    tried = [*single, *double]
    joined = {tried[n] for n in join_in_turn([(edges[k].a, edges[k].b) for k in tried])}
    return {k: n for k, n in sorted(extra.items()) if n == 1 or (n == 2 and k in joined)}


def join_in_turn(pairs: Sequence[tuple[int, int]]) -> list[int]:
    """Return which of the pairs, taken in turn, join places that those before them leave apart.

    Examples
    --------
    >>> join_in_turn([(0, 1), (2, 1), (0, 2), (3, 3), (3, 0)])
    [0, 1, 4]
    """
    graph: rustworkx.PyGraph[None, int] = rustworkx.PyGraph()
    graph.extend_from_weighted_edge_list([(a, b, n) for n, (a, b) in enumerate(pairs)])
    return sorted(n for _, _, n in rustworkx.minimum_spanning_edges(graph, float))


def label(count: int, pairs: Sequence[tuple[int, int]]) -> list[int]:
    """Return for each place the least place in its group of pairs."""
    graph: rustworkx.PyGraph[None, None] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * count)
    graph.add_edges_from_no_data(list(pairs))
    least = list(range(count))
    for group in rustworkx.connected_components(graph):
        first = min(group)
        for place in group:
            least[place] = first
    return least


def find_odd(edges: Sequence[NetworkEdge], used: Sequence[int], start: int | None) -> list[int]:
    """Return the places where an odd number of ends meet; a given start counts as one more end."""
    odd: set[int] = set() if start is None else {start}
    for k in used:
        odd ^= {edges[k].a}
        odd ^= {edges[k].b}
    return sorted(odd)


def join_groups(
    edges: Sequence[NetworkEdge], around: Network, needed: Sequence[int], start: int | None
) -> tuple[list[int], float, int]:
    """Return the edges that join groups of needed edges, the length of the tree, and the number of groups.

    Grow all groups at once along shortest ways; each meeting gives a way between two groups; take the shortest ways
    without a circuit. The ways found contain a least spanning tree of all ways between groups.
    """
    marks = label(len(around), [(edges[k].a, edges[k].b) for k in needed])
    places = {place for k in needed for place in (edges[k].a, edges[k].b)} | (set() if start is None else {start})
    groups = len({marks[place] for place in places})
    if groups == 1:
        return [], 0.0, 1
    reach = dict.fromkeys(places, 0.0)
    owner = {place: marks[place] for place in places}
    came: dict[int, tuple[int, int]] = {}
    heap = [(0.0, place) for place in sorted(places)]
    heapify(heap)
    done: set[int] = set()
    while heap:
        far, node = heappop(heap)
        if node in done:
            continue
        done.add(node)
        for other, k, size in around[node]:
            if other not in done and far + size < reach.get(other, float("inf")):
                reach[other], owner[other], came[other] = far + size, owner[node], (node, k)
                heappush(heap, (far + size, other))
    meetings = sorted(
        (reach[edge.a] + edge.length + reach[edge.b], k)
        for k, edge in enumerate(edges)
        if edge.a in owner and edge.b in owner and owner[edge.a] != owner[edge.b]
    )
    joined = join_in_turn([(owner[edges[k].a], owner[edges[k].b]) for _, k in meetings])
    tree = sum(meetings[n][0] for n in joined)
    used: set[int] = set()
    for n in joined:
        edge = edges[meetings[n][1]]
        used.add(meetings[n][1])
        for place in (edge.a, edge.b):
            node = place
            while node in came:
                node, back = came[node]
                used.add(back)
    return sorted(used), tree, groups
