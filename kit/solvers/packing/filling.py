"""Filling: a strip by a bounded knapsack over its columns, then the rests above and beside them in the same way.

A column is one rectangle, or several of one kind above each other; rests are filled along or across.
"""

from collections.abc import Sequence
from typing import Any, TypeAlias

from kit.solvers.packing.programmes import choose_options, share_out
from kit.solvers.packing.strip_packing import Placed, RectangleKind

_FilledColumn: TypeAlias = tuple[int, int, int, int, int]
"""A kind, its width and height as laid, the number above each other, and the number side by side in a run."""
Known: TypeAlias = dict[tuple[Any, ...], tuple[float, list[_FilledColumn]]]
"""The available columns -> the value of the choice, and the chosen columns."""


class Filler:
    """Fills regions with the rest of each kind.

    Parameters
    ----------
    kinds
        The kinds of rectangle.
    values
        The value of one of each; its area unless prices are given.
    left
        The number left of each; changes as regions are filled.
    breadth
        The number of heights and widths tried for each cut of a rest.
    known
        Earlier choices of columns at the same values, by the available columns.
    """

    def __init__(
        self,
        kinds: Sequence[RectangleKind],
        values: Sequence[float],
        left: Sequence[int],
        breadth: int = 3,
        known: Known | None = None,
    ) -> None:
        self.kinds, self.values, self.left, self.breadth = kinds, values, list(left), breadth
        self.known: Known = {} if known is None else known

    def faces(self, width: int, height: int) -> list[tuple[int, int, int, bool]]:
        """Return (kind, width, height, turned) of every remaining piece that fits a region."""
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
        """Return the filler with the axes exchanged; it shares the remaining pieces."""
        kinds = [
            RectangleKind(10**9, 10**9, 0)
            if kind.run
            else RectangleKind(kind.height, kind.width, kind.count, kind.turn)
            for kind in self.kinds
        ]
        other = Filler(kinds, self.values, (), self.breadth, self.known)
        other.left = self.left
        return other

    def _choose_cut(self, faces: list[tuple[int, int, int, bool]], width: int, height: int) -> tuple[bool, int]:
        """Return whether to cut down, and the size of the cut that gives the densest strip."""
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
    ) -> tuple[float, list[_FilledColumn]]:
        """Choose columns (kind, width, height, stack, number in the run) of the greatest value that fit the width.

        A knapsack by dynamic programming over the width, each kind bounded by its remaining number.
        """
        choices: list[_FilledColumn] = []
        for i, wide, high, _ in faces:
            if self.values[i] > 0:
                stack = 1 if self.kinds[i].run else min(height // high, self.left[i])
                many = self.left[i] if self.kinds[i].run else min(width // wide, self.left[i] // stack)
                choices.append((i, wide, high, stack, many))
        key = width, *choices
        if key not in self.known:
            self.known[key] = self._solve(choices, width)
        return self.known[key]

    def _solve(self, choices: Sequence[_FilledColumn], width: int) -> tuple[float, list[_FilledColumn]]:
        """Solve the knapsack of columns (kind, width, height, stack, number available)."""
        groups: list[list[tuple[int, float]]] = []
        added: list[list[tuple[_FilledColumn, int]]] = []
        for i, wide, high, stack, many in choices:
            kind, value = self.kinds[i], self.values[i]
            if kind.run:
                runs = [(n, run) for n, run in enumerate(kind.run[:many], start=1) if run <= width]
                groups.append([(run, n * value) for n, run in runs])
                added.append([((i, run, high, 1, n), 1) for n, run in runs])
                continue
            for share in share_out(many):
                groups.append([(share * wide, share * stack * value)])
                added.append([((i, wide, high, stack, 1), share)])
        value, taken = choose_options(groups, width)
        chosen: list[_FilledColumn] = []
        for group, option in taken:
            column, times = added[group][option]
            chosen.extend([column] * times)
        return value, chosen


def _swap(place: Placed) -> Placed:
    return Placed(place.kind, place.y, place.x, place.height, place.width, place.number)
