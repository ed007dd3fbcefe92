"""Plain patches as units, by their sizes: the keys of each shape, and the shape."""

from dataclasses import replace
from math import radians, sin, sqrt, tan
from typing import Literal

from pydantic import Field

from kit.designs.blocks import BlockPatch
from kit.designs.keys import Keys, Length, Slot, refuse_keys
from kit.designs.units.built_unit import BuiltUnit
from kit.designs.units.edge_names import name_edges
from kit.geometry.outlines import TOLERANCE, Outline, make_rectangle, measure_box, measure_edges, move_outline
from kit.geometry.rigid_move import find_direction
from kit.lengths import write_length


class PlainPatch(Keys):
    """What every plain patch has: a slot, a name, a grain, and by how much it is sewn larger."""

    patch: str
    slot: Slot = Field(default="patch", description="Slot of the patch")
    name: Slot | None = Field(default=None, description="What the piece is called; left out, as the unit is")
    grain: Slot | None = Field(default=None, description="The edge along which its straight grain runs")
    oversize: Length | None = Field(
        default=None, description="How much further out its outer edges are sewn, to be trimmed when its unit is done"
    )

    def draw(self, name: str) -> Outline:
        """Return the outline of the patch; `name` is that of its unit, for the errors."""
        raise TypeError(f"{type(self).__name__} draws no {name}")

    def make(self, name: str, allowance: float) -> BuiltUnit:
        """Return the patch as a unit.

        Raises
        ------
        PatchworkError
            Sizes that leave an edge under two allowances, angles that do not close, an unknown edge for the grain.
        """
        outline = self.draw(name)
        left, bottom, _, _ = measure_box(outline)
        outline = move_outline(outline, -left, -bottom)
        least = min(measure_edges(outline))
        if least < 2 * allowance - TOLERANCE:
            raise refuse_keys(
                f"`{name}` has an edge of {write_length(least)}",
                f"at least two allowances ({write_length(2 * allowance)}), or it cannot be sewn",
                f"make the {self.patch} larger or narrow the allowance",
            )
        edges = name_edges(outline)
        shape = BlockPatch("", outline, self.slot, self.name or name, unit=name)
        made = BuiltUnit(name, (shape,), outline, edges, (), self.oversize or 0.0, is_patch=True)
        if self.grain is None:
            return made
        grain = round(find_direction(*made.find_edge(self.grain, f"unit.{name}.grain")) % 180, 9)
        return replace(made, shapes=(replace(shape, grain=grain),))


class SquarePatch(PlainPatch):
    """A square."""

    patch: Literal["square"]
    side_finished: Length = Field(description="Finished side")

    def draw(self, name: str) -> Outline:
        """Return the square."""
        del name
        return make_rectangle(0, 0, self.side_finished, self.side_finished)


class RectanglePatch(PlainPatch):
    """A rectangle."""

    patch: Literal["rectangle"]
    width_finished: Length = Field(description="Finished width")
    height_finished: Length = Field(description="Finished height")

    def draw(self, name: str) -> Outline:
        """Return the rectangle."""
        del name
        return make_rectangle(0, 0, self.width_finished, self.height_finished)


class RightTriangle(PlainPatch):
    """A right triangle, its right angle at the lower left: by its short edges, or half a square by its long one."""

    patch: Literal["right triangle"]
    short_1_finished: Length | None = Field(default=None, description="Finished length of short 1, upright")
    short_2_finished: Length | None = Field(default=None, description="Finished length of short 2, level")
    long_finished: Length | None = Field(default=None, description="Finished long edge of half a square")

    def draw(self, name: str) -> Outline:
        """Return the triangle."""
        given = [key for key in ("short_1_finished", "short_2_finished", "long_finished") if getattr(self, key)]
        if self.long_finished and len(given) == 1:
            leg = self.long_finished / sqrt(2)
            return (0.0, 0.0), (leg, 0.0), (0.0, leg)
        if self.short_1_finished and self.short_2_finished and not self.long_finished:
            return (0.0, 0.0), (self.short_2_finished, 0.0), (0.0, self.short_1_finished)
        raise refuse_keys(
            f"`unit.{name}` gives {' and '.join(given) or 'no length'} of its right triangle",
            "short_1_finished and short_2_finished, or long_finished alone",
            "give the two short edges, or the long edge of half a square",
        )


