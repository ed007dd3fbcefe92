"""A strip as a frame to draw along: its middle line from end to end, and the room on both sides of it.

A point of a frame is told by how far along the middle line it lies, and how far to the left of it.
"""

from dataclasses import dataclass, replace
from math import cos, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.geometry.middle_lines import choose_ends, find_slant, find_turns, follow_middle, sample_ring, sample_sides
from kit.geometry.outlines import measure_angles
from kit.geometry.paths import Path, Rings, make_polygon, measure_path, walk_path
from kit.geometry.smooth_paths import lower_values, smooth_values

Floats = NDArray[np.float64]

SAMPLES = 240
"""Samples of the edge of an area when its middle line is sought."""
FARTHEST = 1e4
"""Inches: farther than any edge."""


@dataclass(frozen=True, eq=False)
class StripFrame:
    """The middle line of a strip and its room.

    Attributes
    ----------
    at
        (n,) inches along the middle line, rising in equal steps.
    centre, normal
        (n, 2) places on the line, and the direction to the left.
    left, right
        (n,) inches free on each side, changing smoothly.
    closed
        Whether the line ends where it began, as round a border.
    corners
        For a closed line, the inches along it at which the border turns.
    """

    at: Floats
    centre: Path
    normal: Path
    left: Floats
    right: Floats
    closed: bool = False
    corners: tuple[float, ...] = ()

    @property
    def length(self) -> float:
        """Inches along the middle line."""
        return float(self.at[-1])

    @property
    def room(self) -> Floats:
        """(n,) inches free on the narrower side."""
        return np.minimum(self.left, self.right)

    def find_room(self, along: Floats | float) -> Floats:
        """Return the inches free on the narrower side at places along the line."""
        return np.asarray(np.interp(along, self.at, self.room))

    def place(self, along: Floats, aside: Floats) -> Path:
        """Return the points at inches along the line and inches to its left (negative: to its right)."""
        return self._lay(along, np.asarray(aside))

    def spread(self, along: Floats, share: Floats) -> Path:
        """Return the points at inches along the line and at a share, -1 to 1, of the room on the side."""
        share = np.asarray(share)
        left, right = (np.interp(along, self.at, side) for side in (self.left, self.right))
        return self._lay(along, np.where(share > 0, share * left, share * right))

    def _lay(self, along: Floats, aside: Floats) -> Path:
        centre = np.column_stack([np.interp(along, self.at, self.centre[:, k]) for k in (0, 1)])
        normal = np.column_stack([np.interp(along, self.at, self.normal[:, k]) for k in (0, 1)])
        return np.asarray(centre + normal / np.hypot(normal[:, 0], normal[:, 1])[:, None] * aside[:, None])


def lay_strip(rings: Rings, *, lean: bool = False) -> StripFrame | None:
    """Return the frame of an area with one hole, or none, along its middle; None if it has no such line.

    In an area whose corners all point outward the middle line is straight, from end to end. Otherwise sample the edge,
    name each sample after the side that it lies on (for an area without a hole: between its two ends), and triangulate.
    The triangles with corners on both sides follow one another from end to end; the middles of their edges across are
    the middle line. Smooth it; the room is measured across it.

    Parameters
    ----------
    lean
        Whether lines across the strip lean with its slanting ends.

    Notes
    -----
    O(n log n) in the samples, some 10 ms.
    """
    polygon = make_polygon(rings)
    if len(rings) > 2 or polygon.is_empty:
        return None
    if len(rings) == 1 and max(measure_angles(rings[0])) <= 180.01:
        corners = np.array([*rings[0], rings[0][0]])
        size = np.hypot(*np.diff(corners, axis=0).T)
        start = np.concatenate([[0.0], np.cumsum(size)])
        marks = choose_ends(rings[0], size, start)
        ends = walk_path(corners, np.array(marks))
        slants = [find_slant(corners, start, mark, ends[1] - ends[0]) if lean else 0.0 for mark in marks]
        return _frame(ends, polygon, np.empty((0, 2)), closed=False, slants=(slants[0], slants[1]))
    step = polygon.length / SAMPLES
    if len(rings) == 2:
        outer, inner = (sample_ring(ring, step) for ring in rings)
        points = np.concatenate([outer, inner])
        side = np.repeat([0, 1], [len(outer), len(inner)])
        turns = find_turns(rings[0])
    else:
        points, side = sample_sides(rings[0], step)
        turns = np.empty((0, 2))
    middle = follow_middle(points, side, polygon, closed=len(rings) == 2)
    if middle is None:
        return None
    return _frame(middle, polygon, turns, closed=len(rings) == 2)


