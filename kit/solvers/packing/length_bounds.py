"""Lower bounds: lengths that no plan can undercut.

The pieces on a line across the cloth have widths that add up to at most the usable width. Let each piece count as a
bundle of threads, one for each unit of its height. In any layout the lines across the cloth pack the threads,
so the linear programme of packing threads into lines bounds the length (the bar relaxation). Turnable pieces
share their count between both directions. The length of a tight plan is a sum of heights, so the bound is
raised to the next such sum. For each sum in turn the same programme along the cloth decides whether the threads of
the other direction fit the width at all.

Angled pieces count as cut, in runs along a strip; the bound holds for plans that cut them so.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil

import numpy as np

from kit.solvers.packing.programmes import ColumnProgramme, fill_knapsack
from kit.solvers.packing.strip_packing import RectangleKind

SLACK = 1e-6
LONG = 10
"""Widths beyond which the other direction is not tested: the test takes a second and gains a step."""
ROUNDS = 60
"""No linear programme is given more rounds of new ways."""


def bound_length(kinds: Sequence[RectangleKind], width: int, best: int) -> int:
    """Return a proven lower bound on the length of cloth; `best` is a possible length.

    Notes
    -----
    One linear programme with one row per kind, and up to seven more; 5-100 ms each.

    References
    ----------
    G. Scheithauer, LP-based bounds for the container and multi-container loading problem, International Transactions
    in Operational Research 6 (1999), p. 199; A. Farley, A note on bounding a class of linear programming problems,
    Operations Research 38 (1990), p. 922 (both from memory).
    """
    area = sum(kind.area * kind.count for kind in kinds)
    sums = list_sums(kinds, best)
    least = _next_sum(sums, -(-area // width), best)
    if least >= best:
        return best
    marks = tuple(s for s in sums if s >= least)
    least = max(least, _next_sum(sums, measure_threads(kinds, width, marks), best))
    if best > LONG * width:
        return least
    open_sums = [s for s in sums if least <= s < best]
    across = [_exchange(kind) for kind in kinds]
    low, high, leap = 0, len(open_sums), 1
    while low < high:  # mostly the first is possible, or the next: look there, then leap twice as far each time
        middle = min(low + leap - 1, (low + high) // 2)
        leap *= 2
        if measure_threads(across, open_sums[middle], (width,)) - SLACK > width:
            low = middle + 1
        else:
            high = middle
    return open_sums[low] if low < len(open_sums) else best


def _exchange(kind: RectangleKind) -> RectangleKind:
    return RectangleKind(kind.height, kind.width, kind.count, kind.turn)


def list_sums(kinds: Sequence[RectangleKind], most: int) -> list[int]:
    """Return every sum of heights up to a length, each kind taken no more often than needed.

    Examples
    --------
    >>> list_sums([RectangleKind(4, 3, 2), RectangleKind(5, 2, 1)], 9)
    [0, 2, 3, 5, 6, 8]
    """
    reach, mask = 1, (1 << (most + 1)) - 1
    for kind in kinds:
        for size in {kind.height, kind.width} if kind.turn else {kind.height}:
            left, share = min(kind.count, most // size), 1
            while left > 0:
                share = min(share, left)
                reach = (reach | reach << (share * size)) & mask
                left -= share
                share *= 2
    return [i for i in range(most + 1) if reach >> i & 1]


def _next_sum(sums: Sequence[int], length: float, best: int) -> int:
    return next((s for s in sums if s >= length - SLACK), best)


@dataclass(frozen=True)
class _Thread:
    """Threads of one kind in one direction: the width, and the number per piece."""

    kind: int
    width: int
    length: int
    run: tuple[int, ...]


def measure_threads(kinds: Sequence[RectangleKind], width: int, marks: tuple[int, ...] | None = None) -> float:
    """Return the least length of lines that pack the threads of every kind, or a proven lower length.

    With marks, lengths from the least up, it is enough to know between which of them the least lies: the programme
    ends once its value and what is proven lie between the same two. Without, it ends at the least, or when the rounds
    run out.
    """
    return _measure_threads(tuple(kinds), width, marks)


@lru_cache(maxsize=1024)  # rows and nested layouts of the same pieces ask for the same bound
def _measure_threads(kinds: tuple[RectangleKind, ...], width: int, marks: tuple[int, ...] | None) -> float:
    threads = []
    for i, kind in enumerate(kinds):
        if kind.width <= width:
            threads.append(_Thread(i, kind.width, kind.height, kind.run))
        if kind.turn and kind.height <= width and kind.height != kind.width:
            threads.append(_Thread(i, kind.height, kind.width, ()))
    if len({thread.kind for thread in threads}) < len(kinds):
        return float("inf")
    programme = ColumnProgramme([0.0] * len(threads) + [float(kind.count) for kind in kinds])
    for row, thread in enumerate(threads):
        programme.add(0.0, {row: -float(thread.length), len(threads) + thread.kind: 1.0})
        many = min(kinds[thread.kind].count, width // thread.width)
        if thread.run:
            many = max(1, min(many, sum(1 for run in thread.run if run <= width)))
        programme.add(1.0, {row: float(many)})
    proven = 0.0
    for _ in range(ROUNDS):
        value, prices = programme.solve()
        items = [
            (thread.width, float(prices[row]), kinds[thread.kind].count, thread.run)
            for row, thread in enumerate(threads)
        ]
        worth, counts = fill_knapsack(items, width)
        proven = max(proven, value / max(1.0, worth))
        if worth <= 1 + 1e-7 or proven >= value - 1e-7 or not any(counts):
            break
        if marks is not None and bisect_left(marks, proven - SLACK) == bisect_left(marks, value - SLACK):
            break
        programme.add(1.0, {row: float(count) for row, count in enumerate(counts) if count})
    return proven


def bound_count(kinds: Sequence[RectangleKind], width: int, height: int, best: int) -> int:
    """Return a proven lower bound on the number of pre-cuts of one size.

    The greater of two bounds: the area, and the pieces too high to stack, packed side by side as threads.
    """
    area = sum(kind.area * kind.count for kind in kinds)
    least = -(-area // (width * height)) if area else 0
    tall = [kind for kind in kinds if 2 * kind.height > height and (not kind.turn or 2 * kind.width > height)]
    if least < best and tall:
        flat = []
        for kind in tall:
            free = kind.turn and max(kind.width, kind.height) <= height
            narrow = min(kind.width, kind.height) if free else kind.width
            flat.append(RectangleKind(narrow, 1, kind.count, run=kind.run))
        least = max(least, ceil(measure_threads(flat, width) - SLACK))
    whole = [kind for kind in kinds if not kind.run]
    if least < best and len(whole) == 1 and len(kinds) == 1:
        most = count_guillotine(whole[0], width, height)
        least = max(least, -(-whole[0].count // most)) if most else best
    return min(least, best)


def count_guillotine(kind: RectangleKind, width: int, height: int) -> int:
    """Return the most rectangles of one kind that straight cuts from edge to edge give from a sheet.

    Without turns plain floor arithmetic; with turns the recursion over all positions of a cut at a sum of sides.

    References
    ----------
    P. Gilmore, R. Gomory, Multistage cutting stock problems of two and more dimensions, Operations Research 13 (1965),
    p. 94 (from memory).
    """
    plain = (width // kind.width) * (height // kind.height)
    if not kind.turn or kind.width == kind.height:
        return plain
    xs = list_sums([RectangleKind(1, side, 10**6) for side in (kind.width, kind.height)], width)
    ys = list_sums([RectangleKind(1, side, 10**6) for side in (kind.width, kind.height)], height)
    if len(xs) * len(ys) > 4_000:
        return (width * height) // kind.area
    best = np.zeros((len(xs), len(ys)), dtype=int)
    at_x = {x: i for i, x in enumerate(xs)}
    at_y = {y: i for i, y in enumerate(ys)}

    def down(sums: Sequence[int], size: int) -> int:
        return max(s for s in sums if s <= size)

    for i, x in enumerate(xs):
        for j, y in enumerate(ys):
            fits = (kind.width <= x and kind.height <= y) or (kind.height <= x and kind.width <= y)
            most = int(fits)
            for cut in xs[1:i]:
                most = max(most, int(best[at_x[cut], j] + best[at_x[down(xs, x - cut)], j]))
            for cut in ys[1:j]:
                most = max(most, int(best[i, at_y[cut]] + best[i, at_y[down(ys, y - cut)]]))
            best[i, j] = most
    return int(best[-1, -1])
