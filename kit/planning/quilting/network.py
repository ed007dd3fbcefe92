"""The network for a thread: wished lines, seams, and short bridges to islands, divided at their meetings."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

import numpy as np
from numpy.typing import NDArray

from kit.geometry.outlines import TOLERANCE, Point
from kit.geometry.paths import Path, bridge_paths, cross_levels, group_paths, locate_points, split_path
from kit.model.patchwork import Patchwork
from kit.model.quilting import QuiltLine, QuiltRegion, Strand, StrandKind

ATTACHED = ("ditch", "corner curves", "grid", "crosshatch", "meander", "rays", "clamshells")
"""Ways with lines that all begin on the edge of their region, on a seam, or on one another."""
CONCENTRIC = ("outline", "echo")
"""Ways with lines inside one another, best bridged one under the other."""


@dataclass(frozen=True, eq=False)
class Net:
    """Strands and their meeting places.

    Attributes
    ----------
    strands
        In the order: seams, lines, bridges.
    ends
        For each strand, the places at its two ends.
    places
        (n, 2) inches.
    middles
        (s, 2) a point half way along each strand.
    stages
        For each strand its stage: for a line, the stage of its stitching; for a bridge, its first stage; for a seam 0.
    seams
        Whether a strand lies along a seam or the edge, wished or not.
    """

    strands: tuple[Strand, ...]
    ends: tuple[tuple[int, int], ...]
    places: NDArray[np.float64]
    middles: NDArray[np.float64]
    stages: tuple[int, ...]
    seams: tuple[bool, ...]


def build_net(
    patchwork: Patchwork,
    regions: Sequence[QuiltRegion],
    lines: Sequence[QuiltLine],
    owners: dict[int, str],
    reach: float,
    cuts: tuple[int, tuple[float, ...]],
) -> Net:
    """Divide lines and seams at the ends of others on them, and at the borders of panels.

    Lines that cross one another without ending are not divided: the thread runs straight on.

    Parameters
    ----------
    patchwork, regions, lines, owners
        The drawing; `owners` names the line of each seam of the mesh stitched in the ditch.
    reach
        Inches of the longest bridge.
    cuts
        The axis across which panels follow one another, and the levels between them.

    Notes
    -----
    O(n log n); 10,000 lines take some 0.5 s.
    """
    mesh = patchwork.mesh
    sides = [side for side, twin in enumerate(mesh.twin.tolist()) if twin < side]
    sides = [int(mesh.twin[side]) if mesh.twin[side] >= 0 else side for side in sides]
    paths = [mesh.nodes[[mesh.start[side], mesh.end[side]]] for side in sides]
    names = [owners.get(side, "") for side in sides]
    drawn = [line for line in lines if line.way != "ditch"]
    shapes = [np.array(line.points) for line in drawn]
    bridges, served, crossings = _bridge_islands(regions, drawn, shapes, reach)
    levels = [point for path in (*paths, *shapes) for point in cross_levels(path, *cuts)] if cuts[1] else []
    every = [*paths, *shapes, *bridges]
    points = [np.array([path[0], path[-1]]) for path in (*shapes, *bridges)]
    marks = np.concatenate([*points, np.array([*levels, *crossings]).reshape(-1, 2), mesh.nodes])
    places = locate_points(every, marks)
    stage_of = {line.id: line.stage for line in lines}
    strands: list[Strand] = []
    middles: list[Point] = []
    stages, seams = [], []
    for k, (path, along) in enumerate(zip(every, places, strict=True)):
        on_seam = k < len(paths)
        bridge = k >= len(paths) + len(drawn)
        line = names[k] if on_seam else served[k - len(paths) - len(drawn)] if bridge else drawn[k - len(paths)].id
        kind: StrandKind = "bridge" if bridge else "line" if line else "seam"
        for part in split_path(path, along):
            strand, middle = _make_strand(kind, "" if bridge else line, part)
            strands.append(strand)
            middles.append(middle)
            stages.append(stage_of[line] if line else 0)
            seams.append(on_seam)
    if cuts[1]:
        joints = _join_along_cuts(strands, stages, cuts, reach)
        strands += [joint for joint, _, _ in joints]
        middles += [middle for _, middle, _ in joints]
        stages += [stage for _, _, stage in joints]
        seams += [False] * len(joints)
    ends = np.array([(*s.points[0], *s.points[-1]) for s in strands]).reshape(-1, 2)
    spots, place = _find_places(ends)
    return Net(
        tuple(strands),
        tuple((a, b) for a, b in place.reshape(-1, 2).tolist()),
        spots,
        np.array(middles),
        tuple(stages),
        tuple(seams),
    )


def _make_strand(kind: StrandKind, line: str, path: Path) -> tuple[Strand, Point]:
    """Return a strand and the point half way along it."""
    if len(path) == 2:
        (ax, ay), (bx, by) = path.tolist()
        return Strand(kind, line, ((ax, ay), (bx, by)), hypot(bx - ax, by - ay)), ((ax + bx) / 2, (ay + by) / 2)
    step = np.diff(path, axis=0)
    at = np.concatenate([[0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))])
    length = float(at[-1])
    k = min(int(np.searchsorted(at, length / 2, side="right")), len(path) - 1)
    share = (length / 2 - at[k - 1]) / (at[k] - at[k - 1]) if at[k] > at[k - 1] else 0.0
    x, y = (path[k - 1] + share * step[k - 1]).tolist()
    return Strand(kind, line, tuple(map(tuple, path.tolist())), length), (x, y)


def _bridge_islands(
    regions: Sequence[QuiltRegion], lines: Sequence[QuiltLine], shapes: Sequence[Path], reach: float
) -> tuple[list[Path], list[str], list[Point]]:
    """Return a bridge for each group of lines apart, to the edge of its region or to a line already bridged.

    A group is lines that end on one another. Where a group crosses one already bridged, no bridge is needed: the place
    is returned, and the thread goes over there.
    """
    inside: dict[str, list[int]] = {}
    for k, line in enumerate(lines):
        if line.way not in ATTACHED:
            inside.setdefault(line.region, []).append(k)
    bridges, served, crossings = [], [], []
    for region in regions:
        edge = [np.array([*ring, ring[0]]) for ring in region.rings]
        own = inside.get(region.id, [])
        if all(_ends_on(edge, shapes[k]) for k in own):
            continue
        joined, *apart = group_paths(edge, [shapes[k] for k in own])
        reached = [*edge, *(shapes[own[k]] for k in joined)]
        waiting = [[own[k] for k in group] for group in apart]
        while waiting:
            trials = [(bridge_paths(shapes[g[0]][:1].repeat(2, axis=0), reached), n) for n, g in enumerate(waiting[:4])]
            (path, length), n = min(trials, key=lambda trial: (round(trial[0][1], 6), trial[1]))
            if length > reach or (length > TOLERANCE and lines[waiting[n][0]].way not in CONCENTRIC):
                (path, length), n = min(
                    ((bridge_paths(shapes[g[0]], reached), n) for n, g in enumerate(waiting)),
                    key=lambda t: (round(t[0][1], 6), t[1]),
                )
            if length > reach:
                break
            group = waiting.pop(n)
            reached += [shapes[k] for k in group]
            if length > TOLERANCE:
                bridges.append(path)
                served.append(lines[group[0]].id)
            else:
                crossings.append((float(path[0, 0]), float(path[0, 1])))
    return bridges, served, crossings


def _ends_on(edge: Sequence[Path], path: Path) -> bool:
    """Return True if a path begins on a corner-to-corner edge: most lines do, and are told at once."""
    for ring in edge:
        a, run = ring[:-1], np.diff(ring, axis=0)
        share = np.clip(((path[0] - a) * run).sum(axis=1) / np.maximum((run * run).sum(axis=1), 1e-18), 0, 1)
        if (np.hypot(*(a + share[:, None] * run - path[0]).T) <= TOLERANCE).any():
            return True
    return False


def _join_along_cuts(
    strands: Sequence[Strand], stages: Sequence[int], cuts: tuple[int, tuple[float, ...]], reach: float
) -> list[tuple[Strand, Point, int]]:
    """Return bridges along the levels between panels, from one end of a strand to the next."""
    axis, levels = cuts
    joints = []
    for level in levels:
        ends: dict[float, int] = {}
        for strand, stage in zip(strands, stages, strict=True):
            for point in (strand.points[0], strand.points[-1]):
                if abs(point[axis] - level) <= TOLERANCE:
                    place = round(point[1 - axis], 5)
                    ends[place] = max(stage, ends.get(place, 0))
        row = sorted(ends.items())
        for (a, first), (b, second) in pairwise(row):
            if TOLERANCE < b - a <= reach and max(first, second) > 1:
                points = np.array([(level, a), (level, b)] if axis == 0 else [(a, level), (b, level)])
                joints.append((*_make_strand("bridge", "", points), max(first, second)))
    return joints


def _find_places(ends: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Return one place for each cluster of ends, and the place of each end."""
    labels = []
    for axis in (0, 1):
        order = np.argsort(ends[:, axis], kind="stable")
        label = np.empty(len(ends), dtype=np.int64)
        label[order] = np.concatenate([[0], np.cumsum(np.diff(ends[order, axis]) > TOLERANCE)])
        labels.append(label)
    key = labels[0] * (int(labels[1].max()) + 1) + labels[1]
    _, first, place = np.unique(key, return_index=True, return_inverse=True)
    return ends[first], place
