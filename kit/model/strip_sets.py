"""Strip sets: strips sewn side by side, and the segments that are cut across them."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.model.sewing import SewingPlan, Step


@dataclass(frozen=True)
class StripSets:
    """Strips sewn side by side and cut across.

    Attributes
    ----------
    sewn
        Unfinished width of a set, inches.
    per_set
        Segments from one set.
    sets
        Sets needed.
    strips
        Strips in all.
    rest
        Inches left of each full set.
    seams, cuts
        Long seams, and cuts across.
    """

    sewn: float
    per_set: int
    sets: int
    strips: int
    rest: float
    seams: int
    cuts: int


@dataclass(frozen=True, slots=True)
class SetSegment:
    """One segment cut across a strip set, and what becomes of it.

    Attributes
    ----------
    width
        Printed width of the cut across the set, inches.
    finished
        Finished width of the segment, inches.
    number
        The set that it is cut from, from 0.
    start
        The strip at its foot, from 0: a loop is opened at the seam before it.
    strips
        The number of strips that stay in it; fewer than the set has where it is opened twice.
    foot, head
        Finished width to which its first and its last strip are cut down; zero where they stay whole.
    added
        A strip of the fabric that follows is sewn to the head, from a segment of this width that is taken apart.
    """

    width: float
    finished: float
    number: int
    start: int
    strips: int
    foot: float = 0.0
    head: float = 0.0
    added: bool = False


def list_segment_seams(plan: SewingPlan, units: Sequence[Sequence[str]]) -> list[list[tuple[Step, int, bool]]]:
    """Return the seams of each segment: the step, its copy from 0, and whether the added part lies toward the head.

    Parameters
    ----------
    plan
        The order of sewing.
    units
        The patches of each segment from its foot.
    """
    spot = {patch: (number, i) for number, unit in enumerate(units) for i, patch in enumerate(unit)}
    found: list[list[tuple[Step, int, bool]]] = [[] for _ in units]
    most = max(map(len, units), default=0)
    copies = {unit.name: unit.copies for unit in plan.units}
    places = {unit.name: {patch: i for i, patch in enumerate(unit.copies[0])} for unit in plan.units}
    for step in plan.steps:
        if not step.second or len(step.first) + len(step.second) > most:
            continue
        place = places[step.unit]
        first, second = ([place[patch] for patch in part] for part in (step.first, step.second))
        for number, copy in enumerate(copies[step.unit]):
            owners = {spot[copy[i]][0] if copy[i] in spot else -1 for i in (*first, *second)}
            if len(owners) == 1 and -1 not in owners:
                above = min(spot[copy[i]][1] for i in second) > max(spot[copy[i]][1] for i in first)
                found[owners.pop()].append((step, number, above))
    return found
