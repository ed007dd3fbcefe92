"""Pinwheels and whirls: blocks that look the same after a quarter turn; their mirror images turn the other way."""

from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch, mirror_shapes
from kit.designs.family import Family
from kit.designs.keys import Direction, Length, Slot, check_sewable
from kit.geometry.outlines import Outline, make_rectangle, turn_outline


class Pinwheel(Family):
    """Pinwheels: four halved squares, or four squares of a half and two quarters."""

    size_key: ClassVar[str | None] = "block_finished"
    parts: ClassVar[int] = 4

    family: Literal["pinwheel"]
    columns: int = Field(default=4, ge=1, le=20_000, description="Blocks across")
    rows: int = Field(default=4, ge=1, le=20_000, description="Blocks down")
    block_finished: Length = Field(default=8.0, description="Finished width of a block")
    sails: Literal["single", "double"] = Field(
        default="single", description="Each square halved, or one of its halves halved again"
    )
    direction: Direction = Field(default="counter-clockwise", description="Direction of the sails")
    sail_slot: Slot = Field(default="sail", description="Slot of the sails")
    second_slot: Slot = Field(default="second sail", description="Slot of the small sails of a double pinwheel")
    ground_slot: Slot = Field(default="ground", description="Slot of the background")

    def make_block(self, allowance: float) -> Block:
        """Return one block: its lower right quarter and three turned copies."""
        b = self.block_finished
        u = b / 2
        check_sewable(allowance, **{"block_finished` / 2, a square of `design": u})
        middle, tip, near, far = (u, u), (b, 0.0), (u, 0.0), (b, u)
        quarter: list[tuple[str, Outline, str, str]] = [("a", (middle, tip, far), self.sail_slot, "sail")]
        if self.sails == "single":
            quarter.append(("b", (middle, near, tip), self.ground_slot, "ground"))
        else:
            inner = (u + u / 2, u / 2)
            quarter.append(("b", (middle, near, inner), self.second_slot, "small sail"))
            quarter.append(("c", (near, tip, inner), self.ground_slot, "ground"))
        shapes = [
            BlockPatch(f"{key}{k + 1}", turn_outline(outline, 90 * k, about=middle), slot, name, 90.0 * k)
            for k in range(4)
            for key, outline, slot, name in quarter
        ]
        return Block(b, b, tuple(shapes if self.direction == "counter-clockwise" else mirror_shapes(shapes, u)))


class Whirl(Family):
    """Whirls: a centre and four rectangles, each as long as the centre plus its own width."""

    size_key: ClassVar[str | None] = "centre_finished"

    family: Literal["whirl"]
    columns: int = Field(default=4, ge=1, le=20_000, description="Blocks across")
    rows: int = Field(default=4, ge=1, le=20_000, description="Blocks down")
    centre_finished: Length = Field(default=4.0, description="Finished side of the centre square")
    rectangle_finished: Length = Field(default=3.0, description="Finished width of the rectangles")
    direction: Direction = Field(
        default="counter-clockwise", description="Direction of the rectangles round the centre"
    )
    centre_slot: Slot = Field(default="centre", description="Slot of the centre square")
    rectangle_slots: tuple[Slot, ...] = Field(
        default=("rectangle",), min_length=1, max_length=4, description="Slots of the rectangles, repeated"
    )

    def make_block(self, allowance: float) -> Block:
        """Return one block; no seam runs right through it, so one of its seams is sewn in two parts."""
        c, w = self.centre_finished, self.rectangle_finished
        check_sewable(allowance, centre_finished=c, rectangle_finished=w)
        side = c + 2 * w
        middle = side / 2, side / 2
        shapes = [BlockPatch("w0", make_rectangle(w, w, c, c), self.centre_slot, "centre")]
        for k in range(4):
            outline = turn_outline(make_rectangle(0.0, 0.0, c + w, w), 90 * k, about=middle)
            slot = self.rectangle_slots[k % len(self.rectangle_slots)]
            shapes.append(BlockPatch(f"w{k + 1}", outline, slot, "rectangle"))
        return Block(
            side, side, tuple(shapes if self.direction == "counter-clockwise" else mirror_shapes(shapes, side / 2))
        )
