"""Linear and integer programmes by columns, and the knapsack that finds the next column."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

SLIGHT = 1e-9
"""Smaller differences of values count as zero."""
MANY_NODES = 100
"""With so many branches the solver may use every search of its own for better whole numbers."""


class ColumnProgramme:
    """Least cost of columns that together give each row at least its need.

    Parameters
    ----------
    needs
        The need of each row.
    """

    def __init__(self, needs: Sequence[float]) -> None:
        import highspy  # noqa: PLC0415  a tenth of a second that a plan which is proved without it saves

        class Silent(highspy.Highs):
            """The solver without callbacks: setting them up prints a banner."""

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
        self.costs: list[float] = []

    def add(self, cost: float, gives: Mapping[int, float]) -> None:
        """Add a column: its cost, and its share for each row."""
        rows = np.fromiter(gives, dtype=np.int32, count=len(gives))
        values = np.fromiter(gives.values(), dtype=np.float64, count=len(gives))
        self._solver.addCol(cost, 0.0, self._infinity, len(rows), rows, values)
        self.columns += 1
        self.costs.append(cost)

    def solve(self) -> tuple[float, NDArray[np.float64]]:
        """Return the least cost and the price of each row."""
        self._solver.run()
        solution = self._solver.getSolution()
        return float(self._solver.getInfo().objective_function_value), np.maximum(np.array(solution.row_dual), 0.0)

    def amounts(self) -> NDArray[np.float64]:
        """Return the amount of each column in the last solution."""
        return np.array(self._solver.getSolution().col_value)

    def solve_whole(self, nodes: int, target: float, known: float) -> NDArray[np.intp] | None:
        """Return whole amounts with a cost below the known cost, or None; the search ends at the target.

        The costs of columns are whole numbers, so that amounts must cost at least one less; a row of the programme says
        so, and no further column can be added.

        Parameters
        ----------
        nodes
            The most branches to follow.
        target
            A cost that is good enough.
        known
            The cost of a known solution.
        """
        every = np.arange(self.columns, dtype=np.int32)
        self._solver.addRow(-self._infinity, known - 1.0, len(every), every, np.array(self.costs, dtype=np.float64))
        for column in range(self.columns):
            self._solver.changeColIntegrality(column, self._basic)
        if nodes < MANY_NODES:  # searches within the search, which take most of a short one
            for search in ("rins", "root_reduced_cost"):
                self._solver.setOptionValue(f"mip_heuristic_run_{search}", "off")
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

    @property
    def least_whole(self) -> float:
        """What whole amounts cost at least, proved by the last search for them; infinite if there are none."""
        return float(self._solver.getInfo().mip_dual_bound)


def fill_knapsack(items: Sequence[tuple[int, float, int, tuple[int, ...]]], capacity: int) -> tuple[float, list[int]]:
    """Return the greatest value that fits, and the number of each item in it.

    Parameters
    ----------
    items
        (size, value, number available, sizes of 1, 2, ... together if not multiples) of each.
    capacity
        The greatest sum of sizes.

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
    """Yield shares of 1, 2, 4, ... and a rest; every number up to a count is a sum of some shares.

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
    """Return the greatest value that fits, and its options with their groups, the last group first.

    Parameters
    ----------
    groups
        (size, value) of each option; at most one of each group is taken.
    capacity
        The greatest sum of sizes.

    Notes
    -----
    Dynamic programming over the capacity: O(options · capacity), a few microseconds per option.

    Examples
    --------
    >>> choose_options([[(3, 4.0)], [(5, 6.0), (6, 6.5)], [(4, 4.5)]], 8)
    (10.0, [(1, 0), (0, 0)])
    """
    states = fill_states(groups, capacity)
    return float(states[-1].max()), read_states(groups, states, capacity)


def fill_states(groups: Sequence[Sequence[tuple[int, float]]], capacity: int) -> NDArray[np.float64]:
    """Return the greatest value for every capacity, before the first group and after each; one row each."""
    states = np.zeros((len(groups) + 1, capacity + 1))
    for row, options in enumerate(groups):
        before, after = states[row], states[row + 1]
        after[:] = before
        for size, value in options:
            np.maximum(after[size:], before[: len(before) - size] + value, out=after[size:])
    return states


def read_states(
    groups: Sequence[Sequence[tuple[int, float]]], states: NDArray[np.float64], capacity: int
) -> list[tuple[int, int]]:
    """Return the options of the greatest value for a capacity with their groups, the last group first."""
    taken: list[tuple[int, int]] = []
    at = int(np.argmax(states[-1][: capacity + 1]))
    for group in range(len(groups) - 1, -1, -1):
        before, after, options = states[group], states[group + 1], groups[group]
        if after[at] > before[at] + SLIGHT:
            fits = [k for k, (size, _) in enumerate(options) if size <= at]
            option = max(fits, key=lambda k: before[at - options[k][0]] + options[k][1])
            taken.append((group, option))
            at -= options[option][0]
    return taken
