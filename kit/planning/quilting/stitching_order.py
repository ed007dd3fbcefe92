"""The order of stitching: panel by panel from the middle, in each seams, then motifs, then fillers, on one thread."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from kit.geometry.outlines import TOLERANCE, Point
from kit.model.quilting import RouteStretch, StretchKind, ThreadEnd, ThreadRun
from kit.model.quilting_wishes import Beginning
from kit.planning.quilting.network import Net
from kit.planning.quilting.panels import Box
from kit.solvers.routing.trails import NetworkEdge, Trail, plan_trails


@dataclass(frozen=True)
class Threading:
    """The route over a net, its stops, and a lower bound on the length of any route."""

    runs: tuple[ThreadRun, ...]
    stops: tuple[ThreadEnd, ...]
    bound: float
    islands: tuple[int, ...]


def thread_net(
    net: Net,
    colours: dict[str, str],
    panels: Sequence[Box],
    axis: int,
    middle: Point,
    begin: Beginning = "middle",
) -> Threading:
    """Return the runs of thread that stitch every line of a net once, with the travel in between.

    In each panel the lines are taken stage by stage; consecutive stages of one colour share a thread. All stages but
    the last return to their beginning, the place nearest the middle of the quilt, so that the next continues there. A
    thread may travel along any seam, along lines of its stage or an earlier one, and over bridges. Lines beyond its
    reach get their own thread afterwards.

    Parameters
    ----------
    net
        Strands and places.
    colours
        Line id -> colour of its thread.
    panels, axis
        The panels in the order of working, and the axis of their row.
    middle
        Middle of the quilt.
    begin
        "middle", or "anywhere": each thread begins at the place with the shortest last stage, if its first stage passes
        there.
    """
    away = np.hypot(*(net.middles - middle).T).tolist()
    homes = _assign(net, panels, axis)
    runs: list[ThreadRun] = []
    bound = 0.0
    islands: list[int] = []
    for p, panel in enumerate(panels):
        inside = _list_inside(net, panel, axis, homes, p)
        groups: dict[tuple[int, str], list[int]] = {}
        for k in np.flatnonzero(homes == p).tolist():
            strand = net.strands[k]
            if strand.kind == "line":
                groups.setdefault((net.stages[k], colours[strand.line]), []).append(k)
        done: set[int] = set()
        for colour, chain in _chain(groups):
            stages = [(stage, groups[stage, colour]) for stage in chain]
            made, least, lone = _thread_stages(net, inside, stages, away, middle, done, begin)
            runs += [ThreadRun(p, colour, tuple(stretches)) for stretches in made]
            bound += least
            islands += lone
    return Threading(tuple(_name_travel(net, runs)), _list_stops(net, runs), bound, tuple(islands))


def _assign(net: Net, panels: Sequence[Box], axis: int) -> np.ndarray:
    """Return the panel of each strand, by its middle."""
    across = net.middles[:, axis]
    homes = np.zeros(len(across), dtype=np.int64)
    for p, panel in enumerate(panels):
        homes[(across >= panel[axis] - TOLERANCE) & (across <= panel[axis + 2] + TOLERANCE)] = p
    return homes


def _list_inside(net: Net, panel: Box, axis: int, homes: np.ndarray, p: int) -> list[int]:
    """Return the strands open to a thread in a panel: its own, and seams along its border."""
    across = net.places[:, axis]
    ok = (across >= panel[axis] - TOLERANCE) & (across <= panel[axis + 2] + TOLERANCE)
    ends = np.array(net.ends)
    within = ok[ends[:, 0]] & ok[ends[:, 1]]
    free = np.array([s.kind == "bridge" for s in net.strands]) | np.array(net.seams)
    return np.flatnonzero((homes == p) | (within & free)).tolist()


def _chain(groups: dict[tuple[int, str], list[int]]) -> list[tuple[str, list[int]]]:
    """Return colours, each with the stages stitched in one go; a stage begins with the colour in the needle."""
    order: list[tuple[int, str]] = []
    for _, keys in groupby(sorted(groups), key=lambda key: key[0]):
        now = order[-1][1] if order else ""
        order += sorted(keys, key=lambda key: (key[1] != now, key[1]))
    return [(colour, [stage for stage, _ in keys]) for colour, keys in groupby(order, key=lambda key: key[1])]


def _thread_stages(
    net: Net,
    inside: Sequence[int],
    stages: Sequence[tuple[int, list[int]]],
    away: Sequence[float],
    middle: Point,
    done: set[int],
    begin: Beginning,
) -> tuple[list[list[RouteStretch]], float, list[int]]:
    """Return the stretches of one thread through its stages, then those of each island, with a bound and the islands.

    The stitched strands are added to the finished ones.
    """
    main: list[RouteStretch] = []
    apart: list[list[RouteStretch]] = []
    lone: list[int] = []
    bound = 0.0
    anchor = _find_anchor(net, stages[0][1], middle)
    if begin == "anywhere":
        anchor = _find_cheapest(net, inside, stages, done, anchor)
    for n, (stage, wanted) in enumerate(stages):
        need = set(wanted)
        usable, edges = _list_edges(net, inside, stage, need, done)
        ranks = [away[k] for k in usable]
        trails = plan_trails(edges, closed=n + 1 < len(stages), start=anchor, ranks=ranks)
        bound += sum(trail.bound for trail in trails)
        done |= need
        for trail in trails:
            stretches = _write_stretches(trail, usable, need)
            if trail.start == anchor:
                main += stretches
            else:
                apart.append(stretches)
                lone.append(next(stretch.strand for stretch in stretches if stretch.kind == "stitch"))
    return ([main] if main else []) + apart, bound, lone


def _find_anchor(net: Net, wanted: Sequence[int], middle: Point) -> int:
    places = sorted({place for k in wanted for place in net.ends[k]})
    away = np.hypot(*(net.places[places] - middle).T)
    return places[int(np.argmin(np.round(away, 6)))]


def _find_cheapest(
    net: Net, inside: Sequence[int], stages: Sequence[tuple[int, list[int]]], done: set[int], anchor: int
) -> int:
    """Return the beginning of the last stage with both ends free, if the first stage passes there."""
    stage, wanted = stages[-1]
    before = done.union(*(earlier for _, earlier in stages[:-1]))
    _, edges = _list_edges(net, inside, stage, set(wanted), before)
    start = plan_trails(edges, closed=False)[0].start
    return start if any(start in net.ends[k] for k in stages[0][1]) else anchor


def _list_edges(
    net: Net, inside: Sequence[int], stage: int, need: set[int], done: set[int]
) -> tuple[list[int], list[NetworkEdge]]:
    """Return the strands open to a thread at a stage, and their edges."""
    bridges = {k for k in inside if net.strands[k].kind == "bridge" and net.stages[k] <= stage}
    usable = [k for k in inside if k in need or net.seams[k] or k in bridges or k in done]
    return usable, [NetworkEdge(*net.ends[k], net.strands[k].length, k in need) for k in usable]


def _write_stretches(trail: Trail, usable: Sequence[int], need: set[int]) -> list[RouteStretch]:
    stretches = []
    fresh = set(need)
    for step, back in trail.steps:
        k = usable[step]
        kind: StretchKind = "stitch" if k in fresh else "again"
        fresh.discard(k)
        stretches.append(RouteStretch(k, back, kind))
    return stretches


def _name_travel(net: Net, runs: Sequence[ThreadRun]) -> list[ThreadRun]:
    """Return the runs with travel named after its path."""
    named = []
    for run in runs:
        stretches = tuple(
            stretch if stretch.kind == "stitch" or net.strands[stretch.strand].kind == "line"
            else RouteStretch(stretch.strand, stretch.back, net.strands[stretch.strand].kind)  # type: ignore[arg-type]  # no line, so a kind of travel
            for stretch in run.stretches
        )  # fmt: skip
        named.append(ThreadRun(run.panel, run.colour, stretches))
    return named


def _list_stops(net: Net, runs: Sequence[ThreadRun]) -> tuple[ThreadEnd, ...]:
    stops = []
    for r, run in enumerate(runs):
        first, last = run.stretches[0], run.stretches[-1]
        points = net.strands[first.strand].points, net.strands[last.strand].points
        stops.append(ThreadEnd(r, "start", points[0][-1 if first.back else 0]))
        stops.append(ThreadEnd(r, "stop", points[1][0 if last.back else -1]))
    return tuple(stops)
