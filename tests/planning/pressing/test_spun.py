"""Spun four-patches: the four seams turn the same way round each centre, and the check refuses any that do not."""

from dataclasses import replace

import pytest

from kit.checks.pressing_check import check_pressing
from kit.checks.sewing_check import check_sewing_plan
from kit.checks.sewing_words_check import sew_by_words
from kit.designs import FAMILIES
from kit.errors import CheckError, KitError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.output.pictures.step_picture import draw_step
from kit.output.words.step_words import StepSentences
from kit.pipeline import make_pattern, print_sewing
from kit.planning.pieces.cut_list import cut_list
from kit.planning.pressing.pressing_plan import press_seams
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.study.read_file import read_study
from kit.study.write_file import write_study

LIGHT = {"patch": "square", "side_finished": "2 in", "slot": "light"}
DARK = {"patch": "square", "side_finished": "2 in", "slot": "dark"}


def compose(**units):
    return FAMILIES["units"].model_validate({"family": "units", "top": "whole", "unit": units}).patchwork()


def four_patches(side, rows=("light dark", "dark light")):
    whole = {"rows": [" ".join(["four"] * side)] * side}
    return compose(light=LIGHT, dark=DARK, four={"rows": list(rows)}, whole=whole)


def spin(patchwork, **wish):
    plan = press_seams(patchwork, sewing_plan(patchwork), centres="spun", **wish)
    check_pressing(patchwork, cut_list(patchwork), plan)
    return plan


def change(plan, number, **values):
    steps = tuple(replace(step, **values) if step.number == number else step for step in plan.steps)
    presses = tuple((step.number, step.press) for step in steps if step.press)
    return replace(plan, steps=steps, pressing=replace(plan.pressing, presses=presses))


def find_spun(plan):
    return [step for step in plan.steps if step.spun_at is not None]


@pytest.mark.parametrize("side", [2, 3, 4, 8])
def test_spun_four_patches_side_by_side_nest_everywhere(side):
    plan = spin(four_patches(side))
    inner = (2 * side - 1) ** 2  # the inner corners of a square of 2 side by 2 side patches
    assert (plan.pressing.crossings, plan.pressing.nesting) == (inner, inner)
    assert [(step.unit, step.spun_at) for step in find_spun(plan)] == [("four", 2.0)]
    assert not next(step for step in find_spun(plan)).pressed_back
    assert plan.pressing.open_steps == ()


def test_a_spun_centre_has_four_layers_and_seven_where_the_last_seam_goes_to_one_side():
    # sixteen quarter-inch squares of allowance and cloth lie round the centre of a four-patch: four patches, each with
    # its corner, two sides and the corner of the allowance. Spun, they lie evenly: four on four. Counted by hand.
    patchwork = patchwork_from_outlines([make_rectangle(3 * x, 3 * y, 3, 3) for y in (0, 1) for x in (0, 1)])
    assert spin(patchwork).pressing.layers == 4
    assert press_seams(patchwork, sewing_plan(patchwork)).pressing.layers == 7


def test_seams_turn_the_way_that_presses_more_to_the_darker_side():
    patchwork = four_patches(2)
    for dark, light in ((20.0, 80.0), (80.0, 20.0)):
        shades = {patch.id: dark if patch.slot == "dark" else light for patch in patchwork.patches}
        plan = spin(patchwork, lightness=shades)
        pair = next(step for step in plan.steps if step.unit == "dark with light")
        side = pair.along_first if pair.press == "first" else pair.along_second
        assert {patchwork.by_id[edge.patch].slot for edge in side} == {"dark" if dark < light else "light"}


def test_equal_rows_of_a_four_patch_are_pressed_in_two_sets():
    plan = spin(four_patches(2, ["light dark", "light dark"]))
    pair = next(step for step in plan.steps if step.unit == "light with dark")
    assert len(pair.pressed_back) == 4
    assert plan.pressing.nesting == plan.pressing.crossings


def test_an_hourglass_is_spun_and_a_nine_patch_has_no_centre_to_spin():
    quarters = [[(0, 0), (4, 0), (2, 2)], [(4, 0), (4, 4), (2, 2)], [(4, 4), (0, 4), (2, 2)], [(0, 4), (0, 0), (2, 2)]]
    assert len(find_spun(spin(patchwork_from_outlines(quarters)))) == 1
    nine = patchwork_from_outlines([make_rectangle(3 * x, 3 * y, 3, 3) for y in range(3) for x in range(3)])
    assert find_spun(spin(nine)) == []


def test_parts_of_other_sizes_do_not_make_a_four_patch():
    uneven = patchwork_from_outlines(
        [make_rectangle(x, y, w, h) for y, h in ((0, 3), (3, 2)) for x, w in ((0, 3), (3, 4))]
    )
    assert find_spun(spin(uneven)) == []


def test_four_patches_within_a_double_four_patch_are_spun_and_it_is_too():
    square = {"patch": "square", "side_finished": "4 in", "slot": "light"}
    units = {"light": LIGHT, "dark": DARK, "wide": square, "four": {"rows": ["light dark", "dark light"]}}
    double = {"rows": ["four wide", "wide four"]}
    plan = spin(compose(**units, double=double, whole={"rows": ["double double", "double double"]}))
    assert sorted(step.unit for step in find_spun(plan)) == ["double", "four"]
    assert plan.pressing.nesting == plan.pressing.crossings


