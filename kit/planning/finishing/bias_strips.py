"""Bias strips counted by strips, never by area: from a parallelogram, one square, or lengths off the bolt."""

from math import floor, sqrt

from kit.errors import KitError
from kit.lengths import SLACK, System, write_length, write_refused

ROOT2 = sqrt(2)


def cut_parallelogram(width: float, edge: float, strip: float) -> tuple[int, float]:
    """Return the number of bias strips from a parallelogram of 45°, and the length of each.

    The strips run across its width and take strip·√2 along its straight edge.

    Parameters
    ----------
    width, edge
        Its width across the straight grain, and its edge along it, inches.
    strip
        Cut width of the strips, inches.

    Examples
    --------
    >>> count, length = cut_parallelogram(31, 20, 2.5)
    >>> count, round(length, 1)
    (5, 43.8)
    """
    if min(width, edge, strip) <= 0:
        raise KitError(
            f"bias strips of {write_refused(strip)} are wanted from cloth of"
            f" {write_refused(width, edge, joint=' by ')}",
            needed="three lengths above zero",
            do="correct the wrong one",
        )
    return floor((edge + SLACK) / (strip * ROOT2)), width * ROOT2


def measure_bias_square(side: float, strip: float, allowance: float = 0.0) -> tuple[int, float]:
    """Return the number of strips in one continuous bias strip from a square, and its length.

    Cut once from corner to corner and sewn along two straight edges, the square is a parallelogram of 45° as wide as
    its side; that seam takes two allowances off its other edge. Sewn into a tube, one strip out of step, each strip
    runs on into the next; each such join takes 2√2 allowances.

    Parameters
    ----------
    side, strip, allowance
        Inches; without an allowance it is the usual formula, floor(S / (w·√2))·S·√2, a little too long.

    Examples
    --------
    >>> count, length = measure_bias_square(18, 2.5)
    >>> count, round(length, 1)
    (5, 127.3)
    >>> count, length = measure_bias_square(18, 2.5, 0.25)
    >>> count, round(length, 1)
    (4, 99.7)
    """
    if side <= 2 * allowance:
        return 0, 0.0
    count, length = cut_parallelogram(side, side - 2 * allowance, strip)
    return count, max(0.0, count * length - (count - 1) * 2 * ROOT2 * allowance) if count else 0.0


def find_bias_square(needed: float, strip: float, allowance: float, largest: float, system: System = "inch") -> float:
    """Return the smallest side, in half inches, of a square that gives a continuous strip of a length.

    Raises
    ------
    KitError
        A square larger than the width of the cloth.
    """
    side = floor(2 * sqrt(needed * strip)) / 2
    while measure_bias_square(side, strip, allowance)[1] < needed - SLACK:
        side += 0.5
        if side > largest + SLACK:
            raise KitError(
                f"one square for {write_length(needed, system)} of bias strip {write_length(strip, system)} wide is"
                f" larger than the cloth, {write_length(largest, system)}",
                needed="a square that fits across the cloth",
                do='write binding_grain = "bias lengths", or use wider cloth',
            )
    return side
