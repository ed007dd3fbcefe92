"""Colour difference, CIELAB and contrast, against published values (sources in the tables)."""

import pytest
from published_tables import read_remarks, read_table

from kit.model.colour import find_lab, measure_contrast, measure_lab_difference

PAIRS = read_table("ciede2000_pairs.csv")
MISC = read_table("colour_misc.csv")
FOUR_PLACES = 1e-4
"""The table gives four decimals."""


def read_pair(row):
    first, second = (tuple(float(row[f"{part}{n}"]) for part in "Lab") for n in (1, 2))
    return first, second, float(row["dE00"])


def test_both_tables_are_whole_and_name_their_sources():
    assert len(PAIRS) == 34
    assert len(MISC) == 12
    assert "Sharma" in read_remarks("ciede2000_pairs.csv")[0]
    assert "W3C" in " ".join(read_remarks("colour_misc.csv"))


@pytest.mark.parametrize("row", PAIRS, ids=lambda row: f"pair-{row['pair']}")
def test_a_colour_difference_is_the_published_one_in_both_orders(row):
    first, second, wanted = read_pair(row)
    assert measure_lab_difference(first, second) == pytest.approx(wanted, abs=FOUR_PLACES)
    assert measure_lab_difference(second, first) == pytest.approx(wanted, abs=FOUR_PLACES)


@pytest.mark.parametrize("row", [row for row in MISC if row["kind"] == "lab"], ids=lambda row: row["a"])
def test_cielab_of_the_corners_of_srgb_is_the_published_one(row):
    """Test suites differ in the fourth digit of the white point, which moves a and b by up to 0.02."""
    wanted = [float(row[f"value{n}"]) for n in (1, 2, 3)]
    assert find_lab(row["a"]) == pytest.approx(wanted, abs=0.02)


@pytest.mark.parametrize(
    "row", [row for row in MISC if row["kind"] == "contrast"], ids=lambda row: f"{row['a']}-{row['b']}"
)
def test_a_contrast_ratio_is_the_published_one_either_way_round(row):
    """The values are published to two decimals, one of them to one."""
    wanted, within = float(row["value1"]), 0.05 if len(row["value1"].split(".")[1]) == 1 else 0.006
    assert measure_contrast(row["a"], row["b"]) == pytest.approx(wanted, abs=within)
    assert measure_contrast(row["b"], row["a"]) == measure_contrast(row["a"], row["b"])
