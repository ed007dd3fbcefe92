"""Blocks: boxes of some rectangles, joined two by two, and taken apart again."""

from collections.abc import Sequence
from random import Random
from typing import NamedTuple

from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripPattern


class JoinedBox(NamedTuple):
    """A box: one rectangle of a kind, or two blocks beside or above each other.

    Attributes
    ----------
    width, height
        Its sides.
    area
        Area of the rectangles in it; the rest of the box is waste.
    kind
        The kind of rectangle, -1 for two blocks.
    above
        Whether the second part lies above the first, else beside it.
    parts
        Two blocks, each with its width here, different from its own after a quarter turn.
    """

    width: int
    height: int
    area: int
    kind: int = -1
    above: bool = False
    parts: tuple[tuple["JoinedBox", int], ...] = ()


def make_boxes(kinds: Sequence[RectangleKind]) -> list[JoinedBox]:
    """Return one block for each rectangle."""
    return [JoinedBox(kind.width, kind.height, kind.area, i) for i, kind in enumerate(kinds) for _ in range(kind.count)]


def open_box(block: JoinedBox, random: Random, depth: float) -> list[JoinedBox]:
    """Take a block apart, and its parts again with some chance (`depth`)."""
    if not block.parts:
        return [block]
    loose: list[JoinedBox] = []
    for part, _ in block.parts:
        loose.extend(open_box(part, random, depth) if random.random() < depth else [part])
    return loose


def cut_box(block: JoinedBox) -> StripPattern:
    """Return the strip for cutting a block.

    Examples
    --------
    >>> tall, low = JoinedBox(2, 3, 6, 0), JoinedBox(3, 1, 3, 1)
    >>> cut_box(JoinedBox(3, 3, 9, -1, True, ((tall, 3), (low, 3)))).placed
    (Placed(kind=0, x=0, y=0, width=3, height=2, number=1), Placed(kind=1, x=0, y=2, width=3, height=1, number=1))
    """
    placed: list[Placed] = []
    _place(block, 0, 0, placed, turned=False)
    return StripPattern(block.height, tuple(placed))


def _place(block: JoinedBox, x: int, y: int, placed: list[Placed], *, turned: bool) -> None:
    if not block.parts:
        width, height = (block.height, block.width) if turned else (block.width, block.height)
        placed.append(Placed(block.kind, x, y, width, height))
        return
    for part, width in block.parts:
        _place(part, x, y, placed, turned=turned != (part.width != width))
        size = part.width + part.height - width if block.above else width
        if block.above != turned:
            y += size
        else:
            x += size
