"""Sheets: cloth lying flat, right side up, that is sewn, cut apart and opened.

A sheet is its facets, each a convex outline of one fabric. To sew, a second sheet is laid face down on the first; the
layers are sewn along a line and cut an allowance beyond it; once opened, the upper layer is mirrored in the seam.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import TypeAlias

from kit.geometry.outlines import TOLERANCE, Outline, clip_outline, make_rectangle, measure_area, turn_outline


class CannotMakeError(Exception):
    """An impossible batch; the message goes to the maker's screen."""


@dataclass(frozen=True, slots=True)
class Facet:
    """Part of a sheet in one fabric: a convex outline, counter-clockwise, inches."""

    outline: Outline
    fabric: str


ClothSheet: TypeAlias = tuple[Facet, ...]


@dataclass(frozen=True, slots=True)
class Seam:
    """A line of sewing: the kept cloth lies where a·x + b·y <= c, with (a, b) of length 1."""

    a: float
    b: float
    c: float


def cut_sheet(width: float, height: float, fabric: str) -> ClothSheet:
    """Return a rectangle of one fabric, its lower left corner at the origin."""
    return (Facet(make_rectangle(0.0, 0.0, width, height), fabric),)


def draw_seam(start: tuple[float, float], end: tuple[float, float], beside: float = 0.0) -> Seam:
    """Return a seam along a line, the given distance to its right; the kept cloth lies at its left."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    a, b = dy / length, -dx / length
    return Seam(a, b, a * start[0] + b * start[1] + beside)


def lay_face_down(sheet: ClothSheet, seam: Seam) -> ClothSheet:
    """Turn a sheet over along a line: its mirror image, seen from above through the cloth."""
    return tuple(Facet(_mirror(facet.outline, seam), facet.fabric) for facet in sheet)


def move_sheet(sheet: ClothSheet, dx: float, dy: float) -> ClothSheet:
    """Slide a sheet."""
    return tuple(Facet(tuple((x + dx, y + dy) for x, y in facet.outline), facet.fabric) for facet in sheet)


def turn_sheet(sheet: ClothSheet, degrees: float) -> ClothSheet:
    """Turn a sheet counter-clockwise about the origin."""
    return tuple(Facet(turn_outline(facet.outline, degrees), facet.fabric) for facet in sheet)


def cut_off(sheet: ClothSheet, a: float, b: float, c: float) -> ClothSheet:
    """Return the part where a·x + b·y <= c."""
    cut = ((clip_outline(facet.outline, a, b, c), facet.fabric) for facet in sheet)
    return tuple(Facet(outline, fabric) for outline, fabric in cut if outline and measure_area(outline) > TOLERANCE)


def sew_open(lies: ClothSheet, above: ClothSheet, seam: Seam, allowance: float) -> ClothSheet:
    """Sew a sheet, face down on another, along a line, cut an allowance beyond it, and open.

    Parameters
    ----------
    lies, above
        Both as seen from above: `above` is mirrored already, because it lies face down.
    seam
        The line.
    allowance
        The width of cloth that both layers need beyond it.

    Raises
    ------
    CannotMakeError
        A layer that does not reach the allowance.
    """
    for what, layer in (("lower", lies), ("upper", above)):
        reach = max((seam.a * x + seam.b * y for facet in layer for x, y in facet.outline), default=-1e9) - seam.c
        if reach < allowance - TOLERANCE:
            raise CannotMakeError(f"the {what} layer reaches {reach:.4f} in beyond the seam instead of {allowance:.4f}")
    kept = cut_off(lies, seam.a, seam.b, seam.c)
    shown = cut_off(above, seam.a, seam.b, seam.c)
    return (*kept, *lay_face_down(shown, seam))


def _mirror(outline: Outline, seam: Seam) -> Outline:
    found = []
    for x, y in reversed(outline):
        off = 2 * (seam.a * x + seam.b * y - seam.c)
        found.append((x - off * seam.a, y - off * seam.b))
    return tuple(found)


def trim_sheet(sheet: ClothSheet, box: Sequence[float]) -> ClothSheet:
    """Return the part in a level box (left, bottom, right, top)."""
    left, bottom, right, top = box
    for a, b, c in ((-1.0, 0.0, -left), (0.0, -1.0, -bottom), (1.0, 0.0, right), (0.0, 1.0, top)):
        sheet = cut_off(sheet, a, b, c)
    return sheet
