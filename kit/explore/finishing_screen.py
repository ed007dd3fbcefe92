"""The finishing on screen: change an overhang or a binding's width; backing, binding and cost follow."""

import os
from copy import deepcopy
from dataclasses import replace
from typing import Any

import ipywidgets as widgets
import pandas as pd

from kit.explore.controls import STYLE, WIDE, make_control
from kit.explore.plan_screen import PlanScreen
from kit.explore.quantities import Quantity, set_value
from kit.explore.table_writing import write_table
from kit.lengths import write_buying, write_length
from kit.look import lay_beside
from kit.model.finishing import FinishingPlan, find_usual
from kit.model.pattern import Pattern, Sketch
from kit.output.pictures.finishing_picture import draw_backing, draw_binding
from kit.output.pictures.svg import write_image
from kit.output.tables import finishing_tables
from kit.output.words.notice_words import say_notices
from kit.pipeline import make_pattern, plan_finishing
from kit.study import Study, open_study, study_from_keys, study_keys

OTHER = "another fabric"
"""Shown for backing and binding from cloth outside the study."""


def _length(key: str, label: str, low: float, high: float, step: float = 0.125) -> Quantity:
    return Quantity(("finishing", key), label, "length", low, high, step)


def _choice(key: str, label: str, *choices: str) -> Quantity:
    return Quantity(("finishing", key), label, "choice", choices=choices)


def _flag(key: str, label: str) -> Quantity:
    return Quantity(("finishing", key), label, "flag")


PARTS: dict[str, tuple[Quantity, ...]] = {
    "Backing and batting": (
        _length("overhang_sides", "Overhang at each side", 0.5, 12, 0.5),
        _length("overhang_ends", "Overhang at each end", 0.5, 12, 0.5),
        _choice("backing", "Backing is made", "least cloth", "lengthwise", "crosswise", "diagonal", "wide"),
        _length("backing_width", "Cloth, usable width", 20, 64, 0.5),
        _length("backing_allowance", "Backing seams, allowance", 0.125, 1.5),
        _flag("backing_one_way", "The print has a top"),
        _length("wide_width", "Wide cloth, usable width", 60, 120, 1),
        _choice("batting", "Batting is bought", "fewest joins", "package", "roll"),
    ),
    "Binding": (
        _length("binding_finished", "Binding, visible width", 0.125, 1, 0.0625),
        _choice("binding_fold", "Fold", "double", "single"),
        _choice("binding_grain", "Grain", "straight", "bias square", "bias lengths"),
        _choice("binding_join", "Joins", "diagonal", "straight"),
        _length("binding_width", "Cloth, usable width", 20, 64, 0.5),
        _length("binding_extra", "For corners and closing", 4, 30, 0.5),
        _length("join_clear", "Joins, distance from the corners", 0.5, 12, 0.5),
        _flag("left_over_first", "Use left-over cloth first"),
    ),
    "Borders, sleeve, washing": (
        _choice("border_cloth", "Border strips are cut", "least cloth", "crosswise", "lengthwise"),
        _choice("border_join", "Border joins", "straight", "diagonal"),
        _flag("sleeve", "A hanging sleeve"),
        _length("sleeve_height", "Sleeve, finished height", 1, 8, 0.25),
        _length("squaring_up", "Squaring up a length takes", 0.25, 4, 0.25),
    ),
}
NUMBERS: dict[str, tuple[tuple[str, str, float], ...]] = {
    "Prices and pay": (
        ("backing_price", "Backing, price", 0.5), ("wide_price", "Wide backing, price", 0.5),
        ("binding_price", "Binding, price", 0.5), ("batting_price", "Package of batting, price", 1),
        ("batting_roll_price", "Batting off the roll, price", 0.5), ("spool_price", "Spool of thread, price", 0.5),
        ("hour_rate", "Pay for an hour", 1), ("margin", "Part added on top", 0.05),
    ),
}  # fmt: skip
"""Key, label and step of each typed number; zero leaves it open."""


