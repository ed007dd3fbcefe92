"""Layouts of least length: good ones at once, better ones by column generation, each beside its proven bound.

First the strips are counted kind by kind, filled greedily and, of some hundred pieces, laid by simple rules
(`simple_rules`). Few pieces, or few kinds, are searched completely by
pairs of boxes (`paired_boxes`). Up to some hundreds are set one after another by rules (`learned_orders`), up to some
dozens are merged into blocks (`merging`). Then whole layouts are built strip by strip, always with the least
waste among a few heights (`building`). Every good strip goes into a pool; a linear programme over the pool
prices the pieces, new strips are filled at these prices, and an integer programme picks strips from the pool. Where
that is still far from the bound, strips are fixed one after another (`diving`).
"""

from collections.abc import Callable, Sequence
from random import Random

from kit.progress import Progress, keep_quiet, until_stopped
from kit.solvers.packing.building import build_layouts, choose_heights, list_faces
from kit.solvers.packing.diving import dive_across, dive_for_layouts
from kit.solvers.packing.filling import Filler, Known
from kit.solvers.packing.learned_orders import order_pieces
from kit.solvers.packing.length_bounds import bound_length, list_sums
from kit.solvers.packing.merging import merge_pieces
from kit.solvers.packing.paired_boxes import prove_by_pairs
from kit.solvers.packing.programmes import ColumnProgramme
from kit.solvers.packing.row_search import lay_out_rows
from kit.solvers.packing.search_state import PASSES, PATIENCE, Effort, LayoutSearch, tidy
from kit.solvers.packing.simple_rules import lay_by_rules
from kit.solvers.packing.strip_packing import (
    RectangleKind,
    StripLayout,
    StripPattern,
    pack_by_kind,
    pack_greedily,
)

ROUNDS, WHOLE, MANY = 8, 8, 12
"""Rounds at true prices; lengths tried whole; the number of kinds beyond which varied prices get fewer rounds."""
MOST_MERGED, MOST_WHOLE, MOST_PAIRED, MOST_ORDERED = 80, 200, 80, 400
"""The most pieces to merge, to try in one length, to pair, and to set in an order."""
MOST_RULED = 200
"""The most pieces that a search lays by simple rules first."""
MANY_KINDS = 60
"""With more kinds than this a steady search fills no strips: few of them could be cut again."""
SQUARE, ACROSS = 1.2, 3
"""Layouts no longer than so many widths are also cut along first, in so many lengths below the best."""
ALIKE = 4
"""With so many pieces of a kind, on average, a steady search leaves the orders as they are and fills strips instead."""


