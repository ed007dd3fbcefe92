"""Batches sewn: for each way of making, squares and strips are sewn, cut apart and opened as a quilter does it."""

from collections.abc import Callable, Mapping
from math import cos, radians, sin, sqrt, tan

from kit.geometry.outlines import measure_box
from kit.model.making import Made
from kit.rehearsal.flat_cloth import (
    CannotMakeError,
    ClothSheet,
    Seam,
    cut_off,
    cut_sheet,
    draw_seam,
    lay_face_down,
    move_sheet,
    sew_open,
    turn_sheet,
)
from kit.rehearsal.loop_sewing import Box, sew_segments

SLIP = 1e-4
"""Inches by which two figures may differ."""


def sew_batch(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    """Sew one batch from its printed sizes and cut it apart; return each unit with its trimmed box.

    Parameters
    ----------
    made
        The kind of unit: its way, its printed sizes, its trimmed size.
    allowance
        Seam allowance, inches.

    Raises
    ------
    CannotMakeError
        An unknown way of making the unit, or cloth that does not reach a seam's allowance.
    """
    ways: Mapping[tuple[str, str], Callable[[Made, float], list[tuple[ClothSheet, Box]]]] = {
        ("half-square", "two at a time"): _halves_by_two,
        ("half-square", "four at a time"): _halves_by_four,
        ("half-square", "eight at a time"): _halves_by_eight,
        ("half-square", "stitch and flip"): _half_flipped,
        ("half-rectangle", "two at a time"): _half_rectangles,
        ("quarter-square", "two at a time"): _quarters_by_two,
        ("geese", "four at a time"): _geese_by_four,
        ("geese", "stitch and flip"): _goose_flipped,
        ("corners", "stitch and flip"): _corners_flipped,
        ("strip set", "sewn and cut across"): _strips_across,
    }
    if made.segments:
        return sew_segments(made, allowance)
    way = ways.get((made.unit, made.way))
    if way is None:
        raise CannotMakeError(f"{made.unit} units are never made {made.way}")
    return way(made, allowance)


def _size(made: Made, role: int) -> tuple[float, float]:
    return made.sizes[made.uses[role]]


def _unfinished(made: Made, allowance: float) -> tuple[float, float]:
    return made.size[0] + 2 * allowance, made.size[1] + 2 * allowance


def _from_corner(made: Made, allowance: float) -> Box:
    return (0.0, 0.0, *_unfinished(made, allowance))


def _halve(lower: ClothSheet, upper: ClothSheet, side: float, allowance: float) -> list[ClothSheet]:
    """Sew two squares on both sides of a diagonal, cut along it and open: two units, each at the origin.

    Both have the lower square's fabric at the lower left, and the seam runs from the upper left to the lower right.
    """
    first = sew_open(lower, upper, draw_seam((side, 0.0), (0.0, side), -allowance), allowance)
    second = sew_open(lower, upper, draw_seam((0.0, side), (side, 0.0), -allowance), allowance)
    return [first, move_sheet(turn_sheet(second, 180), side, side)]


def _halves_by_two(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    (side, high), (other, _) = _size(made, 0), _size(made, 1)
    _need_alike(side, high, other)
    pair = _halve(cut_sheet(side, side, made.fabrics[0]), cut_sheet(side, side, made.fabrics[1]), side, allowance)
    return [(unit, _along_diagonal(unit, made, allowance)) for unit in pair]


def _along_diagonal(unit: ClothSheet, made: Made, allowance: float) -> Box:
    """Return the box of a trimmed half-square unit with its seam falling to the right, corners on that seam.

    The unit is a square with the seam along its diagonal; the box keeps the lower right end of the seam.
    """
    left, bottom, right, top = measure_box(point for facet in unit for point in facet.outline)
    wide, high = _unfinished(made, allowance)
    if right - left < wide - SLIP or top - bottom < high - SLIP:
        return (left, bottom, left + wide, bottom + high)
    return (right - wide, bottom, right, bottom + high)


def _need_alike(*sides: float) -> None:
    if max(sides) - min(sides) > SLIP:
        raise CannotMakeError(f"squares of {min(sides):.4f} and {max(sides):.4f} in are laid on one another")


def _halves_by_four(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    (side, high), (other, _) = _size(made, 0), _size(made, 1)
    _need_alike(side, high, other)
    units = []
    for quarters in range(4):
        lower, upper = (_turn_square(cut_sheet(side, side, fabric), side, quarters) for fabric in made.fabrics[:2])
        wedge = [cut_off(layer, -1 / sqrt(2), 1 / sqrt(2), 0.0) for layer in (lower, upper)]
        lower, upper = (cut_off(layer, 1 / sqrt(2), 1 / sqrt(2), side / sqrt(2)) for layer in wedge)
        unit = sew_open(lower, upper, draw_seam((0.0, allowance), (side, allowance)), allowance)
        level = turn_sheet(unit, -45)
        left, bottom, _, _ = measure_box(point for facet in level for point in facet.outline)
        level = move_sheet(level, -left, -bottom)
        units.append((level, _along_diagonal(level, made, allowance)))
    return units


def _turn_square(sheet: ClothSheet, side: float, quarters: int) -> ClothSheet:
    turned = move_sheet(turn_sheet(move_sheet(sheet, -side / 2, -side / 2), 90.0 * quarters), side / 2, side / 2)
    return tuple(turned)


def _halves_by_eight(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    (side, high), (other, _) = _size(made, 0), _size(made, 1)
    _need_alike(side, high, other)
    half = side / 2
    units: list[tuple[ClothSheet, Box]] = []
    for quarters in range(4):
        lower, upper = (_turn_square(cut_sheet(side, side, fabric), side, quarters) for fabric in made.fabrics[:2])
        quarter = [cut_off(cut_off(layer, 1.0, 0.0, half), 0.0, 1.0, half) for layer in (lower, upper)]
        # a quarter turn, so that the common diagonal of both squares falls to the right
        level = [move_sheet(turn_sheet(layer, 90), half, 0.0) for layer in quarter]
        pair = _halve(level[0], level[1], half, allowance)
        units += [(unit, _along_diagonal(unit, made, allowance)) for unit in pair]
    return units


def _flip(
    lies: ClothSheet, square: ClothSheet, corner: tuple[float, float], inward: tuple[int, int], allowance: float
) -> ClothSheet:
    """Lay a square face down on a corner, sew along its diagonal, cut off the outside, and open."""
    side = measure_box(square[0].outline)[2]
    x, y = corner
    i, j = inward
    above = move_sheet(square, x if i > 0 else x - side, y if j > 0 else y - side)
    seam = Seam(-i / sqrt(2), -j / sqrt(2), (-i * x - j * y - side) / sqrt(2))
    return sew_open(lies, above, seam, allowance)


def _half_flipped(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    (side, high), (other, _) = _size(made, 0), _size(made, 1)
    _need_alike(side, high, other)
    unit = _flip(
        cut_sheet(side, side, made.fabrics[0]),
        cut_sheet(side, side, made.fabrics[1]),
        (side, side),
        (-1, -1),
        allowance,
    )
    return [(unit, _along_diagonal(unit, made, allowance))]


def _half_rectangles(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    """Lay two rectangles diagonal on diagonal, sew on both sides of it, cut on it and open: two units of one hand."""
    (wide, high), second = _size(made, 0), _size(made, 1)
    _need_alike(wide, second[0])
    _need_alike(high, second[1])
    start, end = ((0.0, 0.0), (wide, high)) if made.rising else ((0.0, high), (wide, 0.0))
    lower = cut_sheet(wide, high, made.fabrics[0])
    above = lay_face_down(cut_sheet(wide, high, made.fabrics[1]), draw_seam(start, end))
    units: list[tuple[ClothSheet, Box]] = []
    for begin, finish in ((start, end), (end, start)):
        unit = sew_open(lower, above, draw_seam(begin, finish, -allowance), allowance)
        left, bottom, right, top = measure_box(point for facet in unit for point in facet.outline)
        x, y, (w, h) = (left + right) / 2, (bottom + top) / 2, _unfinished(made, allowance)
        units.append((unit, (x - w / 2, y - h / 2, x + w / 2, y + h / 2)))
    return units


def _quarters_by_two(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    """Make two half-square units, lay them together with opposite colours, and sew along the other diagonal."""
    (side, high), (other, _) = _size(made, 0), _size(made, 1)
    _need_alike(side, high, other)
    first, second = _halve(
        cut_sheet(side, side, made.fabrics[0]), cut_sheet(side, side, made.fabrics[1]), side, allowance
    )
    _, _, u, _ = measure_box(point for facet in first for point in facet.outline)
    below = first
    above = lay_face_down(move_sheet(turn_sheet(second, 180), u, u), draw_seam((0.0, 0.0), (u, u)))
    units = []
    for start, end in (((0.0, 0.0), (u, u)), ((u, u), (0.0, 0.0))):
        unit = sew_open(below, above, draw_seam(start, end, -allowance), allowance)
        middle = u / 2 - allowance / sqrt(2) if start == (0.0, 0.0) else u / 2 + allowance / sqrt(2)
        wide, high_ = _unfinished(made, allowance)
        across = u - middle
        units.append((unit, (middle - wide / 2, across - high_ / 2, middle + wide / 2, across + high_ / 2)))
    return units


def _goose_box(tip: tuple[float, float], made: Made, allowance: float) -> Box:
    """Return the box of a trimmed goose that points up: its tip an allowance below the edge, in the middle."""
    wide, high = _unfinished(made, allowance)
    return (tip[0] - wide / 2, tip[1] + allowance - high, tip[0] + wide / 2, tip[1] + allowance)


def _geese_by_four(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    """Sew two small squares on opposite corners of the large one, cut, open; a third and fourth on the halves."""
    large, small = _size(made, 0)[0], _size(made, 1)[0]
    _need_alike(*_size(made, 0))
    _need_alike(*_size(made, 1), *_size(made, 2))
    goose, sky = cut_sheet(large, large, made.fabrics[0]), cut_sheet(small, small, made.fabrics[1])
    two = (*sky, *move_sheet(sky, large - small, large - small))
    units = []
    for start, end, corner in (
        ((0.0, 0.0), (large, large), (0.0, large)),
        ((large, large), (0.0, 0.0), (large, 0.0)),
    ):
        heart = sew_open(goose, two, draw_seam(start, end, -allowance), allowance)
        last = move_sheet(sky, 0.0 if corner[0] == 0 else large - small, large - small if corner[1] else 0.0)
        middle = (large, 0.0) if corner[1] else (0.0, large)
        for begin, finish in ((corner, middle), (middle, corner)):
            unit = sew_open(heart, last, draw_seam(begin, finish, -allowance), allowance)
            units.append(_stand_up(unit, draw_seam(start, end, -allowance), draw_seam(begin, finish, -allowance), made,
                                   allowance))  # fmt: skip
    return units


def _stand_up(unit: ClothSheet, one: Seam, other: Seam, made: Made, allowance: float) -> tuple[ClothSheet, Box]:
    """Turn a goose until it points up; its two seams cross at its tip."""
    det = one.a * other.b - one.b * other.a
    tip = (one.c * other.b - other.c * one.b) / det, (one.a * other.c - other.a * one.c) / det
    up = one.a + other.a, one.b + other.b
    turn = {(0, 1): 0.0, (1, 0): 90.0, (0, -1): 180.0, (-1, 0): 270.0}[round(up[0] / sqrt(2)), round(up[1] / sqrt(2))]
    level = turn_sheet(move_sheet(unit, -tip[0], -tip[1]), turn)
    return level, _goose_box((0.0, 0.0), made, allowance)


def _goose_flipped(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    (wide, high), left, right = _size(made, 0), _size(made, 1), _size(made, 2)
    _need_alike(*left, *right)
    unit = cut_sheet(wide, high, made.fabrics[0])
    side = left[0]
    unit = _flip(unit, cut_sheet(side, side, made.fabrics[1]), (0.0, high), (1, -1), allowance)
    unit = _flip(unit, cut_sheet(side, side, made.fabrics[2]), (wide, high), (-1, -1), allowance)
    return [(unit, _goose_box((wide / 2, high - side + wide / 2), made, allowance))]


def _corners_flipped(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    wide, high = _size(made, 0)
    unit = cut_sheet(wide, high, made.fabrics[0])
    spots = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    ways = ((1, 1), (-1, 1), (-1, -1), (1, -1))
    role = 1
    for leg, spot, inward in zip(made.legs, spots, ways, strict=True):
        if leg:
            side = _size(made, role)[0]
            unit = _flip(unit, cut_sheet(side, side, made.fabrics[role]), spot, inward, allowance)
            role += 1
    return [(unit, _from_corner(made, allowance))]


def _strips_across(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    """Sew strips side by side along their length, then cut across them, square or on the slant.

    For a cut on the slant each strip begins where the cut meets its outer edge, so that no cloth is wasted.
    """
    length = min(size[0] for size in made.sizes)
    slope = 1 / tan(radians(made.slant)) if made.slant != 90 else 0.0
    sewn: ClothSheet = ()
    reach = 0.0
    for role, fabric in enumerate(made.fabrics):
        _, width = _size(made, role)
        left = reach - 2 * allowance if sewn else 0.0
        start = min(left * slope, (left + width) * slope)
        strip = move_sheet(cut_sheet(width, length, fabric), left, start)
        if not sewn:
            sewn, reach = strip, width
            continue
        above = lay_face_down(strip, Seam(1.0, 0.0, reach - allowance))
        sewn = sew_open(sewn, above, Seam(1.0, 0.0, reach - allowance), allowance)
        reach = left + width
    lost = max(_size(made, role)[1] for role in range(len(made.fabrics))) * abs(slope)
    pitch = made.segment / sin(radians(made.slant))
    if pitch * made.makes + lost > length + SLIP:
        raise CannotMakeError(
            f"{made.makes} segments of {made.segment:.4f} in take {made.makes * pitch + lost:.4f} in of a strip set"
            f" {length:.4f} in long"
        )
    units = []
    across = (-cos(radians(made.slant)), sin(radians(made.slant)))
    for number in range(made.makes):
        low, high = number * made.segment, (number + 1) * made.segment
        segment = cut_off(cut_off(sewn, -across[0], -across[1], -low), *across, high)
        level = turn_sheet(segment, made.slant - 90)
        left, _, right, _ = measure_box(point for facet in level for point in facet.outline)
        level = move_sheet(level, -left, -low)
        box = _from_corner(made, allowance)
        units.append((level, box if made.slant == 90 else (0.0, 0.0, right - left, box[3])))
    return units
