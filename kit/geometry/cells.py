"""A region divided into cells of equal size, and the one closed curve that winds through all of them.

Give each cell a wall of half the spacing on its inside, break doorways through the walls along a spanning tree of
the cells: what is left open is one piece without holes, because a tree has no circuits. Its outline is a closed
curve that never crosses itself, stays half a spacing off the edge, and has itself as neighbour one spacing away.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.outlines import Point
from kit.geometry.paths import Path, Rings, list_polygons, make_polygon

RELAXATIONS = 6
"""Rounds in which each cell's site moves to the cell's centre; more change little."""


@dataclass(frozen=True, eq=False)
class Cells:
    """A region divided.

    Attributes
    ----------
    region
        What was divided.
    shapes
        One polygon a cell.
    sites
        (n, 2) a point in each cell.
    walls
        Pairs of cells that share a wall, with its length and its middle.
    """

    region: shapely.Polygon
    shapes: NDArray[np.object_]
    sites: NDArray[np.float64]
    walls: tuple[tuple[int, int, float, Point], ...]


def divide_region(rings: Rings, pitch: float) -> Cells:
    """Divide a region into cells about one pitch wide.

    Lay a triangular lattice of sites over the region, then let every site move to the centre of the part of the region
    that is nearest to it, several times.

    References
    ----------
    S. Lloyd, Least squares quantization in PCM, IEEE Transactions on Information Theory 28 (1982), p. 129 (from memory).
    """
    region = make_polygon(rings)
    sites = _lay_sites(region, pitch)
    shapes = _find_cells(region, sites)
    for _ in range(RELAXATIONS if len(sites) > 1 else 0):
        sites = shapely.get_coordinates(shapely.centroid(shapes))
        shapes = _find_cells(region, sites)
    return Cells(region, shapes, sites, _find_walls(region, sites, shapes))


def _lay_sites(region: shapely.Polygon, pitch: float) -> NDArray[np.float64]:
    left, bottom, right, top = region.bounds
    rise = pitch * sqrt(3) / 2
    rows, columns = int((top - bottom) / rise) + 2, int((right - left) / pitch) + 3
    x = left + pitch * (np.arange(columns) - 0.75)
    grid = [np.column_stack([x + pitch / 2 * (j % 2), np.full(columns, bottom + rise * (j + 0.5))]) for j in range(rows)]
    points = np.concatenate(grid)
    inner = region.buffer(-pitch / 5)
    inside = shapely.contains_xy(inner, points[:, 0], points[:, 1])
    if inside.any():
        return np.asarray(points[inside])
    return shapely.get_coordinates(region.representative_point())


def _find_cells(region: shapely.Polygon, sites: NDArray[np.float64]) -> NDArray[np.object_]:
    if len(sites) == 1:
        return np.array([region], dtype=object)
    parts = shapely.get_parts(_divide(region, sites))
    shapes = shapely.intersection(parts, region)
    broken = np.flatnonzero(shapely.get_type_id(shapes) != 3)
    for i in broken.tolist():
        shapes[i] = max(list_polygons(shapes[i]), key=lambda part: part.area, default=shapely.Point(sites[i]).buffer(1e-6))
    return np.asarray(shapes, dtype=object)


def _divide(region: shapely.Polygon, sites: NDArray[np.float64]) -> shapely.Geometry:
    return shapely.voronoi_polygons(shapely.multipoints(sites), extend_to=region, ordered=True)


def _find_walls(
    region: shapely.Polygon, sites: NDArray[np.float64], shapes: NDArray[np.object_]
) -> tuple[tuple[int, int, float, Point], ...]:
    if len(sites) == 1:
        return ()
    whole = shapely.get_parts(_divide(region, sites))
    a, b = shapely.STRtree(whole).query(whole, predicate="intersects")
    once = a < b
    a, b = a[once], b[once]
    shared = shapely.intersection(shapely.intersection(whole[a], whole[b]), region)
    length = shapely.length(shared)
    middle = shapely.get_coordinates(shapely.line_interpolate_point(_longest(shared), 0.5, normalized=True))
    walls = zip(a.tolist(), b.tolist(), length.tolist(), middle.tolist(), strict=True)
    return tuple((i, j, size, (x, y)) for i, j, size, (x, y) in walls if size > 1e-6)


def _longest(shared: NDArray[np.object_]) -> NDArray[np.object_]:
    flat = [max(shapely.get_parts(one), key=lambda part: part.length) if one.length else None for one in shared]
    stand_in = shapely.LineString([(0, 0), (1, 0)])
    return np.array([one if one is not None else stand_in for one in flat], dtype=object)


def wind_curve(cells: Cells, spacing: float, draw: np.random.Generator, *, swirls: bool = False) -> Path | None:
    """Return the closed curve that winds through all cells, None where the cells leave it no way through.

    Parameters
    ----------
    cells
        Cells some two spacings wide; some five for swirls.
    spacing
        Inches between the curve and itself.
    draw
        Random numbers, for the choice of the tree.
    swirls
        Build a curled wall into each cell, so that the curve curls in and out again.
    """
    tree = _choose_tree(cells, draw)
    rooms = shapely.buffer(cells.shapes, -spacing / 2, quad_segs=6)
    doors = [
        shapely.LineString([cells.sites[i], middle, cells.sites[j]]).buffer(min(0.4 * spacing, 0.28 * size))
        for i, j, size, middle in tree
    ]
    open_space = shapely.union_all([*rooms, *doors])
    if swirls:
        curls = [wall for i in range(len(cells.sites)) for wall in _build_curl(cells, i, tree, spacing)]
        carved = open_space.difference(shapely.union_all(curls))
        if carved.geom_type == "Polygon" and not carved.interiors:
            open_space = carved
    radius = 0.2 * spacing
    smooth = open_space.buffer(-radius, quad_segs=6).buffer(2 * radius, quad_segs=6).buffer(-radius, quad_segs=6)
    if smooth.geom_type != "Polygon" or smooth.interiors or smooth.is_empty:
        return None
    return np.asarray(_add_entry(cells, smooth.simplify(0.002 * spacing), spacing), dtype=np.float64)


def _choose_tree(cells: Cells, draw: np.random.Generator) -> list[tuple[int, int, float, Point]]:
    """Return the walls of a random spanning tree that prefers long walls (Kruskal)."""
    parent = list(range(len(cells.sites)))

    def find(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    weight = draw.random(len(cells.walls)) + 0.5
    order = sorted(range(len(cells.walls)), key=lambda k: weight[k] / cells.walls[k][2])
    tree = []
    for k in order:
        i, j = find(cells.walls[k][0]), find(cells.walls[k][1])
        if i != j:
            parent[i] = j
            tree.append(cells.walls[k])
    return tree


def _build_curl(
    cells: Cells, i: int, tree: Sequence[tuple[int, int, float, Point]], spacing: float
) -> list[shapely.Geometry]:
    """Return the curled wall of one cell: in from the side where no door is near, then round the middle."""
    x, y = cells.sites[i]
    shape = cells.shapes[i]
    room = shape.exterior.distance(shapely.Point(x, y)) - spacing / 2
    if room < 0.8 * spacing:
        return []
    doors = sorted(
        float(np.arctan2(middle[1] - y, middle[0] - x)) for a, b, _, middle in tree if i in (a, b)
    ) or [0.0]
    free = [(doors[(k + 1) % len(doors)] - d) % (2 * pi) or 2 * pi for k, d in enumerate(doors)]
    widest = int(np.argmax(free))
    entry = doors[widest] + free[widest] / 2
    far = max(shape.bounds[2] - shape.bounds[0], shape.bounds[3] - shape.bounds[1])
    if room < 1.55 * spacing:
        curl = [(far, entry), (0.35 * room - 0.35 * spacing, entry)]
    else:
        turns = np.linspace(0, 1.5 * pi, 24)
        start = min(room - 1.1 * spacing, 1.0 * spacing)
        curl = [(far, entry), *((start - 0.06 * spacing * t, entry + t) for t in turns)]
    line = shapely.LineString([(x + r * cos(t), y + r * sin(t)) for r, t in curl])
    return [line.buffer(0.25 * spacing, quad_segs=6).intersection(shape)]


def _add_entry(cells: Cells, smooth: shapely.Polygon, spacing: float) -> NDArray[np.float64]:
    """Return the outline of the open space with a point drawn out to the edge of the region, where it begins and ends."""
    corners = np.asarray(cells.region.exterior.coords)
    k = int(np.argmax(np.round(np.hypot(*np.diff(corners, axis=0).T), 4)))
    gate = shapely.Point((corners[k] + corners[k + 1]) / 2)
    near = np.asarray(shapely.shortest_line(gate, smooth).coords)[1]
    x, y = gate.x, gate.y
    run = near - (x, y)
    size = float(np.hypot(*run))
    ux, uy = run / size
    half, depth = 0.25 * spacing, size + 0.15 * spacing
    wedge = shapely.Polygon(
        [(x, y), (x + depth * ux + half * uy, y + depth * uy - half * ux), (x + depth * ux - half * uy, y + depth * uy + half * ux)]
    )
    joined = smooth.union(wedge)
    if joined.geom_type != "Polygon" or joined.interiors:
        joined = smooth
    ring = np.asarray(joined.exterior.coords)
    first = int(np.argmin(np.hypot(ring[:-1, 0] - x, ring[:-1, 1] - y)))
    return np.concatenate([ring[first:-1], ring[: first + 1]])
