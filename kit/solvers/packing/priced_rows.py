"""Rows of the greatest value for given values of the pieces: full pieces and the lower strips of the end."""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.solvers.packing.cut_rows import ClothRow, Held, RowFill, RowTable, spend
from kit.solvers.packing.programmes import SLIGHT, fill_states, read_states, share_out

PLAIN = 0.004
"""Part of its value by which a strip of the end must beat pieces of the row's height: fewer cuts are plainer."""
_Floats: TypeAlias = NDArray[np.float64]


class _PricedLine:
    """The best pieces of one height for every length, by dynamic programming over the length.

    Parameters
    ----------
    options
        Each kind with its choices: the width, the value and the number.
    width
        The greatest length.
    """

    def __init__(self, options: list[tuple[int, list[tuple[int, float, int]]]], width: int) -> None:
        self.options = options
        self.groups = [[(size, value) for size, value, _ in choices] for _, choices in options]
        self.states = fill_states(self.groups, width)

    @property
    def worth(self) -> _Floats:
        """The best value for every length."""
        line: _Floats = self.states[-1]
        return line

    def read(self, room: int) -> dict[int, int]:
        """Return the kinds of the best pieces for a length, with their numbers."""
        held: dict[int, int] = {}
        for group, choice in read_states(self.groups, self.states, room):
            i, choices = self.options[group]
            held[i] = held.get(i, 0) + choices[choice][2]
        return held


class PricedFill(RowFill):
    """Rows of the greatest value, for given values of the pieces.

    For each height the best pieces for every length are found by dynamic programming over the length (each kind
    bounded by its number left), then the best lower strips for every end by dynamic programming over the height; the
    row is the best division into full pieces and end.

    Parameters
    ----------
    table
        The kinds by height.
    values
        The value of one of each kind.

    Notes
    -----
    O(kinds · log(count) · width + heights · height · width), a few milliseconds. A kind that is taken by several
    strips of an end may be counted more often than it is left; the row is then cut short.
    """

    def __init__(self, table: RowTable, values: Sequence[float]) -> None:
        super().__init__(table)
        self.values = values
        self._lines: dict[tuple[int, bool, tuple[int, ...]], _PricedLine] = {}

    def __call__(self, height: int, left: Sequence[int]) -> ClothRow | None:
        """Return the best row of a height, None where no piece of this height is left."""
        return self.fill_many((height,), left)[0]

    def fill_many(self, heights: Sequence[int], left: Sequence[int]) -> list[ClothRow | None]:
        """Return the best row of each of some heights."""
        table = self.table
        most = max(heights)
        low = {height: self._fill_line(height, left, runs=False) for height in table.heights if height < most}
        ends = _fill_ends({height: line.worth for height, line in low.items()}, most, table.width)
        rows: list[ClothRow | None] = []
        for height in heights:
            line = self._fill_line(height, left, runs=True)
            worth = line.worth[::-1] + ends[height]
            end = int(np.argmax(worth + SLIGHT * (len(worth) - np.arange(len(worth)))))
            full = table.order(height, line.read(table.width - end))
            rows.append(self._finish(ClothRow(height, full, self._read_ends(low, ends, height, end)), left))
        return rows

    def _fill_line(self, height: int, left: Sequence[int], *, runs: bool) -> "_PricedLine":
        """Return the best pieces of one height for every length, kept for the numbers left that can matter."""
        members = self.table.members[height]
        if not runs and not any(self.table.kinds[i].run for i, _ in members):
            runs = True
        most = (left[i] if self.table.kinds[i].run else min(left[i], self.table.width // wide) for i, wide in members)
        known = height, runs, tuple(most)
        if known not in self._lines:
            options = self._list_options(height, left, self.table.width, runs=runs)
            self._lines[known] = _PricedLine(options, self.table.width)
        return self._lines[known]

    def _list_options(
        self, height: int, left: Sequence[int], room: int, *, runs: bool = True
    ) -> list[tuple[int, list[tuple[int, float, int]]]]:
        """Return (kind, its choices); a choice is the width, the value and the number."""
        found: list[tuple[int, list[tuple[int, float, int]]]] = []
        for i, wide in self.table.members[height]:
            kind, value = self.table.kinds[i], self.values[i]
            if left[i] <= 0 or value <= SLIGHT:
                continue
            if kind.run:
                sizes = [(size, n * value, n) for n, size in enumerate(kind.run[: left[i]], 1) if size <= room]
                if runs and sizes:
                    found.append((i, sizes))
                continue
            found += [(i, [(share * wide, share * value, share)]) for share in share_out(min(left[i], room // wide))]
        return found

    def _read_ends(
        self, low: dict[int, "_PricedLine"], ends: _Floats, height: int, end: int
    ) -> tuple[tuple[int, Held], ...]:
        """Return the lower strips behind a value of the table of ends."""
        chosen: list[int] = []
        room = height
        while ends[room][end] > SLIGHT:
            step = next(
                (h for h in sorted(low, reverse=True) if h <= room and h < height + 1 and low[h].worth[end] > SLIGHT
                 and ends[room][end] <= ends[room - h][end] + (1 - PLAIN) * low[h].worth[end] + SLIGHT),
                None,
            )  # fmt: skip
            if step is None:
                room -= 1
                continue
            chosen.append(step)
            room -= step
        return tuple((h, self.table.order(h, low[h].read(end))) for h in sorted(chosen, reverse=True))

    def _finish(self, row: ClothRow, left: Sequence[int]) -> ClothRow | None:
        """Cut a row short where pieces are counted twice, and fill its lower strips again."""
        if not row.full:
            return None
        open_now = list(left)
        if all(number <= open_now[i] for i, number in row.uses().items()):
            return row
        spend(ClothRow(row.height, row.full), open_now)
        room = self.table.width - sum(self.table.measure(i, row.height, n) for i, n in row.full)
        ends = []
        for height, _ in row.ends:
            line = _PricedLine(self._list_options(height, open_now, room, runs=False), room)
            held = self.table.order(height, line.read(room))
            spend(ClothRow(height, held), open_now)
            if held:
                ends.append((height, held))
        return ClothRow(row.height, row.full, tuple(ends))


def _fill_ends(low: dict[int, _Floats], most: int, width: int) -> _Floats:
    """Return the best value of lower strips, one above the other, for every height and every length of an end."""
    ends = np.zeros((most + 1, width + 1))
    for height, line in sorted(low.items()):
        worth = (1 - PLAIN) * line
        for start in range(height, most + 1, height):
            block = ends[start : start + height]
            np.maximum(block, ends[start - height : start - height + len(block)] + worth, out=block)
    return ends
