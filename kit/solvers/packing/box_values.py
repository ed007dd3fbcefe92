"""The best boxes of every size at once: the pieces of most value that straight cuts give from each width and height.

A box holds one piece, or two smaller boxes beside or above each other. Every box up to a greatest size is made by
dynamic programming, from narrow to wide. It carries the numbers of the scarce kinds in it; what two boxes hold together
beyond the number needed is worth nothing, so that a box never counts a piece that nobody wants.
"""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.solvers.packing.programmes import SLIGHT
from kit.solvers.packing.strip_packing import Placed, RectangleKind

LIKE_NARROWER, PIECE, BESIDE, ABOVE = range(4)
"""How a box is made."""
_Face: TypeAlias = tuple[int, int, int, int]
"""A kind, its width and height as laid, and the number in a run."""
_Values: TypeAlias = NDArray[np.float64]
_Whole: TypeAlias = NDArray[np.intp]


class BoxValues:
    """The best boxes of some kinds for given values of the pieces.

    Parameters
    ----------
    kinds
        The kinds, with the number that is needed.
    width, height
        The greatest size of a box.

    Notes
    -----
    O(width² · height + width · height²) steps for each scarce kind, some five nanoseconds each: `work` tells the number
    of steps. Without scarce kinds the values are the greatest possible; with them a box may lack the best choice,
    because only one choice is kept for each size.

    References
    ----------
    P. Gilmore, R. Gomory, The theory and computation of knapsack functions, Operations Research 14 (1966), p. 1045; J.
    Beasley, Algorithms for unconstrained two-dimensional guillotine cutting, Journal of the Operational Research
    Society 36 (1985), p. 297 (both from memory).

    Examples
    --------
    >>> boxes = BoxValues([RectangleKind(3, 2, 2, True), RectangleKind(4, 4, 1)], 7, 4)
    >>> [float(value) for value in boxes.solve([6.0, 16.0])]
    [0.0, 0.0, 12.0, 12.0, 28.0]
    >>> len(boxes.read(4))
    3
    """

    def __init__(self, kinds: Sequence[RectangleKind], width: int, height: int) -> None:
        self.kinds, self.width, self.height = kinds, width, height
        self.scarce = [i for i, kind in enumerate(kinds) if kind.run or kind.count * kind.area < width * height]
        self._counts = np.array([kinds[i].count for i in self.scarce], dtype=np.int16)[:, None]
        self.faces = [face for i, kind in enumerate(kinds) for face in _list_faces(i, kind) if face[2] <= height]
        sums = np.zeros(width + 1, dtype=bool)
        sums[0] = True
        for side in sorted({wide for _, wide, _, _ in self.faces}):
            for at in range(side, width + 1):
                sums[at] |= sums[at - side]
        self.widths: _Whole = np.nonzero(sums)[0][1:]
        self.low = min((high for _, _, high, _ in self.faces), default=height + 1)
        self._bands = [
            _pair_heights(start, min(start + self.low, height + 1), self.low)
            for start in range(2 * self.low, height + 1, self.low)
        ]

    @property
    def work(self) -> int:
        """The number of steps of solving once."""
        pairs = len(self.widths) * (len(self.widths) + 2 * self.height) // 4
        return pairs * (self.height + 1) * (1 + len(self.scarce))

    def solve(self, values: Sequence[float]) -> _Values:
        """Return the best value of a box as wide as the whole for every height from 0."""
        wide, high = self.width + 1, self.height + 1
        self._worth = np.zeros((wide, high), dtype=np.float32)
        self._holds = np.zeros((len(self.scarce), wide, high), dtype=np.int16)
        self._made = np.zeros((wide, high), dtype=np.int8)
        self._part = np.zeros((wide, high), dtype=np.int16)
        self._prices = np.array([values[i] for i in self.scarce], dtype=np.float32)
        columns: dict[int, list[int]] = {}
        for face, (i, across, _, _) in enumerate(self.faces):
            if values[i] > SLIGHT:
                columns.setdefault(across, []).append(face)
        possible = set(self.widths.tolist())
        for x in range(1, wide):
            self._worth[x], self._holds[:, x] = self._worth[x - 1], self._holds[:, x - 1]
            if x in possible:
                self._set_beside(x)
                for face in columns.get(x, ()):
                    self._set_piece(x, face, values)
                self._set_above(x)
        found: _Values = self._worth[-1].astype(np.float64)
        return found

    def _choose(
        self, worth: NDArray[np.float32], holds: NDArray[np.int16], first: _Whole, second: _Whole
    ) -> tuple[_Whole, NDArray[np.float32], NDArray[np.int16]]:
        """Return of each column the best pair, its worth without surplus pieces, and what it holds.

        Where the pair of most worth has no surplus it is the best; only elsewhere are the others weighed. `first` and
        `second` are the places of the boxes in `holds`, a row for each scarce kind.
        """
        every = np.arange(worth.shape[1])
        best = worth.argmax(axis=0)
        found = worth[best, every]
        both = holds[:, first[best, every]] + holds[:, second[best, every]]
        here = np.nonzero((both > self._counts).any(axis=0))[0]
        if len(here):
            less, one, two = worth[:, here], first[:, here], second[:, here]
            for price, count, row in zip(self._prices, self._counts[:, 0], holds, strict=True):
                surplus = row[one]
                surplus += row[two]
                surplus -= count
                if surplus.max() > 0:
                    less -= price * np.maximum(surplus, 0, out=surplus)
            best[here] = less.argmax(axis=0)
            found[here] = less[best[here], np.arange(len(here))]
            both = holds[:, first[best, every]] + holds[:, second[best, every]]
        return best, found, np.minimum(both, self._counts)

    def _set_beside(self, x: int) -> None:
        """Make boxes of one width of two beside each other."""
        left = self.widths[: int(np.searchsorted(self.widths, x // 2, "right"))]
        if not len(left):
            return
        high = self.height + 1
        first, second = left[:, None] * high + np.arange(high), (x - left)[:, None] * high + np.arange(high)
        holds = self._holds.reshape(len(self.scarce), (self.width + 1) * high)
        best, found, both = self._choose(self._worth[left] + self._worth[x - left], holds, first, second)
        here = np.nonzero(found > self._worth[x] + SLIGHT + 1e-6 * found)[0]
        self._worth[x, here], self._made[x, here], self._part[x, here] = found[here], BESIDE, left[best[here]]
        self._holds[:, x, here] = both[:, here]

    def _set_piece(self, x: int, face: int, values: Sequence[float]) -> None:
        """Make boxes of one width of one piece, or run."""
        i, _, high, number = self.faces[face]
        worth = number * values[i]
        here = high + np.nonzero(self._worth[x, high:] < worth * (1 - 1e-6))[0]
        self._worth[x, here], self._made[x, here], self._part[x, here] = worth, PIECE, face
        self._holds[:, x, here] = 0
        if i in self.scarce:
            self._holds[self.scarce.index(i), x, here] = number

    def _set_above(self, x: int) -> None:
        """Make boxes of one width of two above each other, from low to high, so that both parts are made before."""
        worth, holds = self._worth[x], self._holds[:, x]
        for every, lower, upper in self._bands:
            best, found, both = self._choose(worth[lower] + worth[upper], holds, lower, upper)
            better = np.nonzero(found > worth[every] + SLIGHT + 1e-6 * found)[0]
            here = every[better]
            worth[here], holds[:, here] = found[better], both[:, better]
            self._made[x, here], self._part[x, here] = ABOVE, lower[best[better], better]

    def read(self, height: int) -> list[Placed]:
        """Return the pieces of the best box as wide as the whole; of a scarce kind there may be some too many."""
        placed: list[Placed] = []
        self._read(self.width, height, 0, 0, placed)
        return placed

    def _read(self, x: int, y: int, left: int, bottom: int, placed: list[Placed]) -> None:
        while x > 0 and y > 0 and self._worth[x, y] > SLIGHT:
            made, part = self._made[x, y], int(self._part[x, y])
            if made == LIKE_NARROWER:
                x -= 1
            elif made == PIECE:
                i, wide, high, number = self.faces[part]
                placed.append(Placed(i, left, bottom, wide, high, number))
                return
            elif made == BESIDE:
                self._read(part, y, left, bottom, placed)
                left, x = left + part, x - part
            elif part == 0:
                y -= 1
            else:
                self._read(x, part, left, bottom, placed)
                bottom, y = bottom + part, y - part


def _pair_heights(start: int, stop: int, low: int) -> tuple[_Whole, _Whole, _Whole]:
    """Return the heights of a band, and for each of them, in a column, the heights of two boxes above each other."""
    every = np.arange(start, stop)
    lower = np.arange(low, max(low, (stop - 1) // 2) + 1)[:, None]
    fits = every[None, :] >= 2 * lower
    return every, np.where(fits, lower, 0), np.where(fits, every[None, :] - lower, 0)


def _list_faces(i: int, kind: RectangleKind) -> list[_Face]:
    """Return the ways in which a kind may lie in a box; of angled pieces each length of run."""
    if kind.run:
        return [(i, size, kind.height, n) for n, size in enumerate(kind.run[: kind.count], start=1)]
    sides = {(kind.width, kind.height)} | ({(kind.height, kind.width)} if kind.turn else set())
    return [(i, wide, high, 1) for wide, high in sorted(sides)]
