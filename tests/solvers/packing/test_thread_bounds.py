"""Bounds by threads: a programme that ends early says the same as one that runs to its least."""

from bisect import bisect_left

from hypothesis import given, settings
from hypothesis import strategies as st

from kit.solvers.packing.length_bounds import bound_length, list_sums, measure_threads
from kit.solvers.packing.strip_packing import RectangleKind, measure_layout, pack_by_kind

KINDS = st.lists(
    st.tuples(st.integers(2, 20), st.integers(2, 20), st.integers(1, 12), st.booleans()), min_size=1, max_size=6
).map(lambda sizes: [RectangleKind(wide, high, count, turn) for wide, high, count, turn in sizes])


@settings(max_examples=80, deadline=None)
@given(KINDS, st.integers(20, 60), st.integers(1, 200))
def test_a_programme_that_ends_between_two_marks_ends_where_the_least_lies(kinds, width, mark):
    least = measure_threads(kinds, width)
    marks = (mark, mark + 7, mark + 40)
    early = measure_threads(kinds, width, marks)
    assert early <= least + 1e-6
    assert bisect_left(marks, early - 1e-6) == bisect_left(marks, least - 1e-6)


@settings(max_examples=40, deadline=None)
@given(KINDS, st.integers(20, 60))
def test_the_bound_is_the_first_length_that_both_directions_allow(kinds, width):
    """Look at every sum of heights in turn, with programmes that run to their least."""
    best = measure_layout(pack_by_kind(kinds, width))
    across = [RectangleKind(kind.height, kind.width, kind.count, kind.turn) for kind in kinds]
    area = sum(kind.width * kind.height * kind.count for kind in kinds)
    lengthwise = measure_threads(kinds, width) - 1e-6
    possible = (
        length for length in list_sums(kinds, best)
        if length * width >= area and length >= lengthwise and measure_threads(across, length) - 1e-6 <= width
    )  # fmt: skip
    assert bound_length(kinds, width, best) == min(next(possible, best), best)
