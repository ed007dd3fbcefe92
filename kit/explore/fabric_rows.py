"""One row of widgets per fabric: slot, name, colour, and a button that removes it."""

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

KeyValues = dict[str, Any]

PALETTE = ("#5b7f95", "#c58b4e", "#7a8f5a", "#a5576a", "#d8c59a", "#4f4a6b", "#8fb3b0", "#b5653a")
"""First colours of new fabrics; our own."""


def _share(least: int) -> widgets.Layout:
    """Return the layout of a field that shares a row, as narrow as this."""
    return widgets.Layout(flex=f"1 1 {least}px", width="auto", min_width=f"{least}px")


def _keep(width: int) -> widgets.Layout:
    """Return the layout of a field that is as wide as this in any row."""
    return widgets.Layout(flex=f"0 0 {width}px", width=f"{width}px")


class FabricRows(widgets.VBox):
    """The fabrics of a study as rows for changing, adding and removing.

    Parameters
    ----------
    fabrics
        [[fabric]] tables of the study; the list is changed in place.
    slots
        The slots of the design, offered for each fabric.
    changed
        Called after each change.
    """

    def __init__(self, fabrics: list[KeyValues], slots: Sequence[str], changed: Callable[[], None]) -> None:
        super().__init__()
        self._fabrics, self._slots, self._changed = fabrics, list(slots), changed
        self._quiet = False
        self._fields: list[dict[str, Any]] = []
        self._add = widgets.Button(description="Add a fabric", icon="plus", layout=widgets.Layout(width="150px"))
        self._add.on_click(lambda _: self._append())
        self._fill()

    def offer(self, slots: Sequence[str], fabrics: list[KeyValues]) -> bool:
        """Take over these tables, offer these slots, and add a fabric for each slot without one; True if any was."""
        self._fabrics = fabrics
        bare = [slot for slot in slots if slot not in {fabric["slot"] for fabric in fabrics}]
        for slot in bare:
            fabrics.append(self._new(slot))  # noqa: PERF401  a name is new among those before it
        if bare or set(slots) - set(self._slots):
            self._slots = list(dict.fromkeys([*slots, *self._slots]))
            self._fill()
        return bool(bare)

    def follow(self, fabrics: list[KeyValues]) -> None:
        """Take over these tables, and show what they hold."""
        self._fabrics = fabrics
        if len(fabrics) != len(self._fields):
            self._fill()
            return
        self._quiet = True
        for fabric, fields in zip(fabrics, self._fields, strict=True):
            if fabric["slot"] not in fields["slot"].options:
                fields["slot"].options = (fabric["slot"], *fields["slot"].options)
            for key in ("slot", "name", "colour"):
                fields[key].value = fabric[key]
            fields["out"].tooltip = f"Take out {fabric['name']}"
        self._quiet = False

    def _new(self, slot: str) -> KeyValues:
        taken = {fabric["name"] for fabric in self._fabrics}
        number = len(taken) + 1
        while f"Cloth {number}" in taken:
            number += 1
        return {"slot": slot, "name": f"Cloth {number}", "colour": PALETTE[number % len(PALETTE)]}

    def _append(self) -> None:
        slot = self._slots[0] if self._slots else "patch"
        self._fabrics.append(self._new(slot))
        self._fill()
        self._changed()

    def _fill(self) -> None:
        self._fields = [self._make_fields(number) for number in range(len(self._fabrics))]
        rows = [widgets.HBox([fields[key] for key in ("colour", "name", "slot", "out")]) for fields in self._fields]
        self.children = (*rows, self._add)

    def _make_fields(self, number: int) -> dict[str, Any]:
        fabric = self._fabrics[number]
        options = list(dict.fromkeys([fabric["slot"], *self._slots]))
        slot = widgets.Dropdown(options=options, value=fabric["slot"], layout=_share(76))
        slot.tooltip = "Slot of the fabric"
        name = widgets.Text(value=fabric["name"], continuous_update=False, layout=_share(78))
        name.tooltip = "Name of the fabric"
        colour = widgets.ColorPicker(value=fabric["colour"], concise=True, layout=_keep(36))
        colour.tooltip = "Colour of the fabric"
        out = widgets.Button(icon="trash", tooltip=f"Take out {fabric['name']}", layout=_keep(40))
        for key, control in (("slot", slot), ("name", name), ("colour", colour)):
            control.observe(lambda change, key=key: self._put(number, key, change["new"]), names="value")
        out.on_click(lambda _: self._remove(number))
        return {"slot": slot, "name": name, "colour": colour, "out": out}

    def _put(self, number: int, key: str, value: Any) -> None:
        if not self._quiet:
            self._fabrics[number][key] = value
            self._changed()

    def _remove(self, number: int) -> None:
        del self._fabrics[number]
        self._fill()
        self._changed()
