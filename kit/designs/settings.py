"""Settings: the tables of a study file that say how blocks are put together, and the frame round them."""

from typing import Literal

from pydantic import Field

from kit.designs.keys import Keys, Length, Shift, Slot


class Sashing(Keys):
    """Strips between the blocks."""

    finished: Length = Field(description="Finished width of the sashing")
    outer: bool = Field(default=False, description="Also round the outside")
    cornerstones: bool = Field(default=False, description="A square where two sashes cross")
    slot: Slot = Field(default="sashing", description="Slot of the sashing")
    cornerstone_slot: Slot = Field(default="cornerstone", description="Slot of the cornerstones")


class Border(Keys):
    """A frame: two sides and two ends, butted, mitred, or with squares at the corners."""

    finished: Length = Field(description="Finished width of the border")
    slot: Slot = Field(default="border", description="Slot of the border")
    first: Literal["sides", "ends"] = Field(
        default="sides", description="Which two strips of a butted border are sewn first"
    )
    corners: Literal["butted", "mitred", "cornerstones"] = Field(
        default="butted", description="One strip across the other, both cut at 45°, or a square at each corner"
    )
    cornerstone_slot: Slot = Field(default="cornerstone", description="Slot of the squares at the corners")


class Alternate(Keys):
    """Plain patches instead of every other block; on point, those between the lines of blocks."""

    slot: Slot = Field(default="plain", description="Slot of the plain patches")
    first: Literal["block", "plain"] = Field(default="block", description="What lies at the upper left")


class OnPoint(Keys):
    """Blocks on their points, with triangles at the sides and corners.

    The points keep `float_finished` from the finished edge. The triangles of a diagonal row are cut further out by
    `oversize`, and the row is trimmed when it is sewn; the two corner triangles that close the top are cut to size.
    """

    float_finished: Length | None = Field(default=None, description="Finished distance of the points from the edge")
    oversize: Length | None = Field(
        default=None, description="Distance that the triangles are cut further out, trimmed later"
    )
    side_slot: Slot = Field(default="setting", description="Slot of the side triangles")
    corner_slot: Slot = Field(default="setting", description="Slot of the corner triangles")
    side_cut: Literal["quarter-square", "half-square"] = Field(
        default="quarter-square", description="Squares cut twice keep the straight grain outside, cut once the bias"
    )
    corner_cut: Literal["half-square", "quarter-square"] = Field(
        default="half-square", description="Squares cut once keep the straight grain outside, cut twice the bias"
    )


class Offset(Keys):
    """Rows that begin with a part of a block and end with the rest of it."""

    shifts: tuple[Shift, ...] = Field(
        min_length=1,
        description='Finished width of the part that begins each row, repeated; "whole" for a row of whole blocks',
    )
    slot: Slot = Field(default="filler", description="Slot of the parts")
