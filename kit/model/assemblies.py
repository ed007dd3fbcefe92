"""Prices of the ways in which a top may go together."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from kit.model.sewing import Assembly
from kit.progress import Progress, report

PricedWay: TypeAlias = Assembly | Literal["straight seams only"]
"""A way of putting a top together; "straight seams only" splits patches so that every seam runs straight through."""


@dataclass(frozen=True, slots=True)
class AssemblyPrice:
    """What one way of putting a top together costs, every piece cut and every seam sewn by itself.

    Attributes
    ----------
    way
        The way.
    chosen
        Whether the pattern goes together so.
    pieces
        Pieces cut.
    written
        Written steps; see `SewingPlan.written`.
    seams
        Stretches sewn in one go, with all copies: a partial seam is two, a set-in seam one for each leg.
    partial, set_in
        Partial and set-in seams, with all copies.
    cloth
        Inches of cloth off the bolt of all fabrics together, and what comes in other forms in whole pieces.
    minutes
        Minutes for cutting the pieces and sewing the seams, at the maker's own speeds.
    refused
        Why the top does not go together so; then all figures are 0.
    """

    way: PricedWay
    chosen: bool = False
    pieces: int = 0
    written: int = 0
    seams: int = 0
    partial: int = 0
    set_in: int = 0
    cloth: float = 0.0
    minutes: float = 0.0
    refused: str = ""


PriceAssemblies: TypeAlias = Callable[[Progress], tuple[AssemblyPrice, ...]]
"""Prices every way: work of a second or more, done when the table is wanted."""


def price_nothing(progress: Progress) -> tuple[AssemblyPrice, ...]:
    """Price no way; a pattern that was put together by hand knows none."""
    report(progress, "no way of putting the top together", 0, 0)
    return ()
