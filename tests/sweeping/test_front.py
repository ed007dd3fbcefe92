"""The front of a sweep, against its definition read out in plain loops, and against a known one."""

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_sweeps import SMALL

import kit
from kit.sweeping import FOUR, find_front, sweep

ROWS = st.lists(st.tuples(*[st.one_of(st.integers(0, 3), st.just(None))] * 3), min_size=1, max_size=14)
NAMES = ["Cloth", "Seams", "Hours"]


def beats(one, other):
    return all(a <= b for a, b in zip(one, other, strict=True)) and one != other


@given(ROWS)
@settings(max_examples=150)
def test_it_is_what_no_other_row_beats(rows):
    whole = [row for row in rows if None not in row]
    expected = [i for i, row in enumerate(rows) if None not in row and not any(beats(other, row) for other in whole)]
    table = pd.DataFrame(rows, columns=NAMES).astype("Int64")
    assert find_front(table, NAMES) == expected


@given(ROWS, st.randoms(use_true_random=False))
@settings(max_examples=60)
def test_the_order_of_the_rows_does_not_matter(rows, chance):
    table = pd.DataFrame(rows, columns=NAMES).astype("Int64")
    shuffled = list(range(len(rows)))
    chance.shuffle(shuffled)
    again = find_front(table.iloc[shuffled].reset_index(drop=True), NAMES)
    assert sorted(shuffled[i] for i in again) == find_front(table, NAMES)


def test_points_on_a_falling_line_are_all_on_it_and_what_lies_above_is_not():
    line = pd.DataFrame({"Cloth": range(10), "Hours": range(9, -1, -1)})
    above = line + 1
    assert find_front(pd.concat([line, above], ignore_index=True), ["Cloth", "Hours"]) == list(range(10))


def test_a_column_that_is_not_there_is_refused():
    with pytest.raises(kit.KitError, match="no column 'Beauty'"):
        find_front(pd.DataFrame({"Cloth": [1]}), ["Beauty"])
    with pytest.raises(kit.KitError, match="has no columns"):
        find_front(pd.DataFrame({"Cloth": [1]}), [])


def test_a_front_within_a_size_knows_only_quilts_of_that_size():
    found = sweep(SMALL, {"design.columns": [1, 2, 3, 4], "design.strip_cut": ["2 in", "2 1/2 in"]})
    table = found.table
    assert found.find_front() == [0]
    width, length = found.sizes
    bounded = found.find_front(FOUR, width=(8.0, 12.0))
    inside = table[table[width].between(8.0, 12.0)]
    assert bounded == [inside.index[i] for i in find_front(inside, [found.cloth, "Pieces", "Seams", "Hours"])]
    assert bounded
    assert found.front(width=(8.0, 12.0), length=(0.0, 1.0)).empty
    assert (found.front(width=(8.0, 12.0))[length] > 0).all()
