"""The units and steps of the printed pattern as plain data, each step with its picture."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TypeAlias

from kit.geometry.outlines import Outline, Point, clip_outline, measure_box
from kit.model.pattern import Pattern
from kit.model.sewing import Step, Unit
from kit.output.drawing import Arrow, Drawing
from kit.output.instructions import StepWriter
from kit.output.steps import SEAM, draw_step
from kit.output.strings import say
from kit.output.svg import write_svg

Data: TypeAlias = dict[str, object]
Box: TypeAlias = tuple[float, float, float, float]

SMALL = 0.3
"""An added part under this share of the picture is shown from nearby."""

WHY = {"partial": "partial_why", "close": "close_why", "set in": "set_in_why", "trim": "trim_why"}
"""What is explained where a kind of step first occurs in a unit."""


def list_units(pattern: Pattern) -> tuple[list[Data], dict[str, str]]:
    """Return every unit with its steps, and the steps' pictures.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Returns
    -------
    tuple
        The units in the order of sewing, and file name -> SVG text.
    """
    writer = StepWriter(pattern, pattern.sewing)
    pictures: dict[str, str] = {}
    units = []
    explained: set[str] = set()
    for unit in pattern.sewing.units:
        steps = [step for step in pattern.sewing.steps if step.unit == unit.name]
        if not steps:
            continue
        entries = []
        for step in steps:
            whole = _strip_note(draw_step(pattern, pattern.sewing, step, writer))
            drawing = _zoom_in(whole, step)
            name = f"step-{step.number}.svg"
            pictures[name] = write_svg(drawing)
            entries.append(_write_step(step, drawing, name, writer, explained, detail=drawing is not whole))
            explained.add(step.kind)
        units.append(_write_unit(pattern, unit, entries, writer))
    return units, pictures


def _write_unit(pattern: Pattern, unit: Unit, steps: list[Data], writer: StepWriter) -> Data:
    names = {piece.id: piece.name for piece in pattern.cut_list.pieces}
    units = {one.name for one in pattern.sewing.units}
    parts = [f"({count}) {part if part in units else f'{names[part]} {part}'}" for part, count in unit.parts]
    last = unit.name == pattern.sewing.units[-1].name
    name = _capital(unit.name)
    return {
        "heading": name if unit.count == 1 else say("make_heading", name=name, count=unit.count),
        "parts": say("unit_top" if unit.count == 1 else "unit_parts", parts=_join(parts)),
        "size": say("unit_size", size=writer.write_size(unit)),
        "steps": steps,
        "top": last,
    }


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _join(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]


def _write_step(
    step: Step, drawing: Drawing, name: str, writer: StepWriter, explained: set[str], *, detail: bool
) -> Data:
    left, bottom, right, top = drawing.box
    why = WHY.get(step.kind, "")
    return {
        "number": say("step", number=step.number),
        "make": say("make_detail" if detail else "make", count=writer.units[step.unit].count),
        "text": writer.say(step),
        "why": say(why) if why and step.kind not in explained else "",
        "picture": {"file": name, "alt": drawing.title, "ratio": round((right - left) / (top - bottom), 4)},
    }


def _strip_note(drawing: Drawing) -> Drawing:
    """Return a step's drawing without the caption in it, which the document sets as text."""
    left, _, right, top = drawing.box
    points = [point for polygon in drawing.polygons for point in polygon.points]
    points += [point for line in drawing.lines for point in line.points]
    low = min(y for _, y in points)
    return replace(drawing, box=(left, low - 0.02 * max(right - left, top - low), right, top), notes=())


def _zoom_in(drawing: Drawing, step: Step) -> Drawing:
    """Return what lies round the added part, or the seam, where that is small; else the drawing itself."""
    added = set(step.second)
    points = [point for polygon in drawing.polygons if polygon.label in added for point in polygon.points]
    points = points or [point for line in drawing.lines if line.colour == SEAM for point in line.points]
    if not points or step.kind == "trim":
        return drawing
    low_x, low_y, high_x, high_y = measure_box(points)
    left, bottom, right, top = drawing.box
    span, reach = max(high_x - low_x, high_y - low_y), max(right - left, top - bottom)
    if span > SMALL * reach:
        return drawing
    box = (
        max(left, low_x - span), max(bottom, low_y - span), min(right, high_x + span), min(top, high_y + span),
    )  # fmt: skip
    shrink = max(box[2] - box[0], box[3] - box[1]) / reach
    return replace(
        drawing,
        box=box,
        title=say("detail", said=drawing.title),
        polygons=tuple(replace(one, points=seen) for one in drawing.polygons if (seen := _clip(one.points, box))),
        lines=tuple(
            replace(line, points=seen, dash=tuple(length * shrink for length in line.dash))
            for line in drawing.lines
            for ends in pairwise(line.points)
            if (seen := _cut_short(ends, box))
        ),
        dots=tuple(replace(dot, radius=dot.radius * shrink) for dot in drawing.dots if _within(dot.at, box)),
        arrows=tuple(_shorten(arrow, shrink) for arrow in drawing.arrows if _within(arrow.points[0], box)),
    )


def _shorten(arrow: Arrow, shrink: float) -> Arrow:
    """Return an arrow of another length about its middle, or from its tail where it has one head."""
    (ax, ay), (bx, by) = arrow.points
    fixed = ((ax + bx) / 2, (ay + by) / 2) if arrow.both else (ax, ay)
    ends = [(fixed[0] + (x - fixed[0]) * shrink, fixed[1] + (y - fixed[1]) * shrink) for x, y in arrow.points]
    return replace(arrow, points=(ends[0], ends[1]), head=arrow.head * shrink)


def _cut_short(ends: tuple[Point, Point], box: Box) -> tuple[Point, ...]:
    """Return the stretch of a line between two points that lies within a box, empty where none does.

    References
    ----------
    Y.-D. Liang, B. Barsky, A new concept and method for line clipping, ACM Transactions on Graphics 3 (1984), p. 1
    (from memory).
    """
    (ax, ay), (bx, by) = ends
    dx, dy = bx - ax, by - ay
    low, high = 0.0, 1.0
    for run, room in ((-dx, ax - box[0]), (dx, box[2] - ax), (-dy, ay - box[1]), (dy, box[3] - ay)):
        if run == 0:
            if room < 0:
                return ()
        elif run < 0:
            low = max(low, room / run)
        else:
            high = min(high, room / run)
    return ((ax + low * dx, ay + low * dy), (ax + high * dx, ay + high * dy)) if low < high else ()


def _within(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def _clip(outline: Outline, box: Box) -> Outline:
    """Return the part of an outline within a box; exact for convex ones, and enough to be seen for others."""
    left, bottom, right, top = box
    for a, b, c in ((-1.0, 0.0, -left), (1.0, 0.0, right), (0.0, -1.0, -bottom), (0.0, 1.0, top)):
        outline = clip_outline(outline, a, b, c) if len(outline) > 2 else ()
    return outline if len(outline) > 2 else ()
