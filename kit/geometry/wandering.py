"""A line that wanders through an area and comes back beside itself without ever crossing.

Divide the area into cells of about equal size and join them by a tree, so that there is one way from each cell to each
other. A line once round the tree, half a spacing from every wall, visits both sides of every branch: it closes, never
crosses itself, and fills. Drawn as a spline through places in the cells it has no straight lanes and no corners.
"""

from math import sqrt

import numpy as np
import rustworkx
import shapely
from numpy.typing import NDArray

from kit.geometry.paths import Path, Rings, make_polygon, measure_path, walk_path
from kit.geometry.smooth_paths import draw_spline, measure_tightest, smooth_values

Floats = NDArray[np.float64]

ROUND = 0.16
"""Spacings: the least radius of a bend that is aimed at."""
MOST_RELAXING = 6
ROUNDS = 3
"""Rounds of moving each cell's site to the cell's middle: few, so that the cells stay unlike."""


def wander(rings: Rings, spacing: float, draw: np.random.Generator) -> Path | None:
    """Return a closed line through an area, from the middle of its longest edge and back to it.

    Parameters
    ----------
    rings
        The area.
    spacing
        Inches between neighbouring lines, about.
    draw
        Random numbers: where the cells lie, and which tree joins them.

    Returns
    -------
    (n, 2) array, or None if the area is too narrow for two cells.

    Notes
    -----
    O(n log n) in the number of cells; 400 cells take some 50 ms.
    """
    region = make_polygon(rings)
    sites = _scatter(region, 1.85 * spacing, draw)
    if len(sites) < 2:
        return None
    for _ in range(ROUNDS):
        cells = _divide(region, sites)
        sites = shapely.get_coordinates(shapely.centroid(cells))
    cells = _divide(region, sites)
    walls = _find_walls(cells)
    if walls is None:
        return None
    joined = _choose_tree(len(sites), walls, draw)
    return _go_round(cells, sites, walls, joined, _find_gate(rings), spacing)


def _find_gate(rings: Rings) -> Floats:
    """Return the middle of the longest edge of an area."""
    corners = np.array([*rings[0], rings[0][0]])
    k = int(np.argmax(np.round(np.hypot(*np.diff(corners, axis=0).T), 4)))
    return np.asarray((corners[k] + corners[k + 1]) / 2)


def _scatter(region: shapely.Polygon, pitch: float, draw: np.random.Generator) -> Floats:
    """Return places in an area about one pitch apart, somewhat out of their rows."""
    left, bottom, right, top = region.bounds
    rise = pitch * sqrt(3) / 2
    rows, columns = int((top - bottom) / rise) + 2, int((right - left) / pitch) + 3
    j, i = np.mgrid[0:rows, 0:columns]
    points = np.column_stack([(left + pitch * (i - 0.75 + 0.5 * (j % 2))).ravel(), (bottom + rise * (j + 0.5)).ravel()])
    points = points + draw.uniform(-0.28, 0.28, points.shape) * pitch
    inside = shapely.contains_xy(shapely.buffer(region, -pitch / 4), points[:, 0], points[:, 1])
    return np.asarray(points[inside])


def _divide(region: shapely.Polygon, sites: Floats) -> NDArray[np.object_]:
    """Return for each site the part of the area nearest it; of a part in several pieces the one with the site."""
    cells = shapely.get_parts(shapely.voronoi_polygons(shapely.multipoints(sites), extend_to=region, ordered=True))
    cells = shapely.intersection(cells, region)
    for k in np.flatnonzero(shapely.get_type_id(cells) != 3).tolist():
        parts = [part for part in shapely.get_parts(cells[k]) if part.geom_type == "Polygon"]
        site = shapely.Point(sites[k])
        cells[k] = min(parts, key=lambda part: float(part.distance(site)), default=site.buffer(1e-3))
    return np.asarray(cells, dtype=object)


def _find_walls(cells: NDArray[np.object_]) -> tuple[NDArray[np.int64], Floats, Floats] | None:
    """Return pairs of neighbours, the middle of the wall between them, and its length."""
    a, b = shapely.STRtree(cells).query(cells, predicate="intersects")
    once = a < b
    a, b = a[once], b[once]
    if not len(a):
        return None
    shared = shapely.intersection(cells[a], cells[b])
    length = shapely.length(shared)
    good = length > 1e-6
    lines = shapely.line_merge(shared[good])
    return (
        np.column_stack([a[good], b[good]]),
        shapely.get_coordinates(shapely.centroid(lines)),
        np.asarray(length[good]),
    )


