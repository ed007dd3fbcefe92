"""Every worked case and every published table that fits, through `kit.sums` alone: text in, text out, one call each.

The sources stand at the head of each table of `data/published`. Rows that no sum answers are listed with the reason.
"""

import json
import re
from math import pi, tan

import pytest
from published_tables import DATA, read_table

from kit import sums

RULES = json.loads((DATA / "cut_size_rules.json").read_text(encoding="utf-8"))
THREAD = json.loads((DATA / "thread_consumption.json").read_text(encoding="utf-8"))


def plain(answer):
    return re.sub(r"\s", " ", str(answer))


# worked cases: case, call, figures, a phrase of the answer in words

CASES = [
    (
        "W01",
        lambda: sums.squares("5 in", out_of="1 yd", width="42 in"),
        {"squares": 56, "across": 8, "down": 7},
        "56 squares",
    ),
    ("W01", lambda: sums.squares("5 in", out_of="1 yd", width="40 in"), {"squares": 56}, "By area it would be 57"),
    (
        "W02",
        lambda: sums.squares("3 in", count="774", width="42 in"),
        {"per strip": 14, "strips": 56, "cloth": 168},
        "56 strips",
    ),
    (
        "W02",
        lambda: sums.squares("3 in", count="774", width="41 in"),
        {"per strip": 13, "strips": 60, "cloth": 180},
        "60 strips",
    ),
    (
        "W02",
        lambda: sums.squares("3 in", count="774", width="40 in"),
        {"strips": 60, "cloth": 180, "total": 181},
        "181 in",
    ),
    (
        "W03",
        lambda: sums.strip_sets("5 of 2 1/2 in", "10 1/2 in", "42", on_hand="40", width="40 in"),
        {"per set": 3, "sets": 14, "strips": 70, "from hand": 24, "finished": 10},
        "not enough",
    ),
    (
        "W03",
        lambda: sums.strip_sets("5 of 2 1/2 in", "10 1/2 in", "42", on_hand="40", width="42 in"),
        {"per set": 4, "sets": 11, "strips": 55, "from hand": 32, "left": 0},
        "Nothing is left of a set",
    ),
    (
        "W04",
        lambda: sums.geese(unfinished="4 1/2 x 2 1/2 in"),
        {"width": 4, "height": 2, "large": 5.207, "small": 2.854, "large cut": 5.25, "small cut": 2.875},
        "5¼ in (exact 5.207 in)",
    ),
    (
        "W05",
        lambda: sums.half_squares(unfinished="3 1/2 in"),
        {"four at a time": 5.450, "four at a time, cut": 5.5},
        "every outer edge lies on the bias",
    ),
    ("W05", lambda: sums.half_squares(square="5 1/4 in"), {"four at a time": 3.359 - 0.5}, "unfinished 3.3588 in"),
    (
        "W06",
        lambda: sums.half_squares(unfinished="7 1/2 in"),
        {"finished": 7, "eight at a time": 15.707, "eight at a time, cut": 15.75},
        "15¾ in",
    ),
    (
        "W07",
        lambda: sums.setting_triangles("7 in"),
        {"side": 11.107, "side cut": 11.125, "corner": 5.803, "corner cut": 5.875},
        "11⅛ in",
    ),
    (
        "W07",
        lambda: sums.setting_triangles(unfinished="7 in"),
        {"side": 10.399, "side cut": 10.5, "corner": 5.450, "corner cut": 5.5},
        "10½ in",
    ),
    ("W08", lambda: sums.halved_block("6 in"), {"short": 0.354, "points": 0.25}, "cuts ¼ in off each point"),
    ("W08", lambda: sums.halved_block("12 in"), {"short": 0.354, "points": 0.25}, "whatever the size"),
    (
        "W09",
        lambda: sums.equal_strips("12 in", "7"),
        {
            "cut": 2.214,
            "wide strips": 5,
            "wide": 2.25,
            "narrow strips": 2,
            "narrow": 2.125,
            "all wide": 12.25,
            "below": 10.5,
            "above": 14,
        },
        "5 of 2¼ in and 2 of 2⅛ in make 12 in",
    ),
    (
        "W10",
        lambda: sums.frame("4 in", "3 in", way="whirl"),
        {"long": 7, "block": 10, "partial seams": 1},
        "mirror image",
    ),
    (
        "W11",
        lambda: sums.frame("4 in", "3 in", way="butted"),
        {"short": 4, "long": 10, "partial seams": 0},
        "short ones are sewn first",
    ),
    ("W12", lambda: sums.colour_limit("6", "7"), {"most": 21}, "At most 21"),
    ("W12", lambda: sums.colour_limit("6", "7", corners="may not"), {"most": 12}, "At most 12"),
    (
        "W13",
        lambda: sums.rows_of("9 of 9 in / 3 in, 8 of 9 in, 6 in / 6 in, 8 of 9 in, 3 in", "6 in", times="5"),
        {"width": 81, "height": 90, "blocks": 125, "parts": 20, "agree": True},
        "81 in by 90 in",
    ),
    ("W14", lambda: sums.join_cost("8 in"), {"lost": 0.5}, "½ in"),
    ("W14", lambda: sums.join_cost("8 in", join="diagonal"), {"lost": 8}, "8 in"),
    (
        "W15",
        lambda: sums.border_length("41 1/2, 42, 42 1/2 in"),
        {"length": 42, "ease": 0.5, "share": 0.012, "per quarter": 0.125},
        "1.2 % of the edge: ⅛ in between quarter marks",
    ),
    (
        "W16",
        lambda: sums.borders("40 x 50 in", "5 in"),
        {
            "upright": 50.5,
            "level": 50.5,
            "strips": 6,
            "cut": 5.5,
            "across": 33,
            "buy across": 36,
            "along": 50.5,
            "buy along": 54,
        },
        "buy 1 yd",
    ),
    (
        "W17",
        lambda: sums.backing("80 x 56 in", overhang="0 in", width="40 in"),
        {"lengthwise": 168, "needed": (80, 56)},
        "3 panels, 2 seams, 168 in: buy 4¾ yd",
    ),
    (
        "W18",
        lambda: sums.backing("60 x 80 in"),
        {
            "needed": (68, 88),
            "way": "lengthwise",
            "widths": 2,
            "covers": (79, 88),
            "cloth": 176,
            "to buy": 180,
            "crosswise": 204,
        },
        "176 in: buy 5 yd",
    ),
    (
        "W19",
        lambda: sums.binding("51 x 61 in", cut="2 1/2 in", width="40 in"),
        {"needed": 236, "strips": 7, "fewer give": 227.5},
        "6 strips give 227½ in, too short",
    ),
    (
        "W20",
        lambda: sums.bias_strips("31 in", "20 in", "2 1/2 in"),
        {"strips": 5, "length": pytest.approx(43.8, abs=0.05), "step": 3.536},
        "5 strips",
    ),
    (
        "W21",
        lambda: sums.shrink(after="90 in", loss="5 %"),
        {"before": pytest.approx((94.74, 94.74), abs=0.005)},
        "adding 5 % would give 94½ in",
    ),
    ("W22", lambda: sums.cut_size("10 cm", kind="half-square"), {"added": 2.561 / 2.54}, "cm"),
    ("W22", lambda: sums.cut_size("10 cm", kind="quarter-square"), {"added": 3.621 / 2.54}, "cm"),
    ("W23", lambda: sums.quilting_gap("2 in", "3 in"), {"passes": True}, "holds"),
    ("W23", lambda: sums.quilting_gap("5 in", "3 in"), {"passes": False}, "too wide"),
    ("W23", lambda: sums.quilting_gap("5 in", "8 in"), {"passes": True}, "holds"),
    ("W24", lambda: sums.seam("4 of 1 1/2 in", "4 3/8 in"), {"allowance": 0.2708, "expected": 4.5}, "too deep"),
    (
        "W25",
        lambda: sums.row_drift("12, 3", "1/32 in"),
        {"short": pytest.approx((0.69, 0.125), abs=0.005), "apart": pytest.approx(0.56, abs=0.005)},
        "apart at the end",
    ),
    ("braid 1", lambda: sums.braid("2 1/2 in"), {"pair": 2.828}, "2.8284 in"),
    (
        "braid 2",
        lambda: sums.braid("2 1/2 in", cut_length="6 1/2 in"),
        {"column": pytest.approx(6.92, abs=0.005)},
        "6.92",
    ),
]


