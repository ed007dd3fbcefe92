"""The search for the least length of rows: rows filled at prices by dynamic programming, whole ones picked.

First every row is filled greedily; then with values of pieces that vary from start to start; then a linear programme
over all rows found prices the pieces, new rows are filled at these prices, and an integer programme picks whole rows.
Where few pieces are still far from the bound, every row that a shorter layout could hold is listed (`every_row`): whole
ones are then picked from all there are, which also proves how short rows can be.
"""

from collections.abc import Sequence
from math import floor
from random import Random

from kit.progress import Progress, keep_quiet, report, until_stopped
from kit.solvers.packing.cut_rows import (
    ClothRow,
    RowFill,
    RowLayout,
    RowTable,
    fill_all,
    list_single,
    place_rows,
    spend,
)
from kit.solvers.packing.every_row import EveryRow, TooManyRowsError
from kit.solvers.packing.length_bounds import list_sums
from kit.solvers.packing.priced_rows import PricedFill
from kit.solvers.packing.programmes import ColumnProgramme
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
STEPS = {"steady": 60_000, "thorough": 400_000}
"""Steps of listing every row, some ten microseconds each."""
FAR = {"steady": 0.03, "thorough": 0.005}
"""Every row is listed only where the best layout takes so much more than the bound."""
FEW_PIECES, FEW_KINDS = {"steady": 30, "thorough": 400}, {"steady": 4, "thorough": 12}
"""And only where there are no more pieces and kinds."""
TOO_FAR = 1.15
"""Of more pieces than a steady search lists, rows within so great a gap are endless: all steps would be lost."""


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
    return prove_rows(kinds, width, effort, progress, most=most, bound=bound)[0]


def prove_rows(
    kinds: Sequence[RectangleKind],
    width: int,
    effort: Effort = "thorough",
    progress: Progress = keep_quiet,
    *,
    most: int | None = None,
    bound: int = 0,
) -> tuple[StripLayout, int]:
    """Return rows for every piece as `lay_out_rows` does, and a length that no layout of rows undercuts.

    The bound is that of the linear programme over all rows, raised to a sum of heights; where every row could be
    listed, that of whole rows. A quick search proves nothing beyond the bound that it is given.

    Examples
    --------
    >>> kinds = [RectangleKind(50, 49, 2, True), RectangleKind(73, 53, 28, True)]
    >>> layout, least = prove_rows(kinds, 336, "steady")
    >>> sum(strip.height * times for strip, times in layout), least
    (365, 365)
    """
    if not kinds:
        return [], 0
    table = RowTable(kinds, width, most)
    search = _RowSearch(table, progress, floor(bound * (1 + NEAR[effort])))
    search.least = bound
    with until_stopped():
        search.offer(fill_all(table, RowFill(table), search.counts))
        for patience in PASSES[effort]:  # a thorough search begins where a steady one ends
            if not search.done:
                search.vary(STARTS[patience])
            if not search.done:
                search.price(patience)
    return place_rows(table, search.best), min(search.least, search.length)


class _RowSearch:
    """The best rows so far, and every row worth keeping."""

    def __init__(self, table: RowTable, progress: Progress, bound: int) -> None:
        self.table, self.progress, self.bound = table, progress, bound
        self.counts = [kind.count for kind in table.kinds]
        self.best: RowLayout = []
        self.least = 0
        self.pool: dict[ClothRow, None] = dict.fromkeys(list_single(table))

    @property
    def length(self) -> int:
        return _measure(self.best)

    @property
    def done(self) -> bool:
        return self.length <= max(self.bound, self.least)

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

    def price(self, patience: Effort) -> None:
        """Price the pieces, fill rows at these prices, and pick whole rows."""
        programme = ColumnProgramme([float(count) for count in self.counts])
        columns: list[ClothRow] = []

        def add(row: ClothRow) -> None:
            programme.add(float(row.height), {i: float(n) for i, n in sorted(row.uses().items())})
            columns.append(row)

        for known in self.pool:
            add(known)
        heights = self.table.heights
        value, prices = programme.solve()
        for _ in range(ROUNDS[patience]):
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
            value, prices = programme.solve()
        self._pick(programme, columns, NODES[patience])
        few = sum(self.counts) <= FEW_PIECES[patience] and len(self.counts) <= FEW_KINDS[patience]
        if few and self.length > self.bound * (1 + FAR[patience]):
            self._list_every(value, [float(price) for price in prices], patience)

    def _pick(self, programme: ColumnProgramme, columns: Sequence[ClothRow], nodes: int) -> None:
        """Pick whole rows that take less than the best layout, if there are any."""
        amounts = programme.solve_whole(nodes, float(self.bound), float(self.length))
        found = [] if amounts is None else self._keep(columns, amounts.tolist())
        if found:
            self.offer(found)

    def _list_every(self, value: float, prices: list[float], patience: Effort) -> None:
        """List every row that a shorter layout could hold, pick whole ones from all of them, and raise the bound."""
        worth = max(1.0, EveryRow(self.table, prices, 0).measure_worth())
        self._raise(value / worth)
        many = sum(self.counts) > FEW_PIECES["steady"]
        if self.done or (many and self.length > TOO_FAR * self.least):
            return
        every = EveryRow(self.table, [price / worth for price in prices], STEPS[patience])
        try:
            rows = every.list_all(self.length - 1 - value / worth)
        except TooManyRowsError:
            return
        if not rows:
            self._raise(float(self.length))
            return
        programme = ColumnProgramme([float(count) for count in self.counts])
        for row in rows:
            programme.add(float(row.height), {i: float(n) for i, n in sorted(row.uses().items())})
        length = self.length
        self._pick(programme, rows, NODES["thorough"])
        self._raise(min(programme.least_whole, float(length)))

    def _raise(self, length: float) -> None:
        """Raise the least length to the next sum of heights."""
        sums = list_sums(self.table.kinds, self.length)
        self.least = max(self.least, next((s for s in sums if s >= length - 1e-6), self.length))

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
