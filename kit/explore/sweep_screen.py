"""The screen of a sweep: two linked plots, the front marked, and the quilt of the clicked point."""

from collections.abc import Sequence
from html import escape
from json import dumps
from math import cos, pi, sin
from typing import Any

import ipywidgets as widgets
from bokeh.layouts import row
from bokeh.models import ColumnDataSource, HoverTool, TapTool
from bokeh.plotting import figure
from jupyter_bokeh.widgets import BokehModel

from kit.errors import KitError
from kit.explore.picture_words import describe_quilt, make_said
from kit.explore.table_writing import write_table
from kit.lengths import read_length
from kit.look import Framed, fill_room, make_picture_room
from kit.output.pictures.quilt_top import QuiltTop, frame_top, list_top_parts
from kit.output.words.key_words import name_key
from kit.pipeline import make_sketch
from kit.sweeping import FOUR, Sweep

ON, OFF, OUT = "#c2571a", "#5f7f95", "#d9d5cd"
"""Colours of points on the front, beside it, and outside the wanted size."""
FRONT, BESIDE, OUTSIDE = "on the front", "not on the front", "outside the wanted size"
STYLE = {"description_width": "190px"}


def show_sweep(sweep: Sweep) -> "SweepScreen":
    """Return the plots of a sweep: choose their axes, click a point and see its quilt.

    Parameters
    ----------
    sweep
        From `kit.sweep`.

    Raises
    ------
    KitError
        A sweep without any point that could be made.
    """
    return SweepScreen(sweep)


