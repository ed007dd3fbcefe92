"""Gathering: the parts of a top that are units which can be made several at a time.

Only what the sewing plan joins to a part of its own, before anything else is sewn to it, can come out of a batch; so
each part that a step makes is looked at, once for all copies of its unit.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import atan2, hypot

from kit.geometry.outlines import TOLERANCE, Outline, measure_area, measure_box, measure_directions, turn_outline
from kit.model.cutting import CutList, Piece
from kit.model.making import MadeUnit
from kit.model.patchwork import Patch, Patchwork
from kit.model.sewing import SewingPlan

HALF, QUARTER = "half-square triangle", "quarter-square triangle"
MOST = 24
"""Patches of the largest unit that is looked for."""
NEAR = 1e-4
"""Inches within which two sides count as one length."""


@dataclass(frozen=True)
class Kind:
    """What makes two units alike: what they are, their size, and the fabric and measure of each role."""

    unit: MadeUnit
    size: tuple[float, float]
    fabrics: tuple[str, ...]
    legs: tuple[float, ...] = ()
    widths: tuple[float, ...] = ()


@dataclass(frozen=True)
class Found:
    """One unit in the top: its kind, and its patches role by role."""

    kind: Kind
    patches: tuple[str, ...]


def find_units(
    patchwork: Patchwork, cuts: CutList, plan: SewingPlan, assignment: Mapping[str, str], left_out: frozenset[str]
) -> dict[Kind, list[Found]]:
    """Find the units that could be made several at a time, the largest first, no patch in two of them.

    Parameters
    ----------
    patchwork, cuts, plan
        The design, its cut list and the order of sewing.
    assignment
        Patch id -> fabric.
    left_out
        Fabrics whose print has a direction: batches turn it.

    Notes
    -----
    Each step is read once, its copies are only looked up: some 50 ms for 3,000 patches.
    """
    found = [
        unit for shape, spots in _list_parts(patchwork, cuts, plan) for patches in spots
        if (unit := _dress(shape, patches, assignment)) and not left_out.intersection(unit.kind.fabrics)
    ]  # fmt: skip
    kept: dict[Kind, list[Found]] = {}
    taken: set[str] = set()
    for count in sorted({len(unit.patches) for unit in found}, reverse=True):
        mine: dict[Kind, list[Found]] = {}
        for unit in found:
            if len(unit.patches) == count and taken.isdisjoint(unit.patches):
                mine.setdefault(unit.kind, []).append(unit)
        for kind, units in mine.items():
            if kind.unit == "strip set" and len(units) < 2:
                continue
            kept[kind] = units
            taken.update(patch for unit in units for patch in unit.patches)
    return kept


def list_steps(plan: SewingPlan, units: Sequence[Sequence[str]]) -> tuple[tuple[int, int], ...]:
    """Return the steps whose seams lie within units, and in how many copies."""
    owner = {patch: number for number, unit in enumerate(units) for patch in unit}
    look_up = _Copies(plan)
    done = []
    for step in plan.steps:
        patches = step.first + step.second
        if len(patches) > MOST or not step.second:
            continue
        inside = 0
        for spot in look_up.spots(step.unit, patches):
            owners = {owner.get(patch, -1) for patch in spot}
            inside += len(owners) == 1 and -1 not in owners
        if inside:
            done.append((step.number, inside))
    return tuple(done)


# Parts


@dataclass(frozen=True)
class _Shape:
    """A unit without its fabrics: which patch of a part fills each role."""

    unit: MadeUnit
    size: tuple[float, float]
    roles: tuple[int, ...]
    legs: tuple[float, ...] = ()
    widths: tuple[float, ...] = ()


def _list_parts(
    patchwork: Patchwork, cuts: CutList, plan: SewingPlan
) -> Iterator[tuple[_Shape, list[tuple[str, ...]]]]:
    """Yield each part that is a unit, with its patches in every copy."""
    look_up = _Copies(plan)
    for step in plan.steps:
        patches = step.first + step.second
        if step.kind != "join" or step.ragged or not step.second or len(patches) > MOST:
            continue
        members = [patchwork.by_id[patch] for patch in patches]
        if any(patch.sewn is not None for patch in members):
            continue
        shape = _read_shape(members, [cuts.piece_of[patch] for patch in patches])
        if shape is not None:
            yield shape, look_up.spots(step.unit, patches)


class _Copies:
    """Looks up where patches of a unit's first copy are in every copy."""

    def __init__(self, plan: SewingPlan) -> None:
        self.copies = {unit.name: unit.copies for unit in plan.units}
        self.places = {unit.name: {patch: i for i, patch in enumerate(unit.copies[0])} for unit in plan.units}

    def spots(self, unit: str, patches: Sequence[str]) -> list[tuple[str, ...]]:
        """Return the patches in each copy."""
        spots = [self.places[unit][patch] for patch in patches]
        return [tuple(copy[i] for i in spots) for copy in self.copies[unit]]


