"""Pieces as wide as the strips that they come from: a roll stays as wide as it is, whatever the marks of the ruler."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from kit.geometry.outlines import TOLERANCE
from kit.model.cutting import CutList
from kit.model.fabrics import Fabric


def keep_strip_widths(cuts: CutList, fabrics: Sequence[Fabric]) -> CutList:
    """Return the cut list with no piece wider than its strip.

    A strip of a roll, or a square of a pack, is not cut to the ruler: where all fabrics of a slot come so, in one
    width, a measure of exactly that width is not rounded up. A roll of 6.35 cm gives squares of 6.35 cm, not of 6.4 cm.

    Parameters
    ----------
    cuts
        The pieces, their measures rounded up.
    fabrics
        Every fabric of the study.
    """
    widths: dict[str, set[float | None]] = defaultdict(set)
    for fabric in fabrics:
        pre_cut = fabric.form in ("strips", "squares") and not fabric.shrinkage
        widths[fabric.slot].add(float(fabric.width) if pre_cut else None)
    pieces = []
    for piece in cuts.pieces:
        width = next(iter(widths[piece.slot])) if len(widths[piece.slot]) == 1 else None
        if width is None:
            pieces.append(piece)
            continue
        as_wide = {
            name for name, size in piece.cut.items() if abs(size - width) < TOLERANCE < piece.rounded[name] - width
        }
        rounded = {name: width if name in as_wide else size for name, size in piece.rounded.items()}
        pieces.append(replace(piece, rounded=rounded) if as_wide else piece)
    return replace(cuts, pieces=tuple(pieces))
