"""Parts of a top that are alike: a reading of shapes in the plane that is the same for turned copies.

Each item has a label, a place and a direction. The places are read from their middle, with each item of the rarest
kind due east in turn. The least of these readings is the same for turned copies, and differs from that of a mirror
image.
"""

from cmath import phase
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees

import numpy as np
from numpy.typing import NDArray

FINE = 1000.0
"""Steps per inch for comparing places."""
OFF = 0.31
"""Part of a step that places are moved before rounding, so that no usual length lies on the edge of a step."""


@dataclass(frozen=True, eq=False)
class PlacedItems:
    """Things in the plane.

    Attributes
    ----------
    labels
        (n,) the label of each; only things of one label are alike.
    places
        (n,) its place, x + iy in inches.
    turns
        (n,) its direction in degrees.
    periods
        (n,) the turn in degrees that leaves it looking the same.
    """

    labels: NDArray[np.int64]
    places: NDArray[np.complex128]
    turns: NDArray[np.float64]
    periods: NDArray[np.float64]


@dataclass(frozen=True)
class TurnedReading:
    """The reading of a part.

    Attributes
    ----------
    reading
        The same for parts that are turned copies of one another.
    order
        The items in an order that corresponds between copies.
    middle, east
        The move of a place p to its reading: (p - middle) · east.
    """

    reading: bytes
    order: tuple[int, ...]
    middle: complex
    east: complex


def read_turned(items: PlacedItems, chosen: Sequence[int]) -> TurnedReading:
    """Read the chosen items.

    Notes
    -----
    O(k n log n) for n items, with k items of the rarest kind and distance from the middle.
    """
    pick = np.asarray(chosen, dtype=np.int64)
    labels, turns, periods = items.labels[pick], items.turns[pick], items.periods[pick]
    places = items.places[pick]
    middle = complex(places.mean())
    spokes = places - middle
    best: tuple[bytes, NDArray[np.int64], complex] | None = None
    rows, rounds = np.empty((4, len(pick)), dtype=np.int64), np.round(periods * 100)
    rows[0] = labels
    for east in _find_easts(labels, spokes, turns):
        seen = spokes * east
        angle = np.mod(turns + degrees(phase(east)), periods)
        rows[1] = np.floor(seen.real * FINE + OFF)
        rows[2] = np.floor(seen.imag * FINE + OFF)
        rows[3] = np.mod(np.floor(angle * 100 + OFF), rounds)
        order = np.lexsort(rows[::-1])
        reading = rows.T[order].astype(">i8").tobytes()
        if best is None or reading < best[0]:
            best = (reading, order, east)
    assert best is not None  # there is at least one item  # noqa: S101
    return TurnedReading(best[0], tuple(pick[best[1]].tolist()), middle, best[2])


def _find_easts(labels: NDArray[np.int64], spokes: NDArray[np.complex128], turns: NDArray[np.float64]) -> list[complex]:
    """Return the turns that bring each item of the rarest kind due east."""
    far = np.abs(spokes)
    away = np.flatnonzero(far > 10 / FINE)
    if not len(away):
        return [complex(np.exp(-1j * np.radians(turns[0])))]
    steps = np.floor(far[away] * FINE + OFF).astype(np.int64)
    kinds = labels[away] * (int(steps.max()) + 1) + steps  # in the order of labels, then of distances
    counts = Counter(kinds.tolist())
    few = min(counts.values())
    rarest = min(kind for kind, count in counts.items() if count == few)
    return [complex(np.conj(spokes[i]) / far[i]) for i in away[kinds == rarest].tolist()]
