"""Frames made of units: rows of unlike units along the sides, a unit or a square at each corner, a spacer inside.

A side is laid lying down, its units upright, their lower edges outward, and then turned: the bottom as it is, the right
by a quarter, the top by a half, the left by three quarters.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from kit.designs.blocks import Block, BlockPatch
from kit.designs.keys import refuse_keys
from kit.designs.settings import Border
from kit.designs.spacers import Spacer, solve_spacer
from kit.designs.units.built_unit import lay_shapes, lay_trims
from kit.designs.units.unit_words import UnitWord, read_words, write_both
from kit.geometry.outlines import TOLERANCE, make_rectangle, measure_box
from kit.geometry.rigid_move import RigidMove, make_turn
from kit.lengths import write_length
from kit.model.frames import Side
from kit.model.patchwork import Group, Patch, Trim, Within, check_count

Laid = tuple[str, Block, RigidMove]
"""A unit of a side: its name, what it is, and where it lies on a side that lies down from (0, 0)."""
SIDES: tuple[tuple[Side, float], ...] = (("bottom", 0.0), ("right", 90.0), ("top", 180.0), ("left", 270.0))
KEY = "design.border.sides"


@dataclass(frozen=True, eq=False)
class UnitSides:
    """The units of a frame.

    Attributes
    ----------
    spacer
        The plain frame inside.
    sides
        Bottom, right, top, left: units from the left end of the side, seen from the middle with that side below.
    corner
        The unit at the corners, None for plain squares.
    """

    spacer: Spacer
    sides: tuple[tuple[Laid, ...], ...]
    corner: tuple[str, Block] | None


def fit_units(border: Border, width: float, height: float, allowance: float, find: Callable[[str], Block]) -> UnitSides:
    """Return the units along each side of a frame and the spacer that makes them fit.

    Parameters
    ----------
    border
        Its keys.
    width, height
        Finished inches of what it goes round.
    allowance
        Seam allowance, inches.
    find
        Returns a unit by its name.

    Raises
    ------
    PatchworkError
        Sides that do not fit where no spacer is asked for, units that are not as high as the frame is wide, or keys
        that do not go with units.
    """
    _check_keys(border)
    texts = _give_sides(border)
    words = [read_words(text, KEY) for text in texts]
    for row in words:
        check_count(sum(word.count for word in row))
    lone = [len(row) == 1 and row[0].count == 1 for row in words]
    least = border.spacer_least or 2 * allowance
    spacer = Spacer(0.0, 0.0, 0, 0)
    if all(lone) and border.fit == "spacer":
        units = [_measure(row[0], border, find)[0] for row in words]
        if max(units) - min(units) < TOLERANCE:
            spacer = solve_spacer(width, height, units[0], least)
            words = [
                (UnitWord(row[0].name, count, row[0].angle, row[0].mirrored),)
                for row, count in zip(words, (spacer.across, spacer.down) * 2, strict=True)
            ]
    lengths = [sum(word.count * _measure(word, border, find)[0] for word in row) for row in words]
    for one, other in ((0, 2), (1, 3)):
        if abs(lengths[one] - lengths[other]) > TOLERANCE:
            said = write_both(lengths[one], lengths[other])
            raise refuse_keys(
                f"`{KEY}`: {SIDES[one][0]} is {said[0]} long and {SIDES[other][0]} is {said[1]}",
                "sides that are equally long in pairs",
                "change one of them",
            )
    if not spacer.across:
        spacer = _find_spacer(border, (lengths[0], lengths[1]), (width, height), least)
    sides = tuple(tuple(_lay_side(row, border, find)) for row in words)
    corner = None
    if border.corner_unit:
        block = find(border.corner_unit)
        _check_size(border.corner_unit, (block.width, block.height), (border.finished, border.finished))
        corner = border.corner_unit, block
    return UnitSides(spacer, sides, corner)


def _check_keys(border: Border) -> None:
    if border.corners not in ("butted", "cornerstones"):
        raise refuse_keys(
            f'`design.border.corners` is "{border.corners}" for a frame of units',
            "squares or units at its corners",
            "leave `corners` out",
        )
    if border.fit == "stretch":
        raise refuse_keys(
            '`design.border.fit` is "stretch" for a frame of units, which keep their size',
            'fit = "exact" or fit = "spacer"',
            'set fit = "spacer", or another unit',
        )


def _give_sides(border: Border) -> tuple[str, ...]:
    """Return the texts of bottom, right, top and left."""
    given = border.sides
    if len(given) not in (1, 2, 4):
        raise refuse_keys(
            f"`{KEY}` holds {len(given)} texts",
            "one for all sides, two for the ends and the sides, or four for bottom, right, top and left",
            'write for instance sides = ["goose*5 square goose*5"]',
        )
    return {1: given * 4, 2: given * 2, 4: given}[len(given)]


def _measure(word: UnitWord, border: Border, find: Callable[[str], Block]) -> tuple[float, Block, RigidMove]:
    """Return how long a unit is along its side, the unit, and the move that turns it, its corner at (0, 0)."""
    block = find(word.name)
    move = make_turn(word.angle, mirrored=word.mirrored)
    if word.angle % 90:
        raise refuse_keys(
            f"`{KEY}` turns `{word.name}` by {word.angle:g}°", "quarter turns", "write 90, 180 or 270, or leave it out"
        )
    left, bottom, right, top = measure_box(move.lay(make_rectangle(0, 0, block.width, block.height)))
    _check_size(word.name, (right - left, top - bottom), (right - left, border.finished))
    return right - left, block, move.then(RigidMove(shift=complex(-left, -bottom)))


def _check_size(name: str, have: tuple[float, float], want: tuple[float, float]) -> None:
    for found, wanted, what in zip(have, want, ("wide", "high"), strict=True):
        if abs(found - wanted) > TOLERANCE:
            said = write_both(found, wanted)
            raise refuse_keys(
                f"`design.border`: `{name}` is {said[0]} {what} and the frame is {said[1]}",
                "units as high as the frame is wide",
                f'set finished = "{write_length(found)}", or make the unit {said[1]} {what}',
            )


def _find_spacer(border: Border, have: tuple[float, float], want: tuple[float, float], least: float) -> Spacer:
    """Return the spacer between what the frame goes round and sides of given lengths."""
    rests = []
    for length, inside, what in zip(have, want, ("ends", "sides"), strict=True):
        rest = (length - inside) / 2
        if abs(rest) < TOLERANCE:
            rests.append(0.0)
            continue
        said = write_both(length, inside)
        if border.fit != "spacer" or rest < least - TOLERANCE:
            left = f", which leaves a spacer of {write_length(rest)}" if border.fit == "spacer" and rest > 0 else ""
            raise refuse_keys(
                f"`{KEY}`: the units along the {what} are {said[0]} long and what they go round is {said[1]}{left}",
                "units that fill their side"
                if border.fit != "spacer"
                else f"a spacer of at least {write_length(least)}",
                'change their count or their size, or set fit = "spacer"' if border.fit != "spacer" else "add units",
            )
        rests.append(rest)
    return Spacer(rests[0], rests[1], 1, 1)


def _lay_side(words: Sequence[UnitWord], border: Border, find: Callable[[str], Block]) -> Iterator[Laid]:
    x = 0.0
    for word in words:
        length, block, move = _measure(word, border, find)
        for _ in range(word.count):
            yield word.name, block, move.then(RigidMove(shift=complex(x, -border.finished)))
            x += length


def _place_sides(
    units: UnitSides, border: Border, name: str, inner: tuple[float, float, float, float]
) -> Iterator[tuple[Side | None, str, Group, Block, RigidMove]]:
    """Yield every unit with its side, none at the corners, its id, its groups and its place in the top."""
    left, bottom, width, height = inner
    right, top, w = left + width, bottom + height, border.finished
    origins = ((left, bottom), (right, bottom), (right, top), (left, top))
    counts: dict[str, int] = {}
    for (side, angle), (x, y), laid, length in zip(SIDES, origins, units.sides, (width, height) * 2, strict=True):
        onward = make_turn(angle).then(RigidMove(shift=complex(x, y)))
        frame = Within(f"border {name.removeprefix('border')} side", side)
        for number, (unit, block, move) in enumerate(laid, start=1):
            counts[unit] = counts.get(unit, 0) + 1
            within = Within(unit, str(counts[unit]))
            yield side, f"{name}-{side}-{number:03d}", _hold(block, frame, within), block, move.then(onward)
        if side not in ("bottom", "top"):
            continue
        stone, block = units.corner or ("", _make_stone(border))
        spots = ((-w, 0.0), (length + w, 90.0))
        for number, (at, turn) in enumerate(spots, start=1):
            counts[stone] = counts.get(stone, 0) + 1
            move = make_turn(turn).then(RigidMove(shift=complex(at, -w)))
            key = f"{name}-{side}-stone{number}"
            within = Within(stone, str(counts[stone]))
            yield None, key, _hold(block, frame, within), block, move.then(onward)


def _hold(block: Block, frame: Within, unit: Within) -> Group:
    """Return what holds a unit of a frame; a single patch is not a unit by itself."""
    return (frame, unit) if len(block.shapes) > 1 else (frame,)


def _make_stone(border: Border) -> Block:
    w = border.finished
    return Block(w, w, (BlockPatch("", make_rectangle(0, 0, w, w), border.cornerstone_slot, "frame cornerstone"),))


def lay_units(
    units: UnitSides, border: Border, name: str, inner: tuple[float, float, float, float]
) -> Iterator[tuple[Side | None, Patch]]:
    """Yield the patches of a frame of units, each with its side; those at the corners have none.

    Parameters
    ----------
    units
        From `fit_units`.
    border
        Its keys.
    name
        Begins the ids.
    inner
        (left, bottom, width, height) of what it goes round, the spacer included, inches.
    """
    for side, key, held, block, move in _place_sides(units, border, name, inner):
        for shape in lay_shapes(block.shapes, move):
            patch = f"{key}-{shape.key}" if shape.key else key
            laid = Patch(
                patch, shape.outline, shape.slot, shape.name, held + shape.group, shape.grain, shape.sewn, shape.unit
            )
            yield side, laid


def trim_units(units: UnitSides, border: Border, name: str, inner: tuple[float, float, float, float]) -> Iterator[Trim]:
    """Yield the trims of the units of a frame, as `lay_units` yields their patches."""
    for _, _, held, block, move in _place_sides(units, border, name, inner):
        for trim in lay_trims(block.trims, move):
            yield Trim(held + trim.group, trim.outline)
