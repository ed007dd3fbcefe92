"""The finishing on the screen: a control moves the plan, what cannot be is said, and the study can be saved."""

from html.parser import HTMLParser

import pytest

import kit
from kit.checks.finishing_check import check_finishing_plan
from kit.explore.finishing_face import NUMBERS, OTHER, PARTS, FinishingFace, explore_finishing
from kit.pipeline import make_sketch
from kit.study.finishing_keys import FinishingKeys


@pytest.fixture(scope="module")
def sketch():
    return make_sketch(kit.open_study("data/studies/ferry-steps.toml"))


@pytest.fixture
def face(sketch):
    return FinishingFace(sketch)


def slide(face, key, value):
    face.fields[key].children[0].value = value


def write(face, key, text):
    face.fields[key].children[1].value = text


def shown(face):
    return face._figures.value.replace("\N{NO-BREAK SPACE}", " ")


def said(face):
    return face.message.value.replace("\N{NO-BREAK SPACE}", " ")


def test_it_begins_with_the_plan_of_the_study(face, sketch):
    assert face.plan == face._before
    assert face.study == sketch.study
    check_finishing_plan(*sketch.patchwork.finished, face.plan)


def test_more_overhang_takes_more_backing_at_once(face, sketch):
    before = face.plan.backing.chosen.area
    slide(face, "overhang_sides", 8.0)
    slide(face, "overhang_ends", 8.0)
    assert face.plan.backing.needed == pytest.approx((36 + 16, 44 + 16))
    assert face.plan.backing.chosen.area > before
    assert face.study.finishing.overhang_sides == 8.0
    assert face._before.wishes.overhang_sides == 4.0
    check_finishing_plan(*sketch.patchwork.finished, face.plan)


def test_a_wider_binding_takes_wider_strips_and_bias_takes_a_square(face):
    slide(face, "binding_finished", 0.5)
    assert face.plan.binding.cut == 3.25
    assert "5 × 3¼ in" in shown(face)
    face.fields["binding_grain"].value = "bias square"
    assert face.plan.binding.square is not None
    assert "a square of" in shown(face)


def test_the_picture_is_of_the_part_that_is_open(face):
    assert "Backing of" in face._pictures.value
    face._parts.selected_index = 1
    assert "Binding round" in face._pictures.value
    face._parts.selected_index = None
    assert "Backing of" in face._pictures.value


def test_a_length_may_be_typed_in_any_notation(face):
    write(face, "binding_finished", "1 cm")
    assert face.study.finishing.binding_finished == pytest.approx(1 / 2.54)


def test_a_setting_that_cannot_be_is_said_and_the_last_plan_stands(face):
    before = face.plan
    write(face, "binding_finished", "4 in")
    assert "4 in is out of range" in said(face)
    assert face.plan == before
    face.fields["backing"].value = "wide"
    assert "4 in is out of range" in said(face)
    write(face, "binding_finished", "3/8 in")
    assert face.plan.backing.chosen.way == "wide"
    assert said(face) == ""


def test_a_named_fabric_and_a_price_reach_the_cost(face):
    face.fields["binding_fabric"].value = "Railing"
    face.fields["backing_price"].value = 10.0
    names = [(purchase.what, purchase.name) for purchase in face.plan.cost.purchases]
    assert ("binding", "Railing") in names
    assert face.plan.cost.total > face._before.cost.total
    face.fields["binding_fabric"].value = OTHER
    face.fields["backing_price"].value = 0.0
    assert face.plan == face._before


def test_a_warning_of_the_plan_is_shown(face):
    write(face, "join_clear", "20 in")
    assert face.plan.warnings
    assert "A join of the binding lies" in said(face)


def test_the_study_can_be_saved_and_opened_again(face, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    slide(face, "overhang_sides", 6.0)
    box, button = face.children[0].children[0].children[0].children[-1].children
    box.value = "mine.toml"
    button.click()
    assert "Saved as mine.toml" in said(face)
    assert kit.open_study(tmp_path / "mine.toml") == face.study


def test_each_control_is_a_key_and_has_a_label_of_its_own():
    keys = [quantity.path[1] for quantities in PARTS.values() for quantity in quantities]
    keys += [key for rows in NUMBERS.values() for key, _, _ in rows]
    assert len(set(keys)) == len(keys)
    assert set(keys) <= set(FinishingKeys.model_fields)


def test_a_metric_study_is_moved_in_centimetres(sketch):
    keys = kit.study.study_keys(sketch.study)
    keys["measures"] = {"system": "metric"}
    face = FinishingFace(make_sketch(kit.study.study_from_keys(keys)))
    assert face.fields["overhang_sides"].children[0].description == "Overhang at each side (cm)"
    assert face.fields["overhang_sides"].children[0].value == 10
    slide(face, "overhang_sides", 12)
    assert face.plan.backing.needed[0] - face.plan.width == pytest.approx(24 / 2.54)


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
    face = FinishingFace(make_sketch(kit.study.study_from_keys(keys)))
    face.fields["binding_fabric"].value = "<b onload=x>"
    parser = Tags()
    for field in (face.message, face._figures, face._pictures, *face._tables.values()):
        parser.feed(field.value)
    assert not {"script", "b"} & set(parser.seen)


def test_a_path_and_a_study_do_as_well():
    face = explore_finishing("data/studies/ferry-steps.toml")
    assert face.plan.gap is not None
    with pytest.raises(kit.StudyError):
        explore_finishing("data/studies/none.toml")
