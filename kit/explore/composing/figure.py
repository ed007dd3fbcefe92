"""The picture of the table: one figure whose sources are filled again, and the clicks on it."""

from collections.abc import Callable
from contextlib import nullcontext
from typing import Any

import ipywidgets as widgets
from bokeh.events import DoubleTap, PressUp, Tap
from bokeh.models import ColumnDataSource, HoverTool, Range1d
from bokeh.plotting import figure

from kit.explore.composing.laid import FreeEdge, LaidTable
from kit.explore.composing.one_message import OneMessage
from kit.explore.composing.table_pictures import (
    CHOSEN,
    GROUND,
    INK,
    Columns,
    PatchColumns,
    find_box,
    list_edges,
    list_marks,
    list_troubles,
)
from kit.geometry.closing import find_holder
from kit.geometry.outlines import Point
from kit.lengths import System, write_length

SIDE = 420
"""Pixels: width and height of the picture."""
MARGIN = 0.12
"""Share of the picture that is left free round what lies, for the names of the edges."""
NEAR = 12.0
"""Pixels within which a click is on an edge."""
ROOM = 0.45
"""What lies may shrink to this share of the picture before the picture comes nearer."""
EDGE, TROUBLE = "#7a6a58", "#b3261e"


class TableFigure(widgets.Box):
    """The picture of what lies on the table.

    Parameters
    ----------
    click_edge
        Called with the label of a free edge that was clicked.
    click_unit
        Called with the place in the list of a unit that was clicked, between its edges.
    click_ground
        Called when nothing was hit.

    Attributes
    ----------
    pixel
        Inches that a pixel is.
    """

    def __init__(
        self, click_edge: Callable[[str], None], click_unit: Callable[[int], None], click_ground: Callable[[], None]
    ) -> None:
        super().__init__()
        for name in ("seamproof-picture", "seamproof-tall"):
            self.add_class(name)
        self._click_edge, self._click_unit, self._click_ground = click_edge, click_unit, click_ground
        self._laid = LaidTable()
        self._columns = PatchColumns()
        self._model: OneMessage | None = None
        self.patches = ColumnDataSource({"xs": [], "ys": [], "fill": []})
        self.edges = ColumnDataSource(list_edges((), (), 1.0))
        self.marks = ColumnDataSource(list_marks(None, None, None, 1.0))
        self.troubles = ColumnDataSource(list_troubles(LaidTable()))
        self.view = -2.0, -2.0, 16.0
        self._x = Range1d(start=-2, end=14)
        self._y = Range1d(start=-2, end=14)

    @property
    def pixel(self) -> float:
        """Inches that a pixel is."""
        return self.view[2] / SIDE

    def _make_figure(self) -> figure:
        plot = figure(
            width=SIDE + 8, height=SIDE + 8, sizing_mode="scale_width", x_range=self._x, y_range=self._y,
            tools="", toolbar_location=None, background_fill_color=GROUND, border_fill_color=None,
            outline_line_color="#b9b2a6", min_border=4,
        )  # fmt: skip
        plot.axis.visible = False
        plot.grid.visible = False
        plot.patches("xs", "ys", source=self.patches, fill_color="fill", line_color=INK, line_width=1)
        plot.multi_line("xs", "ys", source=self.edges, line_width=2.5, line_color=EDGE, line_dash=[7, 4])
        wide: Any = plot.multi_line("xs", "ys", source=self.edges, line_width=2 * NEAR, line_color=INK, line_alpha=0.0)
        plot.multi_line("xs", "ys", source=self.marks, line_width="width", line_color=CHOSEN, line_cap="round")
        plot.text("x", "y", text="text", angle="angle", source=self.edges, text_align="center",
                  text_baseline="middle", text_font_size="11px", text_color=INK)  # fmt: skip
        plot.scatter("x", "y", source=self.troubles, size=22, fill_color="#ffffff", line_color=TROUBLE, line_width=3)
        plot.text("x", "y", text="number", source=self.troubles, text_align="center", text_baseline="middle",
                  text_font_size="12px", text_font_style="bold", text_color=TROUBLE)  # fmt: skip
        plot.add_tools(
            HoverTool(renderers=[wide], tooltips=[("free edge", "@label"), ("finished", "@size")], line_policy="interp")
        )
        for event in (Tap, DoubleTap, PressUp):  # two quick clicks and a slow one are clicks as well
            plot.on_event(event, self._tap)
        return plot

    # ---- the mouse ---------------------------------------------------------------------------------------------

    def _tap(self, event: Any) -> None:
        if event.x is not None and event.y is not None:
            self.click((float(event.x), float(event.y)))

    def click(self, point: Point) -> None:
        """Take a click at a place in inches: on a free edge, on a unit, or beside all of them."""
        edge = self._find_edge(point)
        if edge is not None:
            self._click_edge(edge.label)
            return
        holders = find_holder([copy.outline for copy in self._laid.copies], [point]) if self._laid.copies else [None]
        if holders[0] is None:
            self._click_ground()
        else:
            self._click_unit(holders[0])

    def _find_edge(self, point: Point) -> FreeEdge | None:
        """Return the free edge that is nearest to a place, None where none is near."""
        best = min(self._laid.free, key=lambda edge: _measure_off(point, edge), default=None)
        return best if best is not None and _measure_off(point, best) <= NEAR * self.pixel else None

    # ---- showing -----------------------------------------------------------------------------------------------

    def show(
        self,
        laid: LaidTable,
        colours: dict[str, str],
        system: System,
        chosen: tuple[FreeEdge | None, int, Point | None],
    ) -> None:
        """Fill the sources with what lies and mark what is chosen, in one message to the page.

        The picture moves only where what lies would not be seen well; patches that are there are not sent again.
        """
        self._laid = laid
        with self._model.at_once() if self._model is not None else nullcontext():
            self._add(self.patches, self._columns.list(laid, colours))
            self._frame()
            said = [write_length(edge.size, system) for edge in laid.free]
            self._fill(self.edges, list_edges(laid.free, said, self.pixel))
            self._fill(self.troubles, list_troubles(laid))
            self.mark(*chosen)

    def draw(self) -> None:
        """Make the figure, once its sources are filled: it takes along what they hold then."""
        if self._model is not None:
            self._model.give_up()
        self._model = OneMessage(self._make_figure(), layout=widgets.Layout(width="100%"))
        self.children = (self._model,)

    def mark(self, edge: FreeEdge | None, unit: int, corner: Point | None) -> None:
        """Mark what is chosen."""
        copy = self._laid.copies[unit] if 0 <= unit < len(self._laid.copies) else None
        self._fill(self.marks, list_marks(edge, copy, corner, self.pixel))

    def _fill(self, source: ColumnDataSource, columns: Columns) -> None:
        if source.data != columns:
            source.data = columns

    def _add(self, source: ColumnDataSource, columns: Columns) -> None:
        """Fill a source; rows that come behind those that are there are sent alone."""
        there = len(source.data["xs"])
        if 0 < there < len(columns["xs"]) and all(source.data[key] == columns[key][:there] for key in columns):
            source.stream({key: values[there:] for key, values in columns.items()})
        else:
            self._fill(source, columns)

    def _frame(self) -> None:
        left, bottom, right, top = find_box(self._laid)
        low_x, low_y, width = self.view
        size = max(right - left, top - bottom)
        margin = MARGIN * width / 2
        inside = min(left - low_x, bottom - low_y, low_x + width - right, low_y + width - top) >= margin
        if inside and size >= ROOM * width:
            return
        half = size / 2 / (1 - 2 * MARGIN)
        x, y = (left + right) / 2, (bottom + top) / 2
        self.view = x - half, y - half, 2 * half
        self._x.update(start=x - half, end=x + half)
        self._y.update(start=y - half, end=y + half)


def _measure_off(point: Point, edge: FreeEdge) -> float:
    """Return how far a place lies from an edge, inches."""
    p, a, b = complex(*point), complex(*edge.start), complex(*edge.end)
    t = min(max(((p - a) * (b - a).conjugate()).real / abs(b - a) ** 2, 0.0), 1.0)
    return abs(a + t * (b - a) - p)
