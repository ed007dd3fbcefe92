"""The check of how each region takes its way, and of the bends of its lines."""

import numpy as np

from kit.errors import CheckError
from kit.model.quilting import QuiltingPlan

STRAIGHT = ("ditch", "grid", "crosshatch")
"""Ways whose lines are straight."""
HALF_STITCH = 0.05
"""Inches."""
TIGHTEST = 0.035
"""Inches: the least radius of a bend, measured on places half a stitch apart, which cut a little off."""
NEAR = 1e-4


def check_fits(plan: QuiltingPlan) -> None:
    """Check that every region is stitched as it is said to be, and that no bend is tighter than a machine turns."""
    ways = {wish.way for wish in plan.wishes.stitchings}
    stitched = {line.region for line in plan.lines}
    for region in plan.regions:
        spacings = [
            wish.spacing for wish in plan.wishes.stitchings if (wish.where, wish.way) == (region.where, region.way)
        ]
        right = {
            "as wished": any(abs(region.spacing - one) <= NEAR for one in spacings),
            "narrower": any(region.spacing < one - NEAR for one in spacings) and region.id in stitched,
            "in the ditch": region.way == "ditch",
            "left": region.way in ways and region.id not in stitched,
        }
        if not right.get(region.fit, False):
            raise _refuse_fit(
                f"Region `{region.id}` is said to be stitched {region.fit}", "what its lines and its wish say"
            )
    for line in plan.lines:
        if line.way not in STRAIGHT and (radius := _find_bend(np.array(line.points))) < TIGHTEST:
            raise _refuse_fit(f"Line `{line.id}` bends to a radius of {radius:.3f} in", f"{TIGHTEST:g} in or more")


def _find_bend(path: np.ndarray) -> float:
    """Return the least radius of the circles through three places that follow one another by half a stitch."""
    step = np.hypot(*np.diff(path, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(step)])
    count = int(at[-1] / HALF_STITCH)
    if count < 3:
        return float("inf")
    s = np.linspace(0, at[-1], count + 1)
    points = np.column_stack([np.interp(s, at, path[:, 0]), np.interp(s, at, path[:, 1])])
    a, b, c = points[:-2], points[1:-1], points[2:]
    sides = [np.hypot(*(v - u).T) for u, v in ((a, b), (b, c), (a, c))]
    twice = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    return float((sides[0] * sides[1] * sides[2] / np.maximum(2 * twice, 1e-12)).min())


def _refuse_fit(found: str, needed: str) -> CheckError:
    return CheckError(found, needed=needed, do="plan the quilting again")