@pytest.mark.parametrize(("case", "ask", "figures", "phrase"), CASES, ids=[f"{c[0]}-{k}" for k, c in enumerate(CASES)])
def test_a_worked_case_is_one_call(case, ask, figures, phrase):
    answer = ask()
    for name, value in figures.items():
        found = answer[name]
        # answers are printed to three places; those printed to fewer say so in the table
        assert found == value or found == pytest.approx(value, abs=0.0006), f"{case}: {name} is {found}, not {value}"
    assert phrase in plain(answer)


def test_every_worked_case_is_asked():
    rows = read_table("worked_cases.csv")
    assert {row["case"] for row in rows} == {case for case, *_ in CASES}


def test_w17_two_widths_cover_79_and_are_enough_from_40_and_a_half():
    on = {
        width: sums.backing("80 x 56 in", overhang="0 in", width=width, one_way=True)
        for width in ("40 in", "40 1/2 in")
    }
    assert (on["40 in"]["widths"], on["40 in"]["enough from"]) == (3, 40.5)
    assert "cover 79 in" in plain(on["40 in"])
    assert on["40 1/2 in"]["widths"] == 2


# cloth


@pytest.mark.parametrize("row", read_table("yardage_counts.csv"), ids=lambda row: f"{row['what']} {row['size']}")
def test_the_counted_number_of_each_chart(row):
    cut, length, width = (f"{row[key]} in" for key in ("size", "length", "width"))
    if row["what"] == "squares":
        answer = sums.squares(cut, out_of=f"{width} x {length}")
    else:
        answer = sums.strips(cut, out_of=length, width=width)
    assert answer[row["what"]] == int(row["counted"])
    assert f"{int(row['counted'])} {row['what']}" in plain(answer)


