"""The slider along the route: the needle stands where the plan says, in its units."""

import numpy as np
import pytest

from kit.explore.route_slider import follow_route
from kit.model.quilting import QuiltingWishes, Stitching
from kit.passes.quilting import quilting_plan
from kit.pipeline import make_sketch
from kit.study import open_study, study_from_keys, study_keys


@pytest.fixture(scope="module")
def sketch():
    return make_sketch(open_study("data/studies/ferry-steps.toml"))


@pytest.fixture(scope="module")
def plan(sketch):
    return quilting_plan(sketch.patchwork, QuiltingWishes((Stitching(), Stitching("border", "meander", 1.0))))


def test_the_needle_begins_at_the_start_and_ends_at_the_stop(sketch, plan):
    slider = follow_route(sketch, plan)
    assert np.allclose(slider.find_needle(0.0), plan.stops[0].at, atol=1e-6)
    assert np.allclose(slider.find_needle(plan.length), plan.stops[-1].at, atol=1e-6)


def test_moving_the_slider_draws_the_route_so_far_and_says_what_is_done(sketch, plan):
    slider = follow_route(sketch, plan)
    slider.slider.value = plan.length / 3
    x, y = slider._done.data["x"], slider._done.data["y"]
    assert np.nansum(np.hypot(np.diff(x), np.diff(y))) == pytest.approx(slider.slider.value, rel=0.01)
    assert (x[-1], y[-1]) == (slider._needle.data["x"][0], slider._needle.data["y"][0])
    assert "thread 1 of 1, panel 1, " in slider.sentence.value
    slider.slider.value = 0
    assert len(slider._done.data["x"]) >= 1


def test_at_the_end_of_a_filler_the_sentence_names_its_line(sketch, plan):
    slider = follow_route(sketch, plan)
    slider.slider.value = plan.length - 2
    assert "meander" in slider.sentence.value


def test_a_metric_study_is_followed_in_centimetres(sketch, plan):
    keys = study_keys(sketch.study)
    keys["measures"]["system"] = "metric"
    metric = make_sketch(study_from_keys(keys))
    own = quilting_plan(metric.patchwork, plan.wishes)
    slider = follow_route(metric, own)
    assert "cm" in slider.sentence.value
    assert slider.slider.max == pytest.approx(2.54 * own.length)
    assert slider.slider.description == "Centimetres along the route"
    right = metric.patchwork.box[2] * 2.54
    assert 0.9 * right < np.nanmax(slider._done.data["x"]) <= right + 1e-6
