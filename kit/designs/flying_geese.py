"""Flying geese: columns or rows of large triangles, twice as wide as high, each between two small ones."""

from dataclasses import replace
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, check_sewable
from kit.geometry.outlines import Outline, turn_outline
from kit.model.patchwork import Within, check_count

ANGLES = {"up": 0.0, "left": 90.0, "down": 180.0, "right": 270.0}


class FlyingGeese(Family):
    """Flights of geese: a goose finishes twice as wide as high."""

    size_key: ClassVar[str | None] = "goose_finished"
    count_keys: ClassVar[tuple[str, str]] = ("columns", "geese")

    family: Literal["flying geese"]
    columns: int = Field(default=5, ge=1, le=20_000, description="Flights across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Flights down")
    geese: int = Field(default=12, ge=1, le=5_000, description="Geese in a flight")
    goose_finished: Length = Field(default=2.0, description="Finished height of a goose; it is twice as wide")
    direction: Literal["up", "down", "left", "right"] = Field(default="up", description="Direction of the geese")
    running: Literal["same", "alternate"] = Field(
        default="same", description="All flights in one direction, or every other flight reversed"
    )
    goose_slots: tuple[Slot, ...] = Field(
        default=("goose",), min_length=1, description="Slots of the geese, repeated along a flight from its start"
    )
    sky_slot: Slot = Field(default="sky", description="Slot of the small triangles")

    def make_block(self, allowance: float) -> Block:
        """Return one flight; the long side of a goose and the outer sides of its sky lie on the straight grain."""
        check_count(3 * self.geese)
        h = self.goose_finished
        check_sewable(allowance, goose_finished=h)
        shapes = []
        for n in range(self.geese):
            y, key = n * h, f"g{n + 1:03d}"
            a, b, tip = (0.0, y), (2 * h, y), (h, y + h)
            slot = self.goose_slots[n % len(self.goose_slots)]
            group = (Within("goose unit", f"{n + 1}"),) if self.geese > 1 else ()
            shapes += [
                BlockPatch(key, (a, b, tip), slot, "goose", group=group),
                BlockPatch(f"{key}a", (a, tip, (0.0, y + h)), self.sky_slot, "sky", group=group),
                BlockPatch(f"{key}b", (b, (2 * h, y + h), tip), self.sky_slot, "sky", group=group),
            ]
        return _fly(shapes, 2 * h, self.geese * h, ANGLES[self.direction])

    def _turn(self, row: int, column: int) -> int:
        line = column if self.direction in ("up", "down") else row
        back = self.running == "alternate" and line % 2 == 0
        return (super()._turn(row, column) + (180 if back else 0)) % 360

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of a flight."""
        return f"r{row:02d}c{column:02d}", Within("flight", f"{row}-{column}")


def _fly(shapes: list[BlockPatch], width: float, height: float, angle: float) -> Block:
    """Return the upward flight turned into its direction, its lower left corner at (0, 0) again."""
    wide, high = (width, height) if angle in (0.0, 180.0) else (height, width)

    def turn(outline: Outline) -> Outline:
        about = turn_outline(((width / 2, height / 2),), angle)[0]
        return tuple((x - about[0] + wide / 2, y - about[1] + high / 2) for x, y in turn_outline(outline, angle))

    return Block(wide, high, tuple(replace(s, outline=turn(s.outline), grain=angle) for s in shapes))
