"""Settings: the tables of a study file for the arrangement of blocks and the frames around them."""

from typing import Literal

from pydantic import Field

from kit.designs.keys import Keys, Length, Shift, Slot, UnitName, UnitText


class Sashing(Keys):
    """Strips between the blocks."""

    finished: Length = Field(description="Finished width of the sashing")
    outer: bool = Field(default=False, description="Also around the outside")
    cornerstones: bool = Field(default=False, description="A square where two sashes cross")
    slot: Slot = Field(default="sashing", description="Slot of the sashing")
    cornerstone_slot: Slot = Field(default="cornerstone", description="Slot of the cornerstones")


class Border(Keys):
    """A frame: plain strips, or units in a row with squares at the corners.

    A pieced frame fits if its units divide the sides of the rectangle inside it. If they do not, a plain spacer inside
    the frame enlarges the rectangle until they do, or the units are made a little longer or shorter.
    """

    finished: Length = Field(description="Finished width of the border")
    slot: Slot = Field(default="border", description="Slot of the border")
    first: Literal["sides", "ends"] = Field(
        default="sides", description="The two strips of a butted border that are sewn first"
    )
    corners: Literal["butted", "mitred", "cornerstones", "turned"] = Field(
        default="butted",
        description="One strip across the other, both cut at 45°, a square at each corner, or each strip over the end"
        " of the last",
    )
    cornerstone_slot: Slot = Field(default="cornerstone", description="Slot of the squares at the corners")
    pieces: Literal["plain", "squares", "half squares", "geese", "teeth", "units"] = Field(
        default="plain", description="What the frame is pieced of; teeth are geese that point outward"
    )
    sides: tuple[UnitText, ...] = Field(
        default=(),
        max_length=4,
        description='Units along the sides, "goose*5 square goose*5", their lower edges outward: one text for all, two'
        " for the ends and the sides, or four for bottom, right, top and left",
    )
    corner_unit: UnitName | None = Field(
        default=None, description="The unit at the corners, as it lies at the lower left"
    )
    unit_finished: Length | None = Field(
        default=None, description="Finished length of a unit along the frame; left out, squares are square"
    )
    piece_slots: tuple[Slot, ...] = Field(
        default=("dark", "light"), min_length=1, max_length=50, description="Slots of the pieces, repeated"
    )
    running: Literal["round", "mirrored"] = Field(
        default="round", description="All units in the same direction, or each side mirrored at its middle"
    )
    fit: Literal["exact", "spacer", "stretch"] = Field(
        default="exact",
        description="Only if units divide the sides, with a plain spacer inside, or with longer or shorter units",
    )
    spacer_least: Length | None = Field(default=None, description="Least finished width of the spacer")
    spacer_slot: Slot = Field(default="spacer", description="Slot of the spacer")


class Alternate(Keys):
    """Plain patches, or copies of a unit, instead of every other block; on point, those between the lines of blocks."""

    slot: Slot = Field(default="plain", description="Slot of the plain patches")
    unit: UnitName | None = Field(default=None, description="The unit that lies there instead of a plain patch")
    first: Literal["block", "plain"] = Field(default="block", description="What lies at the upper left")


class OnPoint(Keys):
    """Blocks on their points, with triangles at the sides and corners.

    The points float `float_finished` inside the finished edge. The triangles of a diagonal row are cut larger by
    `oversize`, and the sewn row is trimmed; the two last corner triangles are cut to size.
    """

    float_finished: Length | None = Field(default=None, description="Finished distance of the points from the edge")
    oversize: Length | None = Field(default=None, description="Extra width of the triangles at the edge, trimmed later")
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


class Bars(Keys):
    """Upright strips between columns of blocks; the columns are sewn first."""

    finished: Length = Field(description="Finished width of the bars")
    outer: bool = Field(default=True, description="Also at the left and the right")
    slot: Slot = Field(default="bar", description="Slot of the bars")
    drops: tuple[Shift, ...] = Field(
        default=(0.0,),
        min_length=1,
        max_length=2_000,
        description='Finished height of the part that begins each column, repeated; "whole" for whole blocks',
    )
    drop_slot: Slot = Field(default="filler", description="Slot of the parts")


class Quarters(Keys):
    """The layout is the upper left quarter of the whole; the borders go around the whole."""

    images: Literal["turned", "mirrored"] = Field(
        default="mirrored", description="How the first quarter gives the other three"
    )
    between_finished: Length | None = Field(
        default=None, description="Finished width of plain strips between the quarters, with a square in the middle"
    )
    between_slot: Slot = Field(default="path", description="Slot of these strips")
    middle_slot: Slot = Field(default="middle", description="Slot of the square where they meet")
