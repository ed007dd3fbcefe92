"""Layouts of least length: good ones at once, better ones by column generation, each beside its proven bound.

First the strips are counted kind by kind and filled greedily. Then whole layouts are built strip by strip, always the
strip that wastes least among a few heights, with what a piece is worth varied from start to start. Every good strip
goes into a pool; a linear programme over the pool prices the pieces, new strips are filled at these prices, and an
integer programme picks strips from the pool. Few pieces are searched through completely.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Literal, NamedTuple, TypeAlias

from kit.passes.bounds import bound_length, list_sums
from kit.passes.exact import search_all
from kit.passes.merging import merge_pieces
from kit.passes.packing import (
    Filler,
    Kind,
    Layout,
    Pattern,
    Placed,
    count_cuts,
    measure_layout,
    pack_by_kind,
    pack_greedily,
)
from kit.passes.programmes import ColumnProgramme

Effort: TypeAlias = Literal["quick", "steady", "thorough"]
Watch: TypeAlias = Callable[[int, int], bool]
"""Told the length and the bound whenever either gets better; returns True to stop."""



class _Patience(NamedTuple):
    """How long is searched: starts (for all kinds), rounds at varied prices, branches, whether pieces are merged."""

    starts: int
    rounds: int
    branches: int
    merges: bool


PATIENCE = {
    "quick": _Patience(0, 0, 0, merges=False),
    "steady": _Patience(30, 6, 30, merges=False),
    "thorough": _Patience(200, 40, 300, merges=True),
}
ROUNDS, WHOLE, MANY = 8, 8, 12
"""Rounds at true prices; lengths that are tried whole; kinds above which there are fewer rounds at varied prices."""
MOST_MERGED = 80
"""Pieces that are merged at most, no two of which on average may be alike."""
CLOSE = 0.002
"""A layout that is nearer to the bound than this part of it is not searched further."""


@dataclass
class Search:
    """The best layout so far.

    Attributes
    ----------
    kinds, width
        What is packed, into which usable width.
    best, bound
        The best layout, and the proven least length.
    watch, patience
        Who follows the search, and how long it lasts.
    pool
        Strips worth keeping: (height, what it holds) -> strip.
    """

    kinds: Sequence[Kind]
    width: int
    best: Layout
    bound: int
    watch: Watch | None = None
    patience: _Patience = PATIENCE["steady"]
    pool: dict[tuple[object, ...], Pattern] = field(default_factory=dict)
    stopped: bool = False

    @property
    def length(self) -> int:
        """Length of the best layout."""
        return measure_layout(self.best)

    @property
    def done(self) -> bool:
        """Whether the best is proved, or the watcher said stop."""
        return self.stopped or self.length <= self.bound * (1 + CLOSE)

    def offer(self, layout: Layout) -> None:
        """Take a layout when it is shorter, or as short and plainer."""
        layout = tidy(layout)
        if (measure_layout(layout), *count_cuts(layout)) < (self.length, *count_cuts(self.best)):
            shorter = measure_layout(layout) < self.length
            self.best = layout
            if shorter and self.watch:
                self.stopped = self.watch(self.length, self.bound) or self.stopped

    def keep(self, pattern: Pattern) -> bool:
        """Put a strip into the pool, the first of those that hold the same; tell whether it is new."""
        key = (pattern.height, *sorted(pattern.uses().items()))
        return self.pool.setdefault(key, pattern) is pattern


def tidy(layout: Layout) -> Layout:
    """Cut each strip no higher than it has to be, put like strips together and the highest first."""
    found: dict[Pattern, int] = {}
    for pattern, times in layout:
        for strip in _part(pattern):
            found[strip] = found.get(strip, 0) + times
    return sorted(found.items(), key=lambda entry: (-entry[0].height, -entry[1], entry[0].placed))


def _part(pattern: Pattern) -> list[Pattern]:
    """Return the strips that cuts across the whole width part a strip into, each no higher than what it holds."""
    strips: list[Pattern] = []
    row: list[Placed] = []
    bottom = top = 0
    for place in sorted(pattern.placed, key=lambda p: (p.y, p.x)):
        if row and place.y >= top:
            strips.append(Pattern(top - bottom, tuple(p._replace(y=p.y - bottom) for p in row)))
            row = []
        if not row:
            bottom = place.y
        row.append(place)
        top = max(top, place.y + place.height)
    strips.append(Pattern(top - bottom, tuple(p._replace(y=p.y - bottom) for p in row)))
    return strips


def lay_out(
    kinds: Sequence[Kind], width: int, effort: Effort = "thorough", watch: Watch | None = None
) -> tuple[Layout, int]:
    """Return a layout of every piece and the proven least length.

    Parameters
    ----------
    kinds
        What is packed; each fits the width.
    width
        Usable width.
    effort
        "quick": counted and filled greedily, bounded by area; "steady": searched; "thorough": also by merging pieces
        with an equal side, which may take seconds a fabric.
    watch
        Follows the search and may stop it.

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
    area = sum(kind.area * kind.count for kind in kinds)
    first = tidy(pack_by_kind(kinds, width, turned=True))
    search = Search(kinds, width, first, -(-area // width), watch, PATIENCE[effort])
    search.offer(pack_by_kind(kinds, width))
    for order in _orient(kinds, width):
        search.offer(pack_greedily(order, width))
    if effort == "quick":
        return search.best, next((s for s in list_sums(kinds, search.length) if s >= search.bound), search.length)
    for step in (_prove, _fill_whole, _merge, _build, _generate):
        if not search.done:
            step(search)
    return search.best, search.bound


def _prove(search: Search) -> None:
    """Find the bound, and the least length itself where the pieces are few."""
    search.bound = bound_length(search.kinds, search.width, search.length)
    found = None if search.done else search_all(search.kinds, search.width, search.length)
    if found:
        search.offer(found)
        search.bound = search.length


def _fill_whole(search: Search) -> None:
    """Try to get everything into one length that is shorter than the best, from the bound upwards."""
    kinds = search.kinds
    sums = [s for s in list_sums(kinds, search.length - 1) if s >= search.bound]
    for length in sums[:WHOLE]:
        for power in (1.0, 1.06, 1.2):
            filler = Filler(kinds, [kind.area**power for kind in kinds], [kind.count for kind in kinds])
            placed = filler.fill_row(search.width, length)
            if placed and not any(filler.left):
                search.offer([(Pattern(length, tuple(placed)), 1)])
                return


def _merge(search: Search) -> None:
    """Merge pieces with an equal side, where there is time and they are few and of many kinds."""
    kinds, width = search.kinds, search.width
    if search.patience.merges and sum(kind.count for kind in kinds) <= min(MOST_MERGED, 2 * len(kinds)):
        found = merge_pieces(kinds, width, search.length, search.bound, lambda blocks: _pack_blocks(blocks, width))
        if found:
            search.offer(found)


def _orient(kinds: Sequence[Kind], width: int) -> list[list[Kind]]:
    """Return the kinds as they lie, and with everything that may be turned set upright where it fits."""
    flat = [kind if kind.width <= width else _turn(kind) for kind in kinds]
    upright = [_turn(kind) if kind.turn and kind.width > kind.height else kind for kind in kinds]
    return [flat, upright] if upright != flat else [flat]


def _turn(kind: Kind) -> Kind:
    return Kind(kind.height, kind.width, kind.count, kind.turn, kind.run)


def _build(search: Search) -> None:
    """Build layouts strip by strip, with what pieces are worth varied from start to start."""
    random = Random(len(search.kinds))  # noqa: S311  variety, not secrets
    areas = [float(kind.area) for kind in search.kinds]
    for start in range(max(4, search.patience.starts // len(areas))):
        power = 1.0 + 0.02 * (start % 4)
        values = [area**power * (1.0 if start < 4 else random.uniform(0.9, 1.12)) for area in areas]
        search.offer(_build_one(search, values, None if start % 2 else random))
        if search.done:
            return


def _build_one(search: Search, values: Sequence[float], random: Random | None) -> Layout:
    """Build one layout: each time the densest strip, of some heights or (without random) with the largest piece."""
    kinds, width, most = search.kinds, search.width, search.length - 1
    left = [kind.count for kind in kinds]
    layout: Layout = []
    while any(left):
        best: tuple[float, Pattern] | None = None
        for height, lead in _list_heights(kinds, left, width, most, random):
            pattern, filled = _fill_strip(search, values, left, height, lead)
            if pattern and (best is None or filled > best[0] + 1e-9):
                best = filled, pattern
        if best is None:
            return [*layout, *pack_by_kind([_with(kind, n) for kind, n in zip(kinds, left, strict=True)], width)]
        uses = best[1].uses()
        times = min(left[i] // n for i, n in uses.items())
        layout.append((best[1], times))
        search.keep(best[1])
        for i, n in uses.items():
            left[i] -= n * times
    return layout


def _fill_strip(
    search: Search, values: Sequence[float], left: Sequence[int], height: int, lead: int | None
) -> tuple[Pattern | None, float]:
    """Fill one strip, with the leading kind in it if there is one; return it and how much of it is filled."""
    worth = [value * 1.3 if i == lead else value for i, value in enumerate(values)]
    placed = Filler(search.kinds, worth, left).fill_row(search.width, height)
    if not placed or (lead is not None and all(place.kind != lead for place in placed)):
        return None, 0.0
    pattern = Pattern(max(place.y + place.height for place in placed), tuple(placed))
    area = sum(place.number * search.kinds[place.kind].area for place in placed)
    filled = area / (search.width * pattern.height)
    if filled > 0.8:
        search.keep(pattern)
    return pattern, filled


def _with(kind: Kind, count: int) -> Kind:
    return Kind(kind.width, kind.height, count, kind.turn, kind.run)


def _list_heights(
    kinds: Sequence[Kind], left: Sequence[int], width: int, most: int, random: Random | None
) -> list[tuple[int, int | None]]:
    """Return the heights of strip to try, each with the kind that must be in it, if any."""
    open_kinds = [i for i, n in enumerate(left) if n > 0]
    if random is None:
        lead = max(open_kinds, key=lambda i: (min(kinds[i].width, kinds[i].height), kinds[i].area, -i))
        heights = {h for w, h in _faces(kinds[lead]) if w <= width}
        return [(height, lead) for height in sorted(heights)]
    heights = {h for i in open_kinds for w, h in _faces(kinds[i]) if w <= width}
    return [(height, None) for height in _choose_heights(heights, most, 10, random)]


def _choose_heights(heights: set[int], most: int, number: int, random: Random) -> list[int]:
    """Return the heights and some of their multiples, which hold several rows or columns, the highest first."""
    ranked = sorted(heights, reverse=True)
    ranked = ranked if len(ranked) <= number else sorted(random.sample(ranked, number), reverse=True)
    multiples = sorted({k * h for h in heights for k in range(2, most // h + 1)} - heights)
    more = multiples if len(multiples) <= number else random.sample(multiples, number)
    return sorted({*ranked, *more}, reverse=True)


def _faces(kind: Kind) -> list[tuple[int, int]]:
    return [(kind.width, kind.height)] + ([(kind.height, kind.width)] if kind.turn else [])


def _pack_blocks(blocks: Sequence[Kind], width: int) -> Layout:
    """Pack the last blocks of a merger: completely where they are few, else by a few starts."""
    whole = search_all(blocks, width, sum(max(block.width, block.height) for block in blocks))
    if whole:
        return whole
    search = Search(blocks, width, pack_by_kind(blocks, width, turned=True), 0)
    for power in (1.0, 1.3):
        search.offer(_build_one(search, [block.area**power for block in blocks], None))
    return search.best


def _generate(search: Search) -> None:
    """Price the pieces by a linear programme over the pool, fill strips at these prices, pick whole strips."""
    kinds = search.kinds
    counts = [kind.count for kind in kinds]
    for pattern, _ in [*search.best, *pack_by_kind(kinds, search.width, turned=True)]:
        search.keep(pattern)
    programme = ColumnProgramme([float(count) for count in counts])
    columns: list[Pattern] = []

    def add(pattern: Pattern) -> None:
        programme.add(float(pattern.height), {i: float(n) for i, n in sorted(pattern.uses().items())})
        columns.append(pattern)

    for pattern in search.pool.values():
        add(pattern)
    sides = {h for kind in kinds for w, h in _faces(kind) if w <= search.width}
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    for number in range(ROUNDS + search.patience.rounds * min(MANY, len(kinds)) // len(kinds)):
        _, prices = programme.solve()
        true = number < ROUNDS
        varied = [float(price) * (1 if true else random.uniform(0.9, 1.1)) for price in prices]
        for height in _choose_heights(sides, search.length, 8, random):
            placed = Filler(kinds, varied, counts).fill_row(search.width, height)
            if not placed:
                continue
            pattern = Pattern(max(place.y + place.height for place in placed), tuple(placed))
            worth = sum(place.number * prices[place.kind] for place in placed)
            if search.keep(pattern) and worth > pattern.height * (1 + 1e-6 if true else 0.96):
                add(pattern)
    amounts = programme.solve_whole(search.patience.branches, float(search.bound), float(search.length))
    if amounts is not None:
        search.offer(drop_surplus(columns, amounts.tolist(), counts))


def drop_surplus(columns: Sequence[Pattern], amounts: Sequence[int], counts: Sequence[int]) -> Layout:
    """Return the chosen strips without the pieces that are more than is needed."""
    left = list(counts)
    layout: Layout = []
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
                layout.append((Pattern(pattern.height, tuple(placed)), 1))
    return layout
