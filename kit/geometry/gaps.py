"""The widest space without a line: the largest empty circle whose centre lies in a region."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.paths import Path, Rings, make_polygon

STEP = 0.25
"""Inches between the samples of the first, coarse division."""
PRECISION = 2e-4
"""Inches: the widest circle is known to within this."""


@dataclass(frozen=True, eq=False)
class Clearance:
    """Where a circle may lie and how wide it is.

    Attributes
    ----------
    centres
        (n, 2) places that are as far from the lines as any near them, inches.
    radii
        (n,) distance from each to the nearest line.
    bound
        No circle with its centre in the region has a larger radius.
    """

    centres: NDArray[np.float64]
    radii: NDArray[np.float64]
    bound: float


def measure_clearance(paths: Sequence[Path], rings: Rings) -> Clearance:
    """Find the largest circles in a region that no path enters; the edge of the region counts as a path.

    Every path is sampled. A circle that is empty of samples and as large as can be is centred on a vertex of the
    samples' Voronoi diagram. Its distance to the nearest sample is no less than its distance to the nearest path, so the
    largest over the vertices bounds the largest circle from above; the true distance of any vertex bounds it from
    below. Round the vertices between the two bounds, sample anew, four times as densely, until the bounds meet.

    Notes
    -----
    O(n log n) in the number of samples: 20,000 in of lines take about 1 s.

    References
    ----------
    M. Shamos, D. Hoey, Closest-point problems, Foundations of Computer Science 16 (1975), p. 151 (from memory).
    """
    polygon = make_polygon(rings)
    lines = [shapely.LineString(path) for path in paths]
    edge = [shapely.LineString(ring.coords) for ring in (polygon.exterior, *polygon.interiors)]
    every = np.array([*lines, *edge], dtype=object)
    tree = shapely.STRtree(_cut_short(every))
    step = STEP
    centres, reach = _find_vertices(_sample(every, step), polygon)
    radii = _measure(tree, centres)
    best = float(radii.max(initial=0.0))
    keep = radii > 0
    found, found_radii = centres[keep], radii[keep]
    bound = float(reach.max(initial=0.0))
    for _ in range(6):
        if bound - best <= PRECISION / 2:
            break
        step /= 4
        windows = _cluster(centres[reach > best], reach[reach > best])
        near = [(tree.geometries[tree.query(shapely.box(*w))], shapely.box(*w)) for w in windows]
        fresh = [_find_vertices(_sample(shapely.intersection(cut, w), step), polygon.intersection(w)) for cut, w in near]
        centres = np.concatenate([f[0] for f in fresh])
        reach = np.concatenate([f[1] for f in fresh])
        radii = _measure(tree, centres)
        best = max(best, float(radii.max(initial=0.0)))
        reach = np.minimum(reach, bound)
        bound = max(best, float(reach.max(initial=0.0)))
        found, found_radii = np.concatenate([found, centres]), np.concatenate([found_radii, radii])
    return Clearance(found, found_radii, bound)


def _cut_short(lines: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return lines as their segments, which a tree finds faster than long lines."""
    points, owner = shapely.get_coordinates(lines, return_index=True)
    same = owner[1:] == owner[:-1]
    pairs = np.stack([points[:-1][same], points[1:][same]], axis=1)
    return np.asarray(shapely.linestrings(pairs), dtype=object)


def _sample(lines: NDArray[np.object_], step: float) -> NDArray[np.float64]:
    points = shapely.get_coordinates(shapely.segmentize(lines[~shapely.is_empty(lines)], step))
    return np.unique(np.round(points, 7), axis=0)


def _find_vertices(
    samples: NDArray[np.float64], polygon: shapely.Geometry
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the Voronoi vertices within a region, and how far the nearest sample lies from each."""
    if len(samples) < 3 or polygon.is_empty:
        return np.empty((0, 2)), np.empty(0)
    cloud = shapely.multipoints(samples)
    triangles = shapely.get_parts(shapely.delaunay_triangles(cloud))
    corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
    centres = _circumcentres(corners)
    good = np.isfinite(centres).all(axis=1)
    centres, corners = centres[good], corners[good]
    shapely.prepare(polygon)
    inside = shapely.intersects_xy(polygon, centres[:, 0], centres[:, 1])
    centres, corners = centres[inside], corners[inside]
    away = corners[:, 0] - centres
    return centres, np.hypot(away[:, 0], away[:, 1])


def _circumcentres(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    a, b, c = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    d = 2 * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    with np.errstate(divide="ignore", invalid="ignore"):
        bb, cc = (b**2).sum(axis=1) / d, (c**2).sum(axis=1) / d
    return np.asarray(a + np.column_stack([bb * c[:, 1] - cc * b[:, 1], cc * b[:, 0] - bb * c[:, 0]]))


def _measure(tree: shapely.STRtree, centres: NDArray[np.float64]) -> NDArray[np.float64]:
    if not len(centres):
        return np.empty(0)
    points = shapely.points(centres)
    nearest = tree.nearest(points)
    return np.asarray(shapely.distance(points, tree.geometries[nearest]))


def _cluster(centres: NDArray[np.float64], reach: NDArray[np.float64]) -> list[tuple[float, float, float, float]]:
    """Return one window a place where centres lie close together, wide enough to hold what bounds their circles."""
    windows: dict[tuple[int, int], tuple[float, float, float, float]] = {}
    grain = max(STEP, float(reach.max()) / 2)
    for (x, y), r in zip(centres.tolist(), reach.tolist(), strict=True):
        key = int(x // grain), int(y // grain)
        room = 1.3 * r + STEP
        box = x - room, y - room, x + room, y + room
        old = windows.get(key, box)
        windows[key] = min(old[0], box[0]), min(old[1], box[1]), max(old[2], box[2]), max(old[3], box[3])
    return list(windows.values())
