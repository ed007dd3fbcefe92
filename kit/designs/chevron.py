"""Chevrons and herringbones: columns of 45° parallelograms, every other column the mirror image of the last.

In a column whose strips rise to the right the strip n lies between y = x + n·r and y = x + (n + 1)·r, its rise r being
√2 times the finished strip. A triangle below the first strip and another above the last make the ends straight; their
legs are as long as the column is wide.

In a herringbone the right column of a pair is moved up by half a rise, so that each seam meets the middle of a strip
and no two seams have to meet; its ends are trapezoids, each half a rise higher than the triangles.
"""

from math import sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch, mirror_shapes, rename_shapes
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, check_sewable, refuse_keys
from kit.geometry.outlines import move_outline
from kit.lengths import write_length, write_refused
from kit.model.patchwork import Within, check_count

ROOT2 = sqrt(2.0)


class Chevron(Family):
    """Pairs of columns whose strips meet at an angle, pointing up or down."""

    size_key: ClassVar[str | None] = "column_finished"
    count_keys: ClassVar[tuple[str, str]] = ("columns", "strips")

    family: Literal["chevron"]
    columns: int = Field(default=3, ge=1, le=20_000, description="Pairs of columns across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Pairs of columns down")
    strips: int = Field(default=12, ge=1, le=5_000, description="Strips in a column")
    strip_cut: Length = Field(default=2.5, description="Cut width of the strips")
    column_finished: Length = Field(default=5.0, description="Finished width of a column")
    kind: Literal["chevron", "herringbone"] = Field(
        default="chevron", description="Where two columns meet, seams meet seams, or the middles of strips"
    )
    points: Literal["up", "down"] = Field(default="up", description="Whether the middle of a pair points up or down")
    strip_slots: tuple[Slot, ...] = Field(
        default=("dark", "medium", "light"), min_length=1, description="Slots of the strips from the bottom, repeated"
    )
    mirror_slots: tuple[Slot, ...] = Field(
        default=(), description="Slots of the strips in the right column of a pair; left out, those of the left"
    )
    end_slot: Slot = Field(default="ground", description="Slot of the triangles at the ends of the columns")

    def make_block(self, allowance: float) -> Block:
        """Return a pair of columns, the right one the mirror image of the left one."""
        check_count(2 * self.strips + 4)
        strip = self.strip_cut - 2 * allowance
        if strip < 2 * allowance - 1e-9:
            raise refuse_keys(
                f"`design.strip_cut` is {write_length(self.strip_cut)} and leaves {write_refused(strip)} between"
                " its seams",
                f"a strip cut at least {write_length(4 * allowance)} wide",
                "widen the strips or narrow the allowance",
            )
        check_sewable(allowance, column_finished=self.column_finished)
        w, rise = self.column_finished, strip * ROOT2
        lift = rise / 2 if self.kind == "herringbone" else 0.0
        if lift:
            key = "strip_cut` less two allowances, over √2, the short edge at the ends of a herringbone of `design"
            check_sewable(allowance, **{key: lift})
        left = self._lay_column(rise, 0.0, self.strip_slots)
        right = mirror_shapes(self._lay_column(rise, lift, self.mirror_slots or self.strip_slots), w)
        if self.points == "down":
            left, right = mirror_shapes(left, w / 2), mirror_shapes(right, 1.5 * w)
        shapes = [*rename_shapes(_group(left, 1), "L"), *rename_shapes(_group(right, 2), "R")]
        return Block(2 * w, self.strips * rise + w, tuple(shapes))

    def _lay_column(self, rise: float, lift: float, slots: tuple[str, ...]) -> list[BlockPatch]:
        """Return a column of strips rising to the right, the first from `lift` up, its lower left corner at (0, 0)."""
        w, high = self.column_finished, self.strips * rise
        whole = self.strips - (1 if lift else 0)
        end = "end trapezoid" if lift else "end triangle"
        low = ((0.0, 0.0), (w, 0.0), (w, w + lift), (0.0, lift))
        top = ((0.0, high - lift), (w, high - lift + w), (w, high + w), (0.0, high + w))
        shapes = [BlockPatch("000", low if lift else low[:3], self.end_slot, end)]
        for n in range(whole):
            outline = move_outline(((0.0, 0.0), (w, w), (w, w + rise), (0.0, rise)), 0.0, lift + n * rise)
            shapes.append(BlockPatch(f"{n + 1:03d}", outline, slots[n % len(slots)], "strip", 45.0))
        shapes.append(BlockPatch(f"{whole + 1:03d}", top if lift else (top[0], top[1], top[3]), self.end_slot, end))
        return shapes

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of a pair of columns."""
        return f"r{row:02d}c{column:02d}", Within("pair", f"{row}-{column}")


def _group(shapes: list[BlockPatch], column: int) -> list[BlockPatch]:
    return [
        BlockPatch(s.key, s.outline, s.slot, s.name, s.grain, s.sewn, (Within("column", str(column)),)) for s in shapes
    ]
