"""Heaps shared among needs: each to one need at most, so that as little as can be stays short."""

from collections.abc import Sequence

from kit.solvers.packing.programmes import ColumnProgramme

SHORT = 1000
"""The cost of one missing piece; that of a heap is at most a tenth of it."""
NODES = 2000
"""Branches of the integer programme."""


def share_heaps(
    needs: Sequence[int],
    gives: Sequence[Sequence[int]],
    costs: Sequence[Sequence[int]],
    alone: Sequence[bool],
    apart: Sequence[tuple[int, int]],
) -> tuple[int | None, ...]:
    """Return for each heap the need that it serves, or None.

    Parameters
    ----------
    needs
        Pieces of each need.
    gives
        For each heap, the pieces that it gives to each need.
    costs
        For each heap, the cost of serving each need, 0 to 100: what decides between shares that leave as little short.
    alone
        Whether a need is served by one heap at most.
    apart
        Pairs of heaps of which neither may serve another need while the other serves a need alone.

    Notes
    -----
    An integer programme of a column for each heap and need; exact within its number of branches.

    Examples
    --------
    >>> share_heaps([10, 4], [[10, 4], [6, 4], [3, 0]], [[0, 0]] * 3, [False, False], [])
    (0, 1, None)
    """
    columns = [(i, j) for i, row in enumerate(gives) for j, number in enumerate(row) if number and needs[j]]
    rows: list[tuple[float, dict[tuple[int, int], float]]] = [
        (float(need), {(i, j): float(gives[i][j]) for i, j in columns if j == k}) for k, need in enumerate(needs)
    ]
    rows += [(-1.0, {(i, j): -1.0 for i, j in columns if i == heap}) for heap in range(len(gives))]
    rows += [(-1.0, {(i, j): -1.0 for i, j in columns if j == k}) for k, one in enumerate(alone) if one]
    for pair in apart:
        for first, second in (pair, pair[::-1]):
            for k in (k for k, one in enumerate(alone) if one and (first, k) in columns):
                others = {(i, j): -1.0 for i, j in columns if i == second and j != k}
                if others:
                    rows.append((-1.0, {(first, k): -1.0, **others}))
    programme = ColumnProgramme([need for need, _ in rows])
    for k in range(len(needs)):
        programme.add(float(SHORT), {k: 1.0})
    for column in columns:
        cost = 1.0 + costs[column[0]][column[1]]
        programme.add(cost, {number: row[column] for number, (_, row) in enumerate(rows) if column in row})
    known = float(SHORT * sum(needs) + 1)
    amounts = programme.solve_whole(NODES, 0.0, known)
    served: list[int | None] = [None] * len(gives)
    if amounts is not None:
        for (heap, need), amount in zip(columns, amounts[len(needs) :].tolist(), strict=True):
            if amount:
                served[heap] = need
    return tuple(served)
