"""Spacers: the width of a plain frame that makes the units of the next frame fit along both sides.

A rectangle W by H takes units of length u if W / u and H / u are whole. A spacer of width a at the sides and b at the
ends makes it W + 2a by H + 2b. If W - H is a multiple of u, one width does for both; otherwise each has its own.
"""

from dataclasses import dataclass
from math import ceil

from kit.geometry.outlines import TOLERANCE
from kit.lengths import Length, take_length, take_lengths


@dataclass(frozen=True, slots=True)
class Spacer:
    """A plain frame inside a pieced one.

    Attributes
    ----------
    sides, ends
        Its finished width at the left and right, and at the top and bottom, inches; zero if not needed.
    across, down
        The number of units that then fit along the top and along the sides.
    """

    sides: float
    ends: float
    across: int
    down: int

    @property
    def needed(self) -> bool:
        """Whether the spacer has any width."""
        return self.sides > 0 or self.ends > 0


def count_units(length: float, unit: float) -> int | None:
    """Return the number of units in a length, None if they do not divide it."""
    count = round(length / unit)
    return count if count >= 1 and abs(count * unit - length) < TOLERANCE else None


def solve_spacer(width: Length, height: Length, unit: Length, least: Length, *, even: bool = False) -> Spacer:
    """Return the narrowest spacer that makes both sides whole multiples of a unit.

    Parameters
    ----------
    width, height
        Finished size of what the frame goes round; each length is inches, or a text with its unit.
    unit
        Finished length of a unit along the frame.
    least
        A spacer that is sewn at all is at least so wide, finished.
    even
        Whether each side needs an even number of units, as a mirrored side does.

    Returns
    -------
    Spacer
        Without width if the units fit already. One width all around if possible; otherwise each pair of strips has its
        own least width.

    Examples
    --------
    >>> solve_spacer(20, 20, 3, 0.5)
    Spacer(sides=0.5, ends=0.5, across=7, down=7)
    >>> solve_spacer(20, 25, 3, 0.5)
    Spacer(sides=0.5, ends=1.0, across=7, down=9)
    """
    width, height = take_lengths((width, height), "side")
    unit, least = take_length(unit, "unit", zero_allowed=False), take_length(least, "spacer")
    step = 2 * unit if even else unit
    fits = count_units(width, step), count_units(height, step)
    per = 2 if even else 1
    if fits[0] and fits[1]:
        return Spacer(0.0, 0.0, per * fits[0], per * fits[1])
    apart = abs(width - height) / step
    if abs(apart - round(apart)) * step < TOLERANCE:
        sides = ends = _widen(width, step, least)
    else:
        sides = 0.0 if fits[0] else _widen(width, step, least)
        ends = 0.0 if fits[1] else _widen(height, step, least)
    return Spacer(sides, ends, round((width + 2 * sides) / unit), round((height + 2 * ends) / unit))


def _widen(length: float, step: float, least: float) -> float:
    """Return the narrowest strip, not below the least, that extends a length to a multiple of the step."""
    count = ceil((length + 2 * least) / step - TOLERANCE / step)
    return (count * step - length) / 2


def list_unit_lengths(
    width: Length, height: Length, low: Length, high: Length, *, step: Length = 0.125, least: Length = 0.5
) -> tuple[tuple[float, Spacer], ...]:
    """Return every unit length on the ruler within a range, with its spacer, the narrowest spacer first.

    Parameters
    ----------
    width, height
        Finished size of what the frame goes round; each length is inches, or a text with its unit.
    low, high, step
        The range of unit lengths and the ruler's step.
    least
        The least width of a spacer.
    """
    low, high, step = take_length(low), take_length(high), take_length(step, "step", zero_allowed=False)
    units = [n * step for n in range(max(1, ceil(low / step - 1e-9)), int(high / step + 1e-9) + 1)]
    found = [(unit, solve_spacer(width, height, unit, least)) for unit in units]
    return tuple(sorted(found, key=lambda pair: (max(pair[1].sides, pair[1].ends), -pair[0])))
