"""The [finishing] table of a study: what it may hold, what is refused, and that it survives saving."""

from dataclasses import fields, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit.checks.finishing_check import check_finishing_plan
from kit.model.finishing import FinishingWishes, find_usual
from kit.output.words.finishing_words import write_care
from kit.output.words.notice_words import say_notices
from kit.pipeline import make_sketch, plan_finishing
from kit.planning.finishing.top_facts import gather_top
from kit.study import read_study, study_from_keys, study_keys, write_study
from kit.study.finishing_keys import RANGES, FinishingKeys, describe_finishing_keys, finishing_keys

KEYS = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
FULL = {
    "overhang_sides": "3 in", "overhang_ends": "0 in", "border_join": "diagonal", "border_cloth": "lengthwise",
    "mitre_extra": "2 in", "ease_limit": 0.02, "measured_widths": ["32 1/2 in"],
    "measured_heights": ["40 1/4 in", "40 1/2 in"], "backing": "lengthwise",
    "backing_fabric": "Swell", "backing_width": "41 in", "backing_allowance": "5/8 in", "backing_one_way": True,
    "wide_width": "none", "on_hand": [["26 in", "50 in"]], "batting": "package",
    "batting_packages": [["big", "90 in", "100 in"]], "batting_rolls": ["96 in"], "binding_fabric": "Ferry hull",
    "binding_finished": "1/2 in", "binding_cut": "3 1/2 in", "binding_fold": "double", "binding_grain": "straight",
    "binding_join": "straight", "binding_width": "42 in", "binding_loft": "0 in", "binding_extra": "15 in",
    "join_clear": "3 in", "left_over_first": True, "sleeve": False, "sleeve_short": "3 in", "sleeve_height": "3 1/2 in",
    "date": "May", "thread": "test", "stitch_length": "0.12 in", "layers_thickness": "1/8 in", "thread_ratio": 3.0,
    "thread_test": ["10 in", "14 in", "13 in"], "thread_waste": 0.2, "bobbin_length": "65 yd", "spool_length": "500 m",
    "cut_seconds": 15.0, "seam_seconds": 50.0, "basting_minutes": 30.0, "binding_speed": "40 in", "hand_speed": "2 in",
    "draw_in": 0.03, "wash_width": 0.04, "wash_height": 0.05, "prewash": 0.02, "squaring_up": "2 in",
    "fibre": "cotton and linen", "bleeding": ["Swell"], "backing_price": 10.0, "wide_price": 20.0, "binding_price": 9.0,
    "batting_price": 30.0, "batting_roll_price": 12.0, "spool_price": 4.0, "hour_rate": 20.0, "quilting_rate": 0.02,
    "quilting_minimum": 90.0, "binding_rate": 0.1, "margin": 0.25, "deposit": 0.4, "for_sale": True,
}  # fmt: skip
"""Every key once, none of them at its usual value but those that only come in two kinds."""


def make(system="inch", **finishing):
    measures = {**KEYS["measures"], "system": system}
    return study_from_keys({**KEYS, "measures": measures, "finishing": finishing})


def refuse(*words, **finishing):
    with pytest.raises(kit.KitError) as told:
        plan_finishing(make_sketch(make(**finishing)))
    text = str(told.value)
    assert len(text) < 700
    for word in words:
        assert word in text
    return text


def test_a_study_without_the_table_is_finished_as_usual_and_is_written_as_it_was():
    study = kit.open_study("data/studies/ferry-steps.toml")
    assert study.finishing == find_usual("inch") == FinishingWishes()
    assert "finishing" not in study_keys(study)
    assert "finishing" not in study_keys(make())
    usual = {key: value for key, _, value in describe_finishing_keys() if key in RANGES and " in" in value}
    named = make(overhang_sides=usual["overhang_sides"], binding_finished=usual["binding_finished"])
    assert "finishing" not in study_keys(named)


def test_every_key_is_known_documented_and_survives_saving(tmp_path):
    assert set(FULL) == set(FinishingKeys.model_fields)
    study = make(**FULL)
    again = kit.open_study(kit.save_study(study, tmp_path / "x.toml"))
    assert again == study
    kept = study_keys(study)["finishing"]
    assert set(FULL) - set(kept) == {"binding_fold", "binding_grain"}
    for key, description, usual in describe_finishing_keys():
        assert description
        assert usual
        assert key in FULL


def test_lengths_are_written_back_as_they_were_given():
    kept = study_keys(make(**FULL))["finishing"]
    assert {key: value for key, value in kept.items() if value != FULL[key]} == {}


