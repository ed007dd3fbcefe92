"""A stack of repeats: equal lengths of a print, motif on motif, cut through together for sets of pieces alike.

Each layer is a whole number of repeats long, so that every layer shows the same. One layer is planned like any cloth,
with a part of the pieces: one of each set.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from kit.geometry.outlines import TOLERANCE, measure_directions
from kit.lengths import round_up
from kit.model.cutting import ClothPlan, Cut, Piece, Strip
from kit.model.fabrics import Supply
from kit.planning.cutting.blanks import SQUARING_UP
from kit.planning.cutting.directions import find_quarter, has_direction
from kit.planning.cutting.one_cloth import Request, plan_cloth

WITHOUT_JOINS = 1e5
"""Inches of cloth that may be spent to cut long pieces along a layer: in a stack nothing is joined."""


def plan_stack(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan the cutting of a stack of whole repeats.

    Take one piece of each set; plan one layer; cut as many equal layers as the stack has; leave out what is to spare
    in the last one.
    """
    wishes = request.wishes
    layers, repeat = supply.stack or 1, (supply.repeat or 0.0) * (1 - supply.shrinkage)
    squaring = SQUARING_UP if supply.squaring is None else supply.squaring
    sets = [_take_sets(piece, supply, layers) for piece in pieces]
    request = replace(request, wishes=replace(request.wishes, margin=0.0, long_cuts=WITHOUT_JOINS))
    plain = replace(supply, repeat=None, repeat_across=None, stack=None, length=None)
    one = plan_cloth(sets, plain, request)
    missing = {piece.id for piece in sets if one.short.get(piece.id) or _is_joined(piece.id, one)}
    if missing and one.strips:
        rest = [piece for piece in sets if piece.id not in missing]
        one = plan_cloth(rest, plain, request)
    short = {piece.id: piece.count for piece in pieces if piece.id in missing and piece.count}
    whole = ceil((one.used - TOLERANCE) / repeat) * repeat
    used = layers * whole
    if supply.length is not None and used + squaring > supply.length * (1 - supply.shrinkage) + TOLERANCE:
        return ClothPlan(supply, (), 0.0, 0.0, 0.0, {piece.id: piece.count for piece in pieces if piece.count})
    if not one.strips:
        return ClothPlan(supply, (), 0.0, 0.0, 0.0, short)
    bound = min(used, layers * ceil((one.bound - TOLERANCE) / repeat) * repeat)
    margin = round_up(wishes.find_margin(used + squaring, supply.margin), request.step)
    if supply.length is not None:
        margin = max(0.0, min(margin, supply.length * (1 - supply.shrinkage) - used - squaring))
    cut = [piece for piece in pieces if piece.id not in short]
    strips = _lay_layers(_unfold(one.strips), cut, supply, (layers, whole))
    rows = None if one.rows is None else layers * ceil((one.rows - TOLERANCE) / repeat) * repeat
    return ClothPlan(supply, strips, used, bound, squaring, short, margin, rows, layer=whole)


def _take_sets(piece: Piece, supply: Supply, layers: int) -> Piece:
    """Return a piece with the count of its sets; of a print with a top, those of each direction."""
    if not has_direction(piece, supply):
        return replace(piece, count=-(-piece.count // layers), headings=())
    kept: list[float] = []
    counts = Counter(find_quarter(piece, heading, nap=supply.nap) for heading in piece.headings)
    for quarter, count in sorted(counts.items()):
        same = next(h for h in piece.headings if find_quarter(piece, h, nap=supply.nap) == quarter)
        kept += [same] * -(-count // layers)
    return replace(piece, count=len(kept), headings=tuple(kept))


def _is_joined(piece: str, plan: ClothPlan) -> bool:
    return any(cut.joined for strip in plan.strips for cut in strip.cuts if cut.piece == piece)


def _unfold(strips: Sequence[Strip]) -> list[Strip]:
    """Return the strips as they lie open: a layer of a stack is not folded."""
    return [
        replace(strip, folded=False, cuts=tuple(replace(cut, folded=False) for cut in strip.cuts)) for strip in strips
    ]


def _lay_layers(
    one: Sequence[Strip], pieces: Sequence[Piece], supply: Supply, stack: tuple[int, float]
) -> tuple[Strip, ...]:
    """Return the strips of all layers, one layer after another; what is to spare is left out of the last."""
    layers, whole = stack
    left: Counter[tuple[str, int | None]] = Counter()
    by_id = {piece.id: piece for piece in pieces}
    for piece in pieces:
        if has_direction(piece, supply):
            left.update((piece.id, find_quarter(piece, heading, nap=supply.nap)) for heading in piece.headings)
        else:
            left[piece.id, None] += piece.count
    found = []
    for layer in range(layers):
        y = layer * whole
        for strip in one:
            cuts = [_keep_needed(cut, by_id[cut.piece], left, supply) for cut in strip.cuts]
            found.append(replace(strip, cuts=tuple(cut for cut in cuts if cut.count), start=y))
            y += strip.height
    return tuple(found)


def _keep_needed(cut: Cut, piece: Piece, left: Counter[tuple[str, int | None]], supply: Supply) -> Cut:
    """Return a cut with the pieces that are still needed of it, and take these off what is needed."""
    kept = []
    for shape in cut.shapes:
        quarter = None
        if has_direction(piece, supply):
            quarter = find_quarter(piece, measure_directions(shape.outline)[0], nap=supply.nap)
        if left[piece.id, quarter] > 0:
            left[piece.id, quarter] -= 1
            kept.append(shape)
    return cut if len(kept) == len(cut.shapes) else replace(cut, count=len(kept), shapes=tuple(kept))
