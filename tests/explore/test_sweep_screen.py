"""The screen of a sweep: its plots share a selection, its front follows the wanted sizes, a click shows a quilt."""

import json
from base64 import b64decode
from threading import Event

import pytest
from small_sweeps import SMALL

import kit
from kit.explore import sweep_run
from kit.explore.sweep_run import run_sweep
from kit.explore.sweep_screen import BESIDE, FRONT, OUTSIDE, show_sweep
from kit.sweeping import sweep

RANGES = {"design.columns": [1, 2, 3], "design.strip_cut": ["1/2 in", "2 in", "2 1/2 in"]}


@pytest.fixture(scope="module")
def found():
    return sweep(SMALL, RANGES)


@pytest.fixture
def screen(found):
    return show_sweep(found)


def figures(screen):
    return screen._plots.children[0]._model.children


def test_both_plots_draw_the_points_that_can_be_made_from_one_source(screen, found):
    left, right = figures(screen)
    sources = {plot.renderers[0].data_source for plot in (left, right)}
    assert sources == {screen._source}
    made = found.table[found.table["Error"] == ""]
    assert screen._source.data["Pieces"] == made["Pieces"].tolist()
    assert screen._source.data["design.strip_cut"] == [2.0, 2.5] * 3
    assert (left.xaxis.axis_label, left.yaxis.axis_label) == ("Columns", "Cloth (sq yd)")


def test_the_front_is_marked_and_follows_the_wanted_sizes(screen, found):
    assert screen.front == found.find_front()
    marks = screen._source.data["mark"]
    assert [screen._places[i] for i, mark in enumerate(marks) if mark == FRONT] == screen.front
    screen.sizes[0].value = (8.0, 12.0)
    assert screen.front == found.find_front(width=(8.0, 12.0))
    widths = found.table["Finished width (in)"][screen._places].tolist()
    for width, mark in zip(widths, screen._source.data["mark"], strict=True):
        assert (mark == OUTSIDE) == (not 8.0 <= width <= 12.0)
    assert BESIDE in screen._source.data["mark"] or len(screen.front) == sum(8 <= w <= 12 for w in widths)


def test_the_front_follows_what_counts(screen, found):
    for name in ("Pieces", "Seams", "Hours"):
        screen.counts[name].value = False
    assert screen.front == found.find_front(["Cloth"])
    screen.counts["Cloth"].value = False
    assert screen.front == []


def test_a_click_shows_the_quilt_of_that_point_and_its_row(screen, found):
    screen._source.selected.indices = [3]
    (place,) = screen.chosen
    assert place == screen._places[3]
    (shown,) = screen._quilt.children
    pieces = found.table["Pieces"][place]
    parts = json.loads(shown._model.renderers[0].parts)
    assert len(b64decode(parts["sizes"])) == 2 * pieces, "two bytes for each patch that is drawn"
    assert f"<td>{pieces}</td>" in screen.rows.value
    assert "1 chosen" in screen.said.value


def test_several_chosen_points_are_listed_and_no_quilt_is_drawn(screen):
    screen._source.selected.indices = [0, 1, 2]
    assert screen.rows.value.count("<tr") == 4
    assert not screen._quilt.children


def test_other_axes_are_drawn(screen):
    screen.axes["Right, up"].value = "Cost"
    assert figures(screen)[1].yaxis.axis_label == "Cost"


def test_a_sweep_of_nothing_but_impossible_points_says_why():
    with pytest.raises(kit.KitError, match="two allowances"):
        show_sweep(sweep(SMALL, {"design.strip_cut": ["1/2 in"]}))


def test_the_button_makes_the_sweep_and_shows_it(tmp_path):
    run = run_sweep(SMALL, RANGES, cache=tmp_path)
    assert run.start.description == "Make 9 patterns"
    run.begin()
    run.finish(60)
    assert run.bar.value == run.bar.max == 9
    assert "9 patterns made, 0 remembered" in run.said.value
    assert run._plots.children[0].sweep is run.found
    run.begin()
    run.finish(60)
    assert "0 patterns made, 9 remembered" in run.said.value


def test_stop_leaves_what_is_not_begun(monkeypatch, tmp_path):
    run = run_sweep(SMALL, RANGES, cache=tmp_path)
    begun, go = Event(), Event()
    honest = sweep_run.SweepRun._follow

    def follow(self, what, done, whole):
        if done == 2:
            begun.set()
            go.wait(30)
        return honest(self, what, done, whole)

    monkeypatch.setattr(sweep_run.SweepRun, "_follow", follow)
    run.begin()
    assert begun.wait(30)
    assert run.start.disabled
    assert not run.halt.disabled
    run.halt.click()
    go.set()
    run.finish(30)
    assert run.found.left == 7
    assert "stopped with 7 left" in run.said.value
    assert not run.start.disabled


def test_ranges_that_cannot_be_meant_are_refused_before_the_button_is_pressed():
    with pytest.raises(kit.StudyError, match=r"Write `design\.strip_cut`"):
        run_sweep(SMALL, {"design.strip": ["2 in"]})