def test_what_the_quilting_decides_is_not_a_key_of_the_finishing():
    wishes = {field.name for field in fields(FinishingWishes)}
    assert wishes - FinishingKeys.model_fields.keys() == {"batting_limit", "quilting_spacing", "quilting_speed"}
    refuse("unknown key `finishing.batting_limit`", batting_limit="4 in")


def test_a_metric_study_has_round_centimetres_and_keeps_them(tmp_path):
    study = make("metric")
    assert "finishing" not in study_keys(study)
    shown = {key: value for key, _, value in describe_finishing_keys("metric")}
    assert (shown["overhang_sides"], shown["binding_finished"], shown["spool_length"]) == ("10 cm", "1 cm", "200 m")
    wished = make("metric", binding_finished="1.2 cm", spool_length="500 m", hand_speed="5 cm")
    assert study_keys(wished)["finishing"] == {
        "binding_finished": "1.2 cm", "spool_length": "500 m", "hand_speed": "5 cm",
    }  # fmt: skip
    assert kit.open_study(kit.save_study(wished, tmp_path / "x.toml")) == wished


LENGTH = st.integers(16, 200).map(lambda n: n / 16)


@settings(max_examples=30)
@given(
    st.sampled_from(("inch", "metric")),
    st.fixed_dictionaries(
        {},
        optional={
            "overhang_sides": LENGTH, "overhang_ends": st.just(0.0) | LENGTH, "binding_extra": LENGTH,
            "wide_width": st.none() | st.floats(40, 200), "measured_widths": st.lists(LENGTH, max_size=3).map(tuple),
            "bobbin_length": st.floats(36, 36_000), "spool_length": st.floats(501, 90_000),
            "on_hand": st.lists(st.tuples(LENGTH, LENGTH), max_size=3).map(tuple), "for_sale": st.booleans(),
            "draw_in": st.floats(0, 0.4), "stitch_length": st.floats(1 / 32, 1),
            "thread": st.sampled_from(("formula", "ratio")),
        },
    ),
)  # fmt: skip
def test_any_wishes_read_back_from_what_is_written_of_them(system, changes):
    wishes = replace(find_usual(system), **changes)
    written = finishing_keys(wishes, system).get("finishing", {})
    assert FinishingKeys.model_validate(written).wishes(system, ()) == wishes


# What a study wishes is what is planned


def test_the_plan_follows_the_study():
    study = make(
        **{
            **FULL,
            "thread": "ratio",
            "on_hand": [],
            "measured_heights": [],
            "measured_widths": [],
            "backing_one_way": False,
        }
    )
    plan = plan_finishing(make_sketch(study))
    assert plan.backing.needed == pytest.approx((36 + 6, 44))
    assert (plan.binding.finished, plan.binding.cut, plan.binding.join) == (0.5, 3.5, "straight")
    assert plan.sleeve is None
    assert plan.batting.chosen.name == "big"
    assert plan.cost.price == pytest.approx(1.25 * plan.cost.total, abs=0.01)
    assert any("Swell" in line for line in write_care(plan))
    assert any("for sale" in line for line in say_notices(plan.cautions))


def test_backing_and_binding_of_a_named_fabric_take_its_width_and_price():
    keys = {**KEYS, "fabric": [dict(fabric) for fabric in KEYS["fabric"]]}
    keys["fabric"][1] |= {"width": "60 in", "price": 7.5}
    name = keys["fabric"][1]["name"]
    plan = kit.make_pattern(study_from_keys({**keys, "finishing": {"backing_fabric": name, "binding_fabric": name}}))
    costs = {(purchase.what, purchase.name): purchase.price for purchase in plan.finishing.cost.purchases}
    assert costs["backing", name] == costs["binding", name] == 7.5
    assert plan.finishing.binding.cloth_width == 60
    (way,) = [way for way in plan.finishing.backing.ranked if way.way == "lengthwise"]
    assert (way.cloth_width, way.seams) == (60, 0)


def test_what_is_left_of_the_named_fabric_alone_goes_into_the_binding():
    sketch = make_sketch(make())
    every = gather_top(sketch).left_over
    by_name = [gather_top(sketch, FinishingWishes(binding_fabric=f["name"])).left_over for f in KEYS["fabric"]]
    assert every
    assert sorted(every) == sorted(piece for pieces in by_name for piece in pieces)
    assert max(len(pieces) for pieces in by_name) == 1


def test_strips_of_a_roll_that_the_top_leaves_become_binding():
    study = kit.open_study("data/studies/tideline.toml")
    fabrics = tuple(replace(f, count=6) if f.form == "strips" else f for f in study.fabrics)
    study = replace(study, fabrics=fabrics, finishing=replace(study.finishing, left_over_first=True))
    sketch = make_sketch(study)
    plan = plan_finishing(sketch)
    cut = sum(len(cloth.strips) for cloth in sketch.cutting.cloths if cloth.supply.form == "strips")
    strips = [size for size in plan.top.left_over if size == (2.5, 40.0)]
    assert len(strips) == 6 * 12 - cut
    assert plan.binding.from_left_over == len(plan.binding.lengths)
    assert plan.binding.bought == 0


