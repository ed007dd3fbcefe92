"""Rows: every piece is cut, one after another, from rows no higher than the ruler; never longer than kind by kind."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.solvers.packing.cut_rows import RowFill, RowTable, fill_all
from kit.solvers.packing.row_precuts import fill_row_precuts
from kit.solvers.packing.row_search import lay_out_rows
from kit.solvers.packing.strip_packing import RectangleKind, measure_layout, pack_by_kind

FEW = settings(max_examples=60, deadline=None)
EFFORTS = ("quick", "steady")
kinds_of_cloth = st.lists(
    st.builds(RectangleKind, st.integers(2, 20), st.integers(2, 20), st.integers(1, 12), st.booleans()),
    min_size=1, max_size=6, unique_by=lambda kind: (kind.width, kind.height),
)  # fmt: skip


def count(layout):
    held = Counter()
    for pattern, times in layout:
        for kind, number in pattern.uses().items():
            held[kind] += number * times
    return held


def read(pattern):
    """Assert that a strip is pieces as high as itself, then an end of lower strips; written for the tests alone."""
    full = [place for place in pattern.placed if place.height == pattern.height and place.y == 0]
    rest = [place for place in pattern.placed if place not in full]
    end = max((place.x + place.width for place in full), default=0)
    assert sum(place.width for place in full) == end
    assert all(place.x >= end for place in rest)
    for low in {place.y for place in rest}:
        lower = sorted((place for place in rest if place.y == low), key=lambda place: place.x)
        assert len({place.height for place in lower}) == 1
        x = end
        for place in lower:
            assert place.x == x
            x += place.width
    tops = sorted({(place.y, place.y + place.height) for place in rest})
    assert all(above[0] >= below[1] for below, above in pairwise(tops))


@FEW
@given(kinds_of_cloth, st.integers(20, 40), st.sampled_from(EFFORTS))
def test_every_piece_lies_in_a_row_that_words_can_carry(kinds, width, effort):
    layout = lay_out_rows(kinds, width, effort)
    assert count(layout) == {i: kind.count for i, kind in enumerate(kinds)}
    for pattern, _ in layout:
        assert all(place.x + place.width <= width for place in pattern.placed)
        assert all(place.y + place.height <= pattern.height for place in pattern.placed)
        read(pattern)


@FEW
@given(kinds_of_cloth, st.integers(20, 40))
def test_searched_rows_are_never_longer_than_filled_ones_or_than_counting_kind_by_kind(kinds, width):
    quick, steady = (measure_layout(lay_out_rows(kinds, width, effort)) for effort in EFFORTS)
    assert steady <= quick
    assert steady <= measure_layout(pack_by_kind(kinds, width, turned=True))


@FEW
@given(kinds_of_cloth, st.integers(20, 40), st.integers(4, 12), st.sampled_from(EFFORTS))
def test_no_row_is_higher_than_the_ruler_but_for_a_piece_without_a_lower_side(kinds, width, most, effort):
    for pattern, _ in lay_out_rows(kinds, width, effort, most=most):
        if pattern.height > most:
            lead = [kinds[p.kind] for p in pattern.placed if p.height == pattern.height]
            assert any(not kind.turn or min(kind.width, kind.height) > most for kind in lead)


@FEW
@given(kinds_of_cloth, st.integers(20, 30), st.integers(20, 24), st.sampled_from(EFFORTS))
def test_pre_cuts_give_every_piece_and_each_is_a_stack_of_rows(kinds, width, height, effort):
    layout = fill_row_precuts(kinds, width, height, effort)
    assert count(layout) == {i: kind.count for i, kind in enumerate(kinds)}
    for pattern, _ in layout:
        assert pattern.height == height
        assert all(p.x + p.width <= width and p.y + p.height <= height for p in pattern.placed)


@pytest.mark.parametrize(
    ("kinds", "width", "length"),
    [
        (
            [RectangleKind(25, 5, 19, turn=True)],
            84,
            30,
        ),  # 16 stand in a row of 25, 3 lie in one of 5: halves of an inch
        ([RectangleKind(5, 5, 45)], 84, 15),  # 16 to a row
        ([RectangleKind(10, 10, 6), RectangleKind(5, 5, 8)], 84, 10),  # the end of 24 holds eight in two strips of 5
        (
            [RectangleKind(10, 10, 8), RectangleKind(4, 5, 2, turn=True)],
            84,
            10,
        ),  # an end of 4 takes two, one above the other
        ([RectangleKind(100, 5, 3, turn=True)], 84, 100),  # longer than the cloth is wide: along it
        (
            [RectangleKind(100, 5, 2, turn=True), RectangleKind(90, 6, 2, turn=True)],
            84,
            100,
        ),  # the shorter are cut to length
    ],
)
def test_rows_worked_by_hand(kinds, width, length):
    assert measure_layout(lay_out_rows(kinds, width, "steady")) == length


def test_a_run_of_angled_pieces_takes_what_its_slanted_ends_need():
    run = RectangleKind(4, 6, 14, run=tuple(4 * n + 3 for n in range(1, 15)))
    layout = lay_out_rows([run], 40, "steady")
    assert measure_layout(layout) == 12  # nine to a row of 40
    assert max(place.number for pattern, _ in layout for place in pattern.placed) == 9


def test_a_row_without_its_full_pieces_becomes_the_rows_of_its_end():
    table = RowTable([RectangleKind(10, 10, 1), RectangleKind(5, 5, 4)], 40)
    (row,) = [row for row, _ in fill_all(table, RowFill(table), [1, 4]) if row.ends]
    kept = table.keep(row, [0, 3])
    assert [(one.height, one.full) for one in kept] == [(5, ((1, 3),))]
