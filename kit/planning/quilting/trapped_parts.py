"""Trapped parts: parts stitched after everything around them, so that loose cloth has nowhere to go."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np
import rustworkx
from numpy.typing import NDArray

from kit.geometry.outlines import Point
from kit.model.patchwork import Patchwork
from kit.model.quilting import RouteStretch, Strand, ThreadRun
from kit.model.quilting_wishes import STAGES, QuiltingWay

MOST_TRIES = 400
"""The most loops tried at an earlier place."""

Holders = Sequence[Collection[int]]
"""For each strand the patches of its motif or filler, by their number; empty for seams."""


def find_trapped(patchwork: Patchwork, turns: Mapping[int, int], held: Collection[int]) -> tuple[str, ...]:
    """Return the patches begun without a way out over parts not yet begun.

    Go back in time: number the patches that are begun from the last to the first. A way out leads to the edge of the
    top or to a patch that gets no stitches of its own. Of all ways out of a patch, a least spanning tree of the
    neighbours holds the one with the lowest greatest number; the patch is free if that number is its own.

    Parameters
    ----------
    turns
        Number of a patch -> its beginning, in any unit of time.
    held
        Patches with stitches along all their seams before that: their cloth cannot shift, so they are not trapped.

    Returns
    -------
    tuple of str
        Ids of patches, in the order of working.
    """
    around = _list_neighbours(patchwork)
    order = sorted(turns, key=lambda patch: (-turns[patch], -patch))
    place = {patch: n for n, patch in enumerate(order)}
    way_out = len(order)
    pairs = [(place[a], place[b]) for a in order for b in around[a] if b in place]
    pairs += [(place[a], way_out) for a in order if not around[a] <= place.keys()]
    graph: rustworkx.PyGraph[None, int] = rustworkx.PyGraph()
    graph.add_nodes_from([None] * (way_out + 1))
    graph.add_edges_from([(n, m, n if m == way_out else m) for n, m in pairs if n < m])
    reached = {way_out: -1}
    for here, there in rustworkx.graph_dfs_edges(rustworkx.minimum_spanning_tree(graph, float), way_out):
        reached[there] = max(reached[here], there)
    trapped = [patch for n, patch in enumerate(order) if reached.get(n) != n and patch not in held]
    return tuple(patchwork.patches[patch].id for patch in reversed(trapped))


def _list_neighbours(patchwork: Patchwork) -> list[set[int]]:
    """Return for each patch its neighbours across a seam; -1 stands for the edge of the top."""
    mesh = patchwork.mesh
    around: list[set[int]] = [set() for _ in patchwork.patches]
    for side, face in enumerate(mesh.face.tolist()):
        twin = int(mesh.twin[side])
        around[face].add(int(mesh.face[twin]) if twin >= 0 else -1)
    return around


def find_held(patchwork: Patchwork, owners: Collection[int]) -> set[int]:
    """Return the patches with all seams stitched in the ditch; `owners` are the stitched sides of the mesh."""
    mesh = patchwork.mesh
    done = set(owners) | {int(mesh.twin[side]) for side in owners}
    loose = {int(face) for side, face in enumerate(mesh.face.tolist()) if mesh.twin[side] >= 0 and side not in done}
    return set(range(len(patchwork.patches))) - loose


def list_turns(runs: Sequence[ThreadRun], holders: Holders) -> dict[int, int]:
    """Return when each patch is begun: the number of the first stretch that stitches a motif or filler in it."""
    turns: dict[int, int] = {}
    number = 0
    for run in runs:
        for stretch in run.stretches:
            if stretch.kind == "stitch":
                for patch in holders[stretch.strand]:
                    turns.setdefault(patch, number)
            number += 1
    return turns


def free_trapped(
    patchwork: Patchwork,
    runs: Sequence[ThreadRun],
    strands: Sequence[Strand],
    ways: Mapping[str, QuiltingWay],
    holders: Holders,
    held: Collection[int],
) -> tuple[tuple[ThreadRun, ...], tuple[str, ...]]:
    """Return runs of the same length with fewer trapped parts, and the parts still trapped.

    The loop of a trapped part ends at its beginning; stitch it at an earlier pass of the thread, if fewer parts are
    then trapped. The stages keep their order.

    Parameters
    ----------
    ways
        Line id -> its way of stitching.
    """
    best = tuple(runs)
    trapped = find_trapped(patchwork, list_turns(best, holders), held)
    number = {patch.id: k for k, patch in enumerate(patchwork.patches)}
    tries = 0
    queue = list(trapped)
    while queue and tries < MOST_TRIES:
        patch = number[queue.pop(0)]
        for trial in _list_earlier(best, strands, ways, holders, patch):
            tries += 1
            left = find_trapped(patchwork, list_turns(trial, holders), held)
            if len(left) < len(trapped):
                best, trapped, queue = trial, left, list(left)
                break
    return best, trapped


def _list_earlier(
    runs: tuple[ThreadRun, ...],
    strands: Sequence[Strand],
    ways: Mapping[str, QuiltingWay],
    holders: Holders,
    patch: int,
) -> list[tuple[ThreadRun, ...]]:
    """Return the routes with the loop of a patch at an earlier place, the earliest first."""
    for r, run in enumerate(runs):
        stretches = run.stretches
        own = [
            k for k, stretch in enumerate(stretches) if stretch.kind == "stitch" and patch in holders[stretch.strand]
        ]
        if not own:
            continue
        first, last = own[0], own[-1] + 1
        corners = [_begin(strands, stretch) for stretch in stretches]
        end = corners[last] if last < len(stretches) else _finish(strands, stretches[-1])
        if own != list(range(first, last)) or _away(corners[first], end):
            return []
        stage = _find_stage(strands, ways, stretches[first])
        before = [
            k
            for k in range(first)
            if stretches[k].kind == "stitch" and _find_stage(strands, ways, stretches[k]) < stage
        ]
        places = [k for k in range((before[-1] + 1) if before else 0, first) if not _away(corners[k], corners[first])]
        return [
            (
                *runs[:r],
                replace(
                    run, stretches=(*stretches[:k], *stretches[first:last], *stretches[k:first], *stretches[last:])
                ),
                *runs[r + 1 :],
            )
            for k in places
        ]
    return []


def _find_stage(strands: Sequence[Strand], ways: Mapping[str, QuiltingWay], stretch: RouteStretch) -> int:
    return STAGES[ways[strands[stretch.strand].line]]


def _begin(strands: Sequence[Strand], stretch: RouteStretch) -> Point:
    return strands[stretch.strand].points[-1 if stretch.back else 0]


def _finish(strands: Sequence[Strand], stretch: RouteStretch) -> Point:
    return strands[stretch.strand].points[0 if stretch.back else -1]


def _away(here: Point, there: Point) -> bool:
    return abs(here[0] - there[0]) + abs(here[1] - there[1]) > 1e-5


def gather_holders(holders: NDArray[np.int64], owner: NDArray[np.int64], count: int) -> list[set[int]]:
    """Return for each of a number of strands the patches around its points.

    Parameters
    ----------
    holders, owner
        For each point, the patch around it (-1: none) and its strand.
    """
    found: list[set[int]] = [set() for _ in range(count)]
    for pair in np.unique(np.column_stack([owner, holders]), axis=0).tolist():
        if pair[1] >= 0:
            found[pair[0]].add(pair[1])
    return found
