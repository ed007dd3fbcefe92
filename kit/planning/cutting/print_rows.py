"""Cutting cloth whose print matters: the same motif at the same place in every piece of a shape.

A motif comes back at whole repeats along and across the cloth, so the copies of a piece lie on a grid: strips begin
whole repeats apart, pieces within a strip too. Each strip holds one kind of piece. Where the place of the motif is
given, the middle of every piece lies on a motif; a piece longer than a repeat begins on one, so that all four sides of
a mitred border begin alike. Where it is not given, kinds of piece share a repeat: their strips lie side by side in it.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from kit.geometry.outlines import TOLERANCE, Outline, measure_area, measure_box
from kit.lengths import round_up
from kit.model.cutting import ClothPlan, Cut, LaidPiece, Piece, Strip
from kit.model.fabrics import Supply
from kit.model.joined_lengths import LEAST_JOINED
from kit.model.prints import PrintRepeat
from kit.planning.cutting.blanks import SQUARING_UP, Blank, lay_whole, measure_stock, stand_upright
from kit.planning.cutting.directions import divide_by_direction, turn_blank
from kit.planning.cutting.one_cloth import Request
from kit.planning.cutting.rectangles import STRAIGHT

LONE = (0, 1)
"""The part of a piece that is not joined."""


@dataclass(frozen=True)
class _Kind:
    """One kind of piece as it lies: its box, where its middle is, and its places in a strip."""

    piece: Piece
    blank: Blank
    left: float
    """Inches from the left edge of the cloth to the first place of its box."""
    pitch: float
    across: float | None
    """The repeat across the cloth."""
    places: int
    phase: float | None
    """Inches from where a repeat begins to the lower edge of its strips; None: any."""
    step: float
    """Inches from one of its strips to the next, at least."""
    part: tuple[int, int] = (0, 1)
    """Of a length that is joined: which one of its piece, from 0, and how many each piece has."""

    @property
    def rows(self) -> int:
        return -(-self.piece.count // self.places)

    @property
    def height(self) -> float:
        return self.blank.height


@dataclass
class _LaidStrip:
    """One strip: where it begins, and its pieces with the left edge of each."""

    start: float
    height: float
    held: list[tuple[_Kind, float]]


def plan_print(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan the cutting of one length of cloth so that every piece of a shape shows the same motif.

    Find the places of each kind of piece in a strip, count its strips, put the strips as near to one another as the
    print allows. Long pieces that stand along the cloth share a strip, all with their lower end at the same place.

    Notes
    -----
    The bound: copies of a piece lie whole repeats apart, and no more of them than places beside one another. Strips of
    one kind each are not proved best where several kinds have motifs in one row.
    """
    stock, repeat = measure_stock(supply), supply.print_repeat or PrintRepeat()
    short: dict[str, int] = {}
    kinds: list[_Kind] = []
    for piece, quarter in divide_by_direction(pieces, supply):
        found = _find_kinds(piece, supply, repeat, (stock.width, request), quarter)
        kinds += found
        if not found and piece.count:
            short[piece.id] = short.get(piece.id, 0) + piece.count
    longest = stock.width if request.wishes.ruler is None else min(stock.width, request.wishes.ruler)
    rows = _place_rows([kind for kind in kinds if kind.piece.count], repeat, (stock.width, longest))
    squaring = SQUARING_UP if supply.squaring is None else supply.squaring
    lead = repeat.along or 0.0 if repeat.motif_along is not None else 0.0
    kept = _keep_within(rows, supply, squaring + lead)
    for row in rows[len(kept) :]:
        for kind, _ in row.held:
            short[kind.piece.id] = short.get(kind.piece.id, 0) + (1 if kind.part == LONE else 0)
    kept, broken = _leave_broken(rows, kept)
    short |= {name: short.get(name, 0) + count for name, count in broken.items()}
    if not kept:
        return ClothPlan(supply, (), 0.0, 0.0, 0.0, short)
    orders: Counter[tuple[str, int]] = Counter()
    strips = tuple(_cut_row(row, stock.width, longest, orders) for row in kept)
    used = max(row.start + row.height for row in kept) - kept[0].start
    bound = min(_bound(kinds, stock.width), used) if not short else 0.0
    margin = _find_margin(used + squaring, supply, request, lead)
    return ClothPlan(supply, strips, used, bound, squaring, short, margin, used, lead=lead)


