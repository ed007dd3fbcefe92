"""The best boxes of every size, and the layouts that dives find, against plain recursion and against the bound."""

from functools import cache
from random import Random

import pytest
from small_sheets import check_layout, cut_apart

from kit.solvers.packing.box_values import BoxValues
from kit.solvers.packing.diving import dive_across, dive_for_layouts
from kit.solvers.packing.strip_packing import RectangleKind, measure_layout, pack_by_kind


def draw_kinds(seed, count, *, turn=True):
    random = Random(seed)
    sides = {(random.randint(2, 7), random.randint(2, 7)) for _ in range(4)}
    return [RectangleKind(wide, high, random.randint(1, count), turn) for wide, high in sorted(sides)]


def find_most(faces, wide, high):
    """Return the greatest worth of (width, height, worth) without limits on their number, by plain recursion."""

    @cache
    def most(w, h):
        single = max((worth for a, b, worth in faces if a <= w and b <= h), default=0)
        beside = max((most(k, h) + most(w - k, h) for k in range(1, w // 2 + 1)), default=0)
        above = max((most(w, k) + most(w, h - k) for k in range(1, h // 2 + 1)), default=0)
        return max(single, beside, above)

    return most(wide, high)


@pytest.mark.parametrize("seed", range(12))
def test_boxes_of_plentiful_kinds_have_the_greatest_worth_that_plain_recursion_finds(seed):
    random = Random(seed)
    kinds = draw_kinds(seed, 1, turn=seed % 2 == 0)
    kinds = [RectangleKind(kind.width, kind.height, 10_000, kind.turn) for kind in kinds]
    values = [kind.area * random.uniform(0.8, 1.2) for kind in kinds]
    faces = [(kind.width, kind.height, value) for kind, value in zip(kinds, values, strict=True)]
    faces += [(kind.height, kind.width, value) for kind, value in zip(kinds, values, strict=True) if kind.turn]
    found = BoxValues(kinds, 17, 14).solve(values)
    for height in range(15):
        assert found[height] == pytest.approx(find_most(tuple(faces), 17, height), rel=1e-5)


@pytest.mark.parametrize("seed", range(12))
def test_a_box_holds_what_it_is_said_to_be_worth_and_can_be_cut_by_straight_cuts(seed):
    kinds = draw_kinds(seed, 3)
    values = [float(kind.area) for kind in kinds]
    boxes = BoxValues(kinds, 16, 13)
    worth = boxes.solve(values)
    for height in range(1, 14):
        placed = boxes.read(height)
        held = [sum(place.kind == i for place in placed) for i in range(len(kinds))]
        counted = sum(value * min(n, kind.count) for value, n, kind in zip(values, held, kinds, strict=True))
        assert counted >= worth[height] - 1e-3
        assert cut_apart([(p.x, p.y, p.width, p.height) for p in placed])
        assert all(p.x + p.width <= 16 and p.y + p.height <= height for p in placed)


def count_held(layout, kinds):
    return [
        sum(times * sum(place.number for place in strip.placed if place.kind == i) for strip, times in layout)
        for i in range(len(kinds))
    ]


@pytest.mark.parametrize("seed", range(8))
def test_dives_find_layouts_of_every_piece_that_can_be_cut(seed):
    kinds = draw_kinds(seed, 12)
    bound = -(-sum(kind.area * kind.count for kind in kinds) // 20)
    layouts = list(dive_for_layouts(kinds, 20, {}, (10_000, bound), (40, 10**7)))
    found = [layout for layout in layouts if layout]
    assert found
    for layout in found:
        check_layout(kinds, 20, layout)
    assert bound <= measure_layout(found[-1]) <= measure_layout(pack_by_kind(kinds, 20))


def test_a_sheet_that_is_cut_along_first_holds_every_piece():
    kinds = [RectangleKind(7, 3, 4, turn=True), RectangleKind(5, 4, 6), RectangleKind(2, 4, 8, turn=True)]
    layout = next(layout for layout in dive_across(kinds, 24, 13, 10**7) if layout)
    check_layout(kinds, 24, layout)
    assert measure_layout(layout) <= 13


def test_angled_pieces_in_runs_are_counted_one_by_one():
    kinds = [RectangleKind(4, 5, 9, run=(7, 11, 15, 19)), RectangleKind(3, 5, 6)]
    found = [layout for layout in dive_for_layouts(kinds, 20, {}, (99, 1), (20, 10**6)) if layout]
    assert count_held(found[-1], kinds) == [9, 6]
