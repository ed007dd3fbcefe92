"""What changes with the width of the cloth: the same pieces on several usable widths, and where a strip is saved."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kit.errors import KitError
from kit.model.cutting import CutList
from kit.model.fabrics import Supply
from kit.passes.cutting import cutting_plan
from kit.passes.layouts import Effort

WIDTHS = (39.0, 40.0, 41.0, 42.0, 44.0)
"""Usable widths in inches between which cloth is commonly found (common practice, no source)."""


@dataclass(frozen=True)
class WidthRow:
    """The cloth that one usable width takes.

    Attributes
    ----------
    width
        Usable width, inches.
    cloth, bound
        Inches of length without squaring up, and the proven least.
    squaring_up
        Inches that squaring up takes on top.
    enough_from
        The least width, in half inches, from which this length suffices, as far as the next narrower row; inches.
    """

    width: float
    cloth: float
    bound: float
    squaring_up: float
    enough_from: float


def width_table(
    cut_list: CutList, supply: Supply, widths: Sequence[float] = WIDTHS, *, effort: Effort = "steady"
) -> tuple[WidthRow, ...]:
    """Plan one cloth on several usable widths, and find from which width on each length is enough.

    Between two rows of different length the width is halved until the threshold is known to half an inch.

    Parameters
    ----------
    cut_list
        The pieces; those of the supply's slot (and fabric, where it names one) are planned.
    supply
        Yardage.
    widths
        Usable widths in inches.
    effort
        As for `kit.cutting_plan`.

    Raises
    ------
    KitError
        A supply that is no yardage.
    """
    if supply.form != "yardage":
        raise KitError(
            f"The supply for `{supply.slot}` comes as {supply.form}", needed="yardage", do="give a supply by the length"
        )
    mine = tuple(
        piece for piece in cut_list.pieces
        if piece.slot == supply.slot and (supply.fabric is None or piece.fabric in (supply.fabric, None))
    )  # fmt: skip
    cuts = replace(cut_list, pieces=mine)

    def plan(width: float) -> tuple[float, float, float]:
        made = cutting_plan(cuts, [replace(supply, width=width)], effort=effort)
        slot = supply.slot
        return made.cloth.get(slot, 0.0), made.bound.get(slot, 0.0), made.squaring_up.get(slot, 0.0)

    rows: list[WidthRow] = []
    for width in sorted(widths):
        cloth, bound, squaring = plan(width)
        start = width
        if rows and cloth >= rows[-1].cloth - 1e-6:
            cloth, bound, start = rows[-1].cloth, min(bound, rows[-1].cloth), rows[-1].enough_from
        elif rows:
            low, high = rows[-1].width, width
            while high - low > 0.5 + 1e-9:
                middle = low + (round(high - low) / 2 if high - low > 1 else 0.5)
                low, high = (low, middle) if plan(middle)[0] <= cloth + 1e-6 else (middle, high)
            start = high
        rows.append(WidthRow(width, cloth, bound, squaring, start))
    return tuple(rows)
