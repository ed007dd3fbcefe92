"""Columns between upright bars: blocks stacked straight, dropped or on point, with strips between the columns."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kit.designs.blocks import Block, BlockLayout, Place
from kit.designs.keys import refuse_keys
from kit.designs.on_point import Lattice, lay_on_point, measure_on_point
from kit.designs.settings import Alternate, Bars, OnPoint
from kit.geometry.outlines import TOLERANCE, make_rectangle, move_outline
from kit.lengths import write_length
from kit.model.patchwork import Patch, Trim, Within


@dataclass(frozen=True)
class Stack:
    """The parts of a setting in columns: counts of columns and rows, the block, the bars, the wishes."""

    columns: int
    rows: int
    block: Block
    bars: Bars
    alternate: Alternate | None = None
    point: OnPoint | None = None

    @property
    def edge(self) -> float:
        """Finished width of the bar at the left and at the right, inches."""
        return self.bars.finished if self.bars.outer else 0.0

    def left(self, column: int, wide: float) -> float:
        """Return the left edge of a column, counted from zero."""
        return self.edge + column * (wide + self.bars.finished)


def lay_bars(stack: Stack, allowance: float) -> BlockLayout:
    """Lay blocks out in columns with bars between.

    A dropped column begins, from the top, with a part of a block's height and ends with the rest of it.

    Raises
    ------
    PatchworkError
        Drops on point, drops that leave a part too low to sew, or a block that is not square on point.
    """
    width, high = measure_bars(stack, allowance)
    if stack.point is None:
        places, parts = tuple(_find_places(stack)), tuple(_lay_parts(stack))
        wide, trims = stack.block.width, tuple[Trim, ...]()
    else:
        one = lay_on_point(_make_column(stack, stack.point))
        wide = one.width
        columns = [_move_column(one, k, stack.left(k, wide)) for k in range(stack.columns)]
        places = tuple(place for column in columns for place in column.places)
        parts = tuple(patch for column in columns for patch in column.fillers)
        trims = tuple(trim for column in columns for trim in column.trims)
    return BlockLayout(width, high, places, (*parts, *_lay_strips(stack, wide, high)), trims)


def measure_bars(stack: Stack, allowance: float) -> tuple[float, float]:
    """Check that the keys go together, and return the finished width and height of columns and bars."""
    if stack.point is None:
        _check_drops(stack, allowance)
        wide, high = stack.block.width, stack.rows * stack.block.height
    else:
        if any(stack.bars.drops):
            raise refuse_keys(
                "`design.bars.drops` beside `design.on_point`: parts of blocks on point are not rectangles",
                "one of the two",
                "leave out the drops or [design.on_point]",
            )
        wide, high = measure_on_point(_make_column(stack, stack.point))
    return stack.left(stack.columns - 1, wide) + wide + stack.edge, high


def _make_column(stack: Stack, point: OnPoint) -> Lattice:
    return Lattice(1, stack.rows, stack.block, point, None, stack.alternate)


def _drop(stack: Stack, column: int) -> float:
    return stack.bars.drops[column % len(stack.bars.drops)]


def _find_places(stack: Stack) -> Iterator[Place]:
    """Yield the blocks, column by column from the top."""
    high = stack.block.height
    for column in range(stack.columns):
        drop = _drop(stack, column)
        x, group = stack.left(column, stack.block.width), (Within("column", f"{column + 1}"),)
        for row in range(stack.rows - (1 if drop else 0)):
            plain = stack.alternate is not None and (row + column) % 2 == (stack.alternate.first == "block")
            y = (stack.rows - 1 - row) * high - drop
            yield Place(row + 1, column + 1, x, y, group=group, plain=plain)


def _lay_parts(stack: Stack) -> Iterator[Patch]:
    """Yield the two parts of each dropped column."""
    wide, high, total = stack.block.width, stack.block.height, stack.rows * stack.block.height
    for column in range(stack.columns):
        drop, x, group = _drop(stack, column), stack.left(column, wide), (Within("column", f"{column + 1}"),)
        if drop:
            top, foot = make_rectangle(x, total - drop, wide, drop), make_rectangle(x, 0.0, wide, high - drop)
            yield Patch(f"part{column + 1:02d}-a", top, stack.bars.drop_slot, "part", group)
            yield Patch(f"part{column + 1:02d}-b", foot, stack.bars.drop_slot, "part", group)


def _lay_strips(stack: Stack, wide: float, high: float) -> Iterator[Patch]:
    """Yield the bars from the left."""
    w, outer = stack.bars.finished, stack.bars.outer
    for n in range(0 if outer else 1, stack.columns + (1 if outer else 0)):
        outline = make_rectangle(stack.left(n, wide) - w, 0.0, w, high)
        yield Patch(f"bar{n:02d}", outline, stack.bars.slot, "bar", grain=90.0)


def _move_column(one: BlockLayout, column: int, x: float) -> BlockLayout:
    """Return a column's layout in its place, its parts named after it."""
    group, short = (Within("column", f"{column + 1}"),), f"c{column + 1:02d}-"
    places = tuple(replace(p, column=column + 1, x=p.x + x, group=group + p.group) for p in one.places)
    fillers = tuple(
        replace(
            patch,
            id=short + patch.id,
            outline=move_outline(patch.outline, x, 0.0),
            group=group + patch.group,
            sewn=move_outline(patch.sewn, x, 0.0) if patch.sewn else None,
        )
        for patch in one.fillers
    )
    trims = tuple(Trim(group + trim.group, move_outline(trim.outline, x, 0.0)) for trim in one.trims)
    return BlockLayout(one.width, one.height, places, fillers, trims)


def _check_drops(stack: Stack, allowance: float) -> None:
    high = stack.block.height
    for drop in stack.bars.drops:
        if drop and min(drop, high - drop) < 2 * allowance - TOLERANCE:
            rest = write_length(high - drop) if high - drop > TOLERANCE else "nothing"
            raise refuse_keys(
                f"`design.bars.drops` holds {write_length(drop)}, which leaves {rest}",
                f"two parts of at least two allowances ({write_length(2 * allowance)}) that are {write_length(high)}"
                " together",
                "correct that drop",
            )