def _find_margin(length: float, supply: Supply, request: Request, lead: float) -> float:
    """Return the inches bought on top for mistakes; of cloth on hand no more than is left."""
    margin = round_up(request.wishes.find_margin(length, supply.margin), request.step)
    if supply.length is None:
        return margin
    return max(0.0, min(margin, supply.length * (1 - supply.shrinkage) - length - lead))


# Kinds of piece


def _find_kinds(
    piece: Piece, supply: Supply, repeat: PrintRepeat, room: tuple[float, Request], quarter: int | None
) -> list[_Kind]:
    """Return a piece as it lies, upright or in lengths to be joined where it does not fit; nothing if neither goes."""
    width, request = room
    blank = lay_whole(piece, supply, request.step)
    if quarter is not None:
        blank = turn_blank(blank, quarter, nap=supply.nap)
    elif supply.stripes == "along":
        blank = stand_upright(blank)
    kind = _make_kind(piece, blank, repeat, (width, request.step))
    if not kind.places and quarter is None and supply.takes_turns:
        kind = _make_kind(piece, stand_upright(blank), repeat, (width, request.step))
    return [kind] if kind.places else _divide_kind(kind, width, request)


def _make_kind(piece: Piece, blank: Blank, repeat: PrintRepeat, room: tuple[float, float]) -> _Kind:
    """Return a piece with its places in a strip; none where it does not fit."""
    width, step = room
    middle = _find_middle(blank.outlines[0])
    left = _find_phase(blank.width, middle[0], repeat.across, repeat.motif_across, step) or 0.0
    pitch = blank.width if repeat.across is None else _take_whole(blank.width, repeat.across)
    places = floor((width - left - blank.width + TOLERANCE) / pitch) + 1 if left + blank.width <= width + 1e-9 else 0
    phase = _find_phase(blank.height, middle[1], repeat.along, repeat.motif_along, step)
    between = blank.height if repeat.along is None else _take_whole(blank.height, repeat.along)
    return _Kind(piece, blank, left, pitch, repeat.across, places, phase, between)


def _find_middle(outline: Outline) -> tuple[float, float]:
    """Return the middle of a piece: of four-sided ones that of the box, of others the point on which it would balance.

    So a motif keeps its distance from the edges of a strip, however long the strip is.
    """
    if len(outline) == 4:
        left, bottom, right, top = measure_box(outline)
        return (left + right) / 2, (bottom + top) / 2
    area = measure_area(outline)
    x = y = 0.0
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        turn = x0 * y1 - x1 * y0
        x += (x0 + x1) * turn
        y += (y0 + y1) * turn
    return x / (6 * area), y / (6 * area)


def _find_phase(
    size: float, middle: float, repeat: float | None, motif: float | None, step: float
) -> float | None:  # fmt: skip
    """Return where a box begins within the repeat, at a mark of the ruler; None for anywhere.

    A piece longer than a repeat begins on the motif, a shorter one has it in its middle.
    """
    if repeat is None or motif is None:
        return None
    start = motif if size > repeat + TOLERANCE else motif - middle
    return round(start / step) * step % repeat


def _take_whole(size: float, repeat: float) -> float:
    return ceil((size - TOLERANCE) / repeat) * repeat


# Strips


