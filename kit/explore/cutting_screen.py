"""The cutting on screen: choose ways of making, a wish and a width; cloth, diagram and tables follow."""

import os
from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from html import escape
from typing import Any, Literal, get_args, get_origin

import ipywidgets as widgets
import pandas as pd

from kit.explore.controls import STYLE, WIDE, make_control
from kit.explore.cutting_search import CuttingSearch
from kit.explore.plan_screen import PlanScreen
from kit.explore.quantities import Quantity
from kit.explore.table_writing import write_table
from kit.lengths import read_length, write_buying, write_length
from kit.look import lay_beside
from kit.model.cutting import ClothPlan, CuttingPlan, Nesting
from kit.model.notices import notice
from kit.model.pattern import Sketch
from kit.output import tables
from kit.output.pictures.cutting_picture import draw_cutting, measure_left
from kit.output.pictures.foundation_picture import draw_foundations
from kit.output.pictures.set_picture import draw_strip_sets
from kit.output.pictures.svg import write_image
from kit.output.words.notice_words import say_notices
from kit.pipeline import make_sketch
from kit.study import Study, open_study, study_from_keys, study_keys
from kit.study.cutting_keys import CuttingKeys
from kit.usable_widths import compare_widths

USUAL = "as a maker would"
ACROSS, SET_HIGH = 760.0, 240.0
"""Pixels: the width of pictures, and the height of those of strip sets."""
AS_WISHED = "as above"
UNITS = {
    "half_squares": "Half squares", "quarter_squares": "Quarter squares",
    "half_rectangles": "Half rectangles", "geese": "Geese", "corners": "Triangles on corners",
    "strip_sets": "Rows that repeat",
}  # fmt: skip
NO_WAYS = "<div>No unit of this quilt can be made in more than one way.</div>"
TABS = ("To buy", "Cutting", "Batches", "Ways", "Widths")


def explore_cutting(study: Sketch | Study | str | os.PathLike[str]) -> "CuttingScreen":
    """Return the cutting of a study with controls: each change plans the cloth again and shows it.

    Parameters
    ----------
    study
        A study, the path of its file, or a sketch or pattern of it.

    Raises
    ------
    KitError
        A study that cannot be made. Later on no error is raised: an impossible setting is explained in place.
    """
    if isinstance(study, str | os.PathLike):
        screen = CuttingScreen(open_study(study))
        screen.keep_in(os.fspath(study))
        return screen
    return CuttingScreen(study if isinstance(study, Study) else study.study)  # type: ignore[arg-type]  # has one


