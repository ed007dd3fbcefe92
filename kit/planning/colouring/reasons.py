"""Reasons for unavoidable violations of a placement: the rule and the count behind each, and remedies."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random

from kit.model.notices import Notice, notice
from kit.planning.colouring.forbidden_pairs import Pair
from kit.solvers.placing.exact_placing import search_placement
from kit.solvers.placing.graph_bounds import count_most, find_bound, find_clique, find_odd_ring
from kit.solvers.placing.placement_problem import PlacementProblem, count_alike
from kit.solvers.placing.tabu_search import place

NODES = 3_000
"""The most partial placements in the exact search for a slot."""
EXACT = 80
"""The most patches of a slot for the exact search."""
ADDED = 6
"""More fabrics than this are not proposed."""
RULES = {
    "edges": notice("share-an-edge"),
    "corners": notice("meet-at-a-corner"),
    "apart": notice("too-few-steps-apart"),
    "unit": notice("in-one-unit"),
}


@dataclass(frozen=True)
class Finding:
    """The facts about a slot with violations in its placement.

    Attributes
    ----------
    of
        The best placement found.
    bound
        The least number of violations in any placement, as far as proved.
    reasons, helps
        Which rule and which count make it so, and what would help.
    """

    of: list[int]
    bound: int
    reasons: tuple[Notice, ...]
    helps: tuple[Notice, ...]


def explain_violations(
    slot: str,
    problem: PlacementProblem,
    of: list[int],
    ids: Sequence[str],
    pairs: Mapping[str, set[Pair]],
    random: Random,
) -> Finding:
    """Explain the violations in a slot's placement, prove as much as possible quickly, and try remedies.

    Parameters
    ----------
    slot, problem, of
        The slot, its problem and the placement that was found.
    ids
        The patches' ids.
    pairs
        Rule -> pairs of patches of the slot that it keeps apart, in the problem's numbers.
    random
        The source of chance for the trials.

    Notes
    -----
    A few hundred milliseconds at most for 3,000 patches.
    """
    clashes, most = count_clashes(problem, of), count_most(problem.adjacent).bound
    reasons = [*_find_crowd(slot, problem, ids, pairs), *_find_shortage(slot, problem, pairs, most)]
    bound = find_bound(problem, most)
    if len(of) <= EXACT:
        of, bound, tried = _close_gap(problem, of, clashes, bound)
        if bound and not reasons:
            reasons.append(notice("no-placement", slot=slot, fabrics=problem.count, count=len(of), tried=tried))
    helps = _try_helps(slot, problem, pairs, random, most) if count_clashes(problem, of) else []
    return Finding(of, bound, tuple(reasons), tuple(helps))


def count_clashes(problem: PlacementProblem, of: Sequence[int]) -> int:
    """Return the forbidden pairs of one fabric."""
    return count_alike(problem.adjacent, of)


def _close_gap(problem: PlacementProblem, of: list[int], clashes: int, bound: int) -> tuple[list[int], int, int]:
    """Search exactly with more and more clashes allowed, until a placement is found or patience is spent."""
    nodes = 0
    while bound < clashes and nodes < NODES:
        answer = search_placement(problem, bound, NODES - nodes)
        nodes += answer.nodes
        if answer.of is not None:
            return list(answer.of), bound, nodes
        if not answer.proved:
            break
        bound += 1
    return of, bound, nodes


def _find_crowd(
    slot: str, problem: PlacementProblem, ids: Sequence[str], pairs: Mapping[str, set[Pair]]
) -> list[Notice]:
    """Return the notice of a clique of more patches than there are fabrics, or on an odd ring for two."""
    clique = find_clique(problem.adjacent, problem.count + 1) if len(ids) <= 5_000 else ()
    if len(clique) > problem.count:
        rule = _name_rule([(a, b) for a in clique for b in clique if a < b], pairs)
        named = tuple(ids[i] for i in clique)
        return [notice("crowd", slot=slot, patches=named, rule=rule, needed=len(clique), fabrics=problem.count)]
    ring = find_odd_ring(problem.adjacent) if problem.count == 2 else ()
    if ring:
        steps = [(min(a, b), max(a, b)) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
        named = tuple(ids[i] for i in ring)
        return [notice("odd-ring", slot=slot, count=len(ring), patches=named, rule=_name_rule(steps, pairs))]
    return []


def _find_shortage(slot: str, problem: PlacementProblem, pairs: Mapping[str, set[Pair]], most: int) -> list[Notice]:
    """Return the notice of a supply that the rules leave no room for."""
    n = len(problem.adjacent)
    room = sum(min(limit, most) for limit in problem.limits)
    if room >= n:
        return []
    rule = _name_rule([(a, b) for a, row in enumerate(problem.adjacent) for b in row if a < b], pairs)
    return [notice("no-room", slot=slot, most=most, count=n, rule=rule, fabrics=problem.count, room=room)]


def _name_rule(steps: Sequence[Pair], pairs: Mapping[str, set[Pair]]) -> tuple[Notice, ...]:
    """Return the mildest rule that forbids all these pairs, or all the rules that it takes."""
    for name, forbidden in pairs.items():
        if all(step in forbidden for step in steps):
            return (RULES[name],)
    return tuple(RULES[name] for name, forbidden in pairs.items() if any(step in forbidden for step in steps))


def _try_helps(
    slot: str, problem: PlacementProblem, pairs: Mapping[str, set[Pair]], random: Random, most: int
) -> list[Notice]:
    """Return what was tried and found to leave no violation."""
    n = len(problem.adjacent)
    helps: list[Notice] = []
    for more in range(1, ADDED + 1):
        wider = replace(problem, count=problem.count + more, limits=(*problem.limits, *(n,) * more))
        if _can_be_placed(wider, random, most):
            helps.append(notice("more-fabrics" if more > 1 else "more-fabric", count=more, slot=slot))
            break
    if any(limit < n for limit in problem.limits):
        free = replace(problem, limits=(n,) * problem.count, paired=False)
        if _can_be_placed(free, random, most):
            helps.append(notice("no-limit", slot=slot))
    for name in list(pairs)[1:]:
        adjacent: list[set[int]] = [set() for _ in range(n)]
        for a, b in {pair for other, some in pairs.items() if other != name for pair in some}:
            adjacent[a].add(b)
            adjacent[b].add(a)
        milder = replace(problem, adjacent=tuple(tuple(sorted(row)) for row in adjacent))
        if _can_be_placed(milder, random, None):
            helps.append(notice("milder-rule", rule=RULES[name]))
    return helps


def _can_be_placed(problem: PlacementProblem, random: Random, most: int | None) -> bool:
    """Return True if a short search finds a placement without violation."""
    if find_bound(problem, most):
        return False
    patience = max(60, min(600, 200_000 // len(problem.adjacent)))
    return count_clashes(problem, place(problem, random, patience=patience)) == 0
