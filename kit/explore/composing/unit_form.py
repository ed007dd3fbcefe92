"""The form that changes a unit which is there: its keys, its name, whether it is the top, whether it stays."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from kit.designs.units.unit_keys import find_model
from kit.designs.units.unit_yard import OTHER_WAYS
from kit.errors import KitError
from kit.explore.composing.sheet import ComposeSheet

STYLE = {"description_width": "130px"}
WIDE = widgets.Layout(width="350px")
BUTTON = widgets.Layout(width="170px")


class UnitForm(widgets.VBox):
    """Fields and buttons for one unit at a time.

    Parameters
    ----------
    sheet
        The sheet that they work on.
    do
        Called with what is to be done; shows what follows, and says what cannot be done.
    """

    def __init__(self, sheet: ComposeSheet, do: Callable[[Callable[[], Any]], None]) -> None:
        super().__init__()
        self._sheet, self._do = sheet, do
        self.unit = widgets.Dropdown(description="Unit", style=STYLE, layout=WIDE)
        self.key = widgets.Dropdown(description="Key", style=STYLE, layout=WIDE)
        self.value = widgets.Textarea(description="Value", rows=3, style=STYLE, layout=WIDE,
                                      placeholder="empty: left out")  # fmt: skip
        self.says = widgets.HTML()
        self.name = widgets.Text(description="New name", style=STYLE, layout=WIDE)
        self.unit.observe(lambda _: self._fill_keys(), names="value")
        self.key.observe(lambda _: self._fill_value(), names="value")
        acts = (
            ("Put this value", "Give the key of the unit this value", self._put),
            ("Open on the table", "Lay this unit open on the table", self._open),
            ("Begin a new unit", "Clear the table for a unit of the new name", self._begin),
            ("Make it the top", "This unit is the whole top", self._top),
            ("Rename", "Give the unit the new name, wherever it is named", self._rename),
            ("Take it out", "Take the unit out of the study", self._delete),
        )
        self.buttons: dict[str, widgets.Button] = {}
        for name, tip, act in acts:
            button = widgets.Button(description=name, tooltip=tip, layout=BUTTON)
            button.on_click(lambda _, act=act: self._do(act))
            self.buttons[name] = button
        put, show, begin, top, rename, delete = self.buttons.values()
        self.children = (
            self.unit, widgets.HBox([show, top]), self.key, self.says, self.value, put,
            self.name, widgets.HBox([begin, rename]), delete,
        )  # fmt: skip

    def show(self) -> None:
        """Offer the units as they stand."""
        names = tuple(self._sheet.units)
        if self.unit.options != names:
            old = self.unit.value
            self.unit.options = names
            self.unit.value = old if old in names else names[0] if names else None
        self._fill_keys()

    def _list_keys(self) -> dict[str, str]:
        """Return the keys that the unit may have, and what each says."""
        table = self._sheet.units.get(self.unit.value or "")
        if table is None:
            return {}
        fields = find_model(self.unit.value, table, "This table", OTHER_WAYS).model_fields
        return {key: field.description or "" for key, field in fields.items() if key not in ("family", "patch")}

    def _fill_keys(self) -> None:
        keys = tuple(self._list_keys())
        if self.key.options != keys:
            old = self.key.value
            self.key.options = keys
            self.key.value = old if old in keys else keys[0] if keys else None
        self._fill_value()

    def _fill_value(self) -> None:
        value = self._sheet.units.get(self.unit.value or "", {}).get(self.key.value)
        plain = not isinstance(value, dict) and not (
            isinstance(value, list) and any(isinstance(v, dict) for v in value)
        )
        self.value.value = _write_value(value) if plain else "(a table: change it in the text of the study)"
        self.value.disabled = not plain
        self.says.value = ""
        if self.key.value:
            said = self._list_keys()[self.key.value].replace("&", "&amp;").replace("<", "&lt;")
            self.says.value = f'<div style="max-width:350px;line-height:1.35;margin-left:134px">{said}</div>'

    def _choose(self) -> str:
        if not self.unit.value:
            raise KitError("There is no unit yet", needed="a unit", do="make one under New unit")
        return str(self.unit.value)

    def _put(self) -> None:
        name, key = self._choose(), self.key.value
        if self.value.disabled:
            raise KitError(f"`{key}` is a table", needed="a text or a number", do="change it in the text of the study")
        self._sheet.set_key(name, key, _read_value(self.value.value, self._sheet.units[name].get(key), key))

    def _open(self) -> None:
        self._sheet.open_unit(self._choose())

    def _begin(self) -> None:
        self._sheet.begin(self.name.value.strip())
        self.name.value = ""

    def _top(self) -> None:
        self._sheet.set_top(self._choose())

    def _rename(self) -> None:
        old, new = self._choose(), self.name.value.strip()
        if not new:
            raise KitError("No name is given", needed="the new name", do="write it into the field")
        self._sheet.rename(old, new)
        self.unit.options = tuple(self._sheet.units)
        self.unit.value = new
        self.name.value = ""

    def _delete(self) -> None:
        self._sheet.delete(self._choose())


LISTS = ("rows", "join", "blocks", "sides", "turns", "lines")
"""Keys whose value is a list of texts, one a row of the field."""


def _write_value(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return "\n".join(str(one) for one in value)
    return str(value).lower() if isinstance(value, bool) else str(value)


def _read_value(text: str, old: Any, key: str) -> Any:
    """Return the value that a text means: numbers and true or false as such, one text a row where it is a list."""
    rows = [row.strip() for row in text.splitlines() if row.strip()]
    if not rows:
        return None
    if isinstance(old, list) or (key in LISTS and not rows[0].isdecimal()) or len(rows) > 1:
        return rows
    word = rows[0]
    if word in ("true", "false"):
        return word == "true"
    if word.lstrip("-").isdecimal():
        return int(word)
    try:
        return float(word)
    except ValueError:
        return word
