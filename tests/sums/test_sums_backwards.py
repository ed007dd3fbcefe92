"""Every sum that can be turned round answers backwards; every answer has working, assumptions and a picture."""

from itertools import count
from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit import KitError, sums
from kit.sums.question_list import GROUPS, ask_sum, list_quick_sums

ROOT2 = sqrt(2)
BACKWARDS = {
    "squares": "out_of", "rectangles": "out_of", "strips": "out_of", "strip_sets": "on_hand", "precuts": "count",
    "cut_size": "cut", "half_squares": "square", "quarter_squares": "square", "geese": "large",
    "half_rectangles": "rectangle", "square_in_square": "inner", "triangles": "cut", "resize": "to",
    "diamonds": "strip", "hexagons": "strip", "octagons": "square", "kites": "sizes", "wheels": "strip",
    "setting_triangles": "square", "on_point": "top", "frame": "block", "equal_strips": "cut", "braid": "column",
    "bed": "quilt", "borders": "remnant", "backing": "cloth", "batting": "package", "binding": "strips_on_hand",
    "bias_square": "square", "bias_strips": "total", "scallops": "binding", "round_edge": "square", "shrink": "after",
    "row_drift": "apart", "thread": "spools", "work_time": "hours", "quote": "price", "break_even": "sold",
}  # fmt: skip
"""Sum -> the field by which it is asked backwards."""
ONE_WAY = {
    "halved_block": "tells why a common shortcut fails", "rows_of": "adds up what is there",
    "colour_limit": "a limit: no count of it gives one grid", "border_length": "one length from measurements",
    "join_cost": "a strip's join has one cost", "quilting_gap": "compares two given figures",
    "seam": "goes back from the measured set already", "slip": "goes back from the wrong size already",
    "unequal": "goes back from measured widths already",
}  # fmt: skip


def test_every_sum_turns_round_or_has_its_reason():
    fields = {question.name: {field.name for field in question.fields} for question in list_quick_sums()}
    assert set(fields) == set(BACKWARDS) | set(ONE_WAY)
    assert all(field in fields[name] for name, field in BACKWARDS.items())


@pytest.mark.parametrize("name", [sum_.__name__ for group in GROUPS.values() for sum_ in group])
def test_every_answer_has_its_working_what_it_assumes_and_a_picture(name):
    (question,) = [one for one in list_quick_sums() if one.name == name]
    answer = ask_sum(name, **question.example)
    assert answer.working
    assert answer.assumes
    assert answer.drawing is not None
    left, bottom, right, top = answer.drawing.box
    points = [point for polygon in answer.drawing.polygons for point in polygon.points]
    assert points
    slack = 0.02 * max(right - left, top - bottom)
    assert all(left - slack <= x <= right + slack and bottom - slack <= y <= top + slack for x, y in points)


# each against a formula of its own, not that of the sum


@settings(max_examples=25, deadline=None)
@given(st.integers(18, 80))
def test_what_triangles_of_a_cut_finish(eighths):
    cut = eighths / 8
    assert sums.triangles(cut=cut, kind="60")["finished"] == pytest.approx(cut - 0.75)
    assert sums.triangles(cut=cut, kind="half-square")["finished"] == pytest.approx(cut - (2 + ROOT2) / 4)
    assert sums.triangles(cut=cut, kind="quarter-square")["finished"] == pytest.approx(cut - (1 + ROOT2) / 2)


@settings(max_examples=25, deadline=None)
@given(st.integers(8, 24), st.integers(6, 20), st.floats(0.3, 0.8))
def test_a_cut_kite_finishes_what_was_grown(long, wide, part):
    forth = sums.kites(long, wide, part * long)
    back = sums.kites(forth["length"], forth["width"], forth["shoulder"], sizes="cut")
    assert (back["finished length"], back["finished width"]) == pytest.approx((long, wide), abs=1e-6)


@settings(max_examples=15, deadline=None)
@given(st.integers(5, 12).map(lambda n: n / 4), st.integers(8, 30).map(lambda n: n / 2))
def test_the_rectangles_of_a_braid_by_the_formula_of_its_column(strip, column):
    s = strip - 0.5
    length = sums.braid(strip, column=column)["cut length"]
    assert (2 * (length - 0.25) - s) / ROOT2 - 0.5 == pytest.approx(column, abs=1e-6)


@settings(max_examples=15, deadline=None)
@given(st.integers(3, 12), st.integers(20, 70), st.integers(20, 70))
def test_blocks_on_point_that_fill_a_top(block, wide, high):
    across = block * ROOT2
    answer = sums.on_point(block=block, top=(wide, high))
    assert (answer["columns"], answer["rows"]) == (int(wide / across + 1e-9), int(high / across + 1e-9))
    assert answer["width"] <= wide + 1e-6
    assert answer["width"] > wide - across


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 12), st.integers(1, 10), st.integers(2, 12))
def test_frames_and_equal_strips_fill_their_block(centre, strip, many):
    assert sums.frame(centre, block=centre + 2 * strip)["strip"] == pytest.approx(strip)
    assert sums.equal_strips(cut=strip, count=many)["block"] == pytest.approx(many * (strip - 0.5))


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 30), min_size=2, max_size=5), st.integers(1, 16))
def test_the_seam_error_of_rows_that_lie_apart(counts, sixty_fourths):
    if max(counts) == min(counts):
        with pytest.raises(KitError, match="equally many"):
            sums.row_drift(counts, apart="1/2 in")
        return
    off = sixty_fourths / 64
    apart = sums.row_drift(counts, off)["apart"]
    assert apart == 0 or sums.row_drift(counts, apart=apart)["off"] == pytest.approx(off)


