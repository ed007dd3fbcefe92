"""Paths on a region: polylines, insets, clipped straight lines, meetings of paths. A region is a tuple of rings.

The first ring is the outline, the others are the outlines of holes. A path is an (n, 2) array of inches; a closed
path ends at its first point.
"""

from collections.abc import Sequence
from math import cos, hypot, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.mesh import FINE
from kit.geometry.outlines import TOLERANCE, Outline, Point

Path = NDArray[np.float64]
Rings = tuple[Outline, ...]


def make_polygon(rings: Rings) -> shapely.Polygon:
    """Return a region as a polygon of shapely."""
    return shapely.Polygon(rings[0], rings[1:])


def make_rings(polygon: shapely.Polygon) -> Rings:
    """Return a polygon of shapely as a region, the outline counter-clockwise."""
    turned = shapely.geometry.polygon.orient(polygon)
    loops = (turned.exterior, *turned.interiors)
    return tuple(tuple((float(x), float(y)) for x, y in loop.coords[:-1]) for loop in loops)


def list_polygons(shape: shapely.Geometry, least: float = 0.0) -> list[shapely.Polygon]:
    """Return the polygons of any geometry with more than the least area."""
    parts = shapely.get_parts(shapely.get_parts(shape))
    return [part for part in parts if part.geom_type == "Polygon" and part.area > least]


def measure_path(path: Path) -> float:
    """Return the length of a path.

    Examples
    --------
    >>> measure_path(np.array([(0, 0), (3, 4), (3, 5)]))
    6.0
    """
    step = np.diff(path, axis=0)
    return float(np.hypot(step[:, 0], step[:, 1]).sum())


def walk_path(path: Path, places: NDArray[np.float64]) -> Path:
    """Return the points at the given inches along a path."""
    step = np.diff(path, axis=0)
    at = np.concatenate([[0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))])
    return np.column_stack([np.interp(places, at, path[:, 0]), np.interp(places, at, path[:, 1])])


def measure_region(rings: Rings) -> float:
    """Return the area of a region in square inches."""
    return float(make_polygon(rings).area)


def find_inner_place(outline: Outline) -> Point:
    """Return a place inside an outline."""
    place = shapely.Polygon(outline).representative_point()
    return float(place.x), float(place.y)


def merge_outlines(outlines: Sequence[Outline]) -> list[Rings]:
    """Return the regions of the united outlines, from left to right."""
    union = shapely.union_all([shapely.Polygon(outline) for outline in outlines], grid_size=FINE)
    parts = sorted(list_polygons(union), key=lambda part: (round(part.bounds[0], 4), round(part.bounds[1], 4)))
    return [make_rings(part) for part in parts]


def clip_outline_to_box(outline: Outline, box: tuple[float, float, float, float]) -> list[Outline]:
    """Return the parts of an outline within a box (left, bottom, right, top), none where it lies outside.

    Examples
    --------
    >>> clip_outline_to_box(((0.0, 0.0), (4.0, 0.0), (0.0, 4.0)), (0.0, 0.0, 2.0, 2.0))
    [((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))]
    """
    shape = shapely.Polygon(outline)
    try:
        seen = shapely.clip_by_rect(shape, *box)
    except shapely.errors.GEOSException:  # some outlines that touch the box in a corner; seen with halves of triangles
        seen = shapely.intersection(shape, shapely.box(*box))
    return [make_rings(part)[0] for part in list_polygons(seen, TOLERANCE)]


def clip_line_to_box(ends: tuple[Point, Point], box: tuple[float, float, float, float]) -> tuple[Point, ...]:
    """Return the stretch of a line within a box or along its edge, empty where the line lies outside.

    The box is widened by the tolerance, because shapely takes a line along the edge for one outside.

    Examples
    --------
    >>> clip_line_to_box(((0.0, 0.0), (1.0, 0.0)), (0.0, 0.0, 2.0, 2.0))
    ((0.0, 0.0), (1.0, 0.0))
    """
    left, bottom, right, top = box
    wider = (left - TOLERANCE, bottom - TOLERANCE, right + TOLERANCE, top + TOLERANCE)
    seen = shapely.clip_by_rect(shapely.LineString(ends), *wider)
    return tuple((float(x), float(y)) for x, y in seen.coords) if seen.geom_type == "LineString" else ()


def find_widest(rings: Rings) -> tuple[Point, float]:
    """Return the centre and radius of the largest circle in a region, to about two hundredths.

    Of equally large circles, as in a strip, take the one in the middle.
    """
    polygon = make_polygon(rings)
    (x, y), (u, v) = shapely.maximum_inscribed_circle(polygon).coords
    radius = hypot(u - x, v - y)
    middle = polygon.centroid
    if polygon.contains(middle) and polygon.boundary.distance(middle) >= 0.98 * radius:
        return (float(middle.x), float(middle.y)), float(polygon.boundary.distance(middle))
    return (float(x), float(y)), radius


