"""A region divided into cells of equal size, and one closed curve that winds through all of them.

Give each cell a wall of half the spacing on its inside, break doorways through the walls along a spanning tree of
the cells: the open part is one piece without holes, because a tree has no circuits. Its outline is a closed
curve that never crosses itself, stays half a spacing from the edge, and keeps one spacing between its turns.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt

import numpy as np
import rustworkx
import shapely
from numpy.typing import NDArray

from kit.geometry.mesh import FINE
from kit.geometry.outlines import Point
from kit.geometry.paths import Path, Rings, list_polygons, make_polygon, measure_path, walk_path

RELAXATIONS = 6
"""Rounds of moving each cell's site to the cell's centre; more rounds change little."""


@dataclass(frozen=True, eq=False)
class Cells:
    """A region divided.

    Attributes
    ----------
    region
        The divided region.
    shapes
        One polygon per cell.
    sites
        (n, 2) a point in each cell.
    walls
        Pairs of cells that share a wall, with its length and its middle.
    links
        Pairs of cells that open into one another if they share a wall.
    """

    region: shapely.Polygon
    shapes: NDArray[np.object_]
    sites: NDArray[np.float64]
    walls: tuple[tuple[int, int, float, Point], ...]
    links: tuple[tuple[int, int], ...] = ()


def divide_region(rings: Rings, pitch: float) -> Cells:
    """Divide a region into cells roughly one pitch wide.

    Lay a triangular lattice of sites over the region. Then, several times, move every site to the centre of its
    nearest part of the region.

    References
    ----------
    S. Lloyd, Least squares quantization in PCM, IEEE Trans. Information Theory 28 (1982), p. 129 (from memory).
    """
    region = make_polygon(rings)
    return _settle(region, _lay_sites(region, pitch), 0, ())


def divide_into_spirals(rings: Rings, pitch: float, wide: float) -> Cells:
    """Divide a region into cells that lie along spirals, with common cells between the spirals.

    Parameters
    ----------
    rings
        The region.
    pitch
        Inches from one turn of a spiral to the next.
    wide
        Inches from the middle of one spiral to the next.

    Notes
    -----
    The cells along one spiral should open into one another: `links` of the result.
    """
    region = make_polygon(rings)
    centres = shapely.get_coordinates(shapely.centroid(divide_region(rings, wide).shapes))
    inner = region.buffer(-0.3 * pitch)
    sites: list[Point] = []
    links = []
    for k, (x, y) in enumerate(centres.tolist()):
        turns = _space_turns(pitch, wide / 2 / pitch + 0.3)
        way = 1 if k % 2 else -1
        before = False
        for t in turns:
            r = pitch * (t / (2 * pi) + 0.15)
            spot = (x + r * cos(way * t + k), y + r * sin(way * t + k))
            mine = int(np.argmin(np.hypot(*(centres - spot).T))) == k and inner.contains(shapely.Point(spot))
            if mine and before:
                links.append((len(sites) - 1, len(sites)))
            if mine:
                sites.append(spot)
            before = mine
    spots = np.array(sites).reshape(-1, 2)
    lattice = _lay_sites(region, pitch)
    away = np.array([len(spots) == 0 or np.hypot(*(spots - one).T).min() > 0.85 * pitch for one in lattice])
    return _settle(region, np.concatenate([spots, lattice[away]]), len(spots), tuple(links))


def _space_turns(pitch: float, turns: float) -> list[float]:
    """Return the angles of the sites of a spiral, some two thirds of a pitch apart along it."""
    angles, t = [], 0.0
    while t < 2 * pi * turns:
        angles.append(t)
        t += 0.62 * pitch / (pitch * (t / (2 * pi) + 0.15) + 0.25 * pitch)
    return angles


def _settle(
    region: shapely.Polygon, sites: NDArray[np.float64], fixed: int, links: tuple[tuple[int, int], ...]
) -> Cells:
    """Move all sites but the first `fixed` to the middle of their cells, and return the cells."""
    shapes = _find_cells(region, sites)
    for _ in range(RELAXATIONS if len(sites) > 1 else 0):
        sites = np.concatenate([sites[:fixed], shapely.get_coordinates(shapely.centroid(shapes))[fixed:]])
        shapes = _find_cells(region, sites)
    return Cells(region, shapes, sites, _find_walls(region, sites), links)


def _lay_sites(region: shapely.Polygon, pitch: float) -> NDArray[np.float64]:
    left, bottom, right, top = region.bounds
    rise = pitch * sqrt(3) / 2
    rows, columns = int((top - bottom) / rise) + 2, int((right - left) / pitch) + 3
    x = left + pitch * (np.arange(columns) - 0.75)
    grid = [
        np.column_stack([x + pitch / 2 * (j % 2), np.full(columns, bottom + rise * (j + 0.5))]) for j in range(rows)
    ]
    points = np.concatenate(grid)
    points = points + np.random.default_rng(len(points)).uniform(-0.02, 0.02, points.shape) * pitch
    inner = region.buffer(-pitch / 5)
    inside = shapely.contains_xy(inner, points[:, 0], points[:, 1])
    if inside.any():
        return np.asarray(points[inside])
    return np.asarray(shapely.get_coordinates(region.representative_point()))


def _find_cells(region: shapely.Polygon, sites: NDArray[np.float64]) -> NDArray[np.object_]:
    if len(sites) == 1:
        return np.array([region], dtype=object)
    parts = shapely.get_parts(_divide(region, sites))
    shapes = shapely.intersection(shapely.make_valid(parts), region, grid_size=FINE)
    broken = np.flatnonzero(shapely.get_type_id(shapes) != 3)
    for i in broken.tolist():
        shapes[i] = max(
            list_polygons(shapes[i]), key=lambda part: part.area, default=shapely.Point(sites[i]).buffer(1e-6)
        )
    return np.asarray(shapes, dtype=object)


def _divide(region: shapely.Polygon, sites: NDArray[np.float64]) -> shapely.Geometry:
    return shapely.voronoi_polygons(shapely.multipoints(sites), extend_to=region, ordered=True)


def _find_walls(region: shapely.Polygon, sites: NDArray[np.float64]) -> tuple[tuple[int, int, float, Point], ...]:
    if len(sites) == 1:
        return ()
    whole = shapely.make_valid(shapely.get_parts(_divide(region, sites)))
    a, b = shapely.STRtree(whole).query(whole, predicate="intersects")
    once = a < b
    a, b = a[once], b[once]
    shared = shapely.intersection(shapely.intersection(whole[a], whole[b]), region, grid_size=FINE)
    length = shapely.length(shared)
    middle = shapely.get_coordinates(shapely.line_interpolate_point(_longest(shared), 0.5, normalized=True))
    walls = zip(a.tolist(), b.tolist(), length.tolist(), middle.tolist(), strict=True)
    return tuple((i, j, size, (x, y)) for i, j, size, (x, y) in walls if size > 1e-6)


def _longest(shared: NDArray[np.object_]) -> NDArray[np.object_]:
    flat = [max(shapely.get_parts(one), key=lambda part: part.length) if one.length else None for one in shared]
    stand_in = shapely.LineString([(0, 0), (1, 0)])
    return np.array([one if one is not None else stand_in for one in flat], dtype=object)


def wind_curve(cells: Cells, spacing: float, draw: np.random.Generator) -> Path | None:
    """Return the closed curve that winds through all cells, None if the cells leave no way through.

    Where smoothing closes a wall into a ring, the ring is left out; the caller must measure whether the curve still
    covers the region. The curve begins and ends at the middle of the region's longest edge and touches it only there.

    Parameters
    ----------
    cells
        Cells some two spacings wide.
    spacing
        Inches between neighbouring turns of the curve.
    draw
        Random numbers, for the choice of the tree.
    """
    rooms = shapely.buffer(cells.shapes, -spacing / 2, quad_segs=6)
    doors = _open_doors(cells, _choose_tree(cells, draw), spacing)
    radius = 0.2 * spacing
    open_space = shapely.union_all([*rooms, *doors])
    opened = open_space.buffer(-radius, quad_segs=6).buffer(2 * radius, quad_segs=6).buffer(-radius, quad_segs=6)
    opened = max(list_polygons(opened), key=lambda part: part.area, default=None)
    if opened is None:
        return None
    smooth = shapely.Polygon(_soften(np.asarray(opened.exterior.coords), spacing))
    if not smooth.is_valid:
        return None
    return _add_entry(cells, smooth, spacing)


def _open_doors(cells: Cells, tree: Sequence[tuple[int, int, float, Point]], spacing: float) -> NDArray[np.object_]:
    """Return the ways from site to site through the middle of their wall, clear of the walls of all other cells."""
    if not tree:
        return np.empty(0, dtype=object)
    first, second = [wall[0] for wall in tree], [wall[1] for wall in tree]
    lines = [shapely.LineString([cells.sites[i], middle, cells.sites[j]]) for i, j, _, middle in tree]
    half = np.minimum(0.42 * spacing, 0.3 * np.array([size for _, _, size, _ in tree]))
    both = shapely.union(cells.shapes[first], cells.shapes[second], grid_size=FINE)
    room = shapely.buffer(both, -0.27 * spacing, quad_segs=4)
    room = shapely.intersection(room, cells.region.buffer(-0.47 * spacing), grid_size=FINE)
    wide = shapely.intersection(shapely.buffer(lines, half, quad_segs=6), room)
    return np.concatenate([wide, shapely.buffer(lines, 0.23 * spacing, quad_segs=6)])


def _is_simple(shape: shapely.Geometry) -> bool:
    return shape.geom_type == "Polygon" and not shape.is_empty and not shape.interiors


def _soften(ring: Path, spacing: float) -> Path:
    """Return a closed path with its short kinks smoothed out: equal steps, then a running mean, three times."""
    length = measure_path(ring)
    path = walk_path(ring, np.linspace(0, length, max(24, int(length / spacing * 14)) + 1)[:-1])
    for _ in range(3):
        path = np.mean([np.roll(path, k, axis=0) for k in range(-2, 3)], axis=0)
    return np.concatenate([path, path[:1]])


def _choose_tree(cells: Cells, draw: np.random.Generator) -> list[tuple[int, int, float, Point]]:
    """Return the walls of a random spanning tree that prefers long walls (Kruskal)."""
    weight = draw.random(len(cells.walls)) + 0.5
    wanted = set(cells.links)
    typical = float(np.median([size for _, _, size, _ in cells.walls])) if cells.walls else 0.0
    order = sorted(
        range(len(cells.walls)),
        key=lambda k: (
            cells.walls[k][:2] not in wanted or cells.walls[k][2] < 0.6 * typical,
            weight[k] / cells.walls[k][2],
        ),
    )
    graph: rustworkx.PyGraph[None, int] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * len(cells.sites))
    graph.add_edges_from([(*cells.walls[k][:2], n) for n, k in enumerate(order)])
    joined = sorted(n for _, _, n in rustworkx.minimum_spanning_edges(graph, float))
    return [cells.walls[order[n]] for n in joined]


def _add_entry(cells: Cells, smooth: shapely.Polygon, spacing: float) -> Path | None:
    """Return the outline with its beginning and end drawn out to the edge of the region."""
    corners = np.asarray(cells.region.exterior.coords)
    k = int(np.argmax(np.round(np.hypot(*np.diff(corners, axis=0).T), 4)))
    gate = (corners[k] + corners[k + 1]) / 2
    near = np.asarray(shapely.shortest_line(shapely.Point(gate), smooth).coords)[1]
    size = float(np.hypot(*(near - gate)))
    ahead = (near - gate) / size
    aside = np.array([-ahead[1], ahead[0]]) * 0.22 * spacing
    base = gate + ahead * (size + 0.12 * spacing)
    wedge = shapely.Polygon([gate, base - aside, base + aside])
    joined = smooth.union(wedge)
    if not _is_simple(joined):
        return None
    ring = np.asarray(joined.exterior.coords)
    first = int(np.argmin(np.hypot(*(ring[:-1] - gate).T)))
    return np.asarray(np.concatenate([ring[first:-1], ring[: first + 1]]))
