"""What every family shares: blocks in rows and columns, sashing with cornerstones, butted borders."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from kit.designs.keys import Length, Slot, Turns, refuse
from kit.geometry.outlines import TOLERANCE, Outline, make_rectangle, move_outline, turn_outline
from kit.model.patchwork import Patch, Patchwork, Trim, check_count


@dataclass(frozen=True, slots=True)
class Shape:
    """A patch of a block, in the block's own place: lower left corner at (0, 0)."""

    key: str
    outline: Outline
    slot: str
    name: str
    grain: float = 0.0
    sewn: Outline | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """Shapes that tile a rectangle; `trimmed` when it is sewn larger and then cut straight."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    trimmed: bool = False


class Keys(BaseModel):
    """Keys of a study file: frozen, unknown ones refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Sashing(Keys):
    """Strips between the blocks."""

    finished: Length = Field(description="Finished width of the sashing")
    outer: bool = Field(default=False, description="Also round the outside")
    cornerstones: bool = Field(default=False, description="A square where two sashes cross")
    slot: Slot = Field(default="sashing", description="Slot of the sashing")
    cornerstone_slot: Slot = Field(default="cornerstone", description="Slot of the cornerstones")


class Border(Keys):
    """A butted frame: two sides, then the two ends across them."""

    finished: Length = Field(description="Finished width of the border")
    slot: Slot = Field(default="border", description="Slot of the border")
    first: Literal["sides", "ends"] = Field(default="sides", description="Which two strips are sewn first")


