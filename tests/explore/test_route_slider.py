"""The slider along the route: what is sent to the page is the route, in its units (the page is tried in a browser)."""

import numpy as np
import pytest

from kit.explore.route_slider import follow_route
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.output.pictures.route_picture import SAYS, find_needle, lay_route, write_route_page
from kit.pipeline import make_sketch
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.study import open_study, study_from_keys, study_keys


@pytest.fixture(scope="module")
def sketch():
    return make_sketch(open_study("data/studies/ferry-steps.toml"))


@pytest.fixture(scope="module")
def plan(sketch):
    return quilting_plan(sketch.patchwork, QuiltingWishes((Stitching(), Stitching("border", "meander", 1.0))))


def read(picture, name):
    return picture.select_one({"name": name})


def list_sent(picture):
    """Return what the page's own code is given when the slider moves."""
    (told,) = read(picture, "along").js_property_callbacks["change:value"]
    return told.args


def test_the_needle_begins_at_the_start_and_ends_at_the_stop(plan):
    assert np.allclose(find_needle(plan, 0.0), plan.stops[0].at, atol=1e-6)
    assert np.allclose(find_needle(plan, plan.length), plan.stops[-1].at, atol=1e-6)


def test_what_is_sent_is_the_whole_route_and_the_length_of_it_after_each_corner(sketch, plan):
    sent = list_sent(lay_route(sketch, plan))
    x, y, after = (np.asarray(sent["path"].data[name], dtype=float) for name in ("x", "y", "after"))
    drawn = np.nansum(np.hypot(np.diff(x), np.diff(y)))
    assert drawn == pytest.approx(plan.length, rel=0.005), "corners that do not show are left out"
    assert (np.diff(after) >= 0).all()
    assert after[-1] == pytest.approx(plan.length, rel=1e-6)
    assert np.isnan(x).sum() == len(plan.runs)


def test_each_leg_is_sent_with_where_it_ends_what_is_done_and_on_which_line(sketch, plan):
    sent = list_sent(lay_route(sketch, plan))
    stretches = {name: list(values) for name, values in sent["stretches"].data.items()}
    strands = [plan.strands[stretch.strand] for run in plan.runs for stretch in run.stretches]
    assert stretches["until"] == pytest.approx(np.cumsum([strand.length for strand in strands]), rel=1e-6)
    assert [sent["lines"][k] for k in stretches["line"]] == [strand.line for strand in strands]
    kinds = [stretch.kind for run in plan.runs for stretch in run.stretches]
    assert [sent["says"][k] for k in stretches["kind"]] == [SAYS[kind] for kind in kinds]
    assert set(stretches["run"]) == {1}


def test_a_metric_study_is_followed_in_centimetres(sketch, plan):
    keys = study_keys(sketch.study)
    keys["measures"]["system"] = "metric"
    metric = make_sketch(study_from_keys(keys))
    own = quilting_plan(metric.patchwork, plan.wishes)
    picture = follow_route(metric, own).picture
    slider, sent = read(picture, "along"), list_sent(picture)
    assert slider.title == "Centimetres along the route"
    assert slider.end == pytest.approx(2.54 * own.length, abs=1e-3)
    assert sent["unit"] == "cm"
    right = metric.patchwork.box[2]  # the picture has no axes and stays in inches; the slider and its words do not
    assert 0.9 * right < np.nanmax(sent["path"].data["x"]) <= right + 1e-4


def test_names_of_a_study_reach_the_page_as_text(sketch):
    keys = study_keys(sketch.study)
    wicked = "<img src=x onerror=alert(1)>"
    keys["title"] = wicked
    for fabric in keys["fabric"]:
        fabric["name"] += wicked
    evil = make_sketch(study_from_keys(keys))
    page = write_route_page(evil, quilting_plan(evil.patchwork))
    assert wicked not in page
    assert read(lay_route(evil, quilting_plan(evil.patchwork)), "said").render_as_text
