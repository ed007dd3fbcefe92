"""The check of lengths that are joined: long enough, no bit too short, and no seam near the end of a piece."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from kit.errors import CheckError
from kit.model.cutting import ClothPlan, Cut, Piece

SLIP = 1e-4
"""Inches: the tolerance between two figures."""
SHORTEST_JOINED = 4.0
"""Inches: a hand's width; no shorter bit is sewn into a long piece (common practice, no source)."""
SHARE = 3
"""Of cloth narrower than three hands the third takes its place: not everywhere can a bit and its seams have more."""
SEEN = 1 / 16 + SLIP
"""Inches: the most by which a print is off at a seam before one sees it (common practice, no source)."""
STEP = 0.125
"""Inches: the coarsest usual marks of a ruler."""


def check_joins(name: str, cloth: ClothPlan, pieces: Mapping[str, Piece], allowance: float) -> None:
    """Check that strips joined end to end, two allowances lost at each join, are as long as their pieces together."""
    lengths: dict[str, list[Cut]] = defaultdict(list)
    for strip in cloth.strips:
        for cut in strip.cuts:
            if cut.joined:
                lengths[cut.piece].append(cut)
    for piece_id, cuts in lengths.items():
        piece = pieces[piece_id]
        count = sum(cut.count for cut in cuts)
        rows = count if cloth.supply.runs_on and count else 1
        total = sum(cut.width for cut in cuts) - 2 * allowance * (len(cuts) - rows)
        each = [x for x, _ in piece.outline]
        need = count * max(*piece.rounded.values(), max(each) - min(each))
        if total < need - SLIP or piece.kind not in ("rectangle", "trapezoid", "parallelogram"):
            raise CheckError(f"{name}: joined strips for {piece_id} are {total:g} in long, {need:g} in are needed")
        least = min(cut.width for cut in cuts)
        if least < min(SHORTEST_JOINED, cloth.strips[0].length / SHARE) - SLIP:
            raise CheckError(
                f"{name}: a length of {least:g} in is joined for {piece_id}, "
                "shorter than a hand's width or a third of the cloth"
            )
        if min(cut.height for cut in cuts) < min(piece.cut.values()) - SLIP:
            raise CheckError(
                f"{name}: a joined strip for {piece_id} is narrower than {min(piece.rounded.values()):g} in"
            )
        if cloth.supply.runs_on:
            _check_print_runs_on(name, cloth, piece_id, len(cuts) // rows, allowance)
        else:
            _check_seams(name, cloth, piece, cuts, allowance)


def _check_print_runs_on(name: str, cloth: ClothPlan, piece: str, parts: int, allowance: float) -> None:
    """Check that every length for a piece begins in the print where the one before it ends, less the seam."""
    repeat = cloth.supply.print_repeat
    laid = [
        (cut, strip.start or 0.0) for strip in cloth.strips for cut in strip.cuts if cut.joined and cut.piece == piece
    ]
    laid.sort(key=lambda one: one[0].order)
    if repeat is None or [cut.order for cut, _ in laid] != list(range(1, len(laid) + 1)) or len(laid) % parts:
        raise CheckError(f"{name}: the lengths for {piece} are not numbered piece by piece")
    for number, (cut, start) in enumerate(laid):
        before, begin = laid[0] if number % parts == 0 else laid[number - 1]
        here = before.x if number % parts == 0 else before.x + before.width - 2 * allowance
        for way, length, off in (("across", repeat.across, cut.x - here), ("along", repeat.along, start - begin)):
            if length is not None and abs(off - round(off / length) * length) > SEEN:
                raise CheckError(f"{name}: in {piece} the print does not run on {way} the cloth, at length {cut.order}")


def _check_seams(name: str, cloth: ClothPlan, piece: Piece, cuts: Sequence[Cut], allowance: float) -> None:
    """Check that, joined in their order, no seam lies within a hand's width of an end of a piece.

    Of cloth narrower than three hands it is a third; every length may be a step too long.
    """
    order = sorted(cuts, key=lambda cut: cut.order)
    if not all(cut.order for cut in order):
        return
    if [cut.order for cut in order] != list(range(1, len(order) + 1)):
        raise CheckError(f"{name}: the lengths for {piece.id} are not numbered one after another")
    each = [x for x, _ in piece.outline]
    long = max(*piece.rounded.values(), max(each) - min(each))
    apart = min(SHORTEST_JOINED, cloth.strips[0].length / SHARE)
    at = -allowance
    for number, cut in enumerate(order[:-1], start=1):
        at += cut.width - (2 * allowance if number > 1 else 0.0)
        off = abs(at - round(at / long) * long)
        if off < apart - STEP * len(order) - SLIP:
            raise CheckError(f"{name}: in {piece.id} seam {number} lies {off:g} in from an end")
