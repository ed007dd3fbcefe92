"""Batches rehearsed: the squares and strips are cut as printed, sewn, cut apart, opened and trimmed, unit by unit.

It follows each way as a quilter does and uses only printed figures: the cut sizes, the
allowance and the trimmed size. Each result is compared with the same unit sewn from single pieces:
every fabric must be in its place, no unit may be turned over, and no edge may fall short.
"""

from collections.abc import Mapping, Sequence
from math import cos, hypot, radians, sin

import shapely

from kit.geometry.outlines import Outline, measure_area, measure_box, measure_directions, turn_outline
from kit.lengths import Length, take_length
from kit.model.making import Made
from kit.rehearsal.batch_sewing import SLIP, sew_batch
from kit.rehearsal.flat_cloth import CannotMakeError, ClothSheet, Facet, cut_off, move_sheet, trim_sheet
from kit.rehearsal.loop_sewing import Box
from kit.rehearsal.paper_sewing import find_wrong_on_paper

GRID = 1e-9
"""Inches: noise of the computation."""


def rehearse_batch(made: Made, allowance: Length) -> tuple[ClothSheet, ...]:
    """Make one batch as printed and return its units, each trimmed, its corner at the origin.

    Parameters
    ----------
    made
        The kind of unit: its way, its printed sizes, its trimmed size.
    allowance
        Seam allowance, inches or a text with its unit.

    Raises
    ------
    CannotMakeError
        Cloth that does not reach a seam's allowance or the trimmed edge of a unit; says both figures.
    """
    a = take_length(allowance, "allowance")
    return tuple(_trim(sheet, box, made.slant) for sheet, box in sew_batch(made, a))


def find_unlike(
    units: Sequence[ClothSheet], target: Sequence[tuple[Outline, str]], allowance: float, slant: float = 90.0
) -> str:
    """Return the differences of units from the same unit sewn from single pieces, in words; empty if they are alike.

    Parameters
    ----------
    units
        From `rehearse_batch`.
    target
        Finished outline and fabric of each patch of one unit, in its place in the top.
    allowance
        Seam allowance, inches.
    slant
        The angle at the lower left of units that are parallelograms, degrees.
    """
    if slant != 90:
        return _find_unlike_slanted(units, target, allowance, slant)
    laid = _lay_level(target)
    if laid is None:
        return "its patches do not fill a rectangle"
    for number, unit in enumerate(units, start=1):
        left, bottom, right, top = measure_box(point for facet in unit for point in facet.outline)
        inside = trim_sheet(unit, (left + allowance, bottom + allowance, right - allowance, top - allowance))
        inside = move_sheet(inside, -allowance, -allowance)
        if not any(_covers(inside, turned) for turned in _list_turns(*laid)):
            return f"unit {number} of a batch differs from the unit sewn from single pieces: {_tell(inside, laid[0])}"
    return ""


def find_wrong(made: Made, target: Mapping[str, Outline], allowance: float) -> str:
    """Make the units of a plan from its figures alone, and return the first that is not as in the design, in words.

    Parameters
    ----------
    made
        The kind of unit, as printed.
    target
        The design: patch id -> finished outline.
    allowance
        Seam allowance, inches.
    """
    if made.unit == "block":
        fault = find_wrong_on_paper(made, target, allowance)
        return f"{made.id}: {fault}" if fault else ""
    try:
        sheets = rehearse_batch(made, allowance)
    except (CannotMakeError, IndexError) as error:
        return f"{made.id}: {error}"
    if len(sheets) != made.makes or not 0 <= made.spare < made.makes:
        return f"{made.id}: {made.batches} times {len(sheets)} come out for {len(made.units)} units"
    for number, unit in enumerate(made.units):
        start = made.segments[number].start if made.segments else 0
        fabrics = [made.fabrics[(start + i) % len(made.fabrics)] for i in range(len(unit))]
        laid = [(target[patch], fabric) for patch, fabric in zip(unit, fabrics, strict=True)]
        fault = find_unlike(sheets[number : number + 1] if made.segments else sheets, laid, allowance, made.slant)
        if fault:
            return f"{made.id}: {fault}"
    return ""


