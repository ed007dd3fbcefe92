"""The units of length against the figures of the standards bodies; the table names its sources."""

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from kit.lengths import CM, MM, YARD, read_length

TABLE = Path(__file__).parents[2] / "data" / "published" / "length_standards.csv"
WORDS = {"yard": "yd", "inch": "in", "foot": "ft"}
EXACT_INCHES = {"m": Fraction(10000, 254), "mm": Fraction(10, 254), "ft": Fraction(12), "in": Fraction(1)}


def read_rows():
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_table_names_a_source_for_every_figure_and_holds_the_two_definitions():
    rows = read_rows()
    assert all(row["author"] and row["title"] and row["where_seen"] for row in rows)
    assert {("yard", "0.9144", "m"), ("inch", "25.4", "mm")} <= {
        (row["quantity"], row["value"], row["unit"]) for row in rows
    }


@pytest.mark.parametrize("row", read_rows(), ids=lambda row: f"{row['quantity']} = {row['value']} {row['unit']}")
def test_one_of_a_unit_reads_the_same_as_its_published_equivalent(row):
    # Exact definitions, read exactly and rounded once: no tolerance.
    published = f"{row['value']} {row['unit']}"
    assert read_length(f"1 {WORDS[row['quantity']]}") == read_length(published)


@pytest.mark.parametrize("row", read_rows(), ids=lambda row: f"{row['quantity']} = {row['value']} {row['unit']}")
def test_a_published_equivalent_is_the_nearest_float_to_its_exact_value(row):
    # Holds the conversion to whole-number arithmetic that shares nothing with the units library.
    exact = Fraction(row["value"]) * EXACT_INCHES[row["unit"]]
    assert read_length(f"{row['value']} {row['unit']}") == float(exact)


def test_the_constants_agree_with_the_published_inch_and_yard():
    values = {(row["quantity"], row["unit"]): float(row["value"]) for row in read_rows()}
    # The constants are quotients of floats: 1e-12 is several thousand times their rounding error.
    assert values["inch", "mm"] * MM == pytest.approx(1, abs=1e-12)
    assert values["inch", "mm"] / 10 * CM == pytest.approx(1, abs=1e-12)
    assert values["yard", "m"] * 100 * CM == pytest.approx(YARD, abs=1e-12)
