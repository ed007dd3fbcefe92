"""Linear and integer programmes by columns, and the knapsack that finds the next column."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

SLIGHT = 1e-9
"""A difference of values that is none."""


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
    groups: list[list[tuple[int, float]]] = []
    added: list[tuple[int, list[int]]] = []
    for i, (size, value, count, run) in enumerate(items):
        if value <= SLIGHT:
            continue
        if run:
            sizes = [(n, s) for n, s in enumerate(run[:count], start=1) if s <= capacity]
            groups.append([(s, n * value) for n, s in sizes])
            added.append((i, [n for n, _ in sizes]))
            continue
        for share in share_out(min(count, capacity // size)):
            groups.append([(share * size, share * value)])
            added.append((i, [share]))
    worth, taken = choose_options(groups, capacity)
    counts = [0] * len(items)
    for group, option in taken:
        i, numbers = added[group]
        counts[i] += numbers[option]
    return worth, counts


def share_out(count: int) -> Iterator[int]:
    """Yield shares of 1, 2, 4, ... and a rest, of which every number up to a count can be put together.

    Examples
    --------
    >>> list(share_out(9))
    [1, 2, 4, 2]
    """
    share = 1
    while count > 0:
        share = min(share, count)
        yield share
        count -= share
        share *= 2


def choose_options(groups: Sequence[Sequence[tuple[int, float]]], capacity: int) -> tuple[float, list[tuple[int, int]]]:
    """Return the greatest value that fits, and which option of which group it takes, the last group first.

    Parameters
    ----------
    groups
        (size, value) of each option; at most one of each group is taken.
    capacity
        What the sizes may add up to.

    Notes
    -----
    Dynamic programming over the capacity: O(options · capacity), a few microseconds an option.

    Examples
    --------
    >>> choose_options([[(3, 4.0)], [(5, 6.0), (6, 6.5)], [(4, 4.5)]], 8)
    (10.0, [(1, 0), (0, 0)])
    """
    states = [np.zeros(capacity + 1)]
    for options in groups:
        before, after = states[-1], states[-1].copy()
        for size, value in options:
            np.maximum(after[size:], before[: len(before) - size] + value, out=after[size:])
        states.append(after)
    taken: list[tuple[int, int]] = []
    at = int(np.argmax(states[-1]))
    for group in range(len(groups) - 1, -1, -1):
        before, after, options = states[group], states[group + 1], groups[group]
        if after[at] > before[at] + SLIGHT:
            fits = [k for k, (size, _) in enumerate(options) if size <= at]
            option = max(fits, key=lambda k: before[at - options[k][0]] + options[k][1])
            taken.append((group, option))
            at -= options[option][0]
    return float(states[-1].max()), taken
