"""Copies pressed the opposite way: every second copy of a unit, in a checkerboard, so that neighbours nest."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import rustworkx

from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan, SewnUnit
from kit.planning.pressing.seam_graph import CopySeam

MOST = 12
"""The most sets of opposite copies that are tried."""


def list_opposites(
    patchwork: Patchwork, plan: SewingPlan, keys: Mapping[CopySeam, int]
) -> Iterator[frozenset[CopySeam]]:
    """Yield sets of seams that might be pressed the opposite way: those of every second copy of a unit.

    First the largest units, each with all that is made within it, then with its own seams alone. A unit whose copies
    cannot be laid in a checkerboard, because three of them touch one another, has none.

    Parameters
    ----------
    patchwork, plan
        The design and its sewing plan.
    keys
        CopySeam -> the step that it is pressed with.
    """
    unit_of = {step.number: step.unit for step in plan.steps}
    holder = {unit.name: _hold(unit) for unit in plan.units}
    seams = defaultdict(list)
    for step, copy in keys:
        seams[unit_of[step]].append((step, copy))
    units = {unit.name: unit for unit in plan.units}
    beside = _list_neighbours(patchwork)
    tried = 0
    for unit in sorted(plan.units, key=lambda unit: (-len(unit.copies[0]), unit.name)):
        odd = _find_every_second(beside, unit) if tried < MOST else frozenset()
        for deep in (True, False) if odd else ():
            found = frozenset(
                (step, copy)
                for name, mine in seams.items()
                if name == unit.name or deep
                for step, copy in mine
                if holder[unit.name].get(units[name].copies[copy][0], -1) in odd
                and len(units[name].copies[copy]) <= len(unit.copies[0])
            )
            if found and tried < MOST:
                tried += 1
                yield found


def _hold(unit: SewnUnit) -> dict[str, int]:
    """Return for each patch the copy of the unit that holds it."""
    return {patch: number for number, copy in enumerate(unit.copies) for patch in copy}


def _list_neighbours(patchwork: Patchwork) -> dict[str, list[str]]:
    """Return for each patch those beside it that come after it."""
    ids = [patch.id for patch in patchwork.patches]
    face, beside = patchwork.mesh.face.tolist(), defaultdict(list)
    for side, twin in enumerate(patchwork.mesh.twin.tolist()):
        if side < twin:
            beside[ids[face[side]]].append(ids[face[twin]])
    return beside


def _find_every_second(beside: Mapping[str, Sequence[str]], unit: SewnUnit) -> frozenset[int]:
    """Return every second copy of a unit by the edges that its copies share; nothing if they cannot alternate."""
    if unit.count < 2:
        return frozenset()
    holder = _hold(unit)
    graph: rustworkx.PyGraph[int, None] = rustworkx.PyGraph(multigraph=False)
    graph.add_nodes_from(range(unit.count))
    for patch, a in holder.items():
        for other in beside.get(patch, ()):
            b = holder.get(other, -1)
            if b not in (-1, a):
                graph.add_edge(a, b, None)
    colours = rustworkx.two_color(graph)
    return frozenset(node for node, colour in (colours or {}).items() if colour)
