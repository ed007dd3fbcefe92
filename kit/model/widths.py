"""What changes with the width of the cloth."""

from dataclasses import dataclass

from kit.model.fabrics import Supply
from kit.model.pattern import Sketch


@dataclass(frozen=True)
class WidthRow:
    """The cloth that one usable width takes.

    Attributes
    ----------
    width
        Usable width, inches.
    cloth, bound
        Inches of length without squaring up, and the proven least; nought where it cannot be cut.
    as_bought
        Inches of length with squaring up, before washing; nought where it cannot be cut.
    enough_from
        The least width, in half inches, from which this length suffices, as far as the next narrower row; inches.
    short
        What cannot be cut at this width, in words; empty where all can.
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
    """Every fabric of a sketch that is bought by the length, on several usable widths."""

    sketch: Sketch
    fabrics: tuple[FabricWidths, ...]
