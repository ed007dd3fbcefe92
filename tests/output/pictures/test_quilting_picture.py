"""The quilting as a picture, for tracing, on the preview, and in tables."""

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from bokeh.models import ColumnDataSource, GlyphRenderer

from kit.errors import KitError
from kit.model.quilting_wishes import WAYS, QuiltingWishes, Stitching
from kit.output import tables
from kit.output.document.finishing_sections import list_sections
from kit.output.files.files import list_files
from kit.output.pictures.bokeh_figure import list_columns, make_figure, preview
from kit.output.pictures.quilting_picture import (
    add_quilting,
    draw_quilting,
    list_travel,
    trace_route,
    write_tracing,
)
from kit.output.pictures.svg import write_svg
from kit.output.tables import quilting_tables
from kit.output.words.colour_words import name_threads, say_colour
from kit.output.words.quilting_words import TELLS, list_stitching, list_threads
from kit.output.words.strings import use_language
from kit.pipeline import make_pattern, make_sketch
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.study import open_study

SKETCH = make_sketch(open_study("data/studies/ferry-steps.toml"))
WISHES = QuiltingWishes(
    (Stitching(), Stitching("sand", "echo", 0.5), Stitching("border", "serpentine", 1.5, colour="#204080")),
    gap_limit=1.6,
)
PLAN = quilting_plan(SKETCH.patchwork, WISHES)


def test_the_drawing_holds_every_line_and_travel_is_dotted():
    drawing = draw_quilting(SKETCH, PLAN)
    dotted = [line for line in drawing.lines if len(set(line.dash)) == 1]
    whole = [line for line in drawing.lines if len(set(line.dash)) != 1]
    assert len(whole) == len(PLAN.lines) + len(PLAN.open_gaps)
    assert len(dotted) == sum(len(list_travel(PLAN, run)) for run in PLAN.runs) > 0
    travel = sum(np.hypot(*np.diff(np.array(line.points), axis=0).T).sum() for line in dotted)
    assert travel == pytest.approx(PLAN.twice, rel=1e-3)


def test_each_thread_is_told_apart_without_its_colour_and_the_words_say_how():
    first, second = list_threads(WISHES)
    lines = draw_quilting(SKETCH, PLAN).lines[: len(PLAN.lines)]
    looks = {colour: {line.dash for line in lines if line.colour == colour} for colour in (first, second)}
    assert looks[first] == {()}
    (dash,) = looks[second]
    assert len(dash) == 2
    assert dash[0] > 2 * dash[1]
    pattern = replace(make_pattern(SKETCH.study), quilting=PLAN)
    said = " ".join(list_stitching(pattern))
    assert f"{say_colour(first)} thread, drawn solid" in said
    assert f"{say_colour(second)} thread, drawn in long dashes" in said


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
    path, after, stretches = trace_route(PLAN)
    assert after[-1] == pytest.approx(PLAN.length)
    assert np.isnan(path[:, 0]).sum() == len(PLAN.runs)
    assert (np.diff(after) >= -1e-9).all()
    assert stretches.max() == sum(len(run.stretches) for run in PLAN.runs) - 1


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
    density = quilting_tables.density(PLAN).set_index("Slot")
    assert set(density.index) == set(SKETCH.patchwork.slots)
    assert density["Widest space, in"].max() == round(PLAN.gap.width, 2)
    assert {slot for slot, row in density.iterrows() if row["Held"] == "no"} == {
        gap.where for gap in PLAN.gaps if gap.width > WISHES.gap_limit
    }
    assert set(density["Held"]) == {"yes", "no"}
    order = quilting_tables.order(PLAN)
    assert order["Length, in"].sum() == pytest.approx(PLAN.length, abs=0.5)
    assert order["Way"].iloc[0] == "in the ditch"
    assert not [text for text in order["Way"] if re.search("^$", text)]


def test_metric_tables_hold_the_same_in_centimetres():
    one, other = (quilting_tables.density(PLAN, system).set_index("Slot") for system in ("inch", "metric"))
    assert other["Square cm"].sum() == pytest.approx(2.54**2 * one["Square in"].sum(), rel=1e-4)
    assert other["cm on a square cm"]["sand"] == pytest.approx(one["in on a square in"]["sand"] / 2.54, abs=0.01)
    assert quilting_tables.order(PLAN, "metric")["Length, cm"].sum() == pytest.approx(2.54 * PLAN.length, rel=1e-3)


@pytest.fixture(scope="module")
def pattern():
    return make_pattern(replace(SKETCH.study, quilting=WISHES))


