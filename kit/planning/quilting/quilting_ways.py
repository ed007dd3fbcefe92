"""Ways of stitching a region: each returns its paths; closed paths end at their beginning.

A region takes its way where it fits, otherwise the same way drawn narrower, otherwise none: then its seams hold it.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import atan2, pi, sin, tan

import numpy as np

from kit.errors import KitError
from kit.geometry.field_lines import lay_rays, lay_scales, lay_spiral, lay_swirls
from kit.geometry.outlines import Point, measure_angles, turn_outline
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
from kit.geometry.smooth_paths import measure_tightest
from kit.geometry.strip_frames import StripFrame, find_long_edge, lay_row_frames, lay_strip, split_strip
from kit.geometry.wandering import wander
from kit.model.quilting import RegionFit
from kit.model.quilting_wishes import TIGHTEST, Stitching
from kit.planning.quilting.strip_ways import STRIP_WAYS, repeat_drawn

SHORTEST = 0.125
"""Inches: a straight line shorter than this, in a corner of a region, is left out."""
NARROWER = (1.0, 0.75, 0.55)
"""The parts of the wished spacing that are tried, one after another."""
LEAST_SPACING = 0.125
"""Inches: nothing is drawn narrower than this."""
FIXED = ("grid", "crosshatch", "clamshells", "rays")
"""Ways whose lines run on from region to region, so that they depend on where the region lies."""
BULGE = pi / 6
"""Radians: the largest angle between a corner curve and its edge."""
SEEDS = 8
"""The most wandering lines tried for one spacing."""
ROUNDING = 0.25
"""Spacings: the radius of the corners of echo lines."""
NEAR_SMOOTH = 0.95
"""A radius measured on steps of half a stitch may seem this much smaller than it is."""


@dataclass(frozen=True, eq=False)
class StitchedRegion:
    """The paths of a region, how they fit it, and their spacing in inches; no paths if it is left to its seams."""

    paths: tuple[Path, ...]
    fit: RegionFit
    spacing: float


def stitch_region(stitching: Stitching, rings: Rings, centre: Point, seed: int) -> StitchedRegion:
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

    Raises
    ------
    KitError
        A motif that crosses itself.

    Notes
    -----
    Equal regions, wherever they lie and by whichever quarter turn, are drawn once, unless lines run on between regions.
    """
    if stitching.way in FIXED:
        return _fit(stitching, rings, centre, seed)
    x, y = rings[0][0]
    turn, key, (dx, dy) = _normalise(
        tuple(tuple((round(a - x, 6), round(b - y, 6)) for a, b in ring) for ring in rings)
    )
    dx, dy = dx + x, dy + y
    drawn = _fit_once(replace(stitching, where="", colour="#000000"), key, seed)
    return replace(drawn, paths=tuple(_turn(path, -turn) + np.array([dx, dy]) for path in drawn.paths))


@lru_cache(maxsize=4096)
def _fit_once(stitching: Stitching, rings: Rings, seed: int) -> StitchedRegion:
    return _fit(stitching, rings, find_widest(rings)[0], seed)


def _fit(stitching: Stitching, rings: Rings, centre: Point, seed: int) -> StitchedRegion:
    """Try the wished spacing, then narrower ones."""
    for part in NARROWER:
        spacing = part * stitching.spacing
        if spacing < LEAST_SPACING - 1e-9 and part < 1:
            break
        paths = _draw(replace(stitching, spacing=spacing), rings, centre, seed)
        paths = [path for path in paths if measure_tightest(path) >= NEAR_SMOOTH * TIGHTEST]
        if paths and lies_inside(rings, paths):
            return StitchedRegion(tuple(paths), "as wished" if part == 1 else "narrower", spacing)
    return StitchedRegion((), "left", stitching.spacing)


def _draw(stitching: Stitching, rings: Rings, centre: Point, seed: int) -> list[Path]:
    if stitching.way in STRIP_WAYS or stitching.way == "drawn line":
        return _draw_strips(stitching, rings, seed)
    return _WAYS[stitching.way](stitching, rings, centre, seed)


def _draw_strips(stitching: Stitching, rings: Rings, seed: int) -> list[Path]:
    """Draw along the middle of a region, or in rows where it is higher than one row."""
    way, spacing = stitching.way, stitching.spacing
    rows = 4.0 if way == "drawn line" else STRIP_WAYS[way][1]
    draw = np.random.default_rng([seed, 7])
    paths: list[Path] = []
    for frame in lay_frames(rings, rows * spacing, lean=way in ("serpentine", "feathers")):
        one = (
            repeat_drawn(frame, spacing, stitching.motif)
            if way == "drawn line"
            else STRIP_WAYS[way][0](frame, spacing, draw)
        )
        paths += [path for path in one if len(path) > 1 and measure_path(path) > SHORTEST]
    return [path for path in paths if lies_inside(rings, [path])]


def lay_frames(rings: Rings, high: float, *, lean: bool) -> list[StripFrame]:
    """Return the frames of a region: its middle line, or rows about so many inches high.

    Rows of a bent region or of a border run along with it, others along its longest edge.
    """
    frame = lay_strip(rings, lean=lean)
    wide = 2 * find_widest(rings)[1]
    if frame is not None and wide <= 1.45 * high:
        return [frame]
    bent = len(rings) == 2 or max(measure_angles(rings[0])) > 180.01
    if frame is not None and bent and 2 * float(np.median(frame.room)) > 0.6 * wide:
        return split_strip(frame, max(1, round(2 * float(np.median(frame.room)) / high)))
    return lay_row_frames(rings, find_long_edge(rings), high)


