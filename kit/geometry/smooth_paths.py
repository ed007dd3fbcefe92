"""Smooth paths: bends rounded to a radius, splines along control points, and how tightly a path turns."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from kit.geometry.paths import Path, measure_path, walk_path

ARC_STEP = 0.2
"""Radians between the points of a rounded bend."""
STRAIGHTEST = 1e6
"""Inches: a larger radius is a straight line."""
WINDOW = 0.05
"""Inches along a path over which its turning is measured: half a stitch."""


def round_bends(corners: Path, radius: float) -> Path:
    """Return an open path with every bend replaced by an arc that touches both of its legs.

    An arc takes at most half of each leg, so that two arcs never overlap.

    Examples
    --------
    >>> path = round_bends(np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0)]), 0.5)
    >>> path[[0, 1, -2, -1]].round(6).tolist()
    [[0.0, 0.0], [0.5, 0.0], [1.0, 0.5], [1.0, 1.0]]
    """
    corners = _drop_equal(np.asarray(corners, dtype=np.float64))
    if len(corners) < 3:
        return corners
    leg = np.diff(corners, axis=0)
    size = np.hypot(leg[:, 0], leg[:, 1])
    ahead = leg / size[:, None]
    cross = ahead[:-1, 0] * ahead[1:, 1] - ahead[:-1, 1] * ahead[1:, 0]
    turn = np.arctan2(cross, (ahead[:-1] * ahead[1:]).sum(axis=1))
    tangent = np.tan(np.minimum(np.abs(turn), 3.1) / 2)
    reach = np.minimum(radius * tangent, np.minimum(size[:-1], size[1:]) / 2)
    count = np.maximum(1, np.ceil(np.abs(turn) / ARC_STEP)).astype(int)
    parts = [corners[:1]]
    for k in range(len(turn)):
        corner = corners[k + 1]
        if abs(turn[k]) < 1e-4:
            parts.append(corner[None])
            continue
        begin = corner - reach[k] * ahead[k]
        bow = reach[k] / tangent[k]
        side = np.sign(turn[k])
        centre = begin + bow * side * np.array([-ahead[k, 1], ahead[k, 0]])
        angle = np.linspace(0.0, turn[k], count[k] + 1)
        spoke = begin - centre
        c, s = np.cos(angle), np.sin(angle)
        parts.append(centre + np.column_stack([c * spoke[0] - s * spoke[1], s * spoke[0] + c * spoke[1]]))
    parts.append(corners[-1:])
    return _drop_equal(np.concatenate(parts))


def draw_spline(controls: Path, *, closed: bool = False, steps: int = 8) -> Path:
    """Return the uniform cubic spline of control points: it stays in the hull of every four that follow one another.

    An open spline begins at the first control point and ends at the last; a closed one ends where it began.

    References
    ----------
    C. de Boor, A practical guide to splines, 1978, chapter IX (from memory).
    """
    points = np.asarray(controls, dtype=np.float64)
    if closed:
        points = np.concatenate([points[-1:], points, points[:2]])
    else:
        points = np.concatenate([2 * points[:1] - points[1:2], points, 2 * points[-1:] - points[-2:-1]])
    t = np.linspace(0, 1, steps, endpoint=False)[:, None]
    weights = np.stack([(1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4, -3 * t**3 + 3 * t**2 + 3 * t + 1, t**3]) / 6
    four = [points[k : len(points) - 3 + k] for k in range(4)]
    path = sum(w[None] * p[:, None] for w, p in zip(weights, four, strict=True))
    last = (four[1][-1] + 4 * four[2][-1] + four[3][-1]) / 6
    return np.asarray(np.concatenate([np.asarray(path).reshape(-1, 2), last[None]]))


def measure_tightest(path: Path, *, window: float = WINDOW) -> float:
    """Return the least radius of curvature of a path, in inches, as a stitch feels it; infinite along a straight line.

    Walk along the path in steps of the window; a radius is that of the circle through three places in a row.
    The two ends do not count as a bend, even where they meet.

    Examples
    --------
    >>> angle = np.linspace(0, 6, 600)
    >>> round(measure_tightest(0.5 * np.column_stack([np.cos(angle), np.sin(angle)])), 2)
    0.5
    """
    length = measure_path(path)
    count = int(length / window)
    if count < 3:
        return float("inf")
    points = walk_path(path, np.linspace(0, length, count + 1))
    a, b, c = points[:-2], points[1:-1], points[2:]
    sides = [np.hypot(*(v - u).T) for u, v in ((a, b), (b, c), (a, c))]
    twice = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    least = float((sides[0] * sides[1] * sides[2] / np.maximum(2 * twice, 1e-12)).min())
    return least if least < STRAIGHTEST else float("inf")


def smooth_values(values: NDArray[np.float64], half: int, *, closed: bool) -> NDArray[np.float64]:
    """Return the running mean of values over a window; an open row keeps its ends."""
    if half < 1:
        return values
    if closed:
        padded = np.take(values, np.arange(-half, len(values) + half), axis=0, mode="wrap")
        return _slide(padded, 2 * half + 1, np.mean)
    half = min(half, (len(values) - 1) // 2)
    before, after = 2 * values[:1] - values[half:0:-1], 2 * values[-1:] - values[-2 : -half - 2 : -1]
    return _slide(np.concatenate([before, values, after]), 2 * half + 1, np.mean)


def lower_values(values: NDArray[np.float64], half: int, *, closed: bool) -> NDArray[np.float64]:
    """Return a smooth row of values that is nowhere above the given one: the least of a window, then the mean."""
    if half < 1:
        return values
    mode = "wrap" if closed else "edge"
    least = _slide(np.pad(values, half, mode=mode), 2 * half + 1, np.min)  # type: ignore[call-overload]  # the mode is one of two known ones
    return _slide(np.pad(least, half, mode=mode), 2 * half + 1, np.mean)  # type: ignore[call-overload]  # the mode is one of two known ones


def _slide(values: NDArray[np.float64], width: int, take: Callable[..., NDArray[np.float64]]) -> NDArray[np.float64]:
    return np.asarray(take(np.lib.stride_tricks.sliding_window_view(values, width, axis=0), axis=-1))


def _drop_equal(path: Path) -> Path:
    step = np.abs(np.diff(path, axis=0)).max(axis=1) > 1e-7
    return np.asarray(path[np.concatenate([[True], step])])


def join_paths(parts: Sequence[Path]) -> Path:
    """Return paths that follow one another as one, without the places that they share."""
    return _drop_equal(np.concatenate(list(parts)))
