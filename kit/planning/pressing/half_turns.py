"""Units that are their own opposite: pressed the opposite way, they are the same unit given a half turn."""

from collections.abc import Iterator, Mapping, Sequence

from kit.geometry.outlines import TOLERANCE, Outline
from kit.model.patchwork import Patchwork
from kit.model.pressing import Press
from kit.model.sewing import SewingPlan, SewnUnit, Step
from kit.planning.pressing.crossings import SeamPlace
from kit.planning.pressing.seam_graph import OTHER, CopySeam
from kit.planning.pressing.spun_centres import SpunCentres


def find_half_turned(
    patchwork: Patchwork,
    plan: SewingPlan,
    places: Sequence[SeamPlace],
    presses: Mapping[CopySeam, Press],
    spun: SpunCentres | None = None,
) -> tuple[str, ...]:
    """Return the units whose copies pressed the opposite way are the others given a half turn.

    Such a four-patch is made alike every time: the maker turns every second one as it is laid out, and its seams nest
    with those of its neighbours.

    Parameters
    ----------
    patchwork, plan
        The design and its sewing plan, with `Step.pressed_back` filled.
    places
        Where each seam lies.
    presses
        The side of each seam of every copy.
    spun
        The four-patches that are spun, whose last seams go to both sides.
    """
    back = {step.unit: step.pressed_back[0] for step in plan.steps if step.pressed_back}
    toward = _find_targets(patchwork, plan, places, presses, spun) if back else {}
    return tuple(
        unit.name for unit in plan.units if unit.name in back and _is_opposite(patchwork, unit, back[unit.name], toward)
    )


def _find_targets(
    patchwork: Patchwork,
    plan: SewingPlan,
    places: Sequence[SeamPlace],
    presses: Mapping[CopySeam, Press],
    spun: SpunCentres | None,
) -> dict[tuple[str, str], str]:
    """Return for two patches on either side of a seam the one under which the allowances lie; "" if they are open."""
    mesh, steps = patchwork.mesh, {step.number: step for step in plan.steps}
    ids = [patch.id for patch in patchwork.patches]
    face, twin = mesh.face.tolist(), mesh.twin.tolist()
    found: dict[tuple[str, str], str] = {}
    for place in places:
        seam = place.step, place.copy
        ours = _list_first(plan, steps[place.step], place.copy)
        for side in place.sides:
            one, other = ids[face[side]], ids[face[twin[side]]]
            first, second = (one, other) if one in ours else (other, one)
            beyond = spun is not None and spun.is_beyond(seam, int(mesh.end[side]))
            press = OTHER[presses[seam]] if beyond else presses[seam]
            target = {"first": first, "second": second, "open": ""}[press]
            found[one, other] = found[other, one] = target
    return found


def _list_first(plan: SewingPlan, step: Step, copy: int) -> set[str]:
    """Return the patches along the first side of a seam in one copy."""
    copies = next(unit.copies for unit in plan.units if unit.name == step.unit)
    spot = dict(zip(copies[0], copies[copy], strict=True))
    return {spot[edge.patch] for edge in step.along_first}


def _is_opposite(patchwork: Patchwork, unit: SewnUnit, back: int, toward: Mapping[tuple[str, str], str]) -> bool:
    """Return True if the first copy, given a half turn, is pressed like a copy that is pressed back."""
    turned = _turn_half(patchwork, unit)
    there = dict(zip(unit.copies[0], unit.copies[back], strict=True)) | {"": ""}
    lies = {patch: there[partner] for patch, partner in turned.items()} | {"": ""}
    return bool(turned) and all(
        toward.get((lies[one], lies[other])) == lies[target]
        for (one, other), target in toward.items()
        if one in turned and other in turned
    )


def _turn_half(patchwork: Patchwork, unit: SewnUnit) -> dict[str, str]:
    """Return for each patch of the first copy the one that a half turn brings it to; nothing if one has no partner."""
    outlines = {patch: patchwork.by_id[patch].outline for patch in unit.copies[0]}
    corners = [point for outline in outlines.values() for point in outline]
    x, y = ((min(p[i] for p in corners) + max(p[i] for p in corners)) for i in (0, 1))
    spots = {key: patch for patch, outline in outlines.items() for key in _list_spots(outline)}
    found: dict[str, str] = {}
    for patch, outline in outlines.items():
        turned = tuple((x - px, y - py) for px, py in outline)
        partner = next((spots[key] for key in _list_spots(turned) if key in spots), None)
        if partner is None or patchwork.by_id[partner].slot != patchwork.by_id[patch].slot:
            return {}
        if not _covers(turned, outlines[partner]):
            return {}
        found[patch] = partner
    return found


def _list_spots(outline: Outline) -> Iterator[tuple[int, int]]:
    """Yield the middle of an outline in hundredths of an inch, and its neighbours, so that rounding parts nothing."""
    x, y = (sum(point[i] for point in outline) / len(outline) * 100 for i in (0, 1))
    yield round(x), round(y)
    yield round(x + 0.25), round(y + 0.25)


def _covers(ours: Outline, theirs: Outline) -> bool:
    """Return True if two outlines have the same corners."""
    return len(ours) == len(theirs) and all(
        min(abs(px - qx) + abs(py - qy) for qx, qy in theirs) < 20 * TOLERANCE for px, py in ours
    )
