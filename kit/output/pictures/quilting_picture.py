"""The quilting drawn over the quilt: lines, dotted travel, starts, stops, open gaps; and for tracing at full size."""

import re
from collections.abc import Sequence
from math import cos, pi, sin

import numpy as np
import shapely
from bokeh.plotting import figure

from kit.geometry.outlines import Point
from kit.lengths import CM, write_nearest
from kit.model.colour import tint
from kit.model.pattern import Sketch
from kit.model.quilting import Gap, QuiltingPlan, ThreadRun
from kit.output.pictures.drawing import Dot, Drawing, Line, Polygon
from kit.output.pictures.svg import write_svg
from kit.output.words.quilting_words import list_threads
from kit.output.words.strings import say

TRAVEL = "#1d4f91"
OPEN = "#c01818"
START, STOP = "#12805c", "#b3261e"
FINE = 0.01
"""Inches: the greatest distance between a drawn curve and the stitched one."""

DASHES = (), (0.024, 0.008), (0.024, 0.007, 0.003, 0.007), (0.01, 0.008)
"""Ink and gap of the lines of the first four threads, as parts of the size of the top; then all over again."""


def draw_quilting(sketch: Sketch, plan: QuiltingPlan, *, tracing: bool = False) -> Drawing:
    """Draw the lines over the pale top: travel dotted, a dot at each start, a ring at each stop, open spaces circled.

    Each thread's lines have their own dash, to tell threads apart without colour.

    Parameters
    ----------
    sketch
        A sketch or a pattern, for the top and its colours.
    plan
        Its quilting.
    tracing
        Only lines on white, for tracing.
    """
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    assignment = sketch.colouring.assignment
    polygons = tuple(
        Polygon(p.outline, "#ffffff" if tracing else tint(tint(colours[assignment[p.id]])), p.id)
        for p in sketch.patchwork.patches
    )
    width, height = sketch.patchwork.finished
    size = (width * height) ** 0.5
    threads = enumerate(list_threads(plan.wishes))
    dashes = {colour: tuple(part * size for part in DASHES[k % 4]) for k, colour in threads}
    lines = [Line(simplify(line.points), 2.2, dashes.get(line.colour, ()), line.colour) for line in plan.lines]
    lines += [
        Line(path, 1.5, (0.004 * size, 0.004 * size), TRAVEL) for run in plan.runs for path in list_travel(plan, run)
    ]
    lines += [Line(_circle(gap), 2.5, (), OPEN) for gap in plan.open_gaps]
    system = sketch.study.measures.system
    title = say(
        "quilting_alt", title=sketch.study.title, lines=len(plan.lines), threads=len(plan.runs),
        length=write_nearest(plan.wished, system), space=write_nearest(plan.gap.width, system),
    )  # fmt: skip
    return Drawing(sketch.patchwork.box, title, polygons, tuple(lines), "#b8b0a6", _mark_stops(plan, size))


def _mark_stops(plan: QuiltingPlan, size: float) -> tuple[Dot, ...]:
    dots: list[Dot] = []
    for stop in plan.stops:
        if stop.kind == "start":
            dots.append(Dot(stop.at, 0.009 * size, START))
        else:
            dots += [Dot(stop.at, 0.0075 * size, STOP), Dot(stop.at, 0.004 * size, "#ffffff")]
    return tuple(dots)


def simplify(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return a path without its invisible points."""
    path = shapely.LineString(points).simplify(FINE)
    return tuple((float(x), float(y)) for x, y in path.coords)


def list_travel(plan: QuiltingPlan, run: ThreadRun) -> list[tuple[Point, ...]]:
    """Return the paths of travel of a run, each from end to end."""
    paths: list[list[Point]] = []
    before = False
    for stretch in run.stretches:
        points = plan.strands[stretch.strand].points
        points = points[::-1] if stretch.back else points
        if stretch.kind == "stitch":
            before = False
            continue
        if before:
            paths[-1].extend(points[1:])
        else:
            paths.append(list(points))
        before = True
    return [simplify(path) for path in paths]


def _circle(gap: Gap) -> tuple[Point, ...]:
    (x, y), r = gap.at, gap.width / 2
    return tuple((x + r * cos(k * pi / 24), y + r * sin(k * pi / 24)) for k in range(49))


def write_tracing(sketch: Sketch, plan: QuiltingPlan) -> str:
    """Return an SVG of the lines for printing at full size: an inch of the drawing is an inch of the quilt."""
    drawing = draw_quilting(sketch, plan, tracing=True)
    left, bottom, right, top = drawing.box
    margin = 0.02 * max(right - left, top - bottom)
    wide, high = right - left + margin, top - bottom + margin
    text = write_svg(drawing)
    return re.sub(r' width="\d+" height="\d+"', f' width="{wide:.4f}in" height="{high:.4f}in"', text, count=1)


def trace_route(plan: QuiltingPlan) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the corners of the whole route, (n, 2), how many inches each comes after, and the stretch that it ends.

    Invisible corners are left out; the inches are those of the stitches. A cut thread is marked by a corner that is
    not a number.
    """
    parts, after, stretches = [], [], []
    number, gone = 0, 0.0
    for run in plan.runs:
        for stretch in run.stretches:
            strand = plan.strands[stretch.strand]
            points = np.array(simplify(strand.points))
            points = points[::-1] if stretch.back else points
            along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
            parts.append(points)
            after.append(gone + along * (strand.length / along[-1]))
            stretches.append(np.full(len(points), number))
            gone += strand.length
            number += 1
        parts.append(np.full((1, 2), np.nan))
        after.append(np.full(1, gone))
        stretches.append(np.full(1, number - 1))
    return np.concatenate(parts), np.concatenate(after), np.concatenate(stretches)


def add_quilting(plot: figure, plan: QuiltingPlan, *, metric: bool = False) -> None:
    """Lay the quilting over a preview of the top.

    Parameters
    ----------
    plot
        A figure whose axes are inches, or centimetres when `metric`.
    plan
        The plan to draw. 20,000 in of lines are some 50,000 points on the page.
    metric
        See `plot`.
    """
    scale = 1 / CM if metric else 1.0

    travel = [path for run in plan.runs for path in list_travel(plan, run)]
    layers = (
        (
            [simplify(line.points) for line in plan.lines],
            [line.colour for line in plan.lines],
            "solid",
            "quilting lines",
        ),
        (travel, [TRAVEL] * len(travel), "dotted", "quilting travel"),
        ([_circle(gap) for gap in plan.open_gaps], [OPEN] * len(plan.open_gaps), "solid", "open spaces"),
    )
    for paths, colours, dash, name in layers:
        xs, ys = ([[p[k] * scale for p in path] for path in paths] for k in (0, 1))
        plot.multi_line(xs=xs, ys=ys, line_color=colours, line_dash=dash, line_width=1.5, name=name)
    for kind, colour, fill in (("start", START, START), ("stop", STOP, "#ffffff")):
        at = [stop.at for stop in plan.stops if stop.kind == kind]
        plot.scatter(
            [x * scale for x, _ in at], [y * scale for _, y in at],
            size=9, line_color=colour, line_width=2, fill_color=fill, name=f"quilting {kind}s",
        )  # fmt: skip
