"""The cloth of a sketch on several usable widths."""

from collections.abc import Sequence
from dataclasses import replace

from kit.lengths import Length, take_lengths
from kit.model.pattern import Sketch
from kit.model.widths import FabricWidths, WidthTable
from kit.planning.cutting.cloth_widths import FINE, METRIC_FINE, METRIC_WIDTHS, WIDTHS, width_table
from kit.progress import Progress, keep_quiet, report
from kit.solvers.packing.search_state import Effort

SAME = 1e-6
"""Inches: widths that are no further apart are one."""


def compare_widths(
    sketch: Sketch,
    widths: Sequence[Length] | None = None,
    *,
    effort: Effort = "quick",
    progress: Progress = keep_quiet,
) -> WidthTable:
    """Plan every fabric bought by the length on several usable widths.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    widths
        Usable widths, inches or texts with their unit. Left out, the common ones of the study's system, and of each
        fabric its own.
    effort
        As for `make_sketch`; a quick plan may need a strip more than that of the pattern.
    progress
        Told before each fabric its name, how many are done, and how many there are.

    Returns
    -------
    WidthTable
        For `kit.tables.widths`.

    Raises
    ------
    KitError
        No width, or a width that is not positive.

    Notes
    -----
    Half a second to several seconds: each fabric is planned for every width, and for some widths in between.
    """
    metric = sketch.study.measures.system == "metric"
    usual, fine = (METRIC_WIDTHS, METRIC_FINE) if metric else (WIDTHS, FINE)
    named = None if widths is None else take_lengths(widths, "usable width")
    cloths = [plan.supply for plan in sketch.cutting.cloths if plan.supply.form == "yardage"]
    found, cuts = [], sketch.making.cut_list
    for number, supply in enumerate(cloths):
        report(progress, supply.fabric or supply.slot, number, len(cloths))
        free = replace(supply, length=None)
        usable = _add(usual, free.width) if named is None else named
        rows = width_table(cuts, free, usable, effort=effort, wishes=sketch.study.cloth, fine=fine)
        found.append(FabricWidths(free, rows))
    report(progress, "done", len(cloths), len(cloths))
    return WidthTable(sketch, tuple(found))


def _add(widths: Sequence[float], own: float) -> tuple[float, ...]:
    """Return the widths with one more, unless it is among them."""
    return (*(width for width in widths if abs(width - own) > SAME), own)
