"""Placement of prints on a problem of patches and limits: quick, then repaired, the clashes counted.

Patches are taken in smallest-last order (each time the patch with the fewest neighbours left is put aside, and they
are coloured in the opposite order): each takes the least-used fabric that no neighbour has. Clashes are then
repaired: a clashing patch gets another fabric, or exchanges its fabric with another patch if the supply leaves no
room, always with the fewest clashes left; the last few changes are forbidden. Four changes per patch even
out the use.
"""

from collections.abc import Iterator, Sequence
from heapq import heapify, heappop, heappush
from random import Random

from kit.solvers.placing.graph_bounds import find_bound
from kit.solvers.placing.placement_problem import PlacementProblem, count_alike

PATIENCE = 800
"""The most changes in a row without a new least number of clashes."""
MOST_CHANGES = 1_000_000
"""For a large top the patience is this number divided by its patches."""
CANDIDATES = 16
"""Clashing patches tried for each change."""
PARTNERS = 8
"""Patches of a fabric tried for an exchange."""


def place(
    problem: PlacementProblem,
    random: Random,
    *,
    goal: int = 0,
    patience: int = PATIENCE,
    start: Sequence[int] | None = None,
) -> list[int]:
    """Return a fabric for each patch, within all limits, with as few clashes as found.

    Parameters
    ----------
    problem
        Patches, fabrics and limits; the limits add up to the number of patches or more.
    random
        Every random choice is drawn from it.
    goal
        Unavoidable clashes: the search stops there.
    patience
        The most changes without progress.
    start
        The first placement.

    Notes
    -----
    O(n log n) if the first round has no clash: 3,000 patches and six fabrics take some 30 ms. A change costs some
    20 us, with exchanges some 100 us.

    References
    ----------
    D. Matula, L. Beck, Smallest-last ordering and clustering and graph coloring algorithms, Journal of the ACM 30
    (1983), p. 417; A. Hertz, D. de Werra, Using tabu search techniques for graph coloring, Computing 39 (1987), p. 345
    (both from memory).
    """
    partial = PartialPlacement(problem, start)
    if start is None:
        order = order_smallest_last(problem.adjacent, random)[::-1]
        if problem.paired:  # patches with a hand have less room: with them first, the others always fit
            order.sort(key=lambda patch: not problem.hands[patch])
        for patch in order:
            partial.give(patch, partial.choose(patch, random))
    if partial.count_clashes():
        _repair(
            partial,
            random,
            max(goal, find_bound(problem)),
            min(patience, max(200, MOST_CHANGES // len(problem.adjacent))),
        )
    if start is None:
        _even_out(partial, random)
    return partial.of


class PartialPlacement:
    """A placement in the making; -1 stands for no fabric yet."""

    def __init__(self, problem: PlacementProblem, start: Sequence[int] | None = None) -> None:
        self.problem = problem
        self.of = [-1] * len(problem.adjacent)
        self.uses = [0] * problem.count
        self.by_hand = [[0] * problem.count for _ in range(3)]
        for patch, fabric in enumerate(start or ()):
            self.give(patch, fabric)

    def give(self, patch: int, fabric: int) -> None:
        """Put a fabric on a patch in place of its present one."""
        old, hand = self.of[patch], self.by_hand[self.problem.hands[patch]]
        if old >= 0:
            self.uses[old] -= 1
            hand[old] -= 1
        self.of[patch] = fabric
        self.uses[fabric] += 1
        hand[fabric] += 1

    def has_room(self, patch: int, fabric: int) -> bool:
        """Return True if the supply of a fabric lasts for one more patch like this."""
        q = self.problem
        if self.uses[fabric] >= q.limits[fabric]:
            return False
        return not (q.paired and q.hands[patch]) or (self.by_hand[q.hands[patch]][fabric] < q.limit_for(patch, fabric))

    def count_adjacent(self, patch: int) -> list[int]:
        """Return for each fabric the number of a patch's neighbours with it."""
        counts = [0] * len(self.uses)
        for other in self.problem.adjacent[patch]:
            k = self.of[other]
            if k >= 0:
                counts[k] += 1
        return counts

    def count_clashes(self) -> int:
        """Return the pairs of neighbours of one fabric."""
        return count_alike(self.problem.adjacent, self.of)

    def choose(self, patch: int, random: Random) -> int:
        """Return the fabric with the fewest clashes; of equals, the one with the largest unused share."""
        q, uses, limits, clashes = self.problem, self.uses, self.problem.limits, self.count_adjacent(patch)
        free = [k for k in q.list_allowed(patch) if uses[k] < limits[k]]
        if q.paired and q.hands[patch]:
            free = [k for k in free if self.has_room(patch, k)]
        least = min([clashes[k] for k in free])
        free = [k for k in free if clashes[k] == least]
        share = min([uses[k] / limits[k] for k in free])
        return random.choice([k for k in free if uses[k] / limits[k] == share])


def order_smallest_last(adjacent: Sequence[Sequence[int]], random: Random) -> list[int]:
    """Return the patches in smallest-last order, ties at random."""
    degree = [len(row) for row in adjacent]
    heap = [(count, random.random(), patch) for patch, count in enumerate(degree)]
    heapify(heap)
    order, done = [], [False] * len(adjacent)
    while heap:
        count, tie, patch = heappop(heap)
        if done[patch] or count != degree[patch]:
            continue
        done[patch] = True
        order.append(patch)
        for other in adjacent[patch]:
            if not done[other]:
                degree[other] -= 1
                heappush(heap, (degree[other], tie, other))
    return order


class _Tally:
    """Clashes kept up to date: for each patch and fabric the neighbours with it, and the clashing patches."""

    def __init__(self, partial: PartialPlacement) -> None:
        self.partial, q = partial, partial.problem
        self.adjacent = [partial.count_adjacent(patch) for patch in range(len(q.adjacent))]
        self.of_fabric: list[list[int]] = [[] for _ in range(q.count)]
        self.place = [0] * len(q.adjacent)
        for patch, fabric in enumerate(partial.of):
            self.place[patch] = len(self.of_fabric[fabric])
            self.of_fabric[fabric].append(patch)
        self.clashing = {p: None for p in range(len(q.adjacent)) if self.adjacent[p][partial.of[p]]}
        self.cost = sum(self.adjacent[p][partial.of[p]] for p in self.clashing) // 2

    def give(self, patch: int, fabric: int) -> None:
        of, adjacent, old = self.partial.of, self.adjacent, self.partial.of[patch]
        self.cost += adjacent[patch][fabric] - adjacent[patch][old]
        row, place = self.of_fabric[old], self.place[patch]
        last = row.pop()
        if last != patch:
            row[place] = last
            self.place[last] = place
        self.place[patch] = len(self.of_fabric[fabric])
        self.of_fabric[fabric].append(patch)
        self.partial.give(patch, fabric)
        for other in self.partial.problem.adjacent[patch]:
            adjacent[other][old] -= 1
            adjacent[other][fabric] += 1
            if adjacent[other][of[other]]:
                self.clashing[other] = None
            else:
                self.clashing.pop(other, None)
        if adjacent[patch][fabric]:
            self.clashing[patch] = None
        else:
            self.clashing.pop(patch, None)


def _repair(partial: PartialPlacement, random: Random, goal: int, patience: int) -> None:
    """Change or exchange clashing patches one at a time, and end with the best placement found."""
    tally = _Tally(partial)
    tabu: dict[tuple[int, int], int] = {}
    best, kept, since, turn = tally.cost, list(partial.of), 0, 0
    while tally.cost > goal and since < patience:
        turn, since = turn + 1, since + 1
        found = _find_change(tally, random, tabu, turn, best)
        if found is None:
            continue
        patch, fabric, other = found
        old = partial.of[patch]
        tabu[patch, old] = turn + 5 + random.randrange(10) + len(tally.clashing) // 2
        tally.give(patch, fabric)
        if other >= 0:
            tabu[other, fabric] = tabu[patch, old]
            tally.give(other, old)
        if tally.cost < best:
            best, kept, since = tally.cost, list(partial.of), 0
    for patch, fabric in enumerate(kept):
        partial.give(patch, fabric)


def _find_change(
    tally: _Tally, random: Random, tabu: dict[tuple[int, int], int], turn: int, best: int
) -> tuple[int, int, int] | None:
    """Return the best change of a clashing patch: the patch, its new fabric, and its partner in the exchange or -1."""
    clashing = list(tally.clashing)
    if len(clashing) > CANDIDATES:
        clashing = random.sample(clashing, CANDIDATES)
    least, ties = len(tally.adjacent) + 1, 0
    chosen: tuple[int, int, int] | None = None
    for patch in clashing:
        for change, k, other in _list_changes(tally, patch, least, random):
            if change > least or (tabu.get((patch, k), 0) > turn and tally.cost + change >= best):
                continue
            ties = ties + 1 if change == least else 1
            if change < least or random.random() * ties < 1:
                least, chosen = change, (patch, k, other)
    return chosen


def _list_changes(tally: _Tally, patch: int, least: int, random: Random) -> Iterator[tuple[int, int, int]]:
    """Yield the changes of a patch: the added clashes, the new fabric, and the partner in an exchange."""
    partial, q, adjacent = tally.partial, tally.partial.problem, tally.adjacent
    old, row = partial.of[patch], adjacent[patch]
    for k in q.list_allowed(patch):
        gain = row[k] - row[old]
        if k == old or gain - 1 > least:
            continue
        if partial.has_room(patch, k):
            yield gain, k, -1
            continue
        partners = tally.of_fabric[k]
        if len(partners) > PARTNERS:
            partners = random.sample(partners, PARTNERS)
        for other in partners:
            if q.hands[other] == q.hands[patch] and old in q.list_allowed(other):
                both = 2 * (other in q.adjacent[patch])
                yield gain + adjacent[other][old] - adjacent[other][k] - both, k, other


def _even_out(partial: PartialPlacement, random: Random) -> None:
    """Move patches from the most used fabrics to less used fabrics without a clash."""
    order = list(range(len(partial.of)))
    random.shuffle(order)
    for _ in range(4):
        moved = False
        for patch in order:
            here = partial.of[patch]
            if min(partial.uses) + 1 >= partial.uses[here]:
                continue
            clashes = partial.count_adjacent(patch)
            there = min(
                (k for k in partial.problem.list_allowed(patch) if not clashes[k] and partial.has_room(patch, k)),
                key=lambda k: partial.uses[k],
                default=here,
            )
            if partial.uses[there] + 1 < partial.uses[here]:
                partial.give(patch, there)
                moved = True
        if not moved:
            break
