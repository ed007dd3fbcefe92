"""Steps that repeat, put together: parts sewn on one after another, numbered in one picture."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TypeAlias

from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline, Point, measure_box, turn_outline
from kit.geometry.paths import clip_line_to_box, clip_outline_to_box
from kit.model.pattern import Pattern
from kit.model.sewing import Step
from kit.output.pictures.drawing import BLACK, Dot, Drawing, Line, Note
from kit.output.pictures.end_letters import DROP, RIM, count_crowded
from kit.output.pictures.letters import find_spot, make_pale
from kit.output.pictures.picture_sizes import FLOOR, STANDARD, Rooms, find_scale
from kit.output.pictures.step_picture import SEAM, draw_step, draw_stitching
from kit.output.words.seam_places import SeamPlaces, choose_box
from kit.output.words.seam_words import CardSeams
from kit.output.words.step_words import StepSentences
from kit.output.words.strings import say

Box: TypeAlias = tuple[float, float, float, float]

EVERY = (1, 2, 5, 10, 20)
"""Beside narrow parts only the multiples of this number are written."""
HIGHER_YET = 1.15
"""A picture in which letters stand on one another is tried so much higher."""
WIDER = 1.02
"""The width of the picture, in widths of its contents."""


def _find_centre(outlines: Sequence[Outline]) -> Point:
    left, bottom, right, top = measure_box([point for outline in outlines for point in outline])
    return (left + right) / 2, (bottom + top) / 2


def draw_run(
    pattern: Pattern,
    steps: Sequence[Step],
    writer: StepSentences,
    rooms: Rooms = STANDARD,
    card: CardSeams | None = None,
) -> Drawing:
    """Draw the parts added by several steps, pale, each with the number of its step, and the lettered ends of seams.

    Parameters
    ----------
    pattern
        Every plan of a study.
    steps
        A written step of several seams, from `SewingPlan.list_written`.
    writer
        Says the plan's steps.
    rooms
        The room for the picture.
    card
        The seams of the card; made when None.
    """
    card = card or writer.open_card(steps)
    whole = draw_step(pattern, pattern.sewing, max(steps, key=lambda step: len(step.second) + len(step.first)), writer)
    shapes = {polygon.label: polygon.points for polygon in whole.polygons}
    parts = [(step.told, [shapes[patch] for patch in step.second]) for step in steps if step.second]
    box = choose_box(
        [outlines for _, outlines in parts], measure_box([point for outline in shapes.values() for point in outline])
    )
    angle = -90.0 if card.turned else 0.0
    frame = measure_box(turn_outline(((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])), angle))
    reach = max(frame[2] - frame[0], frame[3] - frame[1])
    turned = [replace(polygon, points=turn_outline(polygon.points, angle)) for polygon in whole.polygons]
    around = [(number, [turn_outline(outline, angle) for outline in outlines]) for number, outlines in parts]
    lines = [Line((*loop, loop[0]), 2.5) for _, outlines in around for loop in build_mesh(outlines).trace_outside()]
    turning, stops = _draw_stops(steps, writer.places, card, reach, angle)
    lines += turning
    least = WIDER * rooms.letter / find_scale(frame, rooms.run)
    most = max(0.03 * reach, least)
    places = [(number, *_place_number(number, outlines, least, most)) for number, outlines in around]
    beside: list[Line] = []
    middles = [_find_centre(outlines) for _, outlines in around]
    spread = sorted(max(at[i] for at in middles) - min(at[i] for at in middles) for i in (0, 1))
    if min(height for _, _, height in places) < least and spread[0] < 0.2 * spread[1]:
        narrow = [(number, at, height) for (number, _, height), at in zip(places, middles, strict=True)]
        wider, beside, notes, dots = _number_beside(narrow, frame, least)
        # the room for the numbers makes the whole smaller: they are written larger by as much
        grown = least * find_scale(frame, rooms.run) / find_scale(wider, rooms.run)
        frame, beside, notes, dots = _number_beside(narrow, frame, grown * WIDER)
    else:
        dots = [Dot(at, _find_rim(number) * height, "#ffffff") for number, at, height in places]
        notes = [Note((at[0], at[1] - DROP * height), f"{number}", height) for number, at, height in places]
    margin = 0.01 * reach
    return Drawing(
        (frame[0] - margin, frame[1] - margin, frame[2] + margin, frame[3] + margin),
        say("run_alt", first=steps[0].told, last=steps[-1].told, said=writer.say_run(steps, card)),
        tuple(
            replace(polygon, fill=make_pale(polygon.fill), points=seen)
            for polygon in turned
            for seen in clip_outline_to_box(polygon.points, frame)
        ),
        tuple(
            replace(line, points=seen)
            for line in [*lines, *beside]
            for ends in pairwise(line.points)
            if (seen := clip_line_to_box(ends, frame))
        ),
        edge=BLACK,
        dots=(*(dot for dot in stops if _lies_in(dot.at, frame)), *dots),
        notes=tuple(notes),
        ends=tuple(
            replace(end, at=at, way=end.way + angle)
            for end in card.ends
            if _lies_in(at := turn_outline((end.at,), angle)[0], frame)
        ),
    )


def _draw_stops(
    steps: Sequence[Step], places: SeamPlaces, card: CardSeams, reach: float, angle: float
) -> tuple[list[Line], list[Dot]]:
    """Return the seams whose ends have letters, with a dot at each stop."""
    lines: list[Line] = []
    dots: list[Dot] = []
    for step in steps:
        seam = places.find(step)
        if seam is not None and card.is_lettered(step):
            drawn = draw_stitching(seam, step, reach)
            lines += [replace(line, points=turn_outline(line.points, angle)) for line in drawn]
            dots += [Dot(turn_outline((place,), angle)[0], reach / 70, SEAM) for place in seam.stops]
    return lines, dots


def _lies_in(at: Point, box: Box) -> bool:
    return box[0] <= at[0] <= box[2] and box[1] <= at[1] <= box[3]


def choose_rooms(drawing: Drawing, rooms: Rooms) -> Rooms:
    """Return the rooms, with enough height for several steps to make numbers and letters legible, up to a limit.

    Parameters
    ----------
    drawing
        From `draw_run`.
    rooms
        Its room.
    """
    smallest = min(note.height for note in drawing.notes)
    wide, high = rooms.run
    left, bottom, right, top = drawing.box
    wanted = high * rooms.letter / (smallest * find_scale(drawing.box, rooms.run))
    whole_width = wide * (top - bottom) / (right - left)
    most = min(whole_width, rooms.tallest)
    taller = max(high, min(wanted, most))
    while taller < most and count_crowded(drawing, rooms.letter / find_scale(drawing.box, (wide, taller))):
        taller = min(most, HIGHER_YET * taller)
    return replace(rooms, run=(wide, taller)) if taller > high else rooms


def _number_beside(
    places: Sequence[tuple[int, Point, float]], frame: Box, height: float
) -> tuple[Box, list[Line], list[Note], list[Dot]]:
    """Set numbers of narrow parts beside the picture, below it or at its right, each with a line to its part.

    Return the larger frame, the lines, the numbers, and a dot on each of these parts.
    """
    middles = [at for _, at, _ in places]
    spread = [max(at[i] for at in middles) - min(at[i] for at in middles) for i in (0, 1)]
    level = spread[0] >= spread[1]
    room = 2.4 * height if level else 1.6 * height
    pitch = max(spread) / max(1, len(places) - 1)
    every = next((k for k in EVERY if k * pitch >= room), EVERY[-1])
    shown = [place for place in places if place[0] % every == 0 or place is places[0]]
    if every > 1 and len(shown) > 1 and shown[1][0] - shown[0][0] < every / 2:
        del shown[1]
    axis = 0 if level else 1
    stands = _push_apart([at[axis] for _, at, _ in shown], (1.5 if level else 1.2) * height)
    lines, notes, dots = [], [], []
    for (number, (x, y), _), stand in zip(shown, stands, strict=True):
        end = (stand, frame[1] - 0.5 * height) if level else (frame[2] + 0.5 * height, stand)
        at = (stand, end[1] - height) if level else (end[0] + height, stand - 0.36 * height)
        lines.append(Line(((x, y), end), 1.5))
        dots.append(Dot((x, y), 0.2 * height))
        notes.append(Note(at, f"{number}", height))
    left, bottom, right, top = frame
    if level:
        wider = min(left, min(stands) - height), bottom - 1.8 * height, max(right, max(stands) + height), top
    else:
        wider = left, min(bottom, min(stands) - height), right + 2.2 * height, max(top, max(stands) + height)
    return wider, lines, notes, dots


def _push_apart(places: Sequence[float], room: float) -> list[float]:
    """Return places at least so far apart, in the same order, each group of pushed ones about its own middle.

    Examples
    --------
    >>> _push_apart([0.0, 5.0, 5.0, 20.0], 2.0)
    [0.0, 4.0, 6.0, 20.0]
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    groups: list[tuple[float, int]] = []  # the middle of each group, and how many stand in it
    for i in order:
        middle, count = places[i], 1
        while groups and middle - (count - 1) * room / 2 < groups[-1][0] + (groups[-1][1] - 1) * room / 2 + room:
            other, more = groups.pop()
            middle, count = (middle * count + other * more) / (count + more), count + more
        groups.append((middle, count))
    stands = [middle + (k - (count - 1) / 2) * room for middle, count in groups for k in range(count)]
    return [stands[order.index(i)] for i in range(len(places))]


def _place_number(number: int, outlines: Sequence[Outline], least: float, most: float) -> tuple[Point, float]:
    """Return the place of the number of a part, and its height: as high as fits the part, within limits."""
    loops = build_mesh(list(outlines)).trace_outside()
    at, free = max((find_spot(loop) for loop in loops), key=lambda spot: spot[1])
    return at, min(most, max(0.95 * free / _find_rim(number), FLOOR * least))


def _find_rim(number: int) -> float:
    """Return the radius of the disc under a number, in heights of its figures."""
    return RIM if number < 100 else 1.35 * RIM
