"""Eight-pointed stars: of eight 45° diamonds with squares and triangles set in, or of half-square triangles.

A star of diamonds with edge e is (2 + √2)·e wide: two edges lie flat along a side of its block, with the base of a side
triangle, e·√2, between them.
"""

from math import cos, pi, sin, sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, check_sewable
from kit.geometry.outlines import Outline, Point, make_rectangle, move_outline, turn_outline

ROOT2 = sqrt(2.0)


class Star(Family):
    """Eight-pointed stars: two colours of points take turns."""

    size_key: ClassVar[str | None] = "block_finished"
    parts: ClassVar[int] = 4

    family: Literal["eight-pointed star"]
    columns: int = Field(default=3, ge=1, le=20_000, description="Stars across")
    rows: int = Field(default=3, ge=1, le=20_000, description="Stars down")
    block_finished: Length = Field(default=12.0, description="Finished width of a block")
    drafting: Literal["diamonds", "half squares"] = Field(
        default="diamonds", description="Diamonds with corners set in, or half-square triangles on a grid of four"
    )
    point_slots: tuple[Slot, ...] = Field(
        default=("point", "second point"), min_length=1, max_length=8, description="Slots of the points, repeated"
    )
    corner_slot: Slot = Field(default="ground", description="Slot of the corner squares")
    side_slot: Slot = Field(default="ground", description="Slot of the triangles at the sides")

    def make_block(self, allowance: float) -> Block:
        """Return one star."""
        if self.drafting == "half squares":
            return self._draft_on_grid(allowance)
        edge = self.block_finished / (2 + ROOT2)
        check_sewable(allowance, **{"block_finished` / (2 + √2), the edge of the diamonds of `design": edge})
        ray = [(edge * cos(pi * k / 4), edge * sin(pi * k / 4)) for k in range(8)]
        join = [_add(ray[k], ray[(k + 1) % 8]) for k in range(8)]
        shapes = []
        for k in range(8):
            diamond: Outline = ((0.0, 0.0), ray[k], join[k], ray[(k + 1) % 8])
            shapes.append(BlockPatch(f"p{k + 1}", diamond, self._slot(k), "point", 45.0 * k))
        for k in range(8):
            before, here, after = join[k - 1], ray[k], join[k]
            if k % 2:
                corner = before[0] + after[0] - here[0], before[1] + after[1] - here[1]
                shapes.append(BlockPatch(f"s{k + 1}", (here, before, corner, after), self.corner_slot, "corner"))
            else:
                shapes.append(BlockPatch(f"s{k + 1}", (here, before, after), self.side_slot, "side"))
        half = self.block_finished / 2
        placed = tuple(BlockPatch(s.key, move_outline(s.outline, half, half), s.slot, s.name, s.grain) for s in shapes)
        return Block(2 * half, 2 * half, placed)

    def _slot(self, k: int) -> str:
        return self.point_slots[k % len(self.point_slots)]

    def _draft_on_grid(self, allowance: float) -> Block:
        """Return a star on a grid of four: each point is two half squares, one of the middle, one of a side."""
        u = self.block_finished / 4
        check_sewable(allowance, **{"block_finished` / 4, a cell of `design": u})
        octant = (
            ("p", ((0.0, 0.0), (u, 0.0), (u, u))),
            ("q", ((u, 0.0), (2 * u, u), (u, u))),
            ("s", ((u, 0.0), (2 * u, 0.0), (2 * u, u))),
        )
        middle = 2 * u, 2 * u
        shapes = []
        for k in range(8):
            slot = {"p": self._slot(k), "q": self._slot(k), "s": self.side_slot}
            for key, outline in octant:
                drawn = tuple((y, x) for x, y in reversed(outline)) if k % 2 else outline
                placed = move_outline(turn_outline(drawn, k // 2 * 90), *middle)
                shapes.append(BlockPatch(f"{key}{k + 1}", placed, slot[key], "side" if key == "s" else "point"))
        spots = [(0.0, 0.0), (3 * u, 0.0), (3 * u, 3 * u), (0.0, 3 * u)]
        shapes += [
            BlockPatch(f"c{k}", make_rectangle(x, y, u, u), self.corner_slot, "corner")
            for k, (x, y) in enumerate(spots, start=1)
        ]
        return Block(4 * u, 4 * u, tuple(shapes))


def _add(p: Point, q: Point) -> Point:
    return p[0] + q[0], p[1] + q[1]
