"""The check of blunt points: the triangle less its point still gives the finished one, and so many lie in a strip."""

from itertools import pairwise
from math import ceil

import numpy as np
import shapely
from shapely import affinity

from kit.errors import CheckError
from kit.model.blunt_points import BluntCut
from kit.model.cutting import CutList, Piece

GRID = 1e-9
"""Inches: the grid on which outlines are laid over one another; touching sides have no overlap on it."""
SLIP = 1e-4
"""Inches: the tolerance between two figures."""


def check_blunt_cuts(cuts: CutList, blunt: tuple[BluntCut, ...]) -> None:
    """Refuse blunt cuts that spoil a seam, waste height, or do not fit their strip.

    Each piece is stood on its edge in the strip with a general geometry library and cut off at the strip's height. What
    is left must have the same finished triangle as the whole, and with less height it must not. So many as are said to
    come of a strip must lie in it head to foot without overlap, and the strips must give them all.

    Raises
    ------
    CheckError
        Names the piece and both figures.
    """
    known = {(piece.id, piece.fabric): piece for piece in cuts.pieces}
    for one in blunt:
        piece = known.get((one.piece, one.fabric))
        if piece is None or piece.count != one.count:
            raise CheckError(f"{one.piece} of {one.fabric}: {one.count} are said to be cut with a blunt point")
        if not -SLIP < one.rounded - one.strip < cuts.step + SLIP:
            raise CheckError(f"{one.piece}: a strip of {one.strip:.4f} in is printed as {one.rounded:.4f} in")
        stood = _stand(piece, one)
        if not -SLIP < one.true_strip - stood.bounds[3] < cuts.step + SLIP:
            raise CheckError(
                f"{one.piece} is {stood.bounds[3]:.4f} in high, its strip is said to be {one.true_strip:.4f} in"
            )
        left = _cut_off(stood, one.strip)
        meant = _shrink(stood, cuts.allowance)
        if _differ(_shrink(left, cuts.allowance), meant) > SLIP * meant.length:
            raise CheckError(f"{one.piece}: cut off at {one.strip:.4f} in, the seams come short at the point")
        if _differ(_shrink(_cut_off(stood, one.strip - 0.01), cuts.allowance), meant) < 1e-6:
            raise CheckError(f"{one.piece}: a strip lower than {one.strip:.4f} in is enough")
        _lay(_fill_strip(stood, one), one)


def _stand(piece: Piece, one: BluntCut) -> shapely.Polygon:
    """Return the piece on its edge, lower left corner of the edge at the origin; the edge must be on the grain."""
    corners = np.array(piece.outline)
    if len(corners) != 3 or piece.bias[one.base]:
        raise CheckError(f"{one.piece}: edge {one.base} of its {len(corners)} is not on the straight grain")
    start, end = corners[one.base], corners[(one.base + 1) % 3]
    angle = -np.degrees(np.arctan2(*(end - start)[::-1]))
    return affinity.rotate(shapely.Polygon(corners - start), angle, origin=(0, 0))


def _fill_strip(stood: shapely.Polygon, one: BluntCut) -> shapely.Polygon:
    """Return the triangle as cut from a strip of the ruler's height: its blunt point stays, its sides go on below."""
    apex = max(stood.exterior.coords, key=lambda point: point[1])
    over = one.rounded - one.strip
    grown = affinity.scale(stood, *[(apex[1] + over) / apex[1]] * 2, origin=apex)
    return _cut_off(affinity.translate(grown, 0.0, over), one.rounded)


def _cut_off(shape: shapely.Polygon, high: float) -> shapely.Polygon:
    left, _, right, _ = shape.bounds
    return shape.intersection(shapely.box(left - 1, -1, right + 1, high))


def _shrink(shape: shapely.Polygon, allowance: float) -> shapely.Polygon:
    return shape.buffer(-allowance, join_style="mitre", mitre_limit=1000.0)


def _differ(one: shapely.Polygon, other: shapely.Polygon) -> float:
    return float(one.symmetric_difference(other, grid_size=GRID).area)


def _lay(shape: shapely.Polygon, one: BluntCut) -> None:
    """Lay the triangles head to foot from the left end of a strip, and see whether so many fit."""
    turned = affinity.rotate(shape, 180, origin=(0, one.rounded / 2))
    base, point = _list_ends(shape, 0.0), _list_ends(shape, one.rounded)
    if abs((base[1] - base[0]) - one.long) > SLIP:
        raise CheckError(
            f"{one.piece}: its edge on the strip is {base[1] - base[0]:.4f} in, said to be {one.long:.4f} in"
        )
    if abs((point[1] - point[0]) - one.short) > SLIP:
        raise CheckError(f"{one.piece}: its blunt point is {point[1] - point[0]:.4f} in, said to be {one.short:.4f} in")
    reach = min(_measure_row(*pair, one) for pair in ((shape, turned), (turned, shape)))
    if reach > one.length + SLIP:
        raise CheckError(f"{one.piece}: {one.each} take {reach:.4f} in of a strip of {one.length:.4f} in")
    if one.strips != ceil(one.count / one.each):
        raise CheckError(f"{one.piece}: {one.strips} strips give {one.strips * one.each}, {one.count} are needed")


def _measure_row(first: shapely.Polygon, second: shapely.Polygon, one: BluntCut) -> float:
    """Return the length of strip that a number of triangles take, every second one turned by half."""
    laid = [first]
    while len(laid) < one.each:
        laid.append(_lay_beside(laid[-1], second if len(laid) % 2 else first, one.rounded))
    overlap = max((a.intersection(b, grid_size=GRID).area for a, b in pairwise(laid)), default=0.0)
    if overlap > SLIP * one.rounded:
        raise CheckError(f"{one.piece}: two of {one.each} in a strip overlap")
    return float(max(piece.bounds[2] for piece in laid) - min(piece.bounds[0] for piece in laid))


def _lay_beside(last: shapely.Polygon, shape: shapely.Polygon, high: float) -> shapely.Polygon:
    """Move a triangle along the strip until it touches the one before."""
    touching = (_list_ends(last, y)[1] - _list_ends(shape, y)[0] for y in (0.0, high))
    return affinity.translate(shape, max(touching))


def _list_ends(shape: shapely.Polygon, y: float) -> tuple[float, float]:
    """Return how far a shape reaches along one edge of the strip."""
    along = [x for x, high in shape.exterior.coords if abs(high - y) < SLIP]
    return min(along), max(along)
