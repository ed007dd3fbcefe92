"""Cloth needed at various usable widths."""

from dataclasses import dataclass

from kit.model.fabrics import Supply
from kit.model.pattern import Sketch


@dataclass(frozen=True)
class WidthRow:
    """The cloth needed at one usable width.

    Attributes
    ----------
    width
        Usable width, inches.
    cloth, bound
        Inches of length without squaring up, and the proven least; zero if it cannot be cut.
    as_bought
        Inches of length with squaring up, before washing; zero if it cannot be cut.
    enough_from
        The least width with this length being enough, in half inches, down to the next narrower row; inches.
    short
        Pieces that cannot be cut at this width, in words; empty if all can.
    """

    width: float
    cloth: float
    bound: float
    as_bought: float
    enough_from: float
    short: str = ""


@dataclass(frozen=True)
class FabricWidths:
    """One fabric on several usable widths, from the narrowest."""

    supply: Supply
    rows: tuple[WidthRow, ...]


@dataclass(frozen=True)
class WidthTable:
    """Every fabric of a sketch bought by the length, on several usable widths."""

    sketch: Sketch
    fabrics: tuple[FabricWidths, ...]
