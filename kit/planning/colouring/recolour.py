"""The fewest changes: keep the maker's pins and swaps, and change as little as possible of the rest."""

from collections.abc import Mapping, Sequence
from random import Random

from kit.errors import NoPlanError
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patchwork
from kit.model.rules import PLAIN, Recolouring, Rules
from kit.planning.colouring.slots import SlotProblems, list_fabric_names, refuse_overuse
from kit.solvers.placing.least_changes import change_least, swap_least


def recolour(
    patchwork: Patchwork,
    fabrics: Sequence[Fabric],
    assignment: Mapping[str, str],
    rules: Rules | None = None,
    seed: int = 0,
) -> Recolouring:
    """Change a placement as little as possible, so that it keeps the rules and the pins.

    Parameters
    ----------
    patchwork, fabrics, seed
        As for `colour_plan`.
    assignment
        Patch id -> name of its present fabric; patches without a fabric, or with a removed fabric, count as changed.
    rules
        The rules; their pins name the pinned or swapped patches.

    Returns
    -------
    Recolouring
        The changed patches and the proven least number of changes.

    Raises
    ------
    NoPlanError
        As for `colour_plan`.
    """
    slots = SlotProblems(patchwork, fabrics, rules or PLAIN)
    random = Random(seed)  # noqa: S311  scraps, not secrets
    placed: dict[str, list[int]] = {}
    bound = 0
    for slot, problem in slots.problems.items():
        pins = slots.pins.get(slot, {})
        start, gone = _start(slots, slot, assignment)
        placed[slot], least = change_least(problem, start, pins, random)
        refuse_overuse(slot, problem, placed[slot])
        bound += max(least, len(gone - set(pins)) + sum(start[v] != k or v in gone for v, k in pins.items()))
    names = list_fabric_names(slots, placed)
    ids = [patch.id for patch in patchwork.patches]
    changed = tuple(i for i, name in zip(ids, names, strict=True) if assignment.get(i) != name)
    return Recolouring(
        dict(zip(ids, names, strict=True)), changed, (), len(slots.list_clashes(names)),
        min(bound, len(changed)), slots.count_uses(names),
    )  # fmt: skip


def fix_by_swaps(
    patchwork: Patchwork, fabrics: Sequence[Fabric], assignment: Mapping[str, str], rules: Rules | None = None
) -> Recolouring:
    """Mend a placement by exchanging the fabrics of two patches at a time, as few times as possible.

    Parameters
    ----------
    patchwork, fabrics
        As for `colour_plan`.
    assignment
        Patch id -> name of its present fabric, for every patch.
    rules
        The rules; pinned patches keep their fabric.

    Returns
    -------
    Recolouring
        The swaps in order, the remaining violations, and the proven least number of swaps. Every fabric is used as
        often as before.

    Raises
    ------
    NoPlanError
        As for `colour_plan`, or a patch without a fabric of its slot.
    """
    slots = SlotProblems(patchwork, fabrics, rules or PLAIN)
    placed: dict[str, list[int]] = {}
    swaps: list[tuple[str, str]] = []
    bound = 0
    for slot, problem in slots.problems.items():
        start, gone = _start(slots, slot, assignment)
        ids = slots.list_ids(slot)
        if gone:
            raise NoPlanError(
                f"Patch `{ids[min(gone)]}` has no fabric of slot `{slot}`",
                needed="a whole layout to begin with",
                do="give it a fabric, or recolour instead",
            )
        done, placed[slot], least = swap_least(problem, start, slots.pins.get(slot, {}))
        swaps += [(ids[a], ids[b]) for a, b in done]
        bound += least
    names = list_fabric_names(slots, placed)
    ids = [patch.id for patch in patchwork.patches]
    changed = tuple(i for i, name in zip(ids, names, strict=True) if assignment[i] != name)
    left = len(slots.list_clashes(names))
    return Recolouring(
        dict(zip(ids, names, strict=True)), changed, tuple(swaps), left,
        bound if left else min(bound, len(swaps)), slots.count_uses(names),
    )  # fmt: skip


def _start(slots: SlotProblems, slot: str, assignment: Mapping[str, str]) -> tuple[list[int], set[int]]:
    """Return the present fabrics of a slot's patches, and the patches without one; these get a fabric with room."""
    number = {fabric.name: k for k, fabric in enumerate(slots.by_slot[slot])}
    start = [number.get(assignment.get(i, ""), -1) for i in slots.list_ids(slot)]
    problem = slots.problems[slot]
    uses = [start.count(k) for k in range(problem.count)]
    gone = {v for v, k in enumerate(start) if k < 0}
    for v in sorted(gone):
        taken = [start[other] for other in problem.adjacent[v]]
        free = [k for k in range(problem.count) if uses[k] < problem.limits[k]] or [0]
        start[v] = min(free, key=lambda k: (taken.count(k), uses[k]))
        uses[start[v]] += 1
    return start, gone
