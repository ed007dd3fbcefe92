"""Random areas as a quilt has them, and what can be measured on lines in them without the kit's own geometry."""

from math import cos, pi, sin, tan

import numpy as np
import shapely

KINDS = ("triangle", "blade", "border", "L", "sliver", "frame", "drawn")
PLAIN = {"outline", "echo", "motif", "grid", "serpentine", "meander", "rays", "spiral", "corner curves"}
"""Ways whose lines neither cross themselves nor one another."""
SPREAD = {"outline", "motif", "corner curves", "feathers", "leaves", "drawn line", "clamshells"}
"""Ways whose spacing is not the distance from one line to the next."""


def draw_area(seed):
    """Return the kind and the rings of a random area as quilts have them."""
    rng = np.random.default_rng([21, seed])
    kind = KINDS[seed % len(KINDS)]
    if kind == "triangle":
        while True:
            corners = rng.uniform(0, 14, (3, 2))
            if shapely.Polygon(corners).area > 3:
                break
    elif kind == "blade":
        long, wide = rng.uniform(4, 14), rng.uniform(0.75, 3.5)
        lean = wide / tan(rng.uniform(pi / 4, pi / 2))
        corners = np.array([(0, 0), (long, 0), (long + lean, wide), (lean, wide)])
    elif kind == "border":
        long, wide = rng.uniform(20, 60), rng.uniform(1.5, 6)
        corners = np.array([(0, 0), (long, 0), (long, wide), (0, wide)])
    elif kind == "L":
        a, b, c, d = rng.uniform(6, 14), rng.uniform(6, 14), rng.uniform(1.5, 5), rng.uniform(1.5, 5)
        corners = np.array([(0, 0), (a, 0), (a, c), (d, c), (d, b), (0, b)])
    elif kind == "sliver":
        long = rng.uniform(3, 16)
        corners = np.array([(0, 0), (long, 0), (long, 0.5), (0, 0.5)])
    elif kind == "frame":
        a, b, c = rng.uniform(12, 30), rng.uniform(12, 30), rng.uniform(1, 5)
        corners = np.array([(0, 0), (a, 0), (a, b), (0, b)])
    else:
        angles = np.sort(rng.uniform(0, 2 * pi, 7))
        corners = rng.uniform(3, 8, 7)[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    turn = rng.uniform(0, 2 * pi) if seed % 2 else rng.integers(0, 4) * pi / 2
    move = np.array([(cos(turn), sin(turn)), (-sin(turn), cos(turn))])
    whole = shapely.Polygon(corners @ move)
    if kind == "frame":
        whole = whole.difference(whole.buffer(-c, join_style="mitre"))
    whole = shapely.geometry.polygon.orient(whole)
    return kind, tuple(
        tuple(map(tuple, np.asarray(r.coords)[:-1].tolist())) for r in (whole.exterior, *whole.interiors)
    )


def measure_bend(path):
    """The least radius of the circles through three points half a tenth of an inch apart along a path."""
    step = np.hypot(*np.diff(path, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(step)])
    count = int(at[-1] / 0.05)
    if count < 3:
        return np.inf
    s = np.linspace(0, at[-1], count + 1)
    p = np.column_stack([np.interp(s, at, path[:, 0]), np.interp(s, at, path[:, 1])])
    a, b, c = p[:-2], p[1:-1], p[2:]
    sides = [np.hypot(*(v - u).T) for u, v in ((a, b), (b, c), (a, c))]
    twice = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    with np.errstate(divide="ignore"):
        return float((sides[0] * sides[1] * sides[2] / (2 * twice)).min())


def measure_lines(rings, paths, spacing, way):
    """What a sweep tells of one area: stays inside, crossings, least radius, parts of the area open and crowded."""
    area = shapely.Polygon(rings[0], rings[1:])
    lines = [shapely.LineString(path) for path in paths]
    inside = all(area.buffer(1e-4).covers(line) for line in lines)
    crossing = False
    if way in PLAIN:
        crossing = not all(line.is_simple for line in lines)
        tree = shapely.STRtree(lines)
        crossing = crossing or bool(tree.query(lines, predicate="crosses").size)
    curved = [path for path in paths if len(path) > 2]
    bend = min(map(measure_bend, curved), default=np.inf)
    points = np.random.default_rng(0).uniform(area.bounds[:2], area.bounds[2:], (1500, 2))
    points = shapely.points(points[shapely.contains_xy(area, points)])
    short = shapely.get_coordinates(
        shapely.segmentize([*lines, *shapely.get_parts(area.boundary)], 2.0), return_index=True
    )
    same = short[1][1:] == short[1][:-1]
    tree = shapely.STRtree(shapely.linestrings(np.stack([short[0][:-1][same], short[0][1:][same]], axis=1)))
    near = np.unique(tree.query(points, predicate="dwithin", distance=0.75 * spacing)[0])
    open_part = 1 - len(near) / max(len(points), 1)
    if way not in PLAIN:
        return inside, crossing, bend, open_part, 0.0
    narrow = 0.15 * spacing
    each = float(sum(line.length for line in lines)) * 2 * narrow
    alone = shapely.union_all(shapely.buffer(lines, narrow, cap_style="flat")).area
    return inside, crossing, bend, open_part, max(0.0, 1 - alone / each)
