"""The check of prints: where the motif lies in every piece, from the places of the plan alone."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import atan2, degrees

import shapely

from kit.errors import CheckError
from kit.model.cutting import ClothPlan, Cut, Piece, Strip

SLIP = 1e-4
"""Inches: the tolerance between two figures."""
SEEN = 1 / 16 + SLIP
"""Inches: how far a motif may lie off its place before one sees it (common practice, no source)."""

Spot = tuple[float, float]


def measure_printed(cloth: ClothPlan) -> float:
    """Return the inches of length that the strips take: one after another, or from the first to the last place."""
    starts = [strip.start for strip in cloth.strips if strip.start is not None]
    if not starts:
        return sum(strip.height for strip in cloth.strips)
    if cloth.supply.stack:
        return cloth.supply.stack * cloth.layer
    return max(strip.start + strip.height for strip in cloth.strips if strip.start is not None) - min(starts)


def check_print_places(name: str, cloth: ClothPlan, pieces: Mapping[str, Piece]) -> None:
    """Refuse yardage whose print does not come out as the study says.

    Without a stack: strips keep clear of one another along the cloth; in all pieces of a shape, and of a direction in
    the top, the motif lies at the same place; where the study says where, it lies there. In a stack every layer is a
    whole number of repeats long and all layers are cut alike. Pieces of stripes have their long side along them.

    Raises
    ------
    CheckError
        Names the fabric, the piece, and both figures.
    """
    if cloth.supply.form != "yardage" or not cloth.strips:
        return
    _check_stripes(name, cloth, pieces)
    if not cloth.supply.stack and not cloth.supply.print_repeat:
        return
    nowhere = next((number for number, strip in enumerate(cloth.strips, start=1) if strip.start is None), None)
    if nowhere is not None:
        raise CheckError(f"{name}, strip {nowhere} has no place along the cloth, and its print matters")
    order = sorted(cloth.strips, key=_find_start)
    for one, other in pairwise(order):
        if _find_start(one) + one.height > _find_start(other) + SLIP:
            raise CheckError(
                f"{name}: the strip from {_find_start(one):g} in reaches to {_find_start(one) + one.height:g} in, the"
                f" next begins at {_find_start(other):g} in"
            )
    if cloth.supply.stack:
        _check_stack(name, cloth, order, pieces)
    else:
        _check_motifs(name, cloth)


def _find_start(strip: Strip) -> float:
    return strip.start or 0.0


def _check_stripes(name: str, cloth: ClothPlan, pieces: Mapping[str, Piece]) -> None:
    supply = cloth.supply
    if not supply.stripes or supply.one_way or supply.nap:
        return
    for cut in (cut for strip in cloth.strips for cut in strip.cuts):
        if pieces[cut.piece].kind == "rectangle" and not cut.joined:
            along, across = cut.height, cut.width
            if (along < across - SLIP) if supply.stripes == "along" else (across < along - SLIP):
                raise CheckError(
                    f"{name}: {cut.piece} lies with its short side along the stripes, which run {supply.stripes} the"
                    " cloth"
                )


# The motif in every piece


def _check_motifs(name: str, cloth: ClothPlan) -> None:
    repeat = cloth.supply.print_repeat
    if repeat is None:
        return
    if repeat.motif_along is not None and repeat.along is not None and cloth.lead < repeat.along - SLIP:
        raise CheckError(
            f"{name}: {cloth.lead:g} in are bought to reach the first motif, a repeat is {repeat.along:g} in"
        )
    known: dict[tuple[str, int], Spot] = {}
    for strip in cloth.strips:
        for cut in strip.cuts:
            if cut.joined:
                continue  # where its lengths lie is checked with its seams
            if len(cut.shapes) != 1:
                raise CheckError(f"{name}: {len(cut.shapes)} of {cut.piece} share a cut, only one can show the motif")
            place = _find_place(cut, strip)
            first = known.setdefault((cut.piece, _find_turn(cut)), place)
            who = f"{name}: {cut.piece}"
            across = (cut.x, cut.width, place[0], first[0])
            along = (_find_start(strip) + cut.y, cut.height, place[1], first[1])
            _check_way(who, "across", (repeat.across, repeat.motif_across), across)
            _check_way(who, "along", (repeat.along, repeat.motif_along), along)


def _check_way(
    who: str, way: str, printed: tuple[float | None, float | None], lies: tuple[float, float, float, float]
) -> None:
    """Check a piece in one direction: against the first of its kind, and against the place of the motif.

    A piece longer than the repeat begins on the motif, or else where a repeat begins.
    """
    (repeat, motif), (begin, size, middle, first) = printed, lies
    if repeat is None:
        return
    off = _measure_off(middle - first, repeat)
    if off > SLIP:
        raise CheckError(f"{who}: in two of them the motif lies {off:g} in apart, {way} the cloth")
    long = size > repeat + SLIP
    if motif is None and not long:
        return
    off = _measure_off((begin if long else middle) - (motif or 0.0), repeat)
    if off > SEEN and motif is not None:
        raise CheckError(f"{who}: the motif lies {off:g} in off its place, {way} the cloth")
    if off > SEEN:
        raise CheckError(f"{who} begins {off:g} in off the start of a repeat, {way} the cloth")


def _find_place(cut: Cut, strip: Strip) -> Spot:
    """Return the middle of the piece on the cloth: of a four-sided one that of its box, so that strips agree."""
    shape = shapely.Polygon(cut.shapes[0].outline)
    middle = shape.envelope.centroid if len(cut.shapes[0].outline) == 4 else shape.centroid
    return middle.x + cut.x, middle.y + cut.y + _find_start(strip)


def _find_turn(cut: Cut) -> int:
    """Return the direction in which a piece lies, whole degrees."""
    (x0, y0), (x1, y1) = cut.shapes[0].outline[:2]
    return round(degrees(atan2(y1 - y0, x1 - x0))) % 360


def _measure_off(distance: float, repeat: float) -> float:
    """Return how far a distance is from a whole number of repeats."""
    return abs(distance - round(distance / repeat) * repeat)


# Stacks


def _check_stack(name: str, cloth: ClothPlan, order: Sequence[Strip], pieces: Mapping[str, Piece]) -> None:
    """Check that all layers are whole repeats and cut alike, but for fewer spare pieces than layers."""
    supply, layers = cloth.supply, cloth.supply.stack or 1
    repeat = (supply.repeat or 0.0) * (1 - supply.shrinkage)
    if cloth.layer <= 0 or _measure_off(cloth.layer, repeat) > SLIP:
        raise CheckError(f"{name}: a layer is {cloth.layer:g} in long, a repeat of the print {repeat:g} in")
    held: dict[int, list[Strip]] = defaultdict(list)
    for strip in order:
        layer = int((_find_start(strip) + SLIP) // cloth.layer)
        if _find_start(strip) + strip.height > (layer + 1) * cloth.layer + SLIP:
            raise CheckError(f"{name}: a strip of layer {layer + 1} reaches into the next")
        held[layer].append(strip)
    if set(held) != set(range(layers)):
        raise CheckError(f"{name}: strips lie in {len(held)} layers, the stack has {layers}")
    signs = {number: [_sign_strip(strip, number * cloth.layer) for strip in strips] for number, strips in held.items()}
    odd = next((number for number in range(1, layers) if signs[number] != signs[0]), None)
    if odd is not None:
        raise CheckError(f"{name}: layer {odd + 1} is not cut where the first is")
    _check_sets(name, cloth, [_count_cuts(held[number]) for number in range(layers)], pieces)


def _count_cuts(strips: Sequence[Strip]) -> dict[tuple[str, int, float, float], int]:
    """Return how many pieces come of every cut of a layer, by piece, strip and place."""
    return {
        (cut.piece, k, round(cut.x, 3), round(cut.y, 3)): cut.count
        for k, strip in enumerate(strips)
        for cut in strip.cuts
    }


def _check_sets(
    name: str, cloth: ClothPlan, layers: Sequence[dict[tuple[str, int, float, float], int]],
    pieces: Mapping[str, Piece],
) -> None:  # fmt: skip
    """Check that every layer holds what the first does, but for what is to spare."""
    total: Counter[str] = Counter()
    for number, mine in enumerate(layers, start=1):
        odd = next((key for key, count in mine.items() if count > layers[0].get(key, 0)), None)
        if odd is not None:
            raise CheckError(f"{name}: layer {number} has a {odd[0]} where the first layer has none")
        for key, count in mine.items():
            total[key[0]] += count
    sets: Counter[str] = Counter()
    for key, count in layers[0].items():
        sets[key[0]] += count
    for piece, count in sets.items():
        ways = len({round(heading) for heading in pieces[piece].headings}) if cloth.supply.directed else 1
        if len(layers) * count - total[piece] >= len(layers) * max(1, ways):
            raise CheckError(f"{name}: {count} sets of {piece} are cut, fewer would do")


def _sign_strip(strip: Strip, base: float) -> tuple[float, float]:
    return round(_find_start(strip) - base, 3), round(strip.height, 3)
