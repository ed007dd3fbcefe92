"""Packing: rectangles into strips across the cloth, by straight cuts from edge to edge alone.

Lengths are whole numbers of one unit. A strip is filled by a bounded knapsack over its columns (a column is one
rectangle, or several of one kind above each other); what is left above the columns and at the strip's end is filled
again in the same way, along or across. Many strips of one pattern are cut at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Kind:
    """One kind of rectangle.

    Attributes
    ----------
    width, height
        Along and across the strip.
    count
        How many are needed.
    turn
        Whether it may be turned by a quarter.
    run
        For angled pieces the width of 1, 2, ... of them side by side; `width` is then what each takes at least.
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
    """A rectangle in a strip; `number` is how many of a run it holds."""

    kind: int
    x: int
    y: int
    width: int
    height: int
    number: int = 1


class Pattern(NamedTuple):
    """A strip: its height and what lies in it."""

    height: int
    placed: tuple[Placed, ...]

    def uses(self) -> dict[int, int]:
        """Return how many of each kind it holds."""
        found: dict[int, int] = {}
        for place in self.placed:
            found[place.kind] = found.get(place.kind, 0) + place.number
        return found


Layout = list[tuple[Pattern, int]]
"""Patterns and how often each is cut."""


def measure_layout(layout: Layout) -> int:
    """Return the length of cloth that a layout takes."""
    return sum(pattern.height * times for pattern, times in layout)


