"""Where each fabric goes: the map of the top, in parts where its letters would be too small, and its rows in words."""

from collections import Counter
from dataclasses import replace
from itertools import groupby
from math import ceil

from kit.geometry.outlines import Outline, measure_box
from kit.model.pattern import Pattern
from kit.output.colour_views import number_patches
from kit.output.drawing import Drawing, draw_top, name_fabrics
from kit.output.lettering import make_pale
from kit.output.near import clip_to_box
from kit.output.rooms import STANDARD, Rooms, find_scale
from kit.output.strings import say

MOST = 3
"""The map is cut into no more parts across or down than this."""
OVERLAP = 0.03
"""Part of the map's longer side by which its parts overlap."""
ALMOST = 0.95
"""A patch that two parts show has its letter where it shows most, and in both where they show as good as the same."""
SMALLEST = 0.05
"""So many of the patches may be too small for their letter."""


def draw_maps(pattern: Pattern, rooms: Rooms = STANDARD) -> tuple[Drawing, ...]:
    """Draw the top with the letter of its fabric on each patch, in one picture or in parts, row by row from the top.

    It is cut into parts only where several fabrics share a role, for elsewhere the pieces say the fabric; and in large
    print wherever that makes its letters larger.

    Parameters
    ----------
    pattern
        Every plan of a study.
    rooms
        What room the pictures have.
    """
    colours = {fabric.name: make_pale(fabric.colour) for fabric in pattern.study.fabrics}
    whole = draw_top(pattern, "fabric")
    fills = [colours[pattern.colouring.assignment[polygon.label]] for polygon in whole.polygons]
    pale = zip(whole.polygons, fills, strict=True)
    whole = replace(whole, polygons=tuple(replace(polygon, fill=fill) for polygon, fill in pale))
    letters = name_fabrics(pattern)
    counts = Counter(letters[name] for name in pattern.colouring.assignment.values())
    said = ", ".join(say("map_count", letter=letter, count=counts[letter]) for letter in letters.values())
    alt = say("map_alt", counts=said)
    parts = _count_parts(whole, rooms) if rooms.always or is_shared(pattern) else 1
    if parts == 1:
        return (replace(whole, title=alt),)
    left, bottom, right, top = whole.box
    more = OVERLAP * max(right - left, top - bottom)
    wide, high = (right - left) / parts, (top - bottom) / parts
    boxes = []
    for number in range(parts * parts):
        row, column = divmod(number, parts)
        x, y = left + column * wide, top - (row + 1) * high
        low = (max(left, x - more), max(bottom, y - more))
        boxes.append((*low, min(right, x + wide + more), min(top, y + high + more)))
    seen = [{one.label: points for one in whole.polygons if (points := clip_to_box(one.points, box))} for box in boxes]
    best: dict[str, float] = {}
    for one in whole.polygons:
        best[one.label] = max((_measure(part[one.label]) for part in seen if one.label in part), default=0.0)
    return tuple(
        replace(
            whole,
            box=box,
            title=f"{name_part(number, parts)} {alt}",
            polygons=tuple(
                replace(
                    one, points=part[one.label],
                    word=one.word if _measure(part[one.label]) > ALMOST * best[one.label] else "",
                )
                for one in whole.polygons
                if one.label in part
            ),
        )
        for number, (box, part) in enumerate(zip(boxes, seen, strict=True))
    )  # fmt: skip


def is_shared(pattern: Pattern) -> bool:
    """Tell whether several fabrics share a role, so that the map alone says which goes where."""
    used = {name for name, count in pattern.colouring.uses.items() if count}
    slots = Counter(fabric.slot for fabric in pattern.study.fabrics if fabric.name in used)
    return max(slots.values(), default=1) > 1


def name_part(number: int, across: int) -> str:
    """Return what a part of a map that is cut into rows of so many is called."""
    return say("map_part", part=number + 1, parts=across * across, across=across)


def list_rows(pattern: Pattern) -> list[str]:
    """Return the letters of the fabrics row by row from the top, each row from the left, repeated ones counted."""
    numbers, letters = number_patches(pattern.patchwork), name_fabrics(pattern)
    order = sorted((place, letters[pattern.colouring.assignment[patch]]) for patch, place in numbers.items())
    rows = []
    for row, places in groupby(order, key=lambda entry: entry[0][0]):
        runs = [(letter, len(list(found))) for letter, found in groupby(letter for _, letter in places)]
        said = ", ".join(letter if count == 1 else say("map_run", letter=letter, count=count) for letter, count in runs)
        rows.append(say("map_row", row=row, letters=said))
    return rows


def _count_parts(drawing: Drawing, rooms: Rooms) -> int:
    """Return into how many parts across and down a map is cut, so that its letters can be read."""
    scale = find_scale(drawing.box, rooms.map)
    heights = sorted(min(1.2, 0.5 * _measure(polygon.points)) for polygon in drawing.polygons)
    height = heights[int(SMALLEST * len(heights))]
    return min(MOST, max(1, ceil(rooms.letter / (scale * height) - 1e-9)))


def _measure(points: Outline) -> float:
    """Return the shorter side of the box round an outline: what its letter has room in."""
    left, bottom, right, top = measure_box(points)
    return min(right - left, top - bottom)
