"""How outlines meet: shared corners, elementary seam pieces, neighbours, and the proof that they tile.

Corners nearer than the tolerance are one node. Every edge is split where another outline's corner lies on it.
The result is *sides*: directed pieces of edge, each with one patch on its left, and at most one *twin*. The twin runs
the other way and has the patch across the seam.

The proof that outlines tile one region without gap or overlap: when no side occurs twice and the sides
without twin form one simple loop, the winding numbers of all outlines add up to that of the loop, which is one
inside and zero outside; so each point inside is covered exactly once.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.outlines import TOLERANCE, Outline, measure_area

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

FINE = TOLERANCE / 100
"""Grid of shapely's overlays: without it they fail where a corner is a last digit off a neighbour's edge."""


@dataclass(frozen=True, eq=False)
class Mesh:
    """Outlines noded against one another.

    Attributes
    ----------
    nodes
        (n, 2) corners in inches.
    start, end
        (s,) node at each end of each side, the patch on the left.
    face, edge
        (s,) the outline of the side, and the number of its edge.
    twin
        (s,) the side that runs the other way, or -1 on the outside.
    corners
        For each outline the node of each of its corners, in order.
    """

    nodes: Floats
    start: Ints
    end: Ints
    face: Ints
    edge: Ints
    twin: Ints
    corners: tuple[tuple[int, ...], ...]
    doubled: Ints

    @cached_property
    def neighbours(self) -> Ints:
        """(p, 2) pairs of outlines that share a piece of edge, each once, smaller index first."""
        inner = np.flatnonzero(self.twin >= 0)
        pairs = np.column_stack([self.face[inner], self.face[self.twin[inner]]])
        return np.unique(pairs[pairs[:, 0] < pairs[:, 1]], axis=0)

    @cached_property
    def corner_neighbours(self) -> Ints:
        """(p, 2) pairs of outlines that meet in one node or more, each once."""
        meet = np.unique(np.column_stack([self.start, self.face]), axis=0)
        counts = np.unique(meet[:, 0], return_counts=True)[1]
        groups = np.split(meet[:, 1], np.cumsum(counts)[:-1])
        found = {(a, b) for g in groups for i, a in enumerate(g.tolist()) for b in g.tolist()[i + 1 :]}
        return np.array(sorted(found), dtype=np.int64).reshape(-1, 2)

    @cached_property
    def lengths(self) -> Floats:
        """(s,) length of each side in inches."""
        run = self.nodes[self.end] - self.nodes[self.start]
        return np.asarray(np.hypot(run[:, 0], run[:, 1]), dtype=np.float64)

    def trace_outside(self) -> tuple[Outline, ...]:
        """Return the loops of the sides without twin, each with the covered region on its left."""
        outer = np.flatnonzero(self.twin < 0)
        onward: dict[int, list[int]] = {}
        for side in outer.tolist():
            onward.setdefault(int(self.start[side]), []).append(side)
        loops = []
        while onward:
            node = first = next(iter(onward))
            loop = []
            while node in onward:
                side = onward[node].pop()
                if not onward[node]:
                    del onward[node]
                loop.append((float(self.nodes[node, 0]), float(self.nodes[node, 1])))
                node = int(self.end[side])
                if node == first:
                    break
            loops.append(tuple(loop))
        return tuple(loops)

    def tiles(self) -> bool:
        """Return True if the outlines, each simple, cover one simple region exactly once (see the module's proof)."""
        if len(self.doubled):
            return False
        loops = self.trace_outside()
        return len(loops) == 1 and len(loops[0]) >= 3 and bool(shapely.LinearRing(loops[0]).is_simple)


def build_mesh(outlines: Sequence[Outline]) -> Mesh:
    """Node outlines against one another.

    Corners are clustered coordinate by coordinate; a spatial tree finds the corners on edges without an exact twin,
    and those edges are split there.

    Notes
    -----
    O(n log n) in the number of corners; 3,000 patches take some 30 ms.
    """
    sizes = np.array([len(outline) for outline in outlines])
    points = np.array([point for outline in outlines for point in outline], dtype=np.float64)
    nodes, node = _find_nodes(points)
    face = np.repeat(np.arange(len(sizes)), sizes)
    first = np.cumsum(sizes) - sizes
    within = np.arange(len(points)) - np.repeat(first, sizes)
    after = np.where(within + 1 == np.repeat(sizes, sizes), np.repeat(first, sizes), np.arange(len(points)) + 1)
    start, end = node, node[after]
    real = start != end
    start, end, face, within = start[real], end[real], face[real], within[real]
    start, end, face, within = _split_edges(nodes, start, end, face, within)
    twin, doubled = _find_twins(start, end, len(nodes))
    flat = node.tolist()
    corners = tuple(tuple(flat[a : a + n]) for a, n in zip(first.tolist(), sizes.tolist(), strict=True))
    return Mesh(nodes, start, end, face, within, twin, corners, doubled)


def _find_nodes(points: Floats) -> tuple[Floats, Ints]:
    """Return one node for each cluster of corners, and the node of each corner."""
    across, up = _cluster(points[:, 0]), _cluster(points[:, 1])
    key = across * (int(up.max()) + 1) + up
    _, where, node = np.unique(key, return_index=True, return_inverse=True)
    return points[where], node


def _cluster(values: Floats) -> Ints:
    """Give the values numbers; neighbours within the tolerance share a number."""
    order = np.argsort(values, kind="stable")
    label = np.empty(len(values), dtype=np.int64)
    label[order] = np.concatenate([[0], np.cumsum(np.diff(values[order]) > TOLERANCE)])
    return label


def _split_edges(nodes: Floats, start: Ints, end: Ints, face: Ints, edge: Ints) -> tuple[Ints, Ints, Ints, Ints]:
    """Split each edge at the nodes that lie within it."""
    n = len(nodes)
    lone = np.flatnonzero(~np.isin(start * n + end, end * n + start))
    if not len(lone):
        return start, end, face, edge
    which, hit = _find_on_edges(nodes, nodes[start[lone]], nodes[end[lone]])
    which = lone[which]
    inside = (hit != start[which]) & (hit != end[which])
    which, hit = which[inside], hit[inside]
    if not len(which):
        return start, end, face, edge
    run = nodes[end[which]] - nodes[start[which]]
    along = np.einsum("ij,ij->i", nodes[hit] - nodes[start[which]], run)
    every = np.arange(len(start))
    owner = np.concatenate([every, which])
    rank = np.concatenate([np.full(len(start), -1.0), along])
    begin = np.concatenate([start, hit])
    order = np.lexsort((rank, owner))
    owner, begin = owner[order], begin[order]
    last = np.concatenate([owner[1:] != owner[:-1], [True]])
    finish = np.where(last, end[owner], np.concatenate([begin[1:], [0]]))
    return begin, finish, face[owner], edge[owner]


def _find_on_edges(nodes: Floats, a: Floats, b: Floats) -> tuple[Ints, Ints]:
    """Return pairs of an edge, from a to b, and a node that lies on it.

    The tree finds the boxes of edges round each node; which nodes lie on the edge is computed for all pairs at once.
    """
    low, high = nodes - TOLERANCE, nodes + TOLERANCE
    tree = shapely.STRtree(shapely.linestrings(np.stack([a, b], axis=1)))
    hit, which = tree.query(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    run, off = (b - a)[which], nodes[hit] - a[which]
    along = np.clip(np.einsum("ij,ij->i", off, run) / np.einsum("ij,ij->i", run, run), 0, 1)
    off -= along[:, None] * run
    near = np.einsum("ij,ij->i", off, off) <= TOLERANCE**2
    return which[near], hit[near]


def _find_twins(start: Ints, end: Ints, n: int) -> tuple[Ints, Ints]:
    """Return the twin of each side (-1 if none) and the sides that occur more than once."""
    forward, backward = start * n + end, end * n + start
    order = np.argsort(forward, kind="stable")
    place = np.searchsorted(forward[order], backward)
    found = order[np.minimum(place, len(order) - 1)]
    twin = np.where(forward[found] == backward, found, -1)
    same = np.flatnonzero(np.diff(forward[order]) == 0)
    return twin, order[np.concatenate([same, same + 1])] if len(same) else np.empty(0, dtype=np.int64)


def find_crossing(outlines: Sequence[Outline]) -> list[tuple[int, str]]:
    """Return the index of each outline that crosses or touches itself, with the reason."""
    polygons = _make_polygons(outlines)
    bad = np.flatnonzero(~shapely.is_valid(polygons))
    return [(i, str(shapely.is_valid_reason(polygons[i]))) for i in bad.tolist()]


def find_overlaps(outlines: Sequence[Outline]) -> list[tuple[int, int, float]]:
    """Return pairs of overlapping outlines, with their common area in square inches."""
    polygons = _make_polygons(outlines)
    a, b = shapely.STRtree(polygons).query(polygons, predicate="intersects")
    once = a < b
    a, b = a[once], b[once]
    area = shapely.area(shapely.intersection(polygons[a], polygons[b], grid_size=FINE))
    return [(int(i), int(j), float(s)) for i, j, s in zip(a, b, area, strict=True) if s > TOLERANCE]


def find_shared_place(one: Outline, two: Outline) -> tuple[float, float]:
    """Return a place within what two overlapping outlines share, in its largest part."""
    first, second = _make_polygons([one, two])
    parts = shapely.get_parts(shapely.intersection(first, second, grid_size=FINE))
    point = shapely.point_on_surface(parts[int(np.argmax(shapely.area(parts)))])
    return float(point.x), float(point.y)


def find_gaps(outlines: Sequence[Outline]) -> list[tuple[Outline, tuple[int, ...]]]:
    """Return the holes in the union of the outlines, each with the outlines around it."""
    tree = shapely.STRtree(_make_polygons(outlines))
    gaps = []
    for loop in build_mesh(outlines).trace_outside():
        if measure_area(loop) < -(TOLERANCE**2):
            near = tree.query(shapely.LinearRing(loop), predicate="dwithin", distance=TOLERANCE)
            gaps.append((loop, tuple(sorted(near.tolist()))))
    return gaps


def count_parts(outlines: Sequence[Outline]) -> int:
    """Return the number of separate regions in the union of the outlines."""
    return int(shapely.get_num_geometries(shapely.union_all(_make_polygons(outlines), grid_size=FINE)))


def _make_polygons(outlines: Sequence[Outline]) -> NDArray[np.object_]:
    points = np.array([point for outline in outlines for point in outline], dtype=np.float64)
    ring = np.repeat(np.arange(len(outlines)), [len(outline) for outline in outlines])
    polygons: NDArray[np.object_] = shapely.polygons(shapely.linearrings(points, indices=ring))
    return polygons
