"""Foundations: a block drawn on paper in sections, each sewn piece by piece along its lines."""

from collections.abc import Iterable
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Literal, TypeAlias

from kit.geometry.outlines import Outline, Point, measure_area, offset_outline

__all__ = ["EASE", "FoundationPlan", "PaperPiece", "PaperSection", "SectionJoin", "SectionJoinKind", "name_roles"]

EASE = 0.25
"""Inches that a rectangle of cloth reaches beyond what is needed, on every side (common practice, no source)."""

SectionJoinKind: TypeAlias = Literal["straight", "set in"]


@dataclass(frozen=True, slots=True)
class PaperPiece:
    """One piece on a foundation.

    Attributes
    ----------
    patch
        Id of its patch.
    number
        Its place in the order of its section, from 1.
    slot
        The role of its fabric.
    line
        The ends of the line that it is sewn along, in the block, inches; None for the first piece.
    rectangle
        The cloth as it lies when it is sewn and pressed open: four corners in the block, inches, the first two along
        the line.
    width, height
        Its cut size, along the line and away from it, rounded up, inches.
    grain
        The angle between its long edges and the straight grain that the design asks for, degrees, 0 to 45.
    """

    patch: str
    number: int
    slot: str
    line: tuple[Point, Point] | None
    rectangle: Outline
    width: float
    height: float
    grain: float


@dataclass(frozen=True, slots=True)
class PaperSection:
    """A part of the block that is sewn on one piece of paper.

    Attributes
    ----------
    name
        "1", "2": the number of its paper.
    pieces
        In the order of sewing.
    outline
        Its finished outline in the block, inches, counter-clockwise.
    """

    name: str
    pieces: tuple[PaperPiece, ...]
    outline: Outline


@dataclass(frozen=True, slots=True)
class SectionJoin:
    """Two parts of a block sewn together, each a section or several that are joined already.

    Attributes
    ----------
    first, second
        The names of the sections of each.
    kind
        "straight", or "set in" where the seam turns a corner.
    ends
        The ends of the seam in the block, inches.
    """

    first: tuple[str, ...]
    second: tuple[str, ...]
    kind: SectionJoinKind
    ends: tuple[Point, Point]


@dataclass(frozen=True)
class FoundationPlan:
    """How a block is sewn on paper.

    Attributes
    ----------
    sections
        In the order of their papers.
    joins
        How the sections go together, in order.
    least
        No order of straight seams takes fewer sections; equal to their number where they are proved to be the fewest.
    copies
        How many of the block the quilt has.
    allowance
        Seam allowance, inches.
    ease
        What each rectangle of cloth reaches beyond its need, inches.
    target
        The finished outlines of the patches in the block, inches. Only for comparison with the result.
    block
        The finished outline of the block, inches.
    name
        The name of the unit.
    mirrored
        How many of the copies are mirror images, for which the papers are printed the other way round.
    letters
        The letter of each slot, or fabric, where a pattern has given them letters; empty: A, B and so on.
    """

    sections: tuple[PaperSection, ...]
    joins: tuple[SectionJoin, ...]
    least: int
    copies: int
    allowance: float
    ease: float
    target: tuple[tuple[str, Outline], ...]
    block: Outline
    name: str
    mirrored: int = 0
    letters: tuple[tuple[str, str], ...] = ()

    def measure_waste(self, slot: str) -> float:
        """Return the part of a slot's rectangles that is trimmed away, seams and allowances left in."""
        outlines = dict(self.target)
        laid = [piece for section in self.sections for piece in section.pieces if piece.slot == slot]
        cut = sum(piece.width * piece.height for piece in laid)
        kept = sum(abs(measure_area(offset_outline(outlines[piece.patch], self.allowance))) for piece in laid)
        return max(0.0, 1 - kept / cut) if cut else 0.0

    @property
    def set_in(self) -> int:
        """The number of joins that are set in."""
        return sum(join.kind == "set in" for join in self.joins)

    @property
    def roles(self) -> dict[str, str]:
        """The letter of each slot's cloth."""
        used = sorted({piece.slot for section in self.sections for piece in section.pieces})
        given = dict(self.letters)
        return {slot: given[slot] for slot in used} if given else name_roles(used)


def name_roles(slots: Iterable[str]) -> dict[str, str]:
    """Return a letter for each slot: A to Z, then AA, AB and so on.

    Examples
    --------
    >>> name_roles(["sail", "sea"])
    {'sail': 'A', 'sea': 'B'}
    """
    letters = (first + second for first in ["", *ascii_uppercase] for second in ascii_uppercase)
    return dict(zip(slots, letters, strict=False))
