"""Borders: frames round a rectangle, the innermost first, each plain or pieced."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kit.designs.keys import refuse_keys
from kit.designs.pieced import fit_pieces, lay_pieces
from kit.designs.settings import Border
from kit.designs.spacers import Spacer
from kit.geometry.outlines import TOLERANCE, Outline, make_rectangle
from kit.model.patchwork import Patch

SIDES = ("left", "right", "top", "bottom")
NO_SPACER = Spacer(0.0, 0.0, 0, 0)


@dataclass(frozen=True, slots=True)
class Frame:
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

    @property
    def outer(self) -> tuple[float, float, float, float]:
        """(left, bottom, width, height) with the border."""
        left, bottom, width, height = self.inner
        w = self.border.finished
        return left - w, bottom - w, width + 2 * w, height + 2 * w


def place_borders(borders: Sequence[Border], width: float, height: float, allowance: float) -> tuple[Frame, ...]:
    """Return every border in its place around a rectangle with its lower left corner at (0, 0).

    Parameters
    ----------
    borders
        The innermost first.
    width, height
        Finished inches of the rectangle.
    allowance
        Seam allowance, inches.

    Raises
    ------
    PatchworkError
        Units of a pieced frame that do not fit, or keys of a pieced frame on a plain border.
    """
    frames: list[Frame] = []
    place = (0.0, 0.0, width, height)
    for number, border in enumerate(borders, start=1):
        left, bottom, wide, high = place
        _check_keys(border)
        spacer = NO_SPACER if border.pieces == "plain" else fit_pieces(border, wide, high, allowance)
        a, b = spacer.sides, spacer.ends
        frame = Frame(number, border, spacer, (left - a, bottom - b, wide + 2 * a, high + 2 * b))
        frames.append(frame)
        place = frame.outer
    return tuple(frames)


def lay_borders(frames: Sequence[Frame]) -> Iterator[Patch]:
    """Yield the patches of every border.

    Plain strips outside every pieced or turned frame are called "border", those further in "frame": the finishing
    measures its borders inward from the edge of the quilt, strip by strip.
    """
    odd = [frame.number for frame in frames if _is_odd(frame.border)]
    for frame in frames:
        border, n = frame.border, frame.number
        if frame.spacer.needed:
            yield from _lay_spacer(frame)
        if border.pieces != "plain":
            yield from lay_pieces(border, f"border{n}", frame.inner, frame.spacer)
            continue
        called = "frame" if odd and n <= max(odd) else "border"
        lay = {"mitred": _lay_mitred, "turned": _lay_turned}.get(border.corners, _lay_straight)
        left, bottom, width, height = frame.inner
        for side, outline in zip(SIDES, lay(border, left, bottom, width, height), strict=True):
            grain = 90.0 if side in ("left", "right") else 0.0
            yield Patch(f"border{n}-{side}", outline, border.slot, called, grain=grain)
        if border.corners == "cornerstones":
            w = border.finished
            spots = [(x, y) for y in (bottom - w, bottom + height) for x in (left - w, left + width)]
            for k, (x, y) in enumerate(spots, start=1):
                outline = make_rectangle(x, y, w, w)
                yield Patch(f"border{n}-stone{k}", outline, border.cornerstone_slot, "border cornerstone")


def _is_odd(border: Border) -> bool:
    return border.pieces != "plain" or border.corners == "turned"


def _lay_spacer(frame: Frame) -> Iterator[Patch]:
    """Yield the strips of a spacer: the sides first, the ends over them; a pair without width is left out."""
    a, b = frame.spacer.sides, frame.spacer.ends
    left, bottom, width, height = frame.inner
    strips = {
        "left": (left, bottom + b, a, height - 2 * b),
        "right": (left + width - a, bottom + b, a, height - 2 * b),
        "top": (left, bottom + height - b, width, b),
        "bottom": (left, bottom, width, b),
    }
    for side, (x, y, wide, high) in strips.items():
        if min(wide, high) > TOLERANCE:
            grain = 90.0 if side in ("left", "right") else 0.0
            outline = make_rectangle(x, y, wide, high)
            yield Patch(f"spacer{frame.number}-{side}", outline, frame.border.spacer_slot, "spacer", grain=grain)


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
    """Refuse a pieced frame's own keys on a plain frame, so that no key is silently ignored."""
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
