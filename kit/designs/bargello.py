"""Bargello: columns cut across one set of strips, each column narrower or wider and moved up or down.

The strip set is sewn into a loop: strips that a moved column loses at the top appear again at its foot. A move
by half a strip opens the loop in the middle of a strip; half of it then shows at the top and half at the foot.
"""

from itertools import accumulate
from math import floor
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, check_sewable, refuse_keys
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import Within, check_count


class Bargello(Family):
    """Columns of the same strips, each column with its own width and its own shift."""

    size_key: ClassVar[str | None] = "strip_cut"
    count_keys: ClassVar[tuple[str, str]] = ("columns", "loops")

    family: Literal["bargello"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Panels across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Panels down")
    strip_cut: Length = Field(default=2.5, description="Cut width of the strips")
    strip_slots: tuple[Slot, ...] = Field(
        default=("one", "two", "three", "four", "five", "six"),
        min_length=2,
        description="Slots of the loop, from the foot",
    )
    loops: int = Field(default=3, ge=1, le=1_000, description="How often the strips repeat in a column")
    widths_cut: tuple[Length, ...] = Field(
        default=(2.5, 2.0, 1.5, 1.25, 1.25, 1.5, 2.0, 2.5),
        min_length=1,
        max_length=2_000,
        description="Cut widths of the columns from the left, repeated",
    )
    shifts: tuple[float, ...] = Field(
        default=(0.0, 1.0, 2.0, 3.0, 4.0, 3.0, 2.0, 1.0),
        min_length=1,
        max_length=2_000,
        description="How many strips each column is moved up, in whole or half strips, one entry per column",
    )

    def make_block(self, allowance: float) -> Block:
        """Return one panel, with one column per shift."""
        check_count(len(self.shifts) * (len(self.strip_slots) * self.loops + 1))
        strip = self.strip_cut - 2 * allowance
        check_sewable(allowance, **{"strip_cut` less two allowances, the strip of `design": strip})
        widths = [self.widths_cut[n % len(self.widths_cut)] - 2 * allowance for n in range(len(self.shifts))]
        check_sewable(allowance, **{"widths_cut` less two allowances, a column of `design": min(widths)})
        lefts = [0.0, *accumulate(widths)]
        shapes: list[BlockPatch] = []
        for n, shift in enumerate(self.shifts):
            shapes += self._lay_column(n, shift, lefts[n], widths[n], strip, allowance)
        return Block(lefts[-1], len(self.strip_slots) * self.loops * strip, tuple(shapes))

    def _lay_column(
        self, n: int, shift: float, left: float, width: float, strip: float, allowance: float
    ) -> list[BlockPatch]:
        """Return the patches of one column from the bottom up."""
        if abs(2 * shift - round(2 * shift)) > 1e-9 or abs(shift) > 10_000:
            raise refuse_keys(
                f"`design.shifts` holds {shift:g}",
                "whole strips or halves, for instance 2 or 2.5",
                "correct that shift",
            )
        slots, total = self.strip_slots, len(self.strip_slots) * self.loops
        half = round(2 * shift) % 2
        if half:
            check_sewable(
                allowance, **{"strip_cut` less two allowances and halved by the `shifts` of `design": strip / 2}
            )
        edges = [0.0, *(k + half / 2 for k in range(1 - half, total)), float(total)]
        shapes = []
        for k in range(len(edges) - 1):
            low, high = edges[k], edges[k + 1]
            slot = slots[floor((low + high) / 2 - shift) % len(slots)]
            outline = make_rectangle(left, low * strip, width, (high - low) * strip)
            within = (Within("column", str(n + 1)),)
            shapes.append(BlockPatch(f"c{n + 1:03d}-{k + 1:03d}", outline, slot, "patch", 0.0, None, within))
        return shapes

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of a panel."""
        return f"r{row:02d}c{column:02d}", Within("panel", f"{row}-{column}")
