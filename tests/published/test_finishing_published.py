"""Worked cases and published figures of finishing: borders, backing, batting, binding, bias, thread, washing.

The cases W14 to W23 are common questions, their answers derived; the tables name where each of them was seen.
"""

import json
from math import ceil, sqrt

import pint
import pytest
from published_tables import DATA, read_table

from kit.lengths import YARD, buying_length
from kit.model.finishing import PACKAGES, FinishingWishes, TopFacts
from kit.output.words.notice_words import say_notices
from kit.planning.finishing.backing import plan_backing
from kit.planning.finishing.batting import compare_gap, plan_batting
from kit.planning.finishing.bias_strips import cut_parallelogram, measure_bias_square
from kit.planning.finishing.binding import find_binding_width, plan_binding
from kit.planning.finishing.border_strips import fit_border, plan_borders
from kit.planning.finishing.care import enlarge_for_loss, spread_bed
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.off_the_bolt import count_strips, find_join_cost
from kit.planning.finishing.thread_length import find_lockstitch_thread, find_thread_per_inch

PLAIN = FinishingWishes(overhang_sides=0, overhang_ends=0, squaring_up=0, wide_width=None)
THREAD = json.loads((DATA / "thread_consumption.json").read_text(encoding="utf-8"))


def cloth_by_way(width, height, wishes=PLAIN, usable=40.0):
    backing = plan_backing(width, height, wishes, TopFacts(usable_width=usable))
    return {way.way: way for way in backing.ranked}, backing.chosen


# Borders


def test_w14_a_join_in_an_8_inch_strip_takes_half_an_inch_straight_and_8_inches_diagonal():
    assert find_join_cost("straight", 8, 0.25) == 0.5
    assert find_join_cost("diagonal", 8, 0.25) == 8


def test_w15_edges_of_41_and_a_half_to_42_and_a_half_get_borders_of_42_with_an_eighth_eased_in_each_quarter():
    fit = fit_border((41.5, 42, 42.5))
    assert (fit.length, fit.ease, fit.per_quarter) == (42, 0.5, 0.125)
    assert 100 * fit.share == pytest.approx(1.2, abs=0.05)
    wishes = FinishingWishes(measured_heights=(41.5, 42, 42.5))
    plan = finishing_plan(46.0, 47.5, wishes, TopFacts(borders=(3.0,)))
    assert plan.borders[0].lengths[:2] == (42, 42)
    assert any("1.2 % of the edge" in line for line in say_notices(plan.warnings))


@pytest.mark.parametrize("join", ["straight", "diagonal"])
def test_w16_a_5_inch_border_round_40_by_50_takes_a_yard_crosswise_and_a_yard_and_a_half_lengthwise(join):
    wishes = FinishingWishes(border_join=join)
    (border,) = plan_borders(50.0, 60.0, wishes, TopFacts(borders=(5.0,)))
    assert border.lengths == (50.5,) * 4
    assert (border.way, border.strips, border.cut, border.cloth) == ("crosswise", 6, 5.5, 33)
    assert border.bought == 1 * YARD
    along = FinishingWishes(border_cloth="lengthwise")
    (border,) = plan_borders(50.0, 60.0, along, TopFacts(borders=(5.0,)))
    assert (border.cloth, border.bought, border.joins) == (50.5, 1.5 * YARD, 0)


# Backing


def test_w17_two_widths_of_40_cover_79_inches_and_a_backing_of_80_by_56_takes_4_and_three_quarter_yards():
    wishes = FinishingWishes(overhang_sides=0, overhang_ends=0, wide_width=None, backing="lengthwise")
    ways, chosen = cloth_by_way(80.0, 56.0, wishes)
    assert (len(chosen.panels), chosen.cloth) == (3, 168)
    assert chosen.cloth / YARD == pytest.approx(4 + 2 / 3)
    assert chosen.bought == 4.75 * YARD
    ways, _ = cloth_by_way(79.0, 56.0)
    assert (len(ways["lengthwise"].panels), ways["lengthwise"].covers[0]) == (2, 79)
    assert len(cloth_by_way(80.0, 56.0, wishes, 40.5)[1].panels) == 2
    assert len(cloth_by_way(80.0, 56.0, wishes, 40.375)[1].panels) == 3


def test_w18_a_backing_for_60_by_80_is_least_with_its_seam_lengthwise():
    ways, chosen = cloth_by_way(60.0, 80.0, FinishingWishes())
    assert chosen is ways["lengthwise"]
    assert (len(chosen.panels), chosen.covers, chosen.cloth) == (2, (79, 88), 176)
    assert chosen.bought == 5 * YARD
    assert (len(ways["crosswise"].panels), ways["crosswise"].cloth) == (3, 204)