class SweepScreen(Framed):
    """Two plots of one sweep that share their selection, the chosen rows, and the quilt of the last one clicked.

    Attributes
    ----------
    front
        The places in the table of the rows on the front.
    chosen
        The places of the selected rows in the plots.
    """

    def __init__(self, sweep: Sweep) -> None:
        super().__init__()
        self.add_class("seamproof-sweep")
        self.sweep = sweep
        table = sweep.table
        self._places = [int(place) for place in table.index[table["Pieces"].notna()]]
        if not self._places:
            why = str(table["Error"].iloc[0]) if len(table) else "it was stopped before the first"
            raise KitError(f"No point of the sweep was made ({why})", needed="a possible point", do="change the ranges")
        self.front: list[int] = []
        self.chosen: list[int] = []
        self._source = ColumnDataSource(self._list_figures())
        self.said, self.rows = widgets.HTML(), widgets.HTML()
        self.openers = widgets.HBox(layout=widgets.Layout(flex_flow="row wrap"))
        self._quilt, self._words = make_picture_room(), make_said()
        self.sizes = [self._make_bounds(column) for column in sweep.sizes]
        self.counts = {
            name: widgets.Checkbox(value=True, description=name, indent=False, layout=widgets.Layout(width="90px"))
            for name in FOUR
        }
        for field in (*self.sizes, *self.counts.values()):
            field.observe(lambda _: self._mark(), names="value")
        self.axes = self._make_axes()
        self._plots = make_picture_room(tall=False)
        wanted = widgets.HBox([widgets.Label("Least of"), *self.counts.values()])
        axes = widgets.HBox(list(self.axes.values()), layout=widgets.Layout(flex_flow="row wrap"))
        self.children = (
            *self.sizes,
            wanted,
            axes,
            self._plots,
            self.said,
            self.openers,
            self.rows,
            widgets.VBox([self._quilt, self._words]),
        )
        self._mark()
        self._draw()

    # ---- figures and fields ------------------------------------------------------------------------------------

    def _list_figures(self) -> dict[str, list[Any]]:
        """Return the data columns of the plots, one entry per point that could be made."""
        table = self.sweep.table.loc[self._places]
        columns: dict[str, list[Any]] = {
            name: [float(value) for value in table[name]] for name in self._list_measures()
        }
        for key in self.sweep.keys:
            columns[key] = _number(table[key].tolist())
        said = [", ".join(f"{name_key(key)} {line[key]}" for key in self.sweep.keys) for _, line in table.iterrows()]
        count = len(self._places)
        columns |= {"mark": [BESIDE] * count, "colour": [OFF] * count, "size": [8] * count}
        columns |= {"said": said, "finished": table["Finished"].tolist()}
        return columns

    def _list_measures(self) -> list[str]:
        sweep = self.sweep
        return [sweep.cloth, "Pieces", "Kinds", "Seams", "Partial seams", "Cost", "Hours", *sweep.sizes]

    def _name(self, column: str) -> str:
        """Return a key in plain words, and any other column as it is."""
        return name_key(column) if column in self.sweep.keys else column

    def _make_bounds(self, column: str) -> widgets.FloatRangeSlider:
        sizes = self.sweep.table[column].dropna()
        low, high = float(sizes.min()) - 0.05, float(sizes.max()) + 0.05
        return widgets.FloatRangeSlider(
            value=(low, high), min=low, max=high, step=0.1, description=column, readout_format=".1f",
            continuous_update=False, style=STYLE, layout=widgets.Layout(width="560px"),
        )  # fmt: skip

    def _make_axes(self) -> dict[str, widgets.Dropdown]:
        """Return the four choices of axes."""
        options = [(self._name(name), name) for name in (*self.sweep.keys, *self._list_measures())]
        start = {"Left, across": self.sweep.keys[0], "Left, up": self.sweep.cloth,
                 "Right, across": "Seams", "Right, up": "Hours"}  # fmt: skip
        fields = {
            name: widgets.Dropdown(
                options=options, value=value, description=name,
                style={"description_width": "90px"}, layout=widgets.Layout(width="300px"),
            )
            for name, value in start.items()
        }  # fmt: skip
        for field in fields.values():
            field.observe(lambda _: self._draw(), names="value")
        return fields

    # ---- drawing -----------------------------------------------------------------------------------------------

    def _draw(self) -> None:
        """Draw both plots again, for other axes: one document and one source, so that they share a selection."""
        names = [field.value for field in self.axes.values()]
        chosen = list(self._source.selected.indices)
        self._source = ColumnDataSource(dict(self._source.data))
        self._source.selected.indices = chosen
        self._source.selected.on_change("indices", lambda _attr, _old, new: self.choose(new))
        data, sides = dict(self._source.data), ("left", "right")
        for side, across, up in zip(sides, names[::2], names[1::2], strict=True):
            data[f"{side} x"], data[f"{side} y"] = fan_out(data[across], data[up])
        self._source.data = data
        plots = [self._plot(side, *names[2 * k : 2 * k + 2]) for k, side in enumerate(sides)]
        both = row(*plots, sizing_mode="stretch_width", styles={"flex-wrap": "wrap"})
        self._plots.children = (BokehModel(both, layout=widgets.Layout(width="100%")),)

    def _plot(self, side: str, across: str, up: str) -> figure:
        plot = figure(
            min_width=340, height=380, sizing_mode="stretch_width", active_scroll=None,
            tools="pan,wheel_zoom,box_select,lasso_select,reset", active_drag="box_select",
            toolbar_location="above", x_axis_label=self._name(across), y_axis_label=self._name(up),
            background_fill_color="#faf8f5",
        )  # fmt: skip
        plot.toolbar.logo = None
        drawn = plot.scatter(
            f"{side} x", f"{side} y", source=self._source, size="size", fill_color="colour", line_color="#26221f",
            fill_alpha=0.85, nonselection_fill_alpha=0.25, legend_field="mark",
        )  # fmt: skip
        plot.legend.label_text_font_size = "11px"
        plot.legend.orientation = "horizontal"
        plot.legend.border_line_color = None
        plot.add_layout(plot.legend[0], "above")
        plot.add_tools(
            TapTool(),
            HoverTool(renderers=[drawn], tooltips=[
                ("point", "@said"), ("finished", "@finished"),
                (self._name(across), f"@{{{across}}}"), (self._name(up), f"@{{{up}}}"),
            ]),
        )  # fmt: skip
        return plot

    def _mark(self) -> None:
        """Find the front within the wanted sizes, and colour the points by it."""
        by = [name for name, field in self.counts.items() if field.value]
        width, length = (tuple(field.value) for field in self.sizes)
        self.front = self.sweep.find_front(by, width, length) if by else []
        table, columns = self.sweep.table, self.sweep.sizes
        marks = []
        for place in self._places:
            sides = zip((width, length), columns, strict=True)
            inside = all(low - 1e-9 <= table[column][place] <= high + 1e-9 for (low, high), column in sides)
            marks.append(FRONT if place in self.front else BESIDE if inside else OUTSIDE)
        look = {FRONT: (ON, 13), BESIDE: (OFF, 8), OUTSIDE: (OUT, 6)}
        self._source.data = dict(self._source.data) | {
            "mark": marks,
            "colour": [look[mark][0] for mark in marks],
            "size": [look[mark][1] for mark in marks],
        }
        self._tell()

    # ---- choosing ----------------------------------------------------------------------------------------------

    def choose(self, places: Sequence[int]) -> None:
        """Take the selected points; show the quilt of a single one."""
        self.chosen = [self._places[place] for place in places]
        self._tell()
        if len(self.chosen) == 1:
            self._show_quilt(self.chosen[0])

    def _show_quilt(self, place: int) -> None:
        sketch = make_sketch(self.sweep.find_study(place), "steady")
        self._words.value = escape(describe_quilt(sketch))
        fill_room(self._quilt, frame_top(QuiltTop(parts=dumps(list_top_parts(sketch)))))

    def _tell(self) -> None:
        """Give the number of points, and show the chosen rows, or else those of the front."""
        table, sweep = self.sweep.table, self.sweep
        failed = len(table) - len(self._places)
        parts = [f"{len(table):,} points", f"{len(self.front):,} on the front"]
        parts += [f"{failed:,} that cannot be made"] if failed else []
        parts += [f"{sweep.left:,} not made yet"] if sweep.left else []
        chosen = f"{len(self.chosen)} chosen" if self.chosen else "click a point to see its quilt"
        shown = table.loc[self.chosen or self.front].drop(columns=["Error", *sweep.sizes]).head(40)
        self.said.value = f'<div role="status">{escape(", ".join(parts))}; {escape(chosen)}.</div>'
        self.rows.value = write_table(shown.rename(columns=self._name))
        self._offer_rows([int(place) for place in shown.index])

    def _offer_rows(self, places: Sequence[int]) -> None:
        """Offer a button for each row that is shown; it opens the quilt of the row."""
        said = dict(zip(self._places, self._source.data["said"], strict=True))
        buttons = []
        for place in places:
            button = widgets.Button(description=said[place], tooltip=f"Show the quilt of row {place}",
                                    layout=widgets.Layout(width="auto"))  # fmt: skip
            button.on_click(lambda _, place=place: self._show_quilt(place))
            buttons.append(button)
        self.openers.children = (widgets.Label("Open the quilt of"), *buttons)


