"""Log cabins: the order of the logs, their widths and lengths, and what is refused."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Case, cases

from kit.errors import PatchworkError
from kit.geometry.outlines import measure_box, mirror_outline, turn_outline
from kit.model.patchwork import Within

MANY = settings(max_examples=60)


def cabin(**keys):
    return Case({"family": "log cabin", "columns": 1, "rows": 1, **keys}, "1/4 in")


def block_of(**keys):
    """Return the outlines of one block by log."""
    return {shape.key: shape.outline for shape in cabin(**keys).family.make_block(0.25).shapes}


def size_of(outline):
    left, bottom, right, top = measure_box(outline)
    return right - left, top - bottom


def side_of(outline, block):
    """Return the sides of the block that a log lies on."""
    left, bottom, right, top = measure_box(outline)
    width, height = size_of([point for other in block.values() for point in other])
    on = {"left": left, "bottom": bottom, "right": right - width, "top": top - height}
    return {side for side, off in on.items() if abs(off) < 1e-9}


def same_outline(one, other):
    return shapely.Polygon(one).symmetric_difference(shapely.Polygon(other)).area < 1e-9


@MANY
@given(cases("log cabin"))
def test_a_clockwise_cabin_is_the_mirror_image_of_a_counter_clockwise_one(case):
    keys = {k: v for k, v in case.keys.items() if k not in ("order", "turns", "sashing", "border")}
    there = Case({**keys, "columns": 1, "rows": 1}, case.allowance_text).build()
    back = Case({**keys, "columns": 1, "rows": 1, "order": "clockwise"}, case.allowance_text).build()
    middle = there.finished[0] / 2
    assert [p.slot for p in there.patches] == [p.slot for p in back.patches]
    for one, other in zip(there.patches, back.patches, strict=True):
        assert same_outline(mirror_outline(one.outline, axis=middle), other.outline)


@MANY
@given(cases("log cabin"))
def test_every_log_has_its_width_and_the_length_of_the_side_that_it_is_sewn_to(case):
    family = case.family
    widths = family.log_finished
    sides = {
        "counter-clockwise": ("right", "top", "left", "bottom"),
        "clockwise": ("left", "top", "right", "bottom"),
        "courthouse": ("left", "right", "bottom", "top"),
    }[family.order]
    across = down = family.centre_finished
    for n, shape in enumerate(family.make_block(case.allowance).shapes[1:]):
        width = widths[0] if len(widths) == 1 else widths[n // 4] if len(widths) == family.rounds else widths[n]
        if sides[n % 4] in ("left", "right"):
            assert size_of(shape.outline) == pytest.approx((width, down))
            across += width
        else:
            assert size_of(shape.outline) == pytest.approx((across, width))
            down += width
    block = family.make_block(case.allowance)
    assert (block.width, block.height) == pytest.approx((across, down))


def test_counter_clockwise_logs_lie_on_right_top_left_and_bottom_in_turn():
    block = block_of(rounds=1)
    sides = [side_of(block[f"log{n:02d}"], block) for n in range(1, 5)]
    assert sides == [{"right"}, {"right", "top"}, {"top", "left"}, {"left", "bottom", "right"}]


def test_courthouse_logs_go_on_two_opposite_sides_at_a_time():
    block = block_of(rounds=1, order="courthouse")
    assert [size_of(block[f"log{n:02d}"]) for n in range(1, 5)] == [(1, 2), (1, 2), (4, 1), (4, 1)]


def test_a_courthouse_block_is_its_own_mirror_image():
    block = block_of(rounds=3, order="courthouse")
    mirrored = [mirror_outline(outline, axis=4.0) for outline in block.values()]
    for outline in mirrored:
        assert any(same_outline(outline, other) for other in block.values())


def test_four_rounds_of_one_inch_logs_grow_as_a_maker_counts_them():
    # A 2 in centre and four rounds of 1 in make a 10 in block; the first log is 2 in long, the last 10 in.
    block = cabin(rounds=4).family.make_block(0.25)
    assert (block.width, block.height) == (10, 10)
    finished = sorted(max(size_of(shape.outline)) for shape in block.shapes[1:])
    assert finished == [2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 8, 9, 9, 10]


def test_widths_one_a_round_and_one_a_log_are_told_apart_by_their_number():
    rounds = block_of(rounds=2, log_finished=["1 in", "2 in"])
    logs = block_of(rounds=2, log_finished=[f"{n} in" for n in range(1, 9)])
    assert [min(size_of(rounds[f"log{n:02d}"])) for n in range(1, 9)] == [1, 1, 1, 1, 2, 2, 2, 2]
    sides = [size_of(logs[f"log{n:02d}"])[(n - 1) % 2] for n in range(1, 9)]
    assert sides == [1, 2, 3, 4, 5, 6, 7, 8]


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
def test_a_turned_block_is_the_block_turned_about_its_middle(degrees):
    plain = cabin(rounds=2).build()
    turned = cabin(rounds=2, turns=[f"{degrees}"]).build()
    for one, other in zip(plain.patches, turned.patches, strict=True):
        assert same_outline(turn_outline(one.outline, degrees, about=(3, 3)), other.outline)


@given(st.lists(st.lists(st.sampled_from(["0", "90", "180", "270"]), min_size=1, max_size=3), min_size=1, max_size=3))
def test_turns_are_repeated_over_the_rows_and_columns(grid):
    keys = {"family": "log cabin", "columns": 3, "rows": 3, "rounds": 1, "turns": [" ".join(row) for row in grid]}
    grains = {p.group: p.grain for p in Case(keys, "1/4 in").build().patches}
    for row in range(3):
        words = grid[row % len(grid)]
        for column in range(3):
            assert grains[(Within("block", f"{row + 1}-{column + 1}"),)] == int(words[column % len(words)])


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"log_finished": ["1 in", "1 in"], "rounds": 4}, "`design.log_finished` holds 2 widths for 4 rounds"),
        ({"log_finished": ["1 in"] * 15, "rounds": 4}, "`design.log_finished` holds 15 widths for 4 rounds"),
        ({"log_finished": ["3/8 in"]}, "`design.log_finished` is 0.375 in"),
        ({"centre_finished": "1/4 in"}, "`design.centre_finished` is 0.25 in"),
        ({"log_finished": ["1 in", "1 in", "1 in", "2 in"], "rounds": 1, "turns": ["90"]}, "`turns` has quarter"),
        ({"columns": 20_000, "rows": 20_000}, "The design would have"),
    ],
)
def test_keys_that_contradict_one_another_are_refused_with_what_to_do(keys, said):
    with pytest.raises(PatchworkError) as caught:
        cabin(**keys).build()
    assert said in str(caught.value)
    assert caught.value.needed
    assert caught.value.do
