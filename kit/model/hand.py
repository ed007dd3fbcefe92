"""What a human hand makes of a sewing plan: finished sizes of many rehearsals, and seams whose sides will not meet."""

from dataclasses import dataclass

from kit.model.notices import Notice


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two parts that are sewn together, and how far their edges fail to meet; inches.

    Attributes
    ----------
    step
        Number of the step, for the first copy of its unit.
    unit
        Name of the unit.
    seams
        How many seams end in the edge of the part that lies, and of the part that is added.
    short
        By how much either edge comes out short on average; negative when long.
    mismatch
        By how much the first edge is shorter than the second on average; negative when it is longer.
    worst
        What the mismatch, either way, does not exceed in nineteen rehearsals of twenty.
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
        Finished (width, height) that is meant.
    width, height
        Finished width and height of each rehearsal, averaged over lines across the top.
    meetings
        Seams whose two sides do not meet on average by more than the limit, or exceed it in more than one rehearsal of
        twenty; the worst first.
    limit
        What can be eased in without a pucker.
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
        """Return between which widths, and between which heights, the middle share of the rehearsals lies."""
        return _middle(self.width, share), _middle(self.height, share)


def _middle(values: tuple[float, ...], share: float) -> tuple[float, float]:
    ranked = sorted(values)
    last = len(ranked) - 1
    low = (1 - share) / 2
    return ranked[round(low * last)], ranked[round((1 - low) * last)]
