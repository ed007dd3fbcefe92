"""Curves that fill a region: meander, loops along a meander, swirls; each is one closed curve from a seam."""

from functools import lru_cache
from math import pi

import numpy as np

from kit.errors import KitError
from kit.geometry.cells import Cells, divide_into_spirals, divide_region, wind_curve
from kit.geometry.gaps import measure_clearance
from kit.geometry.outlines import Outline, turn_outline
from kit.geometry.paths import Path, Rings, find_widest, lies_inside, measure_path, walk_path
from kit.lengths import write_nearest

COVER = 1.5
"""The widest open circle of a filler, in spacings."""
NARROWEST = 1.5
"""A region must be this many spacings wide: half a spacing off either side, and half a spacing between the lines."""
TRIES = 24


def fill_region(way: str, rings: Rings, spacing: float, seed: int, name: str) -> Path:
    """Return the closed curve that fills a region.

    Divide the region into cells, wind a curve through them, and measure the widest open circle; if it is over 1.5
    spacings, try other trees and smaller cells. Equal shapes get equal curves.

    Parameters
    ----------
    way
        "meander", "loops" or "swirls".
    rings
        The region, inches.
    spacing
        Inches between neighbouring lines.
    seed
        The start of the random choices.
    name
        Name of the region, for the message.

    Raises
    ------
    KitError
        A region too narrow for the spacing, or not covered by any of the curves tried.

    Notes
    -----
    Some 0.1 s for 50 square spacings; a shape filled before costs nothing, even after quarter turns.
    """
    radius = find_widest(rings)[1]
    if 2 * radius < NARROWEST * spacing:
        raise _refuse_narrow(way, spacing, name, radius)
    turn, key, (dx, dy) = _normalise(rings)
    curve = _fill(way, key, spacing, seed)
    if curve is None:
        raise KitError(
            f"None of {TRIES} curves of {way} set {write_nearest(spacing)} apart covers `{name}`",
            needed=f"no circle over {write_nearest(COVER * spacing)} left open",
            do="take another seed, a smaller spacing, or a meander",
        )
    return np.asarray(_turn(curve, -turn) + np.array([dx, dy]))


def _refuse_narrow(way: str, spacing: float, name: str, radius: float) -> KitError:
    most = np.floor(2 * radius / NARROWEST * 8) / 8
    remedy = f"set the spacing to at most {write_nearest(most)}, or " if most > 0 else ""
    return KitError(
        f"`{name}` is {write_nearest(2 * radius)} wide at its widest, too narrow for {way} set"
        f" {write_nearest(spacing)} apart",
        needed=f"{write_nearest(NARROWEST * spacing)}, one and a half spacings, with room for the curve to turn",
        do=f"{remedy}choose a serpentine or echo lines there",
    )


def _normalise(rings: Rings) -> tuple[int, Rings, tuple[float, float]]:
    """Return the quarter turns that bring a region to its standard pose, the turned region, and its first place."""
    poses = []
    for turn in range(4):
        turned = [turn_outline(ring, 90 * turn) for ring in rings]
        left, bottom = min(x for x, _ in turned[0]), min(y for _, y in turned[0])
        moved = tuple(tuple((round(x - left, 6), round(y - bottom, 6)) for x, y in ring) for ring in turned)
        poses.append((_rotate_first(moved), turn, (left, bottom)))
    key, turn, (left, bottom) = min(poses)
    ((dx, dy),) = turn_outline([(left, bottom)], -90 * turn)
    return turn, key, (dx, dy)


def _rotate_first(rings: tuple[Outline, ...]) -> Rings:
    """Begin each ring at its least corner, so that equal regions read alike."""
    starts = [ring.index(min(ring)) for ring in rings]
    return tuple(ring[k:] + ring[:k] for ring, k in zip(rings, starts, strict=True))


def _turn(path: Path, quarters: int) -> Path:
    c, s = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarters % 4]
    return np.column_stack([c * path[:, 0] - s * path[:, 1], s * path[:, 0] + c * path[:, 1]])


@lru_cache(maxsize=4096)
def _fill(way: str, rings: Rings, spacing: float, seed: int) -> Path | None:
    """Return the best of several curves, the first without an open circle over 1.5 spacings."""
    best, least = None, 3.0
    for k in range(TRIES):
        draw = np.random.default_rng([seed, k])
        pitch = spacing * ((1.72 if way == "swirls" else 1.92) - 0.03 * (k % 16))
        curve = wind_curve(_divide(way, rings, pitch, spacing), spacing, draw)
        if curve is None:
            continue
        if way == "loops":
            curve = _add_loops(curve, spacing)
        if not lies_inside(rings, [curve]):
            continue
        wide = 2 * measure_clearance([curve], rings).bound / spacing
        if wide < least:
            best, least = curve, wide
        if least <= 0.98 * COVER:
            break
    return best if least <= COVER else None


def _divide(way: str, rings: Rings, pitch: float, spacing: float) -> Cells:
    if way == "swirls":
        return divide_into_spirals(rings, pitch, 7 * spacing)
    return divide_region(rings, pitch)


def _add_loops(curve: Path, spacing: float) -> Path:
    """Return a curve with small loops strung along it at equal distances, none near its two ends at the seam."""
    length = measure_path(curve)
    radius = 0.2 * spacing
    count = max(1, round(length / (1.25 * spacing)))
    s = np.linspace(0, length, count * 32 + 1)
    base = walk_path(curve, s)
    ahead = np.gradient(base, axis=0)
    ahead /= np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    aside = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    loop = _loop_angle(2 * pi * count * s / length)
    size = radius * np.clip((np.minimum(s, length - s) - 0.8 * spacing) / (0.6 * spacing), 0, 1)
    looped = base + size[:, None] * (np.sin(loop)[:, None] * ahead + (1 - np.cos(loop))[:, None] * 0.9 * aside)
    looped[0], looped[-1] = curve[0], curve[-1]
    return np.asarray(looped)


def _loop_angle(phase: Path) -> Path:
    """Turn fast through each loop and rest between them."""
    return np.asarray(phase - np.sin(phase))
