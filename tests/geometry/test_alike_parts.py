"""Parts that come again: found from outlines alone, as large as what the top was made of, never falsely proved."""

from itertools import combinations
from math import cos, radians, sin
from random import Random

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.geometry.alike_parts import find_alike_parts
from kit.geometry.outlines import make_rectangle, mirror_outline, move_outline, turn_outline

UNHURRIED = settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow])
SEEDS = st.integers(0, 10_000)


def square(x, y):
    return make_rectangle(x, y, 1, 1)


def wedge(over=False):
    """Return an eighth of a star cut into four patches, or its mirror image in its own middle line."""
    c, s = cos(radians(45)), sin(radians(45))
    patches = [
        ((0, 0), (1, 0), (c, s)),
        ((1, 0), (2, 0), (2 * c, 2 * s), (c, s)),
        ((2, 0), (3, 0), (2 * c, 2 * s)),
        ((3, 0), (3 * c, 3 * s), (2 * c, 2 * s)),
    ]
    return [turn_outline(mirror_outline(patch), -135) for patch in patches] if over else patches


def list_parts(parts):
    return [deep for part in parts for deep in (part, *list_parts(part.inside))]


def put(outline, move):
    turned = turn_outline(mirror_outline(outline) if move.mirrored else outline, move.degrees)
    return move_outline(turned, move.dx, move.dy)


def check_parts(outlines, labels, found):
    """Check by a general geometry library that copies are congruent discs with the same labels and do not overlap."""
    shapes = [shapely.Polygon(outline) for outline in outlines]
    for part in [*list_parts(found.parts), *([found.largest_part] if found.largest_part else [])]:
        assert part.size >= 2
        assert len(part.copies) == len(part.moves) >= 2
        assert len({patch for copy in part.copies for patch in copy}) == part.size * len(part.copies)
        for copy, move in zip(part.copies, part.moves, strict=True):
            assert [labels[patch] for patch in copy] == [labels[patch] for patch in part.copies[0]]
            for there, here in zip(copy, part.copies[0], strict=True):
                moved = shapely.Polygon(put(outlines[here], move))
                assert moved.symmetric_difference(shapes[there]).area < 1e-3
            whole = shapely.union_all(shapely.buffer([shapes[patch] for patch in copy], 1e-7, join_style="mitre"))
            assert whole.geom_type == "Polygon"
            assert not whole.interiors
        for inner in part.inside:
            homes = [next(i for i, outer in enumerate(part.copies) if set(copy) <= set(outer)) for copy in inner.copies]
            assert len({homes.count(i) for i in range(len(part.copies))}) == 1
    seen = [patch for part in found.parts for copy in part.copies for patch in copy]
    assert len(seen) == len(set(seen))
    assert found.largest <= found.bound


def summarise(found):
    shape = [(part.size, len(part.copies), sum(part.mirrored)) for part in list_parts(found.parts)]
    return found.largest, found.bound, found.joins, sorted(shape)


def make_blocks(seed, copies=3, loose=4):
    """Return outlines and labels of a random block laid a few times, turned and mirrored, among unlike patches."""
    random = Random(seed)
    cells = {(0, 0)}
    while len(cells) < random.randint(3, 8):
        x, y = random.choice(sorted(cells))
        x, y = random.choice([(x + 1, y), (x, y + 1), (x - 1, y), (x, y - 1)])
        if abs(x) < 3 and abs(y) < 3:
            cells.add((x, y))
    if not is_disc([square(*cell) for cell in cells]):
        return make_blocks(seed + 1, copies, loose)
    block = [(x, y, random.randrange(4)) for x, y in sorted(cells)]
    top = {}
    for k in range(copies):
        turn, over = random.randrange(4), random.random() < 0.3
        for x, y, label in block:
            a, b = (-x, y) if over else (x, y)
            for _ in range(turn):
                a, b = -b, a
            top[a + 2 + 5 * k, b + 2] = label
    filler = 100
    for x in range(5 * copies + loose):
        for y in range(5):
            if (x, y) not in top:
                top[x, y] = filler
                filler += 1
    return [square(*cell) for cell in top], list(top.values()), len(block)


def is_disc(outlines):
    whole = shapely.union_all([shapely.Polygon(outline) for outline in outlines])
    return whole.geom_type == "Polygon" and not whole.interiors and whole.is_valid


