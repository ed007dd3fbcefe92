"""The shapes of the lessons, and their cut and finished sizes from the kit."""

from collections.abc import Mapping, Sequence
from random import Random

from kit.geometry.outlines import Outline, make_rectangle
from kit.lengths import CM
from kit.lessons.exercises.exercise import Terms
from kit.model.cutting import CutList
from kit.model.patchwork import Patchwork, patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list


def pick_size(chance: Random, terms: Terms, low: int, high: int) -> float:
    """Return a finished size between two whole numbers of inches: on a half inch, or on half a centimetre."""
    if terms.system == "inch":
        return chance.randint(2 * low, 2 * high) / 2
    return chance.randint(5 * low, 5 * high) * 0.5 * CM


def cut_piece(outlines: Sequence[Outline], terms: Terms) -> Mapping[str, float]:
    """Return the exact cut measures of the first piece of some outlines, from the kit's cut list.

    Parameters
    ----------
    outlines
        Finished outlines of a top.
    terms
        Their allowance.
    """
    return make_cut_list(outlines, terms)[1].pieces[0].cut


def make_cut_list(outlines: Sequence[Outline], terms: Terms) -> tuple[Patchwork, CutList]:
    """Return the patchwork of some outlines, and its cut list."""
    patchwork = patchwork_from_outlines(outlines, allowance=terms.allowance)
    return patchwork, cut_list(patchwork, terms.step)


def halve_square(side: float) -> list[Outline]:
    """Return the two triangles of a square cut on one diagonal."""
    return [((0, 0), (side, 0), (0, side)), ((side, 0), (side, side), (0, side))]


def quarter_square(side: float) -> list[Outline]:
    """Return the four triangles of a square cut on both diagonals."""
    corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
    return [(corners[k], corners[(k + 1) % 4], (side / 2, side / 2)) for k in range(4)]


def line_up(count: int, width: float, height: float) -> list[Outline]:
    """Return a row of equal rectangles."""
    return [make_rectangle(k * width, 0, width, height) for k in range(count)]


def make_side(block: float) -> Outline:
    """Return the side setting triangle of blocks on point: its long side is the block's diagonal."""
    d = block * 2**0.5
    return ((0.0, 0.0), (d, 0.0), (d / 2, d / 2))


def make_corner(block: float) -> Outline:
    """Return the corner setting triangle: its long side is a side of the block."""
    leg = block / 2**0.5
    return ((0.0, 0.0), (leg, 0.0), (0.0, leg))


def ring_whirl(centre: float, width: float) -> list[Outline]:
    """Return a square and the four rectangles that whirl around it: below, right, above, left.

    Each rectangle is as long as the centre plus its own width, and ends against the side of the next.
    """
    long = centre + width
    return [
        make_rectangle(width, width, centre, centre),
        make_rectangle(0, 0, long, width),
        make_rectangle(long, 0, width, long),
        make_rectangle(width, long, long, width),
        make_rectangle(0, width, width, long),
    ]
