"""Units of a design that names none: those that repeat are given to the order of sewing as groups."""

from dataclasses import replace

from kit.model.patchwork import Group, Patchwork, Within
from kit.model.units import Unit, find_repeating

MOST = 1_500
"""Patches up to which repeating parts are found while the sewing is planned; more would take over half a second."""


def name_found_units(patchwork: Patchwork) -> Patchwork | None:
    """Return the design with the units found in it as groups; None if it names its own, has none, or is too large.

    Notes
    -----
    Up to half a second; see `kit.model.units.find_repeating`.
    """
    if len(patchwork.patches) > MOST or any(patch.group for patch in patchwork.patches):
        return None
    groups: dict[str, Group] = {}
    for unit in sorted(
        _list_below(find_repeating(patchwork.patches, patchwork.mesh)), key=lambda unit: (-unit.size, unit.name)
    ):
        for number, copy in enumerate(unit.patches, start=1):
            for name in copy:
                groups[name] = (*groups.get(name, ()), Within(unit.name, str(number)))
    if not groups:
        return None
    patches = tuple(replace(patch, group=groups.get(patch.id, ())) for patch in patchwork.patches)
    return replace(patchwork, patches=patches)


def _list_below(top: Unit) -> tuple[Unit, ...]:
    return top.list_all()[:-1]
