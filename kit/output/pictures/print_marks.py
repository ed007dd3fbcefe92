"""Marks of a print in the drawing of its cutting: where repeats begin, where motifs lie, where layers end."""

from collections.abc import Iterator
from math import ceil, floor

from kit.model.cutting import ClothPlan
from kit.model.prints import PrintRepeat
from kit.output.pictures.drawing import Line

DASH = (0.5, 0.5)
ARM = 0.6
"""Inches of cloth: half the height of the cross at a motif."""
MOST_MARKS = 600
"""Crosses in one drawing; of more, every row is marked at its ends alone."""


def draw_print_marks(cloth: ClothPlan, wide: float, high: float) -> Iterator[Line]:
    """Yield the marks of a print on a drawing whose lower edge is the lower edge of the first strip.

    A dashed line where a repeat begins, and a heavier one between two layers of a stack; a cross at the middle of every
    motif whose place is known.

    Parameters
    ----------
    cloth
        The plan of one cloth.
    wide, high
        Size of the drawn cloth, inches.
    """
    if not cloth.strips or cloth.strips[0].start is None:
        return
    if cloth.layer:
        for number in range(1, ceil(high / cloth.layer - 1e-6)):
            yield Line(((0.0, number * cloth.layer), (wide, number * cloth.layer)), 3.0)
        return
    repeat = cloth.supply.print_repeat or PrintRepeat()
    base = min(strip.start or 0.0 for strip in cloth.strips)
    rows = [] if repeat.along is None else [k * repeat.along - base for k in range(ceil((base + high) / repeat.along))]
    for y in rows:
        if 0 < y < high:
            yield Line(((0.0, y), (wide, y)), 1.0, DASH)
    yield from _draw_crosses(repeat, rows, wide, high)


def _draw_crosses(repeat: PrintRepeat, rows: list[float], wide: float, high: float) -> Iterator[Line]:
    if repeat.motif_across is None or repeat.across is None:
        return
    columns = [
        repeat.motif_across + k * repeat.across for k in range(floor((wide - repeat.motif_across) / repeat.across) + 1)
    ]
    if repeat.motif_along is None:
        for x in columns:
            yield Line(((x, 0.0), (x, high)), 1.0, DASH)
        return
    heights = [y + repeat.motif_along for y in rows if 0 <= y + repeat.motif_along <= high]
    few = columns if len(columns) * len(heights) <= MOST_MARKS else [columns[0], columns[-1]]
    for y in heights:
        for x in few:
            yield Line(((x - ARM, y), (x + ARM, y)), 1.5)
            yield Line(((x, y - ARM), (x, y + ARM)), 1.5)
