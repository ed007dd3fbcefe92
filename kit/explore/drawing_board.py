"""The drawing board: lines drawn with the mouse or typed, patches coloured by a click, saved as a study.

A stroke of the mouse is straightened between its first and last places of the grid. The drawing is traced at once:
closed patches, dangling ends, the order of sewing.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as widgets
from bokeh.models import ColumnDataSource, FreehandDrawTool, HoverTool, Range1d, SingleIntervalTicker
from bokeh.plotting import figure
from jupyter_bokeh.widgets import BokehModel

from kit.errors import KitError
from kit.explore.composing.library import DrawingLibrary
from kit.explore.drawing_sheet import DrawingSheet, say_state
from kit.explore.fabric_rows import FabricRows
from kit.explore.screen import Screen
from kit.explore.typed_lengths import add_unit
from kit.geometry.outlines import Outline
from kit.look import lay_beside
from kit.study import Study, open_study, save_study, study_from_keys

SIDE = 400
"""Pixels: the longer side of the picture."""
MARGIN = 0.4
"""Squares left white around the drawing."""
STYLE = {"description_width": "122px"}
WIDE = widgets.Layout(width="336px")
BUTTON = widgets.Layout(width="160px")
STEPS = (("whole squares", 1.0), ("half squares", 0.5), ("quarter squares", 0.25))
CLICKS = (("gives a patch the slot", "give"), ("takes a line out", "take out"))
NEW: dict[str, Any] = {
    "title": "My drawing",
    "design": {"family": "lines"},
    "fabric": [{"slot": "ground", "name": "Cloth 1", "colour": "#e9e4d8"}],
}


def draw(study_or_path: Study | str | os.PathLike[str] | None = None) -> "DrawingBoard":
    """Return a drawing board: draw lines, colour closed patches, save the study.

    Parameters
    ----------
    study_or_path
        A study of the family "lines", or the path of its file; nothing for an empty sheet.

    Raises
    ------
    KitError
        A file that is not a study, or a study of another family.
    """
    if study_or_path is None:
        return DrawingBoard(study_from_keys(NEW))
    return DrawingBoard(study_or_path if isinstance(study_or_path, Study) else open_study(study_or_path))


class DrawingBoard(Screen):
    """A sheet with its picture, its words and its controls.

    Attributes
    ----------
    sheet
        The drawing.
    """

    shown = ""

    def __init__(self, study: Study) -> None:
        super().__init__("seamproof-drawing-board", 1260)
        self.sheet = DrawingSheet(study)
        self._taken: tuple[list[float], list[float]] = ([], [])
        self._patches = ColumnDataSource({"xs": [], "ys": [], "fill": [], "name": [], "slot": [], "fabric": []})
        self._lines = ColumnDataSource({"xs": [], "ys": [], "number": []})
        self._troubles = ColumnDataSource({"x": [], "y": []})
        self._stroke = ColumnDataSource({"xs": [], "ys": []})
        self._stroke.on_change("data", lambda _attr, _old, new: self.take_stroke(new))
        self._patches.selected.on_change("indices", lambda _attr, _old, new: self.click_patch(new))
        self._lines.selected.on_change("indices", lambda _attr, _old, new: self.click_line(new))
        self._picture = widgets.Box(layout=widgets.Layout(overflow="auto", max_width="100%"))
        self._size: tuple[float, float] = (0.0, 0.0)
        self._make_controls()
        body = lay_beside(self._make_panel(), widgets.VBox([self._picture]))
        library = DrawingLibrary(lambda: self._make_figure(*self._size))
        self.children = (self.message, body, library)
        self.show()

    @property
    def study(self) -> Study:
        """The study of the drawing.

        Raises
        ------
        KitError
            A fault keeps the drawing from being a top.
        """
        if self.sheet.shown.study is None:
            said, _ = say_state(self.sheet.shown)
            raise KitError(said, needed="a drawing with all patches closed", do="mend that place or undo")
        return self.sheet.shown.study

    # ---- building the screen -------------------------------------------------------------------------------------

    def _make_controls(self) -> None:
        self.step = widgets.Dropdown(options=STEPS, value=0.5, description="Ends go to", style=STYLE, layout=WIDE)
        self.click = widgets.Dropdown(options=CLICKS, description="A click", style=STYLE, layout=WIDE)
        self.slot = widgets.Combobox(
            value=self.sheet.shown.design.fill, description="Slot", placeholder="a known or a new name",
            ensure_option=False, style=STYLE, layout=WIDE,
        )  # fmt: skip
        self.line = self._make_text("Draw a line", "from and to: 0,0 6,6", self._type_line)
        self.patch = widgets.Text(description="Patch number", placeholder="from the top left", style=STYLE, layout=WIDE)
        self.size = self._make_text("Squares across, up", "12,12", lambda text: self.sheet.put("size", text))
        self.grid = self._make_text("A square, finished", "1 in", self._put_grid)
        self.text = widgets.Textarea(description="One per row", rows=12, style=STYLE, layout=WIDE)
        self.file = widgets.Text(value="my-drawing.toml", description="Study file", style=STYLE, layout=WIDE)
        self.buttons = {
            name: self._make_button(name, tip, act)
            for name, tip, act in (
                ("Undo", "Go back by one line, one slot or one change", self._undo),
                ("Give it the slot", "Give the patch of this number the slot above", self._give_typed),
                ("Draw these lines", "Replace all lines with these, one per row", self._put_typed),
                ("Save the study", "Write the drawing as a study file", self._save),
            )
        }
        self._fabrics = widgets.VBox()

    def _make_panel(self) -> widgets.Accordion:
        hint = widgets.HTML(
            '<div style="max-width:336px;line-height:1.4">Press and drag, then let go, to draw a line; it runs'
            " straight between the nearest places of the grid. Or type it.</div>"
        )
        undo, give, put, save = self.buttons.values()
        parts = {
            "Lines and slots": [hint, self.step, self.line, undo, self.slot, self.click, self.patch, give],
            "Fabrics": [self._fabrics],
            "All lines, typed": [self.text, put],
            "Size": [self.size, self.grid],
            "Save": [self.file, save],
        }
        panel = widgets.Accordion(
            children=[widgets.VBox(part) for part in parts.values()], selected_index=0,
        )  # fmt: skip
        for i, name in enumerate(parts):
            panel.set_title(i, name)
        return panel

    def _put_grid(self, text: str) -> None:
        self.sheet.put("grid_finished", add_unit(text, self.study.measures.system))

    def _make_text(self, label: str, hint: str, act: Callable[[str], None]) -> widgets.Text:
        field = widgets.Text(description=label, placeholder=hint, continuous_update=False, style=STYLE, layout=WIDE)

        def tell(change: dict[str, Any]) -> None:
            if change["new"].strip() and not self._quiet:
                self._do(lambda: act(change["new"]))

        field.observe(tell, names="value")
        return field

    def _make_button(self, name: str, tip: str, act: Callable[[], None]) -> widgets.Button:
        button = widgets.Button(description=name, tooltip=tip, layout=BUTTON)
        button.on_click(lambda _: act())
        return button

    def _make_figure(self, width: float, height: float) -> None:
        """Draw the figure again, for a sheet of another size."""
        scale = SIDE / (max(width, height) + 2 * MARGIN)
        plot = figure(
            frame_width=int((width + 2 * MARGIN) * scale),
            frame_height=int((height + 2 * MARGIN) * scale),
            x_range=Range1d(start=-MARGIN, end=width + MARGIN),
            y_range=Range1d(start=-MARGIN, end=height + MARGIN),
            tools="",
            toolbar_location=None,
            x_axis_label="squares across",
            y_axis_label="squares up",
            background_fill_color="#faf8f5",
        )
        every = max(1, round(max(width, height) / 24))
        for axis, grid in ((plot.xaxis, plot.xgrid), (plot.yaxis, plot.ygrid)):
            axis.ticker = grid.ticker = SingleIntervalTicker(interval=every, num_minor_ticks=2)
            grid.minor_grid_line_color, grid.minor_grid_line_alpha = "#b9b2a6", 0.35
            grid.grid_line_color, grid.grid_line_alpha, grid.level = "#8f877a", 0.6, "glyph"
        patches: Any = plot.patches(
            "xs", "ys", source=self._patches, fill_color="fill", line_color="#26221f", line_width=1, fill_alpha=0.92
        )
        wide: Any = plot.multi_line("xs", "ys", source=self._lines, line_width=12, line_color="#000000", line_alpha=0.0)
        plot.multi_line("xs", "ys", source=self._lines, line_width=2, line_color="#26221f")
        plot.scatter("x", "y", source=self._troubles, size=16, fill_color=None, line_color="#b3261e", line_width=3)
        stroke: Any = plot.multi_line("xs", "ys", source=self._stroke, line_width=2, line_color="#c8603c")
        for shown in (patches, wide):
            shown.nonselection_glyph = shown.selection_glyph = None
        # The pencil draws on the first of these; a click selects on all of them.
        pencil = FreehandDrawTool(renderers=[stroke, patches, wide], num_objects=1)
        plot.add_tools(
            pencil,
            HoverTool(renderers=[patches], tooltips=[("patch", "@name"), ("slot", "@slot"), ("fabric", "@fabric")]),
        )
        plot.toolbar.active_multi = pencil
        self._picture.children = (BokehModel(plot),)

    # ---- the mouse -----------------------------------------------------------------------------------------------

    def take_stroke(self, data: dict[str, Any]) -> None:
        """Straighten the stroke of the pencil, in squares, and draw it as a line."""
        if len(data["xs"]) == 0:
            return
        xs, ys = ([float(value) for value in data[axis][-1]] for axis in ("xs", "ys"))
        if (xs, ys) == self._taken:  # the page reports a stroke more than once
            return
        self._taken = xs, ys
        self._stroke.data = {"xs": [], "ys": []}
        self._do(lambda: self._draw(xs, ys))

    def _draw(self, xs: list[float], ys: list[float]) -> None:
        if not self.sheet.draw_line((xs[0], ys[0]), (xs[-1], ys[-1]), self.step.value):
            raise KitError(
                "The line begins and ends in one place", needed="a longer stroke", do="drag further or use finer steps"
            )

    def click_patch(self, places: list[int]) -> None:
        """Give the clicked patch the slot."""
        if places:
            self._patches.selected.indices = []
            if self.click.value == "give":
                self.patch.value = str(places[-1] + 1)
                self._do(lambda: self.sheet.give(places[-1], self._name_slot()))

    def click_line(self, places: list[int]) -> None:
        """Remove the clicked line."""
        if places:
            self._lines.selected.indices = []
            if self.click.value == "take out":
                number = int(self._lines.data["number"][places[-1]])
                self._do(lambda: self.sheet.take_out(number))

    # ---- buttons and fields --------------------------------------------------------------------------------------

    def _name_slot(self) -> str:
        return " ".join(self.slot.value.split()) or self.sheet.shown.design.fill

    def _type_line(self, text: str) -> None:
        self.sheet.add_line(text)
        self.line.value = ""

    def _put_typed(self) -> None:
        self._do(lambda: self.sheet.put_lines(self.text.value.splitlines()))

    def _give_typed(self) -> None:
        text = self.patch.value.strip()
        if text.isdecimal():
            self._do(lambda: self.sheet.give(int(text) - 1, self._name_slot()))
        else:
            self.say(f"`{text:.20}` is not a number of a patch.", "refused")

    def _undo(self) -> None:
        if self.sheet.undo():
            self.show()
        else:
            self.say("There is nothing to undo.")

    def _save(self) -> None:
        def save() -> None:
            path = save_study(self.study, self.file.value)
            self.say(f"Saved as {Path(path).name}: {len(self.sheet.shown.slots)} patches.", "done", path)

        question = self.ask_before(self.file.value)
        if question:
            self.say(question, "warn")
        else:
            self.attempt(save)

    def _do(self, act: Callable[[], None]) -> None:
        """Do an action and show the result."""
        if self.attempt(act):
            self.show()

    # ---- showing -------------------------------------------------------------------------------------------------

    def show(self) -> None:
        """Show the present sheet."""
        followed, grid = self.sheet.shown, self.sheet.shown.design.grid_finished
        size = (followed.design.finished[0] / grid, followed.design.finished[1] / grid)
        outlines = followed.traced.closed.outlines if followed.traced else ()
        self._patches.data = self._list_patches(outlines, grid)
        pieces = followed.traced.lines if followed.traced else ()
        self._lines.data = {
            "xs": [[x / grid for x, _ in line] for line in pieces],
            "ys": [[y / grid for _, y in line] for line in pieces],
            "number": list(followed.traced.rows) if followed.traced else [],
        }
        spots = [place for _, place in followed.troubles if place is not None]
        self._troubles.data = {"x": [x / grid for x, _ in spots], "y": [y / grid for _, y in spots]}
        if size != self._size:  # a figure copies the data of its sources when it is made
            self._size = size
            self._make_figure(*size)
        said, good = say_state(followed)
        self.say(said, "done" if good else "warn")
        self._fill_fields()

    def _list_patches(self, outlines: tuple[Outline, ...], grid: float) -> dict[str, list[Any]]:
        slots = self.sheet.shown.slots
        fabrics = {fabric["slot"]: fabric for fabric in reversed(self.sheet.keys["fabric"])}
        cloth = [fabrics.get(slot, {"name": "none yet", "colour": "#ffffff"}) for slot in slots]
        return {
            "xs": [[x / grid for x, _ in outline] for outline in outlines],
            "ys": [[y / grid for _, y in outline] for outline in outlines],
            "fill": [one["colour"] for one in cloth],
            "name": [str(i) for i in range(1, len(outlines) + 1)],
            "slot": list(slots),
            "fabric": [one["name"] for one in cloth],
        }

    _quiet = False

    def _fill_fields(self) -> None:
        """Write the values of the sheet into the fields."""
        design, followed = self.sheet.keys["design"], self.sheet.shown
        self._quiet = True
        self.size.value = design.get("size", "12,12")
        self.grid.value = design.get("grid_finished", "1 in")
        self.text.value = "\n".join(self.sheet.lines)
        filled = [fabric["slot"] for fabric in self.sheet.keys["fabric"]]
        slots = tuple(dict.fromkeys([followed.design.fill, *followed.slots, *filled]))
        self.slot.options = slots
        self._quiet = False
        rows = FabricRows(self.sheet.keys["fabric"], slots, self._recolour)
        self._fabrics.children = (rows,)

    def _recolour(self) -> None:
        self._do(lambda: self.sheet.act(lambda _: None))