def find_roomiest(outline: Outline, busy: Sequence[tuple[Point, Point, float]], share: float) -> tuple[Point, float]:
    """Return the place in an outline with the most room round it, and how much.

    Find the largest circle in what lines to stay clear of leave free. Of all places with nearly as much room, which is
    that region inset, take the one nearest the outline's centroid. Where the lines leave nothing free, the place is
    that of the outline alone, with a room of zero.

    Parameters
    ----------
    outline
        Corners, inches.
    busy
        Ends of lines to stay clear of, and the inches to keep from each; twice the same point for a dot.
    share
        Part of the most room that counts as nearly as much, below 1.
    """
    polygon = shapely.Polygon(outline)
    covered = [shapely.LineString((a, b)).buffer(more) for a, b, more in busy]
    free = polygon.difference(shapely.union_all(covered))
    region = polygon if free.is_empty else free
    circle = shapely.maximum_inscribed_circle(region)
    good = region.buffer(-share * circle.length)
    near = shapely.shortest_line(shapely.get_point(circle, 0) if good.is_empty else good, polygon.centroid)
    at = shapely.get_point(near, 0)
    return (float(at.x), float(at.y)), 0.0 if free.is_empty else float(free.boundary.distance(at))


def inset_region(rings: Rings, distance: float, bow: float = 0.0) -> list[Path]:
    """Return the closed paths at a distance inside the edge of a region, their corners rounded to a radius `bow`.

    Notes
    -----
    Round reflex corners are made of chords, 128 per turn: these come nearer to the corner by 0.0003 of the distance.
    """
    inner = make_polygon(rings).buffer(-distance - bow, quad_segs=32)
    if bow > 0:
        inner = inner.buffer(bow, quad_segs=8)
    return [
        np.asarray(loop.coords, dtype=np.float64)
        for part in list_polygons(inner, TOLERANCE)
        for loop in (part.exterior, *part.interiors)
    ]


def clip_parallels(rings: Rings, angle: float, spacing: float, through: Point) -> list[Path]:
    """Return the parts of a family of parallel lines in a region; one line of the family runs through a point.

    Examples
    --------
    >>> square = (((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)),)
    >>> [line.tolist() for line in clip_parallels(square, 0, 2, (0, 1))]
    [[[0.0, 1.0], [4.0, 1.0]], [[0.0, 3.0], [4.0, 3.0]]]
    """
    c, s = cos(radians(angle)), sin(radians(angle))
    corners = np.array(rings[0])
    along, across = corners @ (c, s), corners @ (-s, c)
    origin = -s * through[0] + c * through[1]
    first, last = np.ceil((across.min() - origin) / spacing), np.floor((across.max() - origin) / spacing)
    levels = origin + spacing * np.arange(first, last + 1)
    inside = (levels > across.min() + TOLERANCE) & (levels < across.max() - TOLERANCE)
    ends = np.array([along.min() - 1, along.max() + 1])
    rows = [np.column_stack([ends * c - h * s, ends * s + h * c]) for h in levels[inside]]
    if not rows:
        return []
    cut = shapely.intersection(shapely.linestrings(rows), make_polygon(rings))
    parts = shapely.get_parts(cut)
    return [np.asarray(part.coords, dtype=np.float64) for part in parts if part.geom_type == "LineString"]


def lies_inside(rings: Rings, paths: Sequence[Path]) -> bool:
    """Return True if paths stay inside a region, its edge included."""
    return bool(make_polygon(rings).buffer(TOLERANCE).covers(shapely.MultiLineString(list(paths))))


def crosses_itself(path: Path) -> bool:
    """Return True if a path crosses or touches itself other than at its two ends."""
    return not shapely.LineString(path).is_simple


def bridge_paths(path: Path, others: Sequence[Path]) -> tuple[Path, float]:
    """Return the shortest straight way from a path to the nearest of the others, and its length."""
    line = shapely.shortest_line(shapely.LineString(path), shapely.MultiLineString(list(others)))
    return np.asarray(line.coords, dtype=np.float64), float(line.length)


