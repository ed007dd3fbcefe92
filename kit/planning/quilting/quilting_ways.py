"""Ways of stitching a region: each returns its paths; closed paths end at their beginning."""

from collections.abc import Callable
from functools import lru_cache
from math import atan2, pi, sin, tan

import numpy as np

from kit.errors import KitError
from kit.geometry.outlines import Point, measure_angles, measure_directions, measure_edges
from kit.geometry.paths import (
    Path,
    Rings,
    clip_parallels,
    crosses_itself,
    find_widest,
    inset_region,
    lies_inside,
    measure_path,
    round_corners,
)
from kit.lengths import write_nearest
from kit.model.quilting_wishes import Stitching
from kit.planning.quilting.fillers import fill_region

SHORTEST = 0.125
"""Inches: a straight line shorter than this, in a corner of a region, is left out."""
ALIKE = ("outline", "echo", "motif", "serpentine")
"""Ways with lines that depend only on the region's shape: the lines of equal regions are drawn once."""
BULGE = pi / 6
"""Radians: the largest angle between a corner curve and its edge."""


def stitch_region(stitching: Stitching, rings: Rings, centre: Point, seed: int, name: str) -> list[Path]:
    """Return the paths of one way of stitching in one region.

    Parameters
    ----------
    stitching
        The wish; its way is any but "ditch".
    rings
        The region, inches.
    centre
        A point on one of the straight lines of every region, so that they align from region to region.
    seed
        The start of random choices.
    name
        Name of the region, for messages.

    Raises
    ------
    KitError
        A region too narrow, or of an unsuitable shape; the message has the remedy.
    """
    if stitching.way in ALIKE:
        (x, y), relative = _lay_at_zero(rings)
        try:
            return [path + np.array([x, y]) for path in _stitch_alike(stitching, relative)]
        except KitError:  # raised once more below, with the region's name
            pass
    return _WAYS[stitching.way](stitching, rings, centre, seed, name)


def _lay_at_zero(rings: Rings) -> tuple[Point, Rings]:
    """Return the first corner of a region, and the region moved to the origin, the same for equal regions."""
    x, y = rings[0][0]
    return (x, y), tuple(tuple((round(a - x, 9), round(b - y, 9)) for a, b in ring) for ring in rings)


@lru_cache(maxsize=2048)
def _stitch_alike(stitching: Stitching, rings: Rings) -> tuple[Path, ...]:
    return tuple(_WAYS[stitching.way](stitching, rings, (0.0, 0.0), 0, ""))


def _echo(stitching: Stitching, rings: Rings, _centre: Point, _seed: int, name: str) -> list[Path]:
    rounds = int(find_widest(rings)[1] / stitching.spacing) + 2
    paths = [path for k in range(1, rounds) for path in inset_region(rings, k * stitching.spacing)]
    if not paths:
        raise _refuse_narrow(stitching, rings, name, 2.0)
    return paths


def _outline(stitching: Stitching, rings: Rings, _centre: Point, _seed: int, name: str) -> list[Path]:
    paths = inset_region(rings, stitching.spacing)
    if not paths:
        raise _refuse_narrow(stitching, rings, name, 2.0)
    return paths


def _motif(stitching: Stitching, rings: Rings, _centre: Point, _seed: int, name: str) -> list[Path]:
    """Round the motif and lay it, as large as it fits, into the largest circle of the region less the spacing."""
    (x, y), radius = find_widest(rings)
    if radius <= stitching.spacing:
        raise _refuse_narrow(stitching, rings, name, 2.0)
    path = round_corners(stitching.motif)
    middle = (path.max(axis=0) + path.min(axis=0)) / 2
    reach = float(np.hypot(*(path - middle).T).max())
    placed = (path - middle) * (0.999 * (radius - stitching.spacing) / reach) + (x, y)
    if crosses_itself(placed):
        raise KitError(
            f"The motif for `{stitching.where}` crosses itself", needed="a plain closed curve", do="reorder its corners"
        )
    return [placed]


def _grid(stitching: Stitching, rings: Rings, centre: Point, _seed: int, name: str) -> list[Path]:
    return _rule(stitching, rings, centre, name, (stitching.angle,))


def _crosshatch(stitching: Stitching, rings: Rings, centre: Point, _seed: int, name: str) -> list[Path]:
    return _rule(stitching, rings, centre, name, (stitching.angle, stitching.angle + 90))


def _rule(stitching: Stitching, rings: Rings, centre: Point, name: str, angles: tuple[float, ...]) -> list[Path]:
    paths = []
    for angle in angles:
        lines = clip_parallels(rings, angle, stitching.spacing, centre)
        kept = [line for line in lines if measure_path(line) >= SHORTEST]
        if not kept:
            raise _refuse_narrow(stitching, rings, name, 1.0)
        paths += kept
    return paths


