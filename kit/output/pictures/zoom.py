"""Close-ups: a drawing seen from nearby, its outlines and lines cut off at the edge of the picture."""

from dataclasses import replace
from itertools import pairwise
from typing import TypeAlias

from kit.geometry.outlines import Point, measure_box
from kit.geometry.paths import clip_line_to_box, clip_outline_to_box
from kit.model.sewing import Step
from kit.output.pictures.drawing import Arrow, Drawing
from kit.output.pictures.step_picture import SEAM
from kit.output.words.seam_places import LYING_STEP, SMALL
from kit.output.words.strings import say

Box: TypeAlias = tuple[float, float, float, float]


def zoom_in(drawing: Drawing, step: Step) -> Drawing:
    """Return a close-up of the added part, or of the seam, if that is small; else the drawing itself.

    Parameters
    ----------
    drawing
        Drawing of the step.
    step
        The step.
    """
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
        polygons=tuple(
            replace(one, points=seen) for one in drawing.polygons for seen in clip_outline_to_box(one.points, box)
        ),
        lines=tuple(
            replace(line, points=seen, dash=tuple(length * shrink for length in line.dash))
            for line in drawing.lines
            for ends in pairwise(line.points)
            if (seen := clip_line_to_box(ends, box))
        ),
        dots=tuple(replace(dot, radius=dot.radius * shrink) for dot in drawing.dots if _within(dot.at, box)),
        arrows=tuple(_shorten(arrow, shrink) for arrow in drawing.arrows if _within(arrow.points[0], box)),
        ends=tuple(end for end in drawing.ends if _within(end.at, box)),
    )


def lay_down(drawing: Drawing, *, turned: bool | None = None) -> Drawing:
    """Return a very high drawing lying on its side, its lower end at the left; return other drawings unchanged.

    Parameters
    ----------
    drawing
        Without notes.
    turned
        Whether to lay it down; None: if it is very high.
    """
    left, bottom, right, top = drawing.box
    if not (top - bottom >= LYING_STEP * (right - left) if turned is None else turned):
        return drawing

    def turn(point: Point) -> Point:
        return point[1], -point[0]

    return replace(
        drawing,
        box=(bottom, -right, top, -left),
        polygons=tuple(replace(one, points=tuple(map(turn, one.points))) for one in drawing.polygons),
        lines=tuple(replace(one, points=tuple(map(turn, one.points))) for one in drawing.lines),
        dots=tuple(replace(one, at=turn(one.at)) for one in drawing.dots),
        arrows=tuple(replace(one, points=(turn(one.points[0]), turn(one.points[1]))) for one in drawing.arrows),
        ends=tuple(replace(one, at=turn(one.at), way=one.way - 90) for one in drawing.ends),
    )


def _shorten(arrow: Arrow, shrink: float) -> Arrow:
    """Return an arrow of another length about its middle, or from its tail if it has one head."""
    (ax, ay), (bx, by) = arrow.points
    fixed = ((ax + bx) / 2, (ay + by) / 2) if arrow.both else (ax, ay)
    ends = [(fixed[0] + (x - fixed[0]) * shrink, fixed[1] + (y - fixed[1]) * shrink) for x, y in arrow.points]
    return replace(arrow, points=(ends[0], ends[1]), head=arrow.head * shrink)


def _within(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]