def _place_rows(kinds: Sequence[_Kind], repeat: PrintRepeat, room: tuple[float, float]) -> list[_LaidStrip]:
    """Place every strip along the cloth, and sort them; `room` is the width of the cloth and the longest ruler."""
    width, longest = room
    long = [kind for kind in kinds if kind.height > longest + TOLERANCE and kind.height > kind.blank.width]
    rows = [_LaidStrip(0.0, max(kind.height for kind, _ in held), held) for held in _stand_side_by_side(long, width)]
    for kind in sorted((kind for kind in kinds if kind not in long), key=lambda kind: -kind.height):
        rows += _fill_strips(kind)
    if repeat.along is None:
        y = 0.0
        for row in rows:
            row.start, y = y, y + row.height
        return rows
    far = [row for row in rows if _is_far(row, repeat.along)]
    if repeat.motif_along is not None:
        _place_on_grid(rows, repeat.along)
    else:
        _place_on_grid(far, repeat.along)
        near = [row for row in rows if not _is_far(row, repeat.along)]
        _share_repeats(near, repeat.along, max((row.start + row.height for row in far), default=0.0))
    return sorted(rows, key=lambda row: row.start)


def _is_far(row: _LaidStrip, repeat: float) -> bool:
    """Return True if a strip has to begin where a repeat begins: it is longer, or its pieces are joined."""
    return row.height > repeat + TOLERANCE or row.held[0][0].part != LONE


def _fill_strips(kind: _Kind) -> Iterator[_LaidStrip]:
    """Yield the strips of one kind, each as full as there are pieces."""
    for number in range(kind.rows):
        count = min(kind.places, kind.piece.count - number * kind.places)
        yield _LaidStrip(0.0, kind.height, [(kind, kind.left + place * kind.pitch) for place in range(count)])


def _stand_side_by_side(kinds: Sequence[_Kind], width: float) -> list[list[tuple[_Kind, float]]]:
    """Stand long pieces side by side, the longest first, each at the first place of its own that is free."""
    strips: list[list[tuple[_Kind, float]]] = []
    for kind in sorted(kinds, key=lambda kind: -kind.height):
        for _ in range(kind.piece.count):
            for held in [*strips, None]:
                last = 0.0 if not held else held[-1][1] + held[-1][0].blank.width
                x = last
                if kind.across is not None:
                    x = kind.left + max(0, ceil((last - kind.left - TOLERANCE) / kind.across)) * kind.across
                if held is None:
                    strips.append([(kind, x)])
                elif x + kind.blank.width <= width + TOLERANCE:
                    held.append((kind, x))
                    break
    return strips


def _place_on_grid(rows: Sequence[_LaidStrip], repeat: float) -> None:
    """Place each strip at the first free place where the motif lies right, the highest first."""
    taken: list[tuple[float, float]] = []
    reached: dict[int, float] = {}
    for row in rows:
        kind = row.held[0][0]
        y = reached.get(id(kind), kind.phase or 0.0)
        while (over := _find_over(taken, y, y + row.height)) is not None:
            y += max(1, ceil((over - y - TOLERANCE) / repeat)) * repeat
        row.start = reached[id(kind)] = y
        taken.append((y, y + row.height))


def _find_over(taken: Sequence[tuple[float, float]], low: float, high: float) -> float | None:
    """Return the upper end of the strips that lie where another should go, None if the place is free."""
    return max((end for start, end in taken if start < high - TOLERANCE and end > low + TOLERANCE), default=None)


def _share_repeats(rows: Sequence[_LaidStrip], repeat: float, base: float) -> None:
    """Put kinds side by side into one repeat where they fit, those with the most strips first, from a place on."""
    groups: dict[int, list[_LaidStrip]] = {}
    for row in rows:
        groups.setdefault(id(row.held[0][0]), []).append(row)
    left = sorted(groups.values(), key=lambda held: (-len(held), -held[0].height))
    while left:
        at, group = 0.0, []
        for held in left:
            if at + held[0].height <= repeat + TOLERANCE:
                group.append(held)
                for number, row in enumerate(held):
                    row.start = base + at + number * repeat
                at += held[0].height
        left = [held for held in left if held not in group]
        base = max(row.start + row.height for held in group for row in held)


