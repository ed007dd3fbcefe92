"""Block sizes that divide well: their equal parts are on the ruler; and a remedy for blocks that do not."""

from dataclasses import dataclass
from math import ceil, floor

from kit.errors import KitError
from kit.lengths import Length, take_length

STEPS = (0.5, 0.25, 0.125)
"""The ruler's steps to try, coarsest first, inches."""


@dataclass(frozen=True, slots=True)
class FriendlySize:
    """A block size with parts on the ruler, in inches.

    Attributes
    ----------
    finished
        Finished size of the block.
    part, cut
        Size of one part: finished, and with its allowances.
    step
        The coarsest step of the ruler for the part.
    off
        How much larger than wanted the block is, negative if it is smaller.
    """

    finished: float
    part: float
    cut: float
    step: float
    off: float


def friendly_sizes(parts: int, near: Length, allowance: Length = 0.25) -> tuple[FriendlySize, ...]:
    """Return for each step of the ruler the block sizes just below and above a wanted one, the nearest first.

    Parameters
    ----------
    parts
        The number of equal parts across the block.
    near
        Its wanted finished size, inches or a text with its unit.
    allowance
        Seam allowance, inches or a text with its unit.

    Raises
    ------
    KitError
        No parts, or no size.

    Examples
    --------
    >>> [(size.finished, size.cut) for size in friendly_sizes(7, 12) if size.step == 0.5]
    [(10.5, 2.0), (14.0, 2.5)]
    """
    near, allowance = take_length(near, "block"), take_length(allowance, "allowance")
    _check(parts, near)
    found: dict[float, FriendlySize] = {}
    for step in STEPS:
        steps = near / parts / step
        for count in {max(1, floor(steps + 1e-9)), ceil(steps - 1e-9)}:
            part = count * step
            if part < 2 * allowance - 1e-9:
                continue
            size = part * parts
            found.setdefault(size, FriendlySize(size, part, part + 2 * allowance, step, size - near))
    return tuple(sorted(found.values(), key=lambda size: (abs(size.off), size.finished)))


def mix_parts(parts: int, finished: Length, step: Length = 0.125) -> tuple[tuple[int, float], ...]:
    """Return (number, finished size) of parts on the ruler, in at most two sizes, that add up to a block exactly.

    Parameters
    ----------
    parts
        The number of parts.
    finished
        The block, inches or a text with its unit; a whole number of steps.
    step
        Of the ruler, inches or a text with its unit.

    Raises
    ------
    KitError
        A block that is not a whole number of steps.

    Examples
    --------
    >>> mix_parts(7, 12)
    ((5, 1.75), (2, 1.625))
    """
    finished, step = take_length(finished, "block"), take_length(step, "step", zero_allowed=False)
    _check(parts, finished)
    total = round(finished / step)
    if abs(total * step - finished) > 1e-6 or total < parts:
        raise KitError(
            f"A block of {finished:g} in is not a whole number of steps of {step:g} in for {parts} parts",
            needed=f"a multiple of {step:g} in, at least {parts * step:g} in",
            do="take the nearest such size",
        )
    small, larger = divmod(total, parts)
    found = [(larger, (small + 1) * step), (parts - larger, small * step)]
    return tuple((count, size) for count, size in found if count)


def _check(parts: int, size: float) -> None:
    if not 1 <= parts <= 500 or not 0 < size <= 1_000:
        raise KitError(
            f"A block of {size:g} in in {parts} parts",
            needed="1 to 500 parts of a block from 0 to 1,000 in",
            do="correct the size or the number of parts",
        )
