"""Cut sizes: every rule and every row of the published tables against pieces computed from finished outlines.

The exact amount comes first, to a billionth of an inch; then the size rounded up to the ruler's eighth; then the
trade's figure, which differs from the exact one by the error that the table states. The sources stand in the table
beside each rule. Table figures of four decimals are met to half of their last digit.
"""

from math import ceil, radians, sin, sqrt, tan

import pytest
from published_tables import (
    CM,
    QUARTER,
    cut,
    eight_pointed_star,
    goose,
    halved_square,
    hexagon,
    leaning,
    on_point,
    pick,
    quartered_square,
    read_remarks,
    read_rules,
    read_table,
    row_of_squares,
    row_of_strips,
    square_in_square,
    trapezoid,
    width_of,
)

from kit.geometry.outlines import make_rectangle, measure_edges, move_outline
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.cutting.cutting_plan import cutting_plan

RULES = read_rules()
RULE = {rule["unit"]: rule for rule in RULES["rules"]}
ROOT2 = sqrt(2)
EXACT = 1e-9  # the geometry is a dozen roundings of a double deep
FOUR_DECIMALS = 0.5e-4
SIX_DECIMALS = 0.5e-6
ALLOWANCES = [0.125, QUARTER, 0.375, 0.5, 0.75 * CM]
FINISHED = [1.5, 2, 3, 4.25, 6, 8.375, 12]
CHECKED = {
    "square",
    "half-square triangle",
    "quarter-square triangle",
    "metric",
    "multiples of the allowance",
    "60° triangle",
    "60° diamond",
    "parallelogram",
    "hexagon",
    "trapezoid",
    "eight-pointed star",
    "square in a square",
}
HALF, FOURTH = "half-square triangle", "quarter-square triangle"


def half_square(finished, allowance=QUARTER, step=0.125):
    return pick(cut(halved_square(finished), allowance=allowance, step=step), HALF)


def quarter_square(finished, allowance=QUARTER, step=0.125):
    return pick(cut(quartered_square(finished), allowance=allowance, step=step), FOURTH)


def eighth_above(inches):
    """Return the least eighth that is not below, by whole-number arithmetic of the test's own."""
    return ceil(round(inches * 8, 6)) / 8


def test_no_rule_of_the_table_goes_unchecked():
    assert set(RULE) == CHECKED


def test_every_rule_and_every_table_names_its_source():
    named = [rule["source"] for rule in RULES["rules"]]
    named += [RULES[key]["source"] for key in ("geese", "on_point", "diagonals", "block_cut_lists")]
    named += [RULES["geese"]["oversize_source"]] + [row["source"] for row in RULES["strip_sets"]["rows"]]
    assert {source for sources in named for source in sources} == set(RULES["sources"])
    assert all(set(source) == {"author", "title", "year", "seen"} for source in RULES["sources"].values())
    assert sum("author:" in line for line in read_remarks("setting_triangles.csv")) >= 1


# Squares, half-squares, quarter-squares


@pytest.mark.parametrize("allowance", ALLOWANCES)
@pytest.mark.parametrize("finished", FINISHED)
def test_a_square_and_a_rectangle_grow_by_two_allowances(finished, allowance):
    square = pick(cut([make_rectangle(0, 0, finished, finished)], allowance=allowance), "square")
    assert square.cut["side"] == pytest.approx(finished + 2 * allowance, abs=EXACT)
    oblong = pick(cut([make_rectangle(0, 0, finished, 2 * finished)], allowance=allowance), "rectangle")
    assert oblong.cut["width"] == pytest.approx(finished + 2 * allowance, abs=EXACT)
    assert oblong.cut["length"] == pytest.approx(2 * finished + 2 * allowance, abs=EXACT)


@pytest.mark.parametrize("allowance", ALLOWANCES)
@pytest.mark.parametrize("finished", FINISHED)
def test_a_half_square_triangle_grows_by_two_and_root_two_allowances(finished, allowance):
    piece = half_square(finished, allowance)
    assert piece.count == 2
    assert piece.cut["square"] == pytest.approx(finished + (2 + ROOT2) * allowance, abs=EXACT)


@pytest.mark.parametrize("allowance", ALLOWANCES)
@pytest.mark.parametrize("finished", FINISHED)
def test_a_quarter_square_triangle_grows_by_two_and_two_root_two_allowances(finished, allowance):
    piece = quarter_square(finished, allowance)
    assert piece.count == 4
    assert piece.cut["square"] == pytest.approx(finished + (2 + 2 * ROOT2) * allowance, abs=EXACT)