def _read_shape(patches: Sequence[Patch], pieces: Sequence[Piece]) -> _Shape | None:
    """Return what a part is, or None where it is none of the units."""
    kinds = sorted(piece.kind for piece in pieces)
    plain = all(kind in ("square", "rectangle") for kind in kinds)
    odd = [i for i, piece in enumerate(pieces) if piece.kind != HALF]
    reader: Callable[[Sequence[Outline], float, float], _Shape | None]
    if kinds == [HALF, HALF]:
        reader = _read_half
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
    """Turn outlines that fill a rectangle until it lies level at the origin; None where they fill none."""
    area = sum(measure_area(outline) for outline in outlines)
    for way in {round(way % 90, 4) % 90 for outline in outlines for way in measure_directions(outline)}:
        turned = [turn_outline(outline, -way) for outline in outlines]
        left, bottom, right, top = measure_box(point for outline in turned for point in outline)
        wide, high = right - left, top - bottom
        if abs(wide * high - area) < NEAR * (wide + high):
            return [tuple((x - left, y - bottom) for x, y in outline) for outline in turned], wide, high
    return None


def _turn(outlines: Sequence[Outline], wide: float, high: float, quarters: int) -> tuple[list[Outline], float, float]:
    """Turn a level rectangle by quarters, counter-clockwise, its corner again at the origin."""
    turned = list(outlines)
    for _ in range(quarters % 4):
        turned = [tuple((high - y, x) for x, y in outline) for outline in turned]
        wide, high = high, wide
    return turned, wide, high


def _middle(outline: Outline) -> tuple[float, float]:
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


# Shapes


def _read_half(_: Sequence[Outline], wide: float, high: float) -> _Shape | None:
    return _Shape("half-square", (wide, high), (0, 1)) if abs(wide - high) < NEAR else None


def _read_quarter(outlines: Sequence[Outline], wide: float, high: float) -> _Shape | None:
    if abs(wide - high) >= NEAR:
        return None
    middles = [_middle(outline) for outline in outlines]
    order = sorted(range(4), key=lambda i: atan2(middles[i][1] - high / 2, middles[i][0] - wide / 2))
    return _Shape("quarter-square", (wide, high), tuple(order))


def _read_goose(outlines: Sequence[Outline], wide: float, high: float) -> _Shape | None:
    goose = max(range(3), key=lambda i: measure_area(outlines[i]))
    for quarters in range(4):
        turned, w, h = _turn(outlines, wide, high, quarters)
        base = [x for x, y in turned[goose] if abs(y) < NEAR]
        if len(base) == 2 and abs(abs(base[1] - base[0]) - w) < NEAR and abs(w - 2 * h) < NEAR:
            sky = sorted((i for i in range(3) if i != goose), key=lambda i: _middle(turned[i])[0])
            return _Shape("geese", (w, h), (goose, *sky))
    return None


def _read_strips(outlines: Sequence[Outline], wide: float, high: float) -> _Shape | None:
    for quarters in (0, 1):
        turned, w, h = _turn(outlines, wide, high, quarters)
        boxes = [measure_box(outline) for outline in turned]
        if all(abs(top - bottom - h) < NEAR for _, bottom, _, top in boxes):
            order = sorted(range(len(boxes)), key=lambda i: boxes[i][0])
            return _Shape("strip set", (w, h), tuple(order), widths=tuple(boxes[i][2] - boxes[i][0] for i in order))
    return None


def _make_corner_reader(
    body: int, piece: Piece, patch: Patch
) -> Callable[[Sequence[Outline], float, float], _Shape | None]:
    """Return a reader of a body whose corners are cut off, once its sides on the straight grain are known."""
    turn = piece.turns[piece.patches.index(patch.id)]
    n = len(piece.outline)

    def read(outlines: Sequence[Outline], wide: float, high: float) -> _Shape | None:
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
        return _Shape("corners", (w, h), (body, *roles), legs=tuple(legs))

    return read


def _meets(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1]) < NEAR + TOLERANCE


# Fabrics


def _dress(shape: _Shape, patches: Sequence[str], assignment: Mapping[str, str]) -> Found | None:
    """Return a unit with its fabrics, laid so that units alike are alike; None where a batch cannot give it."""
    filled = [(patches[i], assignment[patches[i]]) if i >= 0 else ("", "") for i in shape.roles]
    orders: list[list[int]] = [list(range(len(filled)))]
    if shape.unit in ("half-square", "quarter-square"):
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
    kind = Kind(shape.unit, size, tuple(fabric for fabric in fabrics if fabric), legs, widths)
    return Found(kind, tuple(filled[i][0] for i in order if filled[i][0]))