def group_paths(edge: Sequence[Path], paths: Sequence[Path]) -> list[list[int]]:
    """Return the groups of paths that end on one another: first those joined to the edge."""
    lines = np.array([shapely.LineString(path) for path in (*paths, *edge)], dtype=object)
    ends = shapely.points(np.concatenate([[path[0], path[-1]] for path in paths]))
    end, line = shapely.STRtree(lines).query(ends, predicate="dwithin", distance=TOLERANCE)
    count = len(paths)
    mark = list(range(count + 1))

    def find(k: int) -> int:
        while mark[k] != k:
            mark[k] = mark[mark[k]]
            k = mark[k]
        return k

    for a, b in zip((end // 2).tolist(), np.minimum(line, count).tolist(), strict=True):
        mark[find(a)] = find(b)
    groups: dict[int, list[int]] = {find(count): []}
    for k in range(count):
        groups.setdefault(find(k), []).append(k)
    return list(groups.values())


def locate_points(paths: Sequence[Path], points: Path) -> list[list[float]]:
    """Return for each path the distances along it of the points on it, without its ends, in rising order.

    Notes
    -----
    A spatial tree; 10,000 paths and 20,000 points take some 0.1 s.
    """
    lines = np.array([shapely.LineString(path) for path in paths], dtype=object)
    hit, which = shapely.STRtree(lines).query(shapely.points(points), predicate="dwithin", distance=TOLERANCE)
    along = shapely.line_locate_point(lines[which], shapely.points(points[hit]))
    inner = (along > 2 * TOLERANCE) & (along < shapely.length(lines)[which] - 2 * TOLERANCE)
    found: list[list[float]] = [[] for _ in paths]
    for path, place in sorted(zip(which[inner].tolist(), along[inner].tolist(), strict=True)):
        if not found[path] or place - found[path][-1] > 2 * TOLERANCE:
            found[path].append(place)
    return found


def split_path(path: Path, places: Sequence[float]) -> list[Path]:
    """Return the parts of a path between places at the given distances along it."""
    if not places:
        return [path]
    if len(path) == 2:
        size = float(np.hypot(*(path[1] - path[0])))
        marks = path[0] + np.array([0.0, *places, size])[:, None] / size * (path[1] - path[0])
        marks[-1] = path[1]
        return [marks[k : k + 2] for k in range(len(marks) - 1)]
    step = np.diff(path, axis=0)
    at = np.concatenate([[0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))])
    new = walk_path(path, np.array(places))
    cuts = np.searchsorted(at, places)
    parts, last, point = [], 0, path[:1]
    for cut, corner in zip(cuts.tolist(), new, strict=True):
        parts.append(np.concatenate([point, path[max(last, 1) : cut], corner[None]]))
        last, point = cut, corner[None]
    parts.append(np.concatenate([point, path[last:]]))
    return [_drop_repeats(part) for part in parts]


def _drop_repeats(path: Path) -> Path:
    step = np.abs(np.diff(path, axis=0)).max(axis=1) > TOLERANCE / 10
    step[-1:] |= not step.any()
    kept = path[np.concatenate([[True], step])]
    kept[-1] = path[-1]
    return np.asarray(kept)


def round_corners(corners: Sequence[Point], rounds: int = 3) -> Path:
    """Return a closed smooth path by cutting corners.

    References
    ----------
    G. Chaikin, An algorithm for high-speed curve generation, Computer Graphics and Image Processing 3 (1974), p. 346
    (from memory).
    """
    path = np.asarray(corners, dtype=np.float64)
    for _ in range(rounds):
        after = np.roll(path, -1, axis=0)
        path = np.stack([0.75 * path + 0.25 * after, 0.25 * path + 0.75 * after], axis=1).reshape(-1, 2)
    return np.concatenate([path, path[:1]])


def find_holders(outlines: Sequence[Outline], points: Path) -> NDArray[np.int64]:
    """Return for each point the first outline around it, -1 if there is none."""
    corners = np.concatenate([np.asarray([*outline, outline[0]]) for outline in outlines])
    owner = np.repeat(np.arange(len(outlines)), [len(outline) + 1 for outline in outlines])
    shapes = shapely.polygons(shapely.linearrings(corners, indices=owner))
    holder, which = shapely.STRtree(shapely.points(points)).query(shapes, predicate="intersects")
    found = np.full(len(points), len(outlines), dtype=np.int64)
    np.minimum.at(found, which, holder)
    return np.where(found < len(outlines), found, -1)


def cross_levels(path: Path, axis: int, levels: Sequence[float]) -> list[Point]:
    """Return the crossings of a path with upright (axis 0) or level (axis 1) lines."""
    value, other = path[:, axis], path[:, 1 - axis]
    points = []
    for level in levels:
        if value.min() < level - TOLERANCE and value.max() > level + TOLERANCE:
            k = np.flatnonzero((value[:-1] - level) * (value[1:] - level) < 0)
            share = (level - value[k]) / (value[k + 1] - value[k])
            across = other[k] + share * (other[k + 1] - other[k])
            on = other[1:-1][value[1:-1] == level]
            points += [(level, x) if axis == 0 else (x, level) for x in (*across.tolist(), *on.tolist())]
    return points
