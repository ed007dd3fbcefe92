"""Trapped parts: parts stitched after everything around them, so that loose cloth has nowhere to go."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from kit.geometry.outlines import Point
from kit.model.patchwork import Patchwork
from kit.model.quilting import Leg, Run, Strand
from kit.model.quilting_wishes import STAGES, Way

MOST_TRIES = 400
"""The most loops tried at an earlier place."""

Holders = Sequence[Collection[int]]
"""For each strand the patches of its motif or filler, by their number; empty for seams."""


def find_trapped(patchwork: Patchwork, turns: Mapping[int, int], held: Collection[int]) -> tuple[str, ...]:
    """Return the patches begun without a way out over parts not yet begun.

    Go back in time: take the begun patches from the last to the first and join each with its later neighbours. A
    patch is free if some patch joined with it lies at the edge of the top, or beside a patch without stitches.

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
    parent = {patch: patch for patch in turns}
    free = {patch: any(other not in turns for other in around[patch]) for patch in turns}

    def find(patch: int) -> int:
        while parent[patch] != patch:
            parent[patch] = parent[parent[patch]]
            patch = parent[patch]
        return patch

    seen: set[int] = set()
    trapped = []
    for patch in sorted(turns, key=lambda p: (-turns[p], -p)):
        for other in around[patch] & seen:
            a, b = find(other), find(patch)
            parent[a] = b
            free[b] = free[a] or free[b]
        seen.add(patch)
        if not free[find(patch)] and patch not in held:
            trapped.append(patch)
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


def list_turns(runs: Sequence[Run], holders: Holders) -> dict[int, int]:
    """Return the beginning of each patch: the number of the first leg with a motif or filler in it."""
    turns: dict[int, int] = {}
    number = 0
    for run in runs:
        for leg in run.legs:
            if leg.kind == "stitch":
                for patch in holders[leg.strand]:
                    turns.setdefault(patch, number)
            number += 1
    return turns


def free_trapped(
    patchwork: Patchwork,
    runs: Sequence[Run],
    strands: Sequence[Strand],
    ways: Mapping[str, Way],
    holders: Holders,
    held: Collection[int],
) -> tuple[tuple[Run, ...], tuple[str, ...]]:
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
    runs: tuple[Run, ...], strands: Sequence[Strand], ways: Mapping[str, Way], holders: Holders, patch: int
) -> list[tuple[Run, ...]]:
    """Return the routes with the loop of a patch at an earlier place, the earliest first."""
    for r, run in enumerate(runs):
        legs = run.legs
        own = [k for k, leg in enumerate(legs) if leg.kind == "stitch" and patch in holders[leg.strand]]
        if not own:
            continue
        first, last = own[0], own[-1] + 1
        corners = [_begin(strands, leg) for leg in legs]
        end = corners[last] if last < len(legs) else _finish(strands, legs[-1])
        if own != list(range(first, last)) or _away(corners[first], end):
            return []
        stage = _find_stage(strands, ways, legs[first])
        before = [k for k in range(first) if legs[k].kind == "stitch" and _find_stage(strands, ways, legs[k]) < stage]
        places = [k for k in range((before[-1] + 1) if before else 0, first) if not _away(corners[k], corners[first])]
        return [
            (*runs[:r], replace(run, legs=(*legs[:k], *legs[first:last], *legs[k:first], *legs[last:])), *runs[r + 1 :])
            for k in places
        ]
    return []


def _find_stage(strands: Sequence[Strand], ways: Mapping[str, Way], leg: Leg) -> int:
    return STAGES[ways[strands[leg.strand].line]]


def _begin(strands: Sequence[Strand], leg: Leg) -> Point:
    return strands[leg.strand].points[-1 if leg.back else 0]


def _finish(strands: Sequence[Strand], leg: Leg) -> Point:
    return strands[leg.strand].points[0 if leg.back else -1]


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
