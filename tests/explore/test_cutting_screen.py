"""The cutting on the screen: ways, wish and width move the cloth, a search finds less and can be stopped."""

from threading import Event

import pytest

import kit
from kit.checks.cutting_check import check_cutting_plan
from kit.explore import cutting_search
from kit.explore.cutting_screen import AS_WISHED, TABS, UNITS, CuttingScreen, explore_cutting
from kit.explore.cutting_search import CuttingSearch
from kit.model.cutting import CuttingPlan
from kit.study.cutting_keys import CuttingKeys


@pytest.fixture
def screen():
    return CuttingScreen(kit.open_study("data/studies/gull-point.toml"))


def slide(screen, key, value):
    screen.fields[key].children[0].value = value


def said(screen):
    return screen.message.value.replace("\N{NO-BREAK SPACE}", " ")


def open_tab(screen, name):
    screen._tabs.selected_index = TABS.index(name)
    return screen._tables[name].value.replace("\N{NO-BREAK SPACE}", " ")


def test_it_begins_as_a_maker_would_and_shows_the_ways_that_there_are(screen):
    assert {made.way for made in screen.sketch.making.made} == {"four at a time"}
    assert screen.sketch.cutting == kit.make_sketch(screen.study, ways=True).cutting
    ways = open_tab(screen, "Ways")
    assert "four at a time" in ways
    assert "stitch and flip" in ways
    assert set(screen.fields) == {*CuttingKeys.model_fields, "width", "insurance"}
    rows = {"nesting", "ruler", "long_cuts", "margin", "margin_least"}
    assert {*UNITS, "make", "wish", "oversize", "set_squaring", "points", "on_paper", *rows} == set(
        CuttingKeys.model_fields
    )


def test_a_way_that_is_named_changes_cloth_batches_and_study(screen):
    screen.fields["make"].value = "one by one"
    assert screen.sketch.making.made == ()
    before = screen.sketch.cutting.cloth
    screen.fields["geese"].value = "four at a time"
    assert {made.way for made in screen.sketch.making.made} == {"four at a time"}
    assert screen.sketch.cutting.cloth != before
    assert screen.study.cutting.geese == "four at a time"
    assert "U6" in screen._tables["Batches"].value
    check_cutting_plan(screen.sketch.making.cut_list, screen.sketch.cutting)
    screen.fields["geese"].value = AS_WISHED
    assert screen.sketch.making.made == ()


def test_a_wish_goes_before_what_is_made_one_by_one(screen):
    screen.fields["make"].value = "one by one"
    screen.fields["wish"].value = "fewest cuts"
    assert {made.way for made in screen.sketch.making.made} == {"four at a time"}
    screen.fields["wish"].value = AS_WISHED
    assert screen.sketch.making.made == ()
    screen.fields["make"].value = "as a maker would"
    assert screen.sketch.making.made
    assert "cutting" not in kit.study.study_keys(screen.study)


def test_oversize_and_width_reach_the_plan(screen):
    screen.fields["geese"].value = "four at a time"
    plain = screen.sketch.making.made[0].sizes
    slide(screen, "oversize", 0.125)
    assert screen.study.cutting.oversize == 0.125
    assert screen.sketch.making.made[0].sizes != plain
    slide(screen, "width", 36.0)
    assert {cloth.supply.width for cloth in screen.sketch.cutting.cloths} == {36.0}
    assert "36 in wide" in screen._picture.value.replace("\N{NO-BREAK SPACE}", " ")


def test_insurance_is_bought_on_top(screen):
    before = screen._tables["To buy"].value
    slide(screen, "insurance", 9.0)
    assert "Insurance" in screen._tables["To buy"].value
    assert screen._tables["To buy"].value != before


def test_a_way_that_no_unit_can_be_made_in_is_explained_and_the_last_plan_stands():
    keys = kit.study.study_keys(kit.open_study("data/studies/gull-point.toml"))
    keys["measures"]["round_cuts_to"] = "1 in"
    keys["design"]["goose_finished"] = "7 in"
    keys["design"]["columns"], keys["design"]["geese"] = 1, 4
    screen = CuttingScreen(kit.study.study_from_keys(keys))
    slide(screen, "width", 30.0)
    for entry in screen._keys["fabric"]:
        entry["width"] = "15 in"
    stands = screen.sketch
    screen.fields["geese"].value = "four at a time"
    assert "larger than the cloth" in said(screen)
    assert "The screen shows the last plan that was possible" in said(screen)
    assert screen.sketch is stands


