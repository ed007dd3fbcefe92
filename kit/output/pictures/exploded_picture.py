"""The top taken apart: its parts a little away from one another, each with the number of the step that adds it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import dist

from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline, measure_box, move_outline
from kit.model.pattern import Pattern
from kit.model.sewing import Step
from kit.output.pictures.drawing import BLACK, Dot, Drawing, Line, Note, Polygon
from kit.output.pictures.end_letters import DROP, RIM
from kit.output.pictures.letters import find_spot, make_pale
from kit.output.pictures.picture_sizes import Room, find_scale
from kit.output.words.strings import say
from kit.output.words.taken_apart import is_taken_apart, list_adding

WIDER = 1.02
"""The width of the picture, in widths of its contents."""
APART = 0.16
"""How far a part moves out, as a share of its distance from the middle of the top."""


def draw_exploded(pattern: Pattern, room: Room, letter: float) -> Drawing | None:
    """Draw the parts of the top apart, numbered by their steps; None for too few or too many parts.

    Parameters
    ----------
    pattern
        Every plan of a study.
    room, letter
        The room of the picture on paper and the height of its numbers, millimetres.
    """
    if not is_taken_apart(pattern.sewing):
        return None
    adding = list_adding(pattern.sewing)
    parts = list(_list_parts(adding))
    known = pattern.patchwork.by_id
    fabrics = {fabric.name: make_pale(fabric.colour) for fabric in pattern.study.fabrics}
    left, bottom, right, top = pattern.patchwork.box
    centre = (left + right) / 2, (bottom + top) / 2
    polygons: list[Polygon] = []
    lines: list[Line] = []
    loops: list[tuple[str, list[Outline]]] = []
    for told, patches in parts:
        box = measure_box(point for name in patches for point in known[name].outline)
        dx, dy = (APART * ((low + high) / 2 - c) for low, high, c in zip(box[:2], box[2:], centre, strict=True))
        moved = {name: move_outline(known[name].outline, dx, dy) for name in patches}
        polygons += [
            Polygon(outline, fabrics[pattern.colouring.assignment[name]], name) for name, outline in moved.items()
        ]
        traced = build_mesh(list(moved.values())).trace_outside()
        lines += [Line((*loop, loop[0]), 2.0) for loop in traced]
        loops.append((told, list(traced)))
    frame = measure_box(point for polygon in polygons for point in polygon.points)
    drawing = Drawing(
        frame,
        say("exploded_alt", parts=len(parts), unit=pattern.sewing.units[-1].name),
        tuple(polygons),
        tuple(lines),
        edge=BLACK,
    )
    height = WIDER * letter / find_scale(frame, room)
    dots, notes = _number(loops, height)
    return replace(drawing, dots=tuple(dots), notes=tuple(notes))


def _list_parts(adding: Sequence[Step]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the number of each step and the patches that it adds, first those of the part to begin with."""
    placed = set(adding[0].first)
    yield "", adding[0].first
    for step in adding:
        fresh = tuple(name for name in (*step.first, *step.second) if name not in placed)
        placed.update(fresh)
        yield f"{step.told}", fresh


def _number(parts: Sequence[tuple[str, Sequence[Outline]]], height: float) -> tuple[list[Dot], list[Note]]:
    """Return the numbers of the parts, each on a white disc where the part has most room."""
    dots: list[Dot] = []
    notes: list[Note] = []
    for told, loops in parts:
        if not told:
            continue
        loop, (at, _) = max(((loop, find_spot(loop)) for loop in loops), key=lambda found: found[1][1])
        left, bottom, right, top = measure_box(loop)
        along = (1.0, 0.0) if right - left > top - bottom else (0.0, 1.0)
        spots = [
            (at[0] + k * height * along[0], at[1] + k * height * along[1])
            for k in (0.0, 2.0, -2.0, 4.0, -4.0)
            if abs(k) * height < max(right - left, top - bottom) / 2
        ]
        apart = 2 * RIM * height
        x, y = next((spot for spot in spots if all(dist(spot, dot.at) >= apart for dot in dots)), at)
        dots.append(Dot((x, y), RIM * height, "#ffffff"))
        notes.append(Note((x, y - DROP * height), told, height))
    return dots, notes
