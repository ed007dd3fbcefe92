"""The fewest changes: keep the maker's pins and swaps, and change as little as possible of the rest.

Something must change at every clash: one of its two patches gets another fabric (or exchanges it with another patch).
All possible changes are followed to a depth that grows by one until a solution is found; this solution is the least.
If that takes too long, the clashes are repaired one change at a time and needless changes are taken back;
the depth searched in vain remains as the bound.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from random import Random

from kit.solvers.placing.placement_problem import PlacementProblem
from kit.solvers.placing.tabu_search import place

NODES = 6_000
"""The most placements in the exact search."""


class ChangedPlacement:
    """A whole placement under change, with its clashes kept up to date."""

    def __init__(self, problem: PlacementProblem, of: Sequence[int]) -> None:
        self.problem, self.of = problem, list(of)
        self.uses = [0] * problem.count
        self.by_hand = [[0] * problem.count for _ in range(3)]
        for patch, fabric in enumerate(of):
            self.uses[fabric] += 1
            self.by_hand[problem.hands[patch]][fabric] += 1
        pairs = ((a, b) for a, row in enumerate(problem.adjacent) for b in row if a < b and of[a] == of[b])
        self.clashes = dict.fromkeys(pairs)

    def set(self, patch: int, fabric: int) -> None:
        """Give a patch another fabric."""
        q, old = self.problem, self.of[patch]
        self.of[patch] = fabric
        for count in (self.uses, self.by_hand[q.hands[patch]]):
            count[old] -= 1
            count[fabric] += 1
        for other in q.adjacent[patch]:
            pair = (patch, other) if patch < other else (other, patch)
            if self.of[other] == fabric:
                self.clashes[pair] = None
            elif self.of[other] == old:
                self.clashes.pop(pair, None)

    def find_overused(self) -> tuple[int, int] | None:
        """Return a fabric used beyond its supply, with its hand (-1: any)."""
        q = self.problem
        for k, limit in enumerate(q.limits):
            if self.uses[k] > limit:
                return k, -1
            if q.paired and max(self.by_hand[1][k], self.by_hand[2][k]) > limit // 2:
                return k, 1 if self.by_hand[1][k] > limit // 2 else 2
        return None

    def count_least(self, pinned: Mapping[int, int]) -> int:
        """Return the least number of changes: clashes without a common patch, or uses above the limits."""
        seen: set[int] = set()
        apart = 0
        for a, b in self.clashes:
            if a not in seen and b not in seen and not (a in pinned and b in pinned):
                seen.update((a, b))
                apart += 1
        over = sum(max(0, use - limit) for use, limit in zip(self.uses, self.problem.limits, strict=True))
        return max(apart, over)

    def count_stuck(self, pinned: Mapping[int, int]) -> int:
        """Return the clashes between two pins: no change can mend them."""
        return sum(a in pinned and b in pinned for a, b in self.clashes)


def change_least(
    problem: PlacementProblem, of: Sequence[int], pins: Mapping[int, int], random: Random
) -> tuple[list[int], int]:
    """Return a placement with the pins that differs from `of` in as few other patches as found, and the bound.

    Parameters
    ----------
    problem
        Patches, fabrics, limits.
    of
        The present fabric of each patch.
    pins
        Patch -> its required fabric; no fabric is pinned more often than its limit allows.
    random
        The source of chance for the repair.

    Returns
    -------
    list, int
        The placement, and the least number of changes (pinned patches included), as far as proved.

    Notes
    -----
    Exact for some three or four changes beyond the pins; a few milliseconds for one or two.
    """
    layout = ChangedPlacement(problem, of)
    for patch, fabric in pins.items():
        layout.set(patch, fabric)
    forced = sum(of[patch] != fabric for patch, fabric in pins.items())
    stuck = layout.count_stuck(pins)
    search = _ChangeSearch(layout, dict(pins), stuck)
    depth = layout.count_least(pins)
    while search.nodes < NODES:
        if search.descend(depth):
            return layout.of, forced + depth
        if search.nodes >= NODES:
            break
        depth += 1
    start = _make_room(problem, layout, pins)
    narrowed = replace(problem, allowed=_pin_allowed(problem, pins))
    found = place(narrowed, random, start=start, goal=stuck)
    return _take_back(problem, found, of, pins), forced + depth


class _ChangeSearch:
    """Depth-first over single changes, each patch changed once at most."""

    def __init__(self, layout: ChangedPlacement, fixed: dict[int, int], stuck: int) -> None:
        self.layout, self.fixed, self.stuck, self.nodes = layout, fixed, stuck, 0

    def descend(self, depth: int) -> bool:
        """Return True if this many more changes are enough; the placement is then the solution, otherwise as before."""
        layout, fixed = self.layout, self.fixed
        self.nodes += 1
        over = layout.find_overused()
        if over is None and len(layout.clashes) <= self.stuck:
            return True
        if depth <= 0 or self.nodes >= NODES or layout.count_least(fixed) > depth:
            return False
        for patch in self._list_movable(over):
            old = layout.of[patch]
            adjacent = [0] * len(layout.uses)
            for other in layout.problem.adjacent[patch]:
                adjacent[layout.of[other]] += 1
            options = [k for k in layout.problem.list_allowed(patch) if k != old]
            for k in sorted(
                options, key=lambda k: (adjacent[k], layout.uses[k] >= layout.problem.limits[k], layout.uses[k])
            ):
                layout.set(patch, k)
                fixed[patch] = k
                done = self.descend(depth - 1)
                del fixed[patch]
                if done:
                    return True
                layout.set(patch, old)
        return False

    def _list_movable(self, over: tuple[int, int] | None) -> list[int]:
        """Return patches with one that must change: the ends of the tightest clash, or those of an overused fabric."""
        ends = [[v for v in pair if v not in self.fixed] for pair in self.layout.clashes]
        clash = min((free for free in ends if free), key=len, default=None)
        if clash is not None:
            return clash
        if over is None:
            return []
        fabric, hand = over
        hands = self.layout.problem.hands
        return [
            v for v, k in enumerate(self.layout.of) if k == fabric and v not in self.fixed and hand in (-1, hands[v])
        ]


def _pin_allowed(problem: PlacementProblem, pins: Mapping[int, int]) -> tuple[tuple[int, ...] | None, ...]:
    return tuple((pins[v],) if v in pins else allowed for v, allowed in enumerate(problem.allowed))


def _make_room(problem: PlacementProblem, layout: ChangedPlacement, pins: Mapping[int, int]) -> list[int]:
    """Return the placement with no fabric beyond its limit: unpinned patches take fabrics with room."""
    while (over := layout.find_overused()) is not None:
        fabric, hand = over
        movable = [
            v for v, k in enumerate(layout.of) if k == fabric and v not in pins and hand in (-1, problem.hands[v])
        ]
        options = []
        for v in movable:
            adjacent = [layout.of[other] for other in problem.adjacent[v]]
            for k in problem.list_allowed(v):
                room = layout.uses[k] < problem.limits[k]
                if problem.paired and problem.hands[v]:
                    room = room and layout.by_hand[problem.hands[v]][k] < problem.limits[k] // 2
                if room:
                    options.append((adjacent.count(k), v, k))
        if not options:
            return layout.of
        _, patch, other = min(options)
        layout.set(patch, other)
    return layout.of


def _take_back(
    problem: PlacementProblem, found: Sequence[int], of: Sequence[int], pins: Mapping[int, int]
) -> list[int]:
    """Return the placement with needless changes undone."""
    layout = ChangedPlacement(problem, found)
    changed = [v for v in range(len(of)) if layout.of[v] != of[v] and v not in pins]
    while changed:
        left = []
        for v in changed:
            clashes, now = len(layout.clashes), layout.of[v]
            layout.set(v, of[v])
            if len(layout.clashes) > clashes or layout.find_overused():
                layout.set(v, now)
                left.append(v)
        if len(left) == len(changed):
            break
        changed = left
    return layout.of


def swap_least(
    problem: PlacementProblem, of: Sequence[int], pinned: Mapping[int, int]
) -> tuple[list[tuple[int, int]], list[int], int]:
    """Return exchanges of two patches each that mend a placement, the placement after them, and the bound.

    Parameters
    ----------
    problem
        Patches, fabrics, limits; an exchange does not change the uses of a fabric.
    of
        The present fabric of each patch.
    pinned
        Patches that keep their fabric.

    Notes
    -----
    Exact for one or two swaps of some hundred patches; beyond that the best single swap is taken repeatedly.
    """
    layout = ChangedPlacement(problem, of)
    stuck = layout.count_stuck(pinned)
    search = _SwapSearch(layout, pinned, stuck)
    depth = (layout.count_least(pinned) + 1) // 2
    while search.nodes < NODES:
        if search.descend(depth):
            return search.done, layout.of, depth
        if search.nodes >= NODES:
            break
        depth += 1
    while len(layout.clashes) > stuck:
        before = len(layout.clashes)
        after, swap = min(search.list_swaps(whole=True), default=(before, (0, 0)))
        if after >= before:
            break
        search.make(swap)
    return search.done, layout.of, depth


class _SwapSearch:
    """Depth-first over exchanges; each mends something."""

    def __init__(self, layout: ChangedPlacement, pinned: Mapping[int, int], stuck: int) -> None:
        self.layout, self.pinned, self.stuck, self.nodes = layout, pinned, stuck, 0
        self.done: list[tuple[int, int]] = []

    def make(self, swap: tuple[int, int]) -> None:
        a, b = swap
        one, other = self.layout.of[a], self.layout.of[b]
        self.layout.set(a, other)
        self.layout.set(b, one)
        self.done.append(swap)

    def unmake(self) -> None:
        self.make(self.done[-1])
        del self.done[-2:]

    def list_swaps(self, *, whole: bool = False) -> list[tuple[int, tuple[int, int]]]:
        """Return the exchanges of a clashing patch (of all, or of the first clash), with the remaining clashes."""
        layout, hands = self.layout, self.layout.problem.hands
        clashes = [pair for pair in layout.clashes if not (pair[0] in self.pinned and pair[1] in self.pinned)]
        ends = dict.fromkeys(v for pair in (clashes if whole else clashes[:1]) for v in pair if v not in self.pinned)
        found = []
        for a in ends:
            for b in range(len(layout.of)):
                if b in self.pinned or layout.of[a] == layout.of[b] or hands[a] != hands[b]:
                    continue
                self.make((a, b))
                self.nodes += 1
                found.append((len(layout.clashes), (a, b)))
                self.unmake()
        return found

    def descend(self, depth: int) -> bool:
        """Return True if this many more swaps are enough."""
        if len(self.layout.clashes) <= self.stuck:
            return True
        if depth <= 0 or self.nodes >= NODES or self.layout.count_least(self.pinned) > 2 * depth:
            return False
        for left, swap in sorted(self.list_swaps()):
            if depth == 1 and left > self.stuck:
                return False
            self.make(swap)
            if self.descend(depth - 1):
                return True
            self.unmake()
        return False
