"""Borders: frames round a rectangle, the innermost first, each plain or pieced."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from kit.designs.blocks import Block
from kit.designs.keys import refuse_keys
from kit.designs.pieced import LaidPatch, fit_pieces, lay_pieces
from kit.designs.settings import Border
from kit.designs.spacers import Spacer
from kit.designs.units.unit_frames import UnitSides, fit_units, lay_units, trim_units
from kit.geometry.outlines import TOLERANCE, Outline, make_rectangle
from kit.model.frames import SIDES, Frame, FrameCorner, FrameKind, Side
from kit.model.patchwork import Patch, Trim

NO_SPACER = Spacer(0.0, 0.0, 0, 0)


@dataclass(frozen=True, slots=True)
class PlacedBorder:
    """A border in its place.

    Attributes
    ----------
    number
        From 1, the innermost first.
    border
        Its keys.
    spacer
        The plain frame inside it, if it is pieced.
    inner
        (left, bottom, width, height) of the rectangle inside it, its spacer included, inches.
    """

    number: int
    border: Border
    spacer: Spacer
    inner: tuple[float, float, float, float]
    units: UnitSides | None = None

    @property
    def outer(self) -> tuple[float, float, float, float]:
        """(left, bottom, width, height) with the border."""
        left, bottom, width, height = self.inner
        w = self.border.finished
        return left - w, bottom - w, width + 2 * w, height + 2 * w


def place_borders(
    borders: Sequence[Border], width: float, height: float, allowance: float, find_unit: Callable[[str], Block]
) -> tuple[PlacedBorder, ...]:
    """Return every border in its place round a rectangle that has its lower left corner at (0, 0).

    Parameters
    ----------
    borders
        The innermost first.
    width, height
        Finished inches of the rectangle.
    allowance
        Seam allowance, inches.
    find_unit
        Returns the unit of a name, for frames of units.

    Raises
    ------
    PatchworkError
        Units of a pieced frame that do not fit, or keys of a pieced frame on a plain border.
    """
    placed: list[PlacedBorder] = []
    place = (0.0, 0.0, width, height)
    for number, border in enumerate(borders, start=1):
        left, bottom, wide, high = place
        _check_keys(border)
        units = None
        if border.pieces == "units":
            units = fit_units(border, wide, high, allowance, find_unit)
            spacer = units.spacer
        else:
            spacer = NO_SPACER if border.pieces == "plain" else fit_pieces(border, wide, high, allowance)
        a, b = spacer.sides, spacer.ends
        inner = left - a, bottom - b, wide + 2 * a, high + 2 * b
        placed.append(PlacedBorder(number, border, spacer, inner, units))
        place = placed[-1].outer
    return tuple(placed)


def lay_borders(placed: Sequence[PlacedBorder]) -> tuple[list[Patch], tuple[Frame, ...]]:
    """Return the patches of every border, and the frames that they make.

    Plain strips outside every pieced or turned frame are called "border", those further in "frame".

    Parameters
    ----------
    placed
        From `place_borders`.
    """
    odd = max((one.number for one in placed if _is_odd(one.border)), default=0)
    patches: list[Patch] = []
    frames: list[Frame] = []
    for one in placed:
        border = one.border
        if one.spacer.needed:
            laid = list(_lay_spacer(one))
            patches += [patch for _, patch in laid]
            frames.append(_gather_frame("spacer", "butted", laid))
        if one.units is not None:
            laid = list(lay_units(one.units, border, f"border{one.number}", one.inner))
            frame = _gather_frame("pieced", "cornerstones", laid)
        elif border.pieces != "plain":
            laid = list(lay_pieces(border, f"border{one.number}", one.inner, one.spacer))
            frame = _gather_frame("pieced", "cornerstones", laid)
        else:
            laid = list(_lay_plain(one, "frame" if one.number <= odd else "border"))
            ends_first = border.corners == "butted" and border.first == "ends"
            frame = replace(_gather_frame("plain", border.corners, laid), ends_first=ends_first)
        patches += [patch for _, patch in laid]
        frames.append(frame)
    return patches, tuple(frames)


def trim_borders(placed: Sequence[PlacedBorder]) -> Iterator[Trim]:
    """Yield the trims of the units in the frames."""
    for one in placed:
        if one.units is not None:
            yield from trim_units(one.units, one.border, f"border{one.number}", one.inner)


def _is_odd(border: Border) -> bool:
    return border.pieces != "plain" or border.corners == "turned"


def _gather_frame(kind: FrameKind, corners: FrameCorner, laid: Sequence[LaidPatch]) -> Frame:
    """Return the frame that patches make; those of no side are the squares at its corners."""
    left, right, top, bottom, stones = (tuple(patch.id for at, patch in laid if at == side) for side in (*SIDES, None))
    return Frame(kind, corners, left, right, top, bottom, stones)


def _lay_plain(placed: PlacedBorder, called: str) -> Iterator[LaidPatch]:
    """Yield the four strips of a plain border, and the squares at its corners where it has some."""
    border, n = placed.border, placed.number
    lay = {"mitred": _lay_mitred, "turned": _lay_turned}.get(border.corners, _lay_straight)
    left, bottom, width, height = placed.inner
    for side, outline in zip(SIDES, lay(border, left, bottom, width, height), strict=True):
        grain = 90.0 if side in ("left", "right") else 0.0
        yield side, Patch(f"border{n}-{side}", outline, border.slot, called, grain=grain)
    if border.corners == "cornerstones":
        w = border.finished
        spots = [(x, y) for y in (bottom - w, bottom + height) for x in (left - w, left + width)]
        for k, (x, y) in enumerate(spots, start=1):
            outline = make_rectangle(x, y, w, w)
            yield None, Patch(f"border{n}-stone{k}", outline, border.cornerstone_slot, "border cornerstone")


def _lay_spacer(placed: PlacedBorder) -> Iterator[LaidPatch]:
    """Yield the strips of a spacer: the sides first, the ends over them; a pair of no width is left out."""
    a, b = placed.spacer.sides, placed.spacer.ends
    left, bottom, width, height = placed.inner
    strips: dict[Side, tuple[float, float, float, float]] = {
        "left": (left, bottom + b, a, height - 2 * b),
        "right": (left + width - a, bottom + b, a, height - 2 * b),
        "top": (left, bottom + height - b, width, b),
        "bottom": (left, bottom, width, b),
    }
    for side, (x, y, wide, high) in strips.items():
        if min(wide, high) > TOLERANCE:
            grain = 90.0 if side in ("left", "right") else 0.0
            outline = make_rectangle(x, y, wide, high)
            yield (
                side,
                Patch(f"spacer{placed.number}-{side}", outline, placed.border.spacer_slot, "spacer", grain=grain),
            )


def _lay_straight(border: Border, left: float, bottom: float, width: float, height: float) -> list[Outline]:
    """Return four rectangles; the strips sewn last reach over the ends of the others."""
    w = border.finished
    over_sides = w if border.corners == "butted" and border.first == "ends" else 0.0
    over_ends = w if border.corners == "butted" and border.first == "sides" else 0.0
    low, tall = bottom - over_sides, height + 2 * over_sides
    start, wide = left - over_ends, width + 2 * over_ends
    return [
        make_rectangle(left - w, low, w, tall),
        make_rectangle(left + width, low, w, tall),
        make_rectangle(start, bottom + height, wide, w),
        make_rectangle(start, bottom - w, wide, w),
    ]


def _lay_turned(border: Border, left: float, bottom: float, width: float, height: float) -> list[Outline]:
    """Return four rectangles, each over the end of the one before; one seam is sewn in two parts."""
    w = border.finished
    return [
        make_rectangle(left - w, bottom - w, w, height + w),
        make_rectangle(left + width, bottom, w, height + w),
        make_rectangle(left - w, bottom + height, width + w, w),
        make_rectangle(left, bottom - w, width + w, w),
    ]


def _lay_mitred(border: Border, left: float, bottom: float, width: float, height: float) -> list[Outline]:
    """Return four trapezoids that meet at 45°."""
    w, right, top = border.finished, left + width, bottom + height
    return [
        ((left - w, bottom - w), (left, bottom), (left, top), (left - w, top + w)),
        ((right, bottom), (right + w, bottom - w), (right + w, top + w), (right, top)),
        ((left, top), (right, top), (right + w, top + w), (left - w, top + w)),
        ((left - w, bottom - w), (right + w, bottom - w), (right, bottom), (left, bottom)),
    ]


def _check_keys(border: Border) -> None:
    """Refuse a pieced frame's own keys on a plain one, so that none is silently without effect."""
    for key in ("sides", "corner_unit"):
        if border.pieces != "units" and getattr(border, key):
            raise refuse_keys(
                f'`design.border.{key}` stands with pieces = "{border.pieces}"',
                "units along the frame",
                'set pieces = "units", or leave it out',
            )
    if border.pieces != "plain":
        return
    pieced = ("unit_finished", "spacer_least")
    given = [name for name in pieced if getattr(border, name) is not None]
    given += ["fit"] if border.fit != "exact" else []
    if given:
        raise refuse_keys(
            f"`design.border.{given[0]}` is set for a plain border",
            "a pieced border",
            'set pieces = "squares" or another kind, or leave it out',
        )
