"""Triangles cut off strips with a ruler whose point is blunt: the strip, its triangles, and the point left out."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

Points: TypeAlias = Literal["true", "blunt"]
"""Which rulers the pattern has words for: those with a true point alone, or those with a blunt one too."""


@dataclass(frozen=True, slots=True)
class BluntCut:
    """One piece cut off strips with a blunt ruler, head to foot along the strip. Lengths in inches.

    Attributes
    ----------
    piece, fabric
        Id of the piece, and its fabric.
    base
        The edge of its outline that lies along the strip.
    strip
        Exact height of the strip: the finished height and two allowances.
    rounded
        The same on the ruler.
    true_strip
        The height on the ruler of a strip that holds the true point.
    long, short
        Exact width along the strip, cut as high as the ruler has it, at the base and at the blunt point.
    length
        Length of a strip.
    each
        Triangles from one strip.
    strips
        Strips needed.
    count
        Triangles needed.
    """

    piece: str
    fabric: str
    base: int
    strip: float
    rounded: float
    true_strip: float
    long: float
    short: float
    length: float
    each: int
    strips: int
    count: int