@pytest.mark.parametrize("row", read_table("setting_triangles.csv"), ids=lambda row: row["block"])
def test_the_chart_of_setting_triangles(row):
    answer = sums.setting_triangles(f"{row['block']} in")
    assert answer["side"] == pytest.approx(float(row["side exact"]), abs=5e-5)
    assert answer["corner"] == pytest.approx(float(row["corner exact"]), abs=5e-5)
    assert answer["side cut"] <= float(row["side printed"])
    assert answer["corner cut"] <= float(row["corner printed"])


@pytest.mark.parametrize("row", read_table("bed_drop_table.csv"), ids=lambda row: row["bed"])
def test_the_table_of_drops(row):
    mattress = f"{row['mattress_w_in']} x {row['mattress_l_in']} in"
    comforter = sums.bed(mattress, drop="14 in")
    spread = sums.bed(mattress, drop="21 in", tuck="12 in")
    assert (comforter["width"], comforter["length"]) == (float(row["comforter_w"]), float(row["comforter_l"]))
    assert (spread["width"], spread["length"]) == (float(row["bedspread_w"]), float(row["bedspread_l"]))


NO_PACKAGE = {
    "king batting package (alt)": "another maker's king: the kit knows the one of 120 x 120",
    "full batting package (alt)": "another maker's full: the kit knows the one of 81 x 96",
    "full-size crib interior (nominal)": "the inside of a crib, not a mattress",
}
SIZES = [row for row in read_table("bed_batting_sizes.csv") if row["item"] not in NO_PACKAGE]