def test_a_backing_of_one_width_takes_about_a_yard_and_a_half():
    """Quilt guild page on backing: a top of 40 x 45 with 2 to 3 in on each side; the cloth is wide enough."""
    for margin, length in ((2, 49), (3, 51)):
        wishes = FinishingWishes(overhang_sides=margin, overhang_ends=margin, wide_width=None)
        _, chosen = cloth_by_way(40.0, 45.0, wishes, usable=46.0)
        assert (len(chosen.panels), chosen.cloth, chosen.bought) == (1, length, 1.5 * YARD)


@pytest.mark.parametrize(("bed", "yards"), [("twin", 5.25), ("full", 5.25), ("queen", 7.5), ("king", 8)])
def test_the_chart_of_backings_for_beds_leaves_no_margin_that_the_kit_can_find(bed, yards):
    """Same page: it names no quilt size, so it is a range check: comforter sizes with 2 in on each side.

    Twin, queen and king are within three quarters of a yard. The double is 5 1/4 yd as the twin is: that is two
    widths, 79 in at most, and a comforter for it is 82 in wide. It takes three.
    """
    (row,) = [row for row in read_table("bed_drop_table.csv") if row["bed"] == bed]
    wishes = FinishingWishes(overhang_sides=2, overhang_ends=2, wide_width=None)
    _, chosen = cloth_by_way(float(row["comforter_w"]), float(row["comforter_l"]), wishes)
    off = chosen.bought / YARD - yards
    if bed == "full":
        assert (len(chosen.panels), chosen.bought / YARD) == (3, 7.25)
    else:
        assert 0 <= off <= 0.75


# Binding


def test_w19_straight_binding_for_51_by_61_takes_7_strips_of_2_and_a_half():
    binding = plan_binding(51.0, 61.0, FinishingWishes(), TopFacts())
    assert (binding.cut, binding.needed, len(binding.lengths)) == (2.5, 236, 7)
    assert binding.total - binding.lengths[0] + 2.5 == pytest.approx(227.5)
    assert count_strips(227.5, 40, 2.5) == 6
    assert binding.clear >= 4


def test_binding_is_cut_six_widths_and_a_quarter_double_and_four_widths_single():
    """Common practice, no source: about 6b + 1/4 double, about 4b single."""
    assert find_binding_width(0.375, "double", 0.125) == 2.5
    assert find_binding_width(0.25, "double", 0.125) == 1.75
    assert find_binding_width(0.5, "single", 0.0) == 2.0


def test_published_examples_of_straight_binding():
    rows = [row for row in read_table("yardage_worked_examples.csv") if row["topic"] == "straight binding"]
    assert len(rows) == 3
    for row, (width, height, more, usable, lap, strips) in zip(
        rows, [(40, 50, 0, 40, 0, 5), (50, 60, 0, 40, 2, 6), (54, 60, 10, 42, 0, 6)], strict=True
    ):
        assert str(strips) in row["published"]
        around = 2 * (width + height) + more
        assert ceil(around / (usable - lap)) == strips
        assert count_strips(around, usable, lap) <= strips
    assert 5 * 2.5 == 12.5


@pytest.mark.parametrize(("width", "height", "often", "needs"), [(40, 50, 5, 6), (50, 60, 6, 7), (54, 60, 6, 7)])
def test_with_diagonal_joins_and_closing_the_published_counts_are_one_strip_short(width, height, often, needs):
    usable = 42.0 if width == 54 else 40.0
    binding = plan_binding(width, height, FinishingWishes(), TopFacts(usable_width=usable))
    assert len(binding.lengths) == needs
    assert often * usable - (often - 1) * 2.5 < binding.needed


def test_published_example_of_a_bias_square_is_the_area_rule():
    (row,) = [row for row in read_table("yardage_worked_examples.csv") if row["topic"] == "bias binding square"]
    assert "24.7" in row["published"]
    needed = 2 * (51 + 61) + 20
    assert sqrt(needed * 2.5) == pytest.approx(24.7, abs=0.005)
    assert measure_bias_square(24.7, 2.5)[1] < needed
    assert measure_bias_square(25, 2.5, 0.25)[1] < needed


def test_w20_bias_strips_from_a_parallelogram_are_5_of_43_8_inches():
    count, length = cut_parallelogram(31, 20, 2.5)
    assert count == 5
    assert length == pytest.approx(43.8, abs=0.05)
    assert 2.5 * sqrt(2) == pytest.approx(3.536, abs=0.0005)
    assert 20 / 2.5 == 8


PLAIN_SHORT = {(220, 1.5), (340, 1.5)}
SEWN_SHORT = PLAIN_SHORT | {(110, 2.5), (480, 1.5)}
CHART = [tuple(float(v) for v in row.values()) for row in read_table("bias_binding_squares.csv")]