def lay_out(
    kinds: Sequence[RectangleKind],
    width: int,
    effort: Effort = "thorough",
    progress: Progress = keep_quiet,
    *,
    most: int | None = None,
) -> tuple[StripLayout, int]:
    """Return a layout of every piece and the proven least length.

    Parameters
    ----------
    kinds
        The kinds to pack; each fits the width.
    width
        Usable width.
    effort
        "quick": counted and filled greedily, bounded by area; "steady": searched; "thorough": searched further, which
        may take seconds per fabric.
    progress
        Told the bound and the length so far, again and again; a stop keeps the best layout so far.
    most
        The greatest height of a strip, the longest ruler, unless a kind has no lower side; None without a limit. The
        bound is that without a limit.

    Notes
    -----
    The work is bounded by counts, never by the clock, so the same pieces give the same layout on every machine.

    References
    ----------
    P. Gilmore, R. Gomory, Multistage cutting stock problems of two and more dimensions, Operations Research 13 (1965),
    p. 94; G. Belov, G. Scheithauer, E. Mukhacheva, One-dimensional heuristics adapted for two-dimensional rectangular
    strip packing, Journal of the Operational Research Society 59 (2008), p. 823 (both from memory).
    """
    if not kinds:
        return [], 0
    free, kinds = kinds, [_keep_low(kind, width, most) for kind in kinds]
    area = sum(kind.area * kind.count for kind in kinds)
    first = tidy(pack_by_kind(kinds, width, turned=True))
    search = LayoutSearch(kinds, width, first, -(-area // width), progress, PATIENCE[effort], most=most)
    with until_stopped():
        search.offer(pack_by_kind(kinds, width))
        for order in _orient(kinds, width):
            search.offer(pack_greedily(order, width))
        if effort != "quick" and not search.done:
            search.bound = bound_length(free, width, search.length)
            _lay_simply(search)
        for patience in PASSES[effort]:
            search.patience = PATIENCE[patience]
            if not search.done:  # rows are layouts too, so that these never take less
                search.offer(lay_out_rows(kinds, width, patience, most=most, bound=search.bound))
            if not search.done:
                _pair(search, free)
            for step in _list_steps(search, thorough=patience == "thorough"):
                if not search.done:
                    step(search)
    if effort == "quick":
        return search.best, next((s for s in list_sums(kinds, search.length) if s >= search.bound), search.length)
    return search.best, search.bound


def _lay_simply(search: LayoutSearch) -> None:
    """Lay some hundred pieces by simple rules, so that no search finds more than these."""
    if not search.done and sum(kind.count for kind in search.kinds) <= MOST_RULED:
        for layout in lay_by_rules(search.kinds, search.width):
            search.offer(layout)


def _keep_low(kind: RectangleKind, width: int, most: int | None) -> RectangleKind:
    """Return a kind that lies with its lower side up the strip, where only that side is within the limit."""
    if most is None or not kind.turn or kind.run or max(kind.width, kind.height) <= most:
        return kind
    low, long = sorted((kind.width, kind.height))
    return RectangleKind(long, low, kind.count) if low <= most and long <= width else kind


def _list_steps(search: LayoutSearch, *, thorough: bool) -> tuple[Callable[[LayoutSearch], None], ...]:
    """Return the steps of a search, the cheapest first."""
    if len(search.kinds) <= MANY_KINDS:
        return _order, _fill_whole, _merge, build_layouts, _generate, _dive
    return (_order, _merge, build_layouts, _generate) if thorough else (_order, _merge)


def _pair(search: LayoutSearch, free: Sequence[RectangleKind]) -> None:
    """Prove lengths too short, or find the least, by pairs of boxes."""
    kinds, number = search.kinds, sum(kind.count for kind in search.kinds)
    if search.done or number > MOST_PAIRED:
        return
    lengths = [s for s in list_sums(kinds, search.length - 1) if s >= search.bound]
    found, proved = prove_by_pairs(kinds, search.width, lengths, search.patience.pairs)
    search.floor = lengths[proved] if proved < len(lengths) else search.length
    if list(kinds) == list(free):
        search.bound = search.floor
    search.offer(found) if found else search.ask()


def _fill_whole(search: LayoutSearch) -> None:
    """Try to fit everything into one length shorter than the best, from the bound upwards."""
    kinds = search.kinds
    if sum(kind.count for kind in kinds) > MOST_WHOLE:
        return
    sums = [s for s in list_sums(kinds, search.length - 1) if s >= search.bound]
    for length in sums[:WHOLE]:
        for power in (1.0, 1.06, 1.2):
            filler = Filler(kinds, [kind.area**power for kind in kinds], [kind.count for kind in kinds])
            placed = filler.fill_row(search.width, length)
            if placed and not any(filler.left):
                search.offer([(StripPattern(length, tuple(placed)), 1)])
                return


def _order(search: LayoutSearch) -> None:
    """Set the pieces one after another by simple rules, and let the orders learn."""
    kinds, number = search.kinds, sum(kind.count for kind in search.kinds)
    if number > MOST_ORDERED:
        return
    alike = number >= ALIKE * len(kinds) and search.patience == PATIENCE["steady"]
    work = 0 if alike else search.patience.orders
    for layout in order_pieces(kinds, search.width, search.length, search.bound, work, search.most):
        search.offer(layout) if layout else search.ask()
        if search.done:
            return


def _merge(search: LayoutSearch) -> None:
    """Merge pieces with an equal side, if they are few."""
    kinds, width = search.kinds, search.width
    if sum(kind.count for kind in kinds) <= MOST_MERGED:
        for layout in merge_pieces(kinds, width, search.length, search.bound, search.patience.merges):
            search.offer(layout) if layout else search.ask()
            if search.done:
                return


def _orient(kinds: Sequence[RectangleKind], width: int) -> list[list[RectangleKind]]:
    """Return the kinds as given, and with all turnable kinds set upright where they fit."""
    flat = [kind if kind.width <= width else _turn(kind) for kind in kinds]
    upright = [_turn(kind) if kind.turn and kind.width > kind.height else kind for kind in kinds]
    return [flat, upright] if upright != flat else [flat]


def _turn(kind: RectangleKind) -> RectangleKind:
    return RectangleKind(kind.height, kind.width, kind.count, kind.turn, kind.run)


def _generate(search: LayoutSearch) -> None:
    """Price the pieces by a linear programme over the pool, fill strips at these prices, pick whole strips."""
    kinds = search.kinds
    counts = [kind.count for kind in kinds]
    for pattern, _ in [*search.best, *pack_by_kind(kinds, search.width, turned=True)]:
        search.keep(pattern)
    programme = ColumnProgramme([float(count) for count in counts])
    columns: list[StripPattern] = []

    def add(pattern: StripPattern) -> None:
        programme.add(float(pattern.height), {i: float(n) for i, n in sorted(pattern.uses().items())})
        columns.append(pattern)

    for pattern in search.pool.values():
        add(pattern)
    sides = {h for kind in kinds for w, h in list_faces(kind) if w <= search.width}
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    for number in range(ROUNDS + search.patience.rounds * min(MANY, len(kinds)) // len(kinds)):
        _, prices = programme.solve()
        true = number < ROUNDS
        varied = [float(price) * (1 if true else random.uniform(0.9, 1.1)) for price in prices]
        known: Known = {}
        for height in choose_heights(sides, search.highest + 1, 8, random):
            placed = Filler(kinds, varied, counts, known=known).fill_row(search.width, height)
            if not placed:
                continue
            pattern = StripPattern(max(place.y + place.height for place in placed), tuple(placed))
            worth = sum(place.number * prices[place.kind] for place in placed)
            if search.keep(pattern) and worth > pattern.height * (1 + 1e-6 if true else 0.96):
                add(pattern)
    amounts = programme.solve_whole(search.patience.branches, float(search.bound), float(search.length))
    if amounts is not None:
        search.offer(drop_surplus(columns, amounts.tolist(), counts))


def _dive(search: LayoutSearch) -> None:
    """Fix strips one after another at true prices, where the layout is still far from the bound."""
    patience, kinds = search.patience, search.kinds
    if search.length <= search.bound * (1 + patience.wide):
        return
    if search.length <= SQUARE * search.width and (search.most is None or search.length <= search.most):
        for length in [s for s in list_sums(kinds, search.length - 1) if s >= search.bound][-ACROSS:][::-1]:
            for layout in dive_across(kinds, search.width, length, patience.dives // (4 * ACROSS)):
                search.offer(layout) if layout else search.ask()
            if search.length > length:
                break
    lengths = search.length, max(search.bound, int(search.bound * (1 + patience.wide)))
    for layout in dive_for_layouts(kinds, search.width, search.pool, lengths, (search.highest, patience.dives)):
        search.offer(layout) if layout else search.ask()


def drop_surplus(columns: Sequence[StripPattern], amounts: Sequence[int], counts: Sequence[int]) -> StripLayout:
    """Return the chosen strips without surplus pieces."""
    left = list(counts)
    layout: StripLayout = []
    for pattern, amount in sorted(zip(columns, amounts, strict=True), key=lambda entry: -entry[0].height):
        for _ in range(int(amount)):
            placed = []
            for place in pattern.placed:
                number = min(place.number, left[place.kind])
                if number == place.number:
                    placed.append(place)
                elif number:
                    placed.append(place._replace(number=number))
                left[place.kind] -= number
            if placed:
                layout.append((StripPattern(pattern.height, tuple(placed)), 1))
    return layout