class Diamond(PlainPatch):
    """A diamond, one edge level, its sharp angle at the lower left."""

    patch: Literal["diamond"]
    side_finished: Length = Field(description="Finished edge")
    angle: float = Field(default=45.0, ge=5, le=90, description="Its sharp angle in degrees")

    def draw(self, name: str) -> Outline:
        """Return the diamond."""
        del name
        return _draw_slanted(self.side_finished, self.side_finished, self.angle)


class Parallelogram(PlainPatch):
    """A parallelogram, its long edge level, its sharp angle at the lower left."""

    patch: Literal["parallelogram"]
    long_finished: Length = Field(description="Finished level edge")
    height_finished: Length = Field(description="Finished height over that edge")
    angle: float = Field(default=45.0, ge=5, le=90, description="Its sharp angle in degrees")

    def draw(self, name: str) -> Outline:
        """Return the parallelogram."""
        del name
        return _draw_slanted(self.long_finished, self.height_finished / sin(radians(self.angle)), self.angle)


class SixtyTriangle(PlainPatch):
    """A triangle of equal edges, one of them level, below: by its height or by its edge."""

    patch: Literal["60° triangle"]
    height_finished: Length | None = Field(default=None, description="Finished height")
    side_finished: Length | None = Field(default=None, description="Finished edge, instead of the height")

    def draw(self, name: str) -> Outline:
        """Return the triangle."""
        if (self.height_finished is None) == (self.side_finished is None):
            both = "both" if self.side_finished else "neither"
            raise refuse_keys(
                f"`unit.{name}` gives {both} of height_finished and side_finished",
                "one of the two",
                "give the height or the edge of the triangle",
            )
        side = self.side_finished or (self.height_finished or 0.0) * 2 / sqrt(3)
        return (0.0, 0.0), (side, 0.0), (side / 2, side * sqrt(3) / 2)


class Trapezoid(PlainPatch):
    """A trapezoid, its long edge level, below."""

    patch: Literal["trapezoid"]
    long_finished: Length = Field(description="Finished long edge")
    height_finished: Length = Field(description="Finished height")
    angle: float = Field(default=45.0, ge=5, le=90, description="The angle at the left end of the long edge, degrees")
    right_angle: float | None = Field(
        default=None, ge=5, le=90, description="The angle at its right end; left out, as at the left"
    )

    def draw(self, name: str) -> Outline:
        """Return the trapezoid."""
        w, h = self.long_finished, self.height_finished
        left = h / tan(radians(self.angle)) if self.angle < 90 else 0.0
        other = self.angle if self.right_angle is None else self.right_angle
        right = h / tan(radians(other)) if other < 90 else 0.0
        if left + right > w - TOLERANCE:
            raise refuse_keys(
                f"`unit.{name}` is a trapezoid {write_length(w)} long, and its slanted ends take"
                f" {write_length(left + right)}",
                "a long edge that leaves a short one",
                "make it longer or lower, or its angles steeper",
            )
        return (0.0, 0.0), (w, 0.0), (w - right, h), (left, h)


def _draw_slanted(level: float, slanted: float, angle: float) -> Outline:
    up = slanted * sin(radians(angle))
    over = up / tan(radians(angle)) if angle < 90 else 0.0
    return (0.0, 0.0), (level, 0.0), (level + over, up), (over, up)


PATCHES: dict[str, type[PlainPatch]] = {
    "square": SquarePatch,
    "rectangle": RectanglePatch,
    "right triangle": RightTriangle,
    "diamond": Diamond,
    "parallelogram": Parallelogram,
    "60° triangle": SixtyTriangle,
    "trapezoid": Trapezoid,
}
"""The shapes of plain patches by the names that a study file gives them."""
