"""The widest space without a line: the largest empty circle with its centre in a region."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.paths import Path, Rings, make_polygon

STEP = 0.25
"""Inches between the samples of the first, coarse division; more if that would be too many samples."""
PRECISION = 1e-3
"""Inches: the division stops when the radius is known to within this."""
GRAIN = 0.5
"""Inches: only the widest of the centres in one square of this side is reported."""
SHAKE = 1e-6
"""Inches by which samples are shifted, since equal rows make the division slow; the bound allows for it."""
FIRST_SAMPLES, MOST_SAMPLES = 45_000, 60_000
"""The most samples of a division; beyond it the bound gives the remaining uncertainty."""


@dataclass(frozen=True, eq=False)
class Clearance:
    """The places and widths of empty circles.

    Attributes
    ----------
    centres
        (n, 2) places with the greatest distance from the lines in their neighbourhood, inches.
    radii
        (n,) distance from each to the nearest line.
    bound
        No circle with its centre in the region has a larger radius.
    """

    centres: NDArray[np.float64]
    radii: NDArray[np.float64]
    bound: float


def measure_clearance(paths: Sequence[Path], rings: Rings) -> Clearance:
    """Find the largest circles in a region without a path inside; the edge of the region counts as a path.

    Every path is sampled. The largest circles empty of samples are centred on vertices of the samples' Voronoi
    diagram. The distance of a vertex to the nearest sample is never less than to the nearest path, so its largest
    value bounds the largest circle from above; the true distance of any vertex bounds it from below. Where vertices
    lie between the two bounds, sample again, four times as densely, until the bounds meet.

    Notes
    -----
    O(n log n) in the number of samples: 20,000 in of lines take about 1 s.

    References
    ----------
    M. Shamos, D. Hoey, Closest-point problems, Foundations of Computer Science 16 (1975), p. 151 (from memory).
    """
    polygon = make_polygon(rings)
    edge = [np.asarray(ring.coords) for ring in (polygon.exterior, *polygon.interiors)]
    lines = np.array([shapely.LineString(path) for path in (*paths, *edge)], dtype=object)
    tree = shapely.STRtree(_cut_short(lines))
    step = max(STEP, float(shapely.length(lines).sum()) / FIRST_SAMPLES)
    centres, reach = _find_vertices(_sample(lines, step), polygon)
    found, found_radii = _measure_widest(tree, centres, reach)
    best, bound = float(found_radii.max(initial=0.0)), float(reach.max(initial=0.0))
    while bound - best > PRECISION:
        step /= 4
        open_still = reach > best + PRECISION / 2
        spots, room = shapely.points(centres[open_still]), np.sqrt(reach[open_still] ** 2 - best**2) + 1e-3
        pieces = np.unique(tree.query(spots, predicate="dwithin", distance=reach[open_still] + 2 * room)[1])
        near = tree.geometries[pieces]
        if shapely.length(near).sum() / step > MOST_SAMPLES:
            break
        fresh, reach = _find_vertices(_sample(near, step), polygon)
        close = shapely.STRtree(shapely.buffer(spots, room, quad_segs=4)).query(shapely.points(fresh), "intersects")[0]
        close = np.unique(close)
        centres, reach = fresh[close], np.minimum(reach[close], bound)
        finer, radii = _measure_widest(tree, centres, reach)
        found, found_radii = np.concatenate([found, finer]), np.concatenate([found_radii, radii])
        best = max(best, float(radii.max(initial=0.0)))
        bound = max(best + PRECISION / 2, float(reach.max(initial=0.0)))
    return Clearance(found, found_radii, bound)


def _cut_short(lines: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return lines as segments of an inch at most: a tree finds them faster than long lines."""
    points, owner = shapely.get_coordinates(shapely.segmentize(lines, 1.0), return_index=True)
    same = owner[1:] == owner[:-1]
    pairs = np.stack([points[:-1][same], points[1:][same]], axis=1)
    return np.asarray(shapely.linestrings(pairs), dtype=object)


def _sample(lines: NDArray[np.object_], step: float) -> NDArray[np.float64]:
    """Return points on lines, no more than a step apart along them."""
    coords, owner = shapely.get_coordinates(lines, return_index=True)
    run = np.hypot(*np.diff(coords, axis=0).T)
    run[owner[1:] != owner[:-1]] = 0.0
    at = np.concatenate([[0.0], np.cumsum(run)])
    first = np.flatnonzero(np.concatenate([[True], owner[1:] != owner[:-1]]))
    last = np.concatenate([first[1:], [len(owner)]]) - 1
    length = at[last] - at[first]
    parts = np.maximum(np.ceil(length / step).astype(int), 1)
    line = np.repeat(np.arange(len(parts)), parts + 1)
    place = np.arange(len(line)) - np.repeat(np.cumsum(parts + 1) - parts - 1, parts + 1)
    share = place / parts[line]
    along = at + owner
    points = np.column_stack([np.interp(at[first][line] + line + share * length[line], along, c) for c in coords.T])
    once = np.unique(np.round(points, 7), axis=0)
    return np.asarray(once + np.random.default_rng(0).uniform(-SHAKE / 2, SHAKE / 2, once.shape))


def _find_vertices(
    samples: NDArray[np.float64], polygon: shapely.Geometry
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the Voronoi vertices in a region, and the distance of each to its nearest sample."""
    if len(samples) < 3 or polygon.is_empty:
        return np.empty((0, 2)), np.empty(0)
    triangles = shapely.get_parts(shapely.delaunay_triangles(shapely.multipoints(samples)))
    corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
    centres = _circumcentres(corners)
    good = np.isfinite(centres).all(axis=1)
    centres, corners = centres[good], corners[good]
    shapely.prepare(polygon)
    inside = shapely.intersects_xy(polygon, centres[:, 0], centres[:, 1])
    centres, corners = centres[inside], corners[inside]
    away = corners[:, 0] - centres
    return centres, np.hypot(away[:, 0], away[:, 1]) + 2 * SHAKE


def _circumcentres(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    a, b, c = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    d = 2 * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    with np.errstate(divide="ignore", invalid="ignore"):
        bb, cc = (b**2).sum(axis=1) / d, (c**2).sum(axis=1) / d
        return np.asarray(a + np.column_stack([bb * c[:, 1] - cc * b[:, 1], cc * b[:, 0] - bb * c[:, 0]]))


def _measure_widest(
    tree: shapely.STRtree, centres: NDArray[np.float64], reach: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the widest centre in each square of half an inch, with its distance to the nearest line."""
    if not len(centres):
        return np.empty((0, 2)), np.empty(0)
    square = np.floor(centres / GRAIN).astype(np.int64)
    key = (square[:, 0] - square[:, 0].min()) * (int(np.ptp(square[:, 1])) + 1) + square[:, 1] - square[:, 1].min()
    order = np.lexsort((-reach, key))
    widest = order[np.concatenate([[True], np.diff(key[order]) > 0])]
    points, radii = shapely.points(centres[widest]), reach[widest] + SHAKE
    # a sample is within reach, so a line is too: this limited search is several times faster than `nearest`
    spot, line = tree.query(points, predicate="dwithin", distance=radii)
    np.minimum.at(radii, spot, shapely.distance(points[spot], tree.geometries[line]))
    return centres[widest], radii
