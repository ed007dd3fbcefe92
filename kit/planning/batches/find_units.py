"""Gathering: the units of a top that can be made several at a time.

Units of triangles are found by their common edges, rows of rectangles among the parts made by the steps. A batch can
only make a separate part: nothing else may be sewn to it before it is complete.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kit.geometry.outlines import Outline, measure_edges
from kit.model.cutting import CutList
from kit.model.making import BatchedUnit
from kit.model.patchwork import Patchwork, Within
from kit.model.sewing import SewingPlan, Step
from kit.planning.batches.unit_shapes import (
    HALF,
    HALF_RECTANGLE,
    NEAR,
    QUARTER,
    RECTANGLES,
    SLANTED,
    UnitShape,
    recognise_unit,
)

GROUPS: Mapping[BatchedUnit, str] = {
    "half-square": "half-square unit", "quarter-square": "quarter-square unit",
    "half-rectangle": "half-rectangle unit", "geese": "goose unit", "corners": "corner unit",
}  # fmt: skip
MOST = 24
"""The number of patches in the largest unit."""


@dataclass(frozen=True)
class UnitKind:
    """The key of equal units: their kind, their size, and the fabric and measure of each role."""

    unit: BatchedUnit
    size: tuple[float, float]
    fabrics: tuple[str, ...]
    legs: tuple[float, ...] = ()
    widths: tuple[float, ...] = ()
    slant: float = 90.0
    rising: bool = True


@dataclass(frozen=True)
class Found:
    """One unit in the top: its kind, and its patches role by role."""

    kind: UnitKind
    patches: tuple[str, ...]


def group_units(patchwork: Patchwork, cuts: CutList) -> Patchwork:
    """Make a group of every unit of triangles, so that the order of sewing leaves it whole.

    Where diagonals continue from square to square, the shortest order would sew along them; a unit from a batch has to
    be a separate part. What the design names as a unit already keeps its name.

    Parameters
    ----------
    patchwork, cuts
        The design and its cut list.
    """
    names: dict[str, Within] = {}
    sizes = Counter(patch.group for patch in patchwork.patches if patch.group)
    for number, (shape, unit) in enumerate(find_pieced(patchwork, cuts), start=1):
        groups = {patchwork.by_id[patch].group for patch in unit}
        if len(groups) == 1 and sizes[next(iter(groups))] == len(unit):
            continue
        names |= dict.fromkeys(unit, Within(GROUPS[shape.unit], str(number)))
    if not names:
        return patchwork
    patches = tuple(
        replace(patch, group=(*patch.group, names[patch.id])) if patch.id in names else patch
        for patch in patchwork.patches
    )
    return replace(patchwork, patches=patches)


def find_units(
    patchwork: Patchwork,
    cuts: CutList,
    plan: SewingPlan,
    assignment: Mapping[str, str],
    left_out: frozenset[str],
    *,
    sewn: bool = True,
    taken: frozenset[str] = frozenset(),
) -> dict[UnitKind, list[Found]]:
    """Find the units that could be made several at a time, each patch in at most one.

    Parameters
    ----------
    patchwork, cuts, plan
        The design, its cut list and the order of sewing.
    assignment
        Patch id -> fabric.
    left_out
        Fabrics with a print that has a direction: batches would turn it.
    sewn
        Find only units that the steps sew as separate parts.
    taken
        Patches that come out of other batches.

    Notes
    -----
    Some 50 ms for 3,000 patches.
    """
    parts = _Parts(plan)
    kept: dict[UnitKind, list[Found]] = {}
    for shape, patches in find_pieced(patchwork, cuts):
        unit = _dress(shape, patches, assignment) if taken.isdisjoint(patches) else None
        if unit and not left_out.intersection(unit.kind.fabrics) and (not sewn or frozenset(patches) in parts.made):
            kept.setdefault(unit.kind, []).append(unit)
    gone = {patch for units in kept.values() for unit in units for patch in unit.patches} | taken
    rows = [
        unit for shape, spots in _list_rows(patchwork, cuts, plan, parts) for patches in spots
        if (unit := _dress(shape, patches, assignment)) and not left_out.intersection(unit.kind.fabrics)
    ]  # fmt: skip
    for count in sorted({len(unit.patches) for unit in rows}, reverse=True):
        mine: dict[UnitKind, list[Found]] = {}
        for unit in rows:
            if len(unit.patches) == count and gone.isdisjoint(unit.patches):
                mine.setdefault(unit.kind, []).append(unit)
        for kind, units in mine.items():
            if len(units) > 1:
                kept[kind] = units
                gone.update(patch for unit in units for patch in unit.patches)
    return kept


def list_steps(plan: SewingPlan, units: Sequence[Sequence[str]]) -> tuple[tuple[int, int], ...]:
    """Return the steps with seams inside units, and the number of copies of each."""
    owner = {patch: number for number, unit in enumerate(units) for patch in unit}
    parts = _Parts(plan)
    most = max(map(len, units), default=0)
    done = []
    for step in plan.steps:
        patches = step.first + step.second
        if len(patches) > most or step.kind == "trim":
            continue
        inside = 0
        for spot in parts.list_spots(step.unit, patches):
            owners = {owner.get(patch, -1) for patch in spot}
            inside += len(owners) == 1 and -1 not in owners
        if inside:
            done.append((step.number, inside))
    return tuple(done)


# Units of triangles, by their common edges


def find_pieced(patchwork: Patchwork, cuts: CutList) -> Iterator[tuple[UnitShape, tuple[str, ...]]]:
    """Yield the units of triangles: the kind of each, and its patches.

    A half-square triangle belongs with the patch along the whole of its long side; quarter-square triangles belong
    together around their right angles.
    """
    patches = patchwork.patches
    kinds = [cuts.piece_of[patch.id].kind if patch.sewn is None else "" for patch in patches]
    for found in _gather(patchwork, kinds):
        members = [patches[i] for i in found]
        if 2 <= len(found) <= 5 and all(kinds[i] for i in found):
            shape = recognise_unit(members, [cuts.piece_of[patch.id] for patch in members])
            if shape is not None:
                yield shape, tuple(patch.id for patch in members)


def _gather(patchwork: Patchwork, kinds: Sequence[str]) -> list[list[int]]:
    """Return the patches (numbers) that belong together: two triangles, a body with triangles, four around a point."""
    beside = _find_shared(patchwork)
    groups: dict[tuple[str, int], list[int]] = {}
    for i, kind in enumerate(kinds):
        if kind not in (HALF, QUARTER, HALF_RECTANGLE):
            continue
        long = _find_long(patchwork.patches[i].outline)
        j, there = beside.get((i, long), (-1, -1))
        if kind == QUARTER:
            groups.setdefault(("apex", patchwork.mesh.corners[i][(long + 2) % 3]), []).append(i)
        elif kind == HALF and j >= 0 and kinds[j] != HALF:
            if kinds[j] == QUARTER and there == _find_long(patchwork.patches[j].outline):
                continue  # a triangle along the long side of a goose is not its sky
            groups.setdefault(("body", j), [j]).append(i)
        elif i < j and kinds[j] == kind and there == _find_long(patchwork.patches[j].outline):
            groups["pair", i] = [i, j]
    return list(groups.values())


def _find_shared(patchwork: Patchwork) -> dict[tuple[int, int], tuple[int, int]]:
    """Return the neighbour and its edge for each (patch, edge) that is a whole edge of one neighbour."""
    mesh = patchwork.mesh
    face, edge, twin = mesh.face.tolist(), mesh.edge.tolist(), mesh.twin.tolist()
    times = Counter(zip(face, edge, strict=True))
    return {
        (face[side], edge[side]): (face[other], edge[other])
        for side, other in enumerate(twin)
        if other >= 0 and times[face[side], edge[side]] == 1 and times[face[other], edge[other]] == 1
    }


def _find_long(outline: Outline) -> int:
    edges = measure_edges(outline)
    return edges.index(max(edges))


# Rows of rectangles, by the steps


class _Parts:
    """The parts made by the steps, and the patches of every copy of a unit."""

    def __init__(self, plan: SewingPlan) -> None:
        self.copies = {unit.name: unit.copies for unit in plan.units}
        self.places = {unit.name: {patch: i for i, patch in enumerate(unit.copies[0])} for unit in plan.units}
        self.made = {
            frozenset(spot) for step in plan.steps if is_whole(step)
            for spot in self.list_spots(step.unit, step.first + step.second)
        }  # fmt: skip

    def list_spots(self, unit: str, patches: Sequence[str]) -> list[tuple[str, ...]]:
        """Return the patches in each copy."""
        spots = [self.places[unit][patch] for patch in patches]
        return [tuple(copy[i] for i in spots) for copy in self.copies[unit]]


def is_whole(step: Step) -> bool:
    """Return True if a step makes a small part by one whole seam."""
    small = len(step.first) + len(step.second) <= MOST
    return step.kind == "join" and not step.ragged and bool(step.second) and small


def _list_rows(
    patchwork: Patchwork, cuts: CutList, plan: SewingPlan, parts: _Parts
) -> Iterator[tuple[UnitShape, list[tuple[str, ...]]]]:
    """Yield each part that is a row of rectangles, with its patches in every copy."""
    for step in plan.steps:
        patches = step.first + step.second
        kinds = {cuts.piece_of[patch].kind for patch in patches}
        if not is_whole(step) or not (kinds <= set(RECTANGLES) or kinds == {SLANTED}):
            continue
        members = [patchwork.by_id[patch] for patch in patches]
        shape = None if any(patch.sewn is not None for patch in members) else recognise_unit(
            members, [cuts.piece_of[patch] for patch in patches]
        )  # fmt: skip
        if shape is not None:
            yield shape, parts.list_spots(step.unit, patches)


# Fabrics


def _dress(shape: UnitShape, patches: Sequence[str], assignment: Mapping[str, str]) -> Found | None:
    """Return a unit with its fabrics, in a standard turn for comparison; None if a batch cannot give it."""
    filled = [(patches[i], assignment[patches[i]]) if i >= 0 else ("", "") for i in shape.roles]
    orders: list[list[int]] = [list(range(len(filled)))]
    if shape.unit in ("half-square", "quarter-square", "half-rectangle"):
        n = len(filled)
        orders = [[(i + k) % n for i in range(n)] for k in range(n)]
    elif shape.unit == "strip set":
        orders.append(orders[0][::-1])
    elif shape.unit == "corners":
        square = abs(shape.size[0] - shape.size[1]) < NEAR
        orders = [[0, *(1 + (i + k) % 4 for i in range(4))] for k in range(0, 4, 1 if square else 2)]
    best = None
    for order in orders:
        fabrics = tuple(filled[i][1] for i in order)
        legs = tuple(round(shape.legs[i - 1], 6) for i in order if i) if shape.legs else ()
        widths = tuple(round(shape.widths[i], 6) for i in order) if shape.widths else ()
        key = (widths, legs, fabrics)
        if best is None or key < best[0]:
            best = (key, order)
    if best is None:
        return None
    (widths, legs, fabrics), order = best
    if len({fabric for fabric in fabrics if fabric}) < 2:
        return None
    if shape.unit == "quarter-square" and fabrics[:2] != fabrics[2:]:
        return None
    size = (round(shape.size[0], 6), round(shape.size[1], 6))
    kind = UnitKind(
        shape.unit,
        size,
        tuple(fabric for fabric in fabrics if fabric),
        legs,
        widths,
        round(shape.slant, 6),
        shape.rising,
    )
    return Found(kind, tuple(filled[i][0] for i in order if filled[i][0]))
