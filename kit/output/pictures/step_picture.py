"""The steps of a sewing plan as pictures: one action each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import dist

from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_box
from kit.model.colour import find_lightness
from kit.model.pattern import Sketch
from kit.model.pressing import Press
from kit.model.sewing import SewingPlan, Step
from kit.output.pictures.drawing import INK, Arrow, Dot, Drawing, Line, Note, Polygon
from kit.output.pictures.letters import STITCH
from kit.output.words.seam_places import DrawnSeam
from kit.output.words.seam_words import CardSeams
from kit.output.words.step_words import StepSentences
from kit.output.words.strings import say

SEAM = STITCH
"""Colour of the seam in a step."""


def draw_step(
    sketch: Sketch, plan: SewingPlan, step: Step, writer: StepSentences | None = None, card: CardSeams | None = None
) -> Drawing:
    """Draw a step: both parts right side up as they lie in the top, the added one with a heavy outline.

    The seam is dashed; on a partial seam the stretch sewn now is solid up to a dot, and the rest is dashed. An arrow
    across the seam shows the side for pressing, an arrow with two heads a seam pressed open; a spun seam has one on
    either side of its centre. Ends that the words name carry their letters.

    Parameters
    ----------
    sketch
        A sketch or a pattern, for its fabrics.
    plan, step
        The plan and one of its steps.
    writer
        Says the plan's steps; made when None.
    card
        The seams of the card that the step stands on; None: those of the step alone.
    """
    writer = writer or StepSentences(sketch, plan)
    card = card or writer.open_alone(step)
    shapes = writer.places.list_shapes((*step.first, *step.second), step.number)
    left, bottom, right, top = measure_box(point for outline in shapes.values() for point in outline)
    reach = max(right - left, top - bottom)
    fabrics = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    fills = {patch: fabrics[sketch.colouring.assignment[patch]] for patch in shapes}
    polygons = tuple(Polygon(outline, fills[patch], patch) for patch, outline in shapes.items())
    seam = writer.places.find(step)
    lines = [Line(run, 3.5) for run in _trace(step.second, shapes)]
    dots: tuple[Dot, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    if step.kind == "trim" and step.trim is not None:
        cut = writer.places.place_trim(step)
        box = measure_box(cut)
        left, bottom = min(left, box[0]), min(bottom, box[1])
        right, top = max(right, box[2]), max(top, box[3])
        lines.append(Line((*cut, cut[0]), 3.0, (reach / 50, reach / 80), SEAM))
    if seam is not None:
        lines += draw_stitching(seam, step, reach)
        stops = (*((seam.inner,) if step.kind == "partial" else ()), *seam.stops)
        dots = tuple(Dot(place, reach / 70, SEAM) for place in dict.fromkeys(stops))
        if step.press is not None:
            arrows = tuple(_point_presses(seam, step, reach, shapes, fills))
    unit = writer.units[step.unit]
    size = f", {writer.write_size(unit)} unfinished" if writer.is_last(step) else ""
    caption = f"{f'step {step.told}: ' if step.told else ''}make {unit.count}{size}"
    note = Note(((left + right) / 2, bottom - reach * 0.06), caption, reach * 0.04)
    return Drawing(
        (left - reach * 0.02, bottom - reach * 0.09, right + reach * 0.02, top + reach * 0.02),
        f"{say('step_alt', number=step.told) if step.told else ''}{writer.say(step, card)}",
        polygons,
        tuple(lines),
        dots=dots,
        arrows=arrows,
        notes=(note,),
        ends=tuple(card.ends),
    )


def draw_stitching(seam: DrawnSeam, step: Step, reach: float) -> list[Line]:
    """Return a white ground and the seam on it; the sewn stretch of a partial seam is solid, other seams are dashed."""
    dash = (reach / 60, reach / 90)
    ground = Line((seam.start, seam.end), 7.0, (), "#ffffff")
    if step.kind == "partial":
        rest = [part for part in ((seam.start, seam.begin), (seam.stop, seam.end)) if dist(*part) > 10 * TOLERANCE]
        return [ground, *(Line(part, 3.0, dash, SEAM) for part in rest), Line((seam.begin, seam.stop), 4.0, (), SEAM)]
    if step.kind == "close":
        return [Line((seam.begin, seam.stop), 7.0, (), "#ffffff"), Line((seam.begin, seam.stop), 3.0, dash, SEAM)]
    return [ground, Line((seam.begin, seam.stop), 3.0, dash, SEAM)]


def _measure_depth(seam: DrawnSeam, outlines: Sequence[Outline]) -> float:
    """Return the reach of outlines from the line of a seam."""
    (x, y), (nx, ny) = seam.start, seam.toward_first
    return max(abs((px - x) * nx + (py - y) * ny) for outline in outlines for px, py in outline)


def _point_presses(
    seam: DrawnSeam, step: Step, reach: float, shapes: Mapping[str, Outline], fills: Mapping[str, str]
) -> Iterator[Arrow]:
    """Yield the arrow across the sewn stretch, or one on each side of the centre of a spun seam."""
    sides = {"first": step.along_first, "second": step.along_second, "open": step.along_first}
    press = step.press or "open"
    stretches = [(seam, press, sides[press])]
    if step.spun_at is not None and press != "open":
        part = (step.spun_at - step.sewn[0]) / (step.sewn[1] - step.sewn[0])
        (ax, ay), (bx, by) = seam.begin, seam.stop
        centre = ax + part * (bx - ax), ay + part * (by - ay)
        other: Press = "second" if press == "first" else "first"
        stretches = [
            (replace(seam, stop=centre), press, sides[press][:1]),
            (replace(seam, begin=centre), other, sides[other][-1:]),
        ]
    for stretch, toward, edges in stretches:
        colour = INK if _is_light([fills[edge.patch] for edge in edges]) else "#ffffff"
        depth = _measure_depth(seam, [shapes[edge.patch] for edge in edges])
        yield _point_press(stretch, toward, reach, depth, colour)


def _point_press(seam: DrawnSeam, press: Press, reach: float, depth: float, colour: str) -> Arrow:
    """Return the arrow across the middle of the sewn stretch, toward the side of the pressed allowances."""
    x, y = (seam.begin[0] + seam.stop[0]) / 2, (seam.begin[1] + seam.stop[1]) / 2
    sign = 1.0 if press == "first" else -1.0
    nx, ny = seam.toward_first[0] * sign, seam.toward_first[1] * sign
    size = min(reach * 0.07, 0.85 * depth)
    both = press == "open"
    tail = (x - nx * size, y - ny * size) if both else (x, y)
    return Arrow((tail, (x + nx * size, y + ny * size)), min(reach * 0.03, 0.6 * size), colour, both=both)


def _is_light(colours: Sequence[str]) -> bool:
    return sum(map(find_lightness, colours)) > 50 * len(colours)


def _trace(patches: Sequence[str], shapes: Mapping[str, Outline]) -> list[tuple[Point, ...]]:
    """Return the outside of some patches as closed lines."""
    if not patches:
        return []
    return [(*loop, loop[0]) for loop in build_mesh([shapes[patch] for patch in patches]).trace_outside()]
