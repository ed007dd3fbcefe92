"""Which patches may not be of one print: the rules of a placement turned into pairs, and the problem that they make."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import combinations

from kit.errors import NoPlanError
from kit.geometry.congruence import compare_outlines
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patchwork
from kit.model.rules import Rules
from kit.solvers.placing.placement_problem import PlacementProblem

Pair = tuple[int, int]
MOST_PAIRS = 500_000
"""More forbidden pairs than this are refused."""


def list_pairs(patchwork: Patchwork, rules: Rules, slots: Sequence[str]) -> dict[str, set[Pair]]:
    """Return for each rule the pairs of patches of one slot that may not share a print.

    Parameters
    ----------
    patchwork, rules
        The top and its rules.
    slots
        The slots with several fabrics; the others are left out.

    Returns
    -------
    dict
        Name of the rule ("edges", "corners", "apart", "unit") -> pairs of places in `patchwork.patches`, the smaller
        first. A pair is listed under every rule that forbids it.

    Raises
    ------
    NoPlanError
        A rule that forbids more than half a million pairs.
    """
    chosen = set(slots)
    of = [patch.slot if patch.slot in chosen else None for patch in patchwork.patches]
    edges = {(a, b) for a, b in patchwork.mesh.neighbours.tolist() if of[a] is not None and of[a] == of[b]}
    pairs = {"edges": edges}
    if rules.touching == "corners":
        meet = patchwork.mesh.corner_neighbours.tolist()
        pairs["corners"] = {(a, b) for a, b in meet if of[a] is not None and of[a] == of[b]}
    if rules.apart > 1:
        pairs["apart"] = _step_along(patchwork, edges, rules.apart)
    if rules.once_in_unit:
        units: dict[tuple[object, ...], list[int]] = defaultdict(list)
        for i, patch in enumerate(patchwork.patches):
            if patch.group and of[i] is not None:
                units[patch.group, patch.slot].append(i)
        _refuse_too_many(sum(len(unit) * (len(unit) - 1) // 2 for unit in units.values()))
        pairs["unit"] = {pair for unit in units.values() for pair in combinations(unit, 2)}
    return pairs


def _step_along(patchwork: Patchwork, edges: set[Pair], steps: int) -> set[Pair]:
    """Return the pairs within a number of steps, each step across an edge within a part of the top."""
    group = [patch.group for patch in patchwork.patches]
    beside: dict[int, list[int]] = defaultdict(list)
    for a, b in edges:
        if group[a] == group[b]:
            beside[a].append(b)
            beside[b].append(a)
    found: set[Pair] = set()
    for first in beside:
        seen, front = {first}, [first]
        for _ in range(steps):
            front = [b for b in dict.fromkeys(b for a in front for b in beside[a]) if b not in seen]
            seen.update(front)
        found.update((first, other) for other in seen if first < other)
        _refuse_too_many(len(found))
    return found


def _refuse_too_many(count: int) -> None:
    if count > MOST_PAIRS:
        raise NoPlanError(
            f"The rules forbid {count:,} pairs of patches",
            needed=f"at most {MOST_PAIRS:,}",
            do="ask for fewer steps apart, or for once in a unit if units are small",
        )


def join_pairs(pairs: Mapping[str, set[Pair]], n: int) -> list[list[int]]:
    """Return for each of n patches the patches excluded from its print, in order."""
    adjacent: list[list[int]] = [[] for _ in range(n)]
    every = set().union(*pairs.values()) if len(pairs) > 1 else next(iter(pairs.values()))
    for a, b in sorted(every):
        adjacent[a].append(b)
        adjacent[b].append(a)
    return adjacent


def make_slot_problem(
    slot: str,
    patchwork: Patchwork,
    members: Sequence[int],
    fabrics: Sequence[Fabric],
    adjacent: Sequence[Sequence[int]],
    rules: Rules,
) -> PlacementProblem:
    """Return the placement problem of one slot, its patches numbered in the order of `members`.

    Raises
    ------
    NoPlanError
        No fabric, limits that add up to too few, or a pin that cannot be kept.
    """
    if not fabrics:
        raise NoPlanError(
            f"No fabric fills slot `{slot}`", needed="at least one", do=f'add a [[fabric]] with slot = "{slot}"'
        )
    limits = tuple(len(members) if fabric.limit is None else fabric.limit for fabric in fabrics)
    if sum(limits) < len(members):
        raise NoPlanError(
            f"Slot `{slot}` has {len(members)} patches, its fabrics' limits add up to {sum(limits)}",
            needed=f"limits for {len(members)}",
            do="raise a limit or add a fabric",
        )
    local = {i: k for k, i in enumerate(members)}
    rows = tuple(tuple(local[j] for j in adjacent[i]) for i in members)
    hands = _find_hands(patchwork, members) if rules.pairs else (0,) * len(members)
    problem = PlacementProblem(rows, len(fabrics), limits, (None,) * len(members), hands, rules.pairs)
    if rules.pairs:
        _refuse_unpaired(slot, problem)
    return problem


def _find_hands(patchwork: Patchwork, members: Sequence[int]) -> tuple[int, ...]:
    likes = compare_outlines([patchwork.patches[i].sewn or patchwork.patches[i].outline for i in members])
    return tuple({"left": 1, "right": 2}.get(like.hand or "", 0) for like in likes)


def _refuse_unpaired(slot: str, problem: PlacementProblem) -> None:
    """Refuse mirror pairs beyond the limits."""
    most = sum(limit // 2 for limit in problem.limits)
    for hand, word in ((1, "left"), (2, "right")):
        need = problem.hands.count(hand)
        if need > most:
            raise NoPlanError(
                f"Slot `{slot}` has {need} {word} patches; as mirror pairs its fabrics yield {most}",
                needed=f"limits for {2 * need}",
                do="raise a limit, add a fabric, or do without `pairs`",
            )