@pytest.mark.parametrize("row", SIZES, ids=lambda row: row["item"])
def test_the_beds_and_packages(row):
    item, size = row["item"], (float(row["width"]), float(row["length"]))
    if item.endswith(" batting package"):
        answer = sums.batting(f"{row['width']} x {row['length']} in", overhang="0 in")
        assert (answer["package"], answer["size"]) == (item.removesuffix(" batting package"), size)
    else:
        unit = 2.54 if item.endswith(" (cm)") else 1
        answer = sums.bed(item.removesuffix(" mattress").removesuffix(" (cm)"), drop="0 in")
        assert answer["mattress"] == pytest.approx((size[0] / unit, size[1] / unit))


SHORT = {("220", "1.5"), ("340", "1.5"), ("110", "2.5"), ("480", "1.5")}
"""Squares of the chart that do not give their length by whole strips, with 1/4 in seams: see its head."""


@pytest.mark.parametrize(
    "row", read_table("bias_binding_squares.csv"), ids=lambda row: "-".join(list(row.values())[:2])
)
def test_the_chart_of_bias_squares(row):
    needed, strip = row["binding_length_in"], row["strip_width_in"]
    answer = sums.bias_square(square=f"{row['square_in_printed']} in", strip=f"{strip} in")
    assert answer["area length"] == pytest.approx(float(row["length_from_printed_square_in"]), abs=0.06)
    assert (answer["length"] < float(needed)) == ((needed, strip) in SHORT)
    least = sums.bias_square(f"{needed} in", f"{strip} in")
    assert least["area square"] == pytest.approx(float(row["square_in_area_minimum"]), abs=0.006)
    assert least["length"] >= float(needed)


# worked examples of yardage: each row by its topic and inputs

EXAMPLES = {
    ("straight binding", "40 x 50"): lambda: [
        (sums.strips("2 1/2 in", total="180 in", join="straight"), {"strips": 5, "cloth": 12.5}),
        (sums.binding("40 x 50 in", cut="2 1/2 in"), {"around": 180, "strips": 6}),
    ],
    ("straight binding", "50 x 60"): lambda: [
        (sums.strips("2 1/2 in", total="220 in", join="straight"), {"strips": 6})
    ],
    ("straight binding", "54 x 60"): lambda: [
        (sums.strips("2 1/2 in", total="238 in", join="straight", width="42 in"), {"strips": 6})
    ],
    ("bias binding square", "51 x 61"): lambda: [(sums.bias_square("244 in", "2 1/2 in"), {"area square": 24.698})],
    ("backing, single width", "40 x 45"): lambda: [
        (sums.backing("40 x 45 in", overhang=over, width="46 in"), {"cloth": cloth, "to buy": 54, "widths": 1})
        for over, cloth in (("2 in", 49), ("3 in", 51))
    ],
    ("batting", "60 x 72"): lambda: [(sums.batting("60 x 72 in"), {"needed": (68, 80)})],
    ("precut squares", "5 in"): lambda: [
        (sums.squares("5 in", count="8"), {"per strip": 8, "cloth": 5}),
        (sums.squares("10 in", count="4"), {"per strip": 4, "cloth": 10}),
    ],
    ("precut strips", "20 strips"): lambda: [(sums.strips("2 1/2 in", count="4"), {"cloth": 10, "to buy": 13.5})],
    ("seam error", "48 in border"): lambda: [(sums.row_drift("24, 1", "1/32 in"), {"apart": 1.4375})],
}
UNFIT = {
    "backing, bed sizes": "names no size of quilt; a range only",
    "fat quarter": "areas of 18 x 21 and 9 x 42 in: cloth is never counted by area",
    "square inches per yard": "areas: cloth is never counted by area",
}


@pytest.mark.parametrize(
    "row", read_table("yardage_worked_examples.csv"), ids=lambda row: row["topic"] + row["inputs"][:8]
)
def test_the_worked_examples_of_yardage(row):
    if row["topic"] in UNFIT:
        assert not [key for key in EXAMPLES if key[0] == row["topic"]]
        return
    (key,) = [key for key in EXAMPLES if key[0] == row["topic"] and row["inputs"].startswith(key[1])]
    for answer, figures in EXAMPLES[key]():
        for name, value in figures.items():
            assert answer[name] == pytest.approx(value, abs=0.0005), name


# cut sizes

ROOT2 = 2**0.5


