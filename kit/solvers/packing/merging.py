"""Merging: pieces that share a side become blocks, blocks become larger, and the last few are laid out completely.

A sheet cut without waste has, at its last cut, two pieces with a common side; joined they are one piece of a sheet
with one cut less. Sides are also equal by chance, and a chance merger takes two blocks from their true partners.
So blocks are taken apart and merged again and again. The preferred merger, with some luck, leaves most pairs of
blocks with a common side. Whenever few blocks are left, every layout of them within the waste of a better plan is
tried.
"""

from collections.abc import Iterator, Sequence
from random import Random
from typing import NamedTuple

from kit.solvers.packing.exact_packing import lay_out_boxes
from kit.solvers.packing.joined_boxes import JoinedBox, cut_box, make_boxes, open_box
from kit.solvers.packing.strip_packing import RectangleKind, StripLayout

FEW = 5, 6, 7
"""The number of blocks at which merging pauses for the complete search."""
AIMS = 0.3, 0.6, 1.0
"""The aim above the bound, as a part of the gap of the best layout: a nearer aim means less search."""
MOST = 9
"""The most blocks for a complete search if no two share a side."""
LUCK = 2.0, 6.0, 20.0
"""The advantage in pairs that chance may give a merger."""
DEPTHS = 0.6, 0.8, 0.95
"""The chance of taking a block further apart."""
WORK = 1_500
"""The mean work of a round, in pairs of choices: rounds that cost more are fewer."""
RESTART, WORSE, ASK = 150, 0.1, 50
"""Rounds without fewer blocks before a new start; chance of accepting one more block; rounds between questions."""

_Sides = tuple[int, int]


class _Pair(NamedTuple):
    """Two sizes of block with a common side, and their box."""

    score: float
    first: _Sides
    second: _Sides
    box: _Sides
    above: bool


class _Merger(NamedTuple):
    """The limits of merging: the usable width, whether blocks turn, and the source of chance."""

    width: int
    turn: bool
    random: Random

    def name_sides(self, sides: _Sides) -> tuple[int, ...]:
        """Return the sides for joining a block: any, or widths (odd) and heights separately."""
        wide, high = sides
        if self.turn:
            return (wide,) if wide == high else sides
        return 2 * wide + 1, 2 * high

    def make_box(self, first: _Sides, second: _Sides, side: int, most: int) -> tuple[_Sides, bool] | None:
        """Return the box of two blocks joined by a side and whether they lie above each other; None if too large."""
        if self.turn:
            long = sum(first) + sum(second) - 2 * side
            fits = (side <= self.width and long <= most) or (long <= self.width and side <= most)
            return ((side, long), True) if fits else None
        if side % 2:
            box, above = (first[0], first[1] + second[1]), True
        else:
            box, above = (first[0] + second[0], first[1]), False
        return (box, above) if box[0] <= self.width and box[1] <= most else None


def merge_pieces(
    kinds: Sequence[RectangleKind], width: int, best: int, bound: int, rounds: int
) -> Iterator[StripLayout | None]:
    """Yield shorter and shorter layouts of merged blocks, and None now and then so that the caller may stop.

    Parameters
    ----------
    kinds
        The kinds to pack; nothing is yielded if some are runs of angled pieces.
    width
        Usable width.
    best, bound
        A known length, and the least possible length; the search ends there.
    rounds
        The number of times to take blocks apart and merge again, half as many without any gain.

    Notes
    -----
    A thousand rounds of 60 pieces take about a second. The same pieces always merge alike. If only some kinds may be
    turned, none is.

    References
    ----------
    G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt, G. Dueck, Record breaking optimization results using the ruin and
    recreate principle, Journal of Computational Physics 159 (2000), p. 139 (from memory).

    Examples
    --------
    >>> sides = (7, 4), (4, 3), (5, 3), (9, 1), (2, 1)
    >>> kinds = [RectangleKind(width, height, 1, True) for width, height in sides]
    >>> [layout[0][0].height for layout in merge_pieces(kinds, 9, 12, 8, 99) if layout]
    [8]
    """
    if any(kind.run for kind in kinds):
        return
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    merger = _Merger(width, all(kind.turn for kind in kinds), random)
    single = make_boxes(kinds)
    blocks, fewest, idle, last, work = single, len(single), 0, 0, 0
    for number in range(rounds):
        if best <= bound or number - last > rounds // 2 or work > WORK * rounds:
            return
        loose = _take_apart(blocks, random)
        luck = random.choice(LUCK)
        few = _join(loose, merger, best, random.choice(FEW), luck)
        aim = bound + int((best - 1 - bound) * random.choice(AIMS))
        work += 3 ** min(len(few), MOST)
        found = lay_out_boxes(few, width, aim, turn=merger.turn) if len(few) <= MOST else None
        if found:
            best, last = found.height, number
            yield [(cut_box(found), 1)]
        elif number % ASK == 0:
            yield None
        fresh = _join(few, merger, best, 1, luck)
        if len(fresh) <= len(blocks) + (random.random() < WORSE):
            blocks = fresh
        idle = 0 if found or len(blocks) < fewest else idle + 1
        fewest = min(fewest, len(blocks))
        if idle > RESTART:
            blocks, fewest, idle = single, len(single), 0