def test_a_top_too_narrow_for_a_sleeve_has_none_and_says_so():
    keys = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
    keys["finishing"] = {"sleeve_short": "20 in"}
    plan = plan_finishing(make_sketch(study_from_keys(keys)))
    assert plan.sleeve is None
    assert any(line.startswith("No sleeve") for line in say_notices(plan.assumptions))
    check_finishing_plan(*make_sketch(study_from_keys(keys)).patchwork.finished, plan)


# Refusals


@pytest.mark.parametrize(
    ("finishing", "words"),
    [
        ({"overhang_side": "3 in"}, ("unknown key `finishing.overhang_side`", "Write `overhang_sides`")),
        ({"overhang_sides": 3}, ("`finishing.overhang_sides`", 'Write "3 in"')),
        ({"overhang_sides": "30 in"}, ("30 in is out of range", "to 24 in")),
        ({"binding_finished": "0 in"}, ("`finishing.binding_finished`", "zero")),
        ({"wash_width": 0.6}, ("`finishing.wash_width` is 0.6", "less than 0.5")),
        ({"wash_width": "0.03"}, ("`finishing.wash_width`", "without quotes")),
        ({"margin": True}, ("`finishing.margin`", "write a number")),
        ({"sleeve": "yes"}, ("`finishing.sleeve`", "true or false")),
        ({"backing": "sideways"}, ("`finishing.backing` is 'sideways'", "lengthwise", "diagonal")),
        ({"backing_fabric": "Swel"}, ("`finishing.backing_fabric`", "Swel", "Is `Swell` meant")),
        ({"bleeding": ["Swel"]}, ("`finishing.bleeding`", "Is `Swell` meant")),
        ({"on_hand": [["2 in"]]}, ("`finishing.on_hand.1`", 'write for instance ["26 in", "50 in"]')),
        ({"on_hand": ["2 in", "3 in"]}, ("`finishing.on_hand.1`", "not a list of 2")),
        ({"batting_packages": [["big", "90 in"]]}, ("`finishing.batting_packages.1`", "not a list of 3")),
        ({"batting_rolls": "90 in"}, ("`finishing.batting_rolls`", "a list")),
        ({"wide_width": "no"}, ("`finishing.wide_width`", "does not begin with a number")),
        ({"thread": "test"}, ("`thread_test`", "pick it out")),
        ({"spool_length": "2 in"}, ("`finishing.spool_length`", "360 in")),
        ({"measured_widths": ["36 in"] * 41}, ("a list of 41", "at most 40")),
        ({"binding_cut": "2 in"}, ("cut 2", "or finish it")),
        ({"mitre_extra": "0.1 in"}, ("`finishing.mitre_extra`", "out of range")),
    ],
)
def test_what_cannot_be_is_refused_by_its_key_with_the_remedy(finishing, words):
    refuse(*words, **finishing)


def test_a_binding_of_strips_off_a_roll_is_refused_with_what_to_do():
    keys = study_keys(kit.open_study("data/studies/tideline.toml"))
    with pytest.raises(kit.StudyError, match=r"comes as strips\. Needed: a fabric in yardage"):
        study_from_keys({**keys, "finishing": {"binding_fabric": "Harbour"}})


def test_mitred_strips_without_their_points_are_refused():
    keys = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
    keys["design"]["border"][0]["corners"] = "mitred"
    keys["finishing"] = {"mitre_extra": "1/2 in"}
    with pytest.raises(kit.KitError, match="the allowances take at 45°"):
        plan_finishing(make_sketch(study_from_keys(keys)))
    keys["finishing"] = {"mitre_extra": "3/4 in"}
    sketch = make_sketch(study_from_keys(keys))
    (border,) = plan_finishing(sketch).borders
    cut = max(max(piece.cut.values()) for piece in sketch.cut_list.pieces if piece.name == "border")
    assert max(border.lengths) >= cut
    assert max(border.lengths) - 0.75 + 2 * 2**0.5 * 0.25 == pytest.approx(cut)


def test_a_study_with_a_finishing_table_is_plain_text():
    text = write_study(make(overhang_sides="3 in", on_hand=[["26 in", "50 in"]]))
    assert "[finishing]" in text
    assert 'overhang_sides = "3 in"' in text
    assert read_study(text).finishing.on_hand == ((26.0, 50.0),)
