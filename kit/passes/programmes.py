"""Linear and integer programmes by columns, and the knapsack that finds the next column."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray


class ColumnProgramme:
    """Least cost of columns that together give each row at least its need.

    Parameters
    ----------
    needs
        What each row needs.
    """

    def __init__(self, needs: Sequence[float]) -> None:
        import highspy  # noqa: PLC0415  a tenth of a second that a plan which is proved without it saves

        class Silent(highspy.Highs):
            """The solver without callbacks, whose setting up prints a banner."""

            def enableCallbacks(self) -> None:  # noqa: N802  the library's name
                self.silent()

        self._solver: Any = Silent()  # type: ignore[no-untyped-call]  # the library's constructor carries no types
        self._solver.setOptionValue("threads", 1)
        self._solver.setOptionValue("random_seed", 0)
        self._basic = highspy.HighsVarType.kInteger
        self._infinity = highspy.kHighsInf
        empty = np.array([], dtype=np.int32)
        for need in needs:
            self._solver.addRow(float(need), self._infinity, 0, empty, np.array([], dtype=np.float64))
        self.columns = 0

    def add(self, cost: float, gives: Mapping[int, float]) -> None:
        """Add a column: its cost, and what it gives to which row."""
        rows = np.fromiter(gives, dtype=np.int32, count=len(gives))
        values = np.fromiter(gives.values(), dtype=np.float64, count=len(gives))
        self._solver.addCol(cost, 0.0, self._infinity, len(rows), rows, values)
        self.columns += 1

    def solve(self) -> tuple[float, NDArray[np.float64]]:
        """Return the least cost and the price of each row."""
        self._solver.run()
        solution = self._solver.getSolution()
        return float(self._solver.getInfo().objective_function_value), np.maximum(np.array(solution.row_dual), 0.0)

    def amounts(self) -> NDArray[np.float64]:
        """Return how much of each column the last solution takes."""
        return np.array(self._solver.getSolution().col_value)

    def solve_whole(self, nodes: int, target: float, known: float) -> NDArray[np.intp] | None:
        """Return whole amounts of a cost below the known one, or None; the search ends at the target.

        Parameters
        ----------
        nodes
            How many branches are followed at most.
        target
            A cost that is good enough.
        known
            A cost that is already had.
        """
        for column in range(self.columns):
            self._solver.changeColIntegrality(column, self._basic)
        self._solver.setOptionValue("mip_max_nodes", nodes)
        self._solver.setOptionValue("mip_rel_gap", 0.0)
        self._solver.setOptionValue("mip_abs_gap", 0.999)
        self._solver.setOptionValue("objective_target", target + 0.5)
        self._solver.setOptionValue("objective_bound", known - 0.5)
        self._solver.run()
        amounts = np.array(self._solver.getSolution().col_value)
        if len(amounts) != self.columns or not np.isfinite(self._solver.getInfo().objective_function_value):
            return None
        whole: NDArray[np.intp] = np.rint(amounts).astype(np.intp)
        return whole


def fill_knapsack(items: Sequence[tuple[int, float, int, tuple[int, ...]]], capacity: int) -> tuple[float, list[int]]:
    """Return the greatest value that fits, and how many of each item it takes.

    Parameters
    ----------
    items
        (size, value, how many there are, sizes of 1, 2, ... together where they are not multiples) of each.
    capacity
        What the sizes may add up to.

    Notes
    -----
    Dynamic programming over the capacity; each item in shares of 1, 2, 4, ...: O(items · log(count) · capacity).

    Examples
    --------
    >>> fill_knapsack([(3, 4.0, 2, ()), (5, 6.0, 1, ())], 8)
    (10.0, [1, 1])
    """
    states = [np.zeros(capacity + 1)]
    added: list[tuple[int, list[tuple[int, int]]]] = []
    for i, (size, value, count, run) in enumerate(items):
        if value <= 1e-12:
            continue
        if run:
            options = [(n, s) for n, s in enumerate(run[:count], start=1) if s <= capacity]
            states.append(_add_one_of(states[-1], value, options))
            added.append((i, options))
            continue
        left, share = min(count, capacity // size), 1
        while left > 0:
            share = min(share, left)
            states.append(_add_one_of(states[-1], value, [(share, share * size)]))
            added.append((i, [(share, share * size)]))
            left -= share
            share *= 2
    counts = [0] * len(items)
    at = capacity
    for before, after, (i, options) in zip(states[-2::-1], states[:0:-1], reversed(added), strict=True):
        if after[at] > before[at] + 1e-12:
            fits = [(before[at - size] + number * items[i][1], number, size) for number, size in options if size <= at]
            _, number, size = max(fits)
            counts[i] += number
            at -= size
    return float(states[-1][capacity]), counts


def _add_one_of(before: NDArray[np.float64], value: float, options: Sequence[tuple[int, int]]) -> NDArray[np.float64]:
    """Return the greatest value of each size when at most one of several amounts of an item is added."""
    after = before.copy()
    for number, size in options:
        np.maximum(after[size:], before[: len(before) - size] + number * value, out=after[size:])
    return after
