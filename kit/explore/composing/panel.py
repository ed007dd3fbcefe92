"""The controls of the composing table, in sections: everything that the mouse does, and the rest, by keyboard alone."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import ipywidgets as widgets

from kit.designs.units.edge_names import find_lowest
from kit.errors import KitError
from kit.explore.composing.laid import FreeEdge
from kit.explore.composing.new_unit import NewUnit
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.unit_form import UnitForm
from kit.explore.fabric_rows import FabricRows
from kit.geometry.outlines import Point, measure_angles

STYLE = {"description_width": "130px"}
WIDE = widgets.Layout(width="350px")
BUTTON = widgets.Layout(width="112px")
BROAD = widgets.Layout(width="170px")
SECTIONS = ("Place", "Copies", "New unit", "Units", "Fabrics", "Text")
PLACES = (("from end to end", ""), ("start", "start"), ("middle", "middle"), ("end", "end"))
CLICKS = (("places the unit there", "place"), ("chooses the edge", "choose"))
IMAGES = (("turned", "turned"), ("mirrored", "mirrored"), ("turned, every second mirrored", "alternate"))
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
        super().__init__(layout=widgets.Layout(width="384px", max_width="100%", flex="0 0 auto", margin="0 0 0 8px"))
        self.sheet, self._do, self._quiet = sheet, do, False
        self._make_place(mark)
        self._make_copies(mark)
        self.new = NewUnit(self._add, sheet.name_new, do)
        self.form = UnitForm(sheet, do)
        self._make_rest(save, open_file)
        self.section = widgets.ToggleButtons(options=SECTIONS, style={"button_width": "112px"})
        self.section.observe(lambda _: self._turn_to(), names="value")
        self._body = widgets.VBox()
        self.undo = self._make_button("Undo", "Go back by one act", sheet.undo)
        self.redo = self._make_button("Redo", "Do again what was undone last", sheet.redo)
        self.children = (self.section, self._body)
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
                                         layout=widgets.Layout(width="220px", margin="0 0 0 136px"))  # fmt: skip
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
        self.outcome = widgets.Text(
            description="Name", placeholder="of the unit that comes out", style=STYLE, layout=WIDE
        )
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
        self._copies = (self.times, self.images, self.centre, self.side, self.corner, self.at, self.outcome, rows)

    def _make_rest(self, save: Callable[[str], None], open_file: Callable[[str], None]) -> None:
        self.strip = self._make_text(
            "Strip, cut width", "2 1/2 in", lambda text: self.sheet.put_design("strip_cut", text or None)
        )
        self.lengths = widgets.Textarea(description="Shared lengths", placeholder="star = 9 in", rows=4, style=STYLE,
                                        layout=WIDE, continuous_update=False)  # fmt: skip
        self.lengths.observe(
            lambda change: None if self._quiet else self._do(lambda: self._share(change["new"])), names="value"
        )
        self._fabrics = widgets.VBox()
        self.title = self._make_text("Title", "of the quilt", self.sheet.set_title)
        self.text = widgets.Textarea(description="", rows=18, layout=widgets.Layout(width="372px"))
        self.text.add_class("seamproof-composing-text")
        take = self._make_button("Take over this text", "Put this text in place of the study",
                                 lambda: self.sheet.take_text(self.text.value), BROAD)  # fmt: skip
        self.file = widgets.Text(value="my-quilt.toml", description="Study file", style=STYLE, layout=WIDE)
        keep = widgets.Button(description="Save the study", icon="save", layout=BROAD)
        keep.on_click(lambda _: save(self.file.value))
        load = widgets.Button(description="Open this file", icon="folder-open", layout=BROAD)
        load.on_click(lambda _: open_file(self.file.value))
        self._cloth = (self.strip, self.lengths, self._fabrics)
        self._texts = (self.title, self.text, take, self.file, widgets.HBox([keep, load]))

    def _make_text(self, label: str, hint: str, act: Callable[[str], Any]) -> widgets.Text:
        field = widgets.Text(description=label, placeholder=hint, continuous_update=False, style=STYLE, layout=WIDE)
        field.observe(
            lambda change: None if self._quiet else self._do(lambda: act(change["new"].strip())), names="value"
        )
        return field

    def _turn_to(self) -> None:
        parts = (self._place, self._copies, (self.new,), (self.form,), self._cloth, self._texts)
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
        self.sheet.copy_round(self.times.value, images=self.images.value, corner=corner, at=self.at.value,
                              centre=centre, side=side, name=self.outcome.value.strip())  # fmt: skip
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
        self.unit.options = self._list_units()
        self.unit.value = name

    def _share(self, text: str) -> None:
        lengths = {}
        for row in text.splitlines():
            if row.strip():
                name, _, value = row.partition("=")
                lengths[name.strip()] = value.strip().strip('"')
        self.sheet.put_design("lengths", lengths or None)

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

    # ---- showing -----------------------------------------------------------------------------------------------

    def show(self) -> None:
        """Offer what there is now."""
        self._quiet = True
        laid = self.sheet.shown.laid
        _offer(self.unit, self._list_units())
        _offer(self.centre, (("a corner of it", ""), *((name, name) for name in self._list_units())))
        self._offer_edges()
        _offer(self.at, tuple(edge.label for edge in laid.free))
        lying = tuple((label, i) for i, label in enumerate(laid.labels)) if self.sheet.shown.table else ()
        _offer(self.lying, (*lying, ("nothing", -1)), lying[-1][1] if lying else -1)
        self._offer_corners()
        self._show_rest()
        self._quiet = False

    def _list_units(self) -> tuple[str, ...]:
        return tuple(name for name in self.sheet.units if name != self.sheet.opened)

    def _offer_edges(self) -> None:
        unit = self.sheet.make_or_none(self.unit.value) if self.unit.value else None
        names = tuple(unit.edges) if unit else ()
        _offer(self.own, (("the one that fits", ""), *((name, name) for name in names)), "")

    def _offer_sides(self) -> None:
        unit = self.sheet.make_or_none(self.centre.value) if self.centre.value else None
        names = tuple(unit.edges) if unit else ()
        _offer(self.side, (("the first", ""), *((name, name) for name in names)), "")

    def _offer_corners(self) -> None:
        outline = self.sheet.shown.laid.outline
        found: list[tuple[str, int]] = []
        if outline is not None:
            angles, first, n = measure_angles(outline), find_lowest(outline), len(outline)
            order = [(first + k) % n for k in range(n)]
            found = [(f"corner {k + 1}, {angles[i]:.4g}°", k + 1) for k, i in enumerate(order)
                     if abs(angles[i] - 360 / self.times.value) < CLOSE]  # fmt: skip
        _offer(self.corner, (("the one that fits", 0), *found), 0 if len(found) < 2 else found[0][1])

    def _show_rest(self) -> None:
        sheet = self.sheet
        design = sheet.keys["design"]
        slots = tuple(dict.fromkeys(fabric["slot"] for fabric in sheet.keys["fabric"]))
        self.new.system = sheet.shown.study.measures.system
        self.new.offer(slots)
        self.form.show()
        _put(self.strip, design.get("strip_cut", ""))
        _put(self.lengths, "\n".join(f"{name} = {value}" for name, value in design.get("lengths", {}).items()))
        _put(self.title, sheet.keys["title"])
        _put(self.text, sheet.text)
        if self._fabrics_of() != getattr(self, "_seen", None):
            self._seen = self._fabrics_of()
            fabrics = [dict(fabric) for fabric in sheet.keys["fabric"]]
            rows = FabricRows(fabrics, slots, lambda: self._do(lambda: sheet.put_fabrics(fabrics)))
            self._fabrics.children = (rows,)

    def _fabrics_of(self) -> str:
        return repr(self.sheet.keys["fabric"])


def _put(field: Any, value: str) -> None:
    if field.value != value:
        field.value = value


def _offer(choice: widgets.Dropdown, options: tuple[Any, ...], usual: Any = ...) -> None:
    """Offer options; what was chosen stays chosen where it is still there."""
    if choice.options == options:
        return
    old = choice.value
    values = [one[1] if isinstance(one, tuple) else one for one in options]
    choice.options = options
    if old in values and usual is ...:
        choice.value = old
    elif usual is not ... and usual in values:
        choice.value = usual
    elif values:
        choice.value = values[0]
