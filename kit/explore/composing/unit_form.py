"""The form that changes a unit which is there: its fields, its name, whether it is the top, whether it stays."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.composing.offering import put
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.sheet_history import find_way
from kit.explore.composing.unit_fields import STYLE, WIDE, Offered, UnitFields

NOT_YET = '<div role="status" style="max-width:350px">Not given to the unit yet: press “Change the unit”.</div>'
BUTTON = widgets.Layout(width="170px")
SAYS = {
    "join": "put together on the table: open it there to change it",
    "rows": "rows of units", "around": "copies about a point", "block": "a unit set out",
}  # fmt: skip


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
        self._sheet, self._offered = sheet, Offered({})
        self._seen: Any = None
        self.unit = widgets.Dropdown(description="Unit", style=STYLE, layout=WIDE)
        self.says = widgets.HTML()
        self.sizes = UnitFields()
        self.not_yet = widgets.HTML()
        self.name = widgets.Text(description="New name", continuous_update=False, style=STYLE, layout=WIDE)
        self.unit.observe(lambda _: self._fill(), names="value")
        acts = (
            ("Change the unit", "Give the unit what the fields hold", self._change),
            ("Open on the table", "Lay this unit open on the table", self._open),
            ("Make it the top", "This unit is the whole top", self._top),
            ("Rename", "Give the unit the new name, wherever it is named", self._rename),
            ("Take it out", "Take the unit out of the study", self._delete),
        )
        self.buttons: dict[str, widgets.Button] = {}
        for name, tip, act in acts:
            button = widgets.Button(description=name, tooltip=tip, layout=BUTTON)
            button.on_click(lambda _, act=act: do(act))
            self.buttons[name] = button
        self._fill()

    def show(self, offered: Offered) -> None:
        """Offer the units as they stand."""
        names = tuple(self._sheet.units)
        self._offered = offered
        if self.unit.options != names:
            old = self.unit.value
            self.unit.options = names
            self.unit.value = old if old in names else names[0] if names else None
        self._fill()
        self.sizes.offer(offered)

    def choose(self, name: str) -> None:
        """Choose a unit."""
        if name in self.unit.options:
            self.unit.value = name

    def _fill(self) -> None:
        """Fill the fields again where the unit is another or has changed."""
        name = self.unit.value or ""
        table = self._sheet.units.get(name, {})
        if self._seen == (name, repr(table)):
            return
        self._seen = name, repr(table)
        way = find_way(table)
        kind = str(table.get(way, "")) if way in ("patch", "family") else ""
        self.sizes.begin(way, kind, self._offered, table)
        said = f"{way}: {kind}" if kind else SAYS.get(way, "")
        self.says.value = f'<div style="max-width:350px;line-height:1.35;margin-left:154px">{said}</div>'
        change, show, top, rename, delete = self.buttons.values()
        fields = (self.sizes, self.not_yet, change) if self.sizes.fields else ()
        for field in self.sizes.fields.values():
            field.observe(lambda _: self._compare(), names="value")
        self._compare()
        self.children = (
            self.unit, self.says, *fields, widgets.HBox([show, top]), self.name, widgets.HBox([rename, delete]),
        )  # fmt: skip

    def _compare(self) -> None:
        """Say so while the fields hold what the unit does not."""
        table = self._sheet.units.get(self.unit.value or "", {})
        try:
            same = not self.sizes.fields or self.sizes.read() == table
        except KitError:
            same = False
        put(self.not_yet, "" if same else NOT_YET)

    def _choose(self) -> str:
        if not self.unit.value:
            raise KitError("There is no unit yet", needed="a unit", do="make one under New unit")
        return str(self.unit.value)

    def _change(self) -> None:
        name, keys = self._choose(), self.sizes.read()
        self.sizes.check_lengths(self._sheet.measure)
        try:
            self._sheet.change_unit(name, keys)
        except KitError as error:
            raise self.sizes.explain(error, name) from None

    def _open(self) -> None:
        self._sheet.open_unit(self._choose())

    def _top(self) -> None:
        self._sheet.set_top(self._choose())

    def _rename(self) -> None:
        old, new = self._choose(), self.name.value.strip()
        if not new:
            raise KitError("No name is given", needed="the new name", do="write it into the field New name")
        self._sheet.rename(old, new)
        self.unit.options = tuple(self._sheet.units)
        self.unit.value = new
        self.name.value = ""

    def _delete(self) -> None:
        self._sheet.delete(self._choose())
