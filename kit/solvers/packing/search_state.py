"""The state of a search for the least length: the best layout so far, its bound, and the length of the search."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias

from kit.solvers.packing.strip_packing import Kind, Layout, Pattern, Placed, count_cuts, measure_layout

Effort: TypeAlias = Literal["quick", "steady", "thorough"]
Watch: TypeAlias = Callable[[int, int], bool]
"""Called repeatedly during the search with the length and the bound so far; returns True to stop."""


class Patience(NamedTuple):
    """The length of a search: starts (for all kinds), rounds at varied prices, branches, rounds of merging, nearness.

    The search ends at a layout nearer to the bound than this last part. For many pieces a hundredth is a tenth of a
    yard in ten, less than a shop's smallest cut.
    """

    starts: int
    rounds: int
    branches: int
    merges: int
    close: float


PATIENCE = {
    "quick": Patience(0, 0, 0, 0, 1.0),
    "steady": Patience(30, 6, 30, 300, 0.002),
    "thorough": Patience(200, 40, 300, 6000, 0.002),
}
MANY_PIECES, NEAR = 400, 0.01
"""With more pieces than this the search ends this near to the bound."""


@dataclass
class Search:
    """The best layout so far.

    Attributes
    ----------
    kinds, width
        The kinds to pack, and the usable width.
    best, bound
    The best layout, and the proven least length.
    watch, patience
    The watcher of the search, and the length of the search.
    pool
        Strips worth keeping: (height, what it holds) -> strip.
    """

    kinds: Sequence[Kind]
    width: int
    best: Layout
    bound: int
    watch: Watch | None = None
    patience: Patience = PATIENCE["steady"]
    pool: dict[tuple[object, ...], Pattern] = field(default_factory=dict)
    stopped: bool = False

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
        """Whether the best is proved, or the watcher has stopped the search."""
        close = max(self.patience.close, NEAR) if self.many else self.patience.close
        return self.stopped or self.length <= self.bound * (1 + close)

    def offer(self, layout: Layout) -> None:
        """Take a layout if it is shorter, or as short and plainer."""
        layout = tidy(layout)
        if (measure_layout(layout), *count_cuts(layout)) < (self.length, *count_cuts(self.best)):
            self.best = layout
        self.ask()

    def ask(self) -> None:
        """Call the watcher, and stop if it says so."""
        if self.watch and not self.stopped:
            self.stopped = self.watch(self.length, self.bound)

    def keep(self, pattern: Pattern) -> bool:
        """Put a strip into the pool, only the first with the same contents; return True if it is new."""
        key = (pattern.height, *sorted(pattern.uses().items()))
        return self.pool.setdefault(key, pattern) is pattern


def tidy(layout: Layout) -> Layout:
    """Cut each strip no higher than needed, group equal strips, and put the highest first."""
    found: dict[Pattern, int] = {}
    for pattern, times in layout:
        for strip in _part(pattern):
            found[strip] = found.get(strip, 0) + times
    return sorted(found.items(), key=lambda entry: (-entry[0].height, -entry[1], entry[0].placed))


def _part(pattern: Pattern) -> list[Pattern]:
    """Return the parts of a strip after cuts across the whole width, each no higher than its contents."""
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
