"""The check of a cutting plan: by general geometry, only from plan and cut list, without any of the planner's code."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace
from math import atan2, degrees

import shapely

from kit.checks.directions_check import check_directions, lies_as_in_top
from kit.checks.joins_check import check_joins
from kit.checks.print_check import check_print_places, measure_printed
from kit.errors import CheckError
from kit.model.cutting import ClothPlan, Cut, CutList, CuttingPlan, Piece, Strip

SLIP = 1e-4
"""Inches: the tolerance between two figures; far below the accuracy of a rotary cutter."""
SLIP_ANGLE = 0.05
"""Degrees: the tolerance of an edge."""

Box = tuple[float, float, float, float]


def check_cutting_plan(cut_list: CutList, plan: CuttingPlan) -> None:
    """Refuse a cutting plan that cannot be cut or does not give every piece.

    Every strip lies inside its cloth, and the cloth is enough for all strips. Sub-cuts lie inside their strip, do
    not overlap, and can be reached by straight cuts from edge to edge. Each piece lies inside its sub-cut, is the
    piece's exact outline turned but not flipped, keeps the grain and the direction of the print, and overlaps no other.
    The two halves of a folded strip are mirror images; joined strips are long enough. Cut and missing pieces
    add up to the cut list, piece by piece and hand by hand; the used cloth adds up and is not below the bound.

    Raises
    ------
    CheckError
        Names the fabric, the strip, the piece and both figures.
    """
    made: dict[tuple[str, str | None], Counter[str]] = defaultdict(Counter)
    pieces = _gather_pieces(cut_list, plan)
    for cloth in plan.cloths:
        name = cloth.supply.fabric or cloth.supply.slot
        fabric = cloth.supply.fabric
        mine = {
            piece_id: piece for (slot, of, piece_id), piece in pieces.items()
            if slot == cloth.supply.slot and of in (fabric, None)
        }  # fmt: skip
        own = (cloth.supply.slot, fabric), (cloth.supply.slot, None)
        keys = {piece_id: (slot, of) for slot, of, piece_id in pieces if (slot, of) in own}
        seen: dict[tuple[int, float, float], None] = {}
        angles: dict[str, float] = {}
        for number, strip in enumerate(cloth.strips, start=1):
            _check_strip(f"{name}, strip {number}", strip, cloth, mine)
            for cut in strip.cuts:
                _check_cut(f"{name}, strip {number}", cut, mine[cut.piece], cloth, seen, angles)
                made[keys[cut.piece]][cut.piece] += cut.count
        check_print_places(name, cloth, mine)
        check_joins(name, cloth, mine, cut_list.allowance)
        _check_amount(name, cloth)
        for piece_id, count in cloth.short.items():
            if piece_id not in mine:
                raise CheckError(f"{name}: `{piece_id}` is short, but is not a piece of the cut list")
            made[keys[piece_id]][piece_id] += count
    check_directions(plan, pieces)
    for (slot, of, piece_id), piece in pieces.items():
        count = made[slot, of][piece_id]
        if count != piece.count:
            raise CheckError(f"Piece {piece_id} of {of or slot}: {count} planned, {piece.count} needed")
    _check_totals(plan)


def _gather_pieces(cut_list: CutList, plan: CuttingPlan) -> dict[tuple[str, str | None, str], Piece]:
    """Return every kind of piece by the slot and fabric of its cloth; fabrics that share a cloth count together."""
    roots = {share: (cloth.supply.slot, cloth.supply.fabric) for cloth in plan.cloths for share in cloth.supply.shares}
    found: dict[tuple[str, str | None, str], Piece] = {}
    for piece in cut_list.pieces:
        slot, fabric = roots.get(piece.fabric or "", (piece.slot, piece.fabric))
        other = found.get((slot, fabric, piece.id))
        if other is not None:
            count, headings = other.count + piece.count, (*other.headings, *piece.headings)
            piece = replace(piece, count=count, headings=headings)  # noqa: PLW2901  one piece of both
        found[slot, fabric, piece.id] = piece
    return found


# The cloth


def _measure_cloth(cloth: ClothPlan) -> tuple[float, float | None, int | None]:
    """Return the length of a strip, its height (None: free), and the number of strips (None: no limit)."""
    supply = cloth.supply
    stays = 1 - supply.shrinkage
    if supply.form == "yardage":
        return supply.width * stays, None, None
    if supply.form == "strips":
        return (supply.length or 40.0) * stays, supply.width * stays, supply.count
    if supply.form == "squares":
        return supply.width * stays, supply.width * stays, supply.count
    if supply.form == "remnant":
        return (supply.length or supply.width) * stays, supply.width * stays, supply.count or 1
    across = supply.width if supply.width < 36 else supply.width / 2
    along = supply.length or (18.0 if supply.form == "fat quarter" else 9.0)
    return max(across, along) * stays, min(across, along) * stays, supply.count


def _check_amount(name: str, cloth: ClothPlan) -> None:
    _, _, limit = _measure_cloth(cloth)
    supply = cloth.supply
    used = measure_printed(cloth) if supply.form == "yardage" else float(len(cloth.strips))
    if abs(used - cloth.used) > SLIP:
        raise CheckError(f"{name}: the strips add up to {used:g}, said to be {cloth.used:g}")
    if not cloth.short and cloth.used < cloth.bound - SLIP:
        raise CheckError(f"{name}: {cloth.used:g} is used, below the least possible {cloth.bound:g}")
    if limit is not None and len(cloth.strips) > limit:
        raise CheckError(f"{name}: {len(cloth.strips)} {supply.form} are used, there are {limit}")
    if supply.form == "yardage" and supply.length is not None and cloth.strips:
        there = supply.length * (1 - supply.shrinkage)
        taken = used + cloth.squaring_up + cloth.lead
        if taken > there + SLIP:
            raise CheckError(f"{name}: {taken:g} in with squaring up are used, {there:g} in are there")


def _check_totals(plan: CuttingPlan) -> None:
    for what, totals, of in (
        ("cloth", plan.cloth, [cloth.used for cloth in plan.cloths]),
        ("bound", plan.bound, [cloth.bound for cloth in plan.cloths]),
        ("squaring up", plan.squaring_up, [cloth.squaring_up for cloth in plan.cloths]),
    ):
        sums: dict[str, float] = defaultdict(float)
        for cloth, amount in zip(plan.cloths, of, strict=True):
            sums[cloth.supply.slot] += amount
        for slot in {*sums, *totals}:
            if abs(sums[slot] - totals.get(slot, 0.0)) > SLIP:
                raise CheckError(f"{slot}: {what} is said to be {totals.get(slot, 0.0):g}, adds up to {sums[slot]:g}")
    short = {cloth.supply.slot for cloth in plan.cloths if cloth.short}
    if short != set(plan.short):
        raise CheckError(f"Short are {sorted(short)}, said to be {sorted(plan.short)}")


# The strip


def _check_strip(place: str, strip: Strip, cloth: ClothPlan, pieces: dict[str, Piece]) -> None:
    length, height, _ = _measure_cloth(cloth)
    if strip.height <= 0 or strip.length <= 0:
        raise CheckError(f"{place} is {strip.height:g} x {strip.length:g} in")
    if strip.length > length + SLIP or (height is not None and strip.height > height + SLIP):
        raise CheckError(f"{place} is {strip.height:g} x {strip.length:g} in, its cloth is {length:g} in wide")
    boxes: list[Box] = []
    for cut in strip.cuts:
        if cut.piece not in pieces:
            raise CheckError(f"{place}: `{cut.piece}` is not a piece of the cut list")
        box = (cut.x, cut.y, cut.x + cut.width, cut.y + cut.height)
        if min(box[:2]) < -SLIP or box[2] > strip.length + SLIP or box[3] > strip.height + SLIP:
            raise CheckError(f"{place}: the cut for {cut.piece} at {cut.x:g}, {cut.y:g} does not lie inside the strip")
        boxes.append(box)
    for i, cut in enumerate(strip.cuts):
        other = next((j for j in range(i) if _overlap(boxes[i], boxes[j])), None)
        if other is not None:
            raise CheckError(f"{place}: the cut for {cut.piece} at {cut.x:g} in overlaps the one for"
                             f" {strip.cuts[other].piece} at {strip.cuts[other].x:g} in")  # fmt: skip
    if not parts_by_straight_cuts(boxes):
        raise CheckError(f"{place} cannot be cut by straight cuts from edge to edge")
    _check_fold(place, strip)


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] - SLIP and b[0] < a[2] - SLIP and a[1] < b[3] - SLIP and b[1] < a[3] - SLIP


def parts_by_straight_cuts(boxes: Sequence[Box]) -> bool:
    """Return True if straight cuts from edge to edge part every rectangle from every other."""
    if len(boxes) < 2:
        return True
    for low, high in ((0, 2), (1, 3)):
        order = sorted(boxes, key=lambda box: (box[low], box[high]))
        reach = order[0][high]
        for i in range(1, len(order)):
            if order[i][low] >= reach - SLIP:
                return parts_by_straight_cuts(order[:i]) and parts_by_straight_cuts(order[i:])
            reach = max(reach, order[i][high])
    return False


def _check_fold(place: str, strip: Strip) -> None:
    """Check that each cut through two layers has its mirror image on the other half of the strip."""
    double = [cut for cut in strip.cuts if cut.folded]
    if strip.folded != bool(double):
        raise CheckError(f"{place} is folded: {strip.folded}; {len(double)} cuts go through two layers")
    for cut in double:
        x = strip.length - cut.x - cut.width
        image = next((other for other in double if other is not cut and abs(other.x - x) < SLIP), None)
        if image is None or image.count != cut.count or abs(image.y - cut.y) > SLIP:
            raise CheckError(f"{place} is folded: {cut.piece} at {cut.x:g} in has no mirror image on the other half")
        flipped, there = (
            shapely.union_all([shapely.Polygon(outline) for outline in outlines], grid_size=1e-9)
            for outlines in (
                [[(cut.width - px, py) for px, py in shape.outline] for shape in cut.shapes],
                [shape.outline for shape in image.shapes],
            )
        )
        if flipped.symmetric_difference(there, grid_size=1e-9).area > SLIP * max(1.0, there.length):
            raise CheckError(f"{place} is folded: {image.piece} is not the mirror image of {cut.piece}")


# The pieces in a cut


def _check_cut(
    place: str, cut: Cut, piece: Piece, cloth: ClothPlan, seen: dict[tuple[int, float, float], None],
    angles: dict[str, float],
) -> None:  # fmt: skip
    if cut.joined:
        return
    key = (id(cut.shapes), round(cut.width, 6), round(cut.height, 6))
    if len(cut.shapes) != cut.count:
        raise CheckError(
            f"{place}: {len(cut.shapes)} of {cut.piece} lie in the cut at {cut.x:g} in, counted {cut.count}"
        )
    if key in seen:
        return
    seen[key] = None
    _check_ruler(place, cut, piece, cloth)
    shapes = [shapely.Polygon(shape.outline) for shape in cut.shapes]
    room = shapely.box(-SLIP, -SLIP, cut.width + SLIP, cut.height + SLIP)
    for shape, polygon in zip(cut.shapes, shapes, strict=True):
        if shape.piece != cut.piece:
            raise CheckError(f"{place}: a {shape.piece} lies in the cut for {cut.piece}")
        if not room.covers(polygon):
            raise CheckError(f"{place}: a {cut.piece} does not lie inside its cut of {cut.width:g} x {cut.height:g} in")
        _check_pose(place, shape.outline, piece, cloth, angles)
    for i, polygon in enumerate(shapes):
        for other in shapes[:i]:
            if polygon.intersection(other).area > SLIP * polygon.length:
                raise CheckError(f"{place}: two of {cut.piece} overlap in the cut at {cut.x:g} in")


def _check_ruler(place: str, cut: Cut, piece: Piece, cloth: ClothPlan) -> None:
    """Check that the sides of the cut are at least the ruler's figures of the piece."""
    _, high, _ = _measure_cloth(cloth)
    low, long = sorted((cut.width, cut.height))
    need_low, need_long = min(piece.rounded.values()), max(piece.rounded.values())
    if high is not None and abs(low - high) < SLIP:
        need_low = min(need_low, max(high, min(piece.cut.values())))
    if piece.kind in ("parallelogram", "trapezoid", "60° triangle"):
        low, need_low, need_long = cut.height, piece.rounded["strip"], 0.0
        if high is not None and abs(low - high) < SLIP:
            need_low = min(need_low, max(high, piece.cut["strip"]))
        others = [size for name, size in piece.rounded.items() if name != "strip"]
        if cut.height < need_low - SLIP and cut.height >= max(others) - SLIP:
            low = cut.width  # turned: the strip edge lies across the strip of cloth
    if piece.kind == "template":
        need_low, need_long = 0.0, 0.0
    if low < need_low - SLIP or long < need_long - SLIP:
        raise CheckError(
            f"{place}: {cut.piece} needs {need_low:g} x {need_long:g} in, its cut is {cut.width:g} x {cut.height:g}"
        )
    repeat = cloth.supply.print_repeat
    if repeat and cloth.supply.form != "yardage":
        for side, length in ((cut.width, repeat.across), (cut.height, repeat.along)):
            if length is not None and side < length - SLIP:
                raise CheckError(f"{place}: {cut.piece} takes {side:g} in, less than a repeat of the print")


