"""Unit shapes: the kind of unit that a few patches make, and the role of each patch."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot, radians, sin

from kit.geometry.outlines import TOLERANCE, Outline, measure_area, measure_box, measure_directions, turn_outline
from kit.model.cutting import Piece, PieceKind
from kit.model.making import BatchedUnit
from kit.model.patchwork import Patch

HALF: PieceKind = "half-square triangle"
QUARTER: PieceKind = "quarter-square triangle"
RECTANGLES: tuple[PieceKind, ...] = ("square", "rectangle")
HALF_RECTANGLE: PieceKind = "half-rectangle triangle"
SLANTED: PieceKind = "parallelogram"
NEAR = 1e-4
"""Inches: the tolerance of equal sides."""


@dataclass(frozen=True)
class UnitShape:
    """A unit without its fabrics: the patch of a part for each role."""

    unit: BatchedUnit
    size: tuple[float, float]
    roles: tuple[int, ...]
    legs: tuple[float, ...] = ()
    widths: tuple[float, ...] = ()
    slant: float = 90.0
    rising: bool = True


def recognise_unit(patches: Sequence[Patch], pieces: Sequence[Piece]) -> UnitShape | None:
    """Return the kind of a part, or None if it is not one of the units."""
    kinds = sorted(piece.kind for piece in pieces)
    plain = all(kind in RECTANGLES for kind in kinds)
    if all(kind == SLANTED for kind in kinds):
        return _read_slanted([patch.outline for patch in patches])
    odd = [i for i, piece in enumerate(pieces) if piece.kind != HALF]
    reader: Callable[[Sequence[Outline], float, float], UnitShape | None]
    if kinds == [HALF, HALF]:
        reader = _read_half
    elif kinds == [HALF_RECTANGLE] * 2:
        reader = _read_half_rectangle
    elif kinds == [QUARTER] * 4:
        reader = _read_quarter
    elif kinds == [HALF, HALF, QUARTER]:
        reader = _read_goose
    elif plain:
        reader = _read_strips
    elif len(odd) == 1 and pieces[odd[0]].kind != QUARTER and 2 <= len(patches) <= 5:
        reader = _make_corner_reader(odd[0], pieces[odd[0]], patches[odd[0]])
    else:
        return None
    frame = _lay_level([patch.outline for patch in patches])
    return reader(*frame) if frame else None


def _lay_level(outlines: Sequence[Outline]) -> tuple[list[Outline], float, float] | None:
    """Turn outlines that fill a rectangle until it lies level at the origin; None if they fill no rectangle."""
    area = sum(measure_area(outline) for outline in outlines)
    for way in {round(way % 90, 4) % 90 for outline in outlines for way in measure_directions(outline)}:
        turned = [turn_outline(outline, -way) for outline in outlines]
        left, bottom, right, top = measure_box(point for outline in turned for point in outline)
        wide, high = right - left, top - bottom
        if abs(wide * high - area) < NEAR * (wide + high):
            return [tuple((x - left, y - bottom) for x, y in outline) for outline in turned], wide, high
    return None


def _turn(outlines: Sequence[Outline], wide: float, high: float, quarters: int) -> tuple[list[Outline], float, float]:
    """Turn a level rectangle by quarter turns, counter-clockwise, its corner again at the origin."""
    turned = list(outlines)
    for _ in range(quarters % 4):
        turned = [tuple((high - y, x) for x, y in outline) for outline in turned]
        wide, high = high, wide
    return turned, wide, high


def _middle(outline: Outline) -> tuple[float, float]:
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


def _read_half(_: Sequence[Outline], wide: float, high: float) -> UnitShape | None:
    return UnitShape("half-square", (wide, high), (0, 1)) if abs(wide - high) < NEAR else None


def _read_half_rectangle(outlines: Sequence[Outline], wide: float, high: float) -> UnitShape | None:
    turned, w, h = _turn(outlines, wide, high, 1 if high > wide else 0)
    starts = [i for i, outline in enumerate(turned) if any(_meets((0.0, 0.0), point) for point in outline)]
    right = [i for i, outline in enumerate(turned) if any(_meets((w, 0.0), point) for point in outline)]
    rising = len(starts) == 2
    lower = right[0] if rising else starts[0]
    return UnitShape("half-rectangle", (w, h), (lower, 1 - lower), rising=rising)


def _read_quarter(outlines: Sequence[Outline], wide: float, high: float) -> UnitShape | None:
    if abs(wide - high) >= NEAR:
        return None
    middles = [_middle(outline) for outline in outlines]
    order = sorted(range(4), key=lambda i: atan2(middles[i][1] - high / 2, middles[i][0] - wide / 2))
    return UnitShape("quarter-square", (wide, high), tuple(order))


def _read_goose(outlines: Sequence[Outline], wide: float, high: float) -> UnitShape | None:
    goose = max(range(3), key=lambda i: measure_area(outlines[i]))
    for quarters in range(4):
        turned, w, h = _turn(outlines, wide, high, quarters)
        base = [x for x, y in turned[goose] if abs(y) < NEAR]
        if len(base) == 2 and abs(abs(base[1] - base[0]) - w) < NEAR and abs(w - 2 * h) < NEAR:
            sky = sorted((i for i in range(3) if i != goose), key=lambda i: _middle(turned[i])[0])
            return UnitShape("geese", (w, h), (goose, *sky))
    return None


def _read_strips(outlines: Sequence[Outline], wide: float, high: float) -> UnitShape | None:
    for quarters in (0, 1):
        turned, w, h = _turn(outlines, wide, high, quarters)
        boxes = [measure_box(outline) for outline in turned]
        if all(abs(top - bottom - h) < NEAR for _, bottom, _, top in boxes):
            order = sorted(range(len(boxes)), key=lambda i: boxes[i][0])
            return UnitShape("strip set", (w, h), tuple(order), widths=tuple(boxes[i][2] - boxes[i][0] for i in order))
    return None


def _read_slanted(outlines: Sequence[Outline]) -> UnitShape | None:
    """Read a row of parallelograms between two lines, its seams at one angle to them."""
    for way in {round(way % 180, 4) % 180 for way in measure_directions(outlines[0])}:
        turned = [turn_outline(outline, -way) for outline in outlines]
        _, bottom, _, top = measure_box(turned[0])
        ends = []
        for outline in turned:
            low, high = (sorted(x for x, y in outline if abs(y - edge) < NEAR) for edge in (bottom, top))
            if len(outline) != 4 or len(low) != 2 or len(high) != 2:
                break
            ends.append((low[0], low[1] - low[0], high[0] - low[0]))
        leans = [lean for _, _, lean in ends]
        if len(ends) < len(outlines) or max(leans) - min(leans) > NEAR or abs(leans[0]) < NEAR:
            continue
        order = sorted(range(len(ends)), key=lambda i: ends[i][0])
        slant = degrees(atan2(top - bottom, leans[0]))
        widths = tuple(ends[i][1] * sin(radians(slant)) for i in order)
        return UnitShape("strip set", (sum(widths), top - bottom), tuple(order), widths=widths, slant=slant)
    return None


def _make_corner_reader(
    body: int, piece: Piece, patch: Patch
) -> Callable[[Sequence[Outline], float, float], UnitShape | None]:
    """Return a reader of a body without its corners, given its sides on the straight grain."""
    turn = piece.turns[piece.patches.index(patch.id)]
    n = len(piece.outline)

    def read(outlines: Sequence[Outline], wide: float, high: float) -> UnitShape | None:
        shape = outlines[body]
        ends = zip(shape, shape[1:] + shape[:1], strict=True)
        level = [i for i, ((x, y), (u, v)) in enumerate(ends) if abs(x - u) < NEAR or abs(y - v) < NEAR]
        if not level or any(piece.bias[(i - turn) % n] for i in level):
            return None  # cut from an upright rectangle it would lie off its grain
        turned, w, h = _turn(outlines, wide, high, 1 if high > wide + NEAR else 0)
        spots = ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))
        legs, roles = [0.0] * 4, [-1] * 4
        for i, outline in enumerate(turned):
            if i == body:
                continue
            spot = next((k for k, at in enumerate(spots) if any(_meets(at, point) for point in outline)), None)
            left, bottom, right, top = measure_box(outline)
            if spot is None or roles[spot] >= 0 or abs((right - left) - (top - bottom)) > NEAR:
                return None
            legs[spot], roles[spot] = right - left, i
        return UnitShape("corners", (w, h), (body, *roles), legs=tuple(legs))

    return read


def _meets(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1]) < NEAR + TOLERANCE
