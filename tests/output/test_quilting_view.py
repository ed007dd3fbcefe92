"""The quilting as a picture, for tracing, on the preview, and in tables."""

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from bokeh.models import ColumnDataSource, GlyphRenderer

from kit.model.quilting import QuiltingWishes, Stitching
from kit.output.preview import list_columns, make_figure
from kit.output.quilting_view import (
    add_quilting,
    draw_quilting,
    list_travel,
    table_density,
    table_figures,
    table_order,
    table_threads,
    trace_route,
    write_tracing,
)
from kit.output.svg import write_svg
from kit.passes.quilting import quilting_plan
from kit.pipeline import make_sketch
from kit.study import open_study

SKETCH = make_sketch(open_study("data/studies/ferry-steps.toml"))
WISHES = QuiltingWishes(
    (Stitching(), Stitching("sand", "echo", 0.5), Stitching("border", "serpentine", 1.5, colour="#204080")),
    gap_limit=1.6,
)
PLAN = quilting_plan(SKETCH.patchwork, WISHES)


def test_the_drawing_holds_every_line_and_travel_is_dotted():
    drawing = draw_quilting(SKETCH, PLAN)
    whole = [line for line in drawing.lines if not line.dash]
    dotted = [line for line in drawing.lines if line.dash]
    assert len(whole) == len(PLAN.lines) + len(PLAN.open_gaps)
    assert len(dotted) == sum(len(list_travel(PLAN, run)) for run in PLAN.runs) > 0
    travel = sum(np.hypot(*np.diff(np.array(line.points), axis=0).T).sum() for line in dotted)
    assert travel == pytest.approx(PLAN.twice, rel=1e-3)


def test_every_start_and_stop_has_its_dot_and_open_spaces_their_circle():
    drawing = draw_quilting(SKETCH, PLAN)
    assert {dot.at for dot in drawing.dots} == {stop.at for stop in PLAN.stops}
    assert not PLAN.holds
    assert len(PLAN.open_gaps) > 3


def test_a_tracing_prints_an_inch_for_an_inch_with_white_patches():
    root = ET.fromstring(write_tracing(SKETCH, PLAN))  # noqa: S314  our own text
    left, top, wide, high = map(float, root.attrib["viewBox"].split())
    assert root.attrib["width"] == f"{wide:.4f}in"
    assert root.attrib["height"] == f"{high:.4f}in"
    assert (wide, high) > SKETCH.patchwork.finished
    assert left < 0 < left + wide
    assert top < 0
    fills = {element.attrib["fill"] for element in root.iter("{http://www.w3.org/2000/svg}polygon")}
    assert fills == {"#ffffff"}


def test_a_title_from_a_study_reaches_the_picture_as_text_only():
    study = replace(SKETCH.study, title="<script>alert(1)</script>")
    text = write_svg(draw_quilting(replace(SKETCH, study=study), PLAN))
    assert "<script>" not in text
    assert "&lt;script&gt;" in text


def test_the_route_as_one_path_is_as_long_as_the_plan_says():
    path, after, legs = trace_route(PLAN)
    assert after[-1] == pytest.approx(PLAN.length)
    assert np.isnan(path[:, 0]).sum() == len(PLAN.runs)
    assert (np.diff(after) >= -1e-9).all()
    assert legs.max() == sum(len(run.legs) for run in PLAN.runs) - 1


@pytest.mark.parametrize("metric", [False, True])
def test_the_preview_takes_the_lines_in_the_units_of_its_axes(metric):
    plot = make_figure(SKETCH, ColumnDataSource(list_columns(SKETCH)))
    add_quilting(plot, PLAN, metric=metric)
    made = {r.name: r for r in plot.renderers if isinstance(r, GlyphRenderer) and r.name}
    assert {"quilting lines", "quilting travel", "quilting starts", "quilting stops"} <= set(made)
    xs = made["quilting lines"].data_source.data["xs"]
    assert len(xs) == len(PLAN.lines)
    widest = max(max(x) for x in xs)
    right = SKETCH.patchwork.box[2] * (2.54 if metric else 1)
    assert 0.8 * right < widest <= right + 1e-6


def test_the_tables_say_what_the_plan_says():
    figures = table_figures(PLAN).set_index("what")["amount"]
    assert figures["route"] == round(PLAN.length, 2)
    assert figures["widest space without stitches"] == round(PLAN.gap.width, 2)
    assert table_threads(PLAN)["inches"].sum() == pytest.approx(PLAN.length, abs=0.1)
    density = table_density(PLAN).set_index("slot")
    assert set(density.index) == set(SKETCH.patchwork.slots)
    assert not density["holds"].all()
    order = table_order(PLAN)
    assert order["inches"].sum() == pytest.approx(PLAN.length, abs=0.5)
    assert order["way"].iloc[0] == "ditch"
    assert not [text for text in order["way"] if re.search("^$", text)]
