"""Lengths of strip that are joined for a piece longer than the cloth is wide: how short one may be."""

LEAST_JOINED = 4.0
"""Inches: a hand's width; no shorter bit is joined into a long piece (common practice, no source)."""


def find_least_joined(room: float) -> float:
    """Return the shortest bit that is joined of cloth `room` wide, and the least way from a seam to an end, in inches.

    A hand's width, or a third of cloth narrower than three hands: cut so, there is always a way of joining. Both a
    longer bit and a longer way cannot be had everywhere.

    Examples
    --------
    >>> find_least_joined(40.0), find_least_joined(7.5)
    (4.0, 2.5)
    """
    return min(LEAST_JOINED, room / 3)
