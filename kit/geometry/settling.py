"""Corners of outlines that were given rounded, laid on the edges of the neighbours that they are meant to touch."""

from collections.abc import Sequence

import numpy as np
import shapely

from kit.geometry.outlines import TOLERANCE, Outline

ROUNDED = 4 * TOLERANCE
"""Inches: the farthest that a corner of five decimals can lie off the edge of its neighbour, and a little."""


def settle_corners(outlines: Sequence[Outline]) -> list[Outline]:
    """Return outlines whose corners, where they lie within a rounding of an edge, lie on it.

    A corner keeps its place where it is close to a corner of the edge; every outline with that corner moves with it.

    Notes
    -----
    O(n log n) for n corners.

    Examples
    --------
    >>> wide, left = [(0, 0), (4, 0), (4, 2), (0, 2)], [(0, 2), (1, 2.00002), (1, 3), (0, 3)]
    >>> settle_corners([tuple(wide), tuple(left)])[1][1]
    (1.0, 2.0)
    """
    corners = {point: point for outline in outlines for point in outline}
    edges = [(p, outline[i - 1]) for outline in outlines for i, p in enumerate(outline)]
    lines = shapely.linestrings(np.array(edges, dtype=np.float64))
    points = shapely.points(np.array(list(corners), dtype=np.float64))
    which, hit = shapely.STRtree(lines).query(points, predicate="dwithin", distance=ROUNDED)
    off = shapely.distance(points[which], lines[hit])
    along = shapely.line_locate_point(lines[hit], points[which])
    inside = (along > 10 * ROUNDED) & (along < shapely.length(lines[hit]) - 10 * ROUNDED) & (off > 0)
    places = shapely.get_coordinates(shapely.line_interpolate_point(lines[hit], along))
    names = list(corners)
    for k in np.flatnonzero(inside).tolist():
        corners[names[which[k]]] = (float(places[k, 0]), float(places[k, 1]))
    return [tuple(corners[point] for point in outline) for outline in outlines]
