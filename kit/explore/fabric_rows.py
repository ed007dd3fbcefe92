"""One row of widgets per fabric: slot, name, colour, and a button that removes it."""

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

KeyValues = dict[str, Any]

PALETTE = ("#5b7f95", "#c58b4e", "#7a8f5a", "#a5576a", "#d8c59a", "#4f4a6b", "#8fb3b0", "#b5653a")
"""First colours of new fabrics; our own."""


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
        self._add = widgets.Button(description="Add a fabric", icon="plus", layout=widgets.Layout(width="150px"))
        self._add.on_click(lambda _: self._append())
        self._fill()

    def offer(self, slots: Sequence[str]) -> None:
        """Offer these slots, and add a fabric for each slot without one."""
        bare = [slot for slot in slots if slot not in {fabric["slot"] for fabric in self._fabrics}]
        for slot in bare:
            self._fabrics.append(self._new(slot))
        if bare or set(slots) - set(self._slots):
            self._slots = list(dict.fromkeys([*slots, *self._slots]))
            self._fill()

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
        self.children = (*(self._row(fabric) for fabric in self._fabrics), self._add)

    def _row(self, fabric: KeyValues) -> widgets.HBox:
        options = list(dict.fromkeys([fabric["slot"], *self._slots]))
        slot = widgets.Dropdown(options=options, value=fabric["slot"], layout=widgets.Layout(width="112px"))
        slot.tooltip = "Slot of the fabric"
        name = widgets.Text(value=fabric["name"], continuous_update=False, layout=widgets.Layout(width="122px"))
        name.tooltip = "Name of the fabric"
        colour = widgets.ColorPicker(value=fabric["colour"], concise=True, layout=widgets.Layout(width="44px"))
        colour.tooltip = "Colour of the fabric"
        out = widgets.Button(icon="trash", tooltip=f"Take out {fabric['name']}", layout=widgets.Layout(width="40px"))
        for key, control in (("slot", slot), ("name", name), ("colour", colour)):
            control.observe(self._setter(fabric, key), names="value")
        out.on_click(lambda _: self._remove(fabric))
        return widgets.HBox([colour, name, slot, out])

    def _setter(self, fabric: KeyValues, key: str) -> Callable[[Any], None]:
        def put(change: Any) -> None:
            fabric[key] = change["new"]
            self._changed()

        return put

    def _remove(self, fabric: KeyValues) -> None:
        self._fabrics[:] = [other for other in self._fabrics if other is not fabric]
        self._fill()
        self._changed()
