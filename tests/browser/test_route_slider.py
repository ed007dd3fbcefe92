"""The slider along the route in a browser: the needle stands where the plan says; a long route follows the hand."""

import time
from copy import deepcopy

import numpy as np
import pytest

from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.output.pictures.route_picture import find_needle, write_route_page
from kit.pipeline import make_sketch
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.study import open_study, study_from_keys, study_keys

READY = "window.Bokeh?.documents.length > 0 && window.Bokeh.documents[0].is_idle"
MOVE = """async inches => {
  const page = Bokeh.documents[0], slider = page.get_model_by_name('along');
  const needle = page.get_model_by_name('needle').data_source, done = page.get_model_by_name('stitched').data_source;
  const before = needle.data;
  slider.value = inches;
  for (let k = 0; k < 200 && needle.data === before; k++) await new Promise(go => setTimeout(go, 10));
  return {at: [needle.data.x[0], needle.data.y[0]], x: [...done.data.x], y: [...done.data.y],
          said: page.get_model_by_name('said').text};
}"""
DRAG = """async count => {
  const slider = Bokeh.documents[0].get_model_by_name('along'), waits = [];
  let last = performance.now();
  for (let k = 1; k <= count; k++) {
    slider.value = slider.end * k / count;
    await new Promise(requestAnimationFrame);
    waits.push(performance.now() - last); last = performance.now();
  }
  return waits;
}"""


@pytest.fixture
def open_route(browser, tmp_path):
    contexts = []

    def start(sketch, plan):
        place = tmp_path / "route.html"
        place.write_text(write_route_page(sketch, plan), encoding="utf-8")
        context = browser.new_context(viewport={"width": 800, "height": 860})
        contexts.append(context)
        page = context.new_page()
        page.errors, page.external = [], []
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        page.on("request", lambda asked: page.external.append(asked.url) if asked.url.startswith("http") else None)
        page.goto(place.as_uri())
        page.wait_for_function(READY)
        return page

    yield start
    for context in contexts:
        context.close()


@pytest.mark.parametrize("throat", [None, 20.0])
def test_the_needle_stands_where_the_plan_says_and_the_line_is_as_long_as_the_slider(open_route, throat):
    sketch = make_sketch(open_study("data/studies/ferry-steps.toml"))
    wishes = QuiltingWishes((Stitching(), Stitching("border", "meander", 1.0)), throat=throat)
    plan = quilting_plan(sketch.patchwork, wishes)
    assert len(plan.runs) == (1 if throat is None else 2)
    page = open_route(sketch, plan)
    for share in (0.001, 0.25, 0.5, 0.777, 0.999):
        seen = page.evaluate(MOVE, share * plan.length)
        inches = share * plan.length
        assert seen["at"] == pytest.approx(find_needle(plan, inches).tolist(), abs=0.02)
        x, y = (np.array([np.nan if v is None else v for v in seen[axis]], dtype=float) for axis in ("x", "y"))
        assert np.nansum(np.hypot(np.diff(x), np.diff(y))) == pytest.approx(inches, rel=0.01, abs=0.1)
        assert (x[-1], y[-1]) == tuple(seen["at"])
        assert f"of {plan.length:,.1f} in: thread " in seen["said"]
    assert "meander" in seen["said"] or "travelling" in seen["said"] or "going over" in seen["said"]
    assert f"thread {len(plan.runs)} of {len(plan.runs)}" in seen["said"]
    assert page.errors == []
    assert page.external == [], "the page needs no server and no network"


def test_a_route_of_more_than_twenty_thousand_inches_follows_the_hand(open_route):
    keys = deepcopy(study_keys(open_study("data/studies/lamplight.toml")))
    keys["design"] |= {"columns": 9, "rows": 10}
    sketch = make_sketch(study_from_keys(keys))
    ways = (Stitching(), Stitching("light", "serpentine", 1.0), Stitching("dark", "serpentine", 1.5))
    plan = quilting_plan(sketch.patchwork, QuiltingWishes(ways))
    assert plan.length > 20_000
    page = open_route(sketch, plan)
    begun = time.perf_counter()
    waits = page.evaluate(DRAG, 20)
    print(f"longest of {len(waits)} moves {max(waits):.0f} ms, all {time.perf_counter() - begun:.1f} s")  # noqa: T201
    last = page.evaluate(MOVE, plan.length / 3)
    assert last["at"] == pytest.approx(find_needle(plan, plan.length / 3).tolist(), abs=0.05)
    assert max(waits) < 2000, "the page does not stall, also on a busy machine that draws without a graphics card"
    assert page.errors == []
    assert page.external == [], "the page needs no server and no network"
