"""Blanks: rectangles for cutting pieces, and the layout of the pieces in them.

Squares and rectangles are their own blank. A right triangle shares a square or rectangle with its own half turn; four
quarter-square triangles share a square. Angled pieces stand on their longest side in a run along the strip, every
second one with a half turn, so that neighbours share one cut. A piece longer than the width of the cloth (a mitred
border) is cut from a strip of its own length.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil

from kit.geometry.outlines import (
    TOLERANCE,
    Outline,
    measure_angles,
    measure_box,
    measure_directions,
    move_outline,
    turn_outline,
)
from kit.model.cutting import Piece, PieceKind
from kit.model.fabrics import Supply
from kit.model.joined_lengths import LEAST_JOINED, find_least_joined
from kit.model.prints import PrintRepeat

HALF: PieceKind = "half-square triangle"
QUARTER: PieceKind = "quarter-square triangle"
HALF_RECTANGLE: PieceKind = "half-rectangle triangle"
FAT_QUARTER, FAT_EIGHTH = 18.0, 9.0
"""Inches of length of a fat quarter (half a yard cut in two) and of a fat eighth (common practice, no source)."""
SQUARING_UP = 1.0
"""Inches for squaring up one length of yardage (common practice, no source)."""
SEAMS_APART = (12.0, 8.0, 6.0, LEAST_JOINED)
"""Inches from a join in a long piece to its ends: the first that takes no more strips (common practice, no source)."""


@dataclass(frozen=True)
class Stock:
    """The cloth for strips, after washing.

    Attributes
    ----------
    width
        Inches along a strip.
    height
        Inches across it; None for yardage: its strips are cut as wide as needed.
    count
        Their number, None for as many as needed; one length of yardage.
    """

    width: float
    height: float | None
    count: int | None


def measure_stock(supply: Supply) -> Stock:
    """Return the stock of a supply, after shrinkage."""
    keeps = 1 - supply.shrinkage
    if supply.form == "yardage":
        return Stock(supply.width * keeps, None, None)
    if supply.form in ("fat quarter", "fat eighth"):
        wide = supply.width / 2 if supply.width >= 36 else supply.width
        high = supply.length or (FAT_QUARTER if supply.form == "fat quarter" else FAT_EIGHTH)
        return Stock(max(wide, high) * keeps, min(wide, high) * keeps, supply.count)
    if supply.form == "squares":
        return Stock(supply.width * keeps, supply.width * keeps, supply.count)
    if supply.form == "remnant":
        return Stock((supply.length or supply.width) * keeps, supply.width * keeps, supply.count or 1)
    return Stock((supply.length or 40.0) * keeps, supply.width * keeps, supply.count)


@dataclass(frozen=True)
class Blank:
    """A rectangle with one or several copies of a piece.

    Attributes
    ----------
    piece
        The piece.
    width, height
        Cut size in inches, each a whole number of ruler steps; the width is the longer one.
    outlines
        The places of the pieces in it.
    turns
        Whether the print allows a quarter turn.
    """

    piece: Piece
    width: float
    height: float
    outlines: tuple[Outline, ...]
    turns: bool

    @property
    def each(self) -> int:
        """The number of pieces in one."""
        return len(self.outlines)


@dataclass(frozen=True)
class AngledRow:
    """Angled pieces side by side along a strip.

    Attributes
    ----------
    piece
        The piece.
    long, short
        Inches of its sides along the strip, at the ruler's size; the long one is at the bottom, the short one may be 0.
    lean
        Inches from the lower left to the upper left corner, along the strip.
    height
        Cut width of the strip, inches.
    turning
        Whether every second one may make a half turn.
    """

    piece: Piece
    long: float
    short: float
    lean: float
    height: float
    turning: bool

    @property
    def pitch(self) -> float:
        """Inches of strip for one more, on average."""
        return (self.long + self.short) / 2 if self.turning else self.long

    def width(self, count: int) -> float:
        """Return the inches of strip for a number of them, the slanted ends included."""
        return min(self._measure(count, start) for start in self._starts)

    @cached_property
    def _starts(self) -> tuple[bool, ...]:
        return (False, True) if self.turning else (False,)

    def _measure(self, count: int, start: bool) -> float:
        cells = self._lay(count, start)
        return max(right for *_, right in cells) - min(left for _, _, left, _ in cells)

    def _lay(self, count: int, start: bool) -> list[tuple[float, bool, float, float]]:
        """Return for each cell the lower left corner, whether it is turned, and its leftmost and rightmost point."""
        cells, x, turned = [], 0.0, start
        back = self.lean + self.short - self.long
        for _ in range(count):
            low, top, lean = (self.short, self.long, back) if turned else (self.long, self.short, self.lean)
            cells.append((x, turned, min(x, x + lean), max(x + low, x + lean + top)))
            x += low
            turned = turned != self.turning
        return cells

    def outlines(self, count: int) -> tuple[Outline, ...]:
        """Return the places of a number of them, the leftmost corner at 0."""
        start = min(self._starts, key=lambda s: (self._measure(count, s), s))
        cells = self._lay(count, start)
        left = min(left for _, _, left, _ in cells)
        flat = move_outline(self.piece.outline, -self.piece.outline[0][0], 0)
        placed = []
        for x, turned, _, _ in cells:
            if turned:
                corner = x - left + self.lean + self.short
                placed.append(tuple((corner - px, self.height - py) for px, py in flat))
            else:
                placed.append(move_outline(flat, x - left, 0))
        return tuple(placed)


def make_blank(piece: Piece, supply: Supply, step: float) -> Blank | AngledRow:
    """Return the blank or run for a piece."""
    size = piece.rounded
    if supply.print_repeat and supply.form != "yardage":
        return _fit_repeats(piece, supply, step)
    if piece.kind in (HALF, QUARTER, HALF_RECTANGLE):
        return _share_square(piece, supply)
    if piece.kind in ("square", "rectangle"):
        low, long = min(size.values()), max(size.values())
        return Blank(piece, long, low, (piece.outline,), supply.takes_turns)
    if piece.kind in ("parallelogram", "trapezoid", "60° triangle") or (len(piece.outline) == 3 and not piece.bias[0]):
        stock = measure_stock(supply)
        run = _make_run(piece, stock.height, turning=not supply.nap)
        return run if run.width(1) <= stock.width + TOLERANCE else _box_long(run, step, turns=supply.takes_turns)
    return _box_template(piece, supply, step)


def _box_long(run: AngledRow, step: float, *, turns: bool) -> Blank:
    """Return the strip for one angled piece longer than the width of the cloth."""
    wide = ceil((run.width(1) - TOLERANCE) / step) * step
    return Blank(run.piece, wide, run.height, run.outlines(1), turns)


def _box_template(piece: Piece, supply: Supply, step: float) -> Blank:
    """Return the box around a template, with its first straight edge, if any, along the strip."""
    straight = next((i for i, off in enumerate(piece.bias) if not off), 0)
    laid = turn_outline(piece.outline, -measure_directions(piece.outline)[straight])
    left, bottom, right, top = measure_box(laid)
    wide, high = (ceil((size - TOLERANCE) / step) * step for size in (right - left, top - bottom))
    flat = move_outline(laid, -left, -bottom)
    if wide < high and supply.takes_turns:
        return Blank(piece, high, wide, lay_turned((flat,), top - bottom), turns=True)
    return Blank(piece, wide, high, (flat,), supply.takes_turns)


def _fit_repeats(piece: Piece, supply: Supply, step: float) -> Blank:
    """Return a blank of whole repeats of the print, so that every piece shows the same motif.

    A right triangle takes its own square: the other triangles of that square show another part of the print.
    """
    alone, repeat = lay_whole(piece, supply, step), supply.print_repeat or PrintRepeat()

    def whole(inches: float, length: float | None) -> float:
        return (
            inches if length is None else ceil(ceil((inches - TOLERANCE) / length) * length / step - TOLERANCE) * step
        )

    return replace(alone, width=whole(alone.width, repeat.across), height=whole(alone.height, repeat.along))


def lay_whole(piece: Piece, supply: Supply, step: float) -> Blank:
    """Return the box of a single piece, never turned: any other piece in it would show another part of the print."""
    if piece.kind in (HALF, QUARTER, HALF_RECTANGLE):
        alone = _share_square(piece, supply)
    else:
        alone = _box_template(piece, replace(supply, one_way=True), step)
    return replace(alone, outlines=alone.outlines[:1], turns=False)


def _share_square(piece: Piece, supply: Supply) -> Blank:
    """Lay a right triangle and its turns into a square, or into a rectangle halved by its diagonal."""
    size = piece.rounded
    if piece.kind == QUARTER:
        side = size["square"]
        _, _, wide, _ = measure_box(piece.outline)
        first = move_outline(piece.outline, (side - wide) / 2, 0)
        quarters = (0, 180, 90, 270) if supply.takes_turns else (0,) if supply.nap else (0, 180)
        middle = side / 2, side / 2
        return Blank(
            piece, side, side, tuple(turn_outline(first, q, about=middle) for q in quarters), supply.takes_turns
        )
    long, low = (size["square"],) * 2 if piece.kind == HALF else (size["long leg"], size["short leg"])
    first = _stand_on_leg(piece.outline, long, low)
    other = tuple((long - x, low - y) for x, y in first)
    return Blank(piece, long, low, (first,) if supply.nap else (first, other), supply.takes_turns)


def _stand_on_leg(outline: Outline, width: float, height: float) -> Outline:
    """Turn a right triangle onto its longer leg and push its right angle into a corner of the rectangle."""
    corner = min(range(3), key=lambda i: abs(measure_angles(outline)[i] - 90))
    directions = measure_directions(outline)
    laid = [turn_outline(outline, -directions[edge]) for edge in (corner, corner - 1)]
    boxes = [measure_box(shape) for shape in laid]
    k = 0 if boxes[0][2] - boxes[0][0] >= boxes[1][2] - boxes[1][0] - TOLERANCE else 1
    shape, (left, bottom, right, top) = laid[k], boxes[k]
    x, y = shape[corner]
    dx = -left if x - left < right - x else width - right
    dy = -bottom if y - bottom < top - y else height - top
    return move_outline(shape, dx, dy)


def _make_run(piece: Piece, most: float | None, *, turning: bool) -> AngledRow:
    """Read the run off the outline: its angles are kept, its strip and its long side are the ruler's."""
    outline = piece.outline
    left, base = outline[0][0], outline[1][0] - outline[0][0]
    exact = measure_box(outline)[3]
    tops = [x for x, y in outline if y > exact - 10 * TOLERANCE]
    name = {"parallelogram": "step", "trapezoid": "long side", "60° triangle": "side"}.get(piece.kind, "width")
    height, long = piece.rounded["strip" if "strip" in piece.rounded else "height"], piece.rounded[name]
    if most is not None and exact <= most + TOLERANCE:
        height = min(height, most)
    grow = height / exact
    taper = (base - (max(tops) - min(tops))) * grow
    long = max(long, taper)
    return AngledRow(piece, long, max(0.0, long - taper), (min(tops) - left) * grow, height, turning)


