"""Pairs: boxes of two, three and more pieces, each of two smaller boxes, within the waste that a length leaves.

A sheet of a given length has so much cloth to spare. Every box of every layout that fits wastes no more than that. So
from single pieces upwards all boxes within this waste are made, beside and above each other; of boxes of the same
pieces those stay that no other undercuts in both sides. If a box of all pieces comes out, it is a layout; if none does
and no box was dropped, no layout by straight cuts is that short.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern

MOST_BITS = 62
"""The bits of a whole number that hold the numbers of each kind in a box."""
CHUNK = 200_000
"""The most pairs that are looked at together."""
CROWD = 4
"""So many times more boxes than are kept are looked through for those that others undercut."""

_Whole: TypeAlias = NDArray[np.int64]


class _Boxes(NamedTuple):
    """Boxes of one number of pieces: what they hold, sides, area of the pieces, and the two boxes inside each.

    The boxes inside are given by the number of pieces in the first, and the place of each among the boxes of its
    number; `above` is 1 where the second lies above the first.
    """

    holds: _Whole
    width: _Whole
    height: _Whole
    area: _Whole
    part: _Whole
    first: _Whole
    second: _Whole
    above: _Whole

    def take(self, which: NDArray[np.intp] | NDArray[np.bool_]) -> "_Boxes":
        """Return some of the boxes."""
        return _Boxes(*(column[which] for column in self))


class PairsFound(NamedTuple):
    """What a search of pairs gives.

    Attributes
    ----------
    layout
        The layout, None if none was found.
    complete
        Whether every box was looked at: then no layout means that there is none.
    """

    layout: StripLayout | None
    complete: bool


class PairLimits(NamedTuple):
    """The length of a search: the most boxes of one number of pieces, and the most pairs looked at in one sheet."""

    keep: int
    pairs: int


def prove_by_pairs(
    kinds: Sequence[RectangleKind], width: int, lengths: Sequence[int], limits: PairLimits
) -> tuple[StripLayout | None, int]:
    """Return a layout in the least of some lengths if one was found, and the number of lengths proved too short.

    From the shortest length on it leaps twice as far each time no layout is that short, and halves the range where one
    is. The first search that is cut short ends the proof.

    Examples
    --------
    >>> prove_by_pairs([RectangleKind(3, 2, 2, True), RectangleKind(4, 4, 1)], 7, (3, 4, 6), PairLimits(99, 999))[1]
    1
    """
    low, high, leap = 0, len(lengths), 1
    best: StripLayout | None = None
    while low < high:
        middle = min(low + leap - 1, (low + high) // 2 if best else high - 1)
        leap *= 2
        found = search_pairs(kinds, width, lengths[middle], limits)
        if found.layout:
            best, high = found.layout, middle
        elif found.complete:
            low = middle + 1
        else:
            high = middle
    return best, low


def search_pairs(kinds: Sequence[RectangleKind], width: int, length: int, limits: PairLimits) -> PairsFound:
    """Search for a layout of every piece in one sheet of a length.

    Of more boxes of one number of pieces than the limit those with the least waste stay; the search is then incomplete.

    Notes
    -----
    Some 100 million pairs a second. The pairs grow with the waste that the length leaves and with the number of ways
    to choose some of the pieces: complete for some 12 to 17 different pieces, or 20 to 60 of three or four kinds.
    Pieces in runs, and more than some 25 kinds, are left out.

    References
    ----------
    P. Wang, Two algorithms for constrained two-dimensional cutting stock problems, Operations Research 31 (1983),
    p. 573 (from memory).

    Examples
    --------
    >>> kinds = [RectangleKind(3, 2, 2, True), RectangleKind(4, 4, 1)]
    >>> search_pairs(kinds, 7, 4, PairLimits(99, 999)).layout[0][0].height
    4
    >>> search_pairs(kinds, 7, 3, PairLimits(99, 999))
    PairsFound(layout=None, complete=True)
    """
    search = _PairSearch(kinds, width, length)
    if search.spare < 0 or not search.packable:
        return PairsFound(None, search.spare < 0)
    return search.run(limits)


class _PairSearch:
    """The boxes of each number of pieces, and how much waste a sheet leaves."""

    def __init__(self, kinds: Sequence[RectangleKind], width: int, length: int) -> None:
        self.kinds, self.width, self.length = kinds, width, length
        self.spare = width * length - sum(kind.area * kind.count for kind in kinds)
        shift, self.units, offset, guard = 0, [], 0, 0
        for kind in kinds:
            self.units.append(1 << shift)
            bits = kind.count.bit_length()
            offset |= ((1 << bits) - 1 - kind.count) << shift
            guard |= 1 << (shift + bits)
            shift += bits + 1
        self.packable = shift <= MOST_BITS and not any(kind.run for kind in kinds)
        self.offset, self.guard = offset, guard
        self.boxes: list[_Boxes] = []

    def run(self, limits: PairLimits) -> PairsFound:
        """Make boxes of more and more pieces."""
        number = sum(kind.count for kind in self.kinds)
        self.boxes = [_join([]), self._make_single()]
        complete, pairs = True, 0
        for size in range(2, number + 1):
            pairs += sum(len(self.boxes[k].holds) * len(self.boxes[size - k].holds) for k in range(1, size // 2 + 1))
            if pairs > limits.pairs:
                return PairsFound(None, complete=False)
            boxes, whole = self._make_boxes(size, limits.keep)
            self.boxes.append(boxes)
            complete = complete and whole
        last = self.boxes[number]
        if not len(last.holds):
            return PairsFound(None, complete)
        best = int(np.argmin(last.height))
        placed: list[Placed] = []
        self._place(number, best, 0, 0, placed)
        return PairsFound([(StripPattern(int(last.height[best]), tuple(placed)), 1)], complete)

    def _make_boxes(self, size: int, keep: int) -> tuple[_Boxes, bool]:
        """Return the boxes of one number of pieces, and whether none was dropped."""
        made, number, complete = [_join([])], 0, True
        chunks = (boxes for part in range(1, size // 2 + 1) for boxes in self._pair(part, size - part))
        for boxes in chunks:
            made.append(boxes)
            number += len(boxes.holds)
            if number > CROWD * keep:
                made = [_keep_lowest(_join(made))]
                if len(made[0].holds) > keep:
                    made, complete = [_keep_tightest(made[0], keep)], False
                number = len(made[0].holds)
        found = _keep_lowest(_join(made))
        return (_keep_tightest(found, keep), False) if len(found.holds) > keep else (found, complete)

    def _make_single(self) -> _Boxes:
        """Return the single pieces, each way that fits."""
        rows = []
        for i, kind in enumerate(self.kinds):
            faces = {(kind.width, kind.height)} | ({(kind.height, kind.width)} if kind.turn else set())
            rows += [
                (self.units[i], wide, high, kind.area, 0, i, 0, 0)
                for wide, high in sorted(faces)
                if wide <= self.width and high <= self.length
            ]
        return _Boxes(*np.array(rows, dtype=np.int64).reshape(-1, 8).T)

    def _pair(self, part: int, rest: int) -> Iterator[_Boxes]:
        """Yield the boxes of two smaller ones, beside and above each other, within the waste."""
        a, b = self.boxes[part], self.boxes[rest]
        step = max(1, CHUNK // max(1, len(b.holds)))
        for start in range(0, len(a.holds), step):
            fits = (a.holds[start : start + step, None] + b.holds[None, :] + self.offset) & self.guard == 0
            i, j = np.nonzero(fits)
            i += start
            if part == rest:
                i, j = i[i <= j], j[i <= j]
            area = a.area[i] + b.area[j]
            for above in (0, 1):
                wide = np.maximum(a.width[i], b.width[j]) if above else a.width[i] + b.width[j]
                high = a.height[i] + b.height[j] if above else np.maximum(a.height[i], b.height[j])
                good = (wide <= self.width) & (high <= self.length) & (wide * high <= area + self.spare)
                k, n = i[good], j[good]
                same = np.ones(len(k), dtype=np.int64)
                yield _Boxes(
                    a.holds[k] + b.holds[n], wide[good], high[good], area[good], part * same, k, n, above * same
                )

    def _place(self, number: int, which: int, x: int, y: int, placed: list[Placed]) -> None:
        box = self.boxes[number]
        if number == 1:
            placed.append(Placed(int(box.first[which]), x, y, int(box.width[which]), int(box.height[which])))
            return
        part, first, second = int(box.part[which]), int(box.first[which]), int(box.second[which])
        self._place(part, first, x, y, placed)
        if box.above[which]:
            y += int(self.boxes[part].height[first])
        else:
            x += int(self.boxes[part].width[first])
        self._place(number - part, second, x, y, placed)


def _join(parts: Sequence[_Boxes]) -> _Boxes:
    empty = np.array([], dtype=np.int64)
    return (
        _Boxes(*(np.concatenate([empty, *columns]) for columns in zip(*parts, strict=True)))
        if parts
        else _Boxes(*(empty for _ in _Boxes._fields))
    )


def _keep_tightest(boxes: _Boxes, number: int) -> _Boxes:
    """Keep so many boxes, those with the least waste."""
    waste = boxes.width * boxes.height - boxes.area
    return boxes.take(np.sort(np.argsort(waste, kind="stable")[:number]))


def _keep_lowest(boxes: _Boxes) -> _Boxes:
    """Drop each box if another of the same pieces is as narrow and as low."""
    if not len(boxes.holds):
        return boxes
    boxes = boxes.take(np.lexsort((boxes.height, boxes.width, boxes.holds)))
    group = np.concatenate([[0], np.cumsum(np.diff(boxes.holds) != 0)])
    falling = boxes.height - group * (int(boxes.height.max()) + 1)  # lower in each group than in all before
    lowest = np.minimum.accumulate(falling)
    return boxes.take(np.concatenate([[True], falling[1:] < lowest[:-1]]))
