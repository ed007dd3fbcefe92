"""Straight lines in a frame closed into patches, and the faults of lines that close no patch.

Every line is split where another crosses it or ends on it. The pieces and their ends are a plane graph; its faces are
the patches. An end that meets nothing dangles. A line with the same face on both sides only bridges two parts.
A ring of lines that touches nothing around it makes an island, and the patch around it would have a hole.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.errors import PatchworkError
from kit.geometry.outlines import TOLERANCE, Outline, Point, make_rectangle, tidy_outline

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Segment: TypeAlias = tuple[Point, Point]

MOST_LINES = 2_000
"""More lines are refused before any work on them."""
MOST_MEETINGS = 200_000
"""Pairs of lines that meet; more pairs make too many patches for a top, or all cross in one place."""


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """An end that meets nothing.

    Attributes
    ----------
    line
        Index of the line.
    at
        The place of the end, inches.
    near
        Index of the nearest other line, the frame's four after the last; None in an empty frame.
    distance
        Inches to it.
    """

    line: int
    at: Point
    near: int | None
    distance: float


@dataclass(frozen=True, slots=True)
class Closed:
    """The patches that lines enclose, and the faults of the lines.

    Attributes
    ----------
    outlines
        The patches in the order of reading: from the top down, then from the left.
    open_ends
        Ends that meet nothing.
    bridges
        Indices of lines that have the same patch on both sides over some of their length.
    islands
        Patches that touch nothing around them, each with its lines.
    nodes
        (n, 2) meetings and ends of lines, inches.
    owners
        For each node the lines through it or ending there.
    """

    outlines: tuple[Outline, ...]
    open_ends: tuple[OpenEnd, ...]
    bridges: tuple[int, ...]
    islands: tuple[tuple[int, ...], ...]
    nodes: tuple[Point, ...]
    owners: tuple[tuple[int, ...], ...]


def frame_lines(width: float, height: float) -> tuple[Segment, ...]:
    """Return the four lines of the frame: bottom, right, top, left."""
    a, b, c, d = make_rectangle(0.0, 0.0, width, height)
    return ((a, b), (b, c), (c, d), (d, a))


def close_lines(lines: Sequence[Segment], width: float, height: float) -> Closed:
    """Close lines within a rectangular frame into patches.

    Parameters
    ----------
    lines
        Pairs of points in inches within the frame; every line has a length.
    width, height
        Size of the frame; its lower left corner is the origin.

    Raises
    ------
    PatchworkError
        Too many lines, or too many meetings of lines.

    Notes
    -----
    O(n log n) for n lines and their meetings; 1,000 meetings take some 30 ms.

    Examples
    --------
    >>> closed = close_lines([((0, 0), (4, 4)), ((0, 4), (2, 2))], 4, 4)
    >>> len(closed.outlines), closed.open_ends
    (3, ())
    """
    if len(lines) > MOST_LINES:
        raise PatchworkError(
            f"The drawing has {len(lines):,} lines", needed=f"at most {MOST_LINES:,}", do="draw a block and repeat it"
        )
    ends = np.array([*lines, *frame_lines(width, height)], dtype=np.float64)
    pieces, nodes = _split(ends)
    owners: list[set[int]] = [set() for _ in nodes]
    for a, b, line in pieces.tolist():
        owners[a].add(line)
        owners[b].add(line)
    once = {(min(a, b), max(a, b)): line for a, b, line in pieces[::-1].tolist()}
    edges = np.array(sorted(once), dtype=np.int64)
    faces, bridges = _find_faces(nodes, edges)
    outlines, islands = [], []
    where = {(x, y): n for n, (x, y) in enumerate(nodes.tolist())}
    for face in faces:
        islands += [_name_ring([where[x, y] for x, y in ring.coords], once) for ring in face.interiors]
        outlines.append(tidy_outline(list(face.exterior.coords)[:-1]))
    loose = _find_open_ends(nodes, edges, ends, once, len(lines))
    crossed = sorted({once[pair] for pair in bridges} - {end.line for end in loose})
    return Closed(
        tuple(sorted(outlines, key=_reading_order)),
        loose,
        tuple(line for line in crossed if line < len(lines)),
        tuple(islands),
        tuple((x, y) for x, y in nodes.tolist()),
        tuple(tuple(sorted(owner)) for owner in owners),
    )


def _reading_order(outline: Outline) -> tuple[float, float]:
    """Sort by the middle of the patch, from the top down, then from the left."""
    middle = shapely.Polygon(outline).centroid
    return -round(middle.y, 4), round(middle.x, 4)


def _name_ring(ring: list[int], once: dict[tuple[int, int], int]) -> tuple[int, ...]:
    """Return the lines that a ring of nodes runs along."""
    return tuple(sorted({once[min(a, b), max(a, b)] for a, b in pairwise(ring)}))


def _split(ends: Floats) -> tuple[Ints, Floats]:
    """Return the pieces of the lines between their meetings, as (node, node, line), and the nodes."""
    count = len(ends)
    drawn = shapely.linestrings(ends)
    i, j = _find_meetings(drawn)
    start, run = ends[:, 0], ends[:, 1] - ends[:, 0]
    size = np.hypot(run[:, 0], run[:, 1])
    line = [np.arange(count), np.arange(count)]
    along = [np.zeros(count), np.ones(count)]
    points = [ends[:, 0], ends[:, 1]]
    for which in (0, 1):
        spot = ends[j, which]
        t = np.clip(np.einsum("ij,ij->i", spot - start[i], run[i]) / size[i] ** 2, 0, 1)
        hit = np.hypot(*(start[i] + t[:, None] * run[i] - spot).T) <= TOLERANCE
        line, along, points = [*line, i[hit]], [*along, t[hit]], [*points, spot[hit]]
    k, m = i[i < j], j[i < j]
    cross = run[k, 0] * run[m, 1] - run[k, 1] * run[m, 0]
    apart = start[m] - start[k]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (apart[:, 0] * run[m, 1] - apart[:, 1] * run[m, 0]) / cross
        u = (apart[:, 0] * run[k, 1] - apart[:, 1] * run[k, 0]) / cross
        inside = (np.abs(t - 0.5) < 0.5 - TOLERANCE / size[k]) & (np.abs(u - 0.5) < 0.5 - TOLERANCE / size[m])
    inside &= np.abs(cross) > 1e-12 * size[k] * size[m]
    k, m, t, u = k[inside], m[inside], t[inside], u[inside]
    spot = start[k] + t[:, None] * run[k]
    owner, place = np.concatenate([*line, k, m]), np.concatenate([*along, t, u])
    nodes, node = _gather(np.concatenate([*points, spot, spot]))
    order = np.lexsort((place, owner))
    owner, node = owner[order], node[order]
    same = (owner[1:] == owner[:-1]) & (node[1:] != node[:-1])
    return np.column_stack([node[:-1][same], node[1:][same], owner[:-1][same]]), nodes


def _find_meetings(drawn: NDArray[np.object_]) -> tuple[Ints, Ints]:
    """Return the pairs of lines that meet, each both ways; stop as soon as there are too many."""
    tree, total, found = shapely.STRtree(drawn), 0, []
    for first in range(0, len(drawn), 100):
        i, j = tree.query(drawn[first : first + 100], predicate="dwithin", distance=TOLERANCE)
        found.append(np.stack([i + first, j])[:, i + first != j])
        total += found[-1].shape[1]
        if total > 2 * MOST_MEETINGS:
            raise PatchworkError(
                f"The lines meet more than {MOST_MEETINGS:,} times",
                needed="lines that leave room for patches",
                do="draw fewer lines, or a block and repeat it",
            )
    pairs = np.concatenate(found, axis=1)
    return pairs[0], pairs[1]


def _gather(points: Floats) -> tuple[Floats, Ints]:
    """Return one node for each cluster of points within the tolerance, its first, and the node of each point."""
    label = np.empty(points.shape, dtype=np.int64)
    for axis in (0, 1):
        order = np.argsort(points[:, axis], kind="stable")
        steps = np.diff(points[order, axis]) > TOLERANCE
        label[order, axis] = np.concatenate([[0], np.cumsum(steps)])
    _, first, node = np.unique(label, axis=0, return_index=True, return_inverse=True)
    return points[first], node.reshape(-1)


def _find_faces(nodes: Floats, edges: Ints) -> tuple[list[shapely.Polygon], list[tuple[int, int]]]:
    """Return the faces of the graph, and the edges with the same face on both sides that do not dangle."""
    drawn = shapely.linestrings(nodes[edges])
    found, cuts, _, _ = shapely.polygonize_full(drawn)
    where = {(x, y): n for n, (x, y) in enumerate(nodes.tolist())}
    bridges = []
    for cut in shapely.get_parts(cuts):
        a, b = (where[x, y] for x, y in list(cut.coords)[:2])
        bridges.append((min(a, b), max(a, b)))
    return [face for face in shapely.get_parts(found) if face.area > TOLERANCE**2], bridges


def _find_open_ends(
    nodes: Floats, edges: Ints, ends: Floats, once: dict[tuple[int, int], int], count: int
) -> tuple[OpenEnd, ...]:
    """Return the ends that meet nothing, each with the nearest other line."""
    degree = np.bincount(edges.reshape(-1), minlength=len(nodes))
    drawn = shapely.linestrings(ends)
    found = []
    for (a, b), line in sorted(once.items(), key=lambda entry: (entry[1], entry[0])):
        for node in (a, b):
            if degree[node] == 1 and line < count:
                gaps = shapely.distance(drawn, shapely.Point(nodes[node]))
                gaps[line] = np.inf
                near = int(np.argmin(gaps))
                found.append(OpenEnd(line, (float(nodes[node, 0]), float(nodes[node, 1])), near, float(gaps[near])))
    return tuple(found)


def measure_narrowest(outline: Outline) -> float:
    """Return the least width of an outline in inches: the least distance of two parallel lines that enclose it.

    One of the two lies along an edge of the convex hull.

    Examples
    --------
    >>> measure_narrowest(((0, 0), (4, 0), (4, 3), (0, 3)))
    3.0
    """
    ring = np.asarray(shapely.convex_hull(shapely.Polygon(outline)).exterior.coords)
    run = np.diff(ring, axis=0)
    normal = np.column_stack([-run[:, 1], run[:, 0]]) / np.hypot(run[:, 0], run[:, 1])[:, None]
    return float(np.ptp(normal @ ring.T, axis=1).min())


def find_holder(outlines: Sequence[Outline], points: Sequence[Point]) -> list[int | None]:
    """Return for each point the outline around it, None for a point on an edge or outside.

    Examples
    --------
    >>> find_holder([((0, 0), (2, 0), (2, 2), (0, 2))], [(1, 1), (2, 1), (3, 1)])
    [0, None, None]
    """
    spots = shapely.points(np.array(points, dtype=np.float64).reshape(-1, 2))
    shapes = np.array([shapely.Polygon(outline).buffer(-TOLERANCE) for outline in outlines], dtype=object)
    k, found = shapely.STRtree(shapes).query(spots, predicate="within")
    holder = dict(zip(k.tolist(), found.tolist(), strict=True))
    return [holder.get(i) for i in range(len(spots))]


def find_inside(outline: Outline) -> Point:
    """Return a place well inside an outline: its centre of area, or if that is outside, a place in its widest part.

    Examples
    --------
    >>> find_inside(((0, 0), (4, 0), (4, 3), (0, 3)))
    (2.0, 1.5)
    """
    shape = shapely.Polygon(outline)
    middle = shape.centroid
    inner = shape.buffer(-0.05 * measure_narrowest(outline))
    if not shapely.contains(shape if inner.is_empty else inner, middle):
        middle = shape.representative_point()
    return float(middle.x), float(middle.y)