def test_the_table_of_a_pattern_has_thread_time_gap_and_evenness(pattern):
    table = tables.quilting(pattern)
    told = {(row.Part, row.What): row.Figure for row in table.itertuples()}
    assert told["Route", "Threads started"] == f"{len(PLAN.runs)}"
    assert told["Gap", "Verdict"] == f"fails in {len(PLAN.open_gaps)} places at least"
    assert told["Evenness", "Thinnest part to densest"].startswith(f"{PLAN.evenness:.2f}")
    names = name_threads(PLAN.threads)
    for line in pattern.finishing.thread.lines:
        if line.colour != "piecing":
            assert told[f"Thread, {names[line.colour]}", "Route"] == f"{PLAN.threads[line.colour]:,.0f} in"
            assert told[f"Thread, {names[line.colour]}", "Bobbins"].startswith(f"{line.bobbins} full")
    assert sum(part.startswith("Thread, ") for part in table["Part"]) == 3 * len(PLAN.threads)


def test_the_preview_shows_the_quilting_of_a_pattern_and_refuses_that_of_a_sketch(pattern):
    plot = preview(pattern, "quilting")
    names = {r.name for r in plot.renderers if isinstance(r, GlyphRenderer)}
    assert {"quilting lines", "quilting travel", "quilting starts", "quilting stops", "open spaces"} <= names
    with pytest.raises(KitError, match="A sketch has no quilting yet"):
        preview(SKETCH, "quilting")
    with pytest.raises(KitError, match="no view `thread`") as told:
        preview(pattern, "thread")
    assert "quilting" in told.value.needed


def test_the_files_of_a_pattern_hold_its_quilting_at_full_size(pattern):
    files = dict(list_files(pattern))
    assert files["ferry-steps-quilting.svg"] == write_tracing(pattern, pattern.quilting)
    page = files["ferry-steps-quilting.html"]
    assert "Inches along the route" in page
    assert page == dict(list_files(pattern))["ferry-steps-quilting.html"], "the same study gives the same bytes"
    assert "Verdict" in files["ferry-steps-quilting.csv"]


def test_the_printed_lines_tell_ways_and_every_thread_without_ids_or_backticks(pattern):
    told = list_stitching(pattern)
    assert any("Every patch of “sand”: echo lines ½\xa0in apart" in line for line in told)
    assert sum(line.startswith("The whole top: in the ditch") for line in told) == 1
    runs = [line for line in told if line.startswith("Thread ")]
    many = [line for line in told if line.startswith(f"({len(PLAN.runs)}) threads")]
    assert len(runs) == len(PLAN.runs) or many
    assert all(line.endswith(".") for line in told)
    assert "`" not in " ".join(told)
    assert not {region.id for region in PLAN.regions if "-" in region.id} & set(re.findall(r"[\w-]+", " ".join(told)))


def test_threads_that_are_few_are_told_one_by_one_and_the_lengths_are_those_of_the_route(pattern):
    few = replace(WISHES, stitchings=(Stitching(), Stitching("border", "serpentine", 1.5, colour="#204080")))
    plan = quilting_plan(SKETCH.patchwork, few)
    told = [line for line in list_stitching(replace(pattern, quilting=plan)) if line.startswith("Thread ")]
    assert len(told) == len(plan.runs) > 1
    routes = [int(re.search(r"(\d+)\u00a0in of route", line)[1]) for line in told]
    assert sum(routes) == pytest.approx(plan.length, abs=len(routes))


def test_the_finishing_says_what_is_stitched_where_in_the_language_of_the_document(pattern):
    heading = {"English": "Quilting and thread", "German": "Quilten und Garn"}
    for language, word in heading.items():
        with use_language(language):
            (section,) = (one for one in list_sections(pattern) if one.heading == word)
            assert [line for line in section.lines if line in set(list_stitching(pattern))] == list(
                list_stitching(pattern)
            )
            assert ("echo lines" in " ".join(section.lines)) == (language == "English")
            assert ("Echolinien" in " ".join(section.lines)) == (language == "German")


def test_places_are_told_from_the_lower_left_corner():
    moved = replace(PLAN, panels=((0.0, 4.0, 20.0, 9.0), (0.0, -3.0, 20.0, 4.0), (-2.0, 9.0, 20.0, 16.0)))
    said = quilting_tables.describe_place(moved, (-0.5, -1.0), "inch")
    assert said == "1½\xa0in across and 2\xa0in up"
    assert quilting_tables.describe_gap(PLAN, PLAN.gap, "metric").endswith(
        quilting_tables.describe_place(PLAN, PLAN.gap.at, "metric")
    )


@pytest.mark.parametrize("way", WAYS)
def test_every_way_has_its_words(way):
    assert TELLS[way.replace(" ", "_")]