@settings(max_examples=20, deadline=None)
@given(st.integers(12, 34), st.sampled_from(["1 3/8 in", "2 1/4 in", "2 1/2 in"]))
def test_a_square_binds_the_round_quilt_that_it_says(side, strip):
    answer = sums.round_edge(square=side, strip=strip)
    assert pi * answer["across"] + 12 == pytest.approx(sums.bias_square(square=side, strip=strip)["length"])
    assert sums.round_edge(answer["across"] - 0.01, strip=strip)["square"] <= side


@settings(max_examples=20, deadline=None)
@given(st.integers(10, 42), st.integers(40, 900), st.sampled_from([1.5, 2.25, 2.5]))
def test_the_edge_for_bias_strips_is_the_least(width, total, strip):
    edge = sums.bias_strips(width, total=total, strip=strip)["edge"]
    assert sums.bias_strips(width, edge + 1e-6, strip)["total"] >= total - 1e-6
    assert edge <= strip * ROOT2 + 1e-6 or sums.bias_strips(width, edge - strip, strip)["total"] < total


def test_scallops_are_the_narrowest_that_the_binding_goes_round():
    answer = sums.scallops("60 x 80 in", depth="2 in", binding="320 in")
    assert answer["needed"] <= 320
    narrower = sums.scallops("60 x 80 in", "10 1/2 in", "2 in")
    assert narrower["needed"] > 320


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 9), st.integers(1, 9))
def test_spools_stitch_the_path_that_takes_them(spools, stitches):
    path = sums.thread(spools=spools, stitches=stitches)["path"]
    assert sums.thread(path, stitches=stitches)["spools"] in (spools, spools + 1)  # full to the last inch
    assert sums.thread(0.999 * path, stitches=stitches)["spools"] == spools


def test_the_hours_on_hand_are_used_up_by_the_lines_that_they_allow():
    answer = sums.work_time("60 x 80 in", cuts=300, seams=299, hours=14)
    again = sums.work_time("60 x 80 in", cuts=300, seams=299, spacing=answer["spacing"])
    assert again["hours"] == pytest.approx(14, abs=0.01)
    with pytest.raises(KitError, match="rest of the work"):
        sums.work_time("60 x 80 in", cuts=300, seams=299, hours=5)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 400), st.integers(1, 60), st.integers(0, 40), st.integers(0, 50))
def test_an_hour_earns_what_makes_the_price(materials, hours, rate, margin):
    price = sums.quote("50 x 60 in", materials=materials, hours=hours, hour_rate=rate, margin=f"{margin} %")["price"]
    back = sums.quote("50 x 60 in", materials=materials, hours=hours, margin=f"{margin} %", price=price)
    assert back["per hour"] == pytest.approx(rate, abs=0.02)


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 2000), st.integers(1, 200), st.integers(0, 20), st.integers(0, 60))
def test_a_price_covers_the_cost_at_that_number_and_a_cent_less_does_not(fixed, sold, each, fee):
    price = sums.break_even(fixed, sold=sold, each=each, fee=f"{fee} %")["price"]

    def earns(asked):
        return sold * (asked * (1 - fee / 100) - each)

    assert earns(price) >= fixed - 1e-6
    assert earns(price - 0.01) < fixed
    assert next(n for n in count(1) if n * (price * (1 - fee / 100) - each) >= fixed - 1e-6) <= sold


@pytest.mark.parametrize(
    ("size", "squares", "strips"), [("2 1/2 in", 4, 16), ("5 in", 1, None), ("1 1/4 in", 16, 64)]
)  # fmt: skip
def test_what_one_precut_gives(size, squares, strips):
    answer = sums.precuts(size)
    assert answer["square 5 in"] == squares
    assert strips is None or answer["strips 2½ in"] == strips


@pytest.mark.parametrize(
    "ask",
    [sums.triangles, lambda: sums.triangles("3 in", cut="4 in"), lambda: sums.frame("4 in"),
     lambda: sums.frame("4 in", block="3 in"), lambda: sums.equal_strips("12 in", 7, cut="2 in"),
     lambda: sums.on_point("4", "5", "6 in", top="40 x 40 in"), lambda: sums.on_point(block="60 in", top="40 x 40 in"),
     lambda: sums.braid("2 1/2 in", cut_length="6 in", column="7 in"), lambda: sums.round_edge(square="3 in"),
     lambda: sums.scallops("60 x 80 in", depth="2 in", binding="100 in"), lambda: sums.break_even("600"),
     lambda: sums.quote("60 x 80 in", price="500"), lambda: sums.kites("1/2 in", "1/2 in", "1/4 in", sizes="cut"),
     lambda: sums.kites("4 in", "2 in", "3 in", sizes="sewn"), lambda: sums.precuts("30 in"),
     lambda: sums.bias_strips("31 in"), lambda: sums.row_drift("12, 3"), lambda: sums.thread("9 yd", spools="2")],
)  # fmt: skip
def test_what_cannot_be_turned_round_is_refused_in_words(ask):
    with pytest.raises(KitError) as told:
        ask()
    assert len(str(told.value)) > 30
