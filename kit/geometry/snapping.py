"""Ends that almost meet: finding them, and moving them together by at most a given distance."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.errors import PatchworkError
from kit.geometry.outlines import TOLERANCE, Point

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDS = 12
"""Ends that move take others with them; a drawing still moving after this many rounds is refused."""


@dataclass(frozen=True, slots=True)
class MovedEnd:
    """A moved end: its number, and its places before and after, inches."""

    end: int
    before: Point
    after: Point

    @property
    def distance(self) -> float:
        """The distance moved, inches."""
        return hypot(self.after[0] - self.before[0], self.after[1] - self.before[1])


def snap_ends(
    ends: Sequence[Point], edges: Sequence[tuple[int, int]], distance: float, fixed: int = 0
) -> tuple[list[Point], tuple[MovedEnd, ...]]:
    """Move ends that almost meet until they meet.

    An end goes to the nearest earlier end in the list within the distance, or else onto the nearest edge of another
    line within it: straight on along its own edge if it has only one and that is near enough, else the shortest way.
    Edges follow their ends, so this is repeated until nothing moves. No edge is bent.

    Parameters
    ----------
    ends
        Points in inches, the fixed points first.
    edges
        Pairs of ends joined by an edge.
    distance
        Inches that an end may be moved at a time.
    fixed
        The number of fixed ends at the head of the list.

    Returns
    -------
    tuple
        The final places of the ends, and the moves.

    Raises
    ------
    PatchworkError
        The ends do not come to rest.

    Examples
    --------
    >>> found, moves = snap_ends([(0, 0), (4, 0), (2, 0.05), (2, 3)], [(0, 1), (2, 3)], 0.1, fixed=2)
    >>> found[2], len(moves)
    ((2.0, 0.0), 1)
    """
    points = np.array(ends, dtype=np.float64).reshape(-1, 2)
    pairs = np.array(edges, dtype=np.int64).reshape(-1, 2)
    before = points.copy()
    for _ in range(ROUNDS):
        owner = _merge(points, distance, fixed)
        moved = bool((np.abs(points - points[owner]) > TOLERANCE / 10).any())
        points = points[owner]
        if not _project(points, owner, pairs, distance, fixed) and not moved:
            break
    else:
        raise PatchworkError(
            f"Ends within {distance:g} in of one another do not come to rest",
            needed="ends that are near one place each",
            do="make `snap` smaller or correct the drawing",
        )
    moves = tuple(
        MovedEnd(i, (float(old[0]), float(old[1])), (float(new[0]), float(new[1])))
        for i, (old, new) in enumerate(zip(before, points, strict=True))
        if np.abs(old - new).max() > TOLERANCE
    )
    return [(float(x), float(y)) for x, y in points], moves


def _merge(points: Floats, distance: float, fixed: int) -> Ints:
    """Return the target of each end: the nearest earlier end that stays, or the end itself."""
    a, b = shapely.STRtree(shapely.points(points)).query(shapely.points(points), predicate="dwithin", distance=distance)
    near: dict[int, list[int]] = {}
    for i, j in zip(a.tolist(), b.tolist(), strict=True):
        if j < i >= fixed:
            near.setdefault(i, []).append(j)
    owner = np.arange(len(points))
    for i in sorted(near):
        stay = [j for j in near[i] if owner[j] == j]
        if stay:
            owner[i] = min(stay, key=lambda j: (round(float(np.hypot(*(points[i] - points[j]))), 9), j))
    return owner


def _project(points: Floats, owner: Ints, pairs: Ints, distance: float, fixed: int) -> bool:
    """Move ends within the distance of an edge onto it; return True if any end was moved.

    An end already on an edge stays there.
    """
    ends = owner[pairs]
    lines = shapely.linestrings(points[ends])
    apart = np.flatnonzero(ends[:, 0] != ends[:, 1])
    free = np.array([i for i in np.unique(owner) if i >= fixed], dtype=np.int64)
    if not len(free) or not len(apart):
        return False
    spots = shapely.points(points[free])
    k, e = shapely.STRtree(lines[apart]).query(spots, predicate="dwithin", distance=distance)
    e = apart[e]
    own = (ends[e] == free[k][:, None]).any(axis=1)
    k, e = k[~own], e[~own]
    off = shapely.distance(spots[k], lines[e])
    nearest: dict[int, tuple[float, int]] = {}
    for place, edge, gap in zip(k.tolist(), e.tolist(), off.tolist(), strict=True):
        nearest[place] = min(nearest.get(place, (np.inf, -1)), (gap, edge))
    moved = False
    for place, (gap, edge) in sorted(nearest.items()):
        if gap > TOLERANCE / 10:
            mine = np.flatnonzero((ends == free[place]).any(axis=1) & (ends[:, 0] != ends[:, 1]))
            points[owner == free[place]] = _find_landing(points, ends[mine], ends[edge], int(free[place]), distance)
            moved = True
    return moved


def _find_landing(points: Floats, mine: Ints, target: Ints, end: int, distance: float) -> Floats:
    """Return the meeting of an end and an edge: straight on along its own edge if that is near, else at its foot."""
    here, (start, finish) = points[end], points[target]
    run = finish - start
    if len(mine) == 1:
        far = points[mine[0][mine[0] != end][0]]
        own = here - far
        cross = own[0] * run[1] - own[1] * run[0]
        if abs(cross) > 1e-9 * np.hypot(*own) * np.hypot(*run):
            t = ((start - far)[0] * run[1] - (start - far)[1] * run[0]) / cross
            landing = far + t * own
            u = float((landing - start) @ run / (run @ run))
            if 0 <= u <= 1 and np.hypot(*(landing - here)) <= distance:
                return np.asarray(np.round(landing, 12))
    u = min(max(float((here - start) @ run / (run @ run)), 0.0), 1.0)
    return np.asarray(np.round(start + u * run, 12))


@dataclass(frozen=True, slots=True)
class NearMiss:
    """Two ends, or an end and an edge, that almost meet: their numbers, the place, and the distance in inches."""

    end: int
    other: int
    is_edge: bool
    at: Point
    distance: float


def find_near_misses(ends: Sequence[Point], edges: Sequence[tuple[int, int]], distance: float) -> tuple[NearMiss, ...]:
    """Return the ends within a distance of another end or edge that do not touch it, the nearest first.

    Parameters
    ----------
    ends, edges
        As for `snap_ends`.
    distance
        Inches.

    Examples
    --------
    >>> misses = find_near_misses([(0, 0), (4, 0), (2, 0.05), (2, 3)], [(0, 1), (2, 3)], 0.1)
    >>> [round(miss.distance, 3) for miss in misses]
    [0.05]
    """
    points = np.array(ends, dtype=np.float64).reshape(-1, 2)
    spots = shapely.points(points)
    pairs = np.array(edges, dtype=np.int64).reshape(-1, 2)
    a, b = shapely.STRtree(spots).query(spots, predicate="dwithin", distance=distance)
    once = a > b
    a, b = a[once], b[once]
    found = _list_misses(points, a, b, shapely.distance(spots[a], spots[b]), is_edge=False)
    lines = shapely.linestrings(points[pairs])
    k, e = shapely.STRtree(lines).query(spots, predicate="dwithin", distance=distance)
    near = shapely.distance(spots[k][:, None], spots[pairs[e]]).min(axis=1) if len(k) else np.empty(0)
    alone = near > distance
    k, e = k[alone], e[alone]
    found += _list_misses(points, k, e, shapely.distance(spots[k], lines[e]), is_edge=True)
    return tuple(sorted(found, key=lambda miss: (miss.distance, miss.end, miss.other)))


def _list_misses(points: Floats, a: Ints, b: Ints, gaps: Floats, *, is_edge: bool) -> list[NearMiss]:
    return [
        NearMiss(i, j, is_edge, (float(points[i, 0]), float(points[i, 1])), gap)
        for i, j, gap in zip(a.tolist(), b.tolist(), gaps.tolist(), strict=True)
        if gap > TOLERANCE
    ]