def shift_hand(run: AngledRow, width: float, count: int) -> tuple[Outline, ...]:
    """Return the mirror image of a run's pieces, for the other half of a folded strip of a width."""
    return tuple(tuple((width - x, y) for x, y in reversed(outline)) for outline in run.outlines(count))


def join_strips(length: float, count: int, room: float, allowance: float) -> list[float]:
    """Return the lengths of strip that give a number of pieces of a length once joined end to end by straight seams.

    Each join costs two allowances. Go along the pieces, each strip as long as the cloth gives it; where its seam would
    lie too near to an end of a piece, before or behind, cut the strip shorter, so that the seam lies as far before as
    it must. The farthest seam that is allowed, each time, gives the fewest strips. Seams keep a foot from the ends, or
    as much less as saves strips, and a hand's width at least.

    Notes
    -----
    The distances hold if the strips are joined in this order. Cloth narrower than twice the distance and a seam halves
    the distance. No strip is shorter than a hand's width, or
    than a third of narrow cloth: one that is cut to spare an end is as long as the cloth less twice the distance, so
    there is always a way.

    Examples
    --------
    >>> join_strips(50.5, 4, 40.0, 0.25)
    [38.75, 40.0, 40.0, 22.5, 40.0, 23.25]
    >>> join_strips(44.0, 1, 40.0, 0.25)
    [32.25, 12.25]
    >>> join_strips(26.5, 2, 10.0, 0.25)
    [10.0, 10.0, 3.75, 10.0, 10.0, 8.0, 4.25]
    """
    shortest = find_least_joined(room)
    found = [_join_apart(length, count, room, allowance, min(apart, room / 2 - allowance)) for apart in SEAMS_APART]
    whole = [lengths for lengths in found if min(lengths) >= shortest - TOLERANCE]
    return min(whole, key=len) if whole else _join_apart(length, count, room, allowance, shortest)


def _join_apart(length: float, count: int, room: float, allowance: float, apart: float) -> list[float]:
    """Return the fewest lengths whose seams keep a distance from the ends of the pieces."""
    strips, start, total = [], 0.0, count * length
    while start + room < total - TOLERANCE:
        seam = start + room - allowance
        end = round(seam / length) * length
        if abs(seam - end) < apart - TOLERANCE:
            seam = end - apart
        strips.append(seam + allowance - start)
        start = seam - allowance
    return [*strips, total - start]


def lay_turned(outlines: Sequence[Outline], height: float) -> tuple[Outline, ...]:
    """Give the outlines of a blank a quarter turn, counter-clockwise, its box again at the origin."""
    return tuple(tuple((height - y, x) for x, y in outline) for outline in outlines)


def stand_upright(blank: Blank) -> Blank:
    """Return a blank with its long side along the cloth."""
    if blank.width <= blank.height + TOLERANCE:
        return blank
    laid = lay_turned(blank.outlines, blank.height)
    return replace(blank, width=blank.height, height=blank.width, outlines=laid)
