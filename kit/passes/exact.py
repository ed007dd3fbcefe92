"""Complete search: the least length for a handful of pieces, by every way of cutting edge to edge."""

from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

from kit.passes.packing import Kind, Layout, Pattern, Placed

MOST_STATES, MOST_SPLITS = 260, 9_000


class _Box(NamedTuple):
    """A rectangle that holds some pieces: two smaller ones beside or above each other, or one piece."""

    width: int
    height: int
    kind: int = -1
    beside: bool = False
    first: "_Box | None" = None
    second: "_Box | None" = None


def search_all(kinds: Sequence[Kind], width: int, best: int) -> Layout | None:
    """Return a layout of least length among all that straight cuts from edge to edge can give, None for many pieces.

    For every choice of how many of each kind, from small to large, keep the boxes that hold just these and that no
    other is both narrower and lower than; a box is a piece, or two boxes beside or above each other.

    Notes
    -----
    Up to 260 choices and 9,000 ways to split them; some tenths of a second at most. Runs of angled pieces are left out.

    Examples
    --------
    >>> found = search_all([Kind(3, 2, 2, True), Kind(4, 4, 1)], 7, 99)
    >>> [pattern.height for pattern, _ in found]
    [4]
    """
    counts = tuple(kind.count for kind in kinds)
    states = 1
    splits = 1
    for count in counts:
        states *= count + 1
        splits *= (count + 1) * (count + 2) // 2
    if states > MOST_STATES or splits > MOST_SPLITS or any(kind.run for kind in kinds):
        return None
    boxes: dict[tuple[int, ...], list[_Box]] = {}
    for state in sorted(product(*(range(count + 1) for count in counts)), key=sum):
        if sum(state) == 1:
            boxes[state] = _lay_one(kinds, state.index(1), width)
        elif sum(state) > 1:
            boxes[state] = _combine(boxes, state, width, best)
    if not boxes[counts]:
        return None
    box = min(boxes[counts], key=lambda b: b.height)
    placed: list[Placed] = []
    _place(box, 0, 0, placed)
    return [(Pattern(box.height, tuple(placed)), 1)]


def _lay_one(kinds: Sequence[Kind], i: int, width: int) -> list[_Box]:
    kind = kinds[i]
    faces = [(kind.width, kind.height)] + ([(kind.height, kind.width)] if kind.turn else [])
    return _keep_best([_Box(w, h, i) for w, h in faces if w <= width])


def _combine(boxes: dict[tuple[int, ...], list[_Box]], state: tuple[int, ...], width: int, best: int) -> list[_Box]:
    found: list[_Box] = []
    for part in product(*(range(n + 1) for n in state)):
        rest = tuple(n - m for n, m in zip(state, part, strict=True))
        if not any(part) or not any(rest) or part > rest:
            continue
        for a in boxes[part]:
            for b in boxes[rest]:
                if a.width + b.width <= width:
                    found.append(_Box(a.width + b.width, max(a.height, b.height), -1, True, a, b))
                if a.height + b.height <= best:
                    found.append(_Box(max(a.width, b.width), a.height + b.height, -1, False, a, b))
    return _keep_best(found)


def _keep_best(boxes: list[_Box]) -> list[_Box]:
    """Keep the boxes that no other is both as narrow and as low as."""
    kept: list[_Box] = []
    lowest = None
    for box in sorted(boxes, key=lambda b: (b.width, b.height)):
        if lowest is None or box.height < lowest:
            kept.append(box)
            lowest = box.height
    return kept


def _place(box: _Box, x: int, y: int, placed: list[Placed]) -> None:
    if box.kind >= 0:
        placed.append(Placed(box.kind, x, y, box.width, box.height))
        return
    if box.first and box.second:
        _place(box.first, x, y, placed)
        _place(box.second, x + box.first.width * box.beside, y + box.first.height * (not box.beside), placed)
