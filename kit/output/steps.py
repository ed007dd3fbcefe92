"""The steps of a sewing plan as pictures and sentences: one action each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import dist

import numpy as np

from kit.geometry.mesh import Floats, Ints, Mesh, build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_box, offset_outline
from kit.lengths import write_nearest
from kit.model.colour import find_lightness
from kit.model.pattern import Sketch
from kit.model.sewing import SewingPlan, Step, Unit
from kit.output.drawing import INK, Arrow, Dot, Drawing, Line, Note, Polygon
from kit.output.words import describe_size

SEAM = "#b3261e"
"""Colour of the seam that is sewn in a step."""


def describe_step(sketch: Sketch, plan: SewingPlan, step: Step) -> str:
    r"""Say a step in one plain sentence: one action, numbers before nouns, the result last.

    Parameters
    ----------
    sketch
        A sketch or a pattern, for its cut list and units of length.
    plan, step
        The plan and one of its steps.
    """
    system = sketch.study.measures.system
    unit = _find_unit(plan, step)
    lies = _name_part(sketch, plan, step, step.first)
    result = _name_result(sketch, plan, step)
    press = _name_press(step)
    low, high = step.sewn
    if step.kind == "trim":
        return f"Trim {_count(unit)} along the marked outline: {result}."
    if not step.second:
        rest = write_nearest(high - low, system)
        if step.kind == "close":
            return f"Finish the seam that was left open, over {rest}{press}: {result}."
        return f"Turn the work and sew the next edge of the set-in seam, over {rest}{press}: {result}."
    added = _pause(_name_part(sketch, plan, step, step.second))
    stop = write_nearest(high - low, system)
    if step.kind == "partial":
        return (
            f"Sew {added} to {_pause(lies)} over {stop} only, from the end that is drawn whole to the dot, and leave"
            f" the rest open{press}: {result}."
        )
    if step.kind == "set in":
        return (
            f"Set {added} into {lies}: sew over {stop} from seam line to seam line, and leave the allowances at the"
            f" corner free{press}: {result}."
        )
    ragged = ", the ends uneven as drawn" if step.ragged else ""
    return f"Sew {added} to {lies}{ragged}{press}: {result}."


def list_steps(sketch: Sketch, plan: SewingPlan) -> list[dict[str, object]]:
    """Return one row a step: number, unit, how many to make, what is done, where to press, unfinished size."""
    rows: list[dict[str, object]] = []
    for step in plan.steps:
        unit = _find_unit(plan, step)
        rows.append(
            {
                "Step": step.number,
                "Unit": unit.name,
                "Make": unit.count,
                "Action": describe_step(sketch, plan, step),
                "Press": {"first": "away from the added part", "second": "toward the added part", "open": "open"}.get(
                    step.press or "", "–"
                ),
                "Unfinished": _write_size(unit, sketch) if _is_last(plan, step) else "–",
            }
        )
    return rows


def _find_unit(plan: SewingPlan, step: Step) -> Unit:
    return next(unit for unit in plan.units if unit.name == step.unit)


def _is_last(plan: SewingPlan, step: Step) -> bool:
    return all(other.number <= step.number for other in plan.steps if other.unit == step.unit)


def _write_size(unit: Unit, sketch: Sketch) -> str:
    system = sketch.study.measures.system
    return " × ".join(write_nearest(size, system) for size in unit.unfinished)


def _name_result(sketch: Sketch, plan: SewingPlan, step: Step) -> str:
    unit = _find_unit(plan, step)
    if _is_last(plan, step):
        return f"{_count(unit)}, {_write_size(unit, sketch)} unfinished"
    return f"{_count(unit)}, begun"


def _pause(part: str) -> str:
    """Return a part with a comma after it where its size stands beside its name."""
    return f"{part}," if "," in part else part


def _count(unit: Unit) -> str:
    return f"({unit.count}) {unit.name}" if unit.count > 1 else f"the {unit.name}"


def _name_press(step: Step) -> str:
    return {
        "first": ", and press the seam away from the added part",
        "second": ", and press the seam toward the added part",
        "open": ", and press the seam open",
    }.get(step.press or "", "")


def _name_part(sketch: Sketch, plan: SewingPlan, step: Step, patches: Sequence[str]) -> str:
    """Return what a step takes up: so many of a piece with its cut size, of a unit, or what an earlier step gave."""
    count = _find_unit(plan, step).count
    if len(patches) == 1:
        piece = sketch.cut_list.piece_of[patches[0]]
        size = describe_size(piece.kind, piece.rounded, sketch.study.measures.system)
        hand = f" {piece.hand}" if piece.hand else ""
        cut = "" if size.startswith(("template", "strip")) else "cut "
        return f"({count}){hand} {piece.name} {piece.id}, {cut}{size}"
    wanted = frozenset(patches)
    for unit in plan.units:
        if unit.name != step.unit and len(unit.copies[0]) == len(wanted) and wanted in map(frozenset, unit.copies):
            return f"({count}) {unit.name}"
    earlier = [
        other.number for other in plan.steps if other.number < step.number and wanted == {*other.first, *other.second}
    ]
    return f"({count}) part of step {earlier[-1]}" if earlier else f"({count}) part of {len(wanted)} patches"


# Pictures


def draw_step(sketch: Sketch, plan: SewingPlan, step: Step) -> Drawing:
    """Draw a step: both parts right side up as they lie in the top, the added one outlined heavily.

    The seam is dashed; of a partial seam what is sewn now is whole up to a dot, and the rest is dashed. An arrow across
    the seam shows to which side it is pressed, one with two heads that it is pressed open.

    Parameters
    ----------
    sketch
        A sketch or a pattern, for its fabrics.
    plan, step
        The plan and one of its steps.
    """
    shapes = _find_shapes(sketch, plan, step)
    left, bottom, right, top = measure_box(point for outline in shapes.values() for point in outline)
    reach = max(right - left, top - bottom)
    fabrics = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    fills = {patch: fabrics[sketch.colouring.assignment[patch]] for patch in shapes}
    polygons = tuple(Polygon(outline, fills[patch], patch) for patch, outline in shapes.items())
    seam = _find_seam(step, shapes)
    lines = [Line(run, 3.5) for run in _trace(step.second, shapes)]
    dots: tuple[Dot, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    if step.kind == "trim" and step.trim is not None:
        cut = _place_trim(sketch, step)
        box = measure_box(cut)
        left, bottom = min(left, box[0]), min(bottom, box[1])
        right, top = max(right, box[2]), max(top, box[3])
        lines.append(Line((*cut, cut[0]), 3.0, (reach / 50, reach / 80), SEAM))
    if seam is not None:
        lines += _draw_seam(seam, step, reach)
        if step.kind == "partial":
            dots = (Dot(seam.inner, reach / 70, SEAM),)
        if step.press is not None:
            edges = step.along_second if step.press == "second" else step.along_first
            colour = INK if _is_light([fills[edge.patch] for edge in edges]) else "#ffffff"
            arrows = (_point_press(seam, step, reach, colour),)
    unit = _find_unit(plan, step)
    caption = f"step {step.number}: make {unit.count}"
    note = Note(((left + right) / 2, bottom - reach * 0.06), caption, reach * 0.04)
    return Drawing(
        (left - reach * 0.02, bottom - reach * 0.09, right + reach * 0.02, top + reach * 0.02),
        f"Step {step.number}. {describe_step(sketch, plan, step)}",
        polygons,
        tuple(lines),
        dots=dots,
        arrows=arrows,
        notes=(note,),
    )


def _find_shapes(sketch: Sketch, plan: SewingPlan, step: Step) -> dict[str, Outline]:
    """Return the outline of each patch of a step, as it was sewn where its part is trimmed only later."""
    later = {
        patch for other in plan.steps if other.kind == "trim" and other.number >= step.number for patch in other.first
    }
    by_id = sketch.patchwork.by_id
    return {
        patch: (by_id[patch].sewn if patch in later else None) or by_id[patch].outline
        for patch in (*step.first, *step.second)
    }


@dataclass(frozen=True)
class _Seam:
    """The seam of a step in the top's own frame: its two ends, what is sewn now, and the side of the part that lies."""

    start: Point
    end: Point
    begin: Point
    stop: Point
    toward_first: Point

    @property
    def inner(self) -> Point:
        """The end of what is sewn now that lies within the seam: where to stop."""
        return self.begin if dist(self.start, self.begin) > 10 * TOLERANCE else self.stop


