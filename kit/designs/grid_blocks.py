r"""Grid blocks: blocks of rows and columns of cells, each plain or divided, written as a small grid of words.

A word is one cell:

    a          plain
    a/b        divided from the lower left to the upper right: a at the upper left, b at the lower right
    a\b        divided from the upper left to the lower right: a at the lower left, b at the upper right
    a:b:c:d    divided both ways: a at the top, b at the right, c at the bottom, d at the left

The first slot is on the left of the stroke, in reading order. In a cell that is not square the halves are
half-rectangle triangles. In a study file a backslash is written in single quotes ('a\b') or doubled ("a\\b").
"""

from dataclasses import replace
from itertools import accumulate
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch, mirror_shapes, rename_shapes
from kit.designs.family import Family
from kit.designs.keys import Length, check_sewable, refuse_keys
from kit.geometry.outlines import Outline, move_outline, turn_outline
from kit.lengths import write_refused
from kit.model.patchwork import check_count

EXAMPLE = "write a slot (`a`), two (`a/b` or `a\\b`) or four (`a:b:c:d`), without gaps"


class GridBlocks(Family):
    """Blocks written as a grid of words: squares, half squares, quarter squares and half rectangles."""

    size_key: ClassVar[str | None] = "cell_finished"

    family: Literal["grid blocks"]
    columns: int = Field(default=4, ge=1, le=20_000, description="Blocks across")
    rows: int = Field(default=4, ge=1, le=20_000, description="Blocks down")
    pattern: tuple[str, ...] = Field(
        default=("ground/point point", "point point\\ground"),
        min_length=1,
        description="Rows of cells from the top, one word per cell: a, a/b, a\\b or a:b:c:d",
    )
    cell_finished: Length = Field(default=3.0, description="Finished width and height of a cell")
    column_widths: tuple[int, ...] = Field(
        default=(), description="How many cells wide each column is; left out, one each"
    )
    row_heights: tuple[int, ...] = Field(default=(), description="How many cells high each row is; left out, one each")
    symmetry: Literal["none", "turned", "mirrored"] = Field(
        default="none",
        description="The pattern is the whole block, or its upper left quarter, turned or mirrored into the others",
    )

    def make_block(self, allowance: float) -> Block:
        """Return one block; if the pattern is a quarter, the other three quarters are its images."""
        grid = [row.split() for row in self.pattern]
        quarters = 1 if self.symmetry == "none" else 4
        check_count(quarters * sum(len(row) for row in grid))
        self._check_rows(grid)
        across = self._sizes("column_widths", self.column_widths, len(grid[0]))
        down = self._sizes("row_heights", self.row_heights, len(grid))
        check_sewable(allowance, cell_finished=self.cell_finished * min(*across, *down))
        lefts = [0.0, *accumulate(n * self.cell_finished for n in across)]
        depths = [0.0, *accumulate(n * self.cell_finished for n in down)]
        width, height = lefts[-1], depths[-1]
        shapes = []
        for i, row in enumerate(grid):
            for j, word in enumerate(row):
                box = (lefts[j], height - depths[i + 1], lefts[j + 1], height - depths[i])
                shapes += self._divide(f"{i + 1:02d}{j + 1:02d}", word, box)
        return self._complete(Block(width, height, tuple(shapes)))

    def _check_rows(self, grid: list[list[str]]) -> None:
        counts = [len(row) for row in grid]
        if not counts[0] or len(set(counts)) > 1:
            raise refuse_keys(
                f"`design.pattern` has rows of {', '.join(map(str, counts))} cells",
                "the same number in each row, at least one",
                "even them",
            )

    def _sizes(self, key: str, counts: tuple[int, ...], lines: int) -> tuple[int, ...]:
        """Return the width of each column in cells, or the height of each row."""
        if not counts:
            return (1,) * lines
        if len(counts) != lines or min(counts) < 1 or max(counts) > 100:
            raise refuse_keys(
                f"`design.{key}` is [{', '.join(map(str, counts[:20]))}] for a pattern of {lines}",
                f"{lines} whole numbers from 1 to 100",
                "correct the list or leave it out",
            )
        return counts

    def _divide(self, key: str, word: str, box: tuple[float, float, float, float]) -> list[BlockPatch]:
        """Return the patches of a cell."""
        left, bottom, right, top = box
        a, b, c, d = (left, bottom), (right, bottom), (right, top), (left, top)
        middle = ((left + right) / 2, (bottom + top) / 2)
        parts: list[Outline]
        if ":" in word:
            slots, parts, name = (
                word.split(":"),
                [(d, middle, c), (c, middle, b), (b, middle, a), (a, middle, d)],
                "quarter",
            )
        elif "/" in word:
            slots, parts, name = word.split("/"), [(a, c, d), (a, b, c)], "half"
        elif "\\" in word:
            slots, parts, name = word.split("\\"), [(a, b, d), (b, c, d)], "half"
        else:
            slots, parts, name = [word], [(a, b, c, d)], "square"
        odd = [slot for slot in slots if not slot or len(slot) > 60 or any(mark in slot for mark in "/\\:")]
        if len(slots) != len(parts) or odd:
            raise refuse_keys(
                f"`design.pattern` holds the word `{word}`", "a plain, a halved or a quartered cell", EXAMPLE
            )
        return [
            BlockPatch(f"{key}{'abcd'[n] if len(slots) > 1 else ''}", part, slot, name)
            for n, (slot, part) in enumerate(zip(slots, parts, strict=True))
        ]

    def _complete(self, block: Block) -> Block:
        """Return the whole block; the given block is its upper left quarter unless the pattern is the whole."""
        if self.symmetry == "none":
            return block
        w, h = block.width, block.height
        if self.symmetry == "turned" and abs(w - h) > 1e-9:
            raise refuse_keys(
                f'`design.symmetry` is "turned" for a quarter that finishes {write_refused(w, h)}',
                "a quarter as wide as high",
                'write a square quarter, or use "mirrored"',
            )
        first = [_move(shape, 0.0, h) for shape in block.shapes]
        if self.symmetry == "mirrored":
            second = mirror_shapes(first, w)
            quarters = [first, second, _turn(second, 180, (w, h)), _turn(first, 180, (w, h))]
        else:
            quarters = [_turn(first, angle, (w, h)) for angle in (0, 270, 90, 180)]
        named = zip(("A", "B", "C", "D"), quarters, strict=True)
        return Block(2 * w, 2 * h, tuple(shape for letter, found in named for shape in rename_shapes(found, letter)))


def _move(shape: BlockPatch, dx: float, dy: float) -> BlockPatch:
    return replace(shape, outline=move_outline(shape.outline, dx, dy))


def _turn(shapes: list[BlockPatch], angle: float, about: tuple[float, float]) -> list[BlockPatch]:
    return [
        replace(s, outline=turn_outline(s.outline, angle, about=about), grain=(s.grain + angle) % 360) for s in shapes
    ]
