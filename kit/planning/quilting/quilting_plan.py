"""The quilting plan: lines for every wish, one route along them, and the hold on the batting."""

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from itertools import pairwise

import numpy as np

from kit.errors import KitError
from kit.geometry.gaps import measure_clearance
from kit.geometry.outlines import measure_area
from kit.geometry.paths import find_holders
from kit.model.patchwork import Patchwork
from kit.model.quilting import SMALL, Gap, QuiltingPlan, QuiltLine, Strand, ThreadRun
from kit.model.quilting_wishes import QuiltingWishes
from kit.planning.quilting.draw_in import estimate_draw_in
from kit.planning.quilting.network import build_net
from kit.planning.quilting.panels import choose_cuts, list_panels
from kit.planning.quilting.regions import draft_lines, find_middle
from kit.planning.quilting.stitching_order import thread_net
from kit.planning.quilting.trapped_parts import find_held, free_trapped, gather_holders

__all__ = ["quilting_plan", "suit_wishes"]

STRAIGHT = ("ditch", "grid", "crosshatch")
"""Ways stitched at the speed of straight lines."""
WIDE = 2.0
"""Inches between the lines of a top without seams, or less for the batting's sake (common practice, no source)."""
MOST_OPEN = 200
"""The most places over the batting's limit in the list."""


def quilting_plan(patchwork: Patchwork, wishes: QuiltingWishes | None = None) -> QuiltingPlan:
    """Plan the quilting of a top.

    Draw the lines of each wish; divide them and the seams at their meetings; find a route with as few stops as panels,
    colours and islands allow and with little double stitching; measure thread, time, evenness and the widest gap.

    Parameters
    ----------
    patchwork
        The top.
    wishes
        The ways of stitching in their places, and the limits of batting and machine; None: in the ditch everywhere.

    Returns
    -------
    QuiltingPlan
        Its `holds` is True if it holds the batting; a plan that does not is returned, with the places.

    Raises
    ------
    KitError
        A part missing from the top, lines wider apart than the batting allows, a region too narrow for its way.

    Notes
    -----
    The route's length stands beside a proven bound (`kit.solvers.routing.trails`). A top of one patch stitched in the
    ditch has no lines and is refused. A queen-size top of 1,500 patches takes some 3 s.

    Examples
    --------
    Four seams of 2 in meet in the middle. A thread that begins there comes back along three of them, one that begins
    at the edge along two.

    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> squares = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for x in (0, 2) for y in (0, 2)]
    >>> plan = quilting_plan(patchwork_from_outlines(squares), QuiltingWishes(gap_limit=3))
    >>> plan.wished, plan.length, len(plan.runs), round(plan.gap.width, 3), plan.holds
    (8.0, 14.0, 1, 2.0, True)
    >>> quilting_plan(patchwork_from_outlines(squares), QuiltingWishes(begin="anywhere")).length
    12.0
    """
    with _pause_collecting():
        return _plan(patchwork, QuiltingWishes() if wishes is None else wishes)


