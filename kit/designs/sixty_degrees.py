"""Sixty-degree designs: triangles, diamonds, hexagons and tumbling blocks, with straight edges all round.

Each is drawn beyond the rectangle on all sides and then clipped: at the sides halves of the same shape remain, above
and below hexagons the low triangles between their points.
"""

from collections.abc import Iterator
from math import sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, check_sewable, refuse_keys
from kit.geometry.outlines import TOLERANCE, Outline, clip_outline, measure_area, measure_box, move_outline
from kit.model.patchwork import Within, check_count

ROOT3 = sqrt(3.0)
Drawn = tuple[str, Outline, str, str]
"""Key, outline, slot and name."""

DEFAULT_SLOTS = {
    "triangles": ("up", "down"),
    "diamonds": ("diamond",),
    "hexagons": ("hexagon",),
    "tumbling blocks": ("top", "left", "right"),
}


class SixtyDegrees(Family):
    """Panels of one sixty-degree shape; `edge_finished` is the side of every shape."""

    size_key: ClassVar[str | None] = "edge_finished"
    count_keys: ClassVar[tuple[str, str]] = ("across", "down")

    family: Literal["sixty degrees"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Panels across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Panels down")
    shape: Literal["triangles", "diamonds", "hexagons", "tumbling blocks"] = Field(
        default="tumbling blocks", description="The shape of the panel's patches"
    )
    edge_finished: Length = Field(default=3.0, description="Finished edge of a shape")
    across: int = Field(default=8, ge=1, le=1_000, description="Shapes side by side in a line")
    down: int = Field(default=8, ge=1, le=1_000, description="Lines of shapes")
    slots: tuple[Slot, ...] = Field(
        default=(),
        description="Tumbling blocks: top, left and right; triangles: up and down; others: one slot per line, repeated",
    )
    edge_slot: Slot = Field(default="edge", description="Slot of the triangles above and below hexagons")

    def make_block(self, allowance: float) -> Block:
        """Return one panel."""
        check_count(self.across * self.down * {"triangles": 2, "tumbling blocks": 3}.get(self.shape, 1))
        e = self.edge_finished
        check_sewable(allowance, **{"edge_finished` / 2, the shortest edge of the halves of `design": e / 2})
        slots = self.slots or DEFAULT_SLOTS[self.shape]
        need = {"triangles": 2, "tumbling blocks": 3}.get(self.shape)
        if need and len(slots) != need:
            raise refuse_keys(
                f"`design.slots` holds {len(slots)} slots for {self.shape}",
                f"{need}: {', '.join(DEFAULT_SLOTS[self.shape])}",
                "correct the list or leave it out",
            )
        draw = {"triangles": self._draw_triangles, "diamonds": self._draw_diamonds}.get(self.shape, self._draw_hexagons)
        width, height = self._measure()
        shapes = []
        for key, outline, slot, name in draw(slots):
            seen = _cut_off(outline, width, height)
            if seen:
                half = "" if abs(measure_area(seen) - measure_area(outline)) < TOLERANCE else "part of a "
                shapes.append(BlockPatch(key, seen, slot, half + name if name != "edge triangle" else name))
        return Block(width, height, tuple(shapes))

    def _measure(self) -> tuple[float, float]:
        """Return the finished width and height of a panel."""
        e, across, down = self.edge_finished, self.across, self.down
        if self.shape == "triangles":
            return across * e, down * e * ROOT3 / 2
        if self.shape == "diamonds":
            return across * e, down * e * ROOT3
        return across * e * ROOT3, (1.5 * down + 0.5) * e

    def _draw_triangles(self, slots: tuple[str, ...]) -> Iterator[Drawn]:
        e, t = self.edge_finished, self.edge_finished * ROOT3 / 2
        for line in range(self.down):
            y, shift = (self.down - 1 - line) * t, (line + self.down - 1) % 2 * e / 2
            for k in range(-1, self.across + 1):
                x = k * e + shift
                key = f"{line + 1:03d}-{k + 2:03d}"
                yield f"{key}a", ((x, y), (x + e, y), (x + e / 2, y + t)), slots[0], "triangle"
                yield f"{key}b", ((x + e, y), (x + 1.5 * e, y + t), (x + e / 2, y + t)), slots[1], "triangle"

    def _draw_diamonds(self, slots: tuple[str, ...]) -> Iterator[Drawn]:
        e, t = self.edge_finished, self.edge_finished * ROOT3 / 2
        rhomb = ((0.0, -t), (e / 2, 0.0), (0.0, t), (-e / 2, 0.0))
        for line in range(2 * self.down + 1):
            y, shift = (2 * self.down - line) * t, line % 2 * e / 2
            for k in range(self.across + 1):
                outline = move_outline(rhomb, k * e + shift, y)
                yield f"{line + 1:03d}-{k + 1:03d}", outline, slots[line % len(slots)], "diamond"

    def _draw_hexagons(self, slots: tuple[str, ...]) -> Iterator[Drawn]:
        """Yield hexagons on their points, whole or as three diamonds; the lines above and below show as triangles."""
        e, w = self.edge_finished, self.edge_finished * ROOT3
        top, bottom, middle = (0.0, e), (0.0, -e), (0.0, 0.0)
        left, low_left = (-w / 2, e / 2), (-w / 2, -e / 2)
        right, low_right = (w / 2, e / 2), (w / 2, -e / 2)
        whole: list[tuple[str, Outline]] = [("", (top, left, low_left, bottom, low_right, right))]
        parts = [
            ("a", (top, left, middle, right)),
            ("b", (left, low_left, bottom, middle)),
            ("c", (middle, bottom, low_right, right)),
        ]
        blocks = self.shape == "tumbling blocks"
        for line in range(-1, self.down + 1):
            x0, y = (line + 1) % 2 * w / 2, e + (self.down - 1 - line) * 1.5 * e
            outside = line in (-1, self.down)
            for k in range(self.across + 1):
                for n, (letter, outline) in enumerate(parts if blocks and not outside else whole):
                    slot = self.edge_slot if outside else slots[n if blocks else line % len(slots)]
                    name = "edge triangle" if outside else "diamond" if blocks else "hexagon"
                    yield f"{line + 2:03d}-{k + 1:03d}{letter}", move_outline(outline, k * w + x0, y), slot, name

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of a panel."""
        return f"r{row:02d}c{column:02d}", Within("panel", f"{row}-{column}")


def _cut_off(outline: Outline, width: float, height: float) -> Outline:
    """Return the part of an outline inside the panel; most outlines lie inside whole."""
    left, bottom, right, top = measure_box(outline)
    if left > width - TOLERANCE or right < TOLERANCE or bottom > height - TOLERANCE or top < TOLERANCE:
        return ()
    if left >= -TOLERANCE and bottom >= -TOLERANCE and right <= width + TOLERANCE and top <= height + TOLERANCE:
        return outline
    for bound in ((1.0, 0.0, width), (-1.0, 0.0, 0.0), (0.0, 1.0, height), (0.0, -1.0, 0.0)):
        outline = clip_outline(outline, *bound) if outline else ()
    return outline
