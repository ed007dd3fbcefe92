import pickle
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kit
from kit.lengths import take_length

SQUARES = [[(0, 0), (6, 0), (6, 6), (0, 6)], [(6, 0), (12, 0), (12, 6), (6, 6)]]
NOTATIONS = ["9 1/2 in", "9-1/2in", '9½"', "9.5 inch", "24.13 cm", "241.3 mm", "0.2413 m"]


@pytest.mark.parametrize("text", NOTATIONS)
def test_every_notation_of_one_length_gives_the_same_inches_as_the_number(text):
    assert take_length(text) == take_length(9.5) == 9.5
    assert kit.Supply("sky", width=text) == kit.Supply("sky", width=9.5)
    assert kit.friendly_sizes(4, text) == kit.friendly_sizes(4, 9.5)
    assert kit.enlarge_for_loss(text, 0.05) == 10.0
    assert kit.aim(text, text).width == 9.5


@given(st.integers(1, 400 * 16))
def test_sixteenths_written_as_text_are_the_number_itself(sixteenths):
    amount = Fraction(sixteenths, 16)
    whole, part = divmod(amount, 1)
    text = " ".join([str(whole)] * bool(whole) + [str(part)] * bool(part)) + " in"
    assert take_length(text) == float(amount)


def test_an_allowance_in_centimetres_makes_the_patchwork_that_its_inches_make():
    metric = kit.patchwork_from_outlines(SQUARES, allowance="0.75 cm")
    assert metric.allowance == pytest.approx(0.75 / 2.54, abs=1e-15)
    side = kit.cut_list(metric, "1 mm").pieces[0].rounded["side"]
    assert side == pytest.approx(16.8 / 2.54, abs=1e-9)  # 15.24 cm and two allowances are 16.74, up to a millimetre


def test_cloth_written_in_yards_is_cut_as_the_same_cloth_in_inches():
    cuts = kit.cut_list(kit.patchwork_from_outlines(SQUARES, ["sky", "sky"]))
    written = kit.cutting_plan(cuts, [kit.Supply("sky", "remnant", "1/2 yd", "1 ft")])
    assert written == kit.cutting_plan(cuts, [kit.Supply("sky", "remnant", 18.0, 12.0)])
    assert not written.short


def test_a_fabric_hands_on_the_inches_of_its_texts():
    fabric = kit.Fabric("sky", "Fog", "#dfe6ea", width="1.1 m", length="3 yd", repeat="12 in", squaring="1 in")
    supply = fabric.supply()
    assert (supply.length, supply.repeat, supply.squaring) == (108.0, 12.0, 1.0)
    assert supply.width == pytest.approx(110 / 2.54)
    assert pickle.loads(pickle.dumps(fabric)) == fabric  # noqa: S301  its own bytes
    assert replace(supply, width="42 in").width == 42.0


def test_a_length_that_is_left_out_stays_left_out():
    supply = kit.Supply("sky")
    assert (supply.width, supply.length, supply.repeat, supply.squaring) == (40.0, None, None, None)
    assert kit.FinishingWishes(wide_width=None).wide_width is None
    assert kit.FinishingWishes().wide_width == 106.0


def test_wishes_take_texts():
    assert kit.FinishingWishes(binding_cut="2 1/4 in", spool_length="500 yd") == kit.FinishingWishes(
        binding_cut=2.25, spool_length=18_000
    )
    written = kit.QuiltingWishes((kit.Stitching(spacing="1/2 in"),), gap_limit="4 in", throat="16 in", loft="1/8 in")
    assert written == kit.QuiltingWishes((kit.Stitching(spacing=0.5),), gap_limit=4, throat=16, loft=0.125)
    assert kit.finishing_plan("60 in", "80 in") == kit.finishing_plan(60, 80)


def test_a_seam_may_be_off_by_a_text_either_way():
    cuts = kit.cut_list(top := kit.patchwork_from_outlines(SQUARES))
    plan = kit.sewing_plan(top)
    for bias, text in ((1 / 32, "1/32 in"), (-1 / 32, "-1/32 in")):
        assert kit.rehearse_by_hand(cuts, plan, 20, seam_bias=text, limit="1/8 in") == kit.rehearse_by_hand(
            cuts, plan, 20, seam_bias=bias
        )
    assert kit.find_allowance(["1 1/2 in"] * 4, "4 3/8 in") == kit.find_allowance([1.5] * 4, 4.375)


def test_widths_spacers_and_insurance_take_texts():
    sketch = kit.make_sketch(kit.open_study("data/studies/ferry-steps.toml"))
    assert kit.compare_widths(sketch, ["40 in", "44 in"]) == kit.compare_widths(sketch, [40, 44])
    assert kit.tables.shopping(sketch, "1/8 yd").equals(kit.tables.shopping(sketch, 4.5))
    assert kit.solve_spacer("20 in", "25 in", "3 in", "1/2 in") == kit.solve_spacer(20, 25, 3, 0.5)
    assert kit.list_unit_lengths("20 in", "25 in", "2 in", "4 in") == kit.list_unit_lengths(20, 25, 2, 4)
    assert kit.mix_parts(7, "12 in", "1/8 in") == kit.mix_parts(7, 12)


def test_lessons_take_texts():
    assert kit.lessons.sew_whirl(("below",), centre="4 in", width="3 in") == kit.lessons.sew_whirl(("below",))
    chart = kit.lessons.compare_counts("data/published", ["2 1/2 in"])
    assert len(chart)
    assert chart.equals(kit.lessons.compare_counts("data/published", [2.5]))


WRONG = ["42", "forty inches", "9 1/2 pounds", "in", "", "nan in", "9,5 cm"]


@pytest.mark.parametrize("text", WRONG)
@pytest.mark.parametrize(
    "ask",
    [
        lambda text: kit.Supply("sky", width=text),
        lambda text: kit.patchwork_from_outlines(SQUARES, allowance=text),
        lambda text: kit.friendly_sizes(4, text),
        lambda text: kit.aim(text, "60 in"),
        lambda text: kit.aim(bed="queen", drop=text),
        lambda text: kit.Stitching(spacing=text),
        lambda text: kit.FinishingWishes(binding_cut=text),
        lambda text: kit.find_allowance([text, text], 4.0),
        lambda text: kit.lessons.sew_whirl(("below",), centre=text),
    ],
)
def test_a_text_that_is_not_a_length_is_refused_in_a_sentence(ask, text):
    with pytest.raises(kit.KitError, match=r"Needed: .+\. [A-Z]"):
        ask(text)


@pytest.mark.parametrize("value", [True, None, [9.5], b"9 in", 1j])
def test_what_is_neither_number_nor_text_is_refused_by_its_kind(value):
    with pytest.raises(kit.LengthError, match=type(value).__name__):
        take_length(value)


def test_a_wrong_text_names_the_field_that_holds_it():
    with pytest.raises(kit.KitError, match="gap limit"):
        kit.QuiltingWishes(gap_limit="3")
    with pytest.raises(kit.KitError, match="seam allowance"):
        kit.patchwork_from_outlines(SQUARES, allowance="1/4")
