"""Threads in words: the use and the length of each."""

from math import ceil

from kit.lengths import SLACK, YARD, System
from kit.model.finishing import FinishingPlan
from kit.model.finishing_figures import ThreadLine


def name_thread(line: ThreadLine, plan: FinishingPlan) -> str:
    """Return the use of a thread, with its colour if the quilting has several."""
    if line.colour in ("piecing", "quilting"):
        return line.colour
    several = sum(1 for other in plan.thread.lines if other.colour != "piecing") > 1
    return f"quilting, {line.colour}" if several else "quilting"


def write_thread(inches: float, system: System) -> str:
    r"""Write a length of thread in whole yards or metres, rounded up.

    Examples
    --------
    >>> write_thread(70.0, "inch").replace("\xa0", " "), write_thread(70.0, "metric").replace("\xa0", " ")
    ('2 yd', '2 m')
    """
    per, unit = (YARD / 0.9144, "m") if system == "metric" else (YARD, "yd")
    return f"{ceil(inches / per - SLACK)}\N{NO-BREAK SPACE}{unit}"
