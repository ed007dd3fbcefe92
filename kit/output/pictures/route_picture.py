"""The walk along the route: a slider in inches over the quilted top, moved by the page itself, with no server.

Every corner of the route is sent once; moving the slider only cuts the route off there, so that 20,000 in of it follow
the hand.
"""

from json import dumps
from typing import Any

import numpy as np
from bokeh.embed import file_html
from bokeh.layouts import column
from bokeh.models import Column, ColumnDataSource, CustomJS
from bokeh.models.widgets import Div, Slider, Toggle
from bokeh.plotting import figure

from kit.lengths import CM
from kit.model.colour import tint
from kit.model.pattern import Sketch
from kit.model.quilting import QuiltingPlan, StretchKind
from kit.output.pictures.quilt_top import QuiltTop, bring_for_file, frame_top, list_top_parts
from kit.output.pictures.quilting_picture import START, add_quilting, trace_route

SAYS: dict[StretchKind, str] = {
    "stitch": "stitching",
    "again": "going over",
    "seam": "travelling in the seam, or at the edge under the binding",
    "bridge": "crossing over to the next line",
}
STITCHED, NEEDLE, ARROW = "#3a1d12", "#f2a900", "#1d4f91"
TALLEST, BAR = 760, 30
"""Pixels: the tallest top, and the bar of tools above it."""

FOLLOW = """
const gone = slider.value / scale, {x, y, after} = path.data, {until, kind, line, run, panel} = stretches.data;
const find = (list, value) => {
  let low = 0, high = list.length;
  while (low < high) { const k = (low + high) >> 1; if (list[k] <= value) low = k + 1; else high = k; }
  return low;
};
const last = Math.max(1, Math.min(find(after, gone), after.length - 1));
const xs = new Float64Array(last + 1), ys = new Float64Array(last + 1);
for (let k = 0; k < last; k++) { xs[k] = x[k]; ys[k] = y[k]; }
const step = after[last] - after[last - 1], share = step > 0 ? Math.min(1, (gone - after[last - 1]) / step) : 0;
const end = Number.isNaN(x[last]);
xs[last] = end ? x[last - 1] : x[last - 1] + share * (x[last] - x[last - 1]);
ys[last] = end ? y[last - 1] : y[last - 1] + share * (y[last] - y[last - 1]);
done.data = {x: xs, y: ys};
needle.data = {x: [xs[last]], y: [ys[last]]};
const stretch = Math.min(find(until, gone), until.length - 1), name = lines[line[stretch]];
const long = value => value.toLocaleString('en', {maximumFractionDigits: 1, minimumFractionDigits: 1});
said.text = `${long(slider.value)} of ${long(slider.end)} ${unit}: thread ${run[stretch]} of ${run[run.length - 1]}, `
  + `panel ${panel[stretch]}, ${says[kind[stretch]]}${name ? ' ' + name : ''}.`;
"""
"""The action of the page on a move of the slider: find the corner by halving, draw the route up to it, describe it."""


PLAY = """
if (cb_obj.active) {
  if (slider.value >= slider.end) slider.value = 0;
  cb_obj.label = 'Stop';
  let last = performance.now();
  const go = now => {
    if (!cb_obj.active) return;
    slider.value = Math.min(slider.end, slider.value + (now - last) / 1000 * slider.end / seconds);
    last = now;
    if (slider.value >= slider.end) cb_obj.active = false; else requestAnimationFrame(go);
  };
  requestAnimationFrame(go);
} else { cb_obj.label = 'Play'; }
"""
"""The action of the page on the button: move the slider from where it stands to the end."""
PLAYED = 60
"""Seconds that the whole route takes when it is played."""
ARROWS = 60
"""Arrows along the route."""


def lay_route(sketch: Sketch, plan: QuiltingPlan, *, width: int = 700, cloth: bool = False) -> Column:
    """Return the quilting over the pale top with a slider along the route; the page moves it by itself.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    plan
        Its quilting.
    width
        Pixels.
    cloth
        The lines lie over the cloth in its colours and prints; else over the pale top.

    Returns
    -------
    bokeh Column
        A slider named "along", a button "play" that moves it, a figure with arrows along the route, and a sentence
        named "said": what the needle does there.

    Notes
    -----
    20,000 in of lines are some 75,000 corners, 1 MB of the page.
    """
    metric = sketch.study.measures.system == "metric"
    scale, unit = (1 / CM, "cm") if metric else (1.0, "in")
    plot = _draw(sketch, plan, width=width, cloth=cloth)
    path, stretches, names = _list_path(plan), _list_stretches(plan), _list_names(plan)
    start = [[float(path.data[axis][0])] for axis in ("x", "y")]
    done, needle = (ColumnDataSource({"x": start[0], "y": start[1]}) for _ in range(2))
    _add_arrows(plot, plan)
    plot.line("x", "y", source=done, line_color=STITCHED, line_width=2.2, name="stitched")
    plot.scatter("x", "y", source=needle, size=13, fill_color=NEEDLE, line_color="#ffffff", line_width=2, name="needle")
    end = plan.length * scale
    slider = Slider(
        start=0, end=round(end, 4), value=0, step=max(0.25, round(end / 4000, 2)), format="0,0",
        title=f"{'Centimetres' if metric else 'Inches'} along the route", width=width - 20, bar_color=START,
        name="along",
    )  # fmt: skip
    said = Div(
        text="Move the slider: the dark line is stitched by then, the dot is the needle.", render_as_text=True,
        width=width - 20, name="said", styles={"min-height": "3em", "font-size": "14px"},
    )  # fmt: skip
    told: dict[str, Any] = {
        "path": path, "stretches": stretches, "done": done, "needle": needle, "slider": slider, "said": said,
        "scale": scale, "unit": unit, "lines": names, "says": list(SAYS.values()),
    }  # fmt: skip
    slider.js_on_change("value", CustomJS(args=told, code=FOLLOW))
    play = Toggle(label="Play", width=90, name="play")
    play.js_on_change("active", CustomJS(args={"slider": slider, "seconds": PLAYED}, code=PLAY))
    return column(slider, play, said, plot)


