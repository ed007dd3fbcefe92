"""Where cloth on hand is not enough, each print covers what it yields and a part of what is missing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.pipeline import make_pattern
from kit.planning.cutting.cloth_shares import share_out_need
from kit.study import read_study

TOP = """
title = "Fish boxes"
[design]
family = "grid blocks"
columns = 12
rows = 15
cell_finished = "2 in"
pattern = ["box"]
[cutting]
make = "one by one"
"""
PRINT = """
[[fabric]]
slot = "box"
name = "{name}"
colour = "{colour}"
form = "strips"
width = "2 1/2 in"
length = "{length} in"
count = {count}
"""
PRINTS = [("Herring", "#446688", 40, 1), ("Sprat", "#99aabb", 50, 1), ("Cod", "#776655", 45, 6)]


def write_top(prints):
    return TOP + "".join(
        PRINT.format(name=name, colour=colour, length=length, count=count) for name, colour, length, count in prints
    )


def test_of_180_squares_36_are_short_and_not_84():
    # By hand: squares of 2 1/2 in; 16 from 40 in, 20 from 50 in, 6 times 18 from 45 in: 144 of 180. Shared evenly, 60
    # a print, 44 and 40 would be short and 48 left over.
    pattern = make_pattern(read_study(write_top(PRINTS)))
    assert sum(sum(plan.short.values()) for plan in pattern.cutting.cloths) == 180 - (16 + 20 + 6 * 18)
    uses = pattern.colouring.uses
    assert (uses["Herring"], uses["Sprat"], uses["Cod"]) == (20, 25, 135)


def test_cloth_that_is_enough_is_shared_as_before():
    enough = [*PRINTS[:2], ("Cod", "#776655", 45, 8)]
    pattern = make_pattern(read_study(write_top(enough)))
    assert not pattern.cutting.short
    assert sum(pattern.colouring.uses.values()) == 180


@given(
    st.lists(st.tuples(st.integers(0, 60), st.none() | st.integers(1, 90)), min_size=1, max_size=9), st.integers(0, 80)
)
def test_shares_add_up_and_none_is_below_its_yield(cloths, missing):
    caps = [cap if limit is None else min(cap, limit) for cap, limit in cloths]
    limits = [limit for _, limit in cloths]
    need = sum(caps) + missing
    shares = share_out_need(need, caps, limits)
    assert all(share >= cap for share, cap in zip(shares, caps, strict=True))
    assert all(limit is None or share <= limit for share, limit in zip(shares, limits, strict=True))
    room = None if None in limits else sum(limit for limit in limits)
    assert sum(shares) == (need if room is None else min(need, room))


@pytest.mark.parametrize("need", [7, 100, 4321])
def test_what_is_missing_goes_by_what_each_yields(need):
    assert share_out_need(2 * need, (need // 2, need - need // 2), (None, None)) in {
        (2 * (need // 2), 2 * need - 2 * (need // 2)),
        (2 * (need // 2) + 1, 2 * need - 2 * (need // 2) - 1),
    }
