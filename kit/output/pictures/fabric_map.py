"""The map of the top with the fabric of each patch, in parts if its letters would be too small, and in words."""

from collections import Counter
from collections.abc import Collection
from dataclasses import replace
from itertools import groupby
from typing import TypeAlias

from kit.geometry.paths import clip_outline_to_box
from kit.model.pattern import Pattern
from kit.output.pictures.colour_views import number_patches
from kit.output.pictures.drawing import BLACK, Drawing, Note, draw_top, name_fabrics
from kit.output.pictures.end_letters import DROP
from kit.output.pictures.letters import find_spot, fit_letter, make_pale
from kit.output.pictures.picture_sizes import FLOOR, STANDARD, Rooms, find_scale
from kit.output.words.strings import say

Box: TypeAlias = tuple[float, float, float, float]

MOST = 3
"""The most parts of the map across or down."""
OVERLAP = 0.03
"""Overlap of the parts, as a part of the map's longer side."""
MOST_HIGH = 2.0
"""The greatest height of letters, in least heights."""
ALMOST = 0.95
"""A patch in two parts has its letter where more of it shows, and in both if they show nearly the same."""
SMALLEST = 0.15
"""The share of patches that may be too small for their letter."""


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
    filled = zip(whole.polygons, fills, strict=True)
    whole = replace(whole, polygons=tuple(replace(polygon, fill=fill) for polygon, fill in filled))
    letters = name_fabrics(pattern)
    counts = Counter(letters[name] for name in pattern.colouring.assignment.values())
    said = ", ".join(say("map_count", letter=letter, count=counts[letter]) for letter in letters.values())
    alt = say("map_alt", counts=said)
    shared = set(letters.values()) if rooms.always else find_shared(pattern)
    parts = _count_parts(whole, rooms, shared) if shared else 1
    drawings = [_cut_out(whole, box) for box in _list_boxes(whole.box, parts)]
    spots = [[find_spot(one.points) for one in drawing.polygons] for drawing in drawings]
    most = dict.fromkeys((one.label for one in whole.polygons), 0.0)
    for drawing, found in zip(drawings, spots, strict=True):
        for one, (_, free) in zip(drawing.polygons, found, strict=True):
            most[one.label] = max(most[one.label], free)
    lettered = []
    for number, (drawing, found) in enumerate(zip(drawings, spots, strict=True)):
        high = MOST_HIGH * rooms.letter / find_scale(drawing.box, rooms.map)
        notes = []
        for one, ((x, y), free) in zip(drawing.polygons, found, strict=True):
            if free > ALMOST * most[one.label]:
                height = min(high, max(fit_letter(free, one.word), FLOOR / MOST_HIGH * high))
                notes.append(Note((x, y - DROP * height), one.word, height))
        title = f"{name_part(number, parts)} {alt}" if parts > 1 else alt
        bare = tuple(replace(one, word="") for one in drawing.polygons)
        lettered.append(replace(drawing, title=title, polygons=bare, notes=tuple(notes), edge=BLACK))
    return tuple(lettered)


def _list_boxes(box: Box, parts: int) -> list[Box]:
    """Return what each part of a map shows, row by row from the top; neighbours overlap."""
    left, bottom, right, top = box
    more = OVERLAP * max(right - left, top - bottom) if parts > 1 else 0.0
    wide, high = (right - left) / parts, (top - bottom) / parts
    boxes = []
    for number in range(parts * parts):
        row, column = divmod(number, parts)
        x, y = left + column * wide, top - (row + 1) * high
        low = (max(left, x - more), max(bottom, y - more))
        boxes.append((*low, min(right, x + wide + more), min(top, y + high + more)))
    return boxes


def _cut_out(whole: Drawing, box: Box) -> Drawing:
    seen = (replace(one, points=part) for one in whole.polygons for part in clip_outline_to_box(one.points, box))
    return replace(whole, box=box, polygons=tuple(seen))


def is_shared(pattern: Pattern) -> bool:
    """Return True if several fabrics share a role, so that only the map shows which goes where."""
    return bool(find_shared(pattern))


def find_shared(pattern: Pattern) -> set[str]:
    """Return the letters of the fabrics that share their role with another: only the map shows which goes where."""
    used = {name for name, count in pattern.colouring.uses.items() if count}
    slots = Counter(fabric.slot for fabric in pattern.study.fabrics if fabric.name in used)
    letters = name_fabrics(pattern)
    return {letters[fabric.name] for fabric in pattern.study.fabrics if fabric.name in used and slots[fabric.slot] > 1}


def name_part(number: int, across: int) -> str:
    """Return the name of a part of a map with the given number of parts in a row."""
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


def _count_parts(whole: Drawing, rooms: Rooms, shared: Collection[str]) -> int:
    """Return the number of parts of a map across and down for readable letters of fabrics that only it tells."""
    found = [one for one in whole.polygons if one.word in shared]
    heights = sorted(fit_letter(find_spot(one.points)[1], one.word) for one in found)
    height = heights[int(SMALLEST * len(heights))]
    for parts in range(1, MOST):
        scales = [find_scale(box, rooms.map) for box in _list_boxes(whole.box, parts)]
        if height * min(scales) >= rooms.letter:
            return parts
    return MOST
