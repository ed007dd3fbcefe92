"""Chain piecing: which seams are sewn one after another without cutting the thread, chain by chain."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ChainLink:
    """The seams of one step, or of the batches of one kind of unit, in one chain.

    Attributes
    ----------
    step
        Number of the step; 0 for batches.
    made
        Id of the units made several at a time; empty for a step.
    count
        Seams in the chain: one for each copy that is still to be sewn.
    """

    step: int
    made: str
    count: int


@dataclass(frozen=True, slots=True)
class Chain:
    """Seams whose parts are all ready before the first of them is sewn.

    Attributes
    ----------
    number
        From 1, in the order of working.
    links
        What is fed through, in the order of the steps.
    minutes
        At the maker's pace for a seam.
    """

    number: int
    links: tuple[ChainLink, ...]
    minutes: float

    @property
    def seams(self) -> int:
        """Seams in the chain."""
        return sum(link.count for link in self.links)