@pytest.mark.parametrize(("length", "strip", "side", "least", "by_area"), CHART)
def test_each_square_of_the_bias_chart_yields_its_length_by_strips_but_for_those_named(
    length, strip, side, least, by_area
):
    assert sqrt(length * strip) == pytest.approx(least, abs=0.006)
    assert side**2 / strip == pytest.approx(by_area, abs=0.06)
    assert by_area >= length
    _, plain = measure_bias_square(side, strip)
    _, sewn = measure_bias_square(side, strip, 0.25)
    assert (plain < length) == ((length, strip) in PLAIN_SHORT)
    assert (sewn < length) == ((length, strip) in SEWN_SHORT)


def test_the_bias_chart_has_sixteen_squares_and_names_those_that_fail():
    assert len(CHART) == 16
    assert {(row[0], row[1]) for row in CHART} >= SEWN_SHORT


# Beds, batting, washing


@pytest.mark.parametrize("row", read_table("bed_drop_table.csv"), ids=lambda row: row["bed"])
def test_the_drop_table_all_28_numbers(row):
    mattress = (float(row["mattress_w_in"]), float(row["mattress_l_in"]))
    assert spread_bed(mattress, 14) == (float(row["comforter_w"]), float(row["comforter_l"]))
    assert spread_bed(mattress, 21, tuck=12) == (float(row["bedspread_w"]), float(row["bedspread_l"]))


def test_the_drop_table_has_seven_beds():
    assert len(read_table("bed_drop_table.csv")) == 7


def test_the_packages_of_batting_are_those_of_the_table():
    rows = {row["item"]: (float(row["width"]), float(row["length"])) for row in read_table("bed_batting_sizes.csv")}
    assert len(PACKAGES) == 6
    assert {name: rows[f"{name} batting package"] for name, _, _ in PACKAGES} == {n: (w, h) for n, w, h in PACKAGES}


def test_the_mattresses_of_both_tables_agree():
    rows = {row["item"]: (float(row["width"]), float(row["length"])) for row in read_table("bed_batting_sizes.csv")}
    for row in read_table("bed_drop_table.csv"):
        name = f"{row['bed']} mattress"
        if name in rows:
            assert rows[name] == (float(row["mattress_w_in"]), float(row["mattress_l_in"]))


@pytest.mark.parametrize(
    ("width", "height", "package", "turned"),
    [(37, 26, "craft", True), (64, 82, "twin", False), (60, 72, "twin", False), (88, 64, "full", True),
     (88, 94, "king", False)],
)  # fmt: skip
def test_the_smallest_package_that_holds_the_quilt_either_way_round_is_taken(width, height, package, turned):
    """Derived: 4 in on each side, so the quilt of a queen bed, 88 x 94, takes the king's package (96 x 102)."""
    taken = plan_batting(width, height, FinishingWishes(batting="package")).chosen
    assert (taken.name, taken.turned) == (package, turned)


def test_batting_is_six_to_eight_inches_larger_than_the_quilt_as_most_say():
    """Quilt-shop handout: quilt + 4 to 12 in in all, most say 6 to 8."""
    needed = plan_batting(60, 72, FinishingWishes()).needed
    assert 6 <= needed[0] - 60 <= 8
    assert 6 <= needed[1] - 72 <= 8


def test_batting_off_the_roll_is_butted_where_the_roll_is_too_narrow():
    taken = plan_batting(100, 110, FinishingWishes(batting="roll", batting_rolls=(90.0,))).chosen
    assert (taken.joins, taken.size) == (1, (90.0, 216.0))
    assert taken.turned


def test_w21_a_quilt_that_is_to_be_90_inches_after_5_percent_starts_at_94_74():
    assert enlarge_for_loss(90, 0.05) == pytest.approx(94.74, abs=0.005)
    top = enlarge_for_loss(90, 0.02, 0.05)
    wishes = FinishingWishes(draw_in=0.02, wash_width=0.05, wash_height=0.05)
    assert finishing_plan(top, top, wishes).care.washed == pytest.approx((90, 90))


def test_w23_an_open_square_of_5_inches_fails_a_batting_of_3_and_passes_one_of_8():
    assert compare_gap(2, 3).passes
    assert not compare_gap(5, 3).passes
    assert compare_gap(5, 8).passes


# Cloth