@pytest.mark.parametrize(
    ("unit", "make"),
    [
        ("square", lambda f: pick(cut([make_rectangle(0, 0, f, f)]), "square")),
        (HALF, half_square),
        (FOURTH, quarter_square),
    ],
)
def test_the_trade_amount_of_a_square_or_triangle_is_its_rounded_exact_amount(unit, make):
    rule = RULE[unit]
    for finished in (2, 3, 6, 6.5):
        piece = make(finished)
        (exact,) = piece.cut.values()
        (rounded,) = piece.rounded.values()
        assert exact - finished == pytest.approx(rule["exact_quarter"], abs=SIX_DECIMALS)
        assert rounded == finished + rule["trade_quarter"]
        assert rounded - exact == pytest.approx(rule["trade_error"], abs=SIX_DECIMALS)
    for example in rule.get("examples", []):
        (rounded,) = make(example["finished"]).rounded.values()
        assert rounded == example["cut"]


def test_the_amounts_are_the_published_multiples_of_any_allowance():
    rule = RULE["multiples of the allowance"]
    for allowance in ALLOWANCES:
        found = {
            HALF: (half_square(4, allowance).cut["square"] - 4) / allowance,
            FOURTH: (quarter_square(4, allowance).cut["square"] - 4) / allowance,
        }
        assert found == pytest.approx(rule["exact"], abs=SIX_DECIMALS)
        assert all(rule["trade"][unit] > multiple for unit, multiple in found.items())


def test_the_metric_trade_amounts_fall_short_of_the_exact_ones():
    rule = RULE["metric"]
    allowance = rule["allowance_cm"] * CM
    found = {
        "square": pick(cut([make_rectangle(0, 0, 10 * CM, 10 * CM)], allowance=allowance), "square").cut["side"],
        HALF: half_square(10 * CM, allowance).cut["square"],
        FOURTH: quarter_square(10 * CM, allowance).cut["square"],
    }
    exact = {"square": 1.5, HALF: (2 + ROOT2) * 0.75, FOURTH: (2 + 2 * ROOT2) * 0.75}
    for unit, inches in found.items():
        amount = inches / CM - 10
        assert amount == pytest.approx(exact[unit], abs=EXACT)
        assert amount == pytest.approx(rule["exact_cm"][unit], abs=FOUR_DECIMALS)
        assert rule["trade_cm"][unit] - amount == pytest.approx(rule["trade_error_cm"][unit], abs=FOUR_DECIMALS)


def test_metric_geese_by_the_published_example_are_cut_too_small():
    (example,) = RULE["metric"]["examples"]
    width, height = (side * CM for side in example["geese_cm"])
    cuts = cut(goose(width, height), ["goose", "sky", "sky"], 0.75 * CM, 0.1 * CM)
    large, small = pick(cuts, FOURTH), pick(cuts, HALF)
    assert large.cut["square"] / CM == pytest.approx(example["large"] + 0.1213, abs=FOUR_DECIMALS)
    assert small.cut["square"] / CM == pytest.approx(example["small"] + 0.0607, abs=FOUR_DECIMALS)
    assert large.rounded["square"] / CM == pytest.approx(13.7)
    assert small.rounded["square"] / CM == pytest.approx(7.6)


# Strips at an angle, and other shapes


@pytest.mark.parametrize("allowance", ALLOWANCES)
@pytest.mark.parametrize("height", FINISHED)
def test_a_strip_for_60_degree_triangles_is_three_allowances_wider_than_they_are_high(height, allowance):
    side = 2 * height / sqrt(3)
    piece = pick(cut([((0, 0), (side, 0), (side / 2, height))], allowance=allowance), "60° triangle")
    assert piece.cut["strip"] == pytest.approx(height + 3 * allowance, abs=EXACT)
    assert piece.cut["side"] == pytest.approx(side + 2 * sqrt(3) * allowance, abs=EXACT)