def lay_row_frames(rings: Rings, angle: float, pitch: float) -> list[StripFrame]:
    """Return straight frames side by side over an area, as many as leave each about one pitch high.

    Parameters
    ----------
    angle
        Degrees of the rows.
    pitch
        Inches from one row to the next; it is stretched or squeezed so that the rows come out even.
    """
    polygon = make_polygon(rings)
    along = np.array([cos(radians(angle)), sin(radians(angle))])
    across = np.array([-along[1], along[0]])
    corners = np.array(rings[0])
    low, high = float((corners @ across).min()), float((corners @ across).max())
    count = max(1, round((high - low) / pitch))
    height = (high - low) / count
    reach = corners @ along
    frames = []
    for k in range(count):
        level = low + (k + 0.5) * height
        ends = np.outer([reach.min() - 1, reach.max() + 1], along) + level * across
        cut = shapely.intersection(shapely.LineString(ends), polygon)
        for part in shapely.get_parts(cut):
            if part.geom_type == "LineString" and part.length > pitch / 2:
                line = np.asarray(part.coords)
                line = line if (line[1] - line[0]) @ along > 0 else line[::-1]
                frames.append(_frame(line, polygon, np.empty((0, 2)), closed=False, most=height / 2))
    return frames


def split_strip(frame: StripFrame, count: int) -> list[StripFrame]:
    """Return frames side by side that share the room of one: rows that run along with it, round its bends."""
    frames = []
    for k in range(count):
        middle = (2 * k + 1) / count - 1
        line = frame.spread(frame.at, np.full(len(frame.at), middle))
        step = np.hypot(*np.diff(line, axis=0).T)
        along = np.concatenate([[0.0], np.cumsum(step)])
        at = np.linspace(0, along[-1], len(line))
        ahead = _find_heading(walk_path(line, at), closed=frame.closed)
        room = np.interp(at, along, frame.room) / count
        corners = tuple(float(np.interp(c, frame.at, along)) for c in frame.corners)
        normal = np.column_stack([-ahead[:, 1], ahead[:, 0]])
        frames.append(StripFrame(at, walk_path(line, at), normal, room, room, frame.closed, corners))
    return frames


def find_long_edge(rings: Rings) -> float:
    """Return the degrees of the longest edge of an area, 0 to 180; of equally long ones the flattest."""
    corners = np.array([*rings[0], rings[0][0]])
    leg = np.diff(corners, axis=0)
    size = np.hypot(leg[:, 0], leg[:, 1])
    angle = np.degrees(np.arctan2(leg[:, 1], leg[:, 0])) % 180
    angle[angle > 179.999] = 0.0
    return float(min((-round(float(n), 4), round(float(a), 6)) for n, a in zip(size, angle, strict=True))[1])