@lru_cache(maxsize=4096)
def _normalise(rings: Rings) -> tuple[int, Rings, tuple[float, float]]:
    """Return the quarter turns that bring a region to its standard pose, the turned region, and its first place."""
    poses = []
    for turn in range(4):
        turned = [turn_outline(ring, 90 * turn) for ring in rings]
        left, bottom = min(x for x, _ in turned[0]), min(y for _, y in turned[0])
        moved = tuple(tuple((round(x - left, 6), round(y - bottom, 6)) for x, y in ring) for ring in turned)
        starts = [ring.index(min(ring)) for ring in moved]
        first = tuple(ring[k:] + ring[:k] for ring, k in zip(moved, starts, strict=True))
        poses.append((first, turn, (left, bottom)))
    key, turn, (left, bottom) = min(poses)
    ((dx, dy),) = turn_outline([(left, bottom)], -90 * turn)
    return turn, key, (dx, dy)


def _turn(path: Path, quarters: int) -> Path:
    c, s = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarters % 4]
    return np.column_stack([c * path[:, 0] - s * path[:, 1], s * path[:, 0] + c * path[:, 1]])


def _echo(stitching: Stitching, rings: Rings, _centre: Point, _seed: int) -> list[Path]:
    rounds = stitching.rounds or int(find_widest(rings)[1] / stitching.spacing) + 2
    bow = ROUNDING * stitching.spacing
    return [path for k in range(1, rounds + 1) for path in inset_region(rings, k * stitching.spacing, bow)]


def _outline(stitching: Stitching, rings: Rings, _centre: Point, _seed: int) -> list[Path]:
    return inset_region(rings, stitching.spacing, ROUNDING * stitching.spacing)


def _motif(stitching: Stitching, rings: Rings, _centre: Point, _seed: int) -> list[Path]:
    """Round the motif and lay it, as large as it fits, into the largest circle of the region less the spacing."""
    (x, y), radius = find_widest(rings)
    if radius <= stitching.spacing:
        return []
    path = round_corners(stitching.motif)
    middle = (path.max(axis=0) + path.min(axis=0)) / 2
    reach = float(np.hypot(*(path - middle).T).max())
    placed = (path - middle) * (0.999 * (radius - stitching.spacing) / reach) + (x, y)
    if crosses_itself(placed):
        raise KitError("The motif crosses itself", needed="a plain closed curve", do="reorder its corners")
    return [placed]


def _grid(stitching: Stitching, rings: Rings, centre: Point, _seed: int) -> list[Path]:
    return _rule(stitching, rings, centre, (stitching.angle,))


def _crosshatch(stitching: Stitching, rings: Rings, centre: Point, _seed: int) -> list[Path]:
    return _rule(stitching, rings, centre, (stitching.angle, stitching.angle + 90))


def _rule(stitching: Stitching, rings: Rings, centre: Point, angles: tuple[float, ...]) -> list[Path]:
    paths = []
    for angle in angles:
        lines = clip_parallels(rings, angle, stitching.spacing, centre)
        kept = [line for line in lines if measure_path(line) >= SHORTEST]
        if not kept:
            return []
        paths += kept
    return paths


def _corner_curves(_stitching: Stitching, rings: Rings, _centre: Point, _seed: int) -> list[Path]:
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
    return []


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


def _meander(stitching: Stitching, rings: Rings, _centre: Point, seed: int) -> list[Path]:
    """Wander; a region too narrow for two lanes gets one wave along its middle."""
    if 2 * find_widest(rings)[1] >= 1.9 * stitching.spacing:
        for k in range(SEEDS):
            path = wander(rings, stitching.spacing, np.random.default_rng([seed, k]))
            if path is None:
                break
            if not crosses_itself(path) and lies_inside(rings, [path]) and measure_tightest(path) >= TIGHTEST:
                return [path]
    return _draw_strips(replace(stitching, way="serpentine"), rings, seed)


def _swirls(stitching: Stitching, rings: Rings, _centre: Point, seed: int) -> list[Path]:
    return lay_swirls(rings, stitching.spacing, np.random.default_rng([seed, 3]))


def _spiral(stitching: Stitching, rings: Rings, centre: Point, _seed: int) -> list[Path]:
    return lay_spiral(rings, stitching.spacing, centre)


def _rays(stitching: Stitching, rings: Rings, centre: Point, _seed: int) -> list[Path]:
    """Let lines radiate from the middle of the quilt, so that they run on from region to region."""
    return lay_rays(rings, stitching.spacing, centre)


def _clamshells(stitching: Stitching, rings: Rings, centre: Point, _seed: int) -> list[Path]:
    return lay_scales(rings, stitching.spacing, 0.0, centre)


_WAYS: dict[str, Callable[[Stitching, Rings, Point, int], list[Path]]] = {
    "outline": _outline, "echo": _echo, "motif": _motif, "corner curves": _corner_curves, "grid": _grid,
    "crosshatch": _crosshatch, "meander": _meander, "swirls": _swirls, "spiral": _spiral, "rays": _rays,
    "clamshells": _clamshells,
}  # fmt: skip