@pytest.mark.parametrize("wish", ["dark", "sashing", "open"])
def test_four_patches_are_spun_whatever_the_wish_for_other_seams(wish):
    plan = spin(four_patches(2), wish=wish)
    assert [step.unit for step in find_spun(plan)] == ["four"]


def test_nobody_who_did_not_ask_gets_spun_seams():
    patchwork = four_patches(2)
    assert find_spun(press_seams(patchwork, sewing_plan(patchwork))) == []


DAMAGE = {
    "left to one side": ("last", {"spun_at": None}, "is not spun"),
    "spun elsewhere": ("last", {"spun_at": 1.0}, "no four seams meet"),
    "last seam the other way": ("last", {"press": "second"}, "does not turn that way"),
    "pair seam the other way": ("pair", {"press": "second"}, "does not turn that way"),
    "pair seam open": ("pair", {"press": "open"}, "does not turn that way"),
    "one copy turned": ("pair", {"pressed_back": (1,)}, "does not turn that way"),
    "a seam of a row, spun too": ("row", {"spun_at": 2.0}, "does not turn that way"),
    "the other way round": ("plan", {"spin": "counter-clockwise"}, "spun counter-clockwise"),
    "not asked for": ("plan", {"centres": "to one side"}, "to be pressed to one side"),
}


@pytest.mark.parametrize("name", DAMAGE)
def test_refuses_a_damaged_spin(name):
    patchwork = four_patches(2)
    plan = spin(patchwork)
    where, values, said = DAMAGE[name]
    (last,) = find_spun(plan)
    numbers = {"last": last.number, "pair": 1, "row": last.number + 1}
    assert (plan.steps[0].press, last.press) == ("first", "first")  # which the damage turns
    if where == "plan":
        damaged = replace(plan, pressing=replace(plan.pressing, **values))
    else:
        damaged = change(plan, numbers[where], **values)
    with pytest.raises(CheckError, match=said):
        check_pressing(patchwork, cut_list(patchwork), damaged)


STUDY = """
title = "Lamp corners"
[design]
family = "units"
top = "whole"
[unit.light]
patch = "square"
side_finished = "2 in"
slot = "light"
[unit.dark]
patch = "square"
side_finished = "2 in"
slot = "dark"
[unit.four]
rows = ["light dark", "dark light"]
[unit.whole]
rows = ["four four four", "four four four"]
[sewing]
centres = "spun"
[[fabric]]
slot = "light"
name = "Fog"
colour = "#dfe6ea"
width = "42 in"
[[fabric]]
slot = "dark"
name = "Slate"
colour = "#56636e"
width = "42 in"
"""


def test_a_study_that_asks_gets_words_and_a_picture_with_an_arrow_on_either_side():
    study = read_study(STUDY)
    assert read_study(write_study(study)).sewing == study.sewing
    pattern = make_pattern(study, "quick")
    check_sewing_plan(pattern.patchwork, pattern.cut_list, pattern.sewing)
    (last,) = find_spun(pattern.sewing)
    words = StepSentences(pattern, pattern.sewing).say(last)
    assert "undo the stitches of the two short seams" in words
    assert pattern.sewing.pressing.spin == "clockwise"
    assert "turn counter-clockwise round the centre, seen from the back" in words
    arrows = draw_step(pattern, pattern.sewing, last).arrows
    ways = [complex(*arrow.points[1]) - complex(*arrow.points[0]) for arrow in arrows]
    assert len(ways) == 2
    assert ways[0] == pytest.approx(-ways[1])


def damage_card(printed, **values):
    """Return what is printed with the card of the spun seam changed."""
    units = []
    for unit in printed.units:
        cards = tuple(replace(card, **values) if "Spin" in card.text else card for card in unit.cards)
        units.append(replace(unit, cards=cards))
    return replace(printed, units=tuple(units))


def test_spun_seams_whose_words_or_arrows_are_changed_are_refused_by_the_reader():
    pattern = make_pattern(read_study(STUDY), "quick")
    printed = print_sewing(pattern, pattern.sewing)
    assert sew_by_words(printed, pattern.cut_list, pattern.sewing).faults == ()
    (card,) = (card for unit in printed.units for card in unit.cards if "Spin" in card.text)
    ((number, (one, other)),) = card.picture.spins.items()
    at_once = replace(card.picture, spins={number: (one[::-1], other[::-1])})
    turned_one = replace(card.picture, spins={number: (one[::-1], other)})
    swapped = replace(card.picture, spins={number: ((one[0], move(one, other)), (other[0], move(other, one)))})
    for values in (
        {"text": card.text.replace("counter-clockwise", "clockwise")},
        {"text": card.text.replace("Spin the seams: ", "")},
        {"text": card.text.replace("both sides", "one side")},
        {"picture": at_once},
        {"picture": turned_one},
        {"picture": swapped},
        {"picture": replace(card.picture, spins={number: (one,)})},
        {"picture": replace(card.picture, spins={})},
    ):
        faults = sew_by_words(damage_card(printed, **values), pattern.cut_list, pattern.sewing).faults
        assert faults, values
        assert "Step 1" in faults[0] or "four" in faults[0]


def move(one, other):
    """Return the head of an arrow from one tail that points as another arrow does."""
    return tuple(a + h - t for a, t, h in zip(one[0], *other, strict=True))


def test_a_study_cannot_ask_for_another_kind_of_centre():
    with pytest.raises(KitError, match="centres"):
        read_study(STUDY.replace('"spun"', '"whirled"'))