def _find_seam(step: Step, shapes: Mapping[str, Outline]) -> _Seam | None:
    """Return the seam between the patches whose edges a step names, or None where nothing is sewn."""
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
    return _Seam(at(along[0]), at(along[1]), at(low), at(high), (float(-u[1]), float(u[0])))


def _find_ends(mesh: Mesh, sides: Ints, shapes: Mapping[str, Outline], names: Sequence[str]) -> Floats:
    """Return both ends of every edge of the part that lies to which the sides belong."""
    ends = []
    for face, edge in {(int(mesh.face[s]), int(mesh.edge[s])) for s in sides}:
        outline = shapes[names[face]]
        ends += [outline[edge], outline[(edge + 1) % len(outline)]]
    return np.array(ends)


def _runs_backward(ours: Sequence[int], theirs: Sequence[int], mesh: Mesh, sides: Ints, u: Floats) -> bool:
    """Tell whether sewing goes against the first part's edges, by the order in which they are named."""
    for order, faces in ((ours, mesh.face[sides]), (theirs, mesh.face[mesh.twin[sides]])):
        seen = [face for face in order if face in faces]
        if len(set(seen)) > 1:
            place = {int(f): float(mesh.nodes[mesh.start[s]] @ u) for f, s in zip(faces, sides, strict=True)}
            return place[seen[0]] > place[seen[-1]]
    return False


