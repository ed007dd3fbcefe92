"""Copies of a unit that differ only in pressing: the equal ones, and the copies used in a step."""

from collections.abc import Mapping
from typing import TypeAlias

from kit.model.sewing import SewingPlan, SewnUnit

Sets: TypeAlias = tuple[tuple[int, ...], ...]
"""Numbers of copies, from 0, grouped by pressing; the set of the first copy comes first."""


def list_sets(plan: SewingPlan) -> Mapping[str, Sets]:
    """Return for each unit the sets of its copies with the same pressing throughout.

    Two copies are alike if the same steps are pressed back in both, and if their parts in each place are of one set
    in turn.

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
    """Return for each copy of a unit the copy of another unit in one of its places.

    Parameters
    ----------
    taker
        The outer unit.
    taken
        The inner unit.
    first
        Number of the copy in the first copy of `taker`.
    """
    order = {patch: place for place, patch in enumerate(taker.copies[0])}
    places = [order[patch] for patch in taken.copies[first]]
    numbers = {frozenset(copy): number for number, copy in enumerate(taken.copies)}
    return [numbers[frozenset(copy[place] for place in places)] for copy in taker.copies]
