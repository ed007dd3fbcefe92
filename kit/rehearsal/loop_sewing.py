"""Strip sets and loops sewn: strips side by side, first to last where told, cut across, opened, cut down, added to."""

from collections import Counter
from itertools import pairwise

from kit.model.making import Made
from kit.model.strip_sets import SetSegment
from kit.rehearsal.flat_cloth import CannotMakeError, ClothSheet, Seam, cut_off, cut_sheet, move_sheet, sew_open

SLIP = 1e-4
"""Inches by which two figures may differ."""

Box = tuple[float, float, float, float]


def sew_segments(made: Made, allowance: float) -> list[tuple[ClothSheet, Box]]:
    """Sew the strip sets of a plan from printed sizes, and return each unit with its trimmed box.

    Parameters
    ----------
    made
        Strip sets with segments of their own.
    allowance
        Seam allowance, inches.

    Raises
    ------
    CannotMakeError
        Strips of two lengths in one set, segments that take more than the set has, a segment opened where no seam
        is, or a strip to be sewn on that no segment yields.
    """
    m = len(made.fabrics)
    for number, length in enumerate(made.lengths):
        strips = [made.sizes[use] for use in made.uses[number * m : (number + 1) * m]]
        if any(abs(long - length) > SLIP for long, _ in strips):
            raise CannotMakeError(f"set {number + 1} is {length:.4f} in long, its strips are not")
        taken = sum(one.width for one in (*made.segments, *made.apart) if one.number == number)
        if taken > length + SLIP:
            raise CannotMakeError(f"segments of {taken:.4f} in are cut across a strip set {length:.4f} in long")
    pool: Counter[tuple[str, float, float]] = Counter()
    for one in made.apart:
        pool.update((fabric, width, one.width) for fabric, width in _list_strips(made, one.number))
    return [_make_segment(made, one, pool, allowance) for one in made.segments]


def _list_strips(made: Made, number: int) -> list[tuple[str, float]]:
    """Return the fabric and the printed width of each strip of a set."""
    m = len(made.fabrics)
    uses = made.uses[number * m : (number + 1) * m]
    return [(fabric, made.sizes[use][1]) for fabric, use in zip(made.fabrics, uses, strict=True)]


def _make_segment(
    made: Made, one: SetSegment, pool: Counter[tuple[str, float, float]], a: float
) -> tuple[ClothSheet, Box]:
    strips = _list_strips(made, one.number)
    m = len(strips)
    around = [(start + 1) % m for start in range(m if made.loop else m - 1)]  # the strip after each seam
    kept = [(one.start + i) % m for i in range(one.strips)]
    if one.strips > m or any(after not in around or after != (before + 1) % m for before, after in pairwise(kept)):
        raise CannotMakeError(f"a segment of {one.strips} strips from strip {one.start + 1} does not hang together")
    for end in (kept[0], (kept[-1] + 1) % m):
        opens = end in around
        edge = not made.loop and end == 0
        if not opens and not edge:
            raise CannotMakeError(f"there is no seam before strip {end + 1} at which a segment could be opened")
    parts = [strips[i] for i in kept]
    if one.added:
        fabric, width = strips[(kept[-1] + 1) % m]
        if not pool[fabric, width, one.width]:
            raise CannotMakeError(f"no segment that is taken apart gives another strip of {fabric}")
        pool[fabric, width, one.width] -= 1
        parts.append((fabric, width))
    sheet: ClothSheet = ()
    reach = 0.0
    for fabric, width in parts:
        strip = cut_sheet(width, one.width, fabric)
        if not sheet:
            sheet, reach = strip, width
            continue
        sheet = sew_open(sheet, move_sheet(strip, reach - width, 0.0), Seam(1.0, 0.0, reach - a), a)
        reach += width - 2 * a
    low, high = 0.0, reach
    if one.foot:
        low = _cut_down(parts[0][1], one.foot, a)
    if one.head:
        high = reach - _cut_down(parts[-1][1], one.head, a)
    sheet = cut_off(cut_off(sheet, -1.0, 0.0, -low), 1.0, 0.0, high)
    return move_sheet(sheet, -low, 0.0), (0.0, 0.0, high - low, one.finished + 2 * a)


def _cut_down(width: float, left: float, a: float) -> float:
    """Return what comes off the free edge of a strip that is to be narrower."""
    off = width - left - 2 * a
    if off < -SLIP:
        raise CannotMakeError(f"a strip {width:.4f} in wide is cut down to {left + 2 * a:.4f} in")
    return max(0.0, off)