def find_largest_completely(cells):
    """Return the size of the largest part of labelled squares that comes again, by trying every set of them."""
    spots = sorted(cells)
    readings = [lambda x, y, k=k: turn_cell(x, y, k) for k in range(8)]

    def name(chosen):
        forms = []
        for read in readings:
            form = sorted((*read(x, y), cells[x, y]) for x, y in chosen)
            low = min(a for a, _, _ in form), min(b for _, b, _ in form)
            forms.append(tuple(sorted((a - low[0], b - low[1], label) for a, b, label in form)))
        return min(forms)

    for size in range(len(spots) // 2, 1, -1):
        kinds = {}
        for chosen in combinations(spots, size):
            if is_disc([square(*spot) for spot in chosen]):
                kinds.setdefault(name(chosen), []).append(set(chosen))
        if any(a.isdisjoint(b) for sets in kinds.values() for a, b in combinations(sets, 2)):
            return size
    return 0


def turn_cell(x, y, k):
    if k >= 4:
        x = -x
    for _ in range(k % 4):
        x, y = -y, x
    return x, y


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_star_of_eight_wedges_is_two_halves_with_eight_wedges_inside(mirrored):
    outlines = [turn_outline(o, 45 * k) for k in range(8) for o in wedge(over=mirrored and k % 2 == 1)]
    found = find_alike_parts(outlines)
    check_parts(outlines, [0] * 32, found)
    assert (found.largest, found.proved) == (16, True)
    (eighth,) = [part for part in list_parts(found.parts) if part.size == 4]
    assert sorted(sorted(copy) for copy in eighth.copies) == [list(range(4 * k, 4 * k + 4)) for k in range(8)]
    assert sum(eighth.mirrored) == (4 if mirrored else 0)


def test_nine_blocks_of_which_one_is_odd_are_eight_blocks():
    cuts = [(0, 0, 2, 1), (2, 0, 1, 2), (1, 2, 2, 1), (0, 1, 1, 2), (1, 1, 1, 1)]
    outlines = [make_rectangle(3 * a + x, 3 * b + y, w, h) for b in range(3) for a in range(3) for x, y, w, h in cuts]
    labels = [9 if (i // 5 == 4) else i % 5 for i in range(45)]
    found = find_alike_parts(outlines, labels)
    check_parts(outlines, labels, found)
    blocks = [part for part in list_parts(found.parts) if part.size == 5]
    assert [len(part.copies) for part in blocks] == [8]
    assert not any(20 <= patch < 25 for part in blocks for copy in part.copies for patch in copy)


def test_two_parts_among_unlike_patches_are_found_and_proved():
    labels = [0, 1, 2, 7, 8, 0, 1, 2]
    found = find_alike_parts([square(x, 0) for x in range(8)], labels)
    assert [(part.copies, part.mirrored) for part in found.parts] == [(((0, 1, 2), (5, 6, 7)), (False, False))]
    assert found.proved


def test_a_mirror_image_is_told_from_a_turned_copy():
    turned = find_alike_parts([square(x, 0) for x in range(7)], [0, 1, 2, 9, 2, 1, 0])
    assert [(part.size, part.mirrored) for part in turned.parts] == [(3, (False, False))]
    bent = [(0, 0), (1, 0), (1, 1), (3, 0), (4, 0), (3, 1), (2, 0), (0, 1), (2, 1), (4, 1)]
    mirrored = find_alike_parts([square(*cell) for cell in bent], [0, 1, 2, 1, 0, 2, 6, 7, 8, 9])
    assert [(part.size, part.mirrored) for part in mirrored.parts] == [(3, (False, True))]


def test_where_all_patches_are_unlike_nothing_comes_again_and_that_is_proved():
    found = find_alike_parts([square(x, y) for x in range(5) for y in range(4)], range(20))
    assert (found.parts, found.largest, found.bound, found.proved, found.joins) == ((), 0, 0, True, 19)


@pytest.mark.parametrize(("across", "down"), [(4, 4), (5, 5), (6, 4)])
def test_a_checkerboard_falls_into_halves(across, down):
    cells = [(x, y) for x in range(across) for y in range(down)]
    labels = [(x + y) % 2 for x, y in cells]
    found = find_alike_parts([square(*cell) for cell in cells], labels)
    check_parts([square(*cell) for cell in cells], labels, found)
    assert (found.largest, found.proved) == (across * down // 2, True)


def test_bricks_fall_into_halves_of_equal_runs():
    outlines = [make_rectangle(2 * x + y % 2, y, 2, 1) for x in range(5) for y in range(6)]
    found = find_alike_parts(outlines)
    check_parts(outlines, [0] * 30, found)
    assert (found.largest, found.proved) == (15, True)


@UNHURRIED
@given(SEEDS)
def test_what_is_found_is_at_least_as_large_as_the_block_that_the_top_was_made_of(seed):
    outlines, labels, size = make_blocks(seed)
    found = find_alike_parts(outlines, labels)
    check_parts(outlines, labels, found)
    assert found.largest >= size
    assert max(part.size for part in found.parts) >= size


@UNHURRIED
@given(SEEDS, st.floats(0, 360), st.floats(-50, 50), st.floats(-50, 50))
def test_turning_moving_and_listing_a_top_otherwise_changes_nothing(seed, degrees, dx, dy):
    outlines, labels, _ = make_blocks(seed)
    order = Random(seed).sample(range(len(outlines)), len(outlines))
    other = [move_outline(turn_outline(outlines[i], degrees), dx, dy) for i in order]
    found = find_alike_parts(outlines, labels)
    assert summarise(find_alike_parts(other, [labels[i] for i in order])) == summarise(found)


@UNHURRIED
@given(SEEDS, st.sampled_from([(4, 2), (8, 1), (3, 2), (7, 1)]), st.integers(1, 4))
def test_a_complete_search_of_tiny_tops_confirms_every_bound_and_every_proof(seed, size, colours):
    random = Random(seed)
    cells = {(x, y): random.randrange(colours) for x in range(size[0]) for y in range(size[1])}
    found = find_alike_parts([square(*cell) for cell in cells], list(cells.values()))
    largest = find_largest_completely(cells)
    assert found.largest <= largest <= found.bound
    if found.proved:
        assert found.largest == largest


@UNHURRIED
@given(SEEDS)
def test_no_more_copies_are_mirrored_than_not(seed):
    outlines, labels, _ = make_blocks(seed)
    found = find_alike_parts(outlines, labels)
    assert all(2 * sum(part.mirrored) <= len(part.copies) for part in list_parts(found.parts))


@UNHURRIED
@given(SEEDS)
def test_a_copy_of_which_one_patch_is_changed_is_not_found(seed):
    outlines, labels, size = make_blocks(seed, copies=2)
    damaged = [999, *labels[1:]]
    found = find_alike_parts(outlines, damaged)
    check_parts(outlines, damaged, found)
    assert all(0 not in copy for part in list_parts(found.parts) for copy in part.copies)
    assert found.largest < size
