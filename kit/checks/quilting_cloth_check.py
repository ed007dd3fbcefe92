"""The check of the effect of quilting on the cloth: how much is drawn in, and where loose cloth is trapped."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely

from kit.errors import CheckError
from kit.geometry.outlines import Point
from kit.model.patchwork import Patchwork
from kit.model.quilting import QuiltingPlan
from kit.model.quilting_wishes import STAGES

NEAR = 1e-4
"""Inches: the tolerance of a place on a line."""


def join_shapes(shapes: Sequence[shapely.Geometry] | np.ndarray) -> shapely.Geometry:
    """Return the union of shapes without the slivers that rounding leaves between neighbours: slivers are not holes."""
    whole = shapely.union_all(shapes, grid_size=1e-7)
    kept = []
    for part in shapely.get_parts(whole):
        holes = [ring for ring in part.interiors if shapely.Polygon(ring).area > NEAR * ring.length]
        kept.append(shapely.Polygon(part.exterior, holes))
    return kept[0] if len(kept) == 1 else shapely.MultiPolygon(kept)


def check_draw_in(patchwork: Patchwork, plan: QuiltingPlan) -> None:
    """Lay a hundred scans each way, cut them with shapely where lines cross, and add up arcs and chords."""
    top = join_shapes([shapely.Polygon(p.outline) for p in patchwork.patches])
    paths = [np.array(line.points) for line in plan.lines]
    lines = shapely.linestrings(np.concatenate([np.stack([path[:-1], path[1:]], axis=1) for path in paths]))
    tree = shapely.STRtree(lines)
    left, bottom, right, up = top.bounds
    share = (np.arange(100) + 0.5) / 100
    for axis, said in enumerate(plan.draw_in):
        x, y = left + share * (right - left), bottom + share * (up - bottom)
        if axis == 0:
            ends = np.stack([np.column_stack([np.full(100, side), y]) for side in (left - 1, right + 1)], axis=1)
        else:
            ends = np.stack([np.column_stack([x, np.full(100, side)]) for side in (bottom - 1, up + 1)], axis=1)
        parts = shapely.get_parts(shapely.intersection(shapely.linestrings(ends), top))
        part, near = tree.query(parts, predicate="intersects")
        cuts, of = shapely.get_coordinates(shapely.intersection(lines[near], parts[part]), return_index=True)
        own, of_part = shapely.get_coordinates(parts, return_index=True)
        marks = np.concatenate([cuts[:, axis], own[:, axis]])
        which = np.concatenate([part[of], of_part])
        order = np.lexsort((marks, which))
        spans = np.diff(marks[order])[np.diff(which[order]) == 0]
        spans = spans[spans > 1e-9]
        rise = np.minimum(plan.wishes.loft / 2 / spans, 1 / 8)
        longer = 8 / 3 * rise**2 - 32 / 5 * rise**4
        arcs, chords = float(spans.sum()), float((spans / (1 + longer)).sum())
        found = 1 - chords / arcs if arcs else 0.0
        if abs(found - said) > 0.002:
            raise CheckError(
                f"Quilting is said to draw in {100 * said:.2f} % of the {('width', 'height')[axis]}",
                needed=f"{100 * found:.2f} %",
                do="plan the quilting again",
            )


def draw_lines(paths: Sequence[Sequence[Point]]) -> np.ndarray:
    """Return paths as lines of shapely, made all at once."""
    counts = [len(path) for path in paths]
    flat = np.array([point for path in paths for point in path], dtype=np.float64).reshape(-1, 2)
    return np.asarray(shapely.linestrings(flat, indices=np.repeat(np.arange(len(paths)), counts)))


def check_trapped(patchwork: Patchwork, plan: QuiltingPlan) -> None:
    """Go through the route; as each patch is begun, test for a way out over patches not yet begun."""
    shapes = np.array([shapely.Polygon(patch.outline) for patch in patchwork.patches])
    loose = _find_loose(shapes, plan)
    if not loose:
        _compare_trapped(plan, set())
        return
    begun = _order_patches(shapes, plan)
    tree = shapely.STRtree(shapes)
    around: dict[int, list[int]] = {patch: [] for patch in begun}
    outer = join_shapes(shapes[begun]).boundary if begun else shapely.LineString()
    for patch in begun:
        near = shapes[patch].boundary
        around[patch] = [
            int(other) for other in tree.query(shapes[patch], predicate="dwithin", distance=NEAR)
            if other != patch and other in around
            and shapely.intersection(near, shapely.buffer(shapes[other], NEAR)).length > 10 * NEAR
        ]  # fmt: skip
    ways_out = {p for p in begun if shapely.intersection(shapes[p].boundary, shapely.buffer(outer, NEAR)).length > 0.01}
    done: set[int] = set()
    trapped = set()
    for patch in begun:
        reached, waiting = {patch}, [patch]
        while waiting and not reached & ways_out:
            fresh = [other for other in around[waiting.pop()] if other not in reached and other not in done]
            reached.update(fresh)
            waiting += fresh
        done.add(patch)
        if not reached & ways_out and patch in loose:
            trapped.add(patchwork.patches[patch].id)
    _compare_trapped(plan, trapped)


def _compare_trapped(plan: QuiltingPlan, found: set[str]) -> None:
    for wrong, told in ((found - set(plan.trapped), "is not said to be"), (set(plan.trapped) - found, "is said to be")):
        if wrong:
            raise CheckError(
                f"`{min(wrong)}` {told} closed in before its turn",
                needed="the true list",
                do="plan the quilting again",
            )


def _find_loose(shapes: np.ndarray, plan: QuiltingPlan) -> set[int]:
    """Return the patches without a ditch line at some place on their outline, away from the edge of the top."""
    edge = shapely.get_parts(join_shapes(shapes).boundary)
    ditch = draw_lines([line.points for line in plan.lines if line.way == "ditch"])
    pieces, _ = _cut_fine([*ditch, *edge], 1.0)
    tree = shapely.STRtree(shapely.linestrings(pieces))
    sides, owner = _cut_fine(shapely.get_exterior_ring(shapes), 0.25)
    on_line = np.zeros(len(sides), dtype=bool)
    on_line[tree.query(shapely.points(sides.mean(axis=1)), predicate="dwithin", distance=NEAR)[0]] = True
    return set(owner[~on_line].tolist())


def _cut_fine(paths: Sequence[shapely.Geometry], step: float) -> tuple[np.ndarray, np.ndarray]:
    """Return paths as pieces no longer than a step, (n, 2, 2), and the path of each piece."""
    ends, owner = shapely.get_coordinates(shapely.segmentize(paths, step), return_index=True)
    same = owner[1:] == owner[:-1]
    return np.stack([ends[:-1][same], ends[1:][same]], axis=1), owner[1:][same]


def _order_patches(shapes: np.ndarray, plan: QuiltingPlan) -> list[int]:
    """Return the patches in the order in which motifs and fillers begin in them.

    A strand is in the patches around the middles of its steps; a strand of few steps is divided into quarter inches.
    """
    tree = shapely.STRtree(shapes)
    way = {line.id: line.way for line in plan.lines}
    order: dict[int, None] = {}
    for run in plan.runs:
        for stretch in run.stretches:
            strand = plan.strands[stretch.strand]
            if stretch.kind != "stitch" or STAGES[way[strand.line]] == 1:
                continue
            steps = [np.array(pair) for pair in pairwise(strand.points)]
            if len(strand.points) <= 8:
                parts = [max(1, int(np.hypot(*(b - a)) / 0.25)) for a, b in steps]
                marks = [a + (b - a) * (k + 0.5) / n for (a, b), n in zip(steps, parts, strict=True) for k in range(n)]
            else:
                marks = [(a + b) / 2 for a, b in steps]
            place, patch = tree.query(shapely.points(np.array(marks)), predicate="intersects")
            first = np.full(len(marks), len(shapes))
            np.minimum.at(first, place, patch)
            order.update(dict.fromkeys(np.unique(first[first < len(shapes)]).tolist()))
    return list(order)
