"""Blunt points: triangles cut off strips with a ruler whose point is cut off where the seam allowance ends.

The true point of a cut triangle reaches far beyond the finished one, and is trimmed away after sewing. A ruler with a
blunt point leaves it out: the strip is then as high as the finished triangle and two allowances, and the triangles lie
head to foot, each with its blunt end on the edge of the strip. The edge on the straight grain lies along the strip.
"""

from collections.abc import Iterator, Sequence
from math import ceil

from kit.geometry.outlines import Outline, measure_box, measure_directions, measure_edges, turn_outline
from kit.lengths import round_up
from kit.model.blunt_points import BluntCut
from kit.model.cutting import CutList, Piece, PieceKind
from kit.model.fabrics import Supply
from kit.planning.cutting.blanks import AngledRow, measure_stock

POINTED: tuple[PieceKind, ...] = ("60° triangle", "half-square triangle", "quarter-square triangle")
"""Kinds for which there are rulers with a blunt point: 60° and 45° (common practice, no source)."""


def list_blunt_cuts(cuts: CutList, supplies: Sequence[Supply]) -> tuple[BluntCut, ...]:
    """Return the triangles that can be cut off strips of their fabric with a blunt ruler.

    Cloth with a top, a nap or a repeat is left out, and so are pre-cuts lower than the strip.

    Parameters
    ----------
    cuts
        What is cut, fabric by fabric.
    supplies
        The cloth of each fabric.
    """
    known = {supply.fabric or supply.slot: supply for supply in supplies}
    return tuple(
        cut
        for piece in cuts.pieces
        if piece.kind in POINTED and piece.fabric in known
        for cut in _cut_blunt(piece, known[piece.fabric or ""], cuts)
    )


def _cut_blunt(piece: Piece, supply: Supply, cuts: CutList) -> Iterator[BluntCut]:
    """Yield the cut of one piece, nothing if the cloth does not allow it."""
    base = next(i for i, off in enumerate(piece.bias) if not off)
    side, high, lean = _stand(piece.outline, base)
    a = cuts.allowance
    strip = _measure_finished(piece, base, a) + 2 * a
    stock = measure_stock(supply)
    rounded, true_strip = round_up(strip, cuts.step), round_up(high, cuts.step)
    short = side * (high - strip) / high
    long = short + side * rounded / high  # the sides go on to the edge of the strip
    if supply.one_way or supply.nap or supply.repeat or (stock.height is not None and rounded > stock.height):
        return
    row = AngledRow(piece, long, short, lean * rounded / high, rounded, turning=True)
    each = int(2 * stock.width / (long + short)) + 2
    while each and row.width(each) > stock.width:
        each -= 1
    if each:
        yield BluntCut(
            piece.id, piece.fabric or "", base, strip, rounded, true_strip, long, short, stock.width, each,
            ceil(piece.count / each), piece.count,
        )  # fmt: skip


def _stand(outline: Outline, base: int) -> tuple[float, float, float]:
    """Return the base of a triangle that stands on an edge, its height, and how far its point leans to the right."""
    flat = turn_outline(outline, -measure_directions(outline)[base])
    _, bottom, _, top = measure_box(flat)
    start, point = flat[base], flat[(base + 2) % 3]
    return measure_edges(outline)[base], top - bottom, point[0] - start[0]


def _measure_finished(piece: Piece, base: int, allowance: float) -> float:
    """Return the finished height over the base: the cut height less the base's allowance, scaled as the triangle is.

    Of similar triangles the heights are as the circles within them, and the allowance is taken off that circle.
    """
    edges = measure_edges(piece.outline)
    _, high, _ = _stand(piece.outline, base)
    inner = edges[base] * high / sum(edges)
    return high * (inner - allowance) / inner