class CuttingScreen(PlanScreen):
    """Controls of the [cutting] table and of the width, beside the resulting cloth.

    Attributes
    ----------
    study
        The last study that could be planned.
    sketch
        Its sketch, with the cloth planned quickly or, after a search, with less.
    fields
        Key -> the widget that sets it.
    search
        The search for less cloth, with its buttons.
    """

    top_keys = ()  # every change plans the whole again

    def __init__(self, study: Study) -> None:
        super().__init__("seamproof-cutting")
        self._restart(study)
        self.begin_history()

    def _restart(self, study: Study) -> None:
        """Begin with this quilt."""
        self.study = study
        self.sketch = make_sketch(study, ways=True)
        self._before = self.sketch.cutting
        self._keys: dict[str, Any] = deepcopy(study_keys(study))
        self._insurance, self._insured = 0.0, ""
        self._lay_out()

    def _remember(self) -> Any:
        return deepcopy(self._keys), self._insured

    def _recall(self, state: Any) -> None:
        self._keys, self._insured = deepcopy(state)
        self._insurance = read_length(self._insured) if self._insured else 0.0

    def _lay_out(self) -> None:
        """Make the controls of the keys, and show all."""
        self._system = self.study.measures.system
        self._figures, self._picture = widgets.HTML(), widgets.HTML()
        self._tables = {name: widgets.HTML() for name in TABS}
        self.fields: dict[str, widgets.Widget] = {}
        self.search = CuttingSearch(lambda: self.sketch, self._take)
        save = self.make_save(lambda: self.study)
        parts = {"Ways of making": self._make_ways(), "Cloth": self._make_cloth(), "Save": save}
        accordion = widgets.Accordion(children=list(parts.values()), selected_index=0)
        self._tabs = widgets.Tab(children=list(self._tables.values()))
        for box, names in ((accordion, parts), (self._tabs, TABS)):
            for i, name in enumerate(names):
                box.set_title(i, name)
        self._tabs.observe(lambda _: self.attempt(self._show_widths), names="selected_index")
        left = widgets.VBox([accordion, self.search])
        right = widgets.VBox([self.message, self._figures, self._make_view(), self._picture])
        self.children = (lay_beside(left, right), self._tabs)
        self._show()

    # ---- controls ----------------------------------------------------------------------------------------------

    def _make_ways(self) -> widgets.VBox:
        made = [
            self._make_choice("make", "If no way is named", _list_words("make"), USUAL),
            self._make_choice("wish", "By cloth or cuts alone", (AS_WISHED, *_list_words("wish")), AS_WISHED),
        ]
        made += [
            self._make_choice(key, label, (AS_WISHED, *_list_words(key)), AS_WISHED) for key, label in UNITS.items()
        ]
        made += self._make_papers()
        made.append(self._make_choice("points", "Points of the rulers", _list_words("points"), "true"))
        for key, label, high, first in (
            ("oversize", "Larger, to be trimmed", 1.0, 0.0),
            ("set_squaring", "Strip set, to square", 2.0, 0.5),
        ):
            quantity = Quantity(("cutting", key), label, "length", 0, high, 0.0625, first=first, optional=True)
            self.fields[key] = make_control(quantity, self._keys, self._system, self._set_length)
            made.append(self.fields[key])
        return widgets.VBox(made)

    def _make_choice(self, key: str, label: str, words: tuple[str, ...], none: str) -> widgets.Dropdown:
        held = self._keys.get("cutting", {}).get(key, none)
        field = widgets.Dropdown(options=words, value=held, description=label, style=STYLE, layout=WIDE)
        field.observe(lambda change: self._put(key, None if change["new"] == none else change["new"]), names="value")
        self.fields[key] = field
        return field

    def _make_papers(self) -> list[widgets.Widget]:
        """Return the choice of units that are sewn on paper, none for a design without units."""
        names = tuple(unit.name for unit in self.sketch.patchwork.units.list_all()[:-1] if unit.size > 1)
        if not names:
            return []
        field = widgets.SelectMultiple(
            options=names, value=tuple(self._keys.get("cutting", {}).get("on_paper", ())), style=STYLE, layout=WIDE,
            rows=min(5, max(2, len(names))), description="Sewn on paper", tooltip="Hold Ctrl for several, or none",
        )  # fmt: skip
        field.observe(lambda change: self._put("on_paper", list(change["new"]) or None), names="value")
        self.fields["on_paper"] = field
        return [field]

    def _make_cloth(self) -> widgets.VBox:
        widths = [fabric.width for fabric in self.study.fabrics if fabric.form == "yardage"]
        first = widths[0] if widths else self.study.measures.usable_width
        width = Quantity(("width",), "Yardage, usable width", "length", 30, 60, 0.5, first=first)
        extra = Quantity(("insurance",), "Bought on top, to be safe", "length", 0, 36, 0.5, first=0, optional=True)
        held = {"insurance": self._insured} if self._insured else {}
        self.fields["width"] = make_control(width, {}, self._system, self._set_width)
        self.fields["insurance"] = make_control(extra, held, self._system, self._set_insurance)
        self._widths = widgets.HTML()
        return widgets.VBox([self.fields["width"], self._widths, *self._make_rows(), self.fields["insurance"]])

    def _make_rows(self) -> list[widgets.Widget]:
        """Return the controls of rows and of the margin."""
        wishes = self.study.cloth
        nesting = widgets.Dropdown(
            options=get_args(Nesting),
            value=wishes.nesting,
            description="Nested by a drawing",
            style=STYLE,
            layout=WIDE,
        )
        nesting.observe(lambda change: self._put("nesting", change["new"]), names="value")
        percent = round(100 * wishes.margin, 9)
        margin = widgets.BoundedFloatText(
            value=percent, min=0, max=max(20, percent), step=0.5, description="Bought on top for mistakes (%)",
            style=STYLE, layout=WIDE,
        )  # fmt: skip
        margin.observe(lambda change: self._put("margin", round(change["new"] / 100, 9)), names="value")
        self.fields |= {"nesting": nesting, "margin": margin}
        for key, label, low, high in (
            ("margin_least", "At least", 0.0, 4.0),
            ("ruler", "Ruler and mat, length", 6.0, 36.0),
            ("long_cuts", "Spent to spare joins", 0.0, 36.0),
        ):
            quantity = Quantity(
                ("cutting", key), label, "length", low, high, 0.5, first=getattr(wishes, key), optional=not low
            )
            self.fields[key] = make_control(quantity, self._keys, self._system, self._set_length)
        return [self.fields[key] for key in ("nesting", "ruler", "long_cuts", "margin", "margin_least")]

    def _make_view(self) -> widgets.HBox:
        self.fabric = widgets.Dropdown(description="Cloth", layout=widgets.Layout(width="260px"),
                                       style={"description_width": "50px"})  # fmt: skip
        self.layers = widgets.ToggleButtons(
            options=[("Single layer", "single"), ("As folded", "folded")], style={"button_width": "104px"}
        )
        for field in (self.fabric, self.layers):
            field.observe(lambda _: self.attempt(self._draw), names="value")
        return widgets.HBox([self.fabric, self.layers], layout=widgets.Layout(flex_flow="row wrap"))

    # ---- what happens on a change ------------------------------------------------------------------------------

    def _put(self, key: str, value: Any) -> None:
        """Set one key of the [cutting] table, or leave it out, and plan again."""
        table = self._keys.setdefault("cutting", {})
        table.pop(key, None)
        if value is not None:
            table[key] = value
        self.follow_keys(self._follow)

    def _set_length(self, quantity: Quantity, text: str | None) -> None:
        self._put(quantity.path[1], text if text is not None else "0 in")

    def _set_width(self, _: Quantity, text: str) -> None:
        """Give all yardage one width."""
        self._keys["measures"]["usable_width"] = text
        for entry in self._keys["fabric"]:
            if entry.get("form", "yardage") == "yardage":
                entry["width"] = text
        self.follow_keys(self._follow)

    def _set_insurance(self, _: Quantity, text: str | None) -> None:
        self._insured = text or ""
        self._insurance = read_length(text) if text else 0.0
        self.attempt(self._show)
        self.keep_act()

    def _follow(self) -> None:
        """Make the sketch of the keys again."""
        self.search.forget()
        study = study_from_keys(self._keys, place="This setting", folder=self._find_folder())
        self.sketch = make_sketch(study, ways=True)
        self.study = study
        self._show()

    def _take(self, plan: CuttingPlan, said: str) -> None:
        """Take over the cutting plan of a search."""
        self.sketch = replace(self.sketch, cutting=plan)
        self._show()
        self.say(said, "done")

    # ---- what is shown -----------------------------------------------------------------------------------------

    def _show(self) -> None:
        sketch = self.sketch
        short = [notice("cloth-short", slot=slot, missing=said) for slot, said in sketch.cutting.short.items()]
        found = (*short, *sketch.cutting.warnings, *sketch.making.assumptions)
        self.warn(say_notices(found, sketch.study.measures.system))
        self._figures.value = write_table(_compare(self._before, sketch, self._insurance))
        made: dict[str, Callable[[], pd.DataFrame]] = {
            "To buy": lambda: tables.shopping(sketch, self._insurance), "Cutting": lambda: tables.cutting(sketch),
            "Batches": lambda: tables.making(sketch),
        }  # fmt: skip
        for name, make in made.items():
            self._tables[name].value = write_table(make())
        self._tables["Batches"].value += _show_sets(sketch)
        self._tables["Ways"].value = write_table(tables.ways(sketch)) if sketch.making.choices else NO_WAYS
        self._widths.value = _say_widths(sketch)
        names = [plan.supply.fabric or plan.supply.slot for plan in sketch.cutting.cloths if plan.strips]
        if tuple(names) != tuple(self.fabric.options):
            kept = self.fabric.value
            self.fabric.options = names
            self.fabric.value = kept if kept in names else next(iter(names), None)
        self._draw()
        self._show_widths()

    def _draw(self) -> None:
        drawing = draw_cutting(self.sketch, self.layers.value).get(self.fabric.value or "")
        if drawing is None:
            self._picture.value = ""
            return
        self._picture.value = f"{write_image(drawing, width=ACROSS)}<div>{escape(drawing.title)}.</div>"

    def _show_widths(self) -> None:
        """Plan the other widths if their tab is open: they take longer than the rest."""
        if self._tabs.selected_index != TABS.index("Widths"):
            return
        table = tables.widths(compare_widths(self.sketch), self._insurance)
        self._tables["Widths"].value = write_table(table)


