"""Pre-cuts in rows: squares, fat quarters, remnants and strips cut into rows, the rows into pieces."""

from collections.abc import Sequence
from random import Random
from typing import TypeAlias

from kit.progress import Progress, keep_quiet, report, until_stopped
from kit.solvers.packing.cut_rows import ClothRow, RowFill, RowTable, spend
from kit.solvers.packing.priced_rows import PricedFill
from kit.solvers.packing.programmes import ColumnProgramme, fill_knapsack
from kit.solvers.packing.search_state import Effort
from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern

STARTS = {"quick": 0, "steady": 6, "thorough": 20}
"""Layouts filled with varied values besides the first."""
ROUNDS, NODES = {"quick": 0, "steady": 12, "thorough": 40}, 200
"""Rounds of pricing, and branches of the integer programme."""
_Stack: TypeAlias = tuple[ClothRow, ...]
_Stacks: TypeAlias = list[tuple[_Stack, int]]


def fill_row_precuts(
    kinds: Sequence[RectangleKind],
    width: int,
    height: int,
    effort: Effort = "thorough",
    progress: Progress = keep_quiet,
    *,
    bound: int = 0,
) -> StripLayout:
    """Return a layout of every piece on pre-cuts of one size, each cut into rows along its width.

    Parameters
    ----------
    kinds
        The kinds; each fits.
    width, height
        Size of a pre-cut.
    effort
        "quick": filled one after another; else searched.
    progress
        Told the bound and the number so far; a stop keeps the best so far.
    bound
        A number that is known to be the least possible: the search ends there.

    Examples
    --------
    >>> layout = fill_row_precuts([RectangleKind(5, 5, 7)], 20, 18, "quick")
    >>> [(len(strip.placed), times) for strip, times in layout]
    [(7, 1)]
    """
    if not kinds:
        return []
    table = RowTable(kinds, width, height)
    counts = [kind.count for kind in kinds]
    areas = [float(kind.area) for kind in kinds]
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    best = _fill_all(table, RowFill(table), height, counts)
    seen: dict[_Stack, None] = {}
    with until_stopped():
        for start in range(STARTS[effort]):
            if _count(best) <= bound:
                break
            values = [
                area ** (1 + 0.04 * (start % 3)) * (random.uniform(0.9, 1.1) if start > 2 else 1) for area in areas
            ]
            found = _fill_all(table, PricedFill(table, values), height, counts)
            seen.update(dict.fromkeys(stack for stack, _ in found))
            best = min(best, found, key=_judge)
            report(progress, "rows", bound, _count(best))
        if ROUNDS[effort] and _count(best) > bound:
            best = min(best, _price(table, height, [*seen, *(stack for stack, _ in best)], best, effort), key=_judge)
    return [(_place(table, stack, height), times) for stack, times in best]


def _fill_all(table: RowTable, fill: RowFill, height: int, counts: Sequence[int]) -> _Stacks:
    """Fill one pre-cut after another, each as often as its pieces are left."""
    left = list(counts)
    layout: _Stacks = []
    while any(left):
        stack = _fill_one(table, fill, height, left)
        if not stack:
            break
        uses = _uses(stack)
        times = min(left[i] // number for i, number in uses.items())
        layout.append((stack, times))
        for row in stack:
            spend(row, left, times)
    return layout


def _fill_one(table: RowTable, fill: RowFill, height: int, left: Sequence[int]) -> _Stack:
    """Fill one pre-cut row by row, each time the row with the greatest part filled."""
    open_now, room = list(left), height
    rows: list[ClothRow] = []
    while True:
        found = [row for high in table.heights if high <= room and (row := fill(high, open_now)) and table.area(row)]
        if not found:
            return tuple(sorted(rows, key=lambda row: -row.height))
        lead = max(found, key=lambda row: (row.height * 2 > room, table.area(row) / row.height, row.height))
        rows.append(lead)
        spend(lead, open_now)
        room -= lead.height


def _price(table: RowTable, height: int, known: Sequence[_Stack], best: _Stacks, effort: Effort) -> _Stacks:
    """Choose whole pre-cuts by an integer programme over stacks of priced rows."""
    counts = [kind.count for kind in table.kinds]
    programme = ColumnProgramme([float(count) for count in counts])
    columns: list[_Stack] = []

    def add(stack: _Stack) -> None:
        if stack not in columns:
            programme.add(1.0, {i: float(n) for i, n in sorted(_uses(stack).items())})
            columns.append(stack)

    for stack in known:
        add(stack)
    for _ in range(ROUNDS[effort]):
        prices = [float(price) for price in programme.solve()[1]]
        rows = [row for row in PricedFill(table, prices).fill_many(table.heights, counts) if row]
        worths = [sum(number * prices[i] for i, number in row.uses().items()) for row in rows]
        worth, numbers = fill_knapsack(
            [(row.height, value, height // row.height, ()) for row, value in zip(rows, worths, strict=True)], height
        )
        if worth <= 1 + 1e-7:
            break
        before = len(columns)
        add(tuple(row for row, number in zip(rows, numbers, strict=True) for _ in range(number)))
        if len(columns) == before:
            break
    amounts = programme.solve_whole(NODES, 0.0, float(_count(best)))
    return best if amounts is None else _keep(table, columns, amounts.tolist()) or best


def _keep(table: RowTable, columns: Sequence[_Stack], amounts: Sequence[int]) -> _Stacks:
    """Return the chosen pre-cuts without surplus pieces; nothing if they do not give every piece."""
    left = [kind.count for kind in table.kinds]
    layout: _Stacks = []
    for stack in (stack for stack, amount in zip(columns, amounts, strict=True) for _ in range(int(amount))):
        kept: list[ClothRow] = []
        for row in stack:
            for part in table.keep(row, left):
                kept.append(part)
                spend(part, left)
        if kept:
            layout.append((tuple(sorted(kept, key=lambda row: -row.height)), 1))
    return [] if any(left) else _gather(layout)


def _gather(layout: _Stacks) -> _Stacks:
    found: dict[_Stack, int] = {}
    for stack, times in layout:
        found[stack] = found.get(stack, 0) + times
    return list(found.items())


def _uses(stack: _Stack) -> dict[int, int]:
    found: dict[int, int] = {}
    for row in stack:
        for i, number in row.uses().items():
            found[i] = found.get(i, 0) + number
    return found


def _count(layout: _Stacks) -> int:
    return sum(times for _, times in layout)


def _judge(layout: _Stacks) -> tuple[int, int, int]:
    """Return the number of pre-cuts, of different ones, and of rows."""
    return _count(layout), len(layout), sum(len(dict.fromkeys(stack)) for stack, _ in layout)


def _place(table: RowTable, stack: _Stack, height: int) -> StripPattern:
    placed: list[Placed] = []
    y = 0
    for row in stack:
        placed += [place._replace(y=place.y + y) for place in table.place(row).placed]
        y += row.height
    return StripPattern(height, tuple(placed))
