"""The quantities behind the controls: each by its place in the study's keys, with reading and writing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from kit.errors import LengthError
from kit.lengths import read_length

KeyValues = dict[str, Any]


@dataclass(frozen=True)
class Quantity:
    """The quantity of one control.

    Attributes
    ----------
    path
        Place in the study's keys: ("design", "columns").
    label
        Its name on screen, without the unit.
    kind
        "count", "length" (zero switches it off if it is `optional`), "choice" or "flag"; a flag may stand for a
        whole table.
    low, high, step
        Range in inches or counts; a metric study shows centimetres.
    choices
        The words of a choice.
    first
        The first value if the study has none.
    optional
        Whether a length may be left out; it then shows as zero.
    needs, unless
        Places in the study's keys without which, or with which, the quantity says nothing: it is not shown then.
    """

    path: tuple[str, ...]
    label: str
    kind: Literal["count", "length", "choice", "flag"]
    low: float = 0
    high: float = 1
    step: float = 1
    choices: tuple[str, ...] = ()
    first: Any = 0
    optional: bool = False
    needs: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()


def _count(key: str, label: str, high: int, first: int) -> Quantity:
    return Quantity(("design", key), label, "count", 1, high, 1, first=first)


def _length(path: tuple[str, ...], label: str, low: float, high: float, first: float, *, off: bool = False) -> Quantity:
    return Quantity(path, label, "length", low, high, 0.125, first=first, optional=off)


def _choice(key: str, label: str, choices: tuple[str, ...]) -> Quantity:
    return Quantity(("design", key), label, "choice", choices=choices, first=choices[0])


def _blocks(across: int, down: int) -> tuple[Quantity, Quantity]:
    return _count("columns", "Blocks across", 24, across), _count("rows", "Blocks down", 24, down)


DESIGN: dict[str, tuple[Quantity, ...]] = {
    "units": (),
    "braid": (
        _count("columns", "Columns across", 24, 3),
        replace(_count("pairs", "Pairs in a column", 80, 12), unless=("design", "length_finished")),
        _length(("design", "length_finished"), "Column, finished length", 0, 120, 0, off=True),
        _length(("design", "strip_cut"), "Strip, cut width", 1, 6, 2.5),
        _length(("design", "column_finished"), "Column, finished width", 2, 24, 6),
        _choice("blades", "Blades are cut", ("angled", "rectangles")),
        _choice("start", "A column starts", ("triangle", "square", "open")),
        _choice("accents", "Accent squares", ("none", "left", "right", "both")),
        _choice("accent_by", "Accents are", ("taken out", "added")),
        _choice("ends", "A column ends", ("straight", "pointed")),
        _choice("running", "Columns run", ("same", "alternate")),
    ),
    "log cabin": (
        _count("columns", "Blocks across", 24, 4),
        _count("rows", "Blocks down", 24, 4),
        _length(("design", "centre_finished"), "Centre, finished width", 0.5, 8, 2),
        _length(("design", "log_finished"), "Log, finished width", 0.5, 4, 1),
        _count("rounds", "Rounds of logs", 12, 4),
        _choice("order", "Logs go round", ("counter-clockwise", "clockwise", "courthouse")),
    ),
    "strips": (
        _count("columns", "Blocks across", 24, 4),
        _count("rows", "Blocks down", 24, 4),
        _length(("design", "strip_cut"), "Strip, cut width", 1, 8, 2.5),
        _length(("design", "row_cut"), "Row, cut height", 0, 24, 0, off=True),
    ),
    "turned frame": (
        _count("columns", "Turned frames across", 24, 1),
        _count("rows", "Turned frames down", 24, 1),
        _length(("design", "centre_finished"), "Centre, finished width", 1, 24, 6),
        _choice("centre", "Centre is", ("square in a square", "plain")),
        _length(("design", "panel_finished"), "Panel, finished width", 1, 24, 6),
        _choice("panels", "Panels are", ("plain", "braid")),
        _choice("direction", "Panels go round", ("counter-clockwise", "clockwise")),
        _choice("corners", "Corners are", ("none", "triangles")),
    ),
    "grid blocks": (
        *_blocks(4, 4),
        _length(("design", "cell_finished"), "Cell, finished width", 0.5, 12, 3),
        _choice("symmetry", "The other quarters are", ("none", "turned", "mirrored")),
    ),
    "flying geese": (
        _count("columns", "Flights across", 24, 5),
        _count("rows", "Flights down", 24, 1),
        _count("geese", "Geese in a flight", 60, 12),
        _length(("design", "goose_finished"), "Goose, finished height", 0.5, 8, 2),
        _choice("direction", "Geese fly", ("up", "down", "left", "right")),
        _choice("running", "Flights run", ("same", "alternate")),
    ),
    "square in square": (
        *_blocks(4, 4),
        _length(("design", "block_finished"), "Block, finished width", 2, 30, 8),
        _count("rounds", "Rounds of triangles", 8, 2),
    ),
    "eight-pointed star": (
        *_blocks(3, 3),
        _length(("design", "block_finished"), "Block, finished width", 3, 36, 12),
        _choice("drafting", "Points are", ("diamonds", "half squares")),
    ),
    "chevron": (
        _count("columns", "Pairs of columns across", 24, 3),
        _count("rows", "Pairs of columns down", 24, 1),
        _count("strips", "Strips in a column", 60, 12),
        _length(("design", "strip_cut"), "Strip, cut width", 1, 8, 2.5),
        _length(("design", "column_finished"), "Column, finished width", 1, 24, 5),
        _choice("kind", "Columns meet as a", ("chevron", "herringbone")),
        _choice("points", "Pairs point", ("up", "down")),
    ),
    "bargello": (
        _count("columns", "Panels across", 12, 1),
        _count("rows", "Panels down", 12, 1),
        _length(("design", "strip_cut"), "Strip, cut width", 1, 6, 2.5),
        _count("loops", "Repeats of the strips", 12, 3),
    ),
    "sixty degrees": (
        _choice("shape", "Shapes", ("tumbling blocks", "triangles", "diamonds", "hexagons")),
        _length(("design", "edge_finished"), "Edge, finished", 1, 12, 3),
        _count("across", "Shapes in a line", 30, 8),
        _count("down", "Lines of shapes", 30, 8),
        _count("columns", "Panels across", 12, 1),
        _count("rows", "Panels down", 12, 1),
    ),
    "pinwheel": (
        *_blocks(4, 4),
        _length(("design", "block_finished"), "Block, finished width", 2, 30, 8),
        _choice("sails", "Sails", ("single", "double")),
        _choice("direction", "Sails turn", ("counter-clockwise", "clockwise")),
    ),
    "whirl": (
        *_blocks(4, 4),
        _length(("design", "centre_finished"), "Centre, finished width", 0.5, 16, 4),
        _length(("design", "rectangle_finished"), "Rectangle, finished width", 0.5, 12, 3),
        _choice("direction", "Rectangles go round", ("counter-clockwise", "clockwise")),
    ),
    "lines": (
        _count("columns", "Drawings across", 24, 1),
        _count("rows", "Drawings down", 24, 1),
        _length(("design", "grid_finished"), "Square of the grid, finished width", 0.25, 6, 1),
        _length(("design", "snap"), "Ends are moved by up to", 0, 0.25, 0, off=True),
    ),
    "outlines": (
        _count("columns", "Drawings across", 24, 1),
        _count("rows", "Drawings down", 24, 1),
        _length(("design", "snap"), "Corners are moved by up to", 0, 0.25, 0, off=True),
    ),
    "string panels": (
        _count("columns", "Panels across", 24, 6),
        _count("rows", "Panels down", 24, 6),
        _length(("design", "panel_finished"), "Panel, finished width", 2, 24, 8),
        _choice("ends", "Strips are", ("trimmed", "square", "slanted")),
    ),
}

SASHING, ON_POINT, BORDER = ("design", "sashing"), ("design", "on_point"), ("design", "border")

FRAME: tuple[Quantity, ...] = (
    _length((*SASHING, "finished"), "Sashing, finished", 0, 8, 0, off=True),
    Quantity((*SASHING, "outer"), "Sashing around the outside", "flag", first=False, needs=SASHING),
    Quantity((*SASHING, "cornerstones"), "Cornerstones", "flag", first=False, needs=SASHING),
    Quantity(("design", "alternate"), "Every other block plain", "flag", first=False),
    Quantity(ON_POINT, "Blocks on point", "flag", first=False),
    replace(
        _length((*ON_POINT, "float_finished"), "Points, distance from the edge", 0, 8, 0, off=True), needs=ON_POINT
    ),
    replace(_length((*ON_POINT, "oversize"), "Setting triangles, cut larger by", 0, 4, 0, off=True), needs=ON_POINT),
    _length((*BORDER, "1"), "Inner border, finished", 0, 16, 0, off=True),
    replace(_length((*BORDER, "2"), "Outer border, finished", 0, 16, 0, off=True), needs=BORDER),
)

TABLES = (("design", "alternate"), ON_POINT)
"""Settings that are on if their table is in the study, whatever its contents."""

MEASURES: tuple[Quantity, ...] = (
    Quantity(("measures", "seam_allowance"), "Seam allowance", "length", 0.125, 1, 0.03125, first=0.25),
    _length(("measures", "usable_width"), "Usable width of fabric", 20, 60, 40),
)


def is_shown(quantity: Quantity, keys: Mapping[str, Any]) -> bool:
    """Return True if a quantity says something about the study of these keys."""
    needed = not quantity.needs or _find(quantity.needs, keys) not in (None, [], ())
    return needed and not (quantity.unless and _find(quantity.unless, keys) is not None)


def _find(path: Sequence[str], keys: Mapping[str, Any]) -> Any:
    """Return what stands at a place in the keys, None for nothing."""
    place: Any = keys
    for step in path:
        place = place.get(step) if isinstance(place, Mapping) else None
    return place


def read_held(quantity: Quantity, keys: Mapping[str, Any]) -> Any:
    """Return what the keys hold of a quantity, as they hold it; None for nothing, the first of a list."""
    if quantity.path[:2] == BORDER:
        borders: Sequence[Mapping[str, Any]] = keys["design"].get("border", ())
        number = int(quantity.path[2])
        place = borders[number - 1]["finished"] if number <= len(borders) else None
    else:
        place = _find(quantity.path, keys)
    return place[0] if isinstance(place, list | tuple) else place


def read_value(quantity: Quantity, keys: Mapping[str, Any]) -> Any:
    """Return the value of a quantity in the keys, lengths in inches."""
    place = read_held(quantity, keys)
    if isinstance(place, Mapping):
        return True
    if place is None:
        return quantity.first
    if quantity.kind != "length":
        return place
    try:
        return read_length(place)
    except LengthError:
        return quantity.first


def set_value(keys: KeyValues, quantity: Quantity, value: Any) -> None:
    """Put the value of a control into the keys; a length of None is removed."""
    if quantity.path[:2] == ("design", "border"):
        _set_border(keys, int(quantity.path[2]), value)
        return
    if quantity.path in TABLES:
        _set_table(keys, quantity.path[1], on=bool(value))
        return
    if quantity.path[:-1] in TABLES and quantity.path[1] not in keys["design"]:
        return
    if quantity.path[-1] == "log_finished":
        value = [value]
    place = keys
    for step in quantity.path[:-1]:
        place = place.setdefault(step, {})
    if value is None:
        place.pop(quantity.path[-1], None)
    else:
        place[quantity.path[-1]] = value
    sashing = keys["design"].get("sashing")
    if sashing is not None and "finished" not in sashing:
        keys["design"].pop("sashing")


def _set_table(keys: KeyValues, name: str, *, on: bool) -> None:
    """Add a table with its defaults, or remove it with all its contents."""
    if on:
        keys["design"].setdefault(name, {})
    else:
        keys["design"].pop(name, None)


def _set_border(keys: KeyValues, number: int, value: str | None) -> None:
    borders = [dict(border) for border in keys["design"].get("border", ())]
    if value is None:
        del borders[number - 1 : number]
    elif number <= len(borders):
        borders[number - 1]["finished"] = value
    else:
        borders.append({"finished": value, "slot": "border" if not borders else "outer border"})
    keys["design"]["border"] = borders
    if not borders:
        keys["design"].pop("border")
