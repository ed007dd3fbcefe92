"""Cutting on several usable widths: the same pieces on each, and the widths that save a strip."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from kit.errors import KitError
from kit.lengths import CM
from kit.model.cutting import LEAST_CLOTH, ClothWishes, CutList
from kit.model.fabrics import Supply
from kit.model.widths import WidthRow
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.solvers.packing.search_state import Effort

WIDTHS = (39.0, 40.0, 41.0, 42.0, 44.0)
"""The common range of usable widths, inches (common practice, no source)."""
METRIC_WIDTHS = tuple(width * CM for width in (100, 104, 107, 110, 112))
"""The same range in whole centimetres."""
FINE, METRIC_FINE = 0.5, CM
"""Inches: the accuracy of a threshold, half an inch or a centimetre."""


def width_table(
    cut_list: CutList,
    supply: Supply,
    widths: Sequence[float] = WIDTHS,
    *,
    effort: Effort = "steady",
    wishes: ClothWishes = LEAST_CLOTH,
    fine: float = FINE,
) -> tuple[WidthRow, ...]:
    """Plan one cloth on several usable widths, and find the least width for each length.

    A wider cloth gives everything that a narrower one does, so no row takes more than the one before it. Between two
    rows of different length the width is halved until the threshold is known to `fine`.

    Parameters
    ----------
    cut_list
        The pieces; only those of the supply's slot (and its fabric, if named) are planned.
    supply
        Yardage.
    widths
        Usable widths in inches.
    effort, wishes
        As for `kit.cutting_plan`.
    fine
        Inches: thresholds are found in steps of this from the narrower width.

    Raises
    ------
    KitError
        A supply that is not yardage, or no width.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> from kit.planning.pieces.cut_list import cut_list
    >>> squares = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for x in range(0, 40, 2) for y in range(0, 40, 2)]
    >>> table = width_table(cut_list(patchwork_from_outlines(squares)), Supply("patch"), (39, 40, 42.5))
    >>> [(row.width, row.cloth, row.enough_from) for row in table]
    [(39.0, 67.5, 39.0), (40.0, 62.5, 40.0), (42.5, 60.0, 42.5)]
    """
    if supply.form != "yardage":
        raise KitError(
            f"The supply for `{supply.slot}` comes as {supply.form}", needed="yardage", do="give a supply by the length"
        )
    if not widths:
        raise KitError("There is no width to try", needed="one usable width or more", do="name for instance 40 and 42")
    mine = tuple(
        piece for piece in cut_list.pieces
        if piece.slot == supply.slot and (supply.fabric is None or piece.fabric in (supply.fabric, None))
    )  # fmt: skip
    cuts = replace(cut_list, pieces=mine)

    def plan(width: float) -> WidthRow:
        made = cutting_plan(cuts, [replace(supply, width=width)], effort=effort, wishes=wishes)
        short = "; ".join(made.short.values())
        if short or not made.cloths:
            return WidthRow(width, 0.0, 0.0, 0.0, width, short)
        cloth = made.cloths[0]
        return WidthRow(width, cloth.used, cloth.bound, cloth.as_bought, width)

    rows: list[WidthRow] = []
    for width in sorted(map(float, widths)):
        row = plan(width)
        before = rows[-1] if rows and not rows[-1].short else None
        if before and (row.short or row.cloth >= before.cloth - 1e-6):
            bound = before.bound if row.short else min(row.bound, before.cloth)
            row = replace(before, width=width, bound=bound)
        elif rows and not row.short:
            row = replace(row, enough_from=_find_threshold(rows[-1].width, row, plan, fine))
        rows.append(row)
    return tuple(rows)


def _find_threshold(narrow: float, row: WidthRow, plan: Callable[[float], WidthRow], fine: float) -> float:
    """Return the least width for a length, between a width that needs more and one that does not."""
    low, high = narrow, row.width
    while high - low > fine + 1e-9:
        middle = low + fine * max(1, round((high - low) / fine) // 2)
        tried = plan(middle)
        low, high = (low, middle) if not tried.short and tried.cloth <= row.cloth + 1e-6 else (middle, high)
    return high