@contextmanager
def _pause_collecting() -> Iterator[None]:
    """Keep Python from looking for cycles meanwhile: none of the hundreds of thousands of points is in one.

    The search through all of memory, again and again, would take a third of the time of a large plan.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def _plan(patchwork: Patchwork, wishes: QuiltingWishes) -> QuiltingPlan:
    """Plan the quilting of a top, stage by stage."""
    regions, lines, owners = draft_lines(patchwork, wishes)
    if not lines:
        raise KitError(
            "The quilting has no lines: there is no seam to stitch in the ditch",
            needed="at least one line",
            do="choose another way of stitching",
        )
    cuts = choose_cuts(patchwork, wishes.throat)
    panels = list_panels(patchwork.box, cuts)
    net = build_net(patchwork, regions, lines, owners, wishes.reach, cuts)
    colours = {line.id: line.colour for line in lines}
    threading = thread_net(net, colours, panels, cuts[0], find_middle(patchwork), wishes.begin)
    region_of = {line.id: line.region for line in lines}
    islands = tuple(sorted({region_of[net.strands[k].line] for k in threading.islands}))
    runs, trapped = _free_trapped(patchwork, threading.runs, net.strands, lines, owners)
    gap, gap_bound, gaps, open_gaps = _find_gaps(patchwork, lines, wishes.gap_limit)
    return QuiltingPlan(
        wishes,
        tuple(regions),
        tuple(lines),
        net.strands,
        panels,
        runs,
        threading.stops,
        sum(line.length for line in lines),
        sum(net.strands[stretch.strand].length for run in runs for stretch in run.stretches),
        threading.bound,
        islands,
        _measure_threads(runs, net.strands),
        _count_minutes(runs, net.strands, lines, wishes),
        gap,
        gap_bound,
        gaps,
        open_gaps,
        _measure_density(patchwork, lines, owners),
        estimate_draw_in([np.array(line.points) for line in lines], patchwork.mesh.trace_outside(), wishes.loft),
        trapped,
    )


def suit_wishes(patchwork: Patchwork, wishes: QuiltingWishes, seed: int = 0) -> QuiltingWishes:
    """Return the wishes of a study, with its seed, for its top.

    A top without seams cannot be stitched in the ditch, the usual way; it gets a crosshatch instead.

    Parameters
    ----------
    wishes
        The wishes of the study.
    seed
        The seed of the study.
    """
    wishes = replace(wishes, seed=seed)
    usual = len(wishes.stitchings) == 1 and wishes.stitchings[0].way == "ditch" and wishes.stitchings[0].where == "top"
    if usual and not (patchwork.mesh.twin >= 0).any():
        only = replace(wishes.stitchings[0], way="crosshatch", spacing=min(WIDE, wishes.gap_limit))
        wishes = replace(wishes, stitchings=(only,))
    return wishes


def _free_trapped(
    patchwork: Patchwork,
    runs: tuple[ThreadRun, ...],
    strands: Sequence[Strand],
    lines: Sequence[QuiltLine],
    owners: dict[int, str],
) -> tuple[tuple[ThreadRun, ...], tuple[str, ...]]:
    """Return the runs with the fewest trapped parts found, and these parts; none if every seam is stitched first."""
    held = find_held(patchwork, owners)
    ways = {line.id: line.way for line in lines}
    drawn = [k for k, strand in enumerate(strands) if strand.line and ways[strand.line] != "ditch"]
    if len(held) == len(patchwork.patches) or not drawn:
        return runs, ()
    fine = [_refine(np.array(strands[k].points)) for k in drawn]
    middles = np.concatenate([(path[1:] + path[:-1]) / 2 for path in fine])
    owner = np.repeat(drawn, [len(path) - 1 for path in fine])
    holders = gather_holders(find_holders([p.outline for p in patchwork.patches], middles), owner, len(strands))
    return free_trapped(patchwork, runs, strands, ways, holders, held)


def _measure_threads(runs: Sequence[ThreadRun], strands: Sequence[Strand]) -> dict[str, float]:
    """Return the inches along the route of each colour."""
    threads: dict[str, float] = {}
    for run in runs:
        threads[run.colour] = threads.get(run.colour, 0.0) + sum(
            strands[stretch.strand].length for stretch in run.stretches
        )
    return dict(sorted(threads.items()))


def _count_minutes(
    runs: Sequence[ThreadRun], strands: Sequence[Strand], lines: Sequence[QuiltLine], wishes: QuiltingWishes
) -> float:
    curved = {line.id for line in lines if line.way not in STRAIGHT}
    minutes = len(runs) * wishes.stop_minutes
    for run in runs:
        for stretch in run.stretches:
            strand = strands[stretch.strand]
            minutes += strand.length / (wishes.curve_speed if strand.line in curved else wishes.straight_speed)
    return minutes


def _find_gaps(
    patchwork: Patchwork, lines: Sequence[QuiltLine], limit: float
) -> tuple[Gap, float, tuple[Gap, ...], tuple[Gap, ...]]:
    """Return the widest circle, the bound, the widest of each slot, and circles over the limit that do not overlap.

    The edge of the quilt counts as stitched: the binding holds it.
    """
    loops = sorted(patchwork.mesh.trace_outside(), key=measure_area, reverse=True)
    clear = measure_clearance([np.array(line.points) for line in lines], tuple(loops))
    order = np.argsort(-np.round(clear.radii, 9), kind="stable")
    centres, radii = clear.centres[order], clear.radii[order]
    holders = find_holders([p.outline for p in patchwork.patches], centres)
    names = patchwork.slots
    index = {slot: k for k, slot in enumerate(names)}
    slots = np.array([*(index[p.slot] for p in patchwork.patches), -1])[holders]
    each = []
    for k, slot in enumerate(names):
        first = np.flatnonzero(slots == k)[:1].tolist()
        each += [_make_gap(centres[i], radii[i], slot) for i in first]
    each.sort(key=lambda gap: -gap.width)
    over: list[Gap] = []
    for i in np.flatnonzero(2 * radii > limit + SMALL).tolist():
        x, y = centres[i].tolist()
        if all(np.hypot(x - g.at[0], y - g.at[1]) >= radii[i] + g.width / 2 for g in over):
            over.append(_make_gap(centres[i], radii[i], names[slots[i]]))
        if len(over) >= MOST_OPEN:
            break
    widest = _make_gap(centres[0], radii[0], names[slots[0]])
    return widest, 2 * clear.bound, tuple(each), tuple(over)


def _make_gap(centre: np.ndarray, radius: float, where: str) -> Gap:
    return Gap((float(centre[0]), float(centre[1])), 2 * float(radius), where)


def _measure_density(
    patchwork: Patchwork, lines: Sequence[QuiltLine], owners: dict[int, str]
) -> dict[str, tuple[float, float]]:
    """Return for each slot its area and the inches of lines in it; a seam counts half to each side."""
    index = {slot: k for k, slot in enumerate(patchwork.slots)}
    area = np.zeros(len(index))
    inches = np.zeros(len(index) + 1)
    of_patch = np.array([*(index[p.slot] for p in patchwork.patches), len(index)])
    np.add.at(area, of_patch[:-1], [measure_area(p.outline) for p in patchwork.patches])
    mesh = patchwork.mesh
    sides = np.array(sorted(owners), dtype=np.int64)
    for face in (mesh.face[sides], mesh.face[mesh.twin[sides]]):
        np.add.at(inches, of_patch[face], mesh.lengths[sides] / 2)
    drawn = [np.array(line.points) for line in lines if line.way != "ditch"]
    if drawn:
        fine = [_refine(path) for path in drawn]
        middles = np.concatenate([(path[1:] + path[:-1]) / 2 for path in fine])
        lengths = np.concatenate([np.hypot(*np.diff(path, axis=0).T) for path in fine])
        np.add.at(inches, of_patch[find_holders([p.outline for p in patchwork.patches], middles)], lengths)
    return {slot: (float(area[k]), float(inches[k])) for slot, k in index.items()}


def _refine(path: np.ndarray) -> np.ndarray:
    """Return a path of few points in steps of a quarter inch; curves are as fine as that already."""
    if len(path) > 8:
        return path
    parts = []
    for a, b in pairwise(path):
        count = max(1, int(np.hypot(*(b - a)) / 0.25))
        parts.append(a + (b - a) * np.linspace(0, 1, count + 1)[:-1, None])
    return np.concatenate([*parts, path[-1:]])
