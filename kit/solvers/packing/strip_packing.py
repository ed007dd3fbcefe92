"""Packing: rectangles into strips across the cloth, only by straight cuts from edge to edge.

Lengths are whole numbers of one unit. Many strips of one pattern are cut at once. This file has the types, and
packing without a search.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import NamedTuple


@dataclass(frozen=True)
class RectangleKind:
    """One kind of rectangle.

    Attributes
    ----------
    width, height
        Along and across the strip.
    count
        The number needed.
    turn
        Whether it may make a quarter turn.
    run
        For angled pieces the width of 1, 2, ... of them side by side; `width` is then the least width of each.
    """

    width: int
    height: int
    count: int
    turn: bool = False
    run: tuple[int, ...] = ()

    @property
    def area(self) -> int:
        """Area of one."""
        return self.width * self.height


class Placed(NamedTuple):
    """A rectangle in a strip; `number` is its number of pieces in a run."""

    kind: int
    x: int
    y: int
    width: int
    height: int
    number: int = 1


class StripPattern(NamedTuple):
    """A strip: its height and its rectangles."""

    height: int
    placed: tuple[Placed, ...]

    def uses(self) -> dict[int, int]:
        """Return the number of each kind in it."""
        found: dict[int, int] = {}
        for place in self.placed:
            found[place.kind] = found.get(place.kind, 0) + place.number
        return found


StripLayout = list[tuple[StripPattern, int]]
"""Patterns and the number of times to cut each."""


def measure_layout(layout: StripLayout) -> int:
    """Return the length of cloth of a layout."""
    return sum(pattern.height * times for pattern, times in layout)


def find_unit(kinds: Sequence[RectangleKind]) -> int:
    """Return the greatest unit that measures every side in whole numbers.

    Examples
    --------
    >>> find_unit([RectangleKind(20, 12, 1), RectangleKind(8, 4, 1, run=(10, 18))])
    2
    """
    return gcd(*(side for kind in kinds for side in (kind.width, kind.height, *kind.run))) if kinds else 1


def divide_kind(kind: RectangleKind, unit: int) -> RectangleKind:
    """Return the kind measured in a larger unit."""
    run = tuple(size // unit for size in kind.run)
    return RectangleKind(kind.width // unit, kind.height // unit, kind.count, kind.turn, run)


def multiply_layout(layout: StripLayout, unit: int, height: int | None = None) -> StripLayout:
    """Return the layout measured in the smaller unit again; strips of a given height keep exactly that height."""
    return [
        (
            StripPattern(height or pattern.height * unit, tuple(_multiply(place, unit) for place in pattern.placed)),
            times,
        )
        for pattern, times in layout
    ]


def _multiply(place: Placed, unit: int) -> Placed:
    return Placed(place.kind, place.x * unit, place.y * unit, place.width * unit, place.height * unit, place.number)


def count_cuts(layout: StripLayout) -> tuple[int, int]:
    """Return the number of different strips in a layout, and of rectangles in them: fewer is plainer."""
    return len(layout), sum(len(pattern.placed) for pattern, _ in layout)


def pack_by_kind(kinds: Sequence[RectangleKind], width: int, *, turned: bool = False) -> StripLayout:
    """Cut each kind from its own strips, as in counting strips kind by kind.

    Each kind lies in the direction with less length; with `turned` false, as given.
    """
    layout: StripLayout = []
    for i, kind in enumerate(kinds):
        faces = [(kind.width, kind.height)]
        if kind.turn and (turned or kind.width > width):
            faces.append((kind.height, kind.width))
        options = []
        for wide, high in faces:
            most = len([run for run in kind.run if run <= width]) if kind.run else width // wide
            if most:
                options.append((-(-kind.count // most) * high, wide, high, most))
        if options:
            _, wide, high, most = min(options)
            layout.extend(_repeat_row(i, kind, wide, high, most))
    return layout


def _repeat_row(i: int, kind: RectangleKind, wide: int, high: int, most: int) -> StripLayout:
    def row(number: int) -> StripPattern:
        if kind.run:
            return StripPattern(high, (Placed(i, 0, 0, kind.run[number - 1], high, number),))
        return StripPattern(high, tuple(Placed(i, k * wide, 0, wide, high) for k in range(number)))

    full, rest = divmod(kind.count, most)
    return ([(row(most), full)] if full else []) + ([(row(rest), 1)] if rest else [])


def pack_greedily(kinds: Sequence[RectangleKind], width: int, *, limit: int | None = None) -> StripLayout:
    """Fill strip after strip, the highest kind first and its end with the next kinds that fit, without a search.

    Parameters
    ----------
    limit
        Height of the stock, if given; every strip then has this height.
    """
    left = [kind.count for kind in kinds]
    order = sorted(range(len(kinds)), key=lambda i: (-kinds[i].height, -kinds[i].width, i))
    layout: StripLayout = []
    for first in order:
        while left[first] > 0:
            high = limit or kinds[first].height
            placed: list[Placed] = []
            x, taken = 0, [0] * len(kinds)
            for i in order:
                x = _set_columns(placed, kinds[i], i, left[i], taken, x, width, high)
            if not placed or not taken[first]:
                break
            times = min(left[i] // taken[i] for i in range(len(kinds)) if taken[i])
            layout.append((StripPattern(high, tuple(placed)), times))
            for i, count in enumerate(taken):
                left[i] -= count * times
    return layout


def _set_columns(
    placed: list[Placed], kind: RectangleKind, i: int, left: int, taken: list[int], x: int, width: int, high: int
) -> int:
    """Set as many columns of one kind as fit the rest of a strip; return their end."""
    if left <= 0 or kind.height > high:
        return x
    if kind.run:
        fits = [n for n, run in enumerate(kind.run[:left], start=1) if x + run <= width]
        if fits:
            number = fits[-1]
            placed.append(Placed(i, x, 0, kind.run[number - 1], kind.height, number))
            taken[i] += number
            x += kind.run[number - 1]
        return x
    stack = high // kind.height
    while taken[i] < left and x + kind.width <= width:
        for k in range(min(stack, left - taken[i])):
            placed.append(Placed(i, x, k * kind.height, kind.width, kind.height))
            taken[i] += 1
        x += kind.width
    return x
