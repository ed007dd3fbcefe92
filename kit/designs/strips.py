"""Strip quilts: rail fences, nine-patch-like grids and any other rows of strips, with quarter turns."""

from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Turns, refuse_keys
from kit.geometry.outlines import make_rectangle
from kit.lengths import write_length, write_refused
from kit.model.patchwork import check_count


class Strips(Family):
    """Blocks of rows of strips; one row of strips is a rail fence, three by three a nine-patch."""

    size_key: ClassVar[str | None] = "strip_cut"

    family: Literal["strips"]
    columns: int = Field(default=4, ge=1, le=20_000, description="Blocks across")
    rows: int = Field(default=4, ge=1, le=20_000, description="Blocks down")
    turns: Turns = Field(default=("0 90", "90 0"), description="Quarter turns of the blocks, repeated")
    strip_cut: Length = Field(default=2.5, description="Cut width of the strips")
    pattern: tuple[str, ...] = Field(
        default=("dark medium light",),
        min_length=1,
        description="Rows of slots, from the top: one row of a rail fence, three of a nine-patch",
    )
    row_cut: Length | None = Field(
        default=None,
        description="Cut height of a row; left out, one row makes the block square, several have squares",
    )

    def make_block(self, allowance: float) -> Block:
        """Return one block: every row of strips has the same number of slots."""
        grid = [row.split() for row in self.pattern]
        count = len(grid[0])
        check_count(sum(len(row) for row in grid))
        if not count or any(len(row) != count for row in grid):
            counts = ", ".join(str(len(row)) for row in grid)
            raise refuse_keys(
                f"`design.pattern` has rows of {counts} slots", "the same number in each row, at least one", "even them"
            )
        width, height = self._sizes(allowance, count, len(grid))
        shapes = [
            BlockPatch(
                f"s{i + 1:02d}{j + 1:02d}",
                make_rectangle(j * width, (len(grid) - 1 - i) * height, width, height),
                slot,
                "strip" if len(grid) == 1 else "patch",
            )
            for i, row in enumerate(grid)
            for j, slot in enumerate(row)
        ]
        return Block(count * width, len(grid) * height, tuple(shapes))

    def _sizes(self, allowance: float, count: int, rows: int) -> tuple[float, float]:
        """Return the finished width and height of one strip of the block."""
        width = self.strip_cut - 2 * allowance
        if self.row_cut is not None:
            height = self.row_cut - 2 * allowance
        else:
            height = count * width if rows == 1 else width
        for key, value in (("strip_cut", width), ("row_cut", height)):
            if value < 2 * allowance - 1e-9:
                raise refuse_keys(
                    f"`design.{key}` leaves {write_refused(value)} between two allowances of {write_length(allowance)}",
                    f"a strip cut at least {write_length(4 * allowance)} wide",
                    "widen the strips or narrow the allowance",
                )
        return width, height
