"""Parts of a top that repeat: their copies, how each copy lies, the parts inside them, and a bound."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PartMove:
    """How a copy of a part lies: the first copy mirrored in the y axis or not, turned about the origin, then moved.

    Attributes
    ----------
    mirrored
        Whether x becomes -x first.
    degrees
        Turn counter-clockwise, 0 to 360.
    dx, dy
        Inches.
    """

    mirrored: bool
    degrees: float
    dx: float
    dy: float


@dataclass(frozen=True)
class AlikePart:
    """A part that repeats.

    Attributes
    ----------
    copies
        The patches of every copy in the whole top, in corresponding order; the first copy is the pattern, of the
        hand that more copies have.
    moves
        How each copy comes from the first; the first does not move.
    inside
        Parts found inside; their copies lie in all copies of this part.
    """

    copies: tuple[tuple[int, ...], ...]
    moves: tuple[PartMove, ...]
    inside: tuple["AlikePart", ...] = ()

    @property
    def size(self) -> int:
        """How many patches a copy has."""
        return len(self.copies[0])

    @property
    def mirrored(self) -> tuple[bool, ...]:
        """For each copy whether it is a mirror image of the first; never so where the part is its own mirror image."""
        return tuple(move.mirrored for move in self.moves)


@dataclass(frozen=True)
class FoundParts:
    """What was found in a top.

    Attributes
    ----------
    parts
        Parts that repeat, no two of them overlapping, those of more patches first; each with those inside it.
    largest_part
        The part of most patches that was found; None when nothing repeats. Often it is the first of the parts;
        where it is not, the parts need fewer written joins than it would.
    bound
        No part that repeats has more patches.
    joins
        How many joins are written when copies are written once; without parts one less than there are patches.
    """

    parts: tuple[AlikePart, ...]
    largest_part: AlikePart | None
    bound: int
    joins: int

    @property
    def largest(self) -> int:
        """How many patches the largest part has; zero when nothing repeats."""
        return self.largest_part.size if self.largest_part else 0

    @property
    def proved(self) -> bool:
        """True if no part can be larger."""
        return self.largest == self.bound
