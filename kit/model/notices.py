"""What a maker should know of a design although it can be made: values, which the words of the kit tell."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class UnlikeCorners:
    """Kinds of unit that lie in turn, with unlike ones at the corners.

    Attributes
    ----------
    across, down
        How many lie side by side and one below the other.
    corners
        The units at the upper left, upper right, lower right and lower left.
    """

    across: int
    down: int
    corners: tuple[str, str, str, str]
