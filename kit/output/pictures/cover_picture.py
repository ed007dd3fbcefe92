"""The picture of the cover: the bound quilt with its quilting lightly over it."""

from dataclasses import replace

import shapely

from kit.model.colour import find_lightness, tint
from kit.model.pattern import Pattern
from kit.output.pictures.drawing import INK, Drawing, Line, Polygon, draw_top
from kit.output.words.strings import say

FINE = 300
"""A line of quilting may be off by the size of the top over this: less than shows on a page."""
STITCH = 0.5
"""Width of a line of quilting, in lines of the picture."""
UNNAMED = "#5b5550"
"""Colour of a binding of no fabric of the study."""


def draw_bound(pattern: Pattern) -> Drawing:
    """Draw the quilt as it hangs: the top, its binding all round with mitred corners, and the lines of its quilting.

    The binding has the colour of its fabric, or that of the darkest fabric where the study names none. Where it is
    trimmed outside the top's raw edge, its visible width begins at the finished edge of the top.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Notes
    -----
    Under half a second for 22,000 in of quilting: the lines are simplified to what a page shows.
    """
    top = draw_top(pattern)
    left, bottom, right, upper = top.box
    wide = pattern.finishing.binding.finished
    inner = (left, bottom), (right, bottom), (right, upper), (left, upper)
    outer = (left - wide, bottom - wide), (right + wide, bottom - wide), (right + wide, upper + wide), (
        left - wide, upper + wide,
    )  # fmt: skip
    colour = _choose_binding(pattern)
    around = tuple(
        Polygon((outer[i], outer[(i + 1) % 4], inner[(i + 1) % 4], inner[i]), colour, "binding") for i in range(4)
    )
    fine = max(right - left, upper - bottom) / FINE
    paths = [shapely.LineString(line.points).simplify(fine) for line in pattern.quilting.lines]
    stitches = tuple(
        Line(tuple((float(x), float(y)) for x, y in path.coords), STITCH, (), line.colour)
        for path, line in zip(paths, pattern.quilting.lines, strict=True)
    )
    return replace(
        top, box=(*outer[0], *outer[2]), polygons=(*top.polygons, *around),
        lines=tuple(replace(one, colour=_lighten(one.colour)) for one in stitches),
        title=say("bound_alt" if stitches else "bound_alt_plain", title=pattern.study.title),
    )  # fmt: skip


def _choose_binding(pattern: Pattern) -> str:
    """Return the colour of the binding."""
    colours = {fabric.name: fabric.colour for fabric in pattern.study.fabrics}
    used = [colours[name] for name, count in pattern.colouring.uses.items() if count]
    named = colours.get(pattern.study.finishing.binding_fabric)
    return named or min(used, key=find_lightness, default=UNNAMED)


def _lighten(colour: str) -> str:
    """Return the colour of a thread as it lies on the quilt: half way to white."""
    return tint(colour or INK)
