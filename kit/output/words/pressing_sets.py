"""Copies of a unit that differ in pressing alone: which are alike, and which of them a step takes."""

from collections.abc import Mapping
from typing import TypeAlias

from kit.model.sewing import SewingPlan, SewnUnit

Sets: TypeAlias = tuple[tuple[int, ...], ...]
"""Numbers of copies, from 0, those that are pressed alike together; the set of the first copy comes first."""


def list_sets(plan: SewingPlan) -> Mapping[str, Sets]:
    """Return for each unit the sets of its copies that are pressed alike, throughout.

    Two copies are alike when the same steps are pressed back in both, and when what they take in each place is of one
    set in turn.

    Parameters
    ----------
    plan
        A sewing plan, pressed or not.
    """
    label = dict.fromkeys((patch for patch, _ in plan.target), 0)
    found: dict[str, Sets] = {}
    for unit in plan.units:
        mine = [step for step in plan.steps if step.unit == unit.name]
        groups: dict[object, list[int]] = {}
        for number, copy in enumerate(unit.copies):
            own = tuple(step.number for step in mine if number in step.pressed_back)
            groups.setdefault((own, tuple(label.get(patch, 0) for patch in copy)), []).append(number)
        found[unit.name] = tuple(tuple(numbers) for numbers in groups.values())
        for place, numbers in enumerate(found[unit.name]):
            label.update({patch: place for number in numbers for patch in unit.copies[number]})
    return found


def place_copies(taker: SewnUnit, taken: SewnUnit, first: int) -> list[int]:
    """Return for each copy of a unit which copy of another it takes in one place.

    Parameters
    ----------
    taker
        The unit whose steps are written.
    taken
        The unit that it takes.
    first
        Number of the copy that the first copy of `taker` takes there.
    """
    order = {patch: place for place, patch in enumerate(taker.copies[0])}
    places = [order[patch] for patch in taken.copies[first]]
    numbers = {frozenset(copy): number for number, copy in enumerate(taken.copies)}
    return [numbers[frozenset(copy[place] for place in places)] for copy in taker.copies]
