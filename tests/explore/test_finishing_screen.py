"""The finishing on the screen: a control moves the plan, what cannot be is said, and the study can be saved."""

from html.parser import HTMLParser

import pytest

import kit
from kit.checks.finishing_check import check_finishing_plan
from kit.explore.finishing_screen import NUMBERS, OTHER, PARTS, FinishingScreen, explore_finishing
from kit.pipeline import make_sketch
from kit.study.finishing_keys import FinishingKeys


@pytest.fixture(scope="module")
def sketch():
    return make_sketch(kit.open_study("data/studies/ferry-steps.toml"))


@pytest.fixture
def screen(sketch):
    return FinishingScreen(sketch)


def slide(screen, key, value):
    screen.fields[key].children[0].value = value


def write(screen, key, text):
    screen.fields[key].children[1].value = text


def shown(screen):
    return screen._figures.value.replace("\N{NO-BREAK SPACE}", " ")


def said(screen):
    return screen.message.value.replace("\N{NO-BREAK SPACE}", " ")


def test_it_begins_with_the_plan_of_the_study(screen, sketch):
    assert screen.plan == screen._before
    assert screen.study == sketch.study
    check_finishing_plan(*sketch.patchwork.finished, screen.plan)


def test_more_overhang_takes_more_backing_at_once(screen, sketch):
    before = screen.plan.backing.chosen.area
    slide(screen, "overhang_sides", 8.0)
    slide(screen, "overhang_ends", 8.0)
    assert screen.plan.backing.needed == pytest.approx((36 + 16, 44 + 16))
    assert screen.plan.backing.chosen.area > before
    assert screen.study.finishing.overhang_sides == 8.0
    assert screen._before.wishes.overhang_sides == 4.0
    check_finishing_plan(*sketch.patchwork.finished, screen.plan)


def test_a_wider_binding_takes_wider_strips_and_bias_takes_a_square(screen):
    slide(screen, "binding_finished", 0.5)
    assert screen.plan.binding.cut == 3.25
    assert "5 × 3¼ in" in shown(screen)
    screen.fields["binding_grain"].value = "bias square"
    assert screen.plan.binding.square is not None
    assert "a square of" in shown(screen)


def test_the_picture_is_of_the_part_that_is_open(screen):
    assert "Backing of" in screen._pictures.value
    screen._parts.selected_index = 1
    assert "Binding round" in screen._pictures.value
    screen._parts.selected_index = None
    assert "Backing of" in screen._pictures.value


def test_a_length_may_be_typed_in_any_notation(screen):
    write(screen, "binding_finished", "1 cm")
    assert screen.study.finishing.binding_finished == pytest.approx(1 / 2.54)


def test_a_setting_that_cannot_be_is_said_and_the_last_plan_stands(screen):
    before = screen.plan
    write(screen, "binding_finished", "4 in")
    assert "4 in is out of range" in said(screen)
    assert screen.plan == before
    screen.fields["backing"].value = "wide"
    assert "4 in is out of range" in said(screen)
    write(screen, "binding_finished", "3/8 in")
    assert screen.plan.backing.chosen.way == "wide"
    assert said(screen) == ""


def test_a_named_fabric_and_a_price_reach_the_cost(screen):
    screen.fields["binding_fabric"].value = "Railing"
    screen.fields["backing_price"].value = 10.0
    names = [(purchase.what, purchase.name) for purchase in screen.plan.cost.purchases]
    assert ("binding", "Railing") in names
    assert screen.plan.cost.total > screen._before.cost.total
    screen.fields["binding_fabric"].value = OTHER
    screen.fields["backing_price"].value = 0.0
    assert screen.plan == screen._before


def test_a_warning_of_the_plan_is_shown(screen):
    write(screen, "join_clear", "20 in")
    assert screen.plan.warnings
    assert "A join of the binding lies" in said(screen)


def test_the_study_can_be_saved_and_opened_again(screen, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    slide(screen, "overhang_sides", 6.0)
    box, button = screen.children[1].children[0].children[0].children[-1].children
    box.value = "mine.toml"
    button.click()
    assert "Saved as mine.toml" in said(screen)
    assert kit.open_study(tmp_path / "mine.toml") == screen.study


def test_each_control_is_a_key_and_has_a_label_of_its_own():
    keys = [quantity.path[1] for quantities in PARTS.values() for quantity in quantities]
    keys += [key for rows in NUMBERS.values() for key, _, _ in rows]
    assert len(set(keys)) == len(keys)
    assert set(keys) <= set(FinishingKeys.model_fields)


def test_a_metric_study_is_moved_in_centimetres(sketch):
    keys = kit.study.study_keys(sketch.study)
    keys["measures"] = {"system": "metric"}
    screen = FinishingScreen(make_sketch(kit.study.study_from_keys(keys)))
    assert screen.fields["overhang_sides"].children[0].description == "Overhang at each side (cm)"
    assert screen.fields["overhang_sides"].children[0].value == 10
    slide(screen, "overhang_sides", 12)
    assert screen.plan.backing.needed[0] - screen.plan.width == pytest.approx(24 / 2.54)


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.seen = []

    def handle_starttag(self, tag, attrs):  # noqa: ARG002  the name that the parser calls
        self.seen.append(tag)


def test_names_of_a_study_reach_the_page_as_text(sketch):
    keys = kit.study.study_keys(sketch.study)
    keys["title"] = "<script>alert(1)</script>"
    keys["fabric"][0]["name"] = "<b onload=x>"
    screen = FinishingScreen(make_sketch(kit.study.study_from_keys(keys)))
    screen.fields["binding_fabric"].value = "<b onload=x>"
    parser = Tags()
    for field in (screen.message, screen._figures, screen._pictures, *screen._tables.values()):
        parser.feed(field.value)
    assert not {"script", "b"} & set(parser.seen)


def test_a_path_and_a_study_do_as_well():
    screen = explore_finishing("data/studies/ferry-steps.toml")
    assert screen.plan.gap is not None
    with pytest.raises(kit.StudyError):
        explore_finishing("data/studies/none.toml")
