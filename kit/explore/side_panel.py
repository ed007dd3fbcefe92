"""The sections of controls beside the explorer's picture, each made when it is first opened: so a page opens soon."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from kit.explore.colour_tools import ColourTools
from kit.explore.controls import Changed, make_control
from kit.explore.fabric_rows import FabricRows
from kit.explore.place_fields import PlaceFields
from kit.explore.quantities import FRAME, MEASURES, Quantity
from kit.explore.size_fields import Size, SizeFields
from kit.explore.system_choice import SystemChoice
from kit.explore.unit_quantities import list_quantities
from kit.model.pattern import Sketch

KeyValues = dict[str, Any]


@dataclass(frozen=True)
class PanelActs:
    """What the sections ask of their screen.

    Attributes
    ----------
    keys, sketch
        Return the keys of the study, and its last sketch.
    put
        Called with a quantity and its value for the study file.
    changed
        Called after the keys were changed, with what was moved.
    come
        Called with a function that returns a wanted size in inches.
    take, write
        Called with the name of a study file to open, or to save.
    give_up
        Called when a change could not be built.
    """

    keys: Callable[[], KeyValues]
    sketch: Callable[[], Sketch]
    put: Changed
    changed: Callable[..., None]
    come: Callable[[Callable[[], Size]], None]
    take: Callable[[str], None]
    write: Callable[[str], None]
    give_up: Callable[[], None]


class SidePanel(widgets.VBox):
    """Design, sashing and borders, fabrics, prints, measures, files: one section open at a time.

    Parameters
    ----------
    acts
        What the sections ask of their screen.

    Attributes
    ----------
    quantities
        Those of the design.
    """

    def __init__(self, acts: PanelActs) -> None:
        super().__init__()
        self._acts = acts
        self._clicked: tuple[str, ...] = ()

    # ---- the sections ------------------------------------------------------------------------------------------

    def fill(self) -> None:
        """Begin again with the keys that hold; the section that is open stays open."""
        self._built = self._list_built()
        self._system, self.quantities, *_ = self._built
        self._made: dict[str, Any] = {}
        self._sections: dict[str, Callable[[], Sequence[widgets.Widget]]] = {
            f"Design: {self._acts.keys()['design']['family']}": lambda: (*self._list_controls("design"), self.size),
            "Sashing and borders": lambda: self._list_controls("frame"),
            "Fabrics": lambda: (self.place.deal, self.rows),
            "Placing prints": lambda: (self.tools,),
            "Measures": lambda: (self.system, *self._list_controls("measures")),
            "Save and open": lambda: (self.place,),
        }
        old = self.children[0].selected_index if self.children else 0
        rooms = [widgets.VBox() for _ in self._sections]
        accordion = widgets.Accordion(children=rooms, selected_index=old)
        for i, name in enumerate(self._sections):
            accordion.set_title(i, name)
        accordion.observe(lambda change: self._open(change["new"]), names="selected_index")
        self.children: Any = (accordion,)
        self._open(old)

    def _open(self, number: int | None) -> None:
        """Make what is in a section, unless it is there."""
        if number is None:
            return
        room = self.children[0].children[number]
        if not room.children:
            room.children = tuple(list(self._sections.values())[number]())

    def open_all(self) -> None:
        """Make what is in every section."""
        for number in range(len(self._sections)):
            self._open(number)

    def _list_built(self) -> tuple[Any, ...]:
        """Return the units of the labels, and the quantities of each section."""
        keys = self._acts.keys()
        return str(keys["measures"].get("system", "inch")), list_quantities(keys), FRAME, MEASURES

    # ---- what is in them ---------------------------------------------------------------------------------------

    def _find(self, name: str, make: Callable[[], Any]) -> Any:
        if name not in self._made:
            self._made[name] = make()
        return self._made[name]

    def _list_controls(self, part: str) -> list[Any]:
        quantities: Sequence[Quantity] = dict(zip(("design", "frame", "measures"), self._built[1:], strict=True))[part]
        acts = self._acts
        return list(
            self._find(part, lambda: [make_control(q, acts.keys(), self._system, acts.put) for q in quantities])
        )

    @property
    def controls(self) -> list[Any]:
        """The controls of all quantities."""
        return [control for part in ("design", "frame", "measures") for control in self._list_controls(part)]

    @property
    def size(self) -> SizeFields:
        """The finished size."""
        return self._find("size", self._make_size)  # type: ignore[no-any-return]

    def _make_size(self) -> SizeFields:
        size = SizeFields(self._system, self._acts.come)
        size.follow(self._acts.sketch().patchwork.finished)
        return size

    @property
    def rows(self) -> FabricRows:
        """The fabrics."""
        acts = self._acts
        return self._find(  # type: ignore[no-any-return]
            "rows", lambda: FabricRows(acts.keys()["fabric"], acts.sketch().patchwork.slots, acts.changed)
        )

    @property
    def tools(self) -> ColourTools:
        """The placing of prints."""
        return self._find("tools", self._make_tools)  # type: ignore[no-any-return]

    def _make_tools(self) -> ColourTools:
        tools = ColourTools(self._acts.keys, self._acts.sketch, self._acts.changed, self._acts.give_up)
        tools.follow()
        if self._clicked:
            tools.click(*self._clicked)
        return tools

    @property
    def place(self) -> PlaceFields:
        """Title, file, and the deal of the scraps."""
        acts = self._acts
        return self._find("place", lambda: PlaceFields(acts.keys, acts.changed, acts.take, acts.write))  # type: ignore[no-any-return]

    @property
    def system(self) -> SystemChoice:
        """Inches or centimetres."""
        return self._find("system", lambda: SystemChoice(self._acts.keys, self._acts.changed))  # type: ignore[no-any-return]

    # ---- following ---------------------------------------------------------------------------------------------

    def offer(self, slots: Sequence[str]) -> bool:
        """Offer these slots, and add a fabric for each slot without one; True if any was added."""
        fabrics = self._acts.keys()["fabric"]
        filled = {fabric["slot"] for fabric in fabrics}
        if "rows" not in self._made and filled.issuperset(slots):
            return False
        return self.rows.offer(slots, fabrics)

    def click(self, patch: str) -> None:
        """Take the clicked patch."""
        self._clicked = (*self._clicked, patch)[-2:]
        if "tools" in self._made:
            self.tools.click(patch)

    def follow(self) -> bool:
        """Show what the keys hold in every control that there is; return True if the controls were made again."""
        if self._list_built() != self._built:
            self.fill()
            return True
        keys, made = self._acts.keys(), self._made
        for part in ("design", "frame", "measures"):
            for control in made.get(part, ()):
                control.follow(keys)
        if "size" in made:
            self.size.follow(self._acts.sketch().patchwork.finished)
        if "rows" in made:
            self.rows.follow(keys["fabric"])
        for name in ("tools", "place", "system"):
            if name in made:
                made[name].follow()
        return False
