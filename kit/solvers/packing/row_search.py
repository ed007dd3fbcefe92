"""The search for the least length of rows: rows filled at prices by dynamic programming, whole ones picked.

First every row is filled greedily; then with values of pieces that vary from start to start; then a linear programme
over all rows found prices the pieces, new rows are filled at these prices, and an integer programme picks whole rows.
"""

from collections.abc import Sequence
from math import floor
from random import Random
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.progress import Progress, keep_quiet, report, until_stopped
from kit.solvers.packing.cut_rows import (
    ClothRow,
    Held,
    RowFill,
    RowLayout,
    RowTable,
    fill_all,
    list_single,
    place_rows,
    spend,
)
from kit.solvers.packing.programmes import SLIGHT, ColumnProgramme, fill_states, read_states, share_out
from kit.solvers.packing.search_state import PASSES, Effort
from kit.solvers.packing.strip_packing import RectangleKind, StripLayout

STARTS = {"steady": 6, "thorough": 30}
"""Whole layouts built with varied values."""
ROUNDS = {"steady": 20, "thorough": 60}
"""Rounds of pricing."""
NODES = {"steady": 20, "thorough": 400}
"""Branches of the integer programme."""
NEAR = {"quick": 1.0, "steady": 0.01, "thorough": 0.0}
"""The search ends at rows nearer to the bound than this part of it."""
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
        self._left: tuple[int, ...] = ()
        self._lines: dict[tuple[int, bool], _PricedLine] = {}

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
        """Return the best pieces of one height for every length; lines are kept while the numbers left are the same."""
        if self._left != tuple(left):
            self._left, self._lines = tuple(left), {}
        if not runs and not any(self.table.kinds[i].run for i, _ in self.table.members[height]):
            runs = True
        if (height, runs) not in self._lines:
            options = self._list_options(height, left, self.table.width, runs=runs)
            self._lines[height, runs] = _PricedLine(options, self.table.width)
        return self._lines[height, runs]

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


def lay_out_rows(
    kinds: Sequence[RectangleKind],
    width: int,
    effort: Effort = "thorough",
    progress: Progress = keep_quiet,
    *,
    most: int | None = None,
    bound: int = 0,
) -> StripLayout:
    """Return rows for every piece, as short as the search finds them.

    Parameters
    ----------
    kinds
        The kinds; each fits the width.
    width
        Usable width.
    effort
        "quick": filled once; "steady" and "thorough": searched.
    progress
        Told the bound and the length so far; a stop keeps the best so far.
    most
        The greatest height of a row, unless a kind has no lower side; None without a limit.
    bound
        A length that is known to be the least possible: the search ends there.

    Examples
    --------
    >>> kinds = [RectangleKind(5, 5, 4), RectangleKind(3, 2, 6)]
    >>> [(strip.height, len(strip.placed), times) for strip, times in lay_out_rows(kinds, 18, "quick")]
    [(5, 5, 1), (5, 5, 1)]
    """
    if not kinds:
        return []
    table = RowTable(kinds, width, most)
    search = _RowSearch(table, progress, floor(bound * (1 + NEAR[effort])))
    with until_stopped():
        search.offer(fill_all(table, RowFill(table), search.counts))
        for patience in PASSES[effort]:  # a thorough search begins where a steady one ends
            if not search.done:
                search.vary(STARTS[patience])
            if not search.done:
                search.price(ROUNDS[patience], NODES[patience])
    return place_rows(table, search.best)


class _RowSearch:
    """The best rows so far, and every row worth keeping."""

    def __init__(self, table: RowTable, progress: Progress, bound: int) -> None:
        self.table, self.progress, self.bound = table, progress, bound
        self.counts = [kind.count for kind in table.kinds]
        self.best: RowLayout = []
        self.pool: dict[ClothRow, None] = dict.fromkeys(list_single(table))

    @property
    def length(self) -> int:
        return _measure(self.best)

    @property
    def done(self) -> bool:
        return self.length <= self.bound

    def offer(self, layout: RowLayout) -> None:
        """Take rows if they are shorter, or as short and plainer."""
        self.pool.update(dict.fromkeys(row for row, _ in layout))
        if not self.best or _judge(layout) < _judge(self.best):
            self.best = layout
        report(self.progress, "rows", self.bound, self.length)

    def vary(self, starts: int) -> None:
        """Fill rows with values of pieces that vary from start to start."""
        random = Random(len(self.counts))  # noqa: S311  variety, not secrets
        for start in range(starts):
            power = 1.0 + 0.04 * (start % 3)
            luck = [1.0 if start < 3 else random.uniform(0.9, 1.12) for _ in self.counts]
            values = [kind.area**power * share for kind, share in zip(self.table.kinds, luck, strict=True)]
            self.offer(fill_all(self.table, PricedFill(self.table, values), self.counts))
            if self.done:
                return

    def price(self, rounds: int, nodes: int) -> None:
        """Price the pieces, fill rows at these prices, and pick whole rows."""
        programme = ColumnProgramme([float(count) for count in self.counts])
        columns: list[ClothRow] = []

        def add(row: ClothRow) -> None:
            programme.add(float(row.height), {i: float(n) for i, n in sorted(row.uses().items())})
            columns.append(row)

        for known in self.pool:
            add(known)
        heights = self.table.heights
        for _ in range(rounds):
            _, prices = programme.solve()
            fill = PricedFill(self.table, [float(price) for price in prices])
            fresh = False
            for row in fill.fill_many(heights, self.counts):
                if row is None or row in self.pool:
                    continue
                self.pool[row] = None
                if sum(number * prices[i] for i, number in row.uses().items()) > row.height * (1 + 1e-6):
                    add(row)
                    fresh = True
            report(self.progress, "rows", self.bound, self.length)
            if not fresh:
                break
        amounts = programme.solve_whole(nodes, float(self.bound), float(self.length))
        if amounts is not None:
            found = self._keep(columns, amounts.tolist())
            if found:
                self.offer(found)

    def _keep(self, columns: Sequence[ClothRow], amounts: Sequence[int]) -> RowLayout:
        """Return the chosen rows without surplus pieces; nothing if they do not give every piece."""
        left = list(self.counts)
        layout: RowLayout = []
        for row, amount in sorted(zip(columns, amounts, strict=True), key=lambda entry: -entry[0].height):
            for _ in range(int(amount)):
                for kept in self.table.keep(row, left):
                    layout.append((kept, 1))
                    spend(kept, left)
        return [] if any(left) else layout


def _measure(layout: RowLayout) -> int:
    return sum(row.height * times for row, times in layout)


def _judge(layout: RowLayout) -> tuple[int, int, int]:
    """Return length, different rows and lines: fewer of each is better, the first counting most."""
    rows = dict.fromkeys(row for row, _ in layout)
    lines = sum(len(row.full) + sum(len(held) + 1 for _, held in row.ends) for row in rows)
    return _measure(layout), len(rows), lines
