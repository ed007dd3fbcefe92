"""Turned frames: four panels around a centre, like the sails of a mill.

Each panel is as long as the centre plus the panel width. No seam runs right through a turned frame: each panel's long
seam ends on the next one. The frame is sewn with one partial seam.
"""

from dataclasses import replace
from math import sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.braid import Braid
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, refuse_keys
from kit.geometry.outlines import Outline, make_rectangle, move_outline, turn_outline
from kit.lengths import write_length
from kit.model.patchwork import Trim, Within

ROOT2 = sqrt(2.0)


class TurnedFrame(Family):
    """Panels turned around a centre; set square, or on point between corner pieces."""

    size_key: ClassVar[str | None] = "centre_finished"

    family: Literal["turned frame"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Turned frames across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Turned frames down")
    centre_finished: Length = Field(default=6.0, description="Finished side of the centre")
    centre: Literal["plain", "square in a square"] = Field(
        default="square in a square", description="One square, or a square on point in four triangles"
    )
    panel_finished: Length = Field(default=6.0, description="Finished width of a panel")
    panels: Literal["plain", "braid"] = Field(default="plain", description="One strip each, or a braid each")
    direction: Literal["counter-clockwise", "clockwise"] = Field(
        default="counter-clockwise", description="Direction of the panels around the centre"
    )
    corners: Literal["none", "triangles"] = Field(
        default="none", description="Set square, or on point in four corner triangles"
    )
    strip_cut: Length = Field(default=2.5, description="Cut width of the strips of a braid")
    blades: Literal["angled", "rectangles"] = Field(
        default="angled", description="Cut with an angled end in mirror pairs, or as rectangles and then trimmed"
    )
    start: Literal["square", "triangle", "open"] = Field(default="triangle", description="How a braid starts")
    accents: Literal["none", "left", "right", "both"] = Field(
        default="none", description="Blades with an accent square at the inner end"
    )
    accent_by: Literal["taken out", "added"] = Field(
        default="taken out",
        description="Blades with an accent are shorter by it, or like all others and the square is sewn to their end",
    )
    centre_slot: Slot = Field(default="centre", description="Slot of the centre")
    ground_slot: Slot = Field(default="ground", description="Slot of the triangles around the centre")
    panel_slot: Slot = Field(default="panel", description="Slot of plain panels")
    blade_slot: Slot = Field(default="blade", description="Slot of the blades")
    accent_slot: Slot = Field(default="accent", description="Slot of the accent squares")
    start_slot: Slot = Field(default="start", description="Slot of the starting patches")
    corner_slot: Slot = Field(default="corner", description="Slot of the corner triangles")

    @property
    def side(self) -> float:
        """Finished side of the frame, inches."""
        return self.centre_finished + 2 * self.panel_finished

    def make_block(self, allowance: float) -> Block:
        """Return one turned frame, with its corner triangles; each panel is one part, and the centre another."""
        self._check_room(allowance)
        panel = self._panel(allowance)
        centre = Within("wheel"), Within("centre")
        shapes = [replace(shape, key=f"centre-{shape.key}", group=centre) for shape in self._centre()]
        trims = []
        for k in range(4):
            group = (Within("wheel"), Within("panel", f"{k + 1}"))
            shapes += [
                replace(
                    shape,
                    key=f"panel{k + 1}-{shape.key}",
                    outline=self._place(shape.outline, k),
                    sewn=self._place(shape.sewn, k) if shape.sewn else None,
                    grain=(shape.grain + 90 * k) % 360,
                    group=group,
                )
                for shape in panel
            ]
            if self.panels == "braid":
                trims.append(Trim(group, self._place(make_rectangle(0, 0, self.panel_finished, self._length), k)))
        block = Block(self.side, self.side, tuple(shapes), trims=tuple(trims))
        return block if self.corners == "none" else self._set_on_point(block)

    @property
    def _length(self) -> float:
        return self.centre_finished + self.panel_finished

    def _panel(self, allowance: float) -> tuple[BlockPatch, ...]:
        """Return one panel, upright, its lower left corner at (0, 0)."""
        if self.panels == "plain":
            outline = make_rectangle(0, 0, self.panel_finished, self._length)
            return (BlockPatch("strip", outline, self.panel_slot, "panel"),)
        braid = Braid(family="braid", columns=1).model_copy(
            update={
                "strip_cut": self.strip_cut,
                "column_finished": self.panel_finished,
                "length_finished": self._length,
                "blades": self.blades,
                "start": self.start,
                "accents": self.accents,
                "accent_by": self.accent_by,
                "blade_slot": self.blade_slot,
                "accent_slot": self.accent_slot,
                "start_slot": self.start_slot,
            }
        )
        return braid.make_block(allowance).shapes

    def _place(self, outline: Outline, k: int) -> Outline:
        """Move the upright panel's outline to the place of the k-th panel: at the left, then by quarter turns."""
        low = self.panel_finished if self.direction == "counter-clockwise" else 0.0
        middle = (self.side / 2, self.side / 2)
        return turn_outline(move_outline(outline, 0.0, low), 90 * k, about=middle)

    def _centre(self) -> list[BlockPatch]:
        """Return the centre, in its place in the frame."""
        c, low = self.centre_finished, self.panel_finished
        if self.centre == "plain":
            return [BlockPatch("square", make_rectangle(low, low, c, c), self.centre_slot, "centre")]
        corners = make_rectangle(low, low, c, c)
        h = c / 2
        middles = [(low + h, low), (low + c, low + h), (low + h, low + c), (low, low + h)]
        shapes = [BlockPatch("square", tuple(middles), self.centre_slot, "centre", 45.0)]
        for k in range(4):
            triangle = (corners[k], middles[k], middles[k - 1])
            shapes.append(BlockPatch(f"triangle{k + 1}", triangle, self.ground_slot, "triangle"))
        return shapes

    def _set_on_point(self, block: Block) -> Block:
        """Turn the frame by 45° into a square with four corner triangles, the straight grain outside."""
        wide = self.side * ROOT2
        turned = block.turn(45)
        rest = (wide - self.side) / 2
        shapes = [
            replace(
                shape,
                outline=move_outline(shape.outline, rest, rest),
                sewn=move_outline(shape.sewn, rest, rest) if shape.sewn else None,
            )
            for shape in turned.shapes
        ]
        trims = tuple(Trim(trim.group, move_outline(trim.outline, rest, rest)) for trim in turned.trims)
        corners = make_rectangle(0, 0, wide, wide)
        middles = ((wide / 2, 0.0), (wide, wide / 2), (wide / 2, wide), (0.0, wide / 2))
        shapes += [
            BlockPatch(f"corner-{k + 1}", (corners[k], middles[k], middles[k - 1]), self.corner_slot, "corner")
            for k in range(4)
        ]
        return Block(wide, wide, tuple(shapes), trims=trims)

    def _check_room(self, allowance: float) -> None:
        halves = 1 if self.centre == "plain" else 2
        needs = (
            ("panel_finished", self.panel_finished, 2 * allowance),
            ("centre_finished", self.centre_finished, 2 * allowance * halves),
        )
        for key, found, need in needs:
            if found < need - 1e-9:
                raise refuse_keys(
                    f"`design.{key}` is {write_length(found)}",
                    f"at least {write_length(need)}, or its shortest edge cannot be sewn",
                    "widen it or narrow the allowance",
                )