def test_the_trade_strips_for_60_degree_shapes_are_exact():
    for unit, kind in (("60° triangle", "60° triangle"), ("60° diamond", "parallelogram")):
        rule = RULE[unit]
        assert rule["trade_quarter"] == rule["exact_quarter"]
        assert rule["trade_error"] == 0
        for height in (2, 3, 4.5):
            side = 2 * height / sqrt(3)
            outline = ((0, 0), (side, 0), (side / 2, height)) if kind == unit else leaning(side, height, 60)
            piece = pick(cut([outline]), kind)
            assert piece.cut["strip"] == pytest.approx(height + rule["exact_quarter"], abs=EXACT)
            assert piece.rounded["strip"] == height + rule["trade_quarter"]
    (example,) = RULE["60° triangle"]["examples"]
    assert example["finished"] + RULE["60° triangle"]["trade_quarter"] == example["cut"]


@pytest.mark.parametrize("turn", [0, 1, 2])
def test_60_degree_triangles_are_one_piece_whichever_corner_is_given_first(turn):
    height = 3 * sqrt(3)
    down = ((6, 0), (9, height), (3, height))
    piece = pick(cut([((0, 0), (6, 0), (3, height)), down[turn:] + down[:turn]]), "60° triangle")
    assert piece.count == 2


@pytest.mark.parametrize("angle", [22.5, 30, 45, 60, 72])
@pytest.mark.parametrize("allowance", ALLOWANCES)
def test_a_parallelogram_takes_two_allowances_of_height_and_two_over_the_sine_of_edge(angle, allowance):
    for edge in (3, 5.5):
        finished_height = edge * sin(radians(angle))
        diamond = pick(cut([leaning(edge, None, angle)], allowance=allowance), "parallelogram")
        assert diamond.cut["strip"] == pytest.approx(finished_height + 2 * allowance, abs=EXACT)
        assert diamond.cut["step"] == pytest.approx(edge + 2 * allowance / sin(radians(angle)), abs=EXACT)
        long = pick(cut([leaning(edge, None, angle, base=9)], allowance=allowance), "parallelogram")
        assert long.cut["step"] == pytest.approx(9 + 2 * allowance / sin(radians(angle)), abs=EXACT)
        assert long.hand == "left"


@pytest.mark.parametrize("angle", ["30", "45", "60"])
def test_the_published_edge_amounts_of_parallelograms_hold_at_a_quarter_inch(angle):
    piece = pick(cut([leaning(4, None, float(angle))]), "parallelogram")
    assert piece.cut["step"] - 4 == pytest.approx(RULE["parallelogram"]["edge_quarter"][angle], abs=FOUR_DECIMALS)


@pytest.mark.parametrize("allowance", ALLOWANCES)
def test_a_hexagon_grows_between_its_flats_by_two_allowances(allowance):
    for side in (1, 1.5877, 3):
        (piece,) = cut([hexagon(side)], allowance=allowance).pieces
        assert piece.cut["height"] == pytest.approx(side * sqrt(3) + 2 * allowance, abs=EXACT)
        assert measure_edges(piece.outline) == pytest.approx([side + 2 * allowance / sqrt(3)] * 6, abs=EXACT)


def test_a_hexagon_of_the_published_width_has_the_published_side():
    (example,) = RULE["hexagon"]["examples"]
    (piece,) = cut([hexagon(example["side"])]).pieces
    assert piece.finished["height"] == pytest.approx(example["between_flats"], abs=FOUR_DECIMALS * sqrt(3))


@pytest.mark.parametrize("angle", [45, 60, 75])
@pytest.mark.parametrize("allowance", ALLOWANCES)
def test_the_bases_of_a_trapezoid_grow_by_the_cotangent_and_the_tangent_of_half_its_angle(angle, allowance):
    half = radians(angle) / 2
    for short, height in ((2, 1.5), (3, 4)):
        outline = trapezoid(short, height, angle)
        piece = pick(cut([outline], allowance=allowance), "trapezoid")
        assert piece.cut["strip"] == pytest.approx(height + 2 * allowance, abs=EXACT)
        assert piece.cut["long side"] == pytest.approx(width_of([outline]) + 2 * allowance / tan(half), abs=EXACT)
        assert piece.cut["short side"] == pytest.approx(short + 2 * allowance * tan(half), abs=EXACT)


