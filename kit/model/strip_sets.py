"""Strip sets: strips sewn side by side, and the segments that are cut across them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class StripSets:
    """Strips sewn side by side and cut across.

    Attributes
    ----------
    sewn
        Unfinished width of a set, inches.
    per_set
        Segments from one set.
    sets
        Sets needed.
    strips
        Strips in all.
    rest
        Inches left of each full set.
    seams, cuts
        Long seams, and cuts across.
    """

    sewn: float
    per_set: int
    sets: int
    strips: int
    rest: float
    seams: int
    cuts: int


@dataclass(frozen=True, slots=True)
class Segment:
    """One segment cut across a strip set, and what becomes of it.

    Attributes
    ----------
    width
        Printed width of the cut across the set, inches.
    finished
        Finished width of the segment, inches.
    number
        The set that it is cut from, from 0.
    start
        The strip at its foot, from 0: a loop is opened at the seam before it.
    strips
        The number of strips that stay in it; fewer than the set has where it is opened twice.
    foot, head
        Finished width to which its first and its last strip are cut down; zero where they stay whole.
    added
        A strip of the fabric that follows is sewn to the head, from a segment of this width that is taken apart.
    """

    width: float
    finished: float
    number: int
    start: int
    strips: int
    foot: float = 0.0
    head: float = 0.0
    added: bool = False