def ask_rule(unit, example):
    """Return the exact cut of an example of a rule, and what the rule's own table prints."""
    size = example.get("finished", example.get("inner"))
    if unit == "60° triangle":
        return sums.triangles(f"{size} in", kind="60")["cut"], example["cut"]
    if unit == "square in a square":
        return sums.square_in_square(inner=f"{size} in")["corner"], example["cut"]
    if unit == "hexagon":
        return sums.hexagons(across=f"{example['between_flats']} in")["side"], example["side"]
    kind = {"half-square triangle": "half-square", "quarter-square triangle": "quarter-square"}[unit]
    return sums.cut_size(f"{size} in", kind=kind)["cut"], example["cut"]


PRINTED = [
    (rule["unit"], example)
    for rule in RULES["rules"]
    for example in rule.get("examples", ())
    if rule["unit"] != "metric"
]


@pytest.mark.parametrize(("unit", "example"), PRINTED, ids=lambda value: str(value)[:40])
def test_the_examples_of_the_rules_of_cut_sizes(unit, example):
    exact, printed = ask_rule(unit, example)
    if unit == "hexagon":
        assert exact == pytest.approx(printed, abs=5e-5)
    else:  # the trade rounds up: never below, a quarter of an inch above at most ("leg rounded up" of one source)
        assert -1e-9 <= printed - exact <= 0.25


@pytest.mark.parametrize(
    ("call", "amount"),
    [
        (lambda: sums.cut_size("3 in")["added"], 0.5),
        (lambda: sums.cut_size("3 in", kind="half-square")["added"], 0.853553),
        (lambda: sums.cut_size("3 in", kind="quarter-square")["added"], 1.207107),
        (lambda: sums.cut_size("3 in", kind="half-square", allowance="1 in")["added"], 3.414214),
        (lambda: sums.cut_size("3 in", kind="quarter-square", allowance="1 in")["added"], 4.828427),
        (lambda: sums.cut_size("10 cm")["added"] * 2.54, 1.5),
        (lambda: sums.cut_size("10 cm", kind="half-square")["added"] * 2.54, 2.5607),
        (lambda: sums.cut_size("10 cm", kind="quarter-square")["added"] * 2.54, 3.6213),
        (lambda: sums.triangles("3 in", kind="60")["cut"] - 3, 0.75),
        (lambda: sums.diamonds("3 in", angle="60")["strip"] - 3, 0.5),
        (lambda: sums.diamonds("3 in", angle="45")["step"] - sums.diamonds("3 in", angle="45")["side"], 0.7071),
        (lambda: sums.diamonds("3 in", angle="60")["step"] - sums.diamonds("3 in", angle="60")["side"], 0.5774),
        (lambda: sums.diamonds("3 in", angle="30")["step"] - sums.diamonds("3 in", angle="30")["side"], 1.0),
        (lambda: sums.diamonds("3 in", angle="45")["star"] / sums.diamonds("3 in", angle="45")["side"], 3.414214),
    ],
)
def test_the_exact_amounts_of_the_rules(call, amount):
    assert call() == pytest.approx(amount, abs=5e-5)


NOT_ASKED = {
    "trapezoid": "no sum cuts a trapezoid but the wedge of a wheel, which is tested by its own table of angles"
}


def test_every_rule_is_asked_or_has_its_reason():
    asked = {unit for unit, _ in PRINTED}
    asked |= {"square", "metric", "multiples of the allowance", "60° diamond", "parallelogram", "eight-pointed star"}
    assert {rule["unit"] for rule in RULES["rules"]} == asked | set(NOT_ASKED)


def test_the_wedge_of_a_wheel_is_the_trapezoid_of_the_rule():
    wedge = sums.wheels("20", "16 in", hole="4 in")
    (rule,) = [rule for rule in RULES["rules"] if rule["unit"] == "trapezoid"]
    assert (
        "cot(A/2)" in rule["exact"]
    )  # long base + 2a·cot(A/2), short base + 2a·tan(A/2), with A = 81° at the long base
    base = tan(pi / 20)
    half = tan((90 - 9) / 2 * pi / 180)
    assert wedge["wide"] == pytest.approx(16 * base + 0.5 / half)
    assert wedge["narrow"] == pytest.approx(4 * base + 0.5 * half)