def explore_finishing(pattern: Sketch | Study | str | os.PathLike[str]) -> "FinishingScreen":
    """Return the finishing of a pattern with controls: each change plans it again, checks it and shows it.

    Parameters
    ----------
    pattern
        A pattern or a sketch of a study; for a study or the path of its file the pattern is made first.

    Raises
    ------
    KitError
        A pattern that cannot be made. Later on no error is raised: an impossible setting is explained in place.
    """
    if isinstance(pattern, str | os.PathLike):
        screen = FinishingScreen(make_pattern(open_study(pattern)))
        screen.keep_in(os.fspath(pattern))
        return screen
    return FinishingScreen(make_pattern(pattern) if isinstance(pattern, Study) else pattern)


class FinishingScreen(PlanScreen):
    """Controls of the [finishing] table beside their results.

    Attributes
    ----------
    study
        The last study that could be planned.
    plan
        Its finishing, checked.
    fields
        Key of the [finishing] table -> the widget that sets it.
    """

    def __init__(self, sketch: Sketch) -> None:
        super().__init__("seamproof-finishing")
        self._begin(sketch)
        self.begin_history()

    def _begin(self, sketch: Sketch) -> None:
        """Begin with the top of this sketch."""
        self._sketch, self._quilting = sketch, sketch.quilting if isinstance(sketch, Pattern) else None
        self.study: Study = sketch.study  # type: ignore[assignment]  # a sketch is made from a study
        self._keys: dict[str, Any] = deepcopy(study_keys(self.study))
        self._keys.setdefault("finishing", {})
        self.plan = self._before = plan_finishing(sketch, self._quilting)
        self._lay_out()

    def _restart(self, study: Study) -> None:
        self._begin(make_pattern(study))

    def _lay_out(self) -> None:
        """Make the controls of the keys, and show all."""
        self._system = self.study.measures.system
        self._figures, self._pictures = widgets.HTML(), widgets.HTML()
        self._tables = {name: widgets.HTML() for name in ("Whole", "Backing", "Binding", "Costs", "Hours")}
        self.fields: dict[str, widgets.Widget] = {}
        parts = {name: widgets.VBox(self._make_part(name, quantities)) for name, quantities in PARTS.items()}
        parts |= {name: widgets.VBox(self._make_numbers(rows)) for name, rows in NUMBERS.items()}
        parts["Save"] = self.make_save(lambda: self.study)
        accordion = widgets.Accordion(children=list(parts.values()), selected_index=0)
        for i, name in enumerate(parts):
            accordion.set_title(i, name)
        tabs = widgets.Tab(children=list(self._tables.values()))
        for i, name in enumerate(self._tables):
            tabs.set_title(i, name)
        self._parts = accordion
        accordion.observe(lambda _: self._draw(), names="selected_index")
        body = lay_beside(widgets.VBox([accordion]), widgets.VBox([self.message, self._figures, self._pictures]))
        self.children = (body, tabs)
        self._show()

    # ---- controls ----------------------------------------------------------------------------------------------

    def _make_part(self, name: str, quantities: tuple[Quantity, ...]) -> list[widgets.Widget]:
        """Return the controls of one part, with the choice of its fabric at the top."""
        of = [part for part in ("backing", "binding") if name.lower().startswith(part)]
        made: list[widgets.Widget] = [self._make_fabric(f"{part}_fabric", f"{part.capitalize()} is of") for part in of]
        usual = find_usual(self._system)
        for quantity in quantities:
            key = quantity.path[1]
            first = getattr(usual, key)
            if first is None:
                first = self.study.measures.usable_width
            self.fields[key] = make_control(replace(quantity, first=first), self._keys, self._system, self._set)
            made.append(self.fields[key])
        return made

    def _make_fabric(self, key: str, label: str) -> widgets.Dropdown:
        names = [fabric.name for fabric in self.study.fabrics if fabric.form == "yardage"]
        held = self._keys["finishing"].get(key, OTHER)
        field = widgets.Dropdown(
            options=list(dict.fromkeys([OTHER, held, *names])), value=held, description=label, style=STYLE, layout=WIDE
        )
        field.observe(lambda change: self._put(key, None if change["new"] == OTHER else change["new"]), names="value")
        self.fields[key] = field
        return field

    def _make_numbers(self, rows: tuple[tuple[str, str, float], ...]) -> list[widgets.Widget]:
        made = []
        for key, label, step in rows:
            field = widgets.BoundedFloatText(
                value=float(self._keys["finishing"].get(key, 0.0)), min=0, max=10.0 if key == "margin" else 100_000,
                step=step, description=label, style=STYLE, layout=WIDE,
            )  # fmt: skip
            field.observe(lambda change, key=key: self._put(key, change["new"] or None), names="value")
            self.fields[key] = field
            made.append(field)
        per = "metre" if self._system == "metric" else "yard"
        made.append(widgets.HTML(f"<div>Cloth is priced per {per}; zero leaves a price open.</div>"))
        return made

    # ---- what happens on a change ------------------------------------------------------------------------------

    def _set(self, quantity: Quantity, value: Any) -> None:
        set_value(self._keys, quantity, value)
        self.follow_keys(self._follow)

    def _put(self, key: str, value: Any) -> None:
        self._keys["finishing"].pop(key, None)
        if value is not None:
            self._keys["finishing"][key] = value
        self.follow_keys(self._follow)

    def _follow(self) -> None:
        """Plan the finishing of the keys again; the top does not change."""
        study = study_from_keys(self._keys, place="This setting", folder=self._find_folder())
        self.plan = plan_finishing(replace(self._sketch, study=study), self._quilting)
        self.study = study
        self._show()

    # ---- what is shown -----------------------------------------------------------------------------------------

    def _show(self) -> None:
        plan = self.plan
        self.warn(say_notices(plan.warnings, plan.top.system))
        rows = zip(_list_headlines(self._before), _list_headlines(plan), strict=True)
        table = pd.DataFrame([{"": what, "As it was": old, "Now": new} for (what, old), (_, new) in rows])
        self._figures.value = write_table(table)
        self._draw()
        make = {
            "Whole": finishing_tables.list_finishing, "Backing": finishing_tables.list_backings,
            "Binding": finishing_tables.list_binding, "Costs": finishing_tables.list_costs,
            "Hours": finishing_tables.list_hours,
        }  # fmt: skip
        for name, field in self._tables.items():
            field.value = write_table(make[name](plan))

    def _draw(self) -> None:
        """Draw the backing, or the binding while its part is open."""
        open_part = self._parts.selected_index
        binding = open_part is not None and self._parts.get_title(open_part) == "Binding"
        self._pictures.value = write_image((draw_binding if binding else draw_backing)(self.plan), width=340)


def _list_headlines(plan: FinishingPlan) -> list[tuple[str, str]]:
    """Return the most important figures, each in a few words."""
    system, back, bind = plan.top.system, plan.backing.chosen, plan.binding
    filling = plan.batting.chosen
    seams = "no seam" if not back.seams else "1 seam" if back.seams == 1 else f"{back.seams} seams"
    strips = f"{len(bind.lengths)} × {write_length(bind.cut, system)}"
    if bind.square is not None:
        strips = f"a square of {write_length(bind.square, system)}, cut {write_length(bind.cut, system)} wide"
    name = filling.name if filling.way == "package" else f"roll {write_length(round(filling.size[0], 6), system)} wide"
    bobbins = sum(line.bobbins for line in plan.thread.lines)
    return [
        ("Backing, buy", write_buying(back.bought, system) if back.bought else "nothing"),
        ("Backing, way", f"{back.way}, {seams}"),
        ("Batting", name),
        ("Binding, buy", write_buying(bind.bought, system) if bind.bought else "nothing"),
        ("Binding, strips", strips),
        ("Bobbins of thread", f"{bobbins}"),
        ("Hours", f"{plan.hours:.1f}"),
        ("Cost of everything with a price", f"{plan.cost.total:.2f}"),
    ]
