"""Settings on point and shifted rows, as the families make them, against published charts and worked cases."""

from collections import Counter
from math import sqrt

import pytest
from published_tables import pick, read_table
from strategies import Case

from kit.checks.cut_list_check import check_cut_list
from kit.explore.gallery import make_example
from kit.geometry.outlines import measure_box, offset_outline
from kit.lengths import round_up
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ROOT2 = sqrt(2)
CHART = read_table("setting_triangles.csv")


def set_on_point(block, columns=2, rows=2, allowance="1/4 in", **point):
    """Return the checked cut list of plain squares on point."""
    keys = {
        "family": "grid blocks", "columns": columns, "rows": rows, "pattern": ["block"],
        "cell_finished": f"{block} in", "on_point": {"side_slot": "side", "corner_slot": "corner"} | point,
    }  # fmt: skip
    patchwork = Case(keys, allowance).build().verify()
    cuts = cut_list(patchwork)
    check_cut_list(patchwork, cuts)
    return cuts


def triangles(cuts):
    return pick(cuts, "quarter-square triangle", "side"), pick(cuts, "half-square triangle", "corner")


@pytest.mark.parametrize("row", CHART, ids=lambda row: f"block {row['block']}")
def test_the_triangles_of_the_setting_are_those_of_the_published_chart(row):
    side, corner = triangles(set_on_point(row["block"]))
    assert side.cut["square"] == pytest.approx(float(row["side exact"]), abs=5e-5)
    assert corner.cut["square"] == pytest.approx(float(row["corner exact"]), abs=5e-5)
    assert side.cut["square"] <= float(row["side printed"])
    assert corner.cut["square"] <= float(row["corner printed"])


def test_the_chart_takes_1_414_and_so_prints_an_eighth_less_than_root_two_at_a_block_of_16():
    row = next(row for row in CHART if row["block"] == "16")
    chart, exact_factor = (round_up(16 * factor, 0.125) + 1.25 for factor in (1.414, ROOT2))
    assert (chart, exact_factor) == (23.875, 24)
    assert float(row["side printed"]) == chart
    (side, _) = triangles(set_on_point("16"))
    assert side.rounded["square"] == 23.875


@pytest.mark.parametrize("extra", ["float_finished", "oversize"])
@pytest.mark.parametrize("e", [0.25, 0.5, 1])
def test_a_float_or_oversize_of_e_adds_2_e_to_the_squares_of_both_triangles(extra, e):
    cuts = set_on_point("9", 1, 2, **{extra: f"{e} in"})
    side = pick(cuts, "quarter-square triangle", "side")
    corners = [(piece.cut["square"], piece.count) for piece in cuts.pieces if piece.slot == "corner"]
    exact = 9 / ROOT2 + (2 + ROOT2) / 4
    assert side.cut["square"] == pytest.approx(9 * ROOT2 + (2 + 2 * ROOT2) / 4 + 2 * e)
    if extra == "float_finished":
        assert corners == [(pytest.approx(exact + 2 * e), 4)]
    else:
        assert corners == [(pytest.approx(exact + 2 * e), 2), (pytest.approx(exact), 2)]


def test_four_by_five_blocks_on_point_take_32_squares_14_side_and_4_corner_triangles():
    cuts = set_on_point("8", 4, 5)
    side, corner = triangles(cuts)
    assert (pick(cuts, "square").count, side.count, corner.count) == (32, 14, 4)


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (1, 4), (2, 2), (3, 5), (6, 4)])
def test_blocks_on_point_are_counted_by_the_published_rule(columns, rows):
    counts = Counter()
    for piece in set_on_point("8", columns, rows).pieces:
        counts[piece.slot] += piece.count
    squares, sides = columns * rows + (columns - 1) * (rows - 1), 2 * (columns + rows) - 4
    assert counts == Counter({"block": squares, "side": sides, "corner": 4})


@pytest.mark.parametrize(
    ("block", "side", "side_up", "corner", "corner_up"),
    [("7", 11.107, 11.125, 5.803, 5.875), ("6 1/2", 10.399, 10.5, 5.450, 5.5)],
    ids=["7 in finished", "7 in unfinished"],
)
def test_w07_the_setting_reads_7_inches_as_finished(block, side, side_up, corner, corner_up):
    sides, corners = triangles(set_on_point(block))
    assert (sides.cut["square"], corners.cut["square"]) == pytest.approx((side, corner), abs=0.0005)
    assert (sides.rounded["square"], corners.rounded["square"]) == (side_up, corner_up)


@pytest.mark.parametrize("finished", [4, 7, 12])
def test_w08_a_square_of_the_finished_size_and_a_half_halved_is_0_354_short_and_loses_the_points(finished):
    cut = finished + 0.5
    left, bottom, right, _ = measure_box(offset_outline(((0, 0), (cut, 0), (0, cut)), -0.25))
    assert right - left == pytest.approx(finished - 0.354, abs=0.0005)
    wanted = triangles(set_on_point(str(finished)))[0]
    legs = wanted.finished["square"] / ROOT2
    assert legs == pytest.approx(finished)
    assert (legs - (right - left)) / ROOT2 == pytest.approx(0.25)
    assert bottom == 0.25


def test_w08_halving_the_squares_of_the_side_triangles_puts_their_bias_outside():
    straight, halved = set_on_point("7"), set_on_point("7", side_cut="half-square")
    assert sum(piece.outside_bias for piece in straight.pieces) == 0
    assert sum(piece.outside_bias for piece in halved.pieces if piece.slot == "side") == 4


@pytest.mark.parametrize(
    ("point", "edges"), [({}, 0), ({"side_cut": "half-square"}, 4), ({"corner_cut": "quarter-square"}, 8)]
)
def test_w08_a_choice_that_puts_bias_outside_is_warned_of_with_what_to_do(point, edges):
    warned = [
        said
        for said in make_example("pinwheel", {"columns": 2, "rows": 2, "on_point": point}).warnings
        if "bias" in said
    ]
    told = f"{edges} bias edges lie on the outside of the top: stay-stitch them before they stretch"
    assert warned == ([told] if edges else [])


def test_w13_rows_of_whole_blocks_and_of_parts_at_both_ends_add_up():
    keys = {
        "family": "grid blocks", "columns": 9, "rows": 15, "pattern": ["block"], "cell_finished": "3 in",
        "column_widths": [3], "row_heights": [2], "offset": {"shifts": ["whole", "3 in", "6 in"], "slot": "part"},
    }  # fmt: skip
    patchwork = Case(keys, "1/4 in").build().verify()
    counts = Counter(patch.slot for patch in patchwork.patches)
    assert patchwork.finished == (81, 90)
    assert counts == {"block": 45 + 40 + 40, "part": 20}
    assert rehearse(cut_list(patchwork), sewing_plan(patchwork)).agrees