def find_unit(kinds: Sequence[Kind]) -> int:
    """Return the greatest unit of which every side is a whole number.

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
    """Return the layout measured in the smaller unit again; strips of a given height have just that."""
    return [
        (Pattern(height or pattern.height * unit, tuple(_multiply(place, unit) for place in pattern.placed)), times)
        for pattern, times in layout
    ]


def _multiply(place: Placed, unit: int) -> Placed:
    return Placed(
        place.kind, place.x * unit, place.y * unit, place.width * unit, place.height * unit, place.number
    )


def count_cuts(layout: Layout) -> tuple[int, int]:
    """Return how many different strips a layout has, and how many rectangles in them: the fewer, the plainer."""
    return len(layout), sum(len(pattern.placed) for pattern, _ in layout)


class Filler:
    """Fills regions with what is left of each kind.

    Parameters
    ----------
    kinds
        The kinds of rectangle.
    values
        What one of each is worth; area unless prices say otherwise.
    left
        How many of each are left; changed as regions are filled.
    breadth
        How many heights and widths are tried for each cut of a rest.
    """

    def __init__(
        self, kinds: Sequence[Kind], values: Sequence[float], left: Sequence[int], breadth: int = 3
    ) -> None:
        self.kinds, self.values, self.left, self.breadth = kinds, values, list(left), breadth

    def faces(self, width: int, height: int) -> list[tuple[int, int, int, bool]]:
        """Return (kind, width, height, turned) of everything that is left and fits a region."""
        found = []
        for i, kind in enumerate(self.kinds):
            if self.left[i] > 0:
                if kind.width <= width and kind.height <= height and (not kind.run or kind.run[0] <= width):
                    found.append((i, kind.width, kind.height, False))
                if kind.turn and kind.width != kind.height and kind.height <= width and kind.width <= height:
                    found.append((i, kind.height, kind.width, True))
        return found

    def fill_row(self, width: int, height: int) -> list[Placed]:
        """Fill one strip across a region, columns from the left, the highest first, then the rests."""
        columns = self._choose_columns(self.faces(width, height), width, height)[1]
        placed: list[Placed] = []
        tops: list[tuple[int, int, int]] = []
        x = 0
        for i, wide, high, stack, number in sorted(columns, key=lambda c: (-c[2] * c[3], -c[2], c[0])):
            fit = min(stack, self.left[i]) if not self.kinds[i].run else 1
            if fit <= 0 or self.left[i] < number:
                continue
            placed.extend(Placed(i, x, k * high, wide, high, number) for k in range(fit))
            self.left[i] -= fit * number
            top = fit * high
            if tops and tops[-1][2] == top:
                tops[-1] = (tops[-1][0], x + wide, top)
            else:
                tops.append((x, x + wide, top))
            x += wide
        if not placed:
            return placed
        regions = [(a, top, b - a, height - top) for a, b, top in tops if top < height]
        if x < width:
            regions.append((x, 0, width - x, height))
        for a, b, w, h in sorted(regions, key=lambda r: -r[2] * r[3]):
            placed.extend(place._replace(x=place.x + a, y=place.y + b) for place in self.fill(w, h))
        return placed

    def fill(self, width: int, height: int) -> list[Placed]:
        """Fill a region by rows or columns, each time the densest, until nothing fits."""
        placed: list[Placed] = []
        x = y = 0
        while True:
            w, h = width - x, height - y
            faces = self.faces(w, h)
            if not faces:
                return placed
            down, size = self._choose_cut(faces, w, h)
            if down:
                row = [_swap(place) for place in self._transposed().fill_row(h, size)]
            else:
                row = self.fill_row(w, size)
            if not row:
                return placed
            placed.extend(place._replace(x=place.x + x, y=place.y + y) for place in row)
            if down:
                x += size
            else:
                y += size

    def _transposed(self) -> "Filler":
        """Return the filler with the axes exchanged; it shares what is left."""
        kinds = [
            Kind(10**9, 10**9, 0) if kind.run else Kind(kind.height, kind.width, kind.count, kind.turn)
            for kind in self.kinds
        ]
        other = Filler(kinds, self.values, (), self.breadth)
        other.left = self.left
        return other

    def _choose_cut(self, faces: list[tuple[int, int, int, bool]], width: int, height: int) -> tuple[bool, int]:
        """Return whether to cut down, and at which size: where the strip cut off is filled most densely."""
        best: tuple[float, bool, int] = (-1.0, False, 0)
        flat = [face for face in faces if not self.kinds[face[0]].run]
        for down, side, room in ((False, 2, width), (True, 1, height)):
            usable = flat if down else faces
            for size in sorted({face[side] for face in usable}, reverse=True)[: self.breadth]:
                if down:
                    turned = [(i, h, w, t) for i, w, h, t in usable if w <= size]
                    value = self._choose_columns(turned, room, size)[0]
                else:
                    value = self._choose_columns([face for face in usable if face[2] <= size], room, size)[0]
                score = value / (room * size)
                if score > best[0] + 1e-9:
                    best = (score, down, size)
        return best[1], best[2]

    def _choose_columns(
        self, faces: Sequence[tuple[int, int, int, bool]], width: int, height: int
    ) -> tuple[float, list[tuple[int, int, int, int, int]]]:
        """Choose columns (kind, width, height, stack, number in the run) of the greatest value that fit the width.

        A knapsack by dynamic programming over the width, each kind bounded by what is left of it.
        """
        best: Floats = np.zeros(width + 1)
        steps: list[tuple[list[tuple[int, int, int, int, int]], NDArray[np.intp], list[int]]] = []
        for i, wide, high, _ in faces:
            kind, value, left = self.kinds[i], self.values[i], self.left[i]
            if value <= 0:
                continue
            if kind.run:
                options = [
                    ([(i, run, high, 1, n)], run, n * value)
                    for n, run in enumerate(kind.run[:left], start=1)
                    if run <= width
                ]
                best = _extend(best, options, steps)
                continue
            stack = min(height // high, left)
            many = min(width // wide, left // stack)
            share = 1
            while many > 0:
                share = min(share, many)
                column = (i, wide, high, stack, 1)
                best = _extend(best, [([column] * share, share * wide, share * stack * value)], steps)
                many -= share
                share *= 2
        chosen: list[tuple[int, int, int, int, int]] = []
        at = int(np.argmax(best))
        total = float(best[at])
        for columns, choice, sizes in reversed(steps):
            pick = int(choice[at])
            if pick:
                take = columns if len(sizes) == 1 else [columns[pick - 1]]
                chosen.extend(take)
                at -= sizes[pick - 1]
        return total, chosen


def _extend(
    best: Floats,
    options: Sequence[tuple[list[tuple[int, int, int, int, int]], int, float]],
    steps: list[tuple[list[tuple[int, int, int, int, int]], NDArray[np.intp], list[int]]],
) -> Floats:
    """Let at most one of the options be added to each state; remember which."""
    new = best.copy()
    choice = np.zeros(len(best), dtype=np.intp)
    for number, (_, size, value) in enumerate(options, start=1):
        trial = best[: len(best) - size] + value
        better = trial > new[size:] + 1e-9
        new[size:][better] = trial[better]
        choice[size:][better] = number
    columns = options[0][0] if len(options) == 1 else [option[0][0] for option in options]
    steps.append((columns, choice, [size for _, size, _ in options]))
    return new


def _swap(place: Placed) -> Placed:
    return Placed(place.kind, place.y, place.x, place.height, place.width, place.number)


def pack_by_kind(kinds: Sequence[Kind], width: int, *, turned: bool = False) -> Layout:
    """Cut each kind from strips of its own: what counting strips kind by kind gives.

    Each kind lies as it takes less length; with `turned` false as it lies.
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
    """Fill strip after strip, the highest kind first and its end with the next ones that fit, without searching.

    Parameters
    ----------
    limit
        Height of the stock, where it is given; every strip is then as high.
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
    """Set as many columns of one kind as fit the rest of a strip; return where they end."""
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
