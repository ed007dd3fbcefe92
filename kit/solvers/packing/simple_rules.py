"""Layouts by simple rules: pieces in an order, each set once, all cut from edge to edge; nothing is searched.

A level is opened by the next piece, as high as it lies. By priority the rest of the level is filled by recursion: first
a piece that fits both sides, then one that fits the width, then the height, then any. By the best rest each piece goes
into the free rectangle that it leaves least of, and a new level is opened only where none takes it.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern

_Laid: TypeAlias = tuple[int, int, int]
"""A piece: its width and height as laid, and its kind."""
_Region: TypeAlias = tuple[int, int, int, int]
"""A free rectangle: left, bottom, width, height."""
ORDERS: tuple[Callable[[int, int], tuple[int, int, int]], ...] = (
    lambda wide, high: (wide * high, wide, high),
    lambda wide, high: (wide, high, wide),
    lambda wide, high: (high, wide, high),
    lambda wide, high: (max(wide, high), min(wide, high), wide),
    lambda wide, high: (wide + high, max(wide, high), wide),
)
"""What counts first in an order; the greatest come first: area, width, height, longer side, outline."""
BOTH, WIDE, HIGH, ANY = range(1, 5)
"""How well a piece fits a region, the best first."""


def lay_by_rules(kinds: Sequence[RectangleKind], width: int) -> Iterator[StripLayout]:
    """Yield a layout of every piece by each rule in each order; nothing where some are runs of angled pieces.

    Notes
    -----
    O(pieces²) for each: some ten milliseconds for a hundred pieces.

    References
    ----------
    D. Zhang, L. Shi, S. Leung, T. Wu, A priority heuristic for the guillotine rectangular packing problem, Information
    Processing Letters 116 (2016), p. 15; J. Jylänki, A thousand ways to pack the bin (2010), section 2.2 (both from
    memory).

    Examples
    --------
    >>> kinds = [RectangleKind(5, 5, 1), RectangleKind(3, 2, 2), RectangleKind(3, 3, 1)]
    >>> min(sum(strip.height * times for strip, times in layout) for layout in lay_by_rules(kinds, 8))
    7
    """
    if any(kind.run for kind in kinds):
        return
    turns = [kind.turn and kind.width != kind.height for kind in kinds]
    for upright in (False, True) if any(turns) else (False,):
        laid = [_lay(kind, i, width, upright=upright) for i, kind in enumerate(kinds) for _ in range(kind.count)]
        for order in ORDERS:
            ranked = sorted(laid, key=lambda piece, order=order: order(piece[0], piece[1]), reverse=True)  # type: ignore[misc]
            yield _fill_by_priority(ranked, turns, width)
            yield _fill_best_rest(ranked, turns, width)


def _lay(kind: RectangleKind, i: int, width: int, *, upright: bool) -> _Laid:
    """Return the sides of a piece with its longer side up, or across where it fits; as given if it may not turn."""
    if not kind.turn:
        return kind.width, kind.height, i
    low, long = sorted((kind.width, kind.height))
    return (low, long, i) if (upright and low <= width) or long > width else (long, low, i)


def _fill_by_priority(pieces: Sequence[_Laid], turns: Sequence[bool], width: int) -> StripLayout:
    """Return levels, each opened by the next piece and filled by recursion."""
    left = list(pieces)
    layout: StripLayout = []
    while left:
        wide, high, i = left.pop(0)
        placed = [Placed(i, 0, 0, wide, high)]
        _fill_region(left, turns, (wide, 0, width - wide, high), placed)
        layout.append((StripPattern(high, tuple(placed)), 1))
    return layout


def _list_faces(piece: _Laid, turns: Sequence[bool]) -> tuple[tuple[int, int], ...]:
    wide, high, i = piece
    return ((wide, high), (high, wide)) if turns[i] else ((wide, high),)


def _fill_region(left: list[_Laid], turns: Sequence[bool], region: _Region, placed: list[Placed]) -> None:
    """Fill a region with the piece that fits it best, then what is left of it."""
    x, y, width, height = region
    best, chosen = ANY + 1, None
    for at, piece in enumerate(left):
        for wide, high in _list_faces(piece, turns):
            if wide <= width and high <= height:
                rank = BOTH if (wide, high) == (width, height) else WIDE if wide == width else HIGH
                rank = rank if rank != HIGH or high == height else ANY
                if rank < best:
                    best, chosen = rank, (at, wide, high)
    if chosen is None:
        return
    at, wide, high = chosen
    placed.append(Placed(left.pop(at)[2], x, y, wide, high))
    beside, above = (x + wide, y, width - wide, height), (x, y + high, width, height - high)
    if best == ANY and left:
        narrow = min(wide for piece in left for wide, _ in _list_faces(piece, turns))
        low = min(high for piece in left for _, high in _list_faces(piece, turns))
        if width - wide < narrow or (height - high >= low and wide < high):
            parts = (x + wide, y, width - wide, high), above  # the cut runs across
        else:
            parts = (x, y + high, wide, height - high), beside
        for part in parts:
            _fill_region(left, turns, part, placed)
    elif best in (WIDE, HIGH):
        _fill_region(left, turns, above if best == WIDE else beside, placed)


def _fill_best_rest(pieces: Sequence[_Laid], turns: Sequence[bool], width: int) -> StripLayout:
    """Return levels whose free rectangles take each piece where least is left beside it."""
    levels: list[tuple[int, list[Placed]]] = []
    free: list[tuple[int, _Region]] = []
    for piece in pieces:
        fits = [
            (min(a - wide, b - high), max(a - wide, b - high), k, wide, high)
            for k, (_, (_, _, a, b)) in enumerate(free)
            for wide, high in _list_faces(piece, turns)
            if wide <= a and high <= b
        ]
        if fits:
            *_, k, wide, high = min(fits)
            level, (x, y, a, b) = free.pop(k)
        else:
            wide, high, _ = piece
            level, x, y, a, b = len(levels), 0, 0, width, high
            levels.append((high, []))
        levels[level][1].append(Placed(piece[2], x, y, wide, high))
        rests: tuple[_Region, _Region]
        if a - wide < b - high:  # the shorter rest stays beside the piece, the longer is as wide as the region
            rests = (x + wide, y, a - wide, high), (x, y + high, a, b - high)
        else:
            rests = (x, y + high, wide, b - high), (x + wide, y, a - wide, b)
        free += [(level, rest) for rest in rests if rest[2] and rest[3]]
    return [(StripPattern(high, tuple(placed)), 1) for high, placed in levels]
