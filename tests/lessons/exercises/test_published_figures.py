"""Figures of the lessons against the published tables, each with its source beside it."""

import csv
import json
from math import sqrt
from pathlib import Path

import pytest

from kit.errors import KitError
from kit.lessons import compare_amounts, compare_counts, compare_settings, make_exercise, mark, read_cases
from kit.lessons import read_seam_test as seam_test
from kit.lessons.exercises.exercise import TERMS
from kit.lessons.exercises.lesson_shapes import cut_piece, make_corner, make_side
from kit.lessons.exercises.published_figures import count_squares
from kit.lessons.exercises.sewing_exercises import make_braid

DATA = Path("data/published")


def read_rows(name):
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def test_amounts_are_those_of_the_rules_with_their_sources():
    """cut_size_rules.json: formulas page, guild newsletter; exact amounts derived there by geometry."""
    printed = json.loads((DATA / "cut_size_rules.json").read_text(encoding="utf-8"))
    rules = {rule["unit"]: rule for rule in printed["rules"]}
    table = compare_amounts(DATA)
    assert len(table) == 3
    for row in table.to_dict("records"):
        rule = rules[row["Shape"]]
        assert row["The kit adds (in)"] == pytest.approx(rule["exact_quarter"], abs=1e-4)
        assert row["Trade less exact (in)"] == pytest.approx(rule["trade_error"], abs=1e-4)
        assert "year" in row["Source"]


@pytest.mark.parametrize("kind", ["half-square triangle", "quarter-square triangle"])
def test_the_trades_amount_is_always_marked_right(kind):
    """cut_size_rules.json, formulas page: + 7/8 and + 1 1/4 for an allowance of a quarter of an inch."""
    trade = {"half-square triangle": 0.875, "quarter-square triangle": 1.25}[kind]
    exact = {"half-square triangle": (2 + sqrt(2)) / 4, "quarter-square triangle": (2 + 2 * sqrt(2)) / 4}[kind]
    for seed in range(50):
        exercise = make_exercise(kind, seed)
        finished = exercise.answer - exact
        assert mark(exercise, f"{finished + trade:.4f} in").verdict == "right"


def test_setting_triangles_are_those_of_the_printed_chart():
    """setting_triangles.csv: chart of setting triangles of a trade reference library; its exact figures are derived."""
    for row in read_rows("setting_triangles.csv"):
        block = float(row["block"])
        side, corner = (cut_piece([make(block)], TERMS["inch"])["square"] for make in (make_side, make_corner))
        assert side == pytest.approx(float(row["side exact"]), abs=1e-4)
        assert corner == pytest.approx(float(row["corner exact"]), abs=1e-4)
        assert 0 <= float(row["side printed"]) - side < 0.25
    assert len(compare_settings(DATA, range(4, 17))) == 12


def test_the_charts_figure_is_marked_right_in_the_exercises():
    """setting_triangles.csv: × 1.414 up to the next eighth + 1 1/4; ÷ 1.414 up to the next eighth + 7/8."""
    printed = {float(row["block"]): row for row in read_rows("setting_triangles.csv")}
    seen = 0
    for kind, column in (("side triangle", "side printed"), ("corner triangle", "corner printed")):
        for seed in range(60):
            exercise = make_exercise(kind, seed)
            scale = sqrt(2) if kind == "side triangle" else 1 / sqrt(2)
            amount = (2 + (2 if kind == "side triangle" else 1) * sqrt(2)) / 4
            block = round((exercise.answer - amount) / scale, 4)
            if block in printed:
                assert mark(exercise, f"{printed[block][column]} in").verdict == "right"
                seen += 1
    assert seen > 20


def test_squares_are_counted_as_the_chart_counts_them_and_its_misprint_is_kept():
    """yardage_counts.csv: page of quilting charts, 2002; 7 in squares are misprinted as 35, 30 come out."""
    for row in read_rows("yardage_counts.csv"):
        if row["what"] != "squares":
            continue
        wide, long, size = (float(row[name]) for name in ("width", "length", "size"))
        assert count_squares(wide, long, size) == int(row["counted"])
        if row["verdict"] == "equal":
            assert row["printed"] == row["counted"]
    shown = compare_counts(DATA)
    assert list(shown["Verdict"]).count("misprint") == 1
    assert (shown["By dividing areas"] >= shown["Counted by the kit"]).all()


def test_squares_from_a_yard_whatever_the_usable_width():
    """Common question W01, answer derived: 56 squares of 5 in from a yard of 42 in or 40 in, not 60."""
    assert count_squares(42, 36, 5) == count_squares(40, 36, 5) == 56


def test_774_squares():
    """Common question W02, answer derived: 14 or 13 squares of 3 in in a strip."""
    assert [count_squares(usable, 3, 3) for usable in (42, 41, 40)] == [14, 13, 13]


def test_the_braid_grows_by_the_diagonal():
    """Worked case "braid 1", answer derived: strips finish 2 in, a pair adds 2.828 in."""
    long, short = (make_braid(1, pairs, 2.5, 6.0).patchwork().finished[1] for pairs in (9, 8))
    assert long - short == pytest.approx(2.828, abs=5e-4)


def test_the_seam_test_gives_the_printed_set():
    """cut_size_rules.json, seam test, 2012: three strips of 1 1/2 in measure 3 1/2 in."""
    table = seam_test()
    kept = table[table["What to do"] == "keep it there"].iloc[0]
    assert kept["Measures"] == "3½\N{NO-BREAK SPACE}in"
    assert kept["Allowance sewn"] == "¼\N{NO-BREAK SPACE}in"
    assert "nearer to" in table.iloc[0]["What to do"]
    assert len(seam_test("metric")) == 9


def test_cases_come_with_what_is_said_instead_and_where_they_stand():
    cases = read_cases(DATA, ["W08", "W24"])
    assert "0.2708" in cases["Answer"][1]
    assert cases["Standing"].str.contains("derived").all()
    for wrong in (lambda: read_cases(DATA, ["W99"]), lambda: compare_amounts("kit"), lambda: compare_counts("nowhere")):
        with pytest.raises(KitError):
            wrong()
