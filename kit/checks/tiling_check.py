"""A second opinion on the tiling: the patches' outlines overlaid by another library, which knows no mesh.

`kit.geometry.mesh` proves the tiling by pairing sides, and shares its plane geometry with the planners. This check uses
none of that: it counts on a fine grid of whole numbers how often each place is covered.
"""

from collections.abc import Sequence
from math import dist
from typing import TypeAlias

import pyclipper

from kit.errors import CheckError
from kit.model.patchwork import Patchwork

GRID = 10_000_000
"""Steps of the grid in an inch; the outlines are rounded to it."""
WIDEST = 2e-5
"""Inches: a gap or an overlap that is narrower on average is rounding; corners 1e-5 in apart count as one corner."""

Loop: TypeAlias = list[tuple[int, int]]


def check_tiling(patchwork: Patchwork) -> None:
    """Refuse a top whose patches do not cover one region exactly once.

    The union of the outlines must be a single loop without holes. Where places are covered twice is found by laying one
    sheet, turned over, under the whole top: it takes one cover away everywhere, and whatever is still covered was
    covered twice. Each outline is drawn in by half the width of rounding for that, and let out by as much for the
    union: of sides that meet within a step of the grid the overlay makes overlaps and gaps that are not there.

    Parameters
    ----------
    patchwork
        The design.

    Raises
    ------
    CheckError
        Names the place and the area of an overlap or a gap, or the number of parts.

    Notes
    -----
    O(n log n); 1,100 patches take some 12 ms. A slit that is open to the outside is part of the outline of the region.

    References
    ----------
    B. R. Vatti, A generic solution to polygon clipping, Communications of the ACM 35 (1992), 56-63.
    """
    loops = [[(round(x * GRID), round(y * GRID)) for x, y in patch.outline] for patch in patchwork.patches]
    smaller = [part for loop in loops for part in _offset([loop], -WIDEST / 2)]
    twice = _offset(_find_covered([_lay_under(loops), *smaller]), WIDEST / 2)
    if twice:
        raise CheckError(
            f"Patches overlap by {_measure_area(twice):.4f} square inches at {_name_place(twice)}",
            needed="patches that only meet along their edges",
            do="move their shared corners to the same place",
        )
    grown = _find_covered([part for loop in loops for part in _offset([loop], WIDEST / 2)])
    covered = _find_wide(_offset(grown, -WIDEST / 2))
    holes = [loop for loop in covered if not pyclipper.Orientation(loop)]
    if holes:
        islands = [loop for loop in covered[1:] if any(_lies_in(loop, hole) for hole in holes if hole is not loop)]
        area = _measure_area(holes) - _measure_area(islands)
        raise CheckError(
            f"Patches leave a gap of {area:.4f} square inches at {_name_place(holes)}",
            needed="patches that leave no gap",
            do="move their corners together, or add a patch there",
        )
    parts = len(_offset(grown, -3 * WIDEST / 2))  # what hangs together in a corner alone comes apart
    if parts != 1:
        raise CheckError(f"The patches fall into {parts} parts", needed="one region", do="move the parts together")


def _lay_under(loops: Sequence[Loop]) -> Loop:
    """Return the corners of a sheet that reaches an inch beyond the top, clockwise."""
    across, up = zip(*(corner for loop in loops for corner in loop), strict=True)
    left, bottom, right, top = min(across) - GRID, min(up) - GRID, max(across) + GRID, max(up) + GRID
    return [(left, bottom), (left, top), (right, top), (right, bottom)]


def _find_covered(loops: Sequence[Loop]) -> list[Loop]:
    """Return the loops round the places that more loops go round counter-clockwise than clockwise, largest first."""
    clipper = pyclipper.Pyclipper()
    clipper.StrictlySimple = True  # a hole that touches the outside in one corner stays a hole
    clipper.AddPaths(loops, pyclipper.PT_SUBJECT, closed=True)
    return _find_wide(clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_POSITIVE, pyclipper.PFT_POSITIVE))


def _find_wide(found: Sequence[Loop]) -> list[Loop]:
    """Return the loops that are wider than rounding, largest first."""
    wide = [[(int(x), int(y)) for x, y in loop] for loop in found if _measure_width(loop) > WIDEST * GRID]
    return sorted(wide, key=lambda loop: (-abs(pyclipper.Area(loop)), loop))


def _offset(loops: Sequence[Loop], inches: float) -> list[Loop]:
    machine = pyclipper.PyclipperOffset()
    machine.AddPaths(loops, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return [[(int(x), int(y)) for x, y in loop] for loop in machine.Execute(inches * GRID)]


def _measure_width(loop: Loop) -> float:
    """Return how wide a long narrow loop is on average, in steps of the grid: twice its area over its girth."""
    girth = sum(dist(a, b) for a, b in zip(loop, [*loop[1:], loop[0]], strict=True))
    return float(2 * abs(pyclipper.Area(loop)) / girth)


def _lies_in(loop: Loop, hole: Loop) -> bool:
    """Return True if every corner of a loop lies in a hole or on its edge."""
    return all(pyclipper.PointInPolygon(corner, hole) for corner in loop)


def _measure_area(loops: Sequence[Loop]) -> float:
    """Return the area of the loops together in square inches."""
    return float(sum(abs(pyclipper.Area(loop)) for loop in loops)) / GRID**2


def _name_place(loops: Sequence[Loop]) -> str:
    x, y = loops[0][0]
    return f"({x / GRID:.3f}, {y / GRID:.3f})"
