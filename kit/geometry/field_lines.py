"""Lines laid over an area and cut at its edge: scales, rays, a spiral, and swirls that lie over one another."""

from collections.abc import Sequence
from math import pi, sqrt

import numpy as np
import shapely

from kit.geometry.outlines import Point
from kit.geometry.paths import Path, Rings, find_widest, make_polygon, measure_path, walk_path
from kit.geometry.smooth_paths import round_bends, smooth_values

SHORTEST = 0.125
"""Inches: a shorter line in a corner of an area is left out."""
ROUND = 0.12
"""Inches between the points of an arc, at most; small arcs have at least 24 points to a turn."""


def cut_to_area(rings: Rings, paths: Sequence[Path], least: float = SHORTEST) -> list[Path]:
    """Return the parts of paths inside an area, without those shorter than the least."""
    if not paths:
        return []
    polygon = make_polygon(rings)
    shapely.prepare(polygon)
    lines = np.array([shapely.LineString(path) for path in paths], dtype=object)
    whole = shapely.contains_properly(polygon, lines)
    near = np.flatnonzero(~whole & shapely.intersects(polygon, lines))
    parts: list[Path] = [paths[k] for k in np.flatnonzero(whole).tolist()]
    for k, cut in zip(near.tolist(), shapely.intersection(lines[near], polygon), strict=True):
        parts += _join_parts(cut, paths[k])
    return [part for part in parts if np.hypot(*np.diff(part, axis=0).T).sum() >= least]


def _join_parts(cut: shapely.Geometry, path: Path) -> list[Path]:
    """Return the lines of a cut; a closed path cut in two does not stay divided at its beginning."""
    lines = [part for part in shapely.get_parts(cut) if part.geom_type == "LineString" and part.length > 0]
    if len(lines) > 1 and np.array_equal(path[0], path[-1]):
        merged = shapely.line_merge(shapely.MultiLineString(lines))
        lines = list(shapely.get_parts(merged))
    return [np.asarray(part.coords) for part in lines]


def draw_arc(centre: Point, radius: float, first: float, last: float) -> Path:
    """Return an arc between two angles in radians."""
    count = max(3, int(abs(last - first) / min(pi / 12, ROUND / radius)) + 1)
    angle = np.linspace(first, last, count + 1)
    return np.column_stack([centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle)])


def lay_scales(rings: Rings, radius: float, angle: float, through: Point) -> list[Path]:
    """Return rows of half circles, each row set half a scale aside and standing on the tops of the one below.

    Parameters
    ----------
    radius
        Inches: of a scale, and from row to row.
    angle
        Degrees by which the rows are turned.
    through
        A point where two scales meet, so that areas side by side fit together.
    """
    turn = np.radians(angle)
    frame = np.array([(np.cos(turn), np.sin(turn)), (-np.sin(turn), np.cos(turn))])
    corners = (np.array(rings[0]) - through) @ frame.T
    low, high = np.floor(corners.min(axis=0) / radius) - 1, np.ceil(corners.max(axis=0) / radius) + 1
    one = draw_arc((0.0, 0.0), radius, pi, 0.0)
    arcs = []
    for row in range(int(low[1]), int(high[1]) + 1):
        across = range(int(low[0]) - 1, int(high[0]) + 2)
        arcs += [(one + np.array([place, row]) * radius) @ frame + through for place in across if (place + row) % 2]
    return cut_to_area(rings, arcs)