@pytest.mark.parametrize("edge", [2, 3, 3.75])
def test_an_eight_pointed_star_is_two_and_root_two_diamond_edges_wide(edge):
    rule = RULE["eight-pointed star"]
    outlines, slots = eight_pointed_star(edge)
    patchwork = patchwork_from_outlines(outlines, slots)
    factor = patchwork.finished[0] / edge
    assert factor == pytest.approx(2 + ROOT2, abs=EXACT)
    assert factor == pytest.approx(rule["exact_factor"], abs=SIX_DECIMALS)
    assert rule["trade_factor"] - factor == pytest.approx(rule["trade_error"], abs=SIX_DECIMALS)
    diamonds = [piece for piece in cut(outlines, slots).pieces if piece.slot == "star"]
    assert {piece.kind for piece in diamonds} == {"parallelogram"}
    assert sum(piece.count for piece in diamonds) == 8
    for diamond in diamonds:
        assert diamond.cut["strip"] == pytest.approx(edge / ROOT2 + 0.5, abs=EXACT)
        assert diamond.cut["step"] == pytest.approx(edge + 0.5 * ROOT2, abs=EXACT)


@pytest.mark.parametrize("allowance", ALLOWANCES)
@pytest.mark.parametrize("inner", [2, 4, 6, 7.5])
def test_the_corners_of_a_square_in_a_square_come_from_its_side_over_root_two(inner, allowance):
    cuts = cut(square_in_square(inner), ["inner"] + ["corner"] * 4, allowance)
    corner = pick(cuts, HALF)
    assert corner.count == 4
    assert corner.cut["square"] == pytest.approx(inner / ROOT2 + (2 + ROOT2) * allowance, abs=EXACT)
    assert pick(cuts, "square").cut["side"] == pytest.approx(inner + 2 * allowance, abs=EXACT)


def test_the_published_squares_in_squares_are_the_rounded_ones():
    for example in RULE["square in a square"]["examples"]:
        corner = pick(cut(square_in_square(example["inner"]), ["inner"] + ["corner"] * 4), HALF)
        assert corner.rounded["square"] == example["cut"]
        if "leg_rounded_up" in example:
            assert eighth_above(example["inner"] / ROOT2) == example["leg_rounded_up"]
            assert example["leg_rounded_up"] + RULE[HALF]["trade_quarter"] == example["cut"]


# Flying geese, four at a time: the large square is cut twice, each small one once


@pytest.mark.parametrize("row", RULES["geese"]["rows"], ids=lambda row: "{} x {}".format(*row["finished"]))
def test_the_squares_for_four_geese_are_the_published_ones(row):
    width, height = row["finished"]
    cuts = cut(goose(width, height), ["goose", "sky", "sky"])
    large, small = pick(cuts, FOURTH, "goose"), pick(cuts, HALF, "sky")
    assert large.cut["square"] == pytest.approx(width + (2 + 2 * ROOT2) / 4, abs=EXACT)
    assert small.cut["square"] == pytest.approx(height + (2 + ROOT2) / 4, abs=EXACT)
    assert (large.rounded["square"], small.rounded["square"]) == (row["large"], row["small"])
    assert (large.count, small.count) == (1, 2)


@pytest.mark.parametrize("row", RULES["geese"]["oversize"], ids=lambda row: "{} x {}".format(*row["unfinished"]))
def test_the_oversize_squares_for_geese_have_small_squares_an_eighth_too_large(row):
    width, height = (side - 0.5 for side in row["unfinished"])
    cuts = cut(goose(width, height), ["goose", "sky", "sky"])
    assert row["large"] == pick(cuts, FOURTH, "goose").rounded["square"]
    assert row["small"] == pick(cuts, HALF, "sky").rounded["square"] + 0.125


# Strip sets, settings on point, diagonals


@pytest.mark.parametrize("row", RULES["strip_sets"]["rows"], ids=lambda row: f"{row['n']} of {row['w']}")
def test_a_strip_set_sews_to_the_published_width(row):
    outlines = row_of_strips(row["n"], row["w"] - 0.5, 18)
    patchwork = patchwork_from_outlines(outlines)
    assert patchwork.finished[0] + 0.5 == pytest.approx(row["sewn"], abs=EXACT)
    piece = pick(cut(outlines), "rectangle")
    assert (piece.count, piece.rounded["width"]) == (row["n"], row["w"])


def test_blocks_on_point_take_the_published_number_of_squares_and_triangles():
    for row in RULES["on_point"]["rows"]:
        n, m = row["blocks"]
        cuts = cut(*on_point(n, m, 6))
        found = pick(cuts, "square").count, pick(cuts, FOURTH, "side").count, pick(cuts, HALF, "corner").count
        assert found == (row["squares"], row["sides"], row["corners"])


