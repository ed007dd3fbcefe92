"""The fields of a unit in plain words, by the way in which it is made: filled from its keys, and read back."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Literal

import ipywidgets as widgets

from kit.designs.families import BLOCK_FAMILIES
from kit.designs.units.plain_patches import PATCHES
from kit.errors import KitError, LengthError
from kit.explore.composing.row_builder import RowBuilder
from kit.explore.composing.setting_keys import lay_flat, stand_up_keys
from kit.explore.quantities import DESIGN, Quantity
from kit.explore.typed_lengths import UNIT, add_unit, split_lengths
from kit.lengths import System, write_exact
from kit.lengths.reading import read_number

STYLE = {"description_width": "150px"}
WIDE = widgets.Layout(width="360px", max_width="98%")
NOT_SIZES = ("patch", "slot", "name", "grain", "oversize")
USUAL = {
    "side_finished": "6 in", "width_finished": "6 in", "height_finished": "3 in", "long_finished": "6 in",
    "short_1_finished": "", "short_2_finished": "", "angle": "45", "right_angle": "",
}  # fmt: skip
METRIC = {"6 in": "15 cm", "3 in": "7.5 cm", "2 in": "5 cm", "": ""}
"""The usual sizes in a study in centimetres."""
PLACES = (("from end to end", ""), ("start", "start"), ("middle", "middle"), ("end", "end"))
IMAGES = (("turned", "turned"), ("mirrored", "mirrored"), ("turned, every second mirrored", "alternate"))
CORNERS = (("butted", "butted"), ("mitred", "mitred"), ("squares", "cornerstones"), ("turned round", "turned"))
MOST_OFFERED = 400
"""Edges that a field of a length offers."""

Kind = Literal["length", "count", "number", "text", "choice", "flag", "slot", "slots", "unit", "units", "edge", "rows"]
Options = Sequence[tuple[str, Any]]


@dataclass(frozen=True, slots=True)
class Entry:
    """A field: its key, its label, what is written into it, what a new unit begins with, and what is said of it."""

    key: str
    label: str
    kind: Kind
    usual: Any = ""
    hint: str = ""
    options: Options = ()


@dataclass(frozen=True, slots=True)
class Offered:
    """What fields offer: units by name with their edges, slots, shared lengths."""

    edges: Mapping[str, Sequence[str]]
    slots: Sequence[str] = ()
    lengths: Sequence[str] = ()
    system: System = "inch"


def list_fields(way: str, kind: str, system: System = "inch") -> tuple[Entry, ...]:
    """Return the fields of a way of making a unit, in the order in which they are shown.

    Parameters
    ----------
    way, kind
        The key that tells the way, and its value: ("patch", "square").
    system
        In which the usual lengths are said.
    """
    if way == "patch":
        return (*_list_sizes(kind, system), Entry("oversize", "Sewn larger by", "length", hint="left out"),
                Entry("slot", "Slot", "slot", "patch"))  # fmt: skip
    if way == "family":
        return (*(_make_entry(quantity, system) for quantity in DESIGN.get(kind, ())), *_list_slots(kind))
    return OTHERS.get(way, ())


def _list_sizes(kind: str, system: System) -> tuple[Entry, ...]:
    found = []
    for key, field in PATCHES[kind].model_fields.items():
        if key in NOT_SIZES:
            continue
        if key.endswith("angle"):
            usual = isinstance(field.default, float)
            hint = f"{field.default:g}" if usual else ""
            found.append(Entry(key, label_key(key), "number", "" if usual else _find_usual(kind, key), hint))
        else:
            usual_size = _find_usual(kind, key)
            usual_size = METRIC[usual_size] if system == "metric" else usual_size
            found.append(Entry(key, label_key(key), "length", usual_size, "left out"))
    return tuple(found)


def _make_entry(quantity: Quantity, system: System) -> Entry:
    key, label = quantity.path[-1], quantity.label
    if key in ("columns", "rows"):
        return Entry(key, label, "count", hint="1")
    if quantity.kind == "choice":
        return Entry(key, label, "choice", quantity.first, options=tuple((one, one) for one in quantity.choices))
    if quantity.kind == "flag":
        return Entry(key, label, "flag", bool(quantity.first))
    if quantity.kind == "count":
        return Entry(key, label, "count", str(quantity.first))
    return Entry(key, label, "length", hint=write_exact(quantity.first, system) if quantity.first else "left out")


def _list_slots(kind: str) -> tuple[Entry, ...]:
    found = []
    for key, field in BLOCK_FAMILIES[kind].model_fields.items():
        if not key.endswith(("_slot", "_slots")):
            continue
        usual = field.default if isinstance(field.default, str) else ", ".join(map(str, field.default or ()))
        several: Kind = "slots" if key.endswith("s") else "slot"
        found.append(Entry(key, key.replace("_", " ").capitalize(), several, hint=usual))
    return tuple(found)


OTHERS: dict[str, tuple[Entry, ...]] = {
    "rows": (
        Entry("rows", "Rows, the top first", "rows", hint="arm star*3 arm\nstar arm(90) star"),
        Entry("across", "Times across", "count", hint="1: as written"),
        Entry("down", "Times down", "count", hint="1: as written"),
        Entry("spacer_slot", "Slot of spacers", "slot", hint="no spacers"),
    ),
    "around": (
        Entry("around", "Unit, or its edge", "edge", hint="for instance arm.left"),
        Entry("times", "Copies", "count", "4"),
        Entry("images", "They are", "choice", "turned", options=IMAGES),
        Entry("centre", "In the middle", "edge", hint="a corner of the unit"),
        Entry("place", "Place along it", "choice", "", options=PLACES),
        Entry("corner", "Number of the corner", "text", hint="the one that fits"),
    ),
    "block": (
        Entry("block", "Unit that is set out", "unit"),
        Entry("blocks", "In turn with", "units", hint="no other unit"),
        Entry("columns", "Units across", "count", "1"),
        Entry("rows", "Units down", "count", "1"),
        Entry("turns", "Quarter turns, in turn", "slots", hint="0, 90, 180 or 270"),
        Entry("lie", "They lie", "choice", "", options=(("straight", ""), ("on point", "on point"))),
        Entry("on_point.float_finished", "Points, from the edge", "length", hint="0"),
        Entry("on_point.oversize", "Triangles, cut larger", "length", hint="0"),
        Entry("between", "Every other place", "choice", "", options=(("as the others", ""), ("a plain patch", "."))),
        Entry("sashing.finished", "Sashing, finished", "length", hint="none"),
        Entry("sashing.slot", "Slot of the sashing", "slot", hint="sashing"),
        Entry("sashing.outer", "Sashing around the outside", "flag", usual=False),
        Entry("sashing.cornerstones", "Cornerstones", "flag", usual=False),
        Entry("quarters", "That is", "choice", "",
              options=(("the whole", ""), ("a quarter, turned", "turned"), ("a quarter, mirrored", "mirrored"))),
        *(entry for n, which in enumerate(("Inner", "Next", "Outer"), start=1) for entry in (
            Entry(f"border {n}.finished", f"{which} border, finished", "length", hint="none"),
            Entry(f"border {n}.slot", f"{which} border, slot", "slot", hint="border"),
            Entry(f"border {n}.corners", f"{which} border, corners", "choice", "butted", options=CORNERS),
        )),
    ),
}  # fmt: skip
"""The fields of the ways that put units together."""


class UnitFields(widgets.VBox):
    """The fields of one unit.

    Attributes
    ----------
    fields
        Each by its key.
    """

    def __init__(self) -> None:
        super().__init__()
        self.fields: dict[str, Any] = {}
        self.way, self.kind = "", ""
        self._entries: tuple[Entry, ...] = ()
        self._before: dict[str, Any] = {}
        self._system: System = "inch"

    def begin(self, way: str, kind: str, offered: Offered, table: Mapping[str, Any] | None = None) -> None:
        """Show the fields of a way, filled from the keys of a unit, or with what a new one begins with."""
        self.way, self.kind, self._before = way, kind, deepcopy(dict(table or {}))
        self._system = offered.system
        self._entries = list_fields(way, kind, offered.system)
        flat = lay_flat(table) if table is not None else None
        self.fields = {entry.key: _make_field(entry, flat, offered) for entry in self._entries}
        self.children = tuple(self.fields.values())

    def offer(self, offered: Offered) -> None:
        """Offer what there is now; what stands in the fields stays."""
        for entry in self._entries:
            _offer(self.fields[entry.key], entry, offered)

    def explain(self, error: KitError, name: str) -> KitError:
        """Return an error of the keys of a unit in the words of its fields."""
        text = str(error)
        for entry in self._entries:
            said = f"“{entry.label}”"
            text = text.replace(f"`unit.{name}.{entry.key}`", f"{said} of `{name}`")
            if "_" in entry.key and "." not in entry.key:
                text = text.replace(f"`{entry.key}`", said).replace(entry.key, said)
        return KitError(text.replace(f"`unit.{name}`", f"`{name}`"))

    def check_lengths(self, measure: Callable[[str], float]) -> None:
        """Refuse a field whose length cannot be found; names the field.

        Parameters
        ----------
        measure
            Returns the inches that a text says.
        """
        for entry in self._entries:
            held = _read_field(entry, self.fields[entry.key].value, self._system) if entry.kind == "length" else None
            for text in held if isinstance(held, list) else [held] if held else []:
                try:
                    measure(text)
                except KitError as error:
                    why = str(error).removeprefix("`design.lengths`: ")
                    raise KitError(
                        f"{entry.label}: `{text:.40}` is not a length ({why})",
                        needed="a length, an edge of a unit, or a shared length",
                        do="write for instance 3 1/2 in, or choose an edge of the list",
                    ) from None

    def read(self) -> dict[str, Any]:
        """Return the keys of the unit; those that have no field stay as they were.

        Raises
        ------
        KitError
            A field that holds what it cannot; names it.
        """
        flat = {**lay_flat(self._before), **({self.way: self.kind} if self.kind else {})}
        for entry in self._entries:
            value = _read_field(entry, self.fields[entry.key].value, self._system)
            if value in (None, "", [], False) or (value == entry.usual and entry.kind == "choice"):
                flat.pop(entry.key, None)
                if entry.kind == "choice" and entry.usual and entry.key in lay_flat(self._before):
                    flat[entry.key] = value
            else:
                flat[entry.key] = value
        if self.way not in flat:
            raise KitError("No unit is named", needed="units of the tray",
                           do=f"fill in the field “{self._entries[0].label}”")  # fmt: skip
        return stand_up_keys(flat)


# ---- one field ---------------------------------------------------------------------------------------------------


def _make_field(entry: Entry, flat: Mapping[str, Any] | None, offered: Offered) -> Any:
    label = f"{entry.label} ({UNIT[offered.system]})" if entry.kind == "length" else entry.label
    more: dict[str, Any] = {"description": label, "style": STYLE, "layout": WIDE}
    value = entry.usual if flat is None else flat.get(entry.key, entry.usual if entry.kind == "choice" else "")
    if entry.kind == "choice":
        options = _list_choices(entry, offered)
        if value not in [one for _, one in options]:
            options = (*options, (str(value), value))
        return widgets.Dropdown(options=options, value=value, **more)
    if entry.kind == "flag":
        return widgets.Checkbox(value=bool(value), indent=True, **more)
    if entry.kind == "rows":
        return RowBuilder(tuple(offered.edges), value or (), entry.hint)
    if entry.kind == "unit":
        names = tuple(dict.fromkeys([*([value] if value else []), *offered.edges]))
        return widgets.Dropdown(options=names, value=value or (names[0] if names else None), **more)
    field = widgets.Combobox(
        value=_write(value), placeholder=entry.hint, ensure_option=False, continuous_update=False, **more
    )
    _offer(field, entry, offered)
    return field


def _list_choices(entry: Entry, offered: Offered) -> Options:
    return (*entry.options, *((name, name) for name in offered.edges)) if entry.key == "between" else entry.options


def _offer(field: Any, entry: Entry, offered: Offered) -> None:
    if entry.kind == "rows":
        field.offer(tuple(offered.edges))
        return
    edges = [f"{name}.{edge}" for name, names in offered.edges.items() for edge in names][:MOST_OFFERED]
    found: dict[str, Callable[[], Iterable[str]]] = {
        "length": lambda: (*offered.lengths, *edges), "edge": lambda: (*offered.edges, *edges),
        "slot": lambda: offered.slots, "slots": lambda: offered.slots, "units": lambda: tuple(offered.edges),
    }  # fmt: skip
    if entry.kind in found:
        options = tuple(found[entry.kind]())
        if field.options != options:
            field.options = options
    elif entry.kind == "unit" and field.options != (names := tuple(offered.edges)):
        old, field.options = field.value, names
        field.value = old if old in names else names[0] if names else None


def _write(value: Any) -> str:
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _read_field(entry: Entry, value: Any, system: System) -> Any:
    if not isinstance(value, str):
        return value
    if entry.kind == "rows":
        return [" ".join(row.split()) for row in value.splitlines() if row.strip()]
    text = " ".join(value.split())
    if not text:
        return None
    if entry.kind == "count":
        if not text.isdecimal():
            raise KitError(
                f"{entry.label}: `{text:.40}` is not a count", needed="a whole number", do="write for instance 3"
            )
        return int(text)
    if entry.kind == "number":
        return _read_angle(entry.label, text)
    if entry.kind == "length":
        several = entry.key == "log_finished"
        return [add_unit(one, system) for one in split_lengths(text)] if several else add_unit(text, system)
    if entry.kind in ("slots", "units"):
        return [one.strip() for one in text.split(",") if one.strip()]
    return int(text) if entry.key == "corner" and text.isdecimal() else text


def _read_angle(label: str, text: str) -> float:
    try:
        return read_number(text.rstrip("°"))
    except LengthError:
        raise KitError(f"{label}: `{text:.40}` is not an angle", needed="degrees", do="write for instance 45") from None


def label_key(key: str) -> str:
    """Return what a size is called on the screen.

    Examples
    --------
    >>> label_key("short_1_finished"), label_key("angle")
    ('Short 1, finished', 'Angle (°)')
    """
    words = key.removesuffix("_finished").replace("_", " ").capitalize()
    return f"{words}, finished" if key.endswith("_finished") else f"{words} (°)"


def _find_usual(kind: str, key: str) -> str:
    """Return what a size begins with: every shape can be made as it is offered."""
    if kind == "60° triangle" and key == "side_finished":
        return ""
    if kind == "trapezoid" and key == "height_finished":
        return "2 in"
    return USUAL.get(key, "")
