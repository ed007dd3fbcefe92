"""Where the composing table stands, in words."""

from kit.explore.composing.sheet import ComposeSheet
from kit.geometry.outlines import measure_box
from kit.lengths import System, write_nearest

MOST = 3
"""Troubles that are told at once."""


def say_size(width: float, height: float, system: System) -> str:
    r"""Return a finished size in words, unit and "about" said once.

    Examples
    --------
    >>> say_size(5.0, 7.07, "inch").replace("\xa0", " "), say_size(20.0, 10.0, "metric").replace("\xa0", " ")
    ('about 5 × 7⅛ in', '50.8 × 25.4 cm')
    """
    said = [write_nearest(length, system) for length in (width, height)]
    near = "about " if any(one.startswith("about ") for one in said) else ""
    bare = [one.removeprefix("about ") for one in said]
    figure, _, unit = bare[0].rpartition("\xa0")
    if figure and bare[1].endswith(f"\xa0{unit}"):
        bare[0] = figure
    return near + " × ".join(bare)


def say_table(sheet: ComposeSheet) -> tuple[str, str]:
    """Return in words where the table stands, and the mood of the frame round them.

    Returns
    -------
    tuple
        The words, and "done", "warn" or "plain".
    """
    laid = sheet.shown.laid
    if laid.troubles:
        told = [
            f"{number}. {trouble.text}" if trouble.place else trouble.text
            for number, trouble in enumerate(laid.troubles[:MOST], start=1)
        ]
        more = len(laid.troubles) - MOST
        rest = f" And {more} more." if more > 0 else ""
        return "To mend: " + " ".join(told) + rest, "warn"
    if not laid.copies:
        return "Nothing lies on the table. Take a unit of the tray, or make one under New unit.", "plain"
    system = sheet.shown.study.measures.system
    left, bottom, right, top = measure_box(laid.outline or ())
    size = say_size(right - left, top - bottom, system)
    count, patches = len(laid.copies), sum(len(copy.unit.shapes) for copy in laid.copies)
    units = f"{count} {'unit' if count == 1 else 'units'}, {patches:,} {'patch' if patches == 1 else 'patches'}"
    why = sheet.explain(sheet.opened)
    if why:
        return f"It closes, {units}, finished {size}, and it cannot be made: {why}", "warn"
    return f"One piece, nothing open and nothing that overlaps: {units}, finished {size}.", "done"