def _take_apart(blocks: Sequence[JoinedBox], random: Random) -> list[JoinedBox]:
    """Take two to five blocks apart, with most of the blocks inside them."""
    chosen = set(random.sample(range(len(blocks)), min(len(blocks), random.randint(2, 5))))
    depth = random.choice(DEPTHS)
    loose: list[JoinedBox] = []
    for i, block in enumerate(blocks):
        loose.extend(open_box(block, random, depth) if i in chosen else [block])
    return loose


def _join(blocks: Sequence[JoinedBox], merger: _Merger, most: int, few: int, luck: float) -> list[JoinedBox]:
    """Merge blocks with an equal side until few are left, or no two share a side."""
    groups: dict[_Sides, list[JoinedBox]] = {}
    for block in blocks:
        groups.setdefault(_measure(block, turn=merger.turn), []).append(block)
    left = len(blocks)
    while left > few:
        pair = _choose_pair(groups, merger, most, luck)
        if pair is None:
            break
        parts = [groups[pair.first].pop(), groups[pair.second].pop()]
        for sides in {pair.first, pair.second}:
            if not groups[sides]:
                del groups[sides]
        block = _join_two(parts, pair)
        groups.setdefault(_measure(block, turn=merger.turn), []).append(block)
        left -= 1
    return [block for group in groups.values() for block in group]


def _measure(block: JoinedBox, *, turn: bool) -> _Sides:
    """Return the sides of a block, the longer first if it may be turned."""
    if turn and block.width < block.height:
        return block.height, block.width
    return block.width, block.height


def _choose_pair(groups: dict[_Sides, list[JoinedBox]], merger: _Merger, most: int, luck: float) -> _Pair | None:
    """Choose two blocks with an equal side that leave most other pairs, with some luck."""
    many: dict[int, int] = {}
    owners: dict[int, list[_Sides]] = {}
    for sides, group in groups.items():
        for side in merger.name_sides(sides):
            many[side] = many.get(side, 0) + len(group)
            owners.setdefault(side, []).append(sides)
    cost = {sides: sum(many[side] - 1 for side in merger.name_sides(sides)) for sides in groups}
    best: _Pair | None = None
    for side, found in owners.items():
        for a, first in enumerate(found):
            for second in found[a if len(groups[first]) > 1 else a + 1 :]:
                made = merger.make_box(first, second, side, most)
                if made is None:
                    continue
                gain = sum(many.get(name, 0) for name in merger.name_sides(made[0]))
                score = gain - cost[first] - cost[second] + merger.random.random() * luck
                if best is None or score > best.score:
                    best = _Pair(score, first, second, *made)
    return best


def _join_two(parts: Sequence[JoinedBox], pair: _Pair) -> JoinedBox:
    """Make the box of two blocks."""
    area = sum(part.area for part in parts)
    widths = (pair.box[0] if pair.above else part.width for part in parts)
    return JoinedBox(*pair.box, area, -1, pair.above, tuple(zip(parts, widths, strict=True)))