def _draw(sketch: Sketch, plan: QuiltingPlan, *, width: int, cloth: bool) -> figure:
    """Draw the lines over the top, pale or in its cloth; the figure has the proportions of the top and no more room."""
    parts = list_top_parts(sketch)
    if not cloth:
        parts |= {"fills": [tint(tint(fill)) for fill in parts["fills"]], "prints": {}, "lies": ""}
    plot = frame_top(QuiltTop(parts=dumps(parts)))
    across, along = sketch.patchwork.finished
    height = min(width * along / across, TALLEST)
    plot.width, plot.height = round(height * across / along), round(height) + BAR
    add_quilting(plot, plan)
    return plot


def _add_arrows(plot: figure, plan: QuiltingPlan) -> None:
    """Lay arrowheads along the route at even distances, pointing where the needle goes."""
    path, after, _ = trace_route(plan)
    real = ~np.isnan(path[:, 0])
    path, after = path[real], after[real]
    k = np.clip(np.searchsorted(after, (np.arange(ARROWS) + 0.5) * after[-1] / ARROWS), 1, len(after) - 1)
    ahead = path[k] - path[k - 1]
    kept = np.hypot(ahead[:, 0], ahead[:, 1]) > 1e-6
    at, ahead = ((path[k] + path[k - 1]) / 2)[kept], ahead[kept]
    plot.scatter(
        at[:, 0], at[:, 1], marker="triangle", angle=np.arctan2(ahead[:, 1], ahead[:, 0]) - np.pi / 2, size=8,
        fill_color=ARROW, line_color="#ffffff", name="arrows",
    )  # fmt: skip


def _list_path(plan: QuiltingPlan) -> ColumnDataSource:
    """Return the corners of the route, and the inches of route before each."""
    path, after, _ = trace_route(plan)
    x, y = (np.asarray(path[:, k], dtype=np.float32) for k in (0, 1))
    return ColumnDataSource({"x": x, "y": y, "after": after.astype(np.float32)})


def _list_names(plan: QuiltingPlan) -> list[str]:
    """Return the names of the lines; the first name stands for no line."""
    return ["", *(line.id for line in plan.lines)]


def _list_stretches(plan: QuiltingPlan) -> ColumnDataSource:
    """Return for each stretch where it ends in inches, what is done on it, and the numbers of line, run and panel."""
    number = {name: k for k, name in enumerate(_list_names(plan))}
    kinds = {kind: k for k, kind in enumerate(SAYS)}
    stretches = [(r, run.panel + 1, stretch) for r, run in enumerate(plan.runs, start=1) for stretch in run.stretches]
    strands = [plan.strands[stretch.strand] for _, _, stretch in stretches]
    return ColumnDataSource({
        "until": np.cumsum([strand.length for strand in strands]).astype(np.float32),
        "kind": np.array([kinds[stretch.kind] for _, _, stretch in stretches], dtype=np.int32),
        "line": np.array([number[strand.line] for strand in strands], dtype=np.int32),
        "run": np.array([r for r, _, _ in stretches], dtype=np.int32),
        "panel": np.array([p for _, p, _ in stretches], dtype=np.int32),
    })  # fmt: skip


def find_needle(plan: QuiltingPlan, inches: float) -> np.ndarray:
    """Return the place of the needle after the given inches of the route."""
    path, after, _ = trace_route(plan)
    real = ~np.isnan(path[:, 0])
    path, after = path[real], after[real]
    k = int(np.clip(np.searchsorted(after, inches), 1, len(after) - 1))
    run = after[k] - after[k - 1]
    share = (inches - after[k - 1]) / run if run > 0 else 1.0
    return np.asarray(path[k - 1] + share * (path[k] - path[k - 1]))


def write_route_page(sketch: Sketch, plan: QuiltingPlan) -> str:
    """Return a stand-alone HTML page of the quilting with its slider; it needs no server and no network."""
    return str(file_html(lay_route(sketch, plan), bring_for_file(), title=f"{sketch.study.title}: quilting"))