def fan_out(across: Sequence[float], up: Sequence[float]) -> tuple[list[float], list[float]]:
    """Return the places of points, equal ones set out on a small ring round their place, so that each can be touched.

    Parameters
    ----------
    across, up
        The values of the points on both axes.

    Examples
    --------
    >>> fan_out([0, 1, 1], [0, 5, 5])
    ([0.0, 1.02, 0.98], [0.0, 5.0, 5.0])
    """
    wide, high = (0.02 * ((max(values) - min(values)) or 1) for values in (across, up))
    alike: dict[tuple[float, float], list[int]] = {}
    for place, (x, y) in enumerate(zip(across, up, strict=True)):
        alike.setdefault((round(x, 9), round(y, 9)), []).append(place)
    xs, ys = [float(x) for x in across], [float(y) for y in up]
    for places in alike.values():
        ring = max(1.0, len(places) / 8)
        for turn, place in enumerate(places if len(places) > 1 else ()):
            angle = 2 * pi * turn / len(places)
            xs[place] += round(ring * wide * cos(angle), 12)
            ys[place] += round(ring * high * sin(angle), 12)
    return xs, ys


def _number(values: list[Any]) -> list[float]:
    """Return values for an axis: numbers unchanged, lengths in inches, other texts by their order."""
    if all(isinstance(value, bool | int | float) for value in values):
        return [float(value) for value in values]
    try:
        return [read_length(value, zero_allowed=True) for value in values]
    except KitError:
        turns = list(dict.fromkeys(map(str, values)))
        return [float(turns.index(str(value)) + 1) for value in values]