def _serpentine(stitching: Stitching, rings: Rings, _centre: Point, _seed: int, name: str) -> list[Path]:
    """Wave from end to end of a strip: along its longest edge, between its two sides, half a wave per spacing."""
    outline = rings[0]
    if len(rings) > 1 or max(measure_angles(outline)) > 180.01:
        raise KitError(
            f"`{name}` has {'a hole' if len(rings) > 1 else 'a corner that points inward'}: it has no two sides",
            needed="a strip whose corners all point outward",
            do="choose echo lines or a meander for it, or leave `together` off",
        )
    edges = measure_edges(outline)
    longest = max(range(len(edges)), key=lambda i: (round(edges[i], 4), -i))
    angle = measure_directions(outline)[longest] * pi / 180
    frame = np.array([(np.cos(angle), np.sin(angle)), (-np.sin(angle), np.cos(angle))])
    corners = np.array(outline) @ frame.T
    low, high = corners[:, 0].min(), corners[:, 0].max()
    count = max(2, round((high - low) / stitching.spacing))
    t = np.linspace(low, high, 16 * count + 1)
    under, over = _find_sides(corners, t)
    width = float((over - under).max())
    swing = 0.5 - min(0.25 * stitching.spacing, 0.15 * width) / width
    wave = np.sin(pi * count * (t - low) / (high - low))
    wave[-1] = 0.0
    path = np.column_stack([t, (under + over) / 2 + swing * wave * (over - under)])
    return [path @ frame]


def _find_sides(corners: Path, t: Path) -> tuple[Path, Path]:
    """Return the lower and the upper side of a convex outline above each t."""
    n = len(corners)
    under, over = np.full(len(t), np.inf), np.full(len(t), -np.inf)
    for i in range(n):
        (ax, ay), (bx, by) = corners[i], corners[(i + 1) % n]
        left, right = min(ax, bx) - 1e-9, max(ax, bx) + 1e-9
        on = (t >= left) & (t <= right)
        share = np.clip((t[on] - ax) / (bx - ax), 0, 1) if abs(bx - ax) > 1e-6 else np.array([0.0, 1.0])
        y = ay + share * (by - ay)
        if abs(bx - ax) <= 1e-6:
            under[on] = np.minimum(under[on], y.min())
            over[on] = np.maximum(over[on], y.max())
        else:
            under[on], over[on] = np.minimum(under[on], y), np.maximum(over[on], y)
    return under, over


def _corner_curves(_stitching: Stitching, rings: Rings, _centre: Point, _seed: int, name: str) -> list[Path]:
    """Follow each edge with an arc that bulges inward, from corner to corner; flatten the arcs until none crosses."""
    outline = rings[0]
    angles = [a * pi / 180 for a in measure_angles(outline)]
    bulge = min(BULGE, 0.4 * min(angles))
    for _ in range(8):
        arcs = [_bend(a, b, bulge) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)]
        ring = np.concatenate([arc[:-1] for arc in arcs] + [arcs[0][:1]])
        if not crosses_itself(ring) and lies_inside(rings, [ring]):
            return arcs
        bulge *= 0.6
    raise KitError(
        f"No curve from corner to corner stays within `{name}`",
        needed="a patch whose corners see one another along its edges",
        do="choose echo lines for it",
    )


def _bend(a: Point, b: Point, bulge: float) -> Path:
    """Return the arc from one point to another that leaves the straight line to its left at an angle."""
    (ax, ay), (bx, by) = a, b
    half = np.hypot(bx - ax, by - ay) / 2
    radius, sink = half / sin(bulge), half / tan(bulge)
    turn = atan2(by - ay, bx - ax)
    count = max(8, int(2 * radius * bulge / 0.15))
    sweep = np.linspace(-bulge, bulge, count + 1)
    x, y = half + radius * np.sin(sweep), radius * np.cos(sweep) - sink
    path = np.column_stack([ax + np.cos(turn) * x - np.sin(turn) * y, ay + np.sin(turn) * x + np.cos(turn) * y])
    path[0], path[-1] = a, b
    return path


def _fill(stitching: Stitching, rings: Rings, _centre: Point, seed: int, name: str) -> list[Path]:
    return [fill_region(stitching.way, rings, stitching.spacing, seed, name)]


def _refuse_narrow(stitching: Stitching, rings: Rings, name: str, need: float) -> KitError:
    width = 2 * find_widest(rings)[1]
    most = np.floor(width / need * 8 - 1e-6) / 8
    remedy = f"set the spacing to at most {write_nearest(most)}, or " if most >= 0.125 else ""
    return KitError(
        f"`{name}` is {write_nearest(width)} wide at its widest, too narrow for {stitching.way} set"
        f" {write_nearest(stitching.spacing)} apart",
        needed=f"more than {write_nearest(need * stitching.spacing)}",
        do=f"{remedy}stitch it in the ditch",
    )


_WAYS: dict[str, Callable[[Stitching, Rings, Point, int, str], list[Path]]] = {
    "outline": _outline, "echo": _echo, "motif": _motif, "corner curves": _corner_curves, "grid": _grid,
    "crosshatch": _crosshatch, "serpentine": _serpentine, "swirls": _fill, "loops": _fill, "meander": _fill,
}  # fmt: skip