@pytest.mark.parametrize(("n", "m"), [(1, 1), (1, 4), (2, 2), (3, 5), (6, 4)])
def test_blocks_on_point_are_counted_by_the_published_rule(n, m):
    block = 4.5
    outlines, slots = on_point(n, m, block)
    counts = dict.fromkeys(["block", "side", "corner"], 0)
    for piece in cut(outlines, slots).pieces:
        counts[piece.slot] += piece.count
    assert counts == {"block": n * m + (n - 1) * (m - 1), "side": 2 * (n - 1) + 2 * (m - 1), "corner": 4}
    finished = patchwork_from_outlines(outlines, slots).finished
    assert finished == pytest.approx((m * block * ROOT2, n * block * ROOT2), abs=EXACT)


@pytest.mark.parametrize("row", read_table("setting_triangles.csv"), ids=lambda row: f"block {row['block']}")
def test_the_squares_for_setting_triangles_are_at_most_the_published_ones(row):
    block, side_printed, corner_printed, side_exact, corner_exact = (float(value) for value in row.values())
    cuts = cut(*on_point(2, 2, block))
    side, corner = pick(cuts, FOURTH, "side"), pick(cuts, HALF, "corner")
    assert side.cut["square"] == pytest.approx(block * ROOT2 + (2 + 2 * ROOT2) / 4, abs=EXACT)
    assert corner.cut["square"] == pytest.approx(block / ROOT2 + (2 + ROOT2) / 4, abs=EXACT)
    assert side.cut["square"] == pytest.approx(side_exact, abs=FOUR_DECIMALS)
    assert corner.cut["square"] == pytest.approx(corner_exact, abs=FOUR_DECIMALS)
    assert eighth_above(1.414 * block) + 1.25 == side_printed >= side.rounded["square"]
    assert eighth_above(block / 1.414) + 0.875 == corner_printed >= corner.rounded["square"]


def test_the_factor_1_414_and_root_two_part_company_at_a_block_of_16():
    row = next(row for row in read_table("setting_triangles.csv") if row["block"] == "16")
    assert eighth_above(1.414 * 16) + 1.25 == float(row["side printed"]) == 23.875
    assert eighth_above(ROOT2 * 16) + 1.25 == 24.0
    assert pick(cut(*on_point(2, 2, 16)), FOURTH, "side").rounded["square"] == 23.875


@pytest.mark.parametrize("block", RULES["diagonals"]["printed"])
def test_the_published_diagonals_are_the_nearest_eighth_and_some_of_them_are_short(block):
    # Doubt was cast on 7 1/8 for 5 in (7.071) and 19 3/4 for 14 in (19.799); both are the nearest eighth.
    printed = RULES["diagonals"]["printed"][block]
    diagonal = patchwork_from_outlines(square_in_square(float(block))).finished[0]
    assert diagonal == pytest.approx(float(block) * ROOT2, abs=EXACT)
    assert abs(printed - diagonal) <= 1 / 16
    assert round(diagonal * 8) / 8 == printed
    assert (printed < diagonal) == (block in {"4", "7", "10", "14"})


# Published cut lists of blocks


@pytest.mark.parametrize("row", RULES["block_cut_lists"]["rows"], ids=lambda row: f"{row['unit']} {row['finished']}")
def test_the_published_cut_lists_of_blocks_are_the_rounded_ones(row):
    finished = row["finished"]
    outlines = {HALF: halved_square, FOURTH: quartered_square, "square": lambda side: row_of_squares(1, side)}
    shapes = outlines[row["unit"]](finished)
    (rounded,) = pick(cut(shapes), row["unit"]).rounded.values()
    assert rounded == row["square"]
    assert patchwork_from_outlines(shapes).finished[0] + 0.5 == row["sewn"]


@pytest.mark.parametrize("row", RULES["block_cut_lists"]["strips"], ids=lambda row: f"{row['squares']} squares")
def test_the_published_strips_of_squares_are_as_long_as_the_planned_ones(row):
    blocks = [move_outline(half, 3 * k, 0) for k in range(row["squares"]) for half in halved_square(3)]
    plan = cutting_plan(cut(blocks), [Supply("patch", "yardage", 40)])
    ((strip,),) = [cloth.strips for cloth in plan.cloths]
    assert strip.height == row["square"]
    assert max(piece.x + piece.width for piece in strip.cuts) == row["length"]
    assert sum(piece.count for piece in strip.cuts) == 2 * row["squares"]