def _show_sets(sketch: Sketch) -> str:
    """Return the pictures of strip sets and of papers, each as wide as the screen or as high as its room."""
    shown = []
    papers = [draw_foundations(made.papers) for made in sketch.making.made if made.papers]
    for drawing in (*draw_strip_sets(sketch).values(), *papers):
        left, bottom, right, top = drawing.box
        width = min(ACROSS, SET_HIGH * (right - left) / (top - bottom))
        shown.append(f"{write_image(drawing, width=width)}<div>{escape(drawing.title)}.</div>")
    return "".join(shown)


def _say_widths(sketch: Sketch) -> str:
    """Return a sentence where cloths differ in width, empty where the control above says it all."""
    system = sketch.study.measures.system
    cloths = {cloth.supply.fabric or cloth.supply.slot: cloth.supply.width for cloth in sketch.cutting.cloths
              if cloth.supply.form == "yardage"}  # fmt: skip
    if len(set(cloths.values())) < 2:
        return ""
    said = ", ".join(f"{escape(name)} {write_length(width, system)}" for name, width in cloths.items())
    return f"<div>The cloths differ in width: {said}. Moving the width gives all of them one.</div>"


def _list_words(key: str) -> tuple[str, ...]:
    """Return the allowed words of a key of the [cutting] table."""
    kind = CuttingKeys.model_fields[key].annotation
    kinds = [part for part in get_args(kind) if part is not type(None)]
    return tuple(map(str, kinds if get_origin(kind) is Literal else get_args(kinds[0])))


def _compare(before: CuttingPlan, sketch: Sketch, insurance: float) -> pd.DataFrame:
    """Return one row per cloth: its length before and now, amount to buy, left-overs, excess over the least."""
    system = sketch.study.measures.system
    old = {plan.supply.fabric or plan.supply.slot: plan for plan in before.cloths}

    def take(plan: ClothPlan | None) -> str:
        if plan is None or not plan.strips:
            return "–"
        return write_length(plan.used, system) if plan.supply.form == "yardage" else f"({len(plan.strips)})"

    rows = []
    for plan in sketch.cutting.cloths:
        name = plan.supply.fabric or plan.supply.slot
        yardage = plan.supply.form == "yardage"
        rows.append(
            {
                "Cloth": name,
                "At first": take(old.get(name)),
                "Now": take(plan),
                "Buy": write_buying(plan.as_bought + insurance, system) if yardage else take(plan),
                "Left over": f"{100 * measure_left(plan.strips):.0f}\N{NO-BREAK SPACE}%",
                "Above the least": f"{100 * plan.gap:.1f}\N{NO-BREAK SPACE}%",
            }
        )
    return pd.DataFrame(rows)
