"""The middle line of an area: its two ends, the two sides between them, and the places half way from side to side."""

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.outlines import Outline, measure_angles
from kit.geometry.paths import Path, walk_path

Floats = NDArray[np.float64]

MOST_SLANT = np.pi / 4
"""Radians: at a slanting end the lines across a strip lean with it by at most this."""


def sample_ring(ring: Outline, step: float) -> Path:
    """Return the corners of a ring and places between them, no more than a step apart."""
    line = shapely.segmentize(shapely.LineString([*ring, ring[0]]), step)
    return np.asarray(line.coords)[:-1]


def find_turns(ring: Outline) -> Path:
    """Return the corners at which a ring turns by more than 40 degrees."""
    return np.array([p for p, a in zip(ring, measure_angles(ring), strict=True) if abs(180 - a) > 40]).reshape(-1, 2)


def sample_sides(ring: Outline, step: float) -> tuple[Path, NDArray[np.int64]]:
    """Return samples of a ring, and the side of each: 0 from one end to the other, 1 back again."""
    corners = np.array([*ring, ring[0]])
    size = np.hypot(*np.diff(corners, axis=0).T)
    start = np.concatenate([[0.0], np.cumsum(size)])
    whole = start[-1]
    first, second = sorted(choose_ends(ring, size, start))
    parts = []
    for a, b in ((first, second), (second, first + whole)):
        inner = np.concatenate([start[:-1], start[:-1] + whole])
        inner = inner[(inner > a + 1e-6) & (inner < b - 1e-6)]
        marks = np.concatenate([[a], inner, [b]])
        fine = [np.linspace(p, q, max(2, int((q - p) / step) + 2))[:-1] for p, q in pairwise(marks)]
        parts.append(np.concatenate(fine) % whole)
    places = np.concatenate(parts)
    return walk_path(corners, places), np.repeat([0, 1], [len(part) for part in parts])


def choose_ends(ring: Outline, size: Floats, start: Floats) -> tuple[float, float]:
    """Return the places along a ring of the two ends of the area: middles of short edges, or sharp points.

    The two sides between them are to be long and nearly alike, the edges at the ends short.
    """
    whole = float(start[-1])
    sharp = 75.0 if len(ring) == 3 else 30.0
    count = len(size)
    ends = [(float(start[k] + size[k] / 2), float(size[k]), {k}) for k in range(count)]
    ends += [
        (float(start[k]), 0.0, {k, (k - 1) % count}) for k, angle in enumerate(measure_angles(ring)) if angle < sharp
    ]
    best, chosen = -np.inf, (0.0, whole / 2)
    for i, (a, wide, here) in enumerate(ends):
        for b, narrow, there in ends[i + 1 :]:
            if here & there:
                continue
            away = abs(a - b)
            score = round(min(away, whole - away) - (wide + narrow) / 2, 6)
            if score > best:
                best, chosen = score, (a, b)
    return chosen


def find_slant(corners: Path, start: Floats, mark: float, ahead: Floats) -> float:
    """Return the radians by which the edge at an end leans from square to the middle line, at most `MOST_SLANT`."""
    k = int(np.searchsorted(start, mark, side="right")) - 1
    if abs(mark - start[k]) < 1e-9:  # a sharp point has no edge at the end
        return 0.0
    edge = corners[k + 1] - corners[k]
    lean = np.arctan2(edge[1], edge[0]) - np.arctan2(ahead[1], ahead[0]) - np.pi / 2
    lean = (lean + np.pi / 2) % np.pi - np.pi / 2
    return float(np.clip(lean, -MOST_SLANT, MOST_SLANT))


def follow_middle(points: Path, side: NDArray[np.int64], polygon: shapely.Polygon, *, closed: bool) -> Path | None:
    """Return the middles of the edges from side to side of the triangles, in their order."""
    triangles = shapely.get_parts(shapely.delaunay_triangles(shapely.multipoints(points)))
    shapely.prepare(polygon)
    inside = shapely.contains_properly(polygon, shapely.centroid(triangles))
    corners = shapely.get_coordinates(triangles[inside]).reshape(-1, 4, 2)[:, :3].reshape(-1, 2)
    known = {(x, y): k for k, (x, y) in enumerate(np.round(points, 9).tolist())}
    index = np.array([known.get((x, y), -1) for x, y in np.round(corners, 9).tolist()]).reshape(-1, 3)
    index = index[(index >= 0).all(axis=1)]
    around: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for three in index.tolist():
        mixed = [
            (min(a, b), max(a, b))
            for a, b in ((three[0], three[1]), (three[1], three[2]), (three[2], three[0]))
            if side[a] != side[b]
        ]
        if len(mixed) == 2:
            around.setdefault(mixed[0], []).append(mixed[1])
            around.setdefault(mixed[1], []).append(mixed[0])
    if len(around) < 3:
        return None
    chain = _walk_chain(around, closed=closed)
    pairs = np.array(chain)
    middles = (points[pairs[:, 0]] + points[pairs[:, 1]]) / 2
    if closed:
        return np.concatenate([middles, middles[:1]])
    # the ends of the area themselves: the first samples of the two sides
    first, last = points[0], points[int(np.argmax(side))]
    if np.hypot(*(middles[0] - first)) > np.hypot(*(middles[-1] - first)):
        middles = middles[::-1]
    # near an end the triangles fan out to its corners: go straight there from half a width away
    half = 0.8 * float(np.median(shapely.distance(polygon.boundary, shapely.points(middles))))
    middles = middles[(np.hypot(*(middles - first).T) > half) & (np.hypot(*(middles - last).T) > half)]
    return np.concatenate([first[None], middles, last[None]])


def _walk_chain(around: dict[tuple[int, int], list[tuple[int, int]]], *, closed: bool) -> list[tuple[int, int]]:
    """Return the longest row of edges that follow one another."""
    best: list[tuple[int, int]] = []
    seen: set[tuple[int, int]] = set()
    starts = sorted(around, key=lambda edge: (len(around[edge]) if not closed else 0, edge))
    for start in starts:
        if start in seen:
            continue
        row = [start]
        seen.add(start)
        while True:
            ahead = [edge for edge in around[row[-1]] if edge not in seen]
            if not ahead:
                break
            row.append(ahead[0])
            seen.add(ahead[0])
        best = row if len(row) > len(best) else best
    return best
