"""The front of a sweep: points that no other point equals in everything and beats in something."""

from collections.abc import Sequence

import numpy as np
import pandas as pd

from kit.errors import KitError

FOUR = ("Cloth", "Pieces", "Seams", "Hours")
"""The default columns: cloth, pieces, seams, time; less is better."""


def find_front(table: pd.DataFrame, by: Sequence[str] = FOUR) -> list[int]:
    """Return the places of the rows on the front, in the order of the table.

    A row is on it if no other is at most as large in every column and smaller in one. Rows equal in every column are on
    it together. A row without a figure (a point that cannot be made) is not on it and displaces no other.

    Parameters
    ----------
    table
        One row per point.
    by
        The columns that count; less is better.

    Raises
    ------
    KitError
        No column, or a column missing from the table.

    Notes
    -----
    Every row is compared with every other: n² comparisons of whole columns, a tenth of a second for a thousand rows.

    References
    ----------
    V. Pareto, Manuale di economia politica, 1906: a state is best if nothing in it can gain without a loss elsewhere.

    Examples
    --------
    >>> find_front(pd.DataFrame({"Cloth": [3.0, 2.0, 3.0], "Hours": [1.0, 2.0, 2.0]}), ["Cloth", "Hours"])
    [0, 1]
    """
    missing = [name for name in by if name not in table.columns]
    if missing or not by:
        found = f"The table has no column {missing[0]!r:.60} for a front" if missing else "The front has no columns"
        raise KitError(found, needed="columns of figures", do=f"take some of {', '.join(FOUR)}")
    figures = table[list(by)].to_numpy(dtype=float, na_value=np.nan)
    whole = ~np.isnan(figures).any(axis=1)
    kept = figures[whole]
    places = np.flatnonzero(whole)
    beaten = [bool(((kept <= row).all(axis=1) & (kept < row).any(axis=1)).any()) for row in kept]
    return [int(place) for place, lost in zip(places, beaten, strict=True) if not lost]