def test_published_examples_of_strips_yards_and_seams():
    rows = {row["topic"]: row for row in read_table("yardage_worked_examples.csv")}
    assert len(read_table("yardage_worked_examples.csv")) == 12
    assert "1440 / 1512 / 1620 / 2160" in rows["square inches per yard"]["published"]
    assert [width * YARD for width in (40, 42, 45, 60)] == [1440, 1512, 1620, 2160]
    assert 4 * 2.5 == 10 <= buying_length(10) == 3 / 8 * YARD
    assert YARD / 4 * 42 == 18 * 21
    assert YARD / 8 * 42 == 9 * 21
    assert 40 // 5 == 8
    assert 40 // 10 == 4
    assert rows["seam error"]["recomputed"] == str(23 / 16)


# Thread


@pytest.mark.parametrize("example", THREAD["examples"], ids=lambda example: str(example["type"]))
def test_the_worked_examples_of_the_thread_formula(example):
    constant = {101: 3, 301: 2, 401: 4}[example["type"]]
    assert find_lockstitch_thread(example["T"], example["S"], constant=constant) == pytest.approx(example["C"])


@pytest.mark.parametrize(("thickness", "printed"), list(THREAD["chart_401_8_stitches_per_inch"].items()))
def test_the_five_points_of_the_bulletins_chart_for_the_sister_stitch(thickness, printed):
    assert find_lockstitch_thread(float(thickness), 8, constant=4) == pytest.approx(printed)


def test_the_average_ratio_is_one_to_two_and_a_half_shared_equally():
    given = THREAD["average_ratio_301"]
    needle, bobbin = find_thread_per_inch(FinishingWishes(thread="ratio"))
    assert needle + bobbin == given["value"] == 2.5
    assert given["needle_to_bobbin"].startswith("1:1")
    assert needle == bobbin


def test_the_worked_example_of_a_test_piece():
    """100 cm of seam from a sample of 15 cm: 19.5 cm and 62 cm of thread; printed 540 cm, with its factors rounded."""
    given = THREAD["apparel_worked"]
    sample = (given["sample_cm"], given["needle_cm"], given["looper_cm"])
    needle, other = find_thread_per_inch(FinishingWishes(thread="test", thread_test=sample))
    assert needle == pytest.approx(1.3)
    assert given["seam_cm"] * (needle + other) == pytest.approx(543.3, abs=0.05)
    assert given["seam_cm"] * (1.3 + 4.1) == pytest.approx(given["total_cm"])


def test_the_worked_seam_with_15_percent_of_waste():
    given = THREAD["worked"]
    total = given["seam_yd"] * (given["needle_factor"] + given["looper_factor"])
    assert total == pytest.approx(given["total_yd"], abs=0.005)
    assert total * (1 + FinishingWishes().thread_waste) == pytest.approx(given["with_15_percent"], abs=0.01)


def test_the_thread_formula_has_the_unit_of_thread_over_seam_in_inches_and_in_centimetres():
    """T·S is a pure number: a thickness times stitches in a length; so the same layers give the same ratio."""
    ureg = pint.UnitRegistry()
    thickness, stitches = 0.1 * ureg.inch, 10 / ureg.inch
    for units in ((thickness, stitches), (thickness.to("cm"), stitches.to("1/cm")), (thickness.to("mm"), stitches)):
        ratio = find_lockstitch_thread(*units)
        assert ratio.dimensionless
        assert ratio.to("m/m").magnitude == pytest.approx(find_lockstitch_thread(0.1, 10)) == 4
    for wrong in ((thickness, 0.1 * ureg.inch), (0.1, stitches), (thickness, 10)):
        with pytest.raises(pint.DimensionalityError):
            find_lockstitch_thread(*wrong)


def test_thread_of_one_quilt_is_the_same_length_computed_in_inches_and_in_metres_by_pint():
    """Area over spacing, times thread in a length: 60 x 80 in at 2 in is a path of 2400 in."""
    ureg = pint.UnitRegistry()
    path = (60 * ureg.inch * (80 * ureg.inch) / (2 * ureg.inch)).to("m")
    (line,) = finishing_plan(60.0, 80.0, FinishingWishes(thread_waste=0.0)).thread.lines
    assert (line.path * ureg.inch).to("m").magnitude == pytest.approx(path.magnitude) == pytest.approx(60.96)
    in_all = find_lockstitch_thread(0.1 * ureg.inch, 1 / (0.1 * ureg.inch)) * path
    assert ((line.needle + line.bobbin) * ureg.inch).to("m").magnitude == pytest.approx(in_all.to("m").magnitude)


def test_bobbins_are_counted_in_yards_as_pint_converts_them():
    ureg = pint.UnitRegistry()
    (line,) = finishing_plan(60.0, 80.0, top=TopFacts(paths=(("white", 4000.0),))).thread.lines
    yards = (line.bobbin * ureg.inch).to("yard").magnitude
    assert yards == pytest.approx(4000 * 2 * 1.15 / 36)
    assert line.bobbins == ceil(yards / 50)
    assert line.spools == ceil(yards / 200)
