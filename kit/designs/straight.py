"""Straight settings: blocks in rows and columns, with sashing between them, or in rows that are shifted."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from kit.designs.blocks import Block, BlockLayout, Place
from kit.designs.keys import refuse_keys
from kit.designs.settings import Alternate, Offset, Sashing
from kit.geometry.outlines import TOLERANCE, make_rectangle
from kit.lengths import write_length
from kit.model.patchwork import Patch


@dataclass(frozen=True)
class Grid:
    """The parts of a straight setting: counts of columns and rows, the block, the sashing and the plain patches."""

    columns: int
    rows: int
    block: Block
    sashing: Sashing | None = None
    alternate: Alternate | None = None
    offset: Offset | None = None

    @property
    def sash(self) -> float:
        """Finished width of the sashing, inches."""
        return self.sashing.finished if self.sashing else 0.0

    @property
    def edge(self) -> float:
        """Width of the sashing around the outside, inches."""
        return self.sash if self.sashing and self.sashing.outer else 0.0

    @property
    def width(self) -> float:
        """Finished width of the blocks with their sashing."""
        return self.columns * (self.block.width + self.sash) - self.sash + 2 * self.edge

    @property
    def height(self) -> float:
        """Finished height of the blocks with their sashing."""
        return self.rows * (self.block.height + self.sash) - self.sash + 2 * self.edge

    def row_bottom(self, row: int) -> float:
        """Return the lower edge of the blocks of a row, counted from zero at the top."""
        return self.height - self.edge - row * (self.block.height + self.sash) - self.block.height


def lay_straight(grid: Grid, allowance: float) -> BlockLayout:
    """Lay blocks out in rows and columns.

    A shifted row begins with a part of a block's width and ends with the rest of it, less one sash where there is
    sashing, so that every row is equally long.

    Raises
    ------
    PatchworkError
        Shifts that leave a part too narrow to sew, or cornerstones between rows whose seams do not meet.
    """
    width, height = measure_straight(grid, allowance)
    places = tuple(_find_places(grid))
    fillers = [*_lay_parts(grid), *_lay_upright_sashes(grid), *_lay_level_sashes(grid)]
    return BlockLayout(width, height, places, tuple(fillers))


def measure_straight(grid: Grid, allowance: float) -> tuple[float, float]:
    """Check that the keys go together, and return the finished width and height of the blocks."""
    if grid.offset is not None:
        _check_shifts(grid, grid.offset, allowance)
    return grid.width, grid.height


def _shift(grid: Grid, row: int) -> float:
    """Return the width of the first part of a row, zero for a row of whole blocks."""
    return grid.offset.shifts[row % len(grid.offset.shifts)] if grid.offset else 0.0


def _find_starts(grid: Grid, row: int) -> list[float]:
    """Return the left edge of each whole block of a row."""
    shift = _shift(grid, row)
    first = grid.edge + (shift + grid.sash if shift else 0.0)
    return [first + i * (grid.block.width + grid.sash) for i in range(grid.columns - (1 if shift else 0))]


def _find_places(grid: Grid) -> Iterator[Place]:
    for row in range(grid.rows):
        for column, x in enumerate(_find_starts(grid, row)):
            plain = grid.alternate is not None and (row + column) % 2 == (grid.alternate.first == "block")
            yield Place(row + 1, column + 1, x, grid.row_bottom(row), plain=plain)


def _lay_parts(grid: Grid) -> Iterator[Patch]:
    """Yield the two parts of each shifted row."""
    if grid.offset is None:
        return
    high, right = grid.block.height, grid.width - grid.edge
    for row in range(grid.rows):
        shift = _shift(grid, row)
        if shift:
            rest, y = grid.block.width - grid.sash - shift, grid.row_bottom(row)
            yield Patch(f"part{row + 1:02d}-a", make_rectangle(grid.edge, y, shift, high), grid.offset.slot, "part")
            yield Patch(f"part{row + 1:02d}-b", make_rectangle(right - rest, y, rest, high), grid.offset.slot, "part")


def _lay_upright_sashes(grid: Grid) -> Iterator[Patch]:
    """Yield the sashes between neighbours in a row, and at its two ends where there is sashing outside."""
    if grid.sashing is None:
        return
    sash, wide = grid.sash, grid.block.width
    for row in range(grid.rows):
        y = grid.row_bottom(row)
        starts = _find_starts(grid, row)
        inner = [a + wide for a, _ in pairwise(starts)]
        if _shift(grid, row):
            first = grid.edge + _shift(grid, row)
            inner = [first, *inner, starts[-1] + wide] if starts else [first]
        lefts = [0.0, *inner, grid.width - sash] if grid.sashing.outer else inner
        for i, x in enumerate(lefts, start=0 if grid.sashing.outer else 1):
            yield Patch(
                f"sash-v{row + 1:02d}-{i:02d}", make_rectangle(x, y, sash, grid.block.height), grid.sashing.slot, "sash"
            )


def _lay_level_sashes(grid: Grid) -> Iterator[Patch]:
    """Yield the sashes between rows, whole or cut up by cornerstones."""
    if grid.sashing is None:
        return
    sash, across, outer = grid.sash, grid.block.width + grid.sash, grid.sashing.outer
    uprights = range(0 if outer else 1, grid.columns + 1 if outer else grid.columns)
    for j in range(0 if outer else 1, grid.rows + 1 if outer else grid.rows):
        y = grid.height - grid.edge - j * (grid.block.height + sash)
        if not grid.sashing.cornerstones:
            yield Patch(f"sash-h{j:02d}", make_rectangle(0, y, grid.width, sash), grid.sashing.slot, "sash")
            continue
        for i in range(grid.columns):
            outline = make_rectangle(grid.edge + i * across, y, grid.block.width, sash)
            yield Patch(f"sash-h{j:02d}-{i + 1:02d}", outline, grid.sashing.slot, "sash")
        for i in uprights:
            outline = make_rectangle(grid.edge + i * across - sash, y, sash, sash)
            yield Patch(f"stone-{j:02d}-{i:02d}", outline, grid.sashing.cornerstone_slot, "cornerstone")


def _check_shifts(grid: Grid, offset: Offset, allowance: float) -> None:
    if grid.sashing and grid.sashing.cornerstones and any(offset.shifts):
        raise refuse_keys(
            "`design.sashing.cornerstones` with shifted rows: the upright sashes of the rows do not meet",
            "rows whose sashes cross",
            "set cornerstones = false, or leave the rows unshifted",
        )
    room = grid.block.width - grid.sash
    for shift in offset.shifts:
        if shift and min(shift, room - shift) < 2 * allowance - TOLERANCE:
            raise refuse_keys(
                f"`design.offset.shifts` holds {write_length(shift)} and leaves {write_length(max(room - shift, 0))}"
                if room - shift > TOLERANCE
                else f"`design.offset.shifts` holds {write_length(shift)} and leaves nothing",
                f"two parts of at least two allowances ({write_length(2 * allowance)}) that are {write_length(room)}"
                " together",
                "correct that shift",
            )
