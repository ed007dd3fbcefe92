"""Cutting out: packed rectangles turned back into strips, sub-cuts and the pieces in them."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from kit.geometry.outlines import TOLERANCE, measure_area
from kit.model.cutting import AS_IT_COMES, Cut, Strip
from kit.model.fabrics import Supply
from kit.planning.cutting.blanks import AngledRow, Blank, Stock, lay_turned, shift_hand
from kit.planning.cutting.rectangles import RectanglesToPack, Ruler
from kit.solvers.packing.strip_packing import Placed, StripLayout, StripPattern

FOLDED = -1


def cut_strips(
    packing: RectanglesToPack, layout: StripLayout, ruler: Ruler, longest: float | None = None
) -> list[Strip]:
    """Turn patterns into strips with pieces, the pieces of each kind one after another.

    Pieces that stand higher than the longest ruler are cut along the cloth, like those longer than it is wide.
    """
    most = ruler.width if longest is None else min(ruler.width, ruler.steps(longest))
    strips = []
    for pattern, times in layout:
        for _ in range(times):
            placed, folded = _fold(packing, pattern)
            cuts: list[Cut] = []
            for place, mirror in placed:
                cuts.extend(_cut(packing, place, mirror, ruler))
            cuts.sort(key=lambda cut: (cut.x, cut.y))
            high = ruler.y(pattern.height)
            long = ruler.height is None and any(p.height > most and p.height > p.width for p in pattern.placed)
            strips.append(Strip(high, ruler.stock.width, tuple(cuts), folded, long))
    if ruler.height is None:
        strips.sort(key=lambda strip: (not strip.lengthwise, -strip.height))
    return strips


def _fold(packing: RectanglesToPack, pattern: StripPattern) -> tuple[list[tuple[Placed, int | None]], bool]:
    """Set mirror pairs at both ends of a folded strip, everything else between; return True if it can be cut folded.

    A pair's place is given with the place of its mirror image.
    """
    pairs = [place for place in pattern.placed if _is_pair(packing, place)]
    if not pairs:
        return [(place, None) for place in pattern.placed], False
    free = all(
        other in pairs or not (p.x < other.x + other.width and other.x < p.x + p.width)
        for p in pairs for other in pattern.placed
    )  # fmt: skip
    if not free or any(p.y for p in pairs):
        return [(place, place.x + place.width // 2 if place in pairs else None) for place in pattern.placed], False
    ends: dict[Placed, int] = {}
    middle = 0
    for p in pairs:
        ends[p] = middle
        middle += p.width // 2
    found: list[tuple[Placed, int | None]] = []
    for place in pattern.placed:
        if place in ends:
            found.append((place._replace(x=ends[place]), FOLDED))
        else:
            passed = sum(p.width for p in pairs if p.x <= place.x)
            found.append((place._replace(x=middle + place.x - passed), None))
    return found, True


def _is_pair(packing: RectanglesToPack, place: Placed) -> bool:
    return packing.sources[place.kind][0].partner is not None


def _cut(packing: RectanglesToPack, place: Placed, mirror: int | None, ruler: Ruler) -> Iterator[Cut]:
    """Yield the cuts of one rectangle: a blank or a run, and the mirror image of a run cut in pairs."""
    source = next(source for source in packing.sources[place.kind] if source.left > 0 or source.parts > 0)
    x, y = ruler.x(place.x), ruler.y(place.y)
    half = place.width // 2 if source.partner else place.width
    width, height = ruler.x(place.x + half) - x, ruler.y(place.y + place.height) - y
    piece, blank = source.piece, source.blank
    need = blank.width if isinstance(blank, Blank) and _is_turned(blank, place) else blank.height
    if need <= height - AS_IT_COMES:  # a whole pre-cut is not taken for a piece that is lower: it is cut along first
        height = max(need, place.height * ruler.step)
    if source.parts:
        source.parts -= 1
        places = source.orders.get(place.width)
        order = places.pop(0) if places else 0
        count = source.left if not source.parts else 0
        yield Cut(piece.id, x, y, width, height, count, joined=True, order=order)
        source.left = source.left if source.parts else 0
        return
    if isinstance(blank, AngledRow):
        number = min(place.number, source.left)
        source.left -= number
        folded = mirror == FOLDED
        shapes = packing.shape(piece, (blank.height, width, number), lambda: blank.outlines(number))
        yield Cut(piece.id, x, y, width, height, number, shapes, folded=folded)
        if source.partner:
            other = ruler.stock.width - x - width if folded else ruler.x(mirror or 0)
            shapes = packing.shape(source.partner, (width, number), lambda: shift_hand(blank, width, number))
            yield Cut(source.partner.id, other, y, width, height, number, shapes, folded=folded)
        return
    number = min(blank.each, source.left)
    source.left -= number
    turned = _is_turned(blank, place)
    shapes = packing.shape(
        piece,
        (turned, number, blank.outlines[0]),
        lambda: (lay_turned(blank.outlines, blank.height) if turned else blank.outlines)[:number],
    )
    yield Cut(piece.id, x, y, width, height, number, shapes)


def _is_turned(blank: Blank | AngledRow, place: Placed) -> bool:
    return isinstance(blank, Blank) and blank.turns and place.width < place.height


def keep_within(
    strips: Sequence[Strip], supply: Supply, stock: Stock, squaring: float
) -> tuple[list[Strip], dict[str, int]]:
    """Take out strips beyond the cloth on hand, those with the fewest pieces first; count the pieces in them."""
    room = _measure_room(supply, stock, squaring)
    if room is None:
        return list(strips), {}
    kept: set[int] = set()
    for i in sorted(range(len(strips)), key=lambda i: -_find_worth(strips[i], supply)):
        takes = strips[i].height if supply.form == "yardage" else 1.0
        if takes <= room + TOLERANCE:
            kept.add(i)
            room -= takes
    gone = [strip for i, strip in enumerate(strips) if i not in kept]
    broken = {cut.piece for strip in gone for cut in strip.cuts if cut.joined}
    left = [strips[i] for i in sorted(kept)]
    missed = [cut for strip in gone for cut in strip.cuts if not cut.joined]
    missed += [cut for strip in strips for cut in strip.cuts if cut.joined and cut.piece in broken]
    lost = Counter[str]()
    for cut in missed:
        lost[cut.piece] += cut.count
    whole = [
        replace(strip, cuts=tuple(cut for cut in strip.cuts if not (cut.joined and cut.piece in broken)))
        for strip in left
    ]
    return [strip for strip in whole if strip.cuts], {piece: count for piece, count in lost.items() if count}


def _measure_room(supply: Supply, stock: Stock, squaring: float) -> float | None:
    """Return the inches of length, or the number of pre-cuts, on hand; None for as many as needed."""
    if supply.form == "yardage":
        return None if supply.length is None else supply.length * (1 - supply.shrinkage) - squaring
    return None if stock.count is None else float(stock.count)


def _find_worth(strip: Strip, supply: Supply) -> float:
    area = sum(measure_area(shape.outline) for cut in strip.cuts for shape in cut.shapes)
    return area / strip.height if supply.form == "yardage" else area
