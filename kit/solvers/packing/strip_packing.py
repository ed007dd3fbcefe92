"""Packing: rectangles into strips across the cloth, only by straight cuts from edge to edge.

Lengths are whole numbers of one unit. Many strips of one pattern are cut at once. This file has the types, and
packing without a search.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import NamedTuple


@dataclass(frozen=True)
class Kind:
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


class Pattern(NamedTuple):
    """A strip: its height and its rectangles."""

    height: int
    placed: tuple[Placed, ...]

    def uses(self) -> dict[int, int]:
        """Return the number of each kind in it."""
        found: dict[int, int] = {}
        for place in self.placed:
            found[place.kind] = found.get(place.kind, 0) + place.number
        return found


Layout = list[tuple[Pattern, int]]
"""Patterns and the number of times to cut each."""


def measure_layout(layout: Layout) -> int:
    """Return the length of cloth of a layout."""
    return sum(pattern.height * times for pattern, times in layout)


def find_unit(kinds: Sequence[Kind]) -> int:
    """Return the greatest unit that measures every side in whole numbers.

    Examples
    --------
    >>> find_unit([Kind(20, 12, 1), Kind(8, 4, 1, run=(10, 18))])
    2
    """
    return gcd(*(side for kind in kinds for side in (kind.width, kind.height, *kind.run))) if kinds else 1


def divide_kind(kind: Kind, unit: int) -> Kind:
    """Return the kind measured in a larger unit."""
    run = tuple(size // unit for size in kind.run)
    return Kind(kind.width // unit, kind.height // unit, kind.count, kind.turn, run)


def multiply_layout(layout: Layout, unit: int, height: int | None = None) -> Layout:
    """Return the layout measured in the smaller unit again; strips of a given height keep exactly that height."""
    return [
        (Pattern(height or pattern.height * unit, tuple(_multiply(place, unit) for place in pattern.placed)), times)
        for pattern, times in layout
    ]


def _multiply(place: Placed, unit: int) -> Placed:
    return Placed(place.kind, place.x * unit, place.y * unit, place.width * unit, place.height * unit, place.number)


def count_cuts(layout: Layout) -> tuple[int, int]:
    """Return the number of different strips in a layout, and of rectangles in them: fewer is plainer."""
    return len(layout), sum(len(pattern.placed) for pattern, _ in layout)


def pack_by_kind(kinds: Sequence[Kind], width: int, *, turned: bool = False) -> Layout:
    """Cut each kind from its own strips, as in counting strips kind by kind.

    Each kind lies in the direction with less length; with `turned` false, as given.
    """
    layout: Layout = []
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


def _repeat_row(i: int, kind: Kind, wide: int, high: int, most: int) -> Layout:
    def row(number: int) -> Pattern:
        if kind.run:
            return Pattern(high, (Placed(i, 0, 0, kind.run[number - 1], high, number),))
        return Pattern(high, tuple(Placed(i, k * wide, 0, wide, high) for k in range(number)))

    full, rest = divmod(kind.count, most)
    return ([(row(most), full)] if full else []) + ([(row(rest), 1)] if rest else [])


def pack_greedily(kinds: Sequence[Kind], width: int, *, limit: int | None = None) -> Layout:
    """Fill strip after strip, the highest kind first and its end with the next kinds that fit, without a search.

    Parameters
    ----------
    limit
        Height of the stock, if given; every strip then has this height.
    """
    left = [kind.count for kind in kinds]
    order = sorted(range(len(kinds)), key=lambda i: (-kinds[i].height, -kinds[i].width, i))
    layout: Layout = []
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
            layout.append((Pattern(high, tuple(placed)), times))
            for i, count in enumerate(taken):
                left[i] -= count * times
    return layout


def _set_columns(
    placed: list[Placed], kind: Kind, i: int, left: int, taken: list[int], x: int, width: int, high: int
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