def _find_unlike_slanted(
    units: Sequence[ClothSheet], target: Sequence[tuple[Outline, str]], allowance: float, slant: float
) -> str:
    """Compare parallelograms: what lies an allowance inside every edge, in each turn that lays an edge level."""
    ways = {round(way, 4) for outline, _ in target for way in measure_directions(outline)}
    turns = [_to_corner([(turn_outline(outline, -way), fabric) for outline, fabric in target]) for way in ways]
    a, b = sin(radians(slant)), -cos(radians(slant))
    for number, unit in enumerate(units, start=1):
        points = [point for facet in unit for point in facet.outline]
        _, bottom, _, top = measure_box(points)
        reach = [a * x + b * y for x, y in points]
        inside = cut_off(cut_off(unit, 0.0, -1.0, -bottom - allowance), 0.0, 1.0, top - allowance)
        inside = cut_off(cut_off(inside, -a, -b, -min(reach) - allowance), a, b, max(reach) - allowance)
        laid = [(facet.outline, facet.fabric) for facet in inside]
        level = tuple(Facet(outline, fabric) for outline, fabric in _to_corner(laid))
        if not any(_covers(level, turned) for turned in turns):
            said = _tell(inside, target)
            return f"unit {number} of a batch differs from the unit sewn from single pieces: {said}"
    return ""


# Comparing the result


def _to_corner(rows: Sequence[tuple[Outline, str]]) -> list[tuple[Outline, str]]:
    left, bottom, _, _ = measure_box(point for outline, _ in rows for point in outline)
    return [(tuple((x - left, y - bottom) for x, y in outline), fabric) for outline, fabric in rows]


def _lay_level(target: Sequence[tuple[Outline, str]]) -> tuple[list[tuple[Outline, str]], float, float] | None:
    """Turn a unit of the top until its rectangle lies level at the origin."""
    area = sum(measure_area(outline) for outline, _ in target)
    for way in sorted({way % 90 for outline, _ in target for way in measure_directions(outline)}):
        turned = [(turn_outline(outline, -way), fabric) for outline, fabric in target]
        left, bottom, right, top = measure_box(point for outline, _ in turned for point in outline)
        if abs((right - left) * (top - bottom) - area) < SLIP * (right - left + top - bottom):
            moved = [(tuple((x - left, y - bottom) for x, y in outline), fabric) for outline, fabric in turned]
            return moved, right - left, top - bottom
    return None


def _list_turns(target: list[tuple[Outline, str]], wide: float, high: float) -> list[list[tuple[Outline, str]]]:
    """Return the unit in its four quarter turns, never turned over."""
    turns = [target]
    for _ in range(3):
        target = [(tuple((high - y, x) for x, y in outline), fabric) for outline, fabric in target]
        wide, high = high, wide
        turns.append(target)
    return turns


def _covers(unit: ClothSheet, target: Sequence[tuple[Outline, str]]) -> bool:
    """Return True if the facets are the patches, one by one."""
    left = list(unit)
    for outline, fabric in target:
        match = next((f for f in left if f.fabric == fabric and _is_same(f.outline, outline)), None)
        if match is None:
            return False
        left.remove(match)
    return not left


def _is_same(outline: Outline, other: Outline) -> bool:
    if len(outline) != len(other):
        return False
    n = len(other)
    return any(
        all(
            hypot(outline[i][0] - other[(i + k) % n][0], outline[i][1] - other[(i + k) % n][1]) < SLIP for i in range(n)
        )
        for k in range(n)
    )


def _tell(unit: ClothSheet, target: Sequence[tuple[Outline, str]]) -> str:
    ours, theirs = (
        ", ".join(f"{fabric} {area:.3f}" for fabric, area in sorted(rows))
        for rows in (
            [(facet.fabric, measure_area(facet.outline)) for facet in unit],
            [(fabric, measure_area(outline)) for outline, fabric in target],
        )
    )
    return f"{ours} square inches come out, single pieces give {theirs}"


def _trim(sheet: ClothSheet, box: Box, slant: float) -> ClothSheet:
    """Check that a unit reaches every edge of a box, and trim it; a slanted unit reaches from side to side of it."""
    left, bottom, right, top = box
    cut = trim_sheet(sheet, box)
    # on a grid: edges that differ by rounding noise have made a union lose a whole facet
    there = shapely.union_all([shapely.Polygon(facet.outline) for facet in cut], grid_size=GRID).area if cut else 0.0
    wide, high = right - left, top - bottom
    lean = 0.0
    if slant != 90 and cut:
        level = [x for facet in cut for x, y in facet.outline if abs(y - bottom) < SLIP]
        lean = wide - (max(level) - min(level)) if level else wide
    if (wide - lean) * high - there > SLIP * (wide + high):
        low, base, far, upper = measure_box(point for facet in sheet for point in facet.outline)
        raise CannotMakeError(
            f"a unit comes out {far - low:.4f} x {upper - base:.4f} in, too small for trimming to"
            f" {wide:.4f} x {high:.4f} in"
        )
    return move_sheet(cut, -left, -bottom)
