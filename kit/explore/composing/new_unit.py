"""The form that makes a new unit: a plain patch, of a family, others in rows, set out, or copied about a point."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from kit.designs.units.plain_patches import PATCHES
from kit.errors import KitError
from kit.explore.composing.unit_fields import STYLE, WIDE, Offered, UnitFields
from kit.explore.quantities import DESIGN

FAMILIES = tuple(family for family in DESIGN if family not in ("units", "outlines", "lines"))
TABLE = "put together on the table"
OPTIONS = (
    *((f"patch: {kind}", ("patch", kind)) for kind in PATCHES),
    *((f"family: {family}", ("family", family)) for family in FAMILIES),
    (TABLE, ("join", "")), ("rows of units", ("rows", "")), ("copies about a point", ("around", "")),
    ("a unit set out", ("block", "")),
)  # fmt: skip
BEGINNINGS = {"rows": "rows", "around": "ring", "block": "field"}
"""What a unit is called that is given no name, by the way in which it is made."""
HOW = (
    '<div style="max-width:350px;line-height:1.4">The table is cleared for it. Take units of the tray, click free'
    " edges, and they go there. What lay there stays in the tray.</div>"
)


class NewUnit(widgets.VBox):
    """Fields by kind of unit, and the button that makes it.

    Parameters
    ----------
    make
        Called with the name and the keys of the new unit.
    begin
        Called with the name of a unit that is put together on the table.
    name_new
        Returns a free name that begins as told.
    measure
        Returns the inches that a text says.
    do
        Called with what is to be done; says what cannot be done.
    """

    def __init__(
        self,
        make: Callable[[str, dict[str, Any]], None],
        begin: Callable[[str], Any],
        name_new: Callable[[str], str],
        measure: Callable[[str], float],
        do: Callable[[Callable[[], Any]], None],
    ) -> None:
        super().__init__()
        self._make, self._begin, self._name_new, self._measure = make, begin, name_new, measure
        self._offered = Offered({})
        self.kind = widgets.Dropdown(options=OPTIONS, description="Kind of unit", style=STYLE, layout=WIDE)
        self.name = widgets.Text(description="Name", placeholder="of the unit", style=STYLE, layout=WIDE,
                                 continuous_update=False)  # fmt: skip
        self.sizes = UnitFields()
        self.button = widgets.Button(description="Make the unit", layout=widgets.Layout(width="170px"),
                                     tooltip="Make this unit and put it in the tray")  # fmt: skip
        self.button.on_click(lambda _: do(self.make))
        self._how = widgets.HTML(HOW)
        self.kind.observe(lambda _: self._fill(), names="value")
        self._fill()

    @property
    def fields(self) -> dict[str, Any]:
        """The fields of the kind that is chosen, by key."""
        return self.sizes.fields

    def offer(self, offered: Offered) -> None:
        """Offer what there is now."""
        self._offered = offered
        self.sizes.offer(offered)

    def _fill(self) -> None:
        way, kind = self.kind.value
        self.sizes.begin(way, kind, self._offered)
        self.children = (self.kind, self.name, self._how if way == "join" else self.sizes, self.button)

    def make(self) -> None:
        """Make the unit of what the fields hold."""
        way, kind = self.kind.value
        name = self.name.value.strip()
        if way == "join":
            self._begin(name)
        else:
            begin = BEGINNINGS.get(way) or kind.split()[-1].strip("°").lower()
            name = name or self._name_new(begin)
            keys = self.sizes.read()
            self.sizes.check_lengths(self._measure)
            try:
                self._make(name, keys)
            except KitError as error:
                raise self.sizes.explain(error, name) from None
        self.name.value = ""
