"""Batting: the smallest package that holds the quilt, turned or not, or lengths off the roll."""

from collections.abc import Iterator
from math import ceil

from kit.errors import KitError, NoPlanError
from kit.lengths import SLACK, System, write_length, write_refused
from kit.model.finishing import FinishingWishes
from kit.model.finishing_figures import GapVerdict
from kit.model.finishing_parts import Batting, BattingPlan


def plan_batting(width: float, height: float, wishes: FinishingWishes, system: System = "inch") -> BattingPlan:
    """Plan the batting: as large as the backing; the fewest joins first, then the least area.

    Lengths off the roll are butted edge to edge, without allowance.

    Parameters
    ----------
    width, height
        Finished size of the top.
    system
        The system for lengths in a message.

    Raises
    ------
    NoPlanError
        No package holds it and there is no roll.
    """
    needed = (width + 2 * wishes.overhang_sides, height + 2 * wishes.overhang_ends)
    ways = [
        way
        for way in (*_open_packages(needed, wishes), *_cut_rolls(needed, wishes))
        if wishes.batting in ("fewest joins", way.way)
    ]
    ranked = tuple(sorted(ways, key=lambda way: (way.joins, way.area, way.name, way.turned)))
    if not ranked:
        largest = max(wishes.batting_packages, key=lambda package: package[1] * package[2], default=("none", 0.0, 0.0))
        raise NoPlanError(
            f"no batting holds {write_length(needed[0], system)} by {write_length(needed[1], system)}; the largest"
            f" package is {largest[0]}, {write_length(largest[1], system)} by {write_length(largest[2], system)}",
            needed="a package that holds the quilt and its overhang, or a roll",
            do="name a roll under batting_rolls"
            if wishes.batting == "roll"
            else 'name a larger package, or write batting = "roll"',
        )
    return BattingPlan(needed, ranked[0], ranked)


def _open_packages(needed: tuple[float, float], wishes: FinishingWishes) -> Iterator[Batting]:
    wide, high = needed
    for name, w, h in wishes.batting_packages:
        if wide <= w + SLACK and high <= h + SLACK:
            yield Batting("package", name, (w, h), turned=False, joins=0)
        elif wide <= h + SLACK and high <= w + SLACK:
            yield Batting("package", name, (w, h), turned=True, joins=0)


def _cut_rolls(needed: tuple[float, float], wishes: FinishingWishes) -> Iterator[Batting]:
    for roll in wishes.batting_rolls:
        for turned in (False, True) if needed[0] != needed[1] else (False,):
            across, along = needed[::-1] if turned else needed
            count = ceil((across - SLACK) / roll)
            yield Batting("roll", "roll", (roll, count * along), turned, count - 1)


def compare_gap(gap: float, limit: float) -> GapVerdict:
    """Compare the widest unquilted gap with the limit of the batting.

    Parameters
    ----------
    gap, limit
        Inches.

    Raises
    ------
    KitError
        A gap or a limit that is not a length.

    Examples
    --------
    >>> compare_gap(2, 3).passes, compare_gap(5, 3).passes, compare_gap(5, 8).passes
    (True, False, True)
    """
    if not (gap >= 0 and limit > 0):
        raise KitError(
            f"the gap is {write_refused(gap)} and the batting's limit {write_refused(limit)}",
            needed="a gap of zero or more and a limit above zero",
            do="read the limit on the batting's wrapper",
        )
    return GapVerdict(gap, limit)
