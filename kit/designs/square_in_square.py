"""Squares in squares: four triangles around a centre, four larger triangles around those, turned by 45°, and so on."""

from math import sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, check_sewable
from kit.geometry.outlines import Outline, Point

ROOT2 = sqrt(2.0)


class SquareInSquare(Family):
    """Squares in squares: each round of four triangles makes the square √2 times as wide."""

    size_key: ClassVar[str | None] = "block_finished"
    parts: ClassVar[int] = 2

    family: Literal["square in square"]
    columns: int = Field(default=4, ge=1, le=20_000, description="Blocks across")
    rows: int = Field(default=4, ge=1, le=20_000, description="Blocks down")
    block_finished: Length = Field(default=8.0, description="Finished width of a block")
    rounds: int = Field(default=2, ge=1, le=40, description="Rounds of four triangles")
    centre_slot: Slot = Field(default="centre", description="Slot of the centre square")
    round_slots: tuple[Slot, ...] = Field(
        default=("light", "dark"), min_length=1, description="Slots of the rounds from the innermost, repeated"
    )

    def make_block(self, allowance: float) -> Block:
        """Return one block; the short sides of every triangle lie on the straight grain, so the outside does too."""
        b = self.block_finished
        centre = b / ROOT2**self.rounds
        least = {f"block_finished` after {self.rounds} rounds, the smallest triangle of `design": centre / ROOT2}
        check_sewable(allowance, **least)
        square: Outline = ((0.0, 0.0), (b, 0.0), (b, b), (0.0, b))
        shapes = []
        for n in range(self.rounds, 0, -1):
            middles: Outline = tuple(_halve(square[k], square[(k + 1) % 4]) for k in range(4))
            grain = 45.0 * ((self.rounds - n) % 2)
            slot = self.round_slots[(n - 1) % len(self.round_slots)]
            shapes += [
                BlockPatch(
                    f"q{n:02d}{k + 1}", (square[k], middles[k], middles[k - 1]), slot, f"round {n} triangle", grain
                )
                for k in range(4)
            ]
            square = middles
        shapes.append(BlockPatch("q00", square, self.centre_slot, "centre", 45.0 * (self.rounds % 2)))
        return Block(b, b, tuple(reversed(shapes)))


def _halve(p: Point, q: Point) -> Point:
    return (p[0] + q[0]) / 2, (p[1] + q[1]) / 2
