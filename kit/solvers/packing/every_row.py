"""Every row that a shorter layout of rows could hold, so that whole ones are picked from all there are.

At prices for which no row is worth more than its height, a layout costs at least the priced pieces, and each of its
rows adds what it is worth less than its height. So a layout shorter than the best one holds no row that lacks more than
the difference. These rows are listed by a depth-first search within the best values of what is still to be filled.

References
----------
R. Baldacci, N. Christofides, A. Mingozzi, An exact algorithm for the vehicle routing problem based on the set
partitioning formulation, Mathematical Programming 115 (2008), p. 351, on listing all columns within the gap (from
memory).
"""

from collections.abc import Iterator, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.solvers.packing.cut_rows import ClothRow, Held, RowTable
from kit.solvers.packing.programmes import SLIGHT, share_out

_Floats: TypeAlias = NDArray[np.float64]
_LowerStrips: TypeAlias = tuple[tuple[int, Held], ...]


ROW = 4
"""Steps that it takes to write down a row."""


class TooManyRowsError(Exception):
    """The search for rows took more steps than it may."""


class EveryRow:
    """The rows worth nearly their height, for given prices of the pieces.

    Parameters
    ----------
    table
        The kinds by height.
    prices
        The price of one of each kind.
    steps
        The most steps of the search.
    """

    def __init__(self, table: RowTable, prices: Sequence[float], steps: int) -> None:
        self.table, self.prices, self.steps = table, prices, steps
        self.members = {height: table.members[height] for height in table.heights}
        self.whole = {height: self._value_lines(height, runs=True) for height in table.heights}
        self.low = {height: self._value_lines(height, runs=False) for height in table.heights}
        self.ends = self._value_ends()
        self.worth = {height: self._join(height, 0) for height in table.heights}
        self.low_lists = {height: [line.tolist() for line in lines] for height, lines in self.low.items()}
        self.end_lists = self.ends.tolist()
        self.ordered: dict[tuple[int, Held], Held] = {}

    def measure_worth(self) -> float:
        """Return the greatest worth of a row by its height."""
        return max(float(self.worth[height][self.table.width]) / height for height in self.table.heights)

    def list_all(self, lack: float) -> list[ClothRow]:
        """Return every row that lacks at most so much of its height, without those that hold less than another.

        Raises
        ------
        TooManyRowsError
            They take more steps than allowed.
        """
        found: dict[tuple[int, ...], ClothRow] = {}
        for height in sorted(self.table.heights):
            for row in self._list_height(height, height - lack):
                uses = row.uses()
                key = tuple(min(uses.get(i, 0), kind.count) for i, kind in enumerate(self.table.kinds))
                found.setdefault(key, row)
        return _leave_lesser(found)

    def _value_lines(self, height: int, *, runs: bool) -> list[_Floats]:
        """Return the best value of the members from each one on, and of none, for every length."""
        found: list[_Floats] = [np.zeros(self.table.width + 1)]
        for i, wide in reversed(self.members[height]):
            kind, price, before = self.table.kinds[i], self.prices[i], found[-1]
            if kind.run:
                sizes = [(size, n * price) for n, size in enumerate(kind.run[: kind.count], start=1)]
                groups = [[one for one in sizes if one[0] <= self.table.width]] if runs else []
            else:
                groups = [[(n * wide, n * price)] for n in share_out(min(kind.count, self.table.width // wide))]
            found.append(_fill_from(before, groups))
        return found[::-1]

    def _value_ends(self) -> _Floats:
        """Return the best value of lower strips, one above the other, for every height and every length."""
        most = max(self.table.heights)
        ends = np.zeros((most + 1, self.table.width + 1))
        for y in range(1, most + 1):
            ends[y] = ends[y - 1]
            for height in self.table.heights:
                if height <= y:
                    np.maximum(ends[y], ends[y - height] + self.low[height][0], out=ends[y])
        return ends

    def _join(self, height: int, at: int) -> _Floats:
        """Return for every length the best value of members from one on, and an end."""
        line, ends = self.whole[height][at], self.ends[height - 1]
        best = line.copy()
        for x in range(1, self.table.width + 1):
            np.maximum(best[x:], line[: len(line) - x] + ends[x], out=best[x:])
        return best

    def _order(self, height: int, held: Held) -> Held:
        """Return pieces with the widest first; the same ones come up thousands of times."""
        found = self.ordered.get((height, held))
        if found is None:
            found = self.ordered[height, held] = self.table.order(height, dict(held))
        return found

    def _step(self, work: int = 1) -> None:
        self.steps -= work
        if self.steps < 0:
            raise TooManyRowsError

    def _list_height(self, height: int, least: float) -> Iterator[ClothRow]:
        """Yield the rows of one height that are worth at least so much."""
        members = self.members[height]
        after = [self._join(height, at).tolist() for at in range(len(members) + 1)]
        for room, worth, full in self._list_lines(height, self.table.width, least, after, runs=True):
            for ends in self._list_ends(height - 1, room, least - worth, height):
                self._step(ROW)
                if full:
                    yield ClothRow(height, self._order(height, full), ends)

    def _list_lines(
        self, height: int, length: int, least: float, after: Sequence[Sequence[float]], *, runs: bool
    ) -> Iterator[tuple[int, float, Held]]:
        """Yield pieces of one height: the length that they leave, their worth, and their numbers."""
        members, table, prices = self.members[height], self.table, self.prices
        enough = least - SLIGHT

        def go(at: int, room: int, worth: float, held: Held) -> Iterator[tuple[int, float, Held]]:
            self._step()
            if at == len(members):
                yield room, worth, held
                return
            i, wide = members[at]
            kind, price, best = table.kinds[i], prices[i], after[at + 1]
            most = min(kind.count, table.most_of(i, height, room) if kind.run else room // wide)
            for number in range(most if runs or not kind.run else 0, -1, -1):
                left = room - ((table.measure(i, height, number) if kind.run else number * wide) if number else 0)
                now = worth + number * price
                if now + best[left] >= enough:
                    yield from go(at + 1, left, now, (*held, (i, number)) if number else held)

        if after[0][length] >= enough:
            yield from go(0, length, 0.0, ())

    def _list_ends(self, height: int, length: int, least: float, last: int) -> Iterator[_LowerStrips]:
        """Yield lower strips, the highest first, that together are worth at least so much."""
        self._step()
        if least <= SLIGHT:
            yield ()
        for low in self.table.heights:
            if low > min(height, last):
                continue
            rest = least - self.end_lists[height - low][length]
            for _, worth, held in self._list_lines(low, length, rest, self.low_lists[low], runs=False):
                if held:
                    for ends in self._list_ends(height - low, length, least - worth, low):
                        yield ((low, self._order(low, held)), *ends)


def _fill_from(before: _Floats, groups: Sequence[Sequence[tuple[int, float]]]) -> _Floats:
    """Return the best value for every length when some groups are added."""
    best = before
    for options in groups:
        after = best.copy()
        for size, value in options:
            np.maximum(after[size:], best[: len(best) - size] + value, out=after[size:])
        best = after
    return best


def _leave_lesser(found: dict[tuple[int, ...], ClothRow]) -> list[ClothRow]:
    """Return the rows without those of which another, no higher, holds as much or more."""
    if not found:
        return []
    rows = list(found.values())
    holds, heights = np.array(list(found)), np.array([row.height for row in rows])
    kept = []
    for k, row in enumerate(rows):
        better = (heights <= row.height) & (holds >= holds[k]).all(axis=1)
        better[k] = False
        if not better.any():
            kept.append(row)
    return kept
