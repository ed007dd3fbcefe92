"""A sewing plan in human hands: finished sizes of many rehearsals, and seams with sides that will not meet."""

from dataclasses import dataclass

from kit.model.notices import Notice


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two parts sewn together, and the mismatch of their edges; inches.

    Attributes
    ----------
    step
        Number of the step, for the first copy of its unit.
    unit
        Name of the unit.
    seams
        The number of seams ending in the edge of the first part, and of the added part.
    short
        Average shortfall of each edge; negative if long.
    mismatch
        Average shortfall of the first edge against the second; negative if it is longer.
    worst
        The limit of the mismatch, either way, in nineteen rehearsals of twenty.
    """

    step: int
    unit: str
    seams: tuple[int, int]
    short: tuple[float, float]
    mismatch: float
    worst: float


@dataclass(frozen=True)
class HandRehearsal:
    """Many rehearsals of one plan, each seam and each cut a little off; inches.

    Attributes
    ----------
    design
        Designed finished (width, height).
    width, height
        Finished width and height of each rehearsal, averaged over lines across the top.
    meetings
        Seams with an average mismatch over the limit, or over it in more than one rehearsal of twenty; the worst
        first.
    limit
        The most that can be eased in without a pucker.
    assumptions
        What is printed with the result.
    """

    design: tuple[float, float]
    width: tuple[float, ...]
    height: tuple[float, ...]
    meetings: tuple[Meeting, ...]
    limit: float
    assumptions: tuple[Notice, ...]

    @property
    def expected(self) -> tuple[float, float]:
        """Mean finished (width, height)."""
        return sum(self.width) / len(self.width), sum(self.height) / len(self.height)

    def spread(self, share: float = 0.9) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return the range of widths and the range of heights of the middle share of the rehearsals."""
        return _middle(self.width, share), _middle(self.height, share)


def _middle(values: tuple[float, ...], share: float) -> tuple[float, float]:
    ranked = sorted(values)
    last = len(ranked) - 1
    low = (1 - share) / 2
    return ranked[round(low * last)], ranked[round((1 - low) * last)]
