"""Bounds on placements: cliques, odd rings, the most patches of one print, and unavoidable clashes.

Sets of patches are bits of an integer if the graph is small.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.solvers.placing.placement_problem import PlacementProblem

SMALL = 120
"""The most patches for an exact search of the most of one print, unless the graph is two-sided."""
MOST_RINGS = 100
"""No more odd rings are counted."""


@dataclass(frozen=True)
class MostPatches:
    """The number of patches that one print may cover: the number found, and the proven bound."""

    found: int
    bound: int


def find_clique(adjacent: Sequence[Sequence[int]], enough: int = 10**9) -> tuple[int, ...]:
    """Return patches that all exclude one another from their print: the largest such set of a greedy search.

    From each patch in turn, add the patch with the most common neighbours until none is left.

    Parameters
    ----------
    adjacent
        For each patch, the patches excluded from its print.
    enough
        The search ends at this number.

    Examples
    --------
    >>> find_clique([[1, 2], [0, 2], [0, 1, 3], [2]])
    (0, 1, 2)
    """
    sets = [set(row) for row in adjacent]
    best: list[int] = []
    for first in sorted(range(len(adjacent)), key=lambda v: -len(sets[v])):
        if len(sets[first]) < len(best) or len(best) >= enough:
            break
        clique, common = [first], set(sets[first])
        while common and len(clique) < enough:
            ranked = sorted(common) if len(common) < 60 else sorted(common)[:60]
            following = max(ranked, key=lambda v: len(common & sets[v]))
            clique.append(following)
            common &= sets[following]
        if len(clique) > len(best):
            best = clique
    return tuple(sorted(best))


def count_least_clashes(adjacent: Sequence[Sequence[int]], count: int) -> int:
    """Return a number of clashes that no placement of this many prints avoids.

    Find cliques with more patches than prints, no edge in two of them: in each, the pigeonhole
    principle gives the least number of pairs of one print. With two prints, odd rings serve in the same way.
    """
    if count == 2:
        return _count_odd_rings(adjacent)
    free = [set(row) for row in adjacent]
    least = 0
    for first in range(len(adjacent)):
        while len(free[first]) >= count:
            clique, common = [first], set(free[first])
            while common:
                following = max(sorted(common)[:60], key=lambda v: len(common & free[v]))
                clique.append(following)
                common &= free[following]
            if len(clique) <= count:
                break
            whole, rest = divmod(len(clique), count)
            least += rest * (whole + 1) * whole // 2 + (count - rest) * whole * (whole - 1) // 2
            for patch in clique:
                free[patch].difference_update(clique)
    return least


def find_odd_ring(adjacent: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """Return a ring of an odd number of patches, empty if there is none: two prints are then enough.

    Examples
    --------
    >>> find_odd_ring([[1, 4], [0, 2], [1, 3], [2, 4], [3, 0]])
    (0, 1, 2, 3, 4)
    """
    side: dict[int, int] = {}
    above: dict[int, int] = {}
    for root in range(len(adjacent)):
        if root in side:
            continue
        side[root], front = 0, [root]
        for patch in front:
            for other in adjacent[patch]:
                if other not in side:
                    side[other], above[other] = 1 - side[patch], patch
                    front.append(other)
                elif side[other] == side[patch]:
                    return _close_ring(above, patch, other)
    return ()


def _close_ring(above: dict[int, int], a: int, b: int) -> tuple[int, ...]:
    """Return the ring of the ways up from two patches to their meeting."""
    up_a, up_b = [a], [b]
    while up_a[-1] in above:
        up_a.append(above[up_a[-1]])
    while up_b[-1] in above:
        up_b.append(above[up_b[-1]])
    shared = set(up_a)
    meet = next(patch for patch in up_b if patch in shared)
    return (*up_a[: up_a.index(meet) + 1][::-1], *up_b[: up_b.index(meet)])


def _count_odd_rings(adjacent: Sequence[Sequence[int]]) -> int:
    """Return the number of odd rings found without a common edge; with two prints each costs a clash."""
    free = [set(row) for row in adjacent]
    for count in range(MOST_RINGS):
        ring = find_odd_ring([sorted(row) for row in free])
        if not ring:
            return count
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            free[a].discard(b)
            free[b].discard(a)
    return MOST_RINGS


def count_most(adjacent: Sequence[Sequence[int]]) -> MostPatches:
    """Return the number of patches that one print may cover.

    In a two-sided graph: all but a largest matching (Konig). In a small graph by branch and bound, with a cover of
    the remaining patches by cliques as the bound. Otherwise a greedy choice, and such a cover.

    References
    ----------
    D. Konig, Graphok es matrixok, Matematikai es Fizikai Lapok 38 (1931), p. 116 (from memory).

    Examples
    --------
    >>> count_most([[1], [0, 2], [1, 3], [2]])
    MostPatches(found=2, bound=2)
    """
    n = len(adjacent)
    if not find_odd_ring(adjacent):
        most = n - _match(adjacent)
        return MostPatches(most, most)
    if n > SMALL:
        return MostPatches(_count_chosen(adjacent), _count_cover(adjacent))
    bits = [sum(1 << j for j in row) for row in adjacent]
    left, greedy = (1 << n) - 1, 0
    while left:
        patch = min(_list_bits(left), key=lambda v: (bits[v] & left).bit_count())
        left &= ~(bits[patch] | 1 << patch)
        greedy += 1
    cover = len(_cover(bits, (1 << n) - 1))
    if cover > greedy:
        search = _IndependentSearch(bits, greedy)
        search.grow((1 << n) - 1, 0)
        return MostPatches(search.best, search.best if search.nodes < search.limit else cover)
    return MostPatches(greedy, cover)


def _count_chosen(adjacent: Sequence[Sequence[int]]) -> int:
    """Return the number of chosen patches if those with the fewest neighbours come first."""
    barred: set[int] = set()
    count = 0
    for patch in sorted(range(len(adjacent)), key=lambda v: (len(adjacent[v]), v)):
        if patch not in barred:
            barred.update(adjacent[patch])
            count += 1
    return count


def _count_cover(adjacent: Sequence[Sequence[int]]) -> int:
    """Return the number of cliques that cover the patches, each begun at the first patch left."""
    sets = [set(row) for row in adjacent]
    left = dict.fromkeys(range(len(adjacent)))
    count = 0
    while left:
        first = next(iter(left))
        clique, common = [first], {v for v in adjacent[first] if v in left}
        while common:
            following = max(sorted(common), key=lambda v: len(common & sets[v]))
            clique.append(following)
            common &= sets[following]
        for patch in clique:
            del left[patch]
        count += 1
    return count


class _IndependentSearch:
    """Branch and bound for the largest set of patches that do not exclude one another."""

    limit = 4_000

    def __init__(self, bits: Sequence[int], best: int) -> None:
        self.bits, self.best, self.nodes = bits, best, 0

    def grow(self, left: int, size: int) -> None:
        self.nodes += 1
        self.best = max(self.best, size)
        cliques = _cover(self.bits, left)
        for number in range(len(cliques), 0, -1):
            if size + number <= self.best or self.nodes >= self.limit:
                return
            for patch in _list_bits(cliques[number - 1]):
                self.grow(left & ~(self.bits[patch] | 1 << patch), size + 1)
                left &= ~(1 << patch)


def _cover(bits: Sequence[int], left: int) -> list[int]:
    """Return cliques that together cover all remaining patches, chosen greedily."""
    cliques: list[int] = []
    while left:
        patch = min(_list_bits(left), key=lambda v: (bits[v] & left).bit_count())
        clique, common = 1 << patch, bits[patch] & left
        while common:
            following = min(_list_bits(common), key=lambda v: (bits[v] & left & ~common).bit_count())
            clique |= 1 << following
            common &= bits[following]
        cliques.append(clique)
        left &= ~clique
    return cliques


def _list_bits(bits: int) -> list[int]:
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found


def _match(adjacent: Sequence[Sequence[int]]) -> int:
    """Return the size of a largest matching of a two-sided graph, by paths that grow it one at a time."""
    side = [-1] * len(adjacent)
    for root in range(len(adjacent)):
        if side[root] >= 0:
            continue
        side[root], front = 0, [root]
        for patch in front:
            fresh = [other for other in adjacent[patch] if side[other] < 0]
            for other in fresh:
                side[other] = 1 - side[patch]
            front.extend(fresh)
    mate: dict[int, int] = {}
    return sum(_grow(adjacent, mate, root) for root in range(len(adjacent)) if side[root] == 0)


def _grow(adjacent: Sequence[Sequence[int]], mate: dict[int, int], root: int) -> bool:
    """Match one more patch, if a path leads from it to a patch without a mate."""
    came: dict[int, int] = {}
    front = [root]
    for patch in front:
        fresh = [other for other in adjacent[patch] if other not in came]
        came.update(dict.fromkeys(fresh, patch))
        end: int | None = next((other for other in fresh if other not in mate), None)
        if end is not None:
            while end is not None:
                first, before = came[end], mate.get(came[end])
                mate[end], mate[first] = first, end
                end = before
            return True
        front.extend(mate[other] for other in fresh)
    return False


def find_bound(problem: PlacementProblem, most: int | None = None) -> int:
    """Return a number of clashes that no placement avoids, by cliques and by the supply.

    A fabric on more patches than one print may cover has at least one clash for each patch too many.
    """
    least = count_least_clashes(problem.adjacent, problem.count)
    most = count_most(problem.adjacent).bound if most is None else most
    return max(least, len(problem.adjacent) - sum(min(limit, most) for limit in problem.limits))
