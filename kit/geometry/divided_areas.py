"""What closed lines leave of an area: the parts inside them, and the parts round them."""

from collections.abc import Sequence

import numpy as np
import rustworkx
import shapely

from kit.geometry.outlines import TOLERANCE
from kit.geometry.paths import Path, Rings, list_polygons, make_polygon, make_rings

LEAST = 0.05
"""Square inches: a smaller part is not worth stitching."""


def divide_area(rings: Rings, lines: Sequence[Path]) -> tuple[list[Rings], list[Rings]]:
    """Return the innermost parts that closed lines enclose in an area, and the parts between them and its edge.

    Let lines and edge cut the plane. A part is as deep as the fewest lines between it and the edge; it is an innermost
    one if no neighbour is deeper.

    Examples
    --------
    >>> square = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)),
    >>> ring = np.array([(1.0, 1.0), (8.0, 1.0), (8.0, 8.0), (1.0, 8.0), (1.0, 1.0)])
    >>> inside, around = divide_area(square, [ring])
    >>> [make_polygon(part).area for part in (*inside, *around)]
    [49.0, 32.0]
    """
    area = make_polygon(rings)
    closed = [shapely.LineString(line) for line in lines if np.hypot(*(line[0] - line[-1])) < TOLERANCE]
    if not closed:
        return [rings], [rings]
    parts = list_polygons(shapely.polygonize([shapely.union_all([area.boundary, *closed])]), LEAST)
    parts = [part for part in parts if area.covers(part.representative_point())]
    depth, pairs = _measure_depths(parts, area)
    inner = {k for k, n in enumerate(depth) if n > 0}
    for a, b in pairs:
        if depth[a] != depth[b]:
            inner.discard(a if depth[a] < depth[b] else b)
    inside = [make_rings(parts[k]) for k in sorted(inner)]
    around = [make_rings(part) for part, n in zip(parts, depth, strict=True) if n == 0]
    return inside, around


def _measure_depths(parts: Sequence[shapely.Polygon], area: shapely.Polygon) -> tuple[list[int], list[tuple[int, int]]]:
    """Return for each part how many lines lie between it and the edge, and the pairs of neighbours."""
    shapes = np.array(parts, dtype=object)
    a, b = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = a < b
    a, b = a[once], b[once]
    touch = shapely.length(shapely.intersection(shapely.boundary(shapes[a]), shapely.boundary(shapes[b]))) > TOLERANCE
    pairs = list(zip(a[touch].tolist(), b[touch].tolist(), strict=True))
    edge = shapely.length(shapely.intersection(shapely.boundary(shapes), area.boundary)) > TOLERANCE
    graph: rustworkx.PyGraph[None, None] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * (len(parts) + 1))
    graph.add_edges_from_no_data(pairs + [(k, len(parts)) for k in np.flatnonzero(edge).tolist()])
    steps = rustworkx.dijkstra_shortest_path_lengths(graph, len(parts), lambda _: 1.0)
    return [int(steps[k]) - 1 if k in steps else 0 for k in range(len(parts))], pairs
