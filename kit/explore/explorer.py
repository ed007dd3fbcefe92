"""The explorer: controls beside the live preview and the tables, all from one study."""

import os
from copy import deepcopy
from html import escape
from pathlib import Path
from time import perf_counter
from typing import Any

import ipywidgets as widgets
from bokeh.models import ColumnDataSource
from jupyter_bokeh.widgets import BokehModel

from kit.explore.colour_tools import ColourTools
from kit.explore.composing.table import ComposingTable
from kit.explore.controls import make_control
from kit.explore.fabric_rows import FabricRows
from kit.explore.fitting import fit_counts
from kit.explore.quantities import FRAME, MEASURES, Quantity, set_value
from kit.explore.screen import Screen, write_table
from kit.explore.unit_quantities import list_quantities
from kit.lengths import CM, write_length, write_nearest
from kit.model.pattern import Sketch
from kit.output import tables
from kit.output.pictures.bokeh_figure import list_columns, make_figure
from kit.output.pictures.drawing import VIEWS
from kit.pipeline import make_sketch
from kit.study import Study, open_study, save_study, study_from_keys, study_keys

SLOW = 0.5
"""Seconds: work that took longer the last time is announced."""

WRAPPED = widgets.Layout(flex_flow="row wrap-reverse", align_items="flex-end")
"""The picture beside the controls; on a narrow page above them, so that it stays in sight."""
BESIDE = widgets.Layout(flex="1 1 480px", min_width="0", margin="0 0 0 12px")
QUICKLY = (
    '<div style="color:#555;max-width:860px">While controls move, every piece is counted by itself and its cloth is'
    " planned quickly. The pattern makes units together where that saves work, which may take more cloth; planned with"
    " more care it may also need a strip less.</div>"
)
SHOWN = {
    "colour": "Colour",
    "value": "Value (grey)",
    "fabric": "Fabric letters",
    "seams": "Seams only",
    "protan": "Protan sight",
    "deutan": "Deutan sight",
    "tritan": "Tritan sight",
}


def explore(study_or_path: Study | str | os.PathLike[str]) -> "Explorer":
    """Return the explorer of a study: move a control, and the quilt, its pieces and its cloth follow.

    Parameters
    ----------
    study_or_path
        A study, or the path of a study file.

    Raises
    ------
    StudyError
        A file that is not a study. Later on no error is raised: a setting that cannot be built is explained in place.
    """
    study = study_or_path if isinstance(study_or_path, Study) else open_study(study_or_path)
    return Explorer(study)