def _frame(
    middle: Path,
    polygon: shapely.Polygon,
    turns: Path,
    *,
    closed: bool,
    most: float = np.inf,
    slants: tuple[float, float] = (0.0, 0.0),
) -> StripFrame:
    """Return the frame along a middle line: the line smoothed, the room measured across it, leaning with its ends."""
    length = measure_path(middle)
    straight = len(middle) == 2
    step = min(0.1, length / 24) if not straight else min(0.2, length / 8)
    step = max(step, length / 1500)
    count = max(8, round(length / step))
    line = walk_path(middle, np.linspace(0, length, count + 1))
    edges = _list_edges(polygon)
    if not straight:
        wide = 2 * float(np.median(shapely.distance(polygon.boundary, shapely.points(line))))
        half = int(0.5 * wide / (length / count))
        body = line[:-1] if closed else line
        for _ in range(2):
            body = smooth_values(body, half if closed else min(half, count // 6), closed=closed)
        line = np.concatenate([body, body[:1]]) if closed else body
        length = measure_path(line)
        line = walk_path(line, np.linspace(0, length, count + 1))
    at = np.linspace(0, length, count + 1)
    ahead = _find_heading(line, closed=closed)
    normal = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    if any(slants):
        lean = np.interp(at, (0, length), slants)[:, None]
        normal = np.cos(lean) * normal - np.sin(lean) * ahead
    left, right = (_cast(line, sign * normal, edges) for sign in (1, -1))
    bend = _find_bend(ahead, length / count, closed=closed)
    left = np.minimum(left, 0.8 / np.maximum(bend, 1e-9))
    right = np.minimum(right, 0.8 / np.maximum(-bend, 1e-9))
    half = max(1, int(min(0.25 * float(np.median(left + right)), length / 12) / (length / count)))
    left, right = (_soften(np.minimum(side, most), half, closed=closed) for side in (left, right))
    frame = StripFrame(at, line, normal, left, right, closed)
    if closed and len(turns):
        near = [float(at[int(np.argmin(np.hypot(*(line[:-1] - turn).T)))]) for turn in turns]
        frame = replace(frame, corners=tuple(sorted(set(near))))
    return frame


def _soften(side: Floats, half: int, *, closed: bool) -> Floats:
    if not closed:
        return lower_values(side, half, closed=False)
    soft = lower_values(side[:-1], half, closed=True)
    return np.concatenate([soft, soft[:1]])


def _find_heading(line: Path, *, closed: bool) -> Path:
    if closed:
        body = line[:-1]
        ahead = np.roll(body, -1, axis=0) - np.roll(body, 1, axis=0)
        ahead = np.concatenate([ahead, ahead[:1]])
    else:
        ahead = np.gradient(line, axis=0)
    return np.asarray(ahead / np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-12)[:, None])


def _find_bend(ahead: Path, step: float, *, closed: bool) -> Floats:
    """Return the curvature along a line, positive where it turns left."""
    angle = np.unwrap(np.arctan2(ahead[:, 1], ahead[:, 0]))
    if closed:
        angle = np.concatenate([angle[-2:-1] - (angle[-1] - angle[0]), angle, angle[1:2] + (angle[-1] - angle[0])])
        return np.asarray((angle[2:] - angle[:-2]) / (2 * step))
    return np.asarray(np.gradient(angle) / step)


def _list_edges(polygon: shapely.Polygon) -> tuple[Path, Path]:
    rings = [np.asarray(ring.coords) for ring in (polygon.exterior, *polygon.interiors)]
    return np.concatenate([ring[:-1] for ring in rings]), np.concatenate([ring[1:] for ring in rings])


def _cast(line: Path, toward: Path, edges: tuple[Path, Path]) -> Floats:
    """Return how far each place of a line is from the edge of the area in its direction."""
    a, run = edges[0][None], (edges[1] - edges[0])[None]
    gap = a - line[:, None]
    cross = toward[:, None, 0] * run[..., 1] - toward[:, None, 1] * run[..., 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        far = (gap[..., 0] * run[..., 1] - gap[..., 1] * run[..., 0]) / cross
        share = (gap[..., 0] * toward[:, None, 1] - gap[..., 1] * toward[:, None, 0]) / cross
    hit = (np.abs(cross) > 1e-12) & (share >= -1e-9) & (share <= 1 + 1e-9) & (far > -1e-7)
    return np.asarray(np.maximum(np.where(hit, far, FARTHEST).min(axis=1), 0.0))
