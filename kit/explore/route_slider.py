"""The walk along the route: a slider in inches, what is stitched by then, and where the needle stands."""

from html import escape
from typing import Any

import ipywidgets as widgets
import numpy as np
from bokeh.models import ColumnDataSource
from bokeh.plotting import figure
from jupyter_bokeh.widgets import BokehModel

from kit.lengths import CM, write_nearest
from kit.model.pattern import Sketch
from kit.model.quilting import Leg, QuiltingPlan, Run
from kit.output.preview import list_columns, make_figure
from kit.output.quilting_view import START, trace_route

SAYS = {
    "stitch": "stitching",
    "again": "going over",
    "seam": "travelling in the seam, or at the edge under the binding",
    "bridge": "crossing over to the next line",
}


def follow_route(sketch: Sketch, plan: QuiltingPlan) -> "RouteSlider":
    """Return a slider along the route of a quilting plan.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    plan
        Its quilting.
    """
    return RouteSlider(sketch, plan)


class RouteSlider(widgets.VBox):  # type: ignore[misc]
    """A slider along the route, the quilt with what is stitched so far, and a sentence.

    Attributes
    ----------
    slider
        Inches along the route, centimetres in a metric study.
    sentence
        What the needle does there.
    """

    def __init__(self, sketch: Sketch, plan: QuiltingPlan) -> None:
        super().__init__(layout=widgets.Layout(max_width="720px"))
        self.add_class("seamproof-route")
        self.plan = plan
        self._system = sketch.study.measures.system
        self._scale = 1 / CM if self._system == "metric" else 1.0
        length = plan.length * self._scale
        self._path, self._after, self._leg = trace_route(plan)
        self._legs: list[tuple[int, Run, Leg]] = [
            (r, run, leg) for r, run in enumerate(plan.runs, start=1) for leg in run.legs
        ]
        self._done = ColumnDataSource({"x": [], "y": []})
        self._needle = ColumnDataSource({"x": [], "y": []})
        self.slider = widgets.FloatSlider(
            value=length,
            min=0,
            max=length,
            step=max(0.25, round(length / 2000, 2)),
            description=f"{'Centimetres' if self._system == 'metric' else 'Inches'} along the route",
            readout_format=".0f",
            layout=widgets.Layout(width="600px"),
            style={"description_width": "180px"},
        )
        self.sentence = widgets.HTML()
        self.slider.observe(self._follow, names="value")
        self.children = (self.slider, BokehModel(self._draw(sketch)), self.sentence)
        self._follow({"new": length})

    def _draw(self, sketch: Sketch) -> figure:
        plot = make_figure(sketch, ColumnDataSource(list_columns(sketch, "fabric")), "seams")
        plot.line("x", "y", source=self._done, line_color="#3a1d12", line_width=1.6, name="stitched")
        plot.scatter("x", "y", source=self._needle, size=12, color=START, name="needle")
        return plot

    def _follow(self, change: dict[str, Any]) -> None:
        """Show the route as far as the slider stands."""
        inches = float(change["new"]) / self._scale
        last = max(1, int(np.searchsorted(self._after, inches, side="right")))
        path = self._path[:last] * self._scale
        here = self.find_needle(inches) * self._scale
        path = np.concatenate([path, here[None]]) if last < len(self._path) else path
        self._done.data = {"x": path[:, 0], "y": path[:, 1]}
        self._needle.data = {"x": here[:1], "y": here[1:]}
        r, run, leg = self._legs[int(self._leg[min(last, len(self._leg) - 1)])]
        line = self.plan.strands[leg.strand].line
        what = f"{SAYS[leg.kind]}{f' {line}' if line else ''}"
        self.sentence.value = (
            f'<div role="status"><b>{escape(write_nearest(inches, self._system))}</b> of'
            f" {escape(write_nearest(self.plan.length, self._system))}: thread {r} of {len(self.plan.runs)}, panel"
            f" {run.panel + 1}, {escape(what)}.</div>"
        )

    def find_needle(self, inches: float) -> np.ndarray:
        """Return where the needle stands after so many inches."""
        real = ~np.isnan(self._path[:, 0])
        path, after = self._path[real], self._after[real]
        k = int(np.clip(np.searchsorted(after, inches), 1, len(after) - 1))
        run = after[k] - after[k - 1]
        share = (inches - after[k - 1]) / run if run > 0 else 1.0
        return np.asarray(path[k - 1] + share * (path[k] - path[k - 1]))