def _check_pose(
    place: str, outline: Sequence[tuple[float, float]], piece: Piece, cloth: ClothPlan, angles: dict[str, float]
) -> None:
    """Check that the outline is the piece's own, turned but not flipped, on the grain, and the print upright."""
    turns = _find_turns(outline, piece.outline)
    if not turns:
        if _find_turns([(-x, y) for x, y in reversed(outline)], piece.outline):
            raise CheckError(f"{place}: {piece.id} lies flipped: it is a {piece.hand} piece")
        raise CheckError(f"{place}: the outline cut for {piece.id} is not its shape")
    turns = [(angle, first) for angle, first in turns if all(piece.bias) or _keeps_grain(outline, first, piece.bias)]
    if not turns:
        raise CheckError(f"{place}: {piece.id} lies off its grain")
    if lies_as_in_top(piece, cloth):
        return
    known = angles.setdefault(piece.id, turns[0][0])
    period = 360.0 if cloth.supply.nap else 90.0 if cloth.supply.takes_turns else 180.0
    off = min(abs((angle - known + period / 2) % period - period / 2) for angle, _ in turns)
    if off > SLIP_ANGLE:
        raise CheckError(f"{place}: {piece.id} is turned by {off:.1f}° against the others of its kind")


def _keeps_grain(outline: Sequence[tuple[float, float]], first: int, bias: Sequence[bool]) -> bool:
    """Return True if exactly the edges off the bias run along or across the cloth."""
    n = len(bias)
    for i, off in enumerate(bias):
        (x0, y0), (x1, y1) = outline[(first + i) % n], outline[(first + i + 1) % n]
        straight = abs((degrees(atan2(y1 - y0, x1 - x0)) + 45) % 90 - 45) < SLIP_ANGLE
        if straight == off:
            return False
    return True


def _find_turns(
    outline: Sequence[tuple[float, float]], model: Sequence[tuple[float, float]]
) -> list[tuple[float, int]]:
    """Return every turn in degrees from the model to the outline, with the first corner of each."""
    n = len(model)
    if len(outline) != n:
        return []
    there, given = [complex(x, y) for x, y in outline], [complex(x, y) for x, y in model]
    side = given[1] - given[0]
    found = []
    for first in range(n):
        ring = [*there[first:], *there[:first]]
        spin = (ring[1] - ring[0]) / side
        spin /= abs(spin)
        if all(abs(ring[k] - ring[0] - spin * (given[k] - given[0])) < SLIP for k in range(1, n)):
            found.append((degrees(atan2(spin.imag, spin.real)), first))
    return found
