"""Where the seams of a plan lie in the top: their ends, the stretch sewn now, their stops, the added part's edge."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import atan2, degrees, dist, hypot, inf

import numpy as np

from kit.geometry.mesh import Floats, Ints, Mesh, build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_box, offset_outline, tidy_outline
from kit.model.pattern import Sketch
from kit.model.sewing import Edge, SewingPlan, Step

Box = tuple[float, float, float, float]

SIDES = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")
"""What the edges of a part are called by the way they face, from the right on, counter-clockwise."""
NEAR = 10 * TOLERANCE
"""Inches: ends of seams that are closer are one place."""
LYING_RUN, LYING_STEP = 1.6, 2.5
"""A picture higher than this many times its width lies on its side: of several steps, of one step."""
SMALL = 0.3
"""An added part under this share of the picture is shown from nearby."""
ENOUGH = 0.7
"""Only the surroundings of the parts are shown if they take less than this share of the whole unit."""


@dataclass(frozen=True)
class DrawnSeam:
    """The seam of a step in its place in the top: its ends, the stretch sewn now, the side of the first part, stops."""

    start: Point
    end: Point
    begin: Point
    stop: Point
    toward_first: Point
    stops: tuple[Point, ...] = ()

    @property
    def inner(self) -> Point:
        """The end of the stretch within the seam: the place to stop."""
        return self.begin if dist(self.start, self.begin) > NEAR else self.stop


class SeamPlaces:
    """Finds the seams of one plan.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    plan
        Its steps.
    """

    def __init__(self, sketch: Sketch, plan: SewingPlan) -> None:
        self.sketch, self.plan = sketch, plan
        self.known = sketch.patchwork.by_id
        self.trimmed: dict[str, int] = {}
        for step in plan.steps:
            if step.kind == "trim":
                self.trimmed.update(dict.fromkeys(step.first, step.number))
        self._seams: dict[int, DrawnSeam | None] = {}
        self._facing: dict[int, float | None] = {}

    def list_shapes(self, patches: Sequence[str], number: int) -> dict[str, Outline]:
        """Return the outline of each patch as it lies in a step, untrimmed if its part is trimmed only later."""
        found = {}
        for name in patches:
            patch = self.known[name]
            found[name] = (patch.sewn if self.trimmed.get(name, 0) >= number else None) or patch.outline
        return found

    def find(self, step: Step) -> DrawnSeam | None:
        """Return the seam of a step, None if nothing is sewn in it."""
        if step.number not in self._seams:
            met = dict.fromkeys(edge.patch for edge in (*step.along_first, *step.along_second))
            self._seams[step.number] = find_seam(step, self.list_shapes(tuple(met), step.number))
        return self._seams[step.number]

    def trace(self, patches: Sequence[str], number: int) -> tuple[Outline, ...]:
        """Return the outside of some patches in a step, without corners in straight edges."""
        shapes = list(self.list_shapes(patches, number).values())
        return tuple(tidy_outline(loop) for loop in _trace(tuple(shapes)))

    def find_facing(self, step: Step) -> float | None:
        """Return the way that the sewn edge of the added part faces, if that way names the seam without doubt.

        The seam runs along one whole edge of the added part, the edge that it meets is as long, and the part has no
        other edge that faces the same side; degrees from the right, counter-clockwise. None for any other seam.
        """
        if step.number not in self._facing:
            self._facing[step.number] = self._measure_facing(step)
        return self._facing[step.number]

    def _measure_facing(self, step: Step) -> float | None:
        seam = self.find(step)
        if seam is None or step.kind != "join" or step.ragged or step.stops:
            return None
        loops = self.trace(step.second, step.number)
        if len(loops) != 1 or dist(seam.start, seam.end) > dist(seam.begin, seam.stop) + NEAR:
            return None
        facing = degrees(atan2(seam.toward_first[1], seam.toward_first[0]))
        mine = [ends for ends, way in list_facing(loops[0]) if name_side(way) == name_side(facing)]
        if len(mine) != 1 or not _is_same(mine[0], (seam.begin, seam.stop)):
            return None
        return facing if self._is_flush(step, seam) else None

    def _is_flush(self, step: Step, seam: DrawnSeam) -> bool:
        """Return True if the edges of the first part that are named reach from end to end of the seam, no farther."""
        low, high = self._measure(step.along_first, step.number, seam.begin, seam.stop)
        return low > -NEAR and high < dist(seam.begin, seam.stop) + NEAR

    def measure_reach(self, step: Step, begin: Point, end: Point) -> tuple[float, float]:
        """Return where the named edges of the added part begin and end, inches from a point toward another."""
        return self._measure(step.along_second, step.number, begin, end)

    def _measure(self, edges: Sequence[Edge], number: int, begin: Point, end: Point) -> tuple[float, float]:
        u = _aim(begin, end)
        spots = [
            _dot(u, begin, point)
            for outline in self.list_shapes([edge.patch for edge in edges], number).values()
            for side in _list_sides(outline)
            if max(abs(_cross(u, begin, point)) for point in side) < NEAR
            for point in side
        ]
        return (min(spots), max(spots)) if spots else (0.0, dist(begin, end))

    def find_leg(self, step: Step, onward: int) -> DrawnSeam | None:
        """Return the seam before or after a step, if it is one set-in seam with it; `onward` is -1 or 1."""
        place = step.number - 1 + onward
        if not 0 <= place < len(self.plan.steps):
            return None
        other = self.plan.steps[place]
        leg = other if onward > 0 else step
        joined = leg.kind == "set in" and not leg.second and other.unit == step.unit
        return self.find(other) if joined and other.kind in ("join", "set in") else None

    def place_trim(self, step: Step) -> Outline:
        """Return the outline of a trim, moved from the frame of the first piece to its place in the top.

        A square lies the same after a quarter turn, so its frame alone does not tell how the outline lies: of the turns
        in which the piece lies as designed, the one is taken that leaves most room about the trimmed patches.
        """
        patch = self.known[step.first[0]]
        piece = self.sketch.cut_list.piece_of[patch.id]
        cut = [
            complex(*corner) for corner in offset_outline(patch.sewn or patch.outline, self.sketch.cut_list.allowance)
        ]
        own = [complex(*corner) for corner in piece.outline]
        inside = [corner for name in step.first for corner in self.known[name].outline]
        best: tuple[float, Outline] = (inf, ())
        for turn in range(len(cut)):
            z = (cut[(turn + 1) % len(cut)] - cut[turn]) / (own[1] - own[0])
            z /= abs(z)
            if max(abs(z * (p - own[0]) + cut[turn] - cut[(turn + i) % len(cut)]) for i, p in enumerate(own)) > NEAR:
                continue
            moved = [z * (complex(x, y) - own[0]) + cut[turn] for x, y in step.trim or ()]
            placed = tuple((p.real, p.imag) for p in moved)
            least = min(_cross(_aim(a, b), a, point) for a, b in _list_sides(placed) for point in inside)
            best = min(best, (-least, placed))
        return best[1]

    def lies_down(self, steps: Sequence[Step]) -> bool:
        """Return True if the picture of a card is drawn lying on its side, because it would be very high."""
        if len(steps) > 1:
            biggest = max(steps, key=lambda step: len(step.second) + len(step.first))
            shapes = self.list_shapes((*biggest.first, *biggest.second), biggest.number)
            parts = [[shapes[patch] for patch in step.second] for step in steps if step.second]
            box = choose_box(parts, _frame(shapes.values()))
            return box[3] - box[1] > LYING_RUN * (box[2] - box[0])
        (step,) = steps
        shapes = self.list_shapes((*step.first, *step.second), step.number)
        box = _frame(shapes.values())
        seam = self.find(step)
        points = [point for patch in step.second for point in shapes[patch]]
        points = points or ([seam.begin, seam.stop] if seam else [])
        if points and step.kind != "trim":
            near = measure_box(points)
            span = max(near[2] - near[0], near[3] - near[1])
            if span <= SMALL * max(box[2] - box[0], box[3] - box[1]):
                box = _widen(near, span, box)
        return box[3] - box[1] >= LYING_STEP * (box[2] - box[0])


def choose_box(parts: Sequence[Sequence[Outline]], whole: Box) -> Box:
    """Return the frame of a picture: the parts and their surroundings, or the whole unit if that is hardly more.

    Parameters
    ----------
    parts
        The outlines of each part that is added.
    whole
        The frame of the whole unit, inches.
    """
    boxes = [_frame(outlines) for outlines in parts]
    span = max(max(right - left, top - bottom) for left, bottom, right, top in boxes)
    together = (*(min(box[i] for box in boxes) for i in (0, 1)), *(max(box[i] for box in boxes) for i in (2, 3)))
    near = _widen((together[0], together[1], together[2], together[3]), span, whole)
    small = max(near[2] - near[0], near[3] - near[1]) < ENOUGH * max(whole[2] - whole[0], whole[3] - whole[1])
    return near if small else whole


def _widen(box: Box, span: float, whole: Box) -> Box:
    return (
        max(box[0] - span, whole[0]), max(box[1] - span, whole[1]),
        min(box[2] + span, whole[2]), min(box[3] + span, whole[3]),
    )  # fmt: skip


def _frame(outlines: Iterable[Outline]) -> Box:
    return measure_box([point for outline in outlines for point in outline])


def _trace(outlines: tuple[Outline, ...]) -> tuple[Outline, ...]:
    return outlines if len(outlines) == 1 else tuple(build_mesh(list(outlines)).trace_outside())


def name_side(way: float) -> str:
    """Return what an edge is called that faces some way, degrees from the right, counter-clockwise.

    Examples
    --------
    >>> name_side(180), name_side(-90), name_side(40)
    ('left', 'bottom', 'upper right')
    """
    return SIDES[round(way / 45) % 8]


def list_facing(outline: Outline) -> list[tuple[tuple[Point, Point], float]]:
    """Return both ends of each edge of an outline, and the way that it faces, degrees.

    Examples
    --------
    >>> [round(way) for _, way in list_facing(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))]
    [-90, 0, 90, 180]
    """
    return [((a, b), degrees(atan2(a[0] - b[0], b[1] - a[1]))) for a, b in _list_sides(outline)]


def _list_sides(outline: Outline) -> list[tuple[Point, Point]]:
    return list(zip(outline, (*outline[1:], outline[0]), strict=True))


def _is_same(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    return any(dist(one[0], ends[0]) < NEAR and dist(one[1], ends[1]) < NEAR for ends in (other, other[::-1]))


def _aim(a: Point, b: Point) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _dot(u: Point, origin: Point, point: Point) -> float:
    return u[0] * (point[0] - origin[0]) + u[1] * (point[1] - origin[1])


def _cross(u: Point, origin: Point, point: Point) -> float:
    return u[0] * (point[1] - origin[1]) - u[1] * (point[0] - origin[0])


def find_seam(step: Step, shapes: Mapping[str, Outline]) -> DrawnSeam | None:
    """Return the seam between the patches of a step's named edges, or None if nothing is sewn."""
    if not step.along_first or not step.along_second:
        return None
    names = list(shapes)
    mesh = build_mesh(list(shapes.values()))
    ours = [names.index(edge.patch) for edge in step.along_first]
    theirs = [names.index(edge.patch) for edge in step.along_second]
    inner = np.flatnonzero((mesh.twin >= 0) & np.isin(mesh.face, ours))
    inner = inner[np.isin(mesh.face[mesh.twin[inner]], theirs)]
    if not len(inner):
        return None
    a, b = mesh.nodes[mesh.start[inner]], mesh.nodes[mesh.end[inner]]
    longest = int(np.argmax(mesh.lengths[inner]))
    u = (b[longest] - a[longest]) / mesh.lengths[inner][longest]
    off = np.abs((a - a[longest]) @ np.array([-u[1], u[0]])) + np.abs((b - a[longest]) @ np.array([-u[1], u[0]]))
    inner = inner[(off < 10 * TOLERANCE) & ((b - a) @ u > 0)]
    ends = _find_ends(mesh, inner, shapes, names)
    t = (ends - a[longest]) @ u
    backward = _runs_backward(ours, theirs, mesh, inner, u)
    origin, way = (float(t.max()), -1.0) if backward else (float(t.min()), 1.0)

    def at(length: float) -> Point:
        x, y = a[longest] + (origin + way * length) * u
        return float(x), float(y)

    span = float(t.max() - t.min())
    met = (np.concatenate([mesh.nodes[mesh.start[inner]], mesh.nodes[mesh.end[inner]]]) - a[longest]) @ u
    along = sorted(way * (float(value) - origin) for value in (met.min(), met.max()))
    low, high = step.sewn if step.sewn[1] > step.sewn[0] else (0.0, span)
    low, high = max(low, along[0]), min(high, along[1])
    aside = (float(-u[1]), float(u[0]))
    return DrawnSeam(at(along[0]), at(along[1]), at(low), at(high), aside, tuple(at(place) for place in step.stops))


def _find_ends(mesh: Mesh, sides: Ints, shapes: Mapping[str, Outline], names: Sequence[str]) -> Floats:
    """Return both ends of every edge of the first part along the sides."""
    ends = []
    for face, edge in {(int(mesh.face[s]), int(mesh.edge[s])) for s in sides}:
        outline = shapes[names[face]]
        ends += [outline[edge], outline[(edge + 1) % len(outline)]]
    return np.array(ends)


def _runs_backward(ours: Sequence[int], theirs: Sequence[int], mesh: Mesh, sides: Ints, u: Floats) -> bool:
    """Return True if sewing goes against the first part's edges, by the order of their names."""
    for order, faces in ((ours, mesh.face[sides]), (theirs, mesh.face[mesh.twin[sides]])):
        seen = [face for face in order if face in faces]
        if len(set(seen)) > 1:
            place = {int(f): float(mesh.nodes[mesh.start[s]] @ u) for f, s in zip(faces, sides, strict=True)}
            return place[seen[0]] > place[seen[-1]]
    return False