def lay_rays(rings: Rings, spacing: float, centre: Point) -> list[Path]:
    """Return lines that radiate from a point, two and two joined by a round turn at their inner ends.

    They begin about one spacing from the point, six tenths of a spacing apart. Where two have spread to 1.8 spacings a
    new pair begins between them. So a needle comes in along one line and goes out along the next.
    """
    corners = np.array(rings[0])
    reach = float(np.hypot(*(corners - centre).T).max()) + 1
    narrow = 0.6 * spacing
    count = 10
    begin = count * narrow / (2 * pi)
    middles, half = np.arange(count // 2) * 4 * pi / count, pi / count
    pairs = []
    while begin < reach:
        for middle in middles.tolist():
            first, second = (np.array([np.cos(a), np.sin(a)]) for a in (middle - half, middle + half))
            corner = np.array([reach * first, begin * first, begin * second, reach * second])
            pairs.append(round_bends(corner, spacing) + centre)
        middles, half = np.arange(count) * 2 * pi / count, pi / (3 * count)
        begin = 3 * narrow * count / (2 * pi)
        count *= 3
    return cut_to_area(rings, pairs)


def lay_spiral(rings: Rings, spacing: float, centre: Point) -> list[Path]:
    """Return one line that winds in to a point and, beside itself, out again, with its turns one spacing apart."""
    corners = np.array(rings[0])
    reach = float(np.hypot(*(corners - centre).T).max()) + spacing
    return cut_to_area(rings, [wind_in_and_out(centre, reach, spacing, 0.0, 1.0)])


def wind_in_and_out(centre: Point, radius: float, spacing: float, turn: float, hand: float) -> Path:
    """Return a spiral from a circle inward, a round turn through its middle, and the same once more outward.

    Parameters
    ----------
    radius
        Inches, of the circle on which both ends lie.
    spacing
        Inches between neighbouring turns.
    turn, hand
        Where it begins, radians; 1 if it winds counter-clockwise, -1 if clockwise.
    """
    inner = min(0.5 * spacing, radius / 2)
    whole = pi * (radius - inner) / spacing
    count = max(24, int(whole * (radius + inner) / 2 / (spacing / 10)))
    share = np.sqrt(np.linspace(1, (inner / radius) ** 2, count))  # about even steps along the line
    far = radius * share
    angle = turn + hand * (radius - far) * pi / spacing
    arm = np.column_stack([far * np.cos(angle), far * np.sin(angle)])
    across = np.linspace(1, -1, 12)[1:-1, None] * arm[-1]
    path = np.concatenate([arm, across, -arm[::-1]])
    path = walk_path(path, np.arange(0, measure_path(path), spacing / 12))
    even = smooth_values(smooth_values(path, 3, closed=False), 3, closed=False)
    even[0], even[-1] = arm[0], -arm[0]
    return np.asarray(even + centre)


def lay_swirls(rings: Rings, spacing: float, draw: np.random.Generator) -> list[Path]:
    """Return swirls that lie over one another as scales do: of the later ones only the outer turns show, as echoes.

    A swirl is a circle of three and a half spacings, and within it a line that winds in and, beside itself, out again.
    The swirls stand 5.8 spacings apart in rows set half aside, a little out of place; one stands where the area is
    widest, and lies on top. A line ends where an earlier swirl covers it, on that one's circle; there the needle goes
    on.

    Notes
    -----
    O(n log n) in the number of swirls: each is compared only with those near by.
    """
    polygon = make_polygon(rings)
    (x, y), _ = find_widest(rings)
    outer, pitch = 3.5 * spacing, 5.8 * spacing
    left, bottom, right, top = polygon.bounds
    rise = pitch * sqrt(3) / 2
    rows = np.arange(np.floor((bottom - y - outer) / rise), np.ceil((top - y + outer) / rise) + 1)
    places = []
    for row in rows:
        shift = pitch / 2 * (row % 2)
        across = np.arange(
            np.floor((left - x - outer - shift) / pitch), np.ceil((right - x + outer - shift) / pitch) + 1
        )
        places.append(np.column_stack([x + shift + pitch * across, np.full(len(across), y + rise * row)]))
    sites = np.concatenate(places)
    sites = sites + draw.uniform(-0.12, 0.12, sites.shape) * spacing
    sites = sites[shapely.distance(polygon, shapely.points(sites)) < outer]
    sites = sites[np.argsort(np.round(np.hypot(*(sites - (x, y)).T), 6), kind="stable")]
    rims = [draw_arc((cx, cy), outer, pi / 2, 2.5 * pi) for cx, cy in sites.tolist()]
    for rim in rims:
        rim[-1] = rim[0]
    covers = shapely.polygons([shapely.linearrings(rim) for rim in rims])
    turns, hands = draw.uniform(0, 2 * pi, len(sites)), np.where(draw.random(len(sites)) < 0.5, 1.0, -1.0)
    lines: list[Path] = []
    for k, (cx, cy) in enumerate(sites.tolist()):
        before = np.flatnonzero(np.hypot(*(sites[:k] - (cx, cy)).T) < 2 * outer)
        own = [rims[k], wind_in_and_out((cx, cy), outer, spacing, turns[k], hands[k])]
        lines += _cut_away(own, shapely.union_all(covers[before])) if len(before) else own
    return cut_to_area(rings, lines, 0.3 * spacing)


def _cut_away(paths: Sequence[Path], hidden: shapely.Geometry) -> list[Path]:
    lines = np.array([shapely.LineString(path) for path in paths], dtype=object)
    shown: list[Path] = []
    for path, part in zip(paths, shapely.difference(lines, hidden), strict=True):
        shown += _join_parts(part, path)
    return shown
