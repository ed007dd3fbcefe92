"""Routes that stitch every wanted line of a network, as little as can be twice: route inspection."""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from kit.passes.pairing import Network, pair_odd


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch between two places of a network.

    Attributes
    ----------
    a, b
        The places, numbered from 0; they may be one.
    length
        Inches.
    needed
        Whether the route must run along it; others are there to travel along.
    """

    a: int
    b: int
    length: float
    needed: bool = True


@dataclass(frozen=True)
class Trail:
    """One route without a stop.

    Attributes
    ----------
    steps
        (edge, backward) in order.
    start, end
        Places.
    length
        Inches along the whole of it.
    bound
        No route along the same needed edges, closed or open as asked, is shorter.
    """

    steps: tuple[tuple[int, bool], ...]
    start: int
    end: int
    length: float
    bound: float


def plan_trails(
    edges: Sequence[Edge], *, closed: bool = True, start: int | None = None, ranks: Sequence[float] | None = None
) -> list[Trail]:
    """Return as few trails as there can be that together run along every needed edge.

    Parts of the network that nothing joins need a trail each. In each part: join the groups of needed edges by
    the shortest ways there are between them (a least spanning tree); pair the places where an odd number of edges
    meet along shortest ways of least total length; take away what is then gone and come for nothing; every place now
    has an even number, so walk until stuck, and insert what was left out where the walk passed it.

    Parameters
    ----------
    edges
        The network.
    closed
        Whether each trail returns to where it began; otherwise its end is free.
    start
        Where the first trail begins; None: anywhere, and an open trail's start is free too.
    ranks
        For each edge how late it is wanted, where there is a choice.

    Returns
    -------
    list of Trail
        The one that begins at `start` first. Where the needed edges hang together and there are at most 200 odd places
        it is the shortest there is (its length is its bound).

    Notes
    -----
    A closed trail that first has to join k groups is at most half as long again, in its travel, as the best.

    References
    ----------
    C. Hierholzer, Mathematische Annalen 6 (1873), p. 30; M. Kwan, Chinese Mathematics 1 (1962), p. 273; K. Mehlhorn, A
    faster approximation algorithm for the Steiner problem, Information Processing Letters 27 (1988), p. 125 (all from
    memory).

    Examples
    --------
    Four sides of a square and one diagonal: open it is one stroke, closed the diagonal is stitched twice.

    >>> square = [Edge(0, 1, 1), Edge(1, 2, 1), Edge(2, 3, 1), Edge(3, 0, 1), Edge(0, 2, 1.5)]
    >>> [plan_trails(square, closed=closed)[0].length for closed in (True, False)]
    [7.0, 5.5]
    """
    count = 1 + max((max(edge.a, edge.b) for edge in edges), default=-1)
    count = max(count, 0 if start is None else start + 1)
    around: list[list[tuple[int, int, float]]] = [[] for _ in range(count)]
    for k, edge in enumerate(edges):
        around[edge.a].append((edge.b, k, edge.length))
        if edge.a != edge.b:
            around[edge.b].append((edge.a, k, edge.length))
    part = _label(count, [(edge.a, edge.b) for edge in edges])
    wanted: dict[int, list[int]] = {}
    for k, edge in enumerate(edges):
        if edge.needed:
            wanted.setdefault(part[edge.a], []).append(k)
    home = None if start is None else part[start]
    order = sorted(wanted, key=lambda label: (label != home, min(wanted[label])))
    rank = list(range(len(edges))) if ranks is None else ranks
    return [_plan_trail(edges, around, wanted[p], closed, start if p == home else None, rank) for p in order]


def _plan_trail(
    edges: Sequence[Edge],
    around: Network,
    needed: Sequence[int],
    closed: bool,
    start: int | None,
    ranks: Sequence[float],
) -> Trail:
    """Return the trail along the needed edges of one part."""
    extra: dict[int, int] = {}
    joining, tree, groups = _join_groups(edges, around, needed, start)
    for k in joining:
        extra[k] = extra.get(k, 0) + 1
    free = 0 if closed else 2 if start is None else 1
    odd = _find_odd(edges, [*needed, *joining], start if free == 1 else None)
    pairing = pair_odd(around, odd, free)
    least = pairing.bound
    if joining:
        least = pair_odd(around, _find_odd(edges, needed, start if free == 1 else None), free).bound
        least = max(least, tree * (groups / (groups - 1) if closed else 1.0))
    for path in pairing.paths:
        for k in path:
            extra[k] = extra.get(k, 0) + 1
    _drop_pairs(edges, needed, extra, len(around))
    begin = start
    if begin is None:
        spare = [place for place in pairing.free if place is not None]
        begin = min(spare) if spare and not closed else edges[min(needed, key=lambda k: (ranks[k], k))].a
    steps, end = _walk(edges, [*needed, *(k for k in sorted(extra) for _ in range(extra[k]))], begin, ranks)
    once = sum(edges[k].length for k in needed)
    length = sum(edges[k].length for k, _ in steps)
    return Trail(tuple(steps), begin, end, length, min(length, once + least))


def _drop_pairs(edges: Sequence[Edge], needed: Sequence[int], extra: dict[int, int], count: int) -> None:
    """Take away, longest first, every going and coming along one edge that the trail hangs together without."""
    for k in extra:
        extra[k] = 2 - extra[k] % 2 if extra[k] and not edges[k].needed else extra[k] % 2
    parent = list(range(count))
    single = [*needed, *(k for k in sorted(extra) if extra[k] == 1)]
    double = sorted((k for k in extra if extra[k] == 2), key=lambda k: (edges[k].length, k))
    for k in (*single, *double):
        i, j = _find(parent, edges[k].a), _find(parent, edges[k].b)
        if i == j and extra.get(k) == 2:
            extra[k] = 0
        parent[max(i, j)] = min(i, j)


def _label(count: int, pairs: Sequence[tuple[int, int]]) -> list[int]:
    """Return for each place the least place that pairs join it to."""
    parent = list(range(count))
    for a, b in pairs:
        i, j = _find(parent, a), _find(parent, b)
        parent[max(i, j)] = min(i, j)
    return [_find(parent, i) for i in range(count)]


def _find(parent: list[int], i: int) -> int:
    while parent[i] != i:
        parent[i] = parent[parent[i]]
        i = parent[i]
    return i


def _find_odd(edges: Sequence[Edge], used: Sequence[int], start: int | None) -> list[int]:
    """Return the places where an odd number of ends meet; a given start counts as one end more."""
    odd: set[int] = set() if start is None else {start}
    for k in used:
        odd ^= {edges[k].a}
        odd ^= {edges[k].b}
    return sorted(odd)


def _join_groups(
    edges: Sequence[Edge], around: Network, needed: Sequence[int], start: int | None
) -> tuple[list[int], float, int]:
    """Return the edges that join groups of needed edges, the length of the tree, and how many groups there are.

    Grow all groups at once along shortest ways; where two meet is a way between them; take the shortest that make no
    circuit. The ways found so hold a least spanning tree of all ways between groups.
    """
    label = _label(len(around), [(edges[k].a, edges[k].b) for k in needed])
    places = {place for k in needed for place in (edges[k].a, edges[k].b)} | (set() if start is None else {start})
    groups = len({label[place] for place in places})
    if groups == 1:
        return [], 0.0, 1
    reach = dict.fromkeys(places, 0.0)
    owner = {place: label[place] for place in places}
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
    parent = list(range(len(around)))
    used: set[int] = set()
    tree = 0.0
    for size, k in meetings:
        i, j = _find(parent, owner[edges[k].a]), _find(parent, owner[edges[k].b])
        if i != j:
            parent[i] = j
            tree += size
            used.add(k)
            for place in (edges[k].a, edges[k].b):
                node = place
                while node in came:
                    node, k_back = came[node]
                    used.add(k_back)
    return sorted(used), tree, groups


def _walk(
    edges: Sequence[Edge], used: Sequence[int], start: int, ranks: Sequence[float]
) -> tuple[list[tuple[int, bool]], int]:
    """Return the steps that use each of the edges once (those named twice, twice), and where they end."""
    leave: dict[int, list[tuple[float, int, int]]] = {}
    for copy, k in enumerate(used):
        for place in {edges[k].a, edges[k].b}:
            leave.setdefault(place, []).append((ranks[k], k, copy))
    for options in leave.values():
        options.sort(reverse=True)
    spent = [False] * len(used)
    stack: list[tuple[int, tuple[int, bool] | None]] = [(start, None)]
    steps: list[tuple[int, bool]] = []
    end = None
    while stack:
        node, by = stack[-1]
        options = leave.get(node, [])
        while options and spent[options[-1][2]]:
            options.pop()
        if options:
            _, k, copy = options.pop()
            spent[copy] = True
            back = edges[k].a != node
            stack.append((edges[k].a if back else edges[k].b, (k, back)))
        else:
            stack.pop()
            end = node if end is None else end
            if by is not None:
                steps.append(by)
    steps.reverse()
    return steps, start if end is None else end
