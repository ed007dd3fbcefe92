"""Pieced frames: units in a row along each side, a square at each corner, and a spacer inside on request.

A side is drawn lying down, from (0, 0) to (its length, -the frame's width), its inner edge above, and then turned: the
bottom stays, the right makes a quarter turn, the top a half turn, the left three quarters of a turn.
"""

from collections.abc import Iterator, Mapping

from kit.designs.keys import check_sewable, refuse_keys
from kit.designs.settings import Border
from kit.designs.spacers import Spacer, count_units, solve_spacer
from kit.errors import PatchworkError
from kit.geometry.outlines import Outline, Point, make_rectangle, mirror_outline, move_outline, turn_outline
from kit.lengths import write_length
from kit.model.frames import Side
from kit.model.patchwork import Patch, Within, check_count

PER_UNIT = {"squares": 1, "half squares": 2, "geese": 3, "teeth": 3}
"""Patches in a unit."""
ALONG = {"squares": 1.0, "half squares": 1.0, "geese": 0.5, "teeth": 2.0}
"""The default length of a unit, in widths of the frame."""
ONE_WAY = ("half squares", "geese")
"""Units that are not their own mirror image: a mirrored side holds an even number of them."""
DraftedPiece = tuple[str, Outline, str, str]
"""Key, outline, slot and name."""
LaidPatch = tuple[Side | None, Patch]
"""A patch of a frame and its side; None for a square at a corner."""


def fit_pieces(border: Border, width: float, height: float, allowance: float) -> Spacer:
    """Return the number of units along each side of a pieced frame, and the spacer that makes them fit.

    Raises
    ------
    PatchworkError
        Units that do not divide the sides when there is no spacer, or units too short to sew.
    """
    unit = border.unit_finished or ALONG[border.pieces] * border.finished
    even = border.running == "mirrored" and border.pieces in ONE_WAY
    per = 2 if even else 1
    if border.corners == "mitred":
        raise refuse_keys(
            '`design.border.corners` is "mitred" for a pieced frame',
            "squares at its corners",
            'leave `corners` out, or set pieces = "plain"',
        )
    check_sewable(allowance, **{"border.unit_finished": unit})
    check_count(PER_UNIT[border.pieces] * 2 * (width + height) / unit)
    if border.fit == "stretch":
        counts = [per * max(1, round(side / (per * unit))) for side in (width, height)]
        spacer = Spacer(0.0, 0.0, *counts)
    else:
        least = border.spacer_least or 2 * allowance
        check_sewable(allowance, **{"border.spacer_least": least})
        spacer = solve_spacer(width, height, unit, least, even=even)
        if spacer.needed and border.fit == "exact":
            raise _refuse_unit(unit, width, height, spacer, even=even)
    along = min((width + 2 * spacer.sides) / spacer.across, (height + 2 * spacer.ends) / spacer.down)
    along /= 2 if border.pieces == "teeth" else 1
    across = border.finished / 2 if border.pieces == "geese" else border.finished
    edges = {
        "border.unit_finished` as it fits, an edge of the units of `design": along,
        "border.finished` at the short edges of the units of `design": across,
    }
    check_sewable(allowance, **edges)
    return spacer


def _refuse_unit(unit: float, width: float, height: float, spacer: Spacer, *, even: bool) -> PatchworkError:
    odd = next(side for side in (width, height) if not count_units(side, 2 * unit if even else unit))
    sides, ends = write_length(spacer.sides), write_length(spacer.ends)
    needs = sides if abs(spacer.sides - spacer.ends) < 1e-6 else f"{sides} at the sides and {ends} at the ends"
    return refuse_keys(
        f"`design.border.unit_finished` is {write_length(unit)}, and {write_length(odd)} is not"
        f" {'an even' if even else 'a whole'} number of such units",
        f"units that divide {write_length(width)} and {write_length(height)}, or a spacer of {needs}",
        'set fit = "spacer" or fit = "stretch", or another unit_finished',
    )


UNITS: Mapping[str, str] = {
    "half squares": "frame half-square unit",
    "geese": "frame goose unit",
    "teeth": "frame tooth unit",
}
"""The name of a unit of several pieces."""


def lay_pieces(
    border: Border, name: str, place: tuple[float, float, float, float], spacer: Spacer
) -> Iterator[LaidPatch]:
    """Yield the units of a pieced frame and the squares at its corners.

    Each side is a part of its own, and so is each of the two with the squares at their ends that are sewn on last.

    Parameters
    ----------
    border
        Its keys.
    name
        The first part of the ids.
    place
        (left, bottom, width, height) of the rectangle inside it, the spacer included, inches.
    spacer
        From `fit_pieces`.
    """
    left, bottom, width, height = place
    right, top, w = left + width, bottom + height, border.finished
    sides: tuple[tuple[Side, int, Point, float, int], ...] = (
        ("bottom", 0, (left, bottom), width, spacer.across),
        ("right", 90, (right, bottom), height, spacer.down),
        ("top", 180, (right, top), width, spacer.across),
        ("left", 270, (left, top), height, spacer.down),
    )
    for side, angle, (x, y), length, count in sides:
        number = f"{name}-{side}"
        ends = (Within("frame side with corners", number),) if side in ("bottom", "top") else ()
        group = (*ends, Within("frame side", number))
        unit = UNITS.get(border.pieces)
        for key, outline, slot, called in _lay_side(border, length, count):
            placed = move_outline(turn_outline(outline, angle), x, y)
            within = (*group, Within(unit, key[:-1])) if unit else group
            yield side, Patch(f"{name}-{side}-{key}", placed, slot, called, within, float(angle % 180))
        if ends:
            for k, corner in enumerate(((-w, -w), (length, -w)), start=1):
                stone = move_outline(turn_outline(make_rectangle(*corner, w, w), angle), x, y)
                yield None, Patch(f"{name}-{side}-stone{k}", stone, border.cornerstone_slot, "frame cornerstone", ends)


def _lay_side(border: Border, length: float, count: int) -> Iterator[DraftedPiece]:
    """Yield the parts of one side, lying down; in a mirrored one the second half is the image of the first."""
    unit, middle = length / count, length / 2
    for n in range(count):
        flip = border.running == "mirrored" and 2 * n >= count
        i = count - 1 - n if flip else n
        for letter, outline, slot, called in _lay_unit(border, i, i * unit, unit):
            drawn = mirror_outline(outline, axis=middle) if flip else outline
            yield f"{n + 1:03d}{letter}", drawn, slot, called


def _lay_unit(border: Border, i: int, x: float, u: float) -> Iterator[DraftedPiece]:
    """Yield the parts of the unit that begins at x."""
    w, slots = border.finished, border.piece_slots
    first, second = slots[0], slots[1 % len(slots)]
    a, b, c, d = (x, -w), (x + u, -w), (x + u, 0.0), (x, 0.0)
    if border.pieces == "squares":
        yield "", (a, b, c, d), slots[i % len(slots)], "frame square"
    elif border.pieces == "half squares":
        yield "a", (a, b, c), first, "frame half square"
        yield "b", (a, c, d), second, "frame half square"
    elif border.pieces == "geese":
        tip = (x + u, -w / 2)
        yield "a", (a, tip, d), first, "frame goose"
        yield "b", (a, b, tip), second, "frame sky"
        yield "c", (d, tip, c), second, "frame sky"
    else:
        tip = (x + u / 2, -w)
        yield "a", (d, tip, c), first, "frame tooth"
        yield "b", (a, tip, d), second, "frame sky"
        yield "c", (b, c, tip), second, "frame sky"
