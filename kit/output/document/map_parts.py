"""The map of the fabrics as plain data: the whole top with letters, or its units numbered with a table of fabrics."""

from collections.abc import Mapping
from typing import TypeAlias

from kit.model.pattern import Pattern
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.fabric_map import draw_maps, list_rows, name_part
from kit.output.pictures.picture_sizes import STANDARD, Rooms
from kit.output.pictures.svg import measure_ratio
from kit.output.pictures.unit_map import HIGH, UNIT_WIDE, WHOLE_WIDE, draw_unit_map
from kit.output.words.strings import say

Data: TypeAlias = dict[str, object]


def list_map_parts(pattern: Pattern, rooms: Rooms = STANDARD) -> tuple[Data, Mapping[str, Drawing]]:
    """Return the map as data, and its pictures by the names of their files.

    Where the letters of the whole top would be too small for a page, the map numbers its units and gives their fabrics
    in a table, if it can; otherwise it is cut into parts.

    Parameters
    ----------
    pattern
        Every plan of a study.
    rooms
        The room for the pictures.
    """
    maps = draw_maps(pattern, rooms)
    found = draw_unit_map(pattern, rooms) if len(maps) > 1 and not rooms.always else None
    rows = list_rows(pattern)
    if found is not None:
        first = say("unit_map_first", unit=found.name, number=1)
        parts = [
            _write_part(say("unit_map_whole"), "map-top.svg", found.top, WHOLE_WIDE),
            _write_part(first, "map-unit.svg", found.unit, UNIT_WIDE),
        ]
        table = {"head": list(found.head), "rows": [list(row) for row in found.rows]}
        intro = say("unit_map_intro", unit=found.name)
        pictures = {"map-top.svg": found.top, "map-unit.svg": found.unit}
        return {"intro": intro, "parts": parts, "rows": rows, "table": table}, pictures
    across = round(len(maps) ** 0.5)
    pictures = {f"map-{number}.svg": drawing for number, drawing in enumerate(maps, start=1)}
    parts = [
        _write_part(name_part(number, across) if across > 1 else "", name, drawing)
        for number, (name, drawing) in enumerate(pictures.items())
    ]
    return {"intro": say("map_intro"), "parts": parts, "rows": rows, "table": None}, pictures


def _write_part(said: str, name: str, drawing: Drawing, wide: float = 1.0) -> Data:
    """Return one picture of the map; `wide` is its width as a part of the room."""
    picture = {"file": name, "alt": drawing.title, "ratio": measure_ratio(drawing)}
    return {"said": said, "picture": picture, "wide": wide, "high": 1.0 if wide == 1.0 else HIGH}
