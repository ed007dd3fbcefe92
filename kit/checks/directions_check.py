"""The check of directions: pieces of a one-way print lie in the cloth as in the top."""

from collections import Counter
from collections.abc import Mapping, Sequence
from math import atan2, degrees

from kit.errors import CheckError
from kit.model.cutting import ClothPlan, CuttingPlan, Piece


def lies_as_in_top(piece: Piece, cloth: ClothPlan) -> bool:
    """Return True if a piece of a one-way print must lie as in the top: sides or legs on the grain, yardage."""
    upright = piece.kind in ("rectangle", "half-square triangle", "quarter-square triangle", "half-rectangle triangle")
    one_way = cloth.supply.form == "yardage" and (cloth.supply.one_way or cloth.supply.nap)
    return one_way and upright and len(piece.headings) == piece.count


def check_directions(plan: CuttingPlan, pieces: Mapping[tuple[str, str | None, str], Piece]) -> None:
    """Check that in each direction no more pieces of a one-way print lie than in the top."""
    for (slot, fabric, piece_id), piece in pieces.items():
        lie: Counter[int] = Counter()
        nap = False
        for cloth in plan.cloths:
            of = cloth.supply.slot == slot and fabric in (cloth.supply.fabric, None)
            if not of or not lies_as_in_top(piece, cloth):
                continue
            nap = nap or cloth.supply.nap
            for cut in (cut for strip in cloth.strips for cut in strip.cuts if cut.piece == piece_id):
                lie.update(_find_quarter(_find_heading(shape.outline), piece, nap=nap) for shape in cut.shapes)
        there = Counter(_find_quarter(heading, piece, nap=nap) for heading in piece.headings)
        for quarter, count in lie.items():
            if count > there[quarter]:
                raise CheckError(
                    f"{fabric or slot}: {count} of {piece_id} lie turned by {90 * quarter}° in a one-way print, in the"
                    f" top {there[quarter]} do"
                )


def _find_heading(outline: Sequence[tuple[float, float]]) -> float:
    """Return the direction of the first edge in degrees."""
    (x0, y0), (x1, y1) = outline[:2]
    return degrees(atan2(y1 - y0, x1 - x0))


def _find_quarter(heading: float, piece: Piece, *, nap: bool) -> int:
    """Return the quarter turn nearest to a direction; upside down counts separately on a nap, except for rectangles."""
    quarters = 4 if nap and piece.kind != "rectangle" else 2
    return int((heading % 360 + 22.5) // 90) % quarters
