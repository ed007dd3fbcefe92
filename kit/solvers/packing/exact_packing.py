"""Complete search: the lowest box for a handful of blocks, by every way of cutting edge to edge."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from kit.solvers.packing.joined_boxes import JoinedBox

MOST_PAIRS = 20_000
"""The most pairs of choices of blocks in a search."""


class _Way(NamedTuple):
    """A box for some of the blocks (bits of a number): its sides, and the two boxes inside it."""

    width: int
    height: int
    above: bool = False
    first: tuple[int, int, int] = (0, 0, 0)
    second: tuple[int, int, int] = (0, 0, 0)


def lay_out_boxes(blocks: Sequence[JoinedBox], width: int, most: int, *, turn: bool) -> JoinedBox | None:
    """Return the lowest box with all blocks within a width and a greatest height, None if none was found.

    From pairs upwards keep, for each choice of blocks, the boxes without a narrower and lower rival that waste no
    more than the whole may waste.

    Parameters
    ----------
    blocks
        A handful.
    width, most
        The greatest size of the box.
    turn
        Whether blocks may make a quarter turn.

    Notes
    -----
    Up to 3^n pairs of choices for n blocks; most are dropped for their waste: about a millisecond for seven blocks.
    The search gives up after 20,000 pairs.

    Examples
    --------
    >>> tall, low = JoinedBox(3, 5, 15, 0), JoinedBox(4, 2, 8, 1)
    >>> found = lay_out_boxes([tall, low], 5, 9, turn=True)
    >>> found.width, found.height
    (5, 5)
    """
    area = [0]
    for block in blocks:
        area += [sum_of + block.area for sum_of in area]
    spare = width * most - area[-1]
    ways: dict[int, list[_Way]] = {}
    for i, block in enumerate(blocks):
        faces = [(block.width, block.height)] + [(block.height, block.width)] * turn
        ways[1 << i] = _keep_lowest([_Way(w, h) for w, h in faces if w <= width and h <= most])
    sizes: list[list[int]] = [[], list(ways)]
    pairs = 0
    for size in range(2, len(blocks) + 1):
        pairs += sum(len(sizes[part]) * len(sizes[size - part]) for part in range(1, size // 2 + 1))
        if spare < 0 or pairs > MOST_PAIRS:
            return None
        found: dict[int, list[_Way]] = {}
        for a, b in _list_pairs(sizes, size):
            found.setdefault(a | b, []).extend(_put_together(a, b, ways, (width, most, area[a | b] + spare)))
        ways |= {choice: _keep_lowest(boxes) for choice, boxes in found.items() if boxes}
        sizes.append([choice for choice, boxes in found.items() if boxes])
    every = (1 << len(blocks)) - 1
    if not ways.get(every):
        return None
    best = min(ways[every], key=lambda way: way.height)
    return _build(every, best.width, best.height, ways, blocks)


def _list_pairs(sizes: Sequence[Sequence[int]], size: int) -> Iterator[tuple[int, int]]:
    """Yield each two choices without a common block and with the given number of blocks together."""
    for part in range(1, size // 2 + 1):
        for a in sizes[part]:
            for b in sizes[size - part]:
                if not a & b and (2 * part < size or a < b):
                    yield a, b


def _put_together(a: int, b: int, ways: dict[int, list[_Way]], limits: tuple[int, int, int]) -> list[_Way]:
    """Return the boxes of two choices beside and above each other within width, height and area."""
    width, most, room = limits
    found = []
    for one in ways[a]:
        w, h = one[:2]
        for other in ways[b]:
            v, g = other[:2]
            high = max(h, g)
            if w + v <= width and (w + v) * high <= room:
                found.append(_Way(w + v, high, False, (a, w, h), (b, v, g)))
            wide = max(w, v)
            if h + g <= most and wide * (h + g) <= room:
                found.append(_Way(wide, h + g, True, (a, w, h), (b, v, g)))
    return found


def _keep_lowest(found: list[_Way]) -> list[_Way]:
    """Drop each box if another is as narrow and as low."""
    kept: list[_Way] = []
    for way in sorted(found):
        if not kept or way.height < kept[-1].height:
            kept.append(way)
    return kept


def _build(choice: int, width: int, height: int, ways: dict[int, list[_Way]], blocks: Sequence[JoinedBox]) -> JoinedBox:
    """Build the block of one choice in the box of this size."""
    way = next(way for way in ways[choice] if (way.width, way.height) == (width, height))
    if not way.first[0]:
        return blocks[choice.bit_length() - 1]
    parts = [(_build(*part, ways, blocks), part[1]) for part in (way.first, way.second)]
    return JoinedBox(width, height, sum(part.area for part, _ in parts), -1, way.above, tuple(parts))
