"""Orders: pieces set one after another into the rest that each fits best; the order learns from what did not fit.

A length is tried as one sheet, or as strips within the ruler's length. Each piece in turn goes into the free rectangle
that it fits best, and two cuts from edge to edge leave two smaller ones. All rules are tried: several orders, fits and
ways of cutting. The best of them then learn: what found no room comes earlier the next time.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from random import Random
from typing import NamedTuple, TypeAlias

from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern

ORDERS: tuple[Callable[[int, int], float], ...] = (
    lambda wide, high: wide * high,
    lambda wide, _: wide,
    lambda _, high: high,
    max,
    lambda wide, high: wide + high,
    min,
)
"""What comes first: area, width, height, longer side, outline, shorter side."""
FITS: tuple[Callable[[int, int, int], int], ...] = (
    lambda beside, above, _: beside if beside < above else above,  # noqa: FURB136  twice as fast as min
    lambda _, __, area: area,
    lambda beside, above, _: beside if beside > above else above,  # noqa: FURB136  as above
    lambda beside, _, __: beside,
)
"""The best fit has least left at the shorter side, in area, at the longer side, or beside it."""
CUTS: tuple[Callable[[int, int, int, int], bool], ...] = (
    lambda beside, above, _, __: beside < above,
    lambda beside, above, _, __: beside >= above,
    lambda beside, above, wide, high: wide * above <= beside * high,
    lambda beside, above, wide, high: wide * above > beside * high,
)
"""Whether the first cut runs across: by the shorter or the longer rest, the smaller or the larger corner."""
LEARNING, SHAKEN, ROUNDS = 0.3, 10, 60
"""How much a piece may gain when it found no room; rounds between small changes of all; rounds between new starts."""
TEACHERS = 6
"""The number of rules that learn."""

_Sheet: TypeAlias = tuple[int, int]
_Rule: TypeAlias = tuple[int, int, int]


class _One(NamedTuple):
    """One piece: its place in the list, its kind, its sides, and whether it may turn."""

    number: int
    kind: int
    width: int
    height: int
    turn: bool


def order_pieces(
    kinds: Sequence[RectangleKind], width: int, best: int, bound: int, work: int, most: int | None = None
) -> Iterator[StripLayout | None]:
    """Yield shorter and shorter layouts, and None now and then so that the caller may stop.

    Parameters
    ----------
    kinds
        The kinds to pack; nothing is yielded if some are runs of angled pieces, or higher than `most` either way.
    width
        Usable width.
    best, bound
        A known length, and the least possible length; the search ends there.
    work
        The number of times to set a piece while orders learn; the rules themselves come first and are not counted.
    most
        The greatest height of a strip; None without a limit.

    Notes
    -----
    The rules set each piece about 150 times. Setting a piece takes one to two microseconds with up to 200 pieces.

    References
    ----------
    J. Jylänki, A thousand ways to pack the bin (2010), section 2.2, on best fits and cuts; D. Joslin, D. Clements,
    Squeaky wheel optimization, Journal of Artificial Intelligence Research 10 (1999), p. 353; G. Belov, G. Scheithauer,
    E. Mukhacheva, One-dimensional heuristics adapted for two-dimensional rectangular strip packing, Journal of the
    Operational Research Society 59 (2008), p. 823 (all from memory).

    Examples
    --------
    >>> kinds = [RectangleKind(width, height, 1, True) for width, height in ((7, 4), (4, 3), (5, 3), (9, 1), (2, 1))]
    >>> [layout[0][0].height for layout in order_pieces(kinds, 9, 12, 8, 99) if layout][-1]
    8
    """
    low = [min(kind.height, kind.width) if kind.turn and kind.height <= width else kind.height for kind in kinds]
    if any(kind.run for kind in kinds) or (most is not None and max(low) > most):
        return
    search = _OrderSearch(_list_pieces(kinds), width, best, most)
    for rule in product(range(len(ORDERS)), range(len(FITS)), range(len(CUTS))):
        found = search.shorten(search.sort(rule[0]), rule, bound)
        if search.best <= bound:
            yield found
            return
        yield found
    yield from search.learn(bound, work)


def _list_pieces(kinds: Sequence[RectangleKind]) -> list[_One]:
    every = [(i, kind) for i, kind in enumerate(kinds) for _ in range(kind.count)]
    return [_One(n, i, kind.width, kind.height, kind.turn) for n, (i, kind) in enumerate(every)]


class _OrderSearch:
    """The shortest length so far, and the pieces."""

    def __init__(self, pieces: Sequence[_One], width: int, best: int, most: int | None) -> None:
        self.pieces, self.width, self.best, self.most = pieces, width, best, most

    def sort(self, order: int) -> list[_One]:
        """Return the pieces, the greatest first."""
        measure = ORDERS[order]
        return sorted(self.pieces, key=lambda one: (-measure(one.width, one.height), -one.width, one.number))

    def sheets(self, length: int) -> list[_Sheet]:
        """Return the sheets of a length: one, or strips within the limit."""
        if self.most is None or length <= self.most:
            return [(self.width, length)]
        whole, rest = divmod(length, self.most)
        return [(self.width, self.most)] * whole + ([(self.width, rest)] if rest else [])

    def shorten(self, ordered: Sequence[_One], rule: _Rule, bound: int) -> StripLayout | None:
        """Return the shortest layout of one order by halving the range of lengths, None if none is shorter."""
        found = None
        low, high = bound, self.best - 1
        target = high
        while low <= high:
            sheets = self.sheets(target)
            placed, left = set_in_order(ordered, sheets, rule)
            if left:
                if target == self.best - 1:
                    return found
                low = target + 1
            else:
                found = _make_layout(placed, sheets)
                self.best = sum(strip.height for strip, _ in found)
                high = self.best - 1
            target = (low + high) // 2
        return found

    def learn(self, bound: int, work: int) -> Iterator[StripLayout | None]:
        """Let the orders of the best rules learn."""
        area = [one.width * one.height for one in self.pieces]
        ranked = []
        for rule in product(range(len(ORDERS)), range(len(FITS)), range(len(CUTS))):
            left = set_in_order(self.sort(rule[0]), self.sheets(self.best - 1), rule)[1]
            ranked.append((sum(area[i] for i in left), rule))
        random = Random(len(self.pieces))  # noqa: S311  variety, not secrets
        for _, rule in sorted(ranked)[:TEACHERS]:
            for _ in range(work // len(self.pieces) // TEACHERS // ROUNDS):
                found = self._learn_once(rule, random)
                yield found
                if self.best <= bound:
                    return

    def _learn_once(self, rule: _Rule, random: Random) -> StripLayout | None:
        """Let one order learn from a start of its own; return the shortest layout, None if none is shorter."""
        measure, found = ORDERS[rule[0]], None
        start = [float(measure(one.width, one.height)) for one in self.pieces]
        worth = [value * random.uniform(0.9, 1.1) for value in start]
        for number in range(ROUNDS):
            ordered = sorted(self.pieces, key=lambda one: -worth[one.number])
            sheets = self.sheets(self.best - 1)
            placed, left = set_in_order(ordered, sheets, rule)
            if not left:
                found = _make_layout(placed, sheets)
                self.best = sum(strip.height for strip, _ in found)
            for i in left:
                worth[i] *= 1 + LEARNING * random.random()
            if number % SHAKEN == SHAKEN - 1:
                worth = [value * random.uniform(0.98, 1.02) for value in worth]
        return found


def set_in_order(
    ordered: Sequence[_One], sheets: Sequence[_Sheet], rule: _Rule
) -> tuple[list[tuple[int, Placed]], list[int]]:
    """Set each piece into the rest that it fits best; return sheet and place of each, and the numbers of those left."""
    measure, cut = FITS[rule[1]], CUTS[rule[2]]
    rests = [(wide, high, 0, 0, sheet) for sheet, (wide, high) in enumerate(sheets)]
    placed: list[tuple[int, Placed]] = []
    left: list[int] = []
    failed = -1
    for number, kind, wide, high, turn in ordered:
        if kind == failed:
            left.append(number)
            continue
        best, chosen, turned = 1 << 60, -1, False
        for k, (w, h, _, _, _) in enumerate(rests):
            if wide <= w and high <= h:
                value = measure(w - wide, h - high, w * h)
                if value < best:
                    best, chosen, turned = value, k, False
            if turn and high <= w and wide <= h:
                value = measure(w - high, h - wide, w * h)
                if value < best:
                    best, chosen, turned = value, k, True
        if chosen < 0:
            failed = kind
            left.append(number)
            continue
        w, h, x, y, sheet = rests.pop(chosen)
        a, b = (high, wide) if turned else (wide, high)
        placed.append((sheet, Placed(kind, x, y, a, b)))
        rests += _cut_rest((w, h, x, y, sheet), a, b, across=cut(w - a, h - b, a, b))
    return placed, left


_FreePart: TypeAlias = tuple[int, int, int, int, int]


def _cut_rest(rest: _FreePart, wide: int, high: int, *, across: bool) -> list[_FreePart]:
    """Return what is left of a rest beside and above a piece; the first cut runs across it, or up."""
    w, h, x, y, sheet = rest
    found: list[_FreePart] = []
    if w > wide:
        found.append((w - wide, high if across else h, x + wide, y, sheet))
    if h > high:
        found.append((w if across else wide, h - high, x, y + high, sheet))
    return found


def _make_layout(placed: Sequence[tuple[int, Placed]], sheets: Sequence[_Sheet]) -> StripLayout:
    """Return a strip for each sheet, no higher than what is in it."""
    layout: StripLayout = []
    for sheet in range(len(sheets)):
        held = tuple(place for number, place in placed if number == sheet)
        if held:
            layout.append((StripPattern(max(place.y + place.height for place in held), held), 1))
    return layout
