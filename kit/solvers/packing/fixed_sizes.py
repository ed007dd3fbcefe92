"""Pre-cuts: the least number of strips, squares, fat quarters or remnants of one size.

As for yardage, but each pattern fills a whole pre-cut and counts as one.
"""

from collections.abc import Sequence
from random import Random

from kit.solvers.packing.filling import Filler
from kit.solvers.packing.layouts import drop_surplus
from kit.solvers.packing.length_bounds import bound_count
from kit.solvers.packing.programmes import ColumnProgramme
from kit.solvers.packing.search_state import Effort
from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern, pack_greedily

STARTS, ROUNDS, NODES, MOST_PATTERNS = 8, 40, 400, 4_000


def count_bins(layout: StripLayout) -> int:
    """Return the number of pre-cuts in a layout."""
    return sum(times for _, times in layout)


def fill_precuts(
    kinds: Sequence[RectangleKind], width: int, height: int, effort: Effort = "thorough"
) -> tuple[StripLayout, int]:
    """Return a layout of every piece on pre-cuts of one size, and the proven least number of pre-cuts.

    Parameters
    ----------
    kinds
        The kinds to pack; each fits.
    width, height
        Size of a pre-cut.
    effort
        "quick" fills one after another; "thorough" also picks from many by column generation.

    References
    ----------
    P. Gilmore, R. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9 (1961),
    p. 849 (from memory).
    """
    if not kinds:
        return [], 0
    areas = [float(kind.area) for kind in kinds]
    best = _fill_all(kinds, width, height, areas)
    greedy = pack_greedily(kinds, width, limit=height)
    if sum(n * times for pattern, times in greedy for n in pattern.uses().values()) == sum(
        kind.count for kind in kinds
    ):
        best = min(best, greedy, key=count_bins)
    area = sum(kind.area * kind.count for kind in kinds)
    if effort == "quick":
        return best, min(count_bins(best), -(-area // (width * height)))
    bound = bound_count(kinds, width, height, count_bins(best))
    if count_bins(best) > bound:
        best = min(best, _vary(kinds, width, height, bound), key=count_bins)
    if count_bins(best) > bound:
        best = min(best, _generate(kinds, width, height, best, bound), key=count_bins)
    return best, bound


def _fill_all(kinds: Sequence[RectangleKind], width: int, height: int, values: Sequence[float]) -> StripLayout:
    """Fill one pre-cut after another, repeating each pattern as often as possible."""
    left = [kind.count for kind in kinds]
    layout: StripLayout = []
    while any(left):
        placed = Filler(kinds, values, left).fill(width, height)
        if not placed:
            break
        pattern = StripPattern(height, tuple(placed))
        uses = pattern.uses()
        times = min(left[i] // n for i, n in uses.items())
        layout.append((pattern, times))
        for i, n in uses.items():
            left[i] -= n * times
    return layout


def _vary(kinds: Sequence[RectangleKind], width: int, height: int, bound: int) -> StripLayout:
    """Fill repeatedly with varied values of pieces, and keep the least."""
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    best: StripLayout = []
    for start in range(STARTS):
        power = 1 + 0.03 * (start + 1)
        values = [kind.area**power * (random.uniform(0.9, 1.1) if start > 3 else 1) for kind in kinds]
        layout = _fill_all(kinds, width, height, values)
        if not best or count_bins(layout) < count_bins(best):
            best = layout
        if count_bins(best) <= bound:
            break
    return best


def _generate(kinds: Sequence[RectangleKind], width: int, height: int, start: StripLayout, bound: int) -> StripLayout:
    """Choose whole patterns by an integer programme over priced patterns, or over all patterns if they are few."""
    counts = [kind.count for kind in kinds]
    programme = ColumnProgramme([float(count) for count in counts])
    columns: list[StripPattern] = []

    def add(pattern: StripPattern) -> None:
        programme.add(1.0, {i: float(n) for i, n in sorted(pattern.uses().items())})
        columns.append(pattern)

    for pattern, _ in start:
        add(pattern)
    for pattern in _list_rows(kinds, width, height):
        add(pattern)
    for _ in range(ROUNDS):
        _, prices = programme.solve()
        filler = Filler(kinds, [float(p) for p in prices], counts)
        placed = filler.fill(width, height)
        if not placed or sum(p.number * prices[p.kind] for p in placed) <= 1 + 1e-7:
            break
        add(StripPattern(height, tuple(placed)))
    amounts = programme.solve_whole(NODES, float(bound), float(count_bins(start)))
    return start if amounts is None else drop_surplus(columns, amounts.tolist(), counts)


def _list_rows(kinds: Sequence[RectangleKind], width: int, height: int) -> list[StripPattern]:
    """Return every full row of pieces that fit only side by side, or nothing if there are too many rows."""
    if any(2 * kind.height <= height or (kind.turn and kind.width <= height) or kind.run for kind in kinds):
        return []
    order = sorted(range(len(kinds)), key=lambda i: -kinds[i].width)
    found: list[StripPattern] = []

    def extend(position: int, x: int, placed: tuple[tuple[int, int], ...]) -> None:
        if len(found) > MOST_PATTERNS:
            return
        if position == len(order):
            if placed and width - x < min(kinds[i].width for i in order):
                found.append(_set_row(kinds, placed, height))
            return
        i = order[position]
        for number in range(min(kinds[i].count, (width - x) // kinds[i].width), -1, -1):
            extend(position + 1, x + number * kinds[i].width, (*placed, (i, number)) if number else placed)

    extend(0, 0, ())
    return found if len(found) <= MOST_PATTERNS else []


def _set_row(kinds: Sequence[RectangleKind], row: Sequence[tuple[int, int]], height: int) -> StripPattern:
    placed, x = [], 0
    for i, number in row:
        for _ in range(number):
            placed.append(Placed(i, x, 0, kinds[i].width, kinds[i].height))
            x += kinds[i].width
    return StripPattern(height, tuple(placed))