@pytest.mark.parametrize("row", RULES["geese"]["rows"], ids=lambda row: str(row["finished"]))
def test_the_tables_of_geese(row):
    answer = sums.geese(f"{row['finished'][0]} x {row['finished'][1]} in")
    assert (answer["large cut"], answer["small cut"]) == (row["large"], row["small"])


@pytest.mark.parametrize("row", RULES["geese"]["oversize"], ids=lambda row: str(row["unfinished"]))
def test_the_geese_that_are_trimmed_have_small_squares_an_eighth_larger(row):
    answer = sums.geese(unfinished=f"{row['unfinished'][0]} x {row['unfinished'][1]} in")
    assert (answer["large cut"], answer["small cut"] + 0.125) == (row["large"], row["small"])


@pytest.mark.parametrize("row", RULES["strip_sets"]["rows"], ids=lambda row: str(row["n"]))
def test_the_widths_of_strip_sets(row):
    assert sums.strip_sets(f"{row['n']} of {row['w']} in", "3 in", "4")["sewn"] == row["sewn"]


@pytest.mark.parametrize("row", RULES["on_point"]["rows"], ids=str)
def test_the_counts_on_point(row):
    answer = sums.on_point(str(row["blocks"][0]), str(row["blocks"][1]), "6 in")
    assert (answer["blocks"], answer["sides"], answer["corners"]) == (row["squares"], row["sides"], row["corners"])


@pytest.mark.parametrize(("block", "printed"), RULES["diagonals"]["printed"].items())
def test_the_diagonals_are_printed_to_the_nearest_eighth(block, printed):
    assert sums.on_point("1", "1", f"{block} in")["diagonal"] == pytest.approx(printed, abs=1 / 16)


@pytest.mark.parametrize("row", RULES["block_cut_lists"]["rows"], ids=str)
def test_the_cut_lists_of_three_blocks(row):
    kinds = {"half-square triangle": sums.half_squares, "quarter-square triangle": sums.quarter_squares}
    if row["unit"] in kinds:
        answer = kinds[row["unit"]](f"{row['finished']} in")
        assert (answer["one by one, cut"], answer["unfinished"]) == (row["square"], row["sewn"])
    else:
        assert sums.cut_size(f"{row['finished']} in")["cut"] == row["square"]


@pytest.mark.parametrize("row", RULES["block_cut_lists"]["strips"], ids=str)
def test_the_strips_of_those_blocks(row):
    cut, length = f"{row['square']} in", f"{row['length']} in"
    assert sums.squares(cut, out_of=f"{length} x {cut}")["squares"] == row["squares"]


# thread


@pytest.mark.parametrize("example", THREAD["examples"], ids=lambda example: str(example["type"]))
def test_the_examples_of_the_thread_formula(example):
    constant = {101: 3, 301: 2, 401: 4}[example["type"]]
    answer = sums.thread("100 in", thickness=f"{example['T']} in", stitches=str(example["S"]), constant=str(constant))
    assert answer["per inch"] == pytest.approx(example["C"])


@pytest.mark.parametrize(("thickness", "printed"), list(THREAD["chart_401_8_stitches_per_inch"].items()))
def test_the_chart_of_the_sister_stitch(thickness, printed):
    assert sums.thread("100 in", thickness=f"{thickness} in", stitches="8", constant="4")["per inch"] == pytest.approx(
        printed
    )


def test_the_worked_example_with_a_test_piece():
    work = THREAD["worked"]
    piece = f"1, {work['needle_factor']}, {work['looper_factor']} in"
    answer = sums.thread(f"{work['seam_in']} in", test_piece=piece, waste="15 %")
    # the source rounds the seam to 1.17 yd first, so its figures are a third of a hundredth larger
    assert answer["total"] / 36 == pytest.approx(work["with_15_percent"], abs=0.02)
