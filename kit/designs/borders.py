"""Borders: frames round a rectangle, the innermost first."""

from collections.abc import Iterator, Sequence

from kit.designs.settings import Border
from kit.geometry.outlines import Outline, make_rectangle
from kit.model.patchwork import Patch

SIDES = ("left", "right", "top", "bottom")


def lay_borders(borders: Sequence[Border], width: float, height: float) -> Iterator[Patch]:
    """Yield the strips of every border round a rectangle that has its lower left corner at (0, 0).

    Parameters
    ----------
    borders
        The innermost first.
    width, height
        Finished inches of what they go round.
    """
    left, bottom = 0.0, 0.0
    for n, border in enumerate(borders, start=1):
        w = border.finished
        lay = _lay_mitred if border.corners == "mitred" else _lay_straight
        for side, outline in zip(SIDES, lay(border, left, bottom, width, height), strict=True):
            grain = 90.0 if side in ("left", "right") else 0.0
            yield Patch(f"border{n}-{side}", outline, border.slot, "border", grain=grain)
        if border.corners == "cornerstones":
            spots = [(x, y) for y in (bottom - w, bottom + height) for x in (left - w, left + width)]
            for k, (x, y) in enumerate(spots, start=1):
                outline = make_rectangle(x, y, w, w)
                yield Patch(f"border{n}-stone{k}", outline, border.cornerstone_slot, "border cornerstone")
        left, bottom, width, height = left - w, bottom - w, width + 2 * w, height + 2 * w


def _lay_straight(border: Border, left: float, bottom: float, width: float, height: float) -> list[Outline]:
    """Return four rectangles; the strips that are sewn last reach over the ends of the others."""
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


def _lay_mitred(border: Border, left: float, bottom: float, width: float, height: float) -> list[Outline]:
    """Return four trapezoids that meet at 45°."""
    w, right, top = border.finished, left + width, bottom + height
    return [
        ((left - w, bottom - w), (left, bottom), (left, top), (left - w, top + w)),
        ((right, bottom), (right + w, bottom - w), (right + w, top + w), (right, top)),
        ((left, top), (right, top), (right + w, top + w), (left - w, top + w)),
        ((left - w, bottom - w), (right + w, bottom - w), (right, bottom), (left, bottom)),
    ]