class Family(Keys):
    """A family of designs; each subclass makes one kind of block and says what its keys mean."""

    family: str
    columns: int = Field(default=3, ge=1, le=20_000, description="Columns across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Rows down")
    turns: Turns = Field(default=("0",), description="Quarter turns of the blocks, repeated")
    sashing: Sashing | None = Field(default=None, description="Sashing between the blocks")
    border: tuple[Border, ...] = Field(default=(), description="Borders, the innermost first")

    def make_block(self, allowance: float) -> Block:
        """Return the block of the family.

        Parameters
        ----------
        allowance
            Seam allowance in inches; strips are given by their cut width.

        Raises
        ------
        PatchworkError
            When the keys leave no room for a patch; the message names the keys.
        """
        raise TypeError(f"{type(self).__name__} makes no block of {allowance}")

    def name_block(self, row: int, column: int) -> tuple[str, str]:
        """Return the short id and the name of the part at this row and column, both from 1."""
        return f"r{row:02d}c{column:02d}", f"block {row}-{column}"

    def patchwork(self, allowance: float = 0.25) -> Patchwork:
        """Set the blocks out, with sashing and borders.

        Raises
        ------
        PatchworkError
            Keys that contradict one another, or more patches than the limit; refused before anything large is built.
        """
        block = self.make_block(allowance)
        sashes = 4 if self.sashing else 0
        check_count(self.rows * self.columns * (len(block.shapes) + sashes))
        self._check_turns(block)
        patches, trims = [], []
        for row, column, x, y in self._places(block):
            found, trim = self._place(block, row, column, x, y)
            patches.extend(found)
            trims.extend(trim)
        patches.extend(self._sashes(block))
        patches.extend(self._borders(block))
        return Patchwork(tuple(patches), allowance, tuple(trims))

    def _steps(self, block: Block) -> tuple[float, float, float]:
        """Return sashing width, and the width of a block and of a row with its sash."""
        sash = self.sashing.finished if self.sashing else 0.0
        return sash, block.width + sash, block.height + sash

    def _inner_size(self, block: Block) -> tuple[float, float]:
        sash, across, down = self._steps(block)
        rest = sash if self.sashing and self.sashing.outer else -sash
        return self.columns * across + rest, self.rows * down + rest

    def _places(self, block: Block) -> Iterator[tuple[int, int, float, float]]:
        """Yield row and column from 1, top row first, with the block's lower left corner."""
        sash, across, down = self._steps(block)
        edge = sash if self.sashing and self.sashing.outer else 0.0
        top = self._inner_size(block)[1] - edge
        for row in range(self.rows):
            for column in range(self.columns):
                yield row + 1, column + 1, edge + column * across, top - row * down - block.height

    def _check_turns(self, block: Block) -> None:
        quarter = any(word in ("90", "270") for row in self.turns for word in row.split())
        if quarter and abs(block.width - block.height) > TOLERANCE:
            raise refuse(
                f"`turns` asks for quarter turns of a block that finishes {block.width:g} x {block.height:g} in",
                "a square block",
                "use only 0 and 180, or make the block square",
            )

    def _turn(self, row: int, column: int) -> int:
        words = self.turns[(row - 1) % len(self.turns)].split()
        return int(words[(column - 1) % len(words)])

    def _place(self, block: Block, row: int, column: int, x: float, y: float) -> tuple[list[Patch], list[Trim]]:
        """Return the patches of one block at its place, turned as the study says."""
        short, name = self.name_block(row, column)
        turn = self._turn(row, column)
        middle = (block.width / 2, block.height / 2)

        def put(outline: Outline) -> Outline:
            turned = turn_outline(outline, turn, about=middle) if turn else outline
            return move_outline(turned, x, y)

        group = (name,)
        patches = [
            Patch(
                f"{short}-{shape.key}",
                put(shape.outline),
                shape.slot,
                shape.name,
                group,
                (shape.grain + turn) % 360,
                put(shape.sewn) if shape.sewn else None,
            )
            for shape in block.shapes
        ]
        trims = [Trim(group, put(make_rectangle(0, 0, block.width, block.height)))] if block.trimmed else []
        return patches, trims

    def _sashes(self, block: Block) -> Iterator[Patch]:
        """Yield the upright sashes of each row, then the level ones with their cornerstones."""
        if self.sashing is None:
            return
        sash, across, down = self._steps(block)
        outer = self.sashing.outer
        edge = sash if outer else 0.0
        total, top = self._inner_size(block)
        uprights = range(0 if outer else 1, self.columns + 1 if outer else self.columns)
        levels = range(0 if outer else 1, self.rows + 1 if outer else self.rows)
        for row in range(self.rows):
            y = top - edge - row * down - block.height
            for i in uprights:
                outline = make_rectangle(edge + i * across - sash, y, sash, block.height)
                yield Patch(f"sash-v{row + 1:02d}-{i:02d}", outline, self.sashing.slot, "sash")
        for j in levels:
            y = top - edge - j * down
            if not self.sashing.cornerstones:
                outline = make_rectangle(0, y, total, sash)
                yield Patch(f"sash-h{j:02d}", outline, self.sashing.slot, "sash")
                continue
            for i in range(self.columns):
                outline = make_rectangle(edge + i * across, y, block.width, sash)
                yield Patch(f"sash-h{j:02d}-{i + 1:02d}", outline, self.sashing.slot, "sash")
            for i in uprights:
                outline = make_rectangle(edge + i * across - sash, y, sash, sash)
                slot = self.sashing.cornerstone_slot
                yield Patch(f"stone-{j:02d}-{i:02d}", outline, slot, "cornerstone")

    def _borders(self, block: Block) -> Iterator[Patch]:
        width, height = self._inner_size(block)
        left, bottom = 0.0, 0.0
        for n, border in enumerate(self.border, start=1):
            w = border.finished
            sides_first = border.first == "sides"
            tall = (bottom, height) if sides_first else (bottom - w, height + 2 * w)
            wide = (left - w, width + 2 * w) if sides_first else (left, width)
            strips = {
                "left": make_rectangle(left - w, tall[0], w, tall[1]),
                "right": make_rectangle(left + width, tall[0], w, tall[1]),
                "top": make_rectangle(wide[0], bottom + height, wide[1], w),
                "bottom": make_rectangle(wide[0], bottom - w, wide[1], w),
            }
            for side, outline in strips.items():
                yield Patch(f"border{n}-{side}", outline, border.slot, "border")
            left, bottom, width, height = left - w, bottom - w, width + 2 * w, height + 2 * w

