"""Log cabins: strips around a centre, one side after another, or two opposite sides at a time."""

from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, refuse_keys
from kit.geometry.outlines import Outline, make_rectangle, mirror_outline, move_outline
from kit.lengths import write_refused
from kit.model.patchwork import check_count

SPIRAL = ("right", "top", "left", "bottom")
COURTHOUSE = ("left", "right", "bottom", "top")


class LogCabin(Family):
    """Logs around a centre; light on two sides, dark on the other two."""

    size_key: ClassVar[str | None] = "centre_finished"

    family: Literal["log cabin"]
    columns: int = Field(default=4, ge=1, le=20_000, description="Blocks across")
    rows: int = Field(default=4, ge=1, le=20_000, description="Blocks down")
    centre_finished: Length = Field(default=2.0, description="Finished side of the centre square")
    log_finished: tuple[Length, ...] = Field(
        default=(1.0,), min_length=1, description="Finished log widths: one for all, one per round, or one per log"
    )
    rounds: int = Field(default=4, ge=1, le=500, description="Rounds of four logs")
    order: Literal["counter-clockwise", "clockwise", "courthouse"] = Field(
        default="counter-clockwise", description="The order of the logs around the centre"
    )
    centre_slot: Slot = Field(default="centre", description="Slot of the centre square")
    light_slot: Slot = Field(default="light", description="Slot of the light logs")
    dark_slot: Slot = Field(default="dark", description="Slot of the dark logs")

    def make_block(self, allowance: float) -> Block:
        """Return one block; each log is as long as the side of the block so far."""
        check_count(4 * self.rounds + 1)
        self._check_widths(allowance)
        half = self.centre_finished / 2
        left, bottom, right, top = -half, -half, half, half
        shapes = [BlockPatch("log00", make_rectangle(left, bottom, 2 * half, 2 * half), self.centre_slot, "centre")]
        sides = COURTHOUSE if self.order == "courthouse" else SPIRAL
        for n in range(4 * self.rounds):
            side, w = sides[n % 4], self._width(n)
            outline: Outline
            if side == "right":
                outline, right = make_rectangle(right, bottom, w, top - bottom), right + w
            elif side == "left":
                outline, left = make_rectangle(left - w, bottom, w, top - bottom), left - w
            elif side == "top":
                outline, top = make_rectangle(left, top, right - left, w), top + w
            else:
                outline, bottom = make_rectangle(left, bottom - w, right - left, w), bottom - w
            slot = self.light_slot if n % 4 < 2 else self.dark_slot
            shapes.append(BlockPatch(f"log{n + 1:02d}", outline, slot, "log"))
        if self.order == "clockwise":
            shapes = [BlockPatch(s.key, mirror_outline(s.outline), s.slot, s.name) for s in shapes]
            left, right = -right, -left
        placed = tuple(BlockPatch(s.key, move_outline(s.outline, -left, -bottom), s.slot, s.name) for s in shapes)
        return Block(right - left, top - bottom, placed)

    def _width(self, log: int) -> float:
        widths = self.log_finished
        if len(widths) == 1:
            return widths[0]
        return widths[log // 4] if len(widths) == self.rounds else widths[log]

    def _check_widths(self, allowance: float) -> None:
        if len(self.log_finished) not in (1, self.rounds, 4 * self.rounds):
            raise refuse_keys(
                f"`design.log_finished` holds {len(self.log_finished)} widths for {self.rounds} rounds",
                f"one width, {self.rounds} (one per round) or {4 * self.rounds} (one per log)",
                "correct the list",
            )
        for key, width in (("centre_finished", self.centre_finished), ("log_finished", min(self.log_finished))):
            if width < 2 * allowance - 1e-9:
                raise refuse_keys(
                    f"`design.{key}` is {write_refused(width)}",
                    f"at least two allowances ({write_refused(2 * allowance)}), or it cannot be sewn",
                    "widen it or narrow the allowance",
                )
