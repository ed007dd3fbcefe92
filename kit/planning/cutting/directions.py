"""Directions: the way up of each piece in the top, and so in cloth with a one-way print.

The print runs along the length of the cloth, its top at one end; the top of the quilt is the top of every print. So
an upright sash is cut upright, from a wider strip than a level one; half-square triangles of both diagonals come
from squares cut on both diagonals. Angled pieces and templates run along a strip, so they only lie all one way. The
direction of the print on pre-cuts is unknown, so there too pieces only lie all one way.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kit.geometry.outlines import measure_directions
from kit.model.cutting import LaidPiece, Piece, PieceKind
from kit.model.fabrics import Supply
from kit.planning.cutting.blanks import HALF, HALF_RECTANGLE, QUARTER, Blank, lay_turned

DIRECTED: tuple[PieceKind, ...] = ("rectangle", HALF, QUARTER, HALF_RECTANGLE)
"""Kinds of piece that are cut as they lie in the top."""


def find_quarter(piece: Piece, degrees: float, *, nap: bool) -> int:
    """Return the quarter turn nearest to the direction of a piece's first edge: one of two, or of four on a nap.

    Rectangles look the same upside down. A piece askew in the top, on point, is askew in the cloth or cannot be cut:
    it belongs to the quarter that begins less than an eighth of a turn before it.
    """
    period = 360.0 if nap and piece.kind != "rectangle" else 180.0
    return int((degrees + 22.5) % period // 90)


def divide_by_direction(pieces: Sequence[Piece], supply: Supply) -> Iterator[tuple[Piece, int | None]]:
    """Yield the pieces by their quarter turn, None if it does not matter."""
    for piece in pieces:
        if not has_direction(piece, supply):
            yield piece, None
            continue
        quarters = [find_quarter(piece, degrees, nap=supply.nap) for degrees in piece.headings]
        for quarter in sorted(set(quarters)):
            headings = tuple(h for h, q in zip(piece.headings, quarters, strict=True) if q == quarter)
            yield replace(piece, count=len(headings), headings=headings), quarter


def has_direction(piece: Piece, supply: Supply) -> bool:
    """Return True if a piece is cut as it lies in the top."""
    known = piece.kind in DIRECTED and len(piece.headings) == piece.count > 0
    return known and supply.directed


def turn_blank(blank: Blank, quarter: int, *, nap: bool) -> Blank:
    """Return a blank turned until its first piece lies in a quarter."""
    here = find_quarter(blank.piece, measure_directions(blank.outlines[0])[0], nap=nap)
    for _ in range((quarter - here) % 4):
        blank = replace(
            blank, width=blank.height, height=blank.width, outlines=lay_turned(blank.outlines, blank.height)
        )
        if find_quarter(blank.piece, measure_directions(blank.outlines[0])[0], nap=nap) == quarter:
            break
    return blank


def divide_cut(piece: Piece, missing: int, shapes: Sequence[LaidPiece], *, nap: bool) -> tuple[Piece, Piece]:
    """Return the cut and the missing copies of a piece, each with its directions.

    Parameters
    ----------
    piece
        The piece.
    missing
        The number not cut.
    shapes
        The cut copies, as they lie in the cloth.
    nap
        Whether the cloth has one.
    """
    known = len(piece.headings) == piece.count
    open_now: dict[int, list[int]] = {}
    for i, heading in enumerate(piece.headings if known else ()):
        open_now.setdefault(find_quarter(piece, heading, nap=nap), []).append(i)
    taken: list[int] = []
    for shape in shapes if known else ():
        quarter = find_quarter(piece, measure_directions(shape.outline)[0], nap=nap)
        # any copy where none is left that lies so; quarters are four at most
        same = open_now.get(quarter) or max(open_now.values(), key=lambda places: places[-1] if places else -1)
        taken.append(same.pop())
    left = sorted(i for places in open_now.values() for i in places)
    return (
        replace(piece, count=piece.count - missing, headings=tuple(piece.headings[i] for i in taken)),
        replace(piece, count=missing, headings=tuple(piece.headings[i] for i in left)),
    )