class Explorer(Screen):
    """Controls, preview, message and tables of one study.

    Attributes
    ----------
    study, sketch
        The last study that could be built, and its sketch.
    """

    shown = "The picture below is the last one that could be built."

    def __init__(self, study: Study) -> None:
        super().__init__("seamproof-explorer")
        self.study = study
        self.sketch: Sketch = make_sketch(study)
        self._keys: dict[str, Any] = deepcopy(study_keys(study))
        self._took, self._quiet = 0.0, False
        self._composing: ComposingTable | None = None
        self._summary = widgets.HTML()
        self._tables = {name: widgets.HTML() for name in ("To buy", "Pieces", "Cutting")}
        self._view = widgets.ToggleButtons(
            options=[(SHOWN[view], view) for view in VIEWS],
            description="Show",
            style={"button_width": "110px", "description_width": "50px"},
        )
        self._view.observe(lambda _: self._refigure(), names="value")
        self._picture = widgets.Box(layout=widgets.Layout(min_height="600px"))
        self._panel = widgets.VBox(layout=widgets.Layout(flex="0 0 458px", max_width="100%"))
        self._rebuild()

    # ---- building the screen -------------------------------------------------------------------------------------

    def _rebuild(self) -> None:
        """Lay out every control again from the study's keys, and show the sketch."""
        self._rows = FabricRows(self._keys["fabric"], self.sketch.patchwork.slots, self._update)
        family = self._keys["design"]["family"]
        design = widgets.VBox([*self._make_controls(list_quantities(self._keys)), self._make_fit()])
        frame = widgets.VBox(self._make_controls(FRAME))
        measures = widgets.VBox([self._make_system(), *self._make_controls(MEASURES)])
        self._seed = self._make_seed()
        self._scraps = widgets.VBox([self._seed, self._rows])
        self._tools = ColourTools(lambda: self._keys, lambda: self.sketch, self._update)
        parts = {
            f"Design: {family}": design,
            "Sashing and borders": frame,
            "Fabrics": self._scraps,
            "Placing prints": self._tools,
            "Measures": measures,
            "Save and open": self._make_files(),
        }
        accordion = widgets.Accordion(children=list(parts.values()), selected_index=0)
        for i, name in enumerate(parts):
            accordion.set_title(i, name)
        self._panel.children = (accordion,)
        tabs = widgets.Tab(children=list(self._tables.values()), layout=widgets.Layout(max_width="1260px"))
        for i, name in enumerate(self._tables):
            tabs.set_title(i, name)
        shown = widgets.VBox([self._view, self._picture], layout=BESIDE)
        body = widgets.HBox([self._panel, shown], layout=WRAPPED)
        self._refigure()
        self.children = (self._summary, self.message, body, *self._make_composing(), tabs, widgets.HTML(QUICKLY))
        self._show_words()

    def _make_composing(self) -> tuple[widgets.Widget, ...]:
        """Return the composing table of a study of units, in a section of its own; nothing for other studies."""
        if self._keys["design"]["family"] != "units":
            self._composing = None
            return ()
        self._composing = ComposingTable(self.study, self._take_composed)
        section = widgets.Accordion(children=[self._composing], layout=widgets.Layout(max_width="1280px"))
        section.set_title(0, "Composing table")
        return (section,)

    def _take_composed(self, study: Study) -> None:
        """Follow what was done on the composing table."""
        self._keys = deepcopy(study_keys(study))
        self._rows = FabricRows(self._keys["fabric"], self.sketch.patchwork.slots, self._update)
        self._scraps.children = (self._seed, self._rows)
        self._update()

    def _make_controls(self, quantities: tuple[Quantity, ...]) -> list[widgets.Widget]:
        return [make_control(q, self._keys, self.study.measures.system, self._set) for q in quantities]

    def _make_fit(self) -> widgets.VBox:
        """Return the fields for a wanted finished size of the quilt."""
        metric = self.study.measures.system == "metric"
        scale, unit = (1 / CM, "cm") if metric else (1.0, "in")
        style, layout = {"description_width": "238px"}, widgets.Layout(width="340px")
        fields = [
            widgets.BoundedFloatText(
                value=round(size * scale, 1),
                min=1,
                max=1270,
                step=0.5,
                description=f"Quilt, finished {what} ({unit})",
                style=style,
                layout=layout,
            )
            for what, size in zip(("width", "length"), self.sketch.patchwork.finished, strict=True)
        ]
        button = widgets.Button(
            description="Come closest to this size",
            tooltip="Set the counts of columns and rows so that the quilt comes nearest to this finished size",
            layout=widgets.Layout(width="216px", margin="2px 2px 8px 180px"),
        )

        def fit(_: object) -> None:
            wanted = fields[0].value / scale, fields[1].value / scale
            self.attempt(lambda: fit_counts(self._keys, self.study, self.sketch, wanted))
            self._update()
            self._rebuild()

        button.on_click(fit)
        return widgets.VBox([*fields, button])

    def _make_system(self) -> widgets.Widget:
        choice = widgets.ToggleButtons(
            options=[("Inches", "inch"), ("Centimetres", "metric")],
            value=self.study.measures.system,
            description="Lengths in",
            style={"button_width": "110px", "description_width": "80px"},
        )

        def switch(change: dict[str, Any]) -> None:
            self._keys["measures"]["system"] = change["new"]
            self._update()
            self._rebuild()

        choice.observe(switch, names="value")
        return choice

    def _make_seed(self) -> widgets.Widget:
        seed = widgets.BoundedIntText(
            value=self._keys["seed"],
            min=0,
            max=999_999,
            description="Seed of the scraps",
            style={"description_width": "130px"},
            layout=widgets.Layout(width="220px"),
        )
        again = widgets.Button(
            description="Another arrangement",
            icon="random",
            tooltip="Another arrangement of the scraps",
            layout=widgets.Layout(width="210px"),
        )

        def put(change: dict[str, Any]) -> None:
            self._keys["seed"] = change["new"]
            self._update()

        seed.observe(put, names="value")
        again.on_click(lambda _: setattr(seed, "value", seed.value + 1))
        return widgets.VBox([seed, again])

    def _make_files(self) -> widgets.Widget:
        style, layout = {"description_width": "90px"}, widgets.Layout(width="380px")
        name = widgets.Text(value="my-study.toml", description="Study file", style=style, layout=layout)
        title = widgets.Text(
            value=self._keys["title"], description="Title", continuous_update=False, style=style, layout=layout
        )
        save = widgets.Button(description="Save the study", icon="save")
        load = widgets.Button(description="Open this file", icon="folder-open")

        def put(change: dict[str, Any]) -> None:
            self._keys["title"] = change["new"]
            self._update()

        def write(_: object) -> None:
            self.attempt(lambda: self.say(f"Saved as {Path(save_study(self.study, name.value)).name}.", "done"))

        def read(_: object) -> None:
            self.attempt(lambda: self._take(open_study(name.value)))

        title.observe(put, names="value")
        save.on_click(write)
        load.on_click(read)
        return widgets.VBox([title, name, widgets.HBox([save, load])])

    # ---- what happens on a change ------------------------------------------------------------------------------

    def _take(self, study: Study) -> None:
        """Take over another study."""
        self.sketch = make_sketch(study)
        self.study, self._keys = study, deepcopy(study_keys(study))
        self._rebuild()
        self.say(f"Opened {study.title}.", "done")

    def _set(self, quantity: Quantity, value: Any) -> None:
        """Put one changed quantity into the keys and update everything."""
        set_value(self._keys, quantity, value)
        self._update()

    def _update(self) -> None:
        """Make the study of the keys again; if it cannot be built, give the reason and keep the last good picture."""
        if self._took > SLOW:
            self.say("Working: a quilt of this size takes a moment.", "busy")
        begun = perf_counter()
        self.attempt(self._follow)
        self._took = perf_counter() - begun

    def _follow(self) -> None:
        study = study_from_keys(self._keys, place="This setting")
        self._rows.offer(study.design.patchwork(study.measures.seam_allowance).slots)
        study = study_from_keys(self._keys, place="This setting")
        self.sketch = make_sketch(study)
        self.study = study
        if self._composing is not None:
            self._composing.follow(study)
        self._source.data = list_columns(self.sketch, self._view.value)
        self._show_words()

    def _refigure(self) -> None:
        """Draw the figure again, for another view or other units."""
        self._source = ColumnDataSource(list_columns(self.sketch, self._view.value))
        plot = make_figure(self.sketch, self._source, self._view.value)
        self._tools.listen(self._source, plot)
        self._picture.children = (BokehModel(plot),)

    # ---- words and tables --------------------------------------------------------------------------------------

    def _show_words(self) -> None:
        sketch = self.sketch
        system = sketch.study.measures.system
        width, height = (write_nearest(size, system) for size in sketch.patchwork.finished)
        allowance = write_length(sketch.study.measures.seam_allowance, system)
        count, kinds = len(sketch.patchwork.patches), len(sketch.cut_list.pieces)
        self._summary.value = (
            f'<div style="font-size:15px;padding:4px 0"><b>{escape(sketch.study.title)}</b>: finished'
            f" {width} × {height}; {count:,} patches of {kinds} kinds; allowance {allowance}</div>"
        )
        self.warn(sketch.warnings)
        made = {"To buy": tables.shopping, "Pieces": tables.pieces, "Cutting": tables.cutting}
        for name, make in made.items():
            self._tables[name].value = write_table(make(sketch))