def test_the_picture_follows_cloth_and_layers(screen):
    first = screen._picture.value
    assert first.startswith("<img alt=")
    other = next(name for name in screen.fabric.options if name != screen.fabric.value)
    screen.fabric.value = other
    assert other in screen._picture.value
    assert screen._picture.value != first
    screen.layers.value = "folded"
    assert other in screen._picture.value


def test_the_widths_are_planned_when_their_tab_is_opened(screen):
    assert screen._tables["Widths"].value == ""
    assert "<td>39 in</td>" in open_tab(screen, "Widths").replace("\xa0", " ")


def test_the_margin_and_the_ruler_follow_their_controls(screen):
    assert {plan.margin for plan in screen.sketch.cutting.cloths} != {0.0}
    screen.fields["margin"].value = 0
    assert {plan.margin for plan in screen.sketch.cutting.cloths} == {0.0}
    assert screen.study.cloth.margin == 0
    screen.fields["ruler"].children[1].value = "12 in"
    assert screen.study.cloth.ruler == 12
    screen.fields["nesting"].value = "never"
    assert screen.study.cloth.nesting == "never"
    assert said(screen) == "" or "not" not in said(screen)


def test_the_study_can_be_saved(screen, tmp_path):
    screen.fields["geese"].value = "four at a time"
    box = screen.children[1].children[0].children[0].children[2]
    box.children[0].value = str(tmp_path / "mine.toml")
    box.children[1].click()
    assert "Saved as mine.toml" in said(screen)
    assert kit.open_study(tmp_path / "mine.toml").cutting.geese == "four at a time"


def test_a_path_a_study_and_a_pattern_open_the_same_screen():
    study = kit.open_study("data/studies/ferry-steps.toml")
    screens = [explore_cutting(one) for one in ("data/studies/ferry-steps.toml", study, kit.make_sketch(study))]
    assert len({screen.sketch.cutting.cloth["deep"] for screen in screens}) == 1
    with pytest.raises(kit.StudyError, match=r"none\.toml"):
        explore_cutting("data/studies/none.toml")


# The search


def test_a_search_that_finds_less_is_taken_over_and_said(screen):
    screen.fields["wish"].value = "least cloth"
    before = sum(screen.sketch.cutting.cloth.values())
    screen.search.begin()
    screen.search.finish(60)
    after = sum(screen.sketch.cutting.cloth.values())
    assert after < before
    assert "less than before" in said(screen)
    check_cutting_plan(screen.sketch.making.cut_list, screen.sketch.cutting)
    screen.search.begin()
    screen.search.finish(60)
    assert "Nothing takes less" in screen.search.said.value
    assert not screen.search.start.disabled
    assert screen.search.halt.disabled


def test_a_search_shows_how_far_it_is_and_can_be_stopped(monkeypatch):
    sketch = kit.make_sketch(kit.open_study("data/studies/gull-point.toml"))
    told, shown = Event(), []

    def plan(_cuts, _supplies, effort, progress, wishes):
        assert effort == "thorough"
        assert wishes == sketch.study.cloth
        while not progress("sky", 38.75, 42.0):
            told.set()
        return sketch.cutting

    monkeypatch.setattr(cutting_search, "cutting_plan", plan)
    search = CuttingSearch(lambda: sketch, lambda *_: shown.append("taken"))
    search.begin()
    assert told.wait(20)
    assert search.start.disabled
    assert not search.halt.disabled
    assert "sky: 42 in so far; no plan takes less than 38¾ in" in search.said.value.replace("\N{NO-BREAK SPACE}", " ")
    search.halt.click()
    search.finish(20)
    assert "Stopped after" in search.said.value
    assert not shown


def test_what_a_search_finds_for_a_setting_that_is_gone_is_not_taken(monkeypatch):
    sketch = kit.make_sketch(kit.open_study("data/studies/gull-point.toml"))
    less = CuttingPlan((), {}, {}, {}, {}, ())
    monkeypatch.setattr(cutting_search, "cutting_plan", lambda *_, **__: less)
    monkeypatch.setattr(cutting_search, "check_cutting_plan", lambda *_: None)
    asked, taken = iter([sketch, object()]), []
    search = CuttingSearch(lambda: next(asked), lambda *_: taken.append(1))
    search.begin()
    search.finish(20)
    assert "search again" in search.said.value
    assert not taken