def _choose_tree(
    count: int, walls: tuple[NDArray[np.int64], Floats, Floats], draw: np.random.Generator
) -> NDArray[np.int64]:
    """Return the walls that are opened: a random tree that prefers wide ones."""
    pairs, _, length = walls
    weight = (draw.random(len(pairs)) + 0.6) / length
    graph: rustworkx.PyGraph[None, int] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * count)
    graph.add_edges_from([(int(i), int(j), k) for k, (i, j) in enumerate(pairs)])
    return np.array(sorted(k for _, _, k in rustworkx.minimum_spanning_edges(graph, lambda k: float(weight[k]))))


def _go_round(
    cells: NDArray[np.object_],
    sites: Floats,
    walls: tuple[NDArray[np.int64], Floats, Floats],
    joined: NDArray[np.int64],
    gate: Floats,
    spacing: float,
) -> Path:
    """Return the spline once round the tree, with the walls on the right hand, from the gate and back to it."""
    pairs, middles, length = walls
    doors: list[list[tuple[float, int]]] = [[] for _ in sites]
    for k in joined.tolist():
        for cell in pairs[k].tolist():
            gap = middles[k] - sites[cell]
            doors[cell].append((float(np.arctan2(gap[1], gap[0])), k))
    first = int(np.argmin(np.hypot(*(sites - gate).T)))
    gap = gate - sites[first]
    doors[first].append((float(np.arctan2(gap[1], gap[0])), -1))
    for row in doors:
        row.sort()
    cell, door = first, -1
    holders: list[int] = []
    angles: list[float] = []
    passed: list[tuple[int, int, int]] = []  # after how many places in cells, through which door, into which cell
    while True:
        row = doors[cell]
        here = next(k for k, (_, name) in enumerate(row) if name == door)
        angle, after = row[here][0], row[(here + 1) % len(row)]
        sector = (after[0] - angle) % (2 * np.pi) or 2 * np.pi
        between = max(round(sector / (np.pi / 3)) - 1, 0)
        holders += [cell] * between
        angles += [angle + sector * (n + 1) / (between + 1) for n in range(between)]
        door = after[1]
        if door < 0:
            break
        cell = int(pairs[door].sum()) - cell
        passed.append((len(holders), door, cell))
    standing = _stand_off(cells, sites, np.array(holders, dtype=np.int64), np.array(angles), spacing)
    ways = np.array(passed, dtype=np.int64).reshape(-1, 3)
    ahead = sites[ways[:, 2]] - middles[ways[:, 1]]
    ahead = ahead / np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-9)[:, None]
    jamb = np.minimum(0.5 * spacing, 0.42 * length[ways[:, 1]])[:, None]
    through = middles[ways[:, 1]] + jamb * np.column_stack([ahead[:, 1], -ahead[:, 0]])
    controls = np.insert(standing, ways[:, 0], through, axis=0)
    return _relax(draw_spline(np.concatenate([gate[None], controls, gate[None]])), spacing)


def _relax(path: Path, spacing: float) -> Path:
    """Return a path whose tightest bends are drawn wider, its ends in place."""
    even = walk_path(path, np.linspace(0, measure_path(path), max(24, int(measure_path(path) / spacing * 12)) + 1))
    for _ in range(MOST_RELAXING):
        if measure_tightest(even) >= ROUND * spacing:
            break
        even = smooth_values(even, 2, closed=False)
        even[0], even[-1] = path[0], path[-1]
    return even


def _stand_off(
    cells: NDArray[np.object_], sites: Floats, holders: NDArray[np.int64], angles: Floats, spacing: float
) -> Floats:
    """Return the place half a spacing before the wall of a cell in each direction from its site."""
    ahead = np.column_stack([np.cos(angles), np.sin(angles)])
    far = sites[holders] + 4 * spacing * ahead
    rays = shapely.linestrings(np.stack([sites[holders], far], axis=1))
    room = shapely.length(shapely.intersection(rays, cells[holders]))
    # a spline passes inside its control points: stand nearer to the wall by a sixth of the room
    return np.asarray(sites[holders] + np.maximum(1.12 * room - 0.5 * spacing, 0.18 * spacing)[:, None] * ahead)
