"""Turned frames: four panels that go round a centre like the sails of a mill.

Each panel is as long as centre and panel width together. No seam runs right through a turned frame: each panel's long
seam ends on the next one. It goes together with one partial seam.
"""

from dataclasses import replace
from itertools import product
from math import sqrt
from typing import Literal

from pydantic import Field

from kit.designs.braid import Braid
from kit.designs.family import Block, Family, Shape
from kit.designs.keys import Length, Slot, refuse
from kit.geometry.outlines import Outline, make_rectangle, move_outline, turn_outline
from kit.lengths import write_length
from kit.model.patchwork import Patch, Patchwork, Trim

ROOT2 = sqrt(2.0)


class TurnedFrame(Family):
    """Panels turned round a centre; set square, or on its point between corner pieces."""

    family: Literal["turned frame"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Turned frames across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Turned frames down")
    centre_finished: Length = Field(default=6.0, description="Finished side of the centre")
    centre: Literal["plain", "square in a square"] = Field(
        default="square in a square", description="One square, or a square on its point in four triangles"
    )
    panel_finished: Length = Field(default=6.0, description="Finished width of a panel")
    panels: Literal["plain", "braid"] = Field(default="plain", description="One strip each, or a braid each")
    direction: Literal["counter-clockwise", "clockwise"] = Field(
        default="counter-clockwise", description="In which direction the panels go round"
    )
    corners: Literal["none", "triangles"] = Field(
        default="none", description="Set square, or on its point in four corner triangles"
    )
    strip_cut: Length = Field(default=2.5, description="Cut width of the strips of a braid")
    blades: Literal["angled", "rectangles"] = Field(
        default="angled", description="Cut with an angled end in mirror pairs, or as rectangles that are trimmed"
    )
    start: Literal["square", "triangle", "open"] = Field(default="triangle", description="What a braid starts from")
    accents: Literal["none", "left", "right", "both"] = Field(
        default="none", description="Blades with an accent square at the inner end"
    )
    centre_slot: Slot = Field(default="centre", description="Slot of the centre")
    ground_slot: Slot = Field(default="ground", description="Slot of the triangles round the centre")
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
        """Return one turned frame, with its corner triangles."""
        self._check_room(allowance)
        panel = self._panel(allowance)
        shapes = [Shape(f"centre-{shape.key}", *_rest(shape)) for shape in self._centre()]
        for k in range(4):
            turned = [(shape, self._place(shape.outline, k)) for shape in panel]
            shapes += [
                Shape(
                    f"panel{k + 1}-{shape.key}",
                    outline,
                    shape.slot,
                    shape.name,
                    (shape.grain + 90 * k) % 360,
                    self._place(shape.sewn, k) if shape.sewn else None,
                )
                for shape, outline in turned
            ]
        if self.corners == "none":
            return Block(self.side, self.side, tuple(shapes))
        return self._set_on_point(shapes)

    def patchwork(self, allowance: float = 0.25) -> Patchwork:
        """Set the frames out; each panel and each centre is a group, and braided panels are trimmed.

        Raises
        ------
        PatchworkError
            Keys that contradict one another, or more patches than the limit.
        """
        whole = super().patchwork(allowance)
        block = self.make_block(allowance)
        trims: list[Trim] = []
        changed: dict[str, Patch] = {}
        for row, column in product(range(1, self.rows + 1), range(1, self.columns + 1)):
            short, _ = self.name_block(row, column)
            found = [(shape, whole.by_id[f"{short}-{shape.key}"]) for shape in block.shapes]
            for shape, patch in found:
                part = shape.key.split("-", 1)[0]
                name = f"panel {part[5:]}" if part.startswith("panel") else part
                if part != "corner":
                    changed[patch.id] = replace(patch, group=(*patch.group, "wheel", name))
            if self.panels == "braid":
                trims += self._trim(*found[0])
        patches = tuple(changed.get(patch.id, patch) for patch in whole.patches)
        return Patchwork(patches, allowance, (*trims, *whole.trims))

    def _trim(self, shape: Shape, patch: Patch) -> list[Trim]:
        """Return what the panels are trimmed to, from one shape and the patch that it has become in the top."""
        (a, b), (p, q) = ([complex(x, y) for x, y in outline[:2]] for outline in (shape.outline, patch.outline))
        turn = (q - p) / (b - a)
        trims = []
        for k in range(4):
            outline = self._place(make_rectangle(0, 0, self.panel_finished, self._length), k)
            if self.corners == "triangles":
                outline = _turn_in(outline, self.side)
            moved = [p + turn * (complex(x, y) - a) for x, y in outline]
            trims.append(Trim((*patch.group, "wheel", f"panel {k + 1}"), tuple((z.real, z.imag) for z in moved)))
        return trims

    @property
    def _length(self) -> float:
        return self.centre_finished + self.panel_finished

    def _panel(self, allowance: float) -> tuple[Shape, ...]:
        """Return one panel, upright, its lower left corner at (0, 0)."""
        if self.panels == "plain":
            outline = make_rectangle(0, 0, self.panel_finished, self._length)
            return (Shape("strip", outline, self.panel_slot, "panel"),)
        braid = Braid(family="braid", columns=1).model_copy(
            update={
                "strip_cut": self.strip_cut,
                "column_finished": self.panel_finished,
                "length_finished": self._length,
                "blades": self.blades,
                "start": self.start,
                "accents": self.accents,
                "blade_slot": self.blade_slot,
                "accent_slot": self.accent_slot,
                "start_slot": self.start_slot,
            }
        )
        return braid.make_block(allowance).shapes

    def _place(self, outline: Outline, k: int) -> Outline:
        """Put the upright panel's outline where the k-th panel lies: at the left, and on by quarter turns."""
        low = self.panel_finished if self.direction == "counter-clockwise" else 0.0
        middle = (self.side / 2, self.side / 2)
        return turn_outline(move_outline(outline, 0.0, low), 90 * k, about=middle)

    def _centre(self) -> list[Shape]:
        """Return the centre, in its place in the frame."""
        c, low = self.centre_finished, self.panel_finished
        if self.centre == "plain":
            return [Shape("square", make_rectangle(low, low, c, c), self.centre_slot, "centre")]
        corners = make_rectangle(low, low, c, c)
        h = c / 2
        middles = [(low + h, low), (low + c, low + h), (low + h, low + c), (low, low + h)]
        shapes = [Shape("square", tuple(middles), self.centre_slot, "centre", 45.0)]
        for k in range(4):
            triangle = (corners[k], middles[k], middles[k - 1])
            shapes.append(Shape(f"triangle{k + 1}", triangle, self.ground_slot, "triangle"))
        return shapes

    def _set_on_point(self, shapes: list[Shape]) -> Block:
        """Turn the frame by 45° into a square with four corner triangles, the straight grain outside."""
        side = self.side
        wide = side * ROOT2
        turned = [
            replace(
                shape,
                outline=_turn_in(shape.outline, side),
                sewn=_turn_in(shape.sewn, side) if shape.sewn else None,
                grain=(shape.grain + 45) % 360,
            )
            for shape in shapes
        ]
        corners = make_rectangle(0, 0, wide, wide)
        middles = ((wide / 2, 0.0), (wide, wide / 2), (wide / 2, wide), (0.0, wide / 2))
        turned += [
            Shape(f"corner-{k + 1}", (corners[k], middles[k], middles[k - 1]), self.corner_slot, "corner")
            for k in range(4)
        ]
        return Block(wide, wide, tuple(turned))

    def _check_room(self, allowance: float) -> None:
        halves = 1 if self.centre == "plain" else 2
        needs = (
            ("panel_finished", self.panel_finished, 2 * allowance),
            ("centre_finished", self.centre_finished, 2 * allowance * halves),
        )
        for key, found, need in needs:
            if found < need - 1e-9:
                raise refuse(
                    f"`design.{key}` is {write_length(found)}",
                    f"at least {write_length(need)}, or its shortest edge cannot be sewn",
                    "widen it or narrow the allowance",
                )


def _rest(shape: Shape) -> tuple[Outline, str, str, float]:
    return shape.outline, shape.slot, shape.name, shape.grain


def _turn_in(outline: Outline, side: float) -> Outline:
    """Turn a square's content by 45° and move it into the square that then surrounds it."""
    wide = side * ROOT2
    turned = turn_outline(outline, 45, about=(side / 2, side / 2))
    return move_outline(turned, (wide - side) / 2, (wide - side) / 2)
