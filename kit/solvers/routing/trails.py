"""Routes along every wanted line of a network with the least repetition: route inspection."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.solvers.routing.pairing import Network
from kit.solvers.routing.travel import NetworkEdge, label, plan_travel

__all__ = ["NetworkEdge", "Trail", "plan_trails"]


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
        Inches along the whole route.
    bound
        No route along the same needed edges, closed or open as asked, is shorter.
    """

    steps: tuple[tuple[int, bool], ...]
    start: int
    end: int
    length: float
    bound: float


def plan_trails(
    edges: Sequence[NetworkEdge], *, closed: bool = True, start: int | None = None, ranks: Sequence[float] | None = None
) -> list[Trail]:
    """Return the fewest trails that together run along every needed edge.

    Separate parts of the network need one trail each. In each part find the travel that joins the groups of
    needed edges and pairs the places with an odd number of edges (`kit.solvers.routing.travel`). Every place now
    has an even number, so walk until stuck, then insert the remaining edges along the walk.

    Parameters
    ----------
    edges
        The network.
    closed
        Whether each trail returns to its beginning; otherwise its end is free.
    start
        The beginning of the first trail; None: anywhere, and an open trail's start is free too.
    ranks
        For each edge, its rank in time if there is a choice.

    Returns
    -------
    list of Trail
        The trail from `start` first. If the needed edges are connected, with at most 200 odd places, it is the
        shortest possible (its length is its bound).

    Notes
    -----
    The travel of a closed trail that must first join several groups is at most half as long again as the best.

    References
    ----------
    C. Hierholzer, Mathematische Annalen 6 (1873), p. 30; M. Kwan, Chinese Mathematics 1 (1962), p. 273; K. Mehlhorn, A
    faster approximation algorithm for the Steiner problem, Information Processing Letters 27 (1988), p. 125 (all from
    memory).

    Examples
    --------
    Four sides of a square and one diagonal: open it is one stroke, closed the diagonal is stitched twice.

    >>> sides = [NetworkEdge(0, 1, 1), NetworkEdge(1, 2, 1), NetworkEdge(2, 3, 1), NetworkEdge(3, 0, 1)]
    >>> square = [*sides, NetworkEdge(0, 2, 1.5)]
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
    part = label(count, [(edge.a, edge.b) for edge in edges])
    wanted: dict[int, list[int]] = {}
    for k, edge in enumerate(edges):
        if edge.needed:
            wanted.setdefault(part[edge.a], []).append(k)
    home = None if start is None else part[start]
    order = sorted(wanted, key=lambda mark: (mark != home, min(wanted[mark])))
    rank = list(range(len(edges))) if ranks is None else ranks
    return [_plan_trail(edges, around, wanted[p], closed, start if p == home else None, rank) for p in order]


def _plan_trail(
    edges: Sequence[NetworkEdge],
    around: Network,
    needed: Sequence[int],
    closed: bool,
    start: int | None,
    ranks: Sequence[float],
) -> Trail:
    """Return the trail along the needed edges of one part."""
    travel = plan_travel(edges, around, needed, start, 0 if closed else 2 if start is None else 1)
    begin = start
    if begin is None:
        spare = [] if closed else travel.free
        begin = min(spare) if spare else edges[min(needed, key=lambda k: (ranks[k], k))].a
    repeated = [k for k in sorted(travel.times) for _ in range(travel.times[k])]
    steps, end = _walk(edges, [*needed, *repeated], begin, ranks)
    once = sum(edges[k].length for k in needed)
    length = sum(edges[k].length for k, _ in steps)
    return Trail(tuple(steps), begin, end, length, min(length, once + travel.bound))


def _walk(
    edges: Sequence[NetworkEdge], used: Sequence[int], start: int, ranks: Sequence[float]
) -> tuple[list[tuple[int, bool]], int]:
    """Return the steps that use each of the edges as often as it is named, and their end."""
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
