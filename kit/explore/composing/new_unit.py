"""The form that makes a new unit: a plain patch by its sizes, a unit of a family, rows of units, a unit set out."""

from collections.abc import Callable, Iterable
from typing import Any

import ipywidgets as widgets

from kit.designs.units.plain_patches import PATCHES
from kit.errors import KitError
from kit.explore.quantities import DESIGN, Quantity
from kit.lengths import System, write_exact

STYLE, SHORT = {"description_width": "212px"}, {"description_width": "130px"}
WIDE = widgets.Layout(width="366px")
ROWS, SET = "rows of units", "a unit set out"
FAMILIES = tuple(family for family in DESIGN if family not in ("units", "outlines"))
OPTIONS = (
    *((f"patch: {kind}", ("patch", kind)) for kind in PATCHES),
    *((f"family: {family}", ("family", family)) for family in FAMILIES),
    (ROWS, ("rows", "")), (SET, ("block", "")),
)  # fmt: skip
NOT_SIZES = ("patch", "slot", "name", "grain", "oversize")
USUAL = {
    "side_finished": "6 in", "width_finished": "6 in", "height_finished": "3 in", "long_finished": "6 in",
    "short_1_finished": "", "short_2_finished": "", "angle": "45", "right_angle": "",
}  # fmt: skip


class NewUnit(widgets.VBox):
    """Fields by kind of unit, and the button that makes it.

    Parameters
    ----------
    make
        Called with the name and the keys of the new unit.
    name_new
        Returns a free name that begins as told.
    do
        Called with what is to be done; says what cannot be done.
    """

    def __init__(
        self,
        make: Callable[[str, dict[str, Any]], None],
        name_new: Callable[[str], str],
        do: Callable[[Callable[[], Any]], None],
    ) -> None:
        super().__init__()
        self._make, self._name_new = make, name_new
        self.system: System = "inch"
        self.kind = widgets.Dropdown(options=OPTIONS, description="Kind of unit", style=SHORT, layout=WIDE)
        self.name = widgets.Text(description="Name", placeholder="of the unit", style=SHORT, layout=WIDE)
        self.slot = widgets.Combobox(value="patch", description="Slot", ensure_option=False, style=SHORT, layout=WIDE)
        self.fields: dict[str, widgets.Widget] = {}
        self.button = widgets.Button(description="Make the unit", layout=widgets.Layout(width="170px"),
                                     tooltip="Make this unit and put it in the tray")  # fmt: skip
        self.button.on_click(lambda _: do(self.make))
        self._sizes = widgets.VBox()
        self.children = (self.kind, self.name, self._sizes, self.button)
        self.kind.observe(lambda _: self._fill(), names="value")
        self._fill()

    def offer(self, slots: Iterable[str]) -> None:
        """Offer these slots."""
        found = tuple(slots)
        if self.slot.options != found:
            self.slot.options = found

    def _fill(self) -> None:
        way, kind = self.kind.value
        if way == "patch":
            self.fields = {key: self._make_text(_label_key(key), _find_usual(kind, key), field.description or "")
                           for key, field in PATCHES[kind].model_fields.items() if key not in NOT_SIZES}  # fmt: skip
            self.fields["oversize"] = self._make_text("Sewn larger by", "")
        elif way == "family":
            self.fields = {
                q.path[-1]: self._make_field(q) for q in DESIGN[kind] if q.path[-1] not in ("columns", "rows")
            }
        elif way == "rows":
            self.fields = {"rows": widgets.Textarea(placeholder="arm star*3 arm\nstar arm(90) star", rows=4,
                                                    description="Rows, the top first", style=STYLE, layout=WIDE),
                           "spacer_slot": self._make_text("Slot of spacers", "")}  # fmt: skip
        else:
            self.fields = {key: self._make_text(label, usual) for key, label, usual in (
                ("block", "Unit that is set out", ""), ("columns", "Units across", "1"), ("rows", "Units down", "1"),
            )}  # fmt: skip
        slot = [self.slot] if way == "patch" else []
        self._sizes.children = (*self.fields.values(), *slot)

    def _make_text(self, label: str, usual: str, tip: str = "") -> widgets.Text:
        return widgets.Text(value=usual, description=label, tooltip=tip or None, style=STYLE, layout=WIDE)

    def _make_field(self, quantity: Quantity) -> widgets.Widget:
        if quantity.kind == "choice":
            return widgets.Dropdown(options=quantity.choices, value=quantity.first, description=quantity.label,
                                    style=STYLE, layout=WIDE)  # fmt: skip
        if quantity.kind == "flag":
            return widgets.Checkbox(value=bool(quantity.first), description=quantity.label, layout=WIDE)
        usual = str(quantity.first) if quantity.kind == "count" else ""
        field = self._make_text(quantity.label, usual)
        if quantity.kind == "length":
            field.placeholder = (
                f"left out: {write_exact(quantity.first, self.system)}" if quantity.first else "left out"
            )
        return field

    def make(self) -> None:
        """Make the unit of what the fields hold."""
        way, kind = self.kind.value
        keys: dict[str, Any] = {way: kind} if kind else {}
        quantities = {q.path[-1]: q for q in DESIGN.get(kind, ())}
        for key, field in self.fields.items():
            value = field.value
            if key in quantities:
                value = _read_value(quantities[key], value)
            elif isinstance(value, str):
                value = _read_plain(key, value, way)
            if value not in (None, "", []):
                keys[key] = value
        if way not in keys:
            raise KitError("No unit is named", needed="units of the tray", do="write their names into the first field")
        if way not in keys:
            raise KitError("No unit is named", needed="units of the tray", do="write their names into the first field")
        if way == "patch":
            keys["slot"] = " ".join(self.slot.value.split()) or "patch"
        begin = (kind or way).split()[-1].strip("°").lower()
        self._make(self.name.value.strip() or self._name_new(begin), keys)
        self.name.value = ""


def _read_value(quantity: Quantity, value: Any) -> Any:
    if quantity.kind == "count":
        return _read_count(quantity.label, str(value)) if str(value).strip() else None
    if quantity.path[-1] == "log_finished" and value.strip():
        return [value.strip()]
    return value.strip() if isinstance(value, str) else value


def _read_plain(key: str, value: str, way: str) -> Any:
    if key == "rows" and way == "rows":
        return [row.strip() for row in value.splitlines() if row.strip()]
    if key in ("columns", "rows"):
        return _read_count(key, value)
    if key in ("angle", "right_angle") and value.strip():
        try:
            return float(value)
        except ValueError:
            raise KitError(f"`{value:.40}` is not an angle", needed="degrees", do="write for instance 45") from None
    return value.strip()


def _read_count(label: str, value: str) -> int:
    if not value.strip().isdecimal():
        raise KitError(f"{label}: `{value:.40}` is not a count", needed="a whole number", do="write for instance 3")
    return int(value)


def _label_key(key: str) -> str:
    """Return what a size is called on the screen.

    Examples
    --------
    >>> _label_key("short_1_finished"), _label_key("angle")
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
    if kind == "trapezoid" and key == "height_finished":
        return "2 in"
    return USUAL.get(key, "")