def _keep_within(rows: Sequence[_LaidStrip], supply: Supply, loss: float) -> list[_LaidStrip]:
    """Return the strips for which the cloth on hand is long enough."""
    if supply.length is None or not rows:
        return list(rows)
    room = supply.length * (1 - supply.shrinkage) - loss + rows[0].start
    fit = [row.start + row.height <= room + TOLERANCE for row in rows]
    return list(rows[: fit.index(False)]) if False in fit else list(rows)


def _leave_broken(
    rows: Sequence[_LaidStrip], kept: Sequence[_LaidStrip]
) -> tuple[list[_LaidStrip], dict[str, int]]:  # fmt: skip
    """Leave out what is kept of pieces whose other lengths are not; return these pieces with their counts."""
    gone = {id(row) for row in kept}
    broken = {
        kind.piece.id: kind.piece.count
        for row in rows if id(row) not in gone for kind, _ in row.held if kind.part != LONE
    }  # fmt: skip
    return [row for row in kept if row.held[0][0].piece.id not in broken], broken


def _cut_row(row: _LaidStrip, width: float, longest: float, orders: Counter[tuple[str, int]]) -> Strip:
    cuts = tuple(_cut_piece(kind, x, orders) for kind, x in row.held)
    wide = max(kind.blank.width for kind, _ in row.held)
    return Strip(row.height, width, cuts, lengthwise=row.height > longest + TOLERANCE and row.height > wide,
                 start=row.start)  # fmt: skip


def _cut_piece(kind: _Kind, x: float, orders: Counter[tuple[str, int]]) -> Cut:
    """Return the cut of a whole piece, or of one of the lengths that are joined for it, numbered piece by piece."""
    name, (number, parts) = kind.piece.id, kind.part
    if kind.part == LONE:
        shapes = (LaidPiece(name, kind.blank.outlines[0]),)
        return Cut(name, x, 0.0, kind.blank.width, kind.height, 1, shapes)
    order = orders[name, number] * parts + number + 1
    orders[name, number] += 1
    count = int(number == parts - 1)
    return Cut(name, x, 0.0, kind.blank.width, kind.height, count, joined=True, order=order)


def _divide_kind(kind: _Kind, width: float, request: Request) -> list[_Kind]:
    """Return the lengths that are joined for a piece longer than the cloth is wide, so that the print runs on.

    Each length begins where the one before it ends in the print, less the two allowances of the seam. None where the
    piece has other ends than strips have, or where that place of the print is not on the cloth.
    """
    if kind.piece.kind not in STRAIGHT:
        return []
    lost, step = 2 * request.allowance, request.step
    at, end = kind.left, kind.left + kind.blank.width
    found: list[tuple[float, float]] = []
    while at < end - TOLERANCE:
        x = at % kind.across if kind.across is not None else 0.0
        long = floor((width - x) / step + TOLERANCE) * step
        if at + long < end - TOLERANCE:
            rest = end - (at + long - lost)
            long -= max(0.0, ceil((LEAST_JOINED - rest) / step - TOLERANCE) * step)
        else:
            long = end - at
        if long < LEAST_JOINED - TOLERANCE or long <= lost:
            return []
        found.append((x, long))
        at += long if at + long >= end - TOLERANCE else long - lost
    kinds = []
    for number, (x, long) in enumerate(found):
        pitch = long if kind.across is None else _take_whole(long, kind.across)
        places = floor((width - x - long + TOLERANCE) / pitch) + 1
        blank = replace(kind.blank, width=long, outlines=())
        part = (number, len(found))
        kinds.append(replace(kind, blank=blank, left=x, pitch=pitch, places=places, part=part))
    return kinds


def _bound(kinds: Sequence[_Kind], width: float) -> float:
    """Return the least length: of each kind by its places, of all by their area."""
    alone = max(((kind.rows - 1) * kind.step + kind.height for kind in kinds if kind.piece.count), default=0.0)
    whole = [kind for kind in kinds if kind.part[0] == 0]
    return max(alone, sum(measure_area(kind.piece.outline) * kind.piece.count for kind in whole) / width)
