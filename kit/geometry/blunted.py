"""Outlines with an allowance whose sharp corners are cut off."""

from collections.abc import Sequence

import shapely

from kit.geometry.outlines import Outline, Point

MITRE = 2.0
"""A corner of the allowance farther out than so many allowances is cut off straight (common practice, no source)."""


def grow_blunted(outline: Sequence[Point], allowance: float) -> Outline:
    """Return an outline with an allowance around it, its sharp corners cut off.

    Parameters
    ----------
    outline
        Corners, any unit.
    allowance
        In the same unit.

    Examples
    --------
    >>> len(grow_blunted([(0, 0), (4, 0), (4, 4), (0, 4)], 0.25)), len(grow_blunted([(0, 0), (9, 0), (9, 1)], 0.25))
    (4, 4)
    """
    grown = shapely.Polygon(outline).buffer(allowance, join_style="mitre", mitre_limit=MITRE)
    return tuple((float(x), float(y)) for x, y in grown.exterior.coords[:-1])
