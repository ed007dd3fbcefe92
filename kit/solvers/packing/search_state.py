"""The state of a search for the least length: the best layout so far, its bound, and the length of the search."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias

from kit.progress import Progress, keep_quiet, report
from kit.solvers.packing.paired_boxes import PairLimits
from kit.solvers.packing.strip_packing import (
    Placed,
    RectangleKind,
    StripLayout,
    StripPattern,
    count_cuts,
    measure_layout,
)

Effort: TypeAlias = Literal["quick", "steady", "thorough"]


PASSES: dict[Effort, tuple[Effort, ...]] = {"quick": (), "steady": ("steady",), "thorough": ("steady", "thorough")}
"""A thorough search begins where a steady one ends, so that it never finds more."""


class SearchLimits(NamedTuple):
    """The length of a search: starts (for all kinds), rounds at varied prices, branches, rounds of merging, and so on.

    Dives are counted in steps of making boxes, and begin only where the gap is wider than `wide`.
    The search ends at a layout nearer to the bound than this last part. For many pieces a hundredth is a tenth of a
    yard in ten, less than a shop's smallest cut.
    """

    starts: int
    rounds: int
    branches: int
    merges: int
    orders: int
    pairs: PairLimits
    dives: int
    wide: float
    close: float


PATIENCE = {
    "quick": SearchLimits(0, 0, 0, 0, 0, PairLimits(0, 0), 0, 1.0, 1.0),
    "steady": SearchLimits(30, 6, 30, 300, 200_000, PairLimits(20_000, 5_000_000), 4 * 10**7, 0.03, 0.002),
    "thorough": SearchLimits(200, 40, 300, 6000, 2_000_000, PairLimits(20_000, 200_000_000), 6 * 10**8, 0.005, 0.002),
}
TALL = 2
"""Strips higher than so many widths hold nothing that lower ones do not."""
MANY_PIECES, NEAR = 400, 0.01
"""With more pieces than this the search ends this near to the bound."""


@dataclass
class LayoutSearch:
    """The best layout so far.

    Attributes
    ----------
    kinds, width
        The kinds to pack, and the usable width.
    best, bound
        The best layout, and the proven least length.
    progress, patience
        Told the bound and the length so far, and how long the search lasts.
    pool
        Strips worth keeping: (height, what it holds) -> strip.
    most
        The greatest height of a strip, unless a kind has no lower side; None without a limit.
    floor
        The proven least length of the kinds as they lie within that limit; the bound is that without a limit.
    """

    kinds: Sequence[RectangleKind]
    width: int
    best: StripLayout
    bound: int
    progress: Progress = keep_quiet
    patience: SearchLimits = PATIENCE["steady"]
    pool: dict[tuple[object, ...], StripPattern] = field(default_factory=dict)
    most: int | None = None
    floor: int = 0

    @property
    def length(self) -> int:
        """Length of the best layout."""
        return measure_layout(self.best)

    @property
    def many(self) -> bool:
        """Whether the pieces are many, so that a long search would gain little."""
        return sum(kind.count for kind in self.kinds) > MANY_PIECES

    @property
    def done(self) -> bool:
        """Whether the best is proved, or near enough."""
        close = max(self.patience.close, NEAR) if self.many else self.patience.close
        return self.length <= max(self.bound * (1 + close), self.floor)

    def offer(self, layout: StripLayout) -> None:
        """Take a layout if it is shorter, or as short and plainer."""
        layout = tidy(layout)
        plainer = (measure_layout(layout), *count_cuts(layout)) < (self.length, *count_cuts(self.best))
        if plainer and all(self.allows(pattern) for pattern, _ in layout):
            self.best = layout
        self.ask()

    def ask(self) -> None:
        """Report bound and length; a stop raises, and the best so far is kept."""
        report(self.progress, "layout", self.bound, self.length)

    def keep(self, pattern: StripPattern) -> bool:
        """Put a strip into the pool, only the first with the same contents; return True if it is new."""
        key = (pattern.height, *sorted(pattern.uses().items()))
        return self.allows(pattern) and self.pool.setdefault(key, pattern) is pattern

    def allows(self, pattern: StripPattern) -> bool:
        """Return True if a strip is no higher than the limit, or than the lower side of a kind in it."""
        if self.most is None or pattern.height <= self.most:
            return True
        return pattern.height <= max(place.height for place in pattern.placed)

    @property
    def highest(self) -> int:
        """The height of the highest strip to try: less than the best layout, within the limit, and not many widths."""
        sensible = max(TALL * self.width, *(max(kind.width, kind.height) for kind in self.kinds))
        return min(self.length - 1, sensible if self.most is None else self.most)


def tidy(layout: StripLayout) -> StripLayout:
    """Cut each strip no higher than needed, group equal strips, and put the highest first."""
    found: dict[StripPattern, int] = {}
    for pattern, times in layout:
        for strip in _part(pattern):
            found[strip] = found.get(strip, 0) + times
    return sorted(found.items(), key=lambda entry: (-entry[0].height, -entry[1], entry[0].placed))


def _part(pattern: StripPattern) -> list[StripPattern]:
    """Return the parts of a strip after cuts across the whole width, each no higher than its contents."""
    strips: list[StripPattern] = []
    row: list[Placed] = []
    bottom = top = 0
    for place in sorted(pattern.placed, key=lambda p: (p.y, p.x)):
        if row and place.y >= top:
            strips.append(StripPattern(top - bottom, tuple(p._replace(y=p.y - bottom) for p in row)))
            row = []
        if not row:
            bottom = place.y
        row.append(place)
        top = max(top, place.y + place.height)
    strips.append(StripPattern(top - bottom, tuple(p._replace(y=p.y - bottom) for p in row)))
    return strips