def _draw_seam(seam: _Seam, step: Step, reach: float) -> list[Line]:
    """Return a white ground and the seam on it; of a partial seam the sewn stretch is whole, of others dashed."""
    dash = (reach / 60, reach / 90)
    ground = Line((seam.start, seam.end), 7.0, (), "#ffffff")
    if step.kind == "partial":
        rest = [part for part in ((seam.start, seam.begin), (seam.stop, seam.end)) if dist(*part) > 10 * TOLERANCE]
        return [ground, *(Line(part, 3.0, dash, SEAM) for part in rest), Line((seam.begin, seam.stop), 4.0, (), SEAM)]
    if step.kind == "close":
        return [Line((seam.begin, seam.stop), 7.0, (), "#ffffff"), Line((seam.begin, seam.stop), 3.0, dash, SEAM)]
    return [ground, Line((seam.begin, seam.stop), 3.0, dash, SEAM)]


def _point_press(seam: _Seam, step: Step, reach: float, colour: str) -> Arrow:
    """Return the arrow across the middle of what is sewn, toward the side that the allowances are pressed to."""
    x, y = (seam.begin[0] + seam.stop[0]) / 2, (seam.begin[1] + seam.stop[1]) / 2
    sign = 1.0 if step.press == "first" else -1.0
    nx, ny = seam.toward_first[0] * sign, seam.toward_first[1] * sign
    size = reach * 0.07
    tail = (x - nx * size, y - ny * size) if step.press == "open" else (x, y)
    return Arrow((tail, (x + nx * size, y + ny * size)), reach * 0.03, colour, both=step.press == "open")


def _is_light(colours: Sequence[str]) -> bool:
    return sum(map(find_lightness, colours)) > 50 * len(colours)


def _trace(patches: Sequence[str], shapes: Mapping[str, Outline]) -> list[tuple[Point, ...]]:
    """Return the outside of some patches as closed lines."""
    if not patches:
        return []
    return [(*loop, loop[0]) for loop in build_mesh([shapes[patch] for patch in patches]).trace_outside()]


def _place_trim(sketch: Sketch, step: Step) -> Outline:
    """Return the outline to trim to, moved from the frame of the first piece to where that lies in the top."""
    patch = sketch.patchwork.by_id[step.first[0]]
    piece = sketch.cut_list.piece_of[patch.id]
    turn = piece.turns[piece.patches.index(patch.id)]
    cut = offset_outline(patch.sewn or patch.outline, sketch.cut_list.allowance)
    here, after = complex(*cut[turn]), complex(*cut[(turn + 1) % len(cut)])
    base, ahead = complex(*piece.outline[0]), complex(*piece.outline[1])
    z = (after - here) / (ahead - base)
    z /= abs(z)
    placed = [z * (complex(x, y) - base) + here for x, y in step.trim or ()]
    return tuple((point.real, point.imag) for point in placed)
