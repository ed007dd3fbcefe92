"""The map of a top of like units in several fabrics: the units numbered, one of them large, and a table of fabrics."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from kit.geometry.outlines import measure_box
from kit.model.pattern import Pattern
from kit.model.units import Unit
from kit.output.pictures.drawing import BLACK, Dot, Drawing, Note, Polygon, draw_top, name_fabrics
from kit.output.pictures.end_letters import DROP
from kit.output.pictures.letters import find_spot, fit_letter, make_pale
from kit.output.pictures.picture_sizes import Room, Rooms, find_scale
from kit.output.words.strings import say

MOST_PARTS = 34
"""The most numbered parts of a unit: as many columns fit on a page."""
LARGE = 1.4
"""Height of the numbers of units, in least heights."""
HIGH, WHOLE_WIDE, UNIT_WIDE = 0.55, 0.58, 0.38
"""Height of the two pictures, and width of that of the top and that of a unit, as parts of the map's room."""
DISC = 0.75
"""Radius of the white disc under the number of a unit, in heights of a figure."""


@dataclass(frozen=True)
class UnitMap:
    """The map as two pictures and a table.

    Attributes
    ----------
    top, unit
        The whole top with its units numbered; one unit with its parts numbered.
    name
        What the unit is called.
    head
        Heads of the table: units, then the number of each part.
    rows
        One for all units of the same fabrics: their numbers, then the letter of each part's fabric.
    """

    top: Drawing
    unit: Drawing
    name: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_unit_map(pattern: Pattern, rooms: Rooms) -> UnitMap | None:
    """Return the map by units, None where it cannot carry all that a map says.

    It can if the top has one kind of unit that holds every patch whose role several fabrics share, if the parts of one
    unit are few enough for a table, and if their numbers can be read in its picture.

    Parameters
    ----------
    pattern
        Every plan of a study.
    rooms
        The room for the pictures.
    """
    fabrics = Counter(fabric.slot for fabric in pattern.study.fabrics if pattern.colouring.uses.get(fabric.name))
    slots = {patch.id: patch.slot for patch in pattern.patchwork.patches}
    shared = {patch for patch, slot in slots.items() if fabrics[slot] > 1}
    units = [unit for unit in pattern.patchwork.units.children if unit.copies > 1 and shared & set(unit.patches[0])]
    if len(units) != 1 or not shared <= {patch for copy in units[0].patches for patch in copy}:
        return None
    unit = units[0]
    parts = [place for place, patch in enumerate(unit.patches[0]) if patch in shared]
    if len(parts) > MOST_PARTS:
        return None
    order = _order_copies(pattern, unit)
    room = (UNIT_WIDE * rooms.map[0], HIGH * rooms.map[1])
    numbered = _number_parts(pattern, unit.name, unit.patches[order[0]], parts, room, rooms.letter)
    if numbered is None:
        return None
    letters = name_fabrics(pattern)
    rows: dict[tuple[str, ...], list[int]] = {}
    for number, copy in enumerate(order, start=1):
        dealt = tuple(letters[pattern.colouring.assignment[unit.patches[copy][place]]] for place in parts)
        rows.setdefault(dealt, []).append(number)
    table = tuple((_write_numbers(numbers), *dealt) for dealt, numbers in rows.items())
    head = (unit.name, *(str(number) for number in range(1, len(parts) + 1)))
    return UnitMap(_number_units(pattern, unit, order, shared, rooms), numbered, unit.name, head, table)


def _order_copies(pattern: Pattern, unit: Unit) -> list[int]:
    """Return the copies row by row from the top, each row from the left."""
    outlines = {patch.id: patch.outline for patch in pattern.patchwork.patches}
    boxes = [measure_box([point for patch in copy for point in outlines[patch]]) for copy in unit.patches]
    half = min(top - bottom for _, bottom, _, top in boxes) / 2
    middles = sorted(((-(box[1] + box[3]) / 2, (box[0] + box[2]) / 2, n) for n, box in enumerate(boxes)))
    rows: list[list[tuple[float, float, int]]] = []
    for middle in middles:
        if not rows or middle[0] - rows[-1][0][0] > half:
            rows.append([])
        rows[-1].append(middle)
    return [n for row in rows for _, _, n in sorted(row, key=lambda middle: middle[1])]


def _number_parts(
    pattern: Pattern, name: str, copy: Sequence[str], parts: Sequence[int], room: Room, least: float
) -> Drawing | None:
    """Draw a copy of the unit with the numbers of its parts, None if one of them could not be read."""
    whole = {polygon.label: polygon for polygon in draw_top(pattern, "value").polygons}
    box = measure_box([point for patch in copy for point in whole[patch].points])
    scale = find_scale(box, room)
    notes = []
    for number, place in enumerate(parts, start=1):
        (x, y), free = find_spot(whole[copy[place]].points)
        height = min(LARGE * least / scale, fit_letter(free, str(number)))
        if height < least / scale:
            return None
        notes.append(Note((x, y - DROP * height), str(number), height))
    polygons = tuple(replace(whole[patch], fill=make_pale(whole[patch].fill)) for patch in copy)
    title = say("unit_map_alt", unit=name, count=len(parts))
    return Drawing(box, title, polygons, edge=BLACK, notes=tuple(notes))


def _number_units(pattern: Pattern, unit: Unit, order: Sequence[int], shared: Iterable[str], rooms: Rooms) -> Drawing:
    """Draw the top in pale colours with the number of each unit, and letters of fabric elsewhere."""
    colours = {fabric.name: make_pale(fabric.colour) for fabric in pattern.study.fabrics}
    whole, assignment = draw_top(pattern, "fabric"), pattern.colouring.assignment
    scale = find_scale(whole.box, (WHOLE_WIDE * rooms.map[0], HIGH * rooms.map[1]))
    by_patch = {polygon.label: polygon for polygon in whole.polygons}
    high = LARGE * rooms.letter / scale
    notes: list[Note] = []
    dots: list[Dot] = []
    for number, copy in enumerate(order, start=1):
        box = measure_box([point for patch in unit.patches[copy] for point in by_patch[patch].points])
        x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        notes.append(Note((x, y - DROP * high), str(number), high))
        dots.append(Dot((x, y), DISC * high, "#ffffff"))
    inside = {patch for copy in unit.patches for patch in copy} | set(shared)
    notes += _letter_others((one for one in whole.polygons if one.label not in inside), high)
    polygons = tuple(replace(one, fill=colours[assignment[one.label]], word="") for one in whole.polygons)
    title = say("unit_map_top_alt", unit=unit.name, count=unit.copies)
    return replace(whole, title=title, polygons=polygons, dots=tuple(dots), notes=tuple(notes), edge=BLACK)


def _letter_others(polygons: Iterable[Polygon], high: float) -> list[Note]:
    """Return the letters of the fabrics on patches outside the units that have room for them."""
    notes = []
    for one in polygons:
        (x, y), free = find_spot(one.points)
        if fit_letter(free, one.word) >= high / LARGE:
            notes.append(Note((x, y - DROP * high), one.word, high))
    return notes


def _write_numbers(numbers: Sequence[int]) -> str:
    """Return numbers in words, those that follow one another as a run.

    Examples
    --------
    >>> _write_numbers([1, 2, 3, 7])
    '1–3, 7'
    """
    runs: list[list[int]] = [[numbers[0]]]
    for before, number in pairwise(numbers):
        if number == before + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else say("map_run_of", first=run[0], last=run[-1]) for run in runs)
