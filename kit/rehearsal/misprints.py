"""Reading a cut list and the written steps before the rehearsal: wrong names, numbers and counts."""

from collections import Counter
from math import isfinite

from kit.model.cutting import CutList
from kit.model.sewing import SewingPlan


def find_miscuts(cut_list: CutList) -> list[str]:
    """Refuse patches that are cut twice and pieces cut in the wrong number."""
    said = []
    owner: dict[str, str] = {}
    for piece in cut_list.pieces:
        if piece.count != len(piece.patches):
            said.append(f"Piece {piece.id} is cut {piece.count} times for {len(piece.patches)} patches")
        for patch in piece.patches:
            if patch in owner:
                said.append(f"Patch `{patch}` is cut 2 times instead of once: as {owner[patch]} and as {piece.id}")
            owner[patch] = piece.id
    return said


def find_misprints(cut_list: CutList, plan: SewingPlan) -> list[str]:
    """Refuse patches that were never cut, units that do not exist or use a patch twice, and steps out of order."""
    said = []
    cut = cut_list.piece_of
    units = {unit.name: unit for unit in plan.units}
    if len(units) != len(plan.units):
        said.append(f"{len(plan.units)} units have {len(units)} names between them")
    for unit in plan.units:
        uses = Counter(patch for copy in unit.copies for patch in copy)
        twice = [(patch, count) for patch, count in uses.items() if count > 1]
        said += [f"Unit {unit.name} uses patch `{patch}` {count} times instead of once" for patch, count in twice]
        said += [f"Unit {unit.name} uses patch `{patch}`, which is never cut" for patch in uses if patch not in cut]
        if not all(unit.copies) or not unit.copies:
            said.append(f"Unit {unit.name} has a copy without patches, or no copy")
        if len({len(copy) for copy in unit.copies}) > 1:
            said.append(f"The {unit.count} copies of unit {unit.name} have different numbers of patches")
    for place, step in enumerate(plan.steps, start=1):
        named = [*step.first, *step.second, *(edge.patch for edge in (*step.along_first, *step.along_second))]
        missing = next((patch for patch in named if patch not in cut), None)
        if missing is not None:
            said.append(f"Step {step.number} uses patch `{missing}`, which is never cut")
        if step.unit not in units:
            said.append(f"Step {step.number} belongs to unit {step.unit}, which the plan does not have")
        if not all(
            map(isfinite, (step.offset, *step.sewn, *step.stops, *(x for point in step.trim or () for x in point)))
        ):
            said.append(f"Step {step.number} holds a length that is not a number")
        if step.number != place:
            said.append(f"Step {step.number} stands in place {place}")
    return said


def find_unused(cut_list: CutList, plan: SewingPlan) -> tuple[str, ...]:
    """Return cut patches that neither a unit nor a step names."""
    used = {patch for unit in plan.units for copy in unit.copies for patch in copy}
    used |= {patch for step in plan.steps for patch in (*step.first, *step.second)}
    return tuple(patch for piece in cut_list.pieces for patch in piece.patches if patch not in used)
