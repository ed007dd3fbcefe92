"""What is printed about cutting, as texts: what a stranger with the page has in hand, and nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from kit.geometry.outlines import Outline

Box: TypeAlias = tuple[str, float, float, float, float]
"""A piece's name and its place in a drawing: left, bottom, width, height, inches."""


@dataclass(frozen=True)
class PrintedLine:
    """One line of the cutting; `depth` is 0 for a line at the margin, 1 for a line under it, and so on."""

    text: str
    depth: int = 0


@dataclass(frozen=True)
class PrintedCloth:
    """The printed cutting of one fabric.

    Attributes
    ----------
    fabric
        Its name.
    form
        "yardage", "strips", "squares", "fat quarter", "fat eighth" or "remnant".
    size
        What is printed of the cloth: usable width and length needed of yardage, both sides of a pre-cut; texts.
    lines
        In the order of the page.
    drawings
        Name of a drawing that a line names -> its boxes.
    nap
        Whether it is cloth with a nap: every piece lies the same way up, and none is turned by half.
    repeat, motif
        Of a print that matters: repeat along and across, and the middle of the motif along and across; texts, empty in
        a direction that does not matter.
    piles
        Of cloth with a top: piece -> how many of its triangles the top needs of each diagonal, "rising" and "falling".
    """

    fabric: str
    form: str
    size: tuple[str, str]
    lines: tuple[PrintedLine, ...]
    drawings: Mapping[str, tuple[Box, ...]] = field(default_factory=dict)
    piles: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    nap: bool = False
    repeat: tuple[str, str] = ("", "")
    motif: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class PrintedPiece:
    """One row of the printed list of pieces, as texts; `count` is what is to be cut, less what is said to be short.

    `template` is the outline on its template page, inches, its lower edge along the strip; empty without a template.
    """

    id: str
    hand: str
    count: int
    cut: str
    template: Outline = ()


@dataclass(frozen=True)
class PrintedCutting:
    """Everything printed about cutting: allowance and ruler as texts, pieces, and the cutting of each fabric."""

    allowance: str
    ruler: str
    pieces: tuple[PrintedPiece, ...]
    cloths: tuple[PrintedCloth, ...]


@dataclass(frozen=True)
class WordsCut:
    """What came of cutting cloth by the printed lines alone.

    Attributes
    ----------
    lines, strips, pieces
        How many lines were followed, strips cut, and pieces held at the end.
    drawn
        How many of the lines name a drawing.
    faults
        Lines that cannot be done, each with its place and both figures; empty if everything came out.
    pile
        Piece -> how many came of the lines.
    """

    lines: int
    strips: int
    pieces: int
    drawn: int
    faults: tuple[str, ...] = ()
    pile: Mapping[str, int] = field(default_factory=dict)
