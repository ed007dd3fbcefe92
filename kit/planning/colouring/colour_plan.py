"""Colouring: a fabric for each patch, so that like does not touch like and every fabric is used evenly.

Rules become pairs of patches that may not share a print (`forbidden_pairs`). Slot by slot a placement is found and
repaired (`tabu_search`). For remaining violations the reasons are found, proved as far as possible, and remedies are
tried (`reasons`). Wishes are met by changes within the rules (`annealing`). Pins come last, and as few other patches
as possible change (`least_changes`).
"""

from collections.abc import Mapping, Sequence
from random import Random

from kit.model.fabrics import Colouring, Fabric
from kit.model.notices import Notice, notice
from kit.model.patchwork import Patchwork
from kit.model.rules import PLAIN, Rules, Wish
from kit.planning.colouring.annealing import improve, report_wishes
from kit.planning.colouring.reasons import count_clashes, explain_violations
from kit.planning.colouring.slots import SlotProblems, list_fabric_names, number_fabrics, refuse_overuse
from kit.planning.colouring.surroundings import Surroundings, survey
from kit.solvers.placing.exact_placing import Answer, search_placement
from kit.solvers.placing.graph_bounds import find_bound
from kit.solvers.placing.least_changes import ChangedPlacement, change_least
from kit.solvers.placing.placement_problem import make_graph_problem
from kit.solvers.placing.tabu_search import place

__all__ = ["colour_graph", "colour_plan"]


def colour_plan(
    patchwork: Patchwork, fabrics: Sequence[Fabric], seed: int = 0, rules: Rules | None = None
) -> Colouring:
    """Give every patch a fabric of its slot.

    Parameters
    ----------
    patchwork
        The patches.
    fabrics
        At least one for each slot; a fabric's `limit` is the most patches that it may cover.
    seed
        The start of every random choice.
    rules
        Rules and wishes; without any, patches that share an edge differ and the fabrics are used evenly.

    Returns
    -------
    Colouring
        Limits and pins are always kept. Forbidden pairs of one fabric are counted, beside a proven bound on their
        number; if there are any, the reasons and remedies are given.

    Raises
    ------
    NoPlanError
        A slot without fabric, limits that add up to too few patches, pins that cannot be kept.

    Notes
    -----
    O(n log n) without rules and clashes: 3,000 patches take some 30 ms with six fabrics, 90 ms with forty. Slots of up
    to 80 patches with violations are searched exactly, for a tenth of a second at most.
    """
    slots = SlotProblems(patchwork, fabrics, rules or PLAIN)
    random = Random(seed)  # noqa: S311  scraps, not secrets
    placed: dict[str, list[int]] = {}
    bounds: dict[str, int] = {}
    reasons: list[Notice] = []
    helps: list[Notice] = []
    for slot, problem in slots.problems.items():
        placed[slot] = [0] * len(problem.adjacent) if problem.count == 1 else place(problem, random)
        if problem.count > 1 and count_clashes(problem, placed[slot]):
            found = explain_violations(
                slot, problem, placed[slot], slots.list_ids(slot), slots.list_slot_pairs(slot), random
            )
            placed[slot], bounds[slot] = found.of, found.bound
            reasons += found.reasons
            helps += found.helps
    wishes: tuple[Wish, ...] = ()
    if slots.rules.wishful:
        ground = survey(patchwork, slots.rules)
        placed = _wish(slots, ground, placed, random)
        wishes = report_wishes(ground, slots.fabrics, number_fabrics(slots, placed), slots.rules)
    for slot, pins in slots.pins.items():
        placed[slot], _ = change_least(slots.problems[slot], placed[slot], pins, random)
        refuse_overuse(slot, slots.problems[slot], placed[slot])
        reasons += _explain_pins(slots, slot, pins)
        bounds[slot] = max(bounds.get(slot, 0), ChangedPlacement(slots.problems[slot], placed[slot]).count_stuck(pins))
    if wishes and slots.pins:
        wishes = report_wishes(ground, slots.fabrics, number_fabrics(slots, placed), slots.rules)
    names = list_fabric_names(slots, placed)
    touching = slots.list_clashes(names)
    ids = [patch.id for patch in patchwork.patches]
    return Colouring(
        dict(zip(ids, names, strict=True)), len(touching), slots.count_uses(names), touching,
        sum(bounds.values()), tuple(reasons), tuple(helps), wishes, slots.idle,
    )  # fmt: skip


def colour_graph(
    adjacent: Sequence[Sequence[int]],
    count: int,
    limits: Sequence[int] | None = None,
    seed: int = 0,
    nodes: int = 20_000,
) -> Answer:
    """Colour a bare graph so that neighbours differ, or prove that it is impossible.

    Parameters
    ----------
    adjacent
        For each vertex, its neighbours.
    count
        The number of colours.
    limits
        For each colour, the most vertices.
    seed
        The start of every random choice.
    nodes
        The most partial colourings in the exact search.

    Returns
    -------
    Answer
        A colouring without clash; or None, with `proved` when there is none.

    Notes
    -----
    Bounds first, then the repair, then the exact search.

    Examples
    --------
    >>> ring = [[1, 4], [0, 2], [1, 3], [2, 4], [3, 0]]
    >>> colour_graph(ring, 2).proved, colour_graph(ring, 3).of is not None
    (True, True)
    """
    problem = make_graph_problem(adjacent, count, limits)
    if count < 1 or sum(problem.limits) < len(adjacent) or find_bound(problem):
        return Answer(None, proved=bool(adjacent), nodes=0)
    of = place(problem, Random(seed), patience=10_000)  # noqa: S311  scraps, not secrets
    if not count_clashes(problem, of):
        return Answer(tuple(of), proved=False, nodes=0)
    return search_placement(problem, 0, nodes)


def _explain_pins(slots: SlotProblems, slot: str, pins: Mapping[int, int]) -> list[Notice]:
    """Return a notice of each pair of pins of one fabric that the rules forbid."""
    problem, ids = slots.problems[slot], slots.list_ids(slot)
    return [
        notice("pins-clash", patch=(ids[a],), other=(ids[b],), fabric=slots.by_slot[slot][k].name)
        for a, k in pins.items()
        for b in problem.adjacent[a]
        if a < b and pins.get(b) == k
    ]


def _wish(
    slots: SlotProblems, ground: Surroundings, placed: Mapping[str, Sequence[int]], random: Random
) -> dict[str, list[int]]:
    """Return the placements after following the wishes."""
    hands = [0] * len(slots.patchwork.patches)
    for slot, problem in slots.problems.items():
        for i, hand in zip(slots.members[slot], problem.hands, strict=True):
            hands[i] = hand
    of = improve(ground, slots.fabrics, slots.adjacent, hands, number_fabrics(slots, placed), slots.rules, random)
    local = {fabric.name: k for mine in slots.by_slot.values() for k, fabric in enumerate(mine)}
    return {slot: [local[slots.fabrics[of[i]].name] for i in mine] for slot, mine in slots.members.items()}
