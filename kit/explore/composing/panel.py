"""The controls of the composing table, in sections: everything that the mouse does, and the rest, by keyboard alone."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import ipywidgets as widgets

from kit.designs.units.edge_names import find_lowest
from kit.errors import KitError
from kit.explore.composing.laid import FreeEdge
from kit.explore.composing.new_unit import NewUnit
from kit.explore.composing.offering import foresee, offer, say_plainly
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.study_controls import StudyControls
from kit.explore.composing.unit_fields import IMAGES, PLACES, STYLE, WIDE, Offered
from kit.explore.composing.unit_form import UnitForm
from kit.geometry.outlines import Point, measure_angles

BUTTON = widgets.Layout(width="112px")
BROAD = widgets.Layout(width="170px")
SECTIONS = ("Place", "Copies", "New unit", "Units", "Fabrics", "Text")
CLICKS = (("places the unit there", "place"), ("chooses the edge", "choose"))
LABELS = {
    "times": "“Copies”", "images": "“They are”", "centre": "“In the middle”", "corner": "“Corner there”",
    "place": "“Placed along it”", "around": "“At the edge”",
}  # fmt: skip
"""What the keys of copies are called on the screen."""
CLOSE = 0.01
"""Degrees by which a corner may be off what copies need."""


class TablePanel(widgets.VBox):
    """Sections of labelled controls.

    Parameters
    ----------
    sheet
        What they work on.
    do
        Called with what is to be done; shows what follows, and says what cannot be done.
    mark
        Called when something else is chosen.
    save, open_file
        Called with the name of a study file.
    """

    def __init__(
        self, sheet: ComposeSheet, do: Callable[[Callable[[], Any]], None], mark: Callable[[], None],
        save: Callable[[str], None], open_file: Callable[[str], None],
    ) -> None:  # fmt: skip
        super().__init__()
        self.sheet, self._do, self._quiet = sheet, do, False
        self._make_place(mark)
        self._make_copies(mark)
        self.new = NewUnit(self._add, sheet.begin, sheet.name_new, sheet.measure, do)
        self.form = UnitForm(sheet, do)
        self.shared = StudyControls(sheet, do, save, open_file)
        first = "Place" if sheet.units else "New unit"
        self.section = widgets.ToggleButtons(options=SECTIONS, value=first, style={"button_width": "112px"})
        self.section.observe(lambda _: self._turn_to(), names="value")
        self.told = widgets.HTML()
        self._body = widgets.VBox()
        self.undo = self._make_button("Undo", "Go back by one act", sheet.undo)
        self.redo = self._make_button("Redo", "Do again what was undone last", sheet.redo)
        self.children = (self.section, self.told, self._body)
        self._turn_to()

    # ---- building ----------------------------------------------------------------------------------------------

    def _make_button(self, name: str, tip: str, act: Callable[[], Any], layout: widgets.Layout = BUTTON) -> Any:
        button = widgets.Button(description=name, tooltip=tip, layout=layout)
        button.on_click(lambda _: self._do(act))
        return button

    def _make_choice(self, label: str, options: Sequence[Any] = (), **more: Any) -> widgets.Dropdown:
        return widgets.Dropdown(options=options, description=label, style=STYLE, layout=WIDE, **more)

    def _make_place(self, mark: Callable[[], None]) -> None:
        self.unit = self._make_choice("Unit to place")
        self.mirrored = widgets.Checkbox(description="Mirrored", indent=False,
                                         layout=widgets.Layout(width="200px", margin="0 0 0 156px"))  # fmt: skip
        self.own = self._make_choice("Its own edge", (("the one that fits", ""),))
        self.at = self._make_choice("At the edge")
        self.along = self._make_choice("Place along it", PLACES)
        self.click = self._make_choice("A click on an edge", CLICKS)
        self.lying = self._make_choice("On the table", (("nothing", -1),))
        self.angle = widgets.FloatText(value=90, description="Turn the first by (°)", style=STYLE, layout=WIDE)
        self.unit.observe(lambda _: self._offer_edges(), names="value")
        for choice in (self.at, self.lying):
            choice.observe(lambda _: None if self._quiet else mark(), names="value")
        place = self._make_button("Place it", "Lay the unit there", self.place, BROAD)
        acts = (
            ("Turn", "Turn it to its next edge; the first by the angle above", self._turn),
            ("Mirror", "Mirror it where it lies", self.sheet.mirror),
            ("Slide", "Slide it along its edge to the place above", self._slide),
            ("Take away", "Take it off the table, and what is joined to it", self.sheet.take_away),
        )  # fmt: skip
        buttons = [self._make_button(name, tip, partial(self._act_on, act)) for name, tip, act in acts]
        rows = widgets.HBox(buttons, layout=widgets.Layout(flex_flow="row wrap"))
        self._place = (
            self.unit, self.mirrored, self.own, self.at, self.along, self.click, place, self.lying, self.angle, rows,
        )  # fmt: skip

    def _make_copies(self, mark: Callable[[], None]) -> None:
        self.times = widgets.BoundedIntText(value=4, min=2, max=1000, description="Copies", style=STYLE, layout=WIDE)
        self.images = self._make_choice("They are", IMAGES)
        self.centre = self._make_choice("In the middle", (("a corner of it", ""),))
        self.side = self._make_choice("Its first edge", (("the first", ""),))
        self.corner = self._make_choice("Corner there", (("the one that fits", 0),))
        self.apart = self._make_choice("Placed along it", PLACES)
        self.outcome = widgets.Text(description="Name", placeholder="empty: the open unit", style=STYLE,
                                    layout=WIDE, continuous_update=False)  # fmt: skip
        self.times.observe(lambda _: self._offer_corners(), names="value")
        self.centre.observe(lambda _: self._offer_sides(), names="value")
        self.corner.observe(lambda _: None if self._quiet else mark(), names="value")
        buttons = [
            self._make_button(name, tip, act, BROAD)
            for name, tip, act in (
                ("Copy round", "Copies about its corner, or on the edges of the unit in the middle", self.copy_round),
                ("Copy across the edge", "A mirror image, or a turned copy, across the edge above", self.copy_across),
                ("Make it one unit", "Make what lies a unit of its own", self.make_group),
            )
        ]  # fmt: skip
        rows = widgets.HBox(buttons, layout=widgets.Layout(flex_flow="row wrap"))
        self._copies = (self.times, self.images, self.centre, self.side, self.at, self.apart, self.corner,
                        self.outcome, rows)  # fmt: skip

    def _turn_to(self) -> None:
        parts = (
            self._place, self._copies, (self.new,), (self.form,), self.shared.cloth, self.shared.texts,
        )  # fmt: skip
        self._show_section()
        self._body.children = parts[SECTIONS.index(self.section.value)]

    # ---- what the buttons do -----------------------------------------------------------------------------------

    def place(self) -> None:
        """Lay the unit that is chosen along the edge that is chosen, or on an empty table."""
        if not self.unit.value:
            raise KitError("No unit is taken", needed="a unit of the tray", do="take one, or make one under New unit")
        if self.sheet.shown.table == ():
            self.sheet.lay(self.unit.value, mirrored=self.mirrored.value)
            return
        if not self.at.value:
            raise KitError("No edge is chosen", needed="a free edge", do="choose one of the list")
        self.sheet.put(
            self.unit.value,
            self.at.value,
            self.own.value or None,
            self.along.value or None,
            mirrored=self.mirrored.value,
        )

    def copy_round(self) -> None:
        """Copy what lies about a corner, or on the edges of a unit in the middle."""
        corner, centre, side = self.corner.value or None, self.centre.value or None, self.side.value or None
        name = self.outcome.value.strip()
        try:
            self.sheet.copy_round(self.times.value, images=self.images.value, corner=corner, at=self.at.value,
                                  centre=centre, side=side, place=self.apart.value or None, name=name)  # fmt: skip
        except KitError as error:
            raise say_plainly(error, name or self.sheet.opened, LABELS) from None
        self.outcome.value = ""

    def copy_across(self) -> None:
        """Copy what lies across the edge that is chosen."""
        if not self.at.value:
            raise KitError("No edge is chosen", needed="a free edge", do="choose one of the list")
        images = "turned" if self.images.value == "turned" else "mirrored"
        self.sheet.copy_across(self.at.value, images=images, name=self.outcome.value.strip())
        self.outcome.value = ""

    def make_group(self) -> None:
        """Make what lies a unit of its own."""
        self.sheet.make_group(self.outcome.value.strip())
        self.outcome.value = ""

    def _add(self, name: str, keys: dict[str, Any]) -> None:
        self.sheet.add(name, keys)
        self.sheet.note = f"`{name}` is in the tray and is taken: click the empty table or a free edge to lay it."
        self.unit.options = self._list_units()
        self.unit.value = name

    def _act_on(self, act: Callable[[int], Any]) -> None:
        act(self._find_lying())

    def _turn(self, at: int) -> None:
        self.sheet.turn(at, self.angle.value)

    def _slide(self, at: int) -> None:
        self.sheet.slide(at, self.along.value or None)

    def _find_lying(self) -> int:
        return int(self.lying.value)

    # ---- what is chosen ----------------------------------------------------------------------------------------

    def choose(self, name: str) -> None:
        """Choose the unit to place."""
        if name in self.unit.options:
            self.unit.value = name

    def choose_edge(self, label: str) -> None:
        """Choose a free edge."""
        if label in self.at.options:
            self._quiet, before = True, self._quiet
            self.at.value = label
            self._quiet = before

    def choose_lying(self, number: int) -> None:
        """Choose a unit on the table."""
        self._quiet, before = True, self._quiet
        self.lying.value = number
        self._quiet = before

    def find_chosen(self) -> tuple[FreeEdge | None, int, Point | None]:
        """Return the free edge, the unit on the table and the corner that are chosen."""
        laid = self.sheet.shown.laid
        edge = next((edge for edge in laid.free if edge.label == self.at.value), None)
        corner = None
        if self.corner.value and laid.outline is not None and self.section.value == "Copies":
            outline = laid.outline
            corner = outline[(find_lowest(outline) + self.corner.value - 1) % len(outline)]
        return edge, self._find_lying(), corner

    def foresee(self) -> tuple[FreeEdge | None, int, Point | None]:
        """Return what will be chosen once `show` has offered what there is now, as `find_chosen` does."""
        at, lying = foresee(self.at, self._list_free()), foresee(self.lying, *self._list_lying())
        edge = next((edge for edge in self.sheet.shown.laid.free if edge.label == at), None)
        return edge, int(lying), self.find_chosen()[2]

    # ---- showing -----------------------------------------------------------------------------------------------

    def show(self) -> None:
        """Offer what there is now; only the section that is seen is filled again."""
        self._quiet = True
        offer(self.unit, self._list_units())
        offer(self.at, self._list_free())
        options, usual = self._list_lying()
        offer(self.lying, options, usual)
        self._quiet = False
        self._show_section()

    def _show_section(self) -> None:
        """Fill the section that is seen."""
        self._quiet = True
        section = self.section.value
        if section == "Place":
            self._offer_edges()
        elif section == "Copies":
            offer(self.centre, (("a corner of it", ""), *((name, name) for name in self._list_units())))
            self._offer_corners()
        elif section == "New unit":
            self.new.offer(self._list_offered())
        elif section == "Units":
            self.form.show(self._list_offered())
        elif section == "Fabrics":
            self.shared.show_cloth()
        else:
            self.shared.show_text()
        self._quiet = False

    def _list_free(self) -> tuple[str, ...]:
        return tuple(edge.label for edge in self.sheet.shown.laid.free)

    def _list_lying(self) -> tuple[tuple[tuple[str, int], ...], int]:
        lying = tuple((label, i) for i, label in enumerate(self.sheet.shown.laid.labels))
        return (*lying, ("nothing", -1)), lying[-1][1] if lying else -1

    def _list_units(self) -> tuple[str, ...]:
        return tuple(name for name in self.sheet.units if name != self.sheet.opened)

    def _list_offered(self) -> Offered:
        """Return what the fields of units offer."""
        sheet = self.sheet
        made = {name: sheet.make_or_none(name) for name in sheet.units}
        slots = tuple(dict.fromkeys(fabric["slot"] for fabric in sheet.keys["fabric"]))
        design = sheet.keys["design"]
        strips = ("1 strip", "2 strips") if "strip_cut" in design else ()
        edges = {name: tuple(unit.edges) if unit else () for name, unit in made.items()}
        return Offered(edges, slots, (*strips, *design.get("lengths", {})), sheet.shown.study.measures.system)

    def _offer_edges(self) -> None:
        unit = self.sheet.make_or_none(self.unit.value) if self.unit.value else None
        names = tuple(unit.edges) if unit else ()
        offer(self.own, (("the one that fits", ""), *((name, name) for name in names)), "")

    def _offer_sides(self) -> None:
        unit = self.sheet.make_or_none(self.centre.value) if self.centre.value else None
        names = tuple(unit.edges) if unit else ()
        offer(self.side, (("the first", ""), *((name, name) for name in names)), "")

    def _offer_corners(self) -> None:
        outline = self.sheet.shown.laid.outline
        found: list[tuple[str, int]] = []
        if outline is not None:
            angles, first, n = measure_angles(outline), find_lowest(outline), len(outline)
            order = [(first + k) % n for k in range(n)]
            found = [(f"corner {k + 1}, {angles[i]:.4g}°", k + 1) for k, i in enumerate(order)
                     if abs(angles[i] - 360 / self.times.value) < CLOSE]  # fmt: skip
        offer(self.corner, (("the one that fits", 0), *found), 0 if len(found) < 2 else found[0][1])
