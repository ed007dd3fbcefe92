"""Patchwork from outlines: what tiles is taken, however it is cut up; what does not is refused by name."""

from math import cos, inf, nan, pi, sin, sqrt

import numpy as np
import pytest

from kit.errors import PatchworkError
from kit.geometry.outlines import (
    clip_outline,
    make_rectangle,
    measure_area,
    measure_edges,
    mirror_outline,
    move_outline,
    turn_outline,
)
from kit.model.patchwork import LIMIT, Patch, Patchwork, patchwork_from_outlines

SHORTEST = 0.5
ANGLES = {"straight": (0.0, pi / 2), "45°": (0.0, pi / 4, pi / 2, 3 * pi / 4), "any": ()}


def cut_up(seed, angles, cuts=40):
    """Return width, height and patches of a rectangle cut at random; no edge is under two quarter-inch allowances."""
    rng = np.random.default_rng(seed)
    width, height = rng.uniform(6, 90), rng.uniform(6, 90)
    patches = [make_rectangle(rng.uniform(-20, 20), rng.uniform(-20, 20), width, height)]
    for _ in range(cuts):
        k = int(rng.integers(len(patches)))
        angle = float(rng.choice(angles)) if angles else rng.uniform(0, pi)
        a, b = cos(angle), sin(angle)
        reach = [a * x + b * y for x, y in patches[k]]
        c = rng.uniform(min(reach), max(reach))
        halves = [clip_outline(patches[k], a, b, c), clip_outline(patches[k], -a, -b, -c)]
        if all(half and min(measure_edges(half)) >= SHORTEST for half in halves):
            patches[k : k + 1] = halves
    return width, height, [patches[k] for k in rng.permutation(len(patches))]


def refusal_of(*args, **options):
    with pytest.raises(PatchworkError) as caught:
        patchwork_from_outlines(*args, **options)
    assert caught.value.do, "a refusal says what to do"
    return str(caught.value)


def grid(columns, rows, side=2.0):
    return [make_rectangle(side * x, side * y, side, side) for y in range(rows) for x in range(columns)]


# What is taken


@pytest.mark.parametrize("angles", ANGLES)
@pytest.mark.parametrize("seed", range(100))
def test_a_rectangle_cut_up_at_random_is_a_patchwork(seed, angles):
    width, height, patches = cut_up(seed, ANGLES[angles])
    assert len(patches) > 3
    patchwork = patchwork_from_outlines(patches)
    assert patchwork.area == pytest.approx(width * height, rel=1e-9)
    assert patchwork.finished == pytest.approx((width, height), rel=1e-9)
    mesh = patchwork.mesh
    inner = mesh.twin >= 0
    seams = np.sort(np.column_stack([mesh.start[inner], mesh.end[inner]]), axis=1)
    assert (np.unique(seams, axis=0, return_counts=True)[1] == 2).all()
    assert (mesh.face[mesh.twin[inner]] != mesh.face[inner]).all()
    assert mesh.lengths[~inner].sum() == pytest.approx(2 * (width + height), rel=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_a_top_may_lie_anywhere_at_any_angle_and_either_way_round(seed):
    width, height, patches = cut_up(seed, ())
    turned = [move_outline(turn_outline(patch, 17 * seed + 5), 300 * seed, -200) for patch in patches]
    mixed = [outline[:: -1 if k % 2 else 1] for k, outline in enumerate(turned)]
    patchwork = patchwork_from_outlines(mixed)
    assert patchwork.area == pytest.approx(width * height, rel=1e-6)
    assert all(measure_area(patch.outline) > 0 for patch in patchwork.patches)


@pytest.mark.parametrize("seed", range(20))
def test_a_mirrored_top_has_the_mirrored_neighbours(seed):
    _, _, patches = cut_up(seed, ())
    there = patchwork_from_outlines(patches)
    back = patchwork_from_outlines([mirror_outline(patch) for patch in patches])
    assert there.mesh.neighbours.tolist() == back.mesh.neighbours.tolist()


def test_patches_keep_their_order_their_slots_and_their_allowance():
    patchwork = patchwork_from_outlines(grid(3, 1), ["dark", "light", "dark"], allowance=0.75 / 2.54)
    assert [(patch.id, patch.slot) for patch in patchwork.patches] == [
        ("patch-0001", "dark"),
        ("patch-0002", "light"),
        ("patch-0003", "dark"),
    ]
    assert patchwork.slots == ("dark", "light")
    assert patchwork.allowance == 0.75 / 2.54


def test_arrays_and_lists_of_corners_are_taken_alike():
    lists = [[list(corner) for corner in outline] for outline in grid(2, 2)]
    arrays = [np.array(outline) for outline in grid(2, 2)]
    assert patchwork_from_outlines(arrays).patches == patchwork_from_outlines(lists).patches


def test_a_top_need_not_be_a_rectangle():
    hexagon = [(3 * cos(pi * k / 3), 3 * sin(pi * k / 3)) for k in range(6)]
    patchwork = patchwork_from_outlines([[hexagon[k], hexagon[(k + 1) % 6], (0, 0)] for k in range(6)])
    assert patchwork.area == pytest.approx(13.5 * sqrt(3))


def test_an_edge_of_exactly_two_allowances_can_be_sewn():
    assert len(patchwork_from_outlines(grid(4, 4, side=0.5)).patches) == 16


def test_twenty_thousand_patches_are_taken():
    assert len(patchwork_from_outlines(grid(200, 100)).patches) == LIMIT == 20_000


# What is refused


def test_twenty_thousand_and_one_outlines_are_refused_before_they_are_read():
    message = refusal_of([None] * 20_001)
    assert "20,001 patches" in message
    assert "at most 20,000" in message
    assert "larger patches" in message


@pytest.mark.parametrize("angles", ANGLES)
@pytest.mark.parametrize("seed", range(12))
def test_a_patch_left_out_of_the_middle_is_a_gap_with_its_neighbours_named(seed, angles):
    _, _, patches = cut_up(seed, ANGLES[angles])
    mesh = patchwork_from_outlines(patches).mesh
    edge = mesh.start[mesh.twin < 0]
    inside = [k for k in range(len(patches)) if not np.isin(mesh.start[mesh.face == k], edge).any()]
    missing = max(inside, key=lambda k: measure_area(patches[k]))
    message = refusal_of(patches[:missing] + patches[missing + 1 :])
    assert f"gap of {measure_area(patches[missing]):.4f} square inches" in message
    assert "add a patch there" in message
    near = {k for pair in mesh.corner_neighbours.tolist() if missing in pair for k in pair} - {missing}
    renumbered = {f"patch-{k + (k < missing):04d}" for k in near}
    named = {word for word in message.split("`") if word.startswith("patch-")}
    assert len(named) >= min(3, len(near))
    assert named <= renumbered


@pytest.mark.parametrize("seed", range(25))
def test_a_patch_given_twice_is_an_overlap_with_both_named(seed):
    _, _, patches = cut_up(seed, ())
    i = seed % len(patches)
    message = refusal_of([*patches, patches[i]])
    assert f"`patch-{i + 1:04d}`" in message
    assert f"`patch-{len(patches) + 1:04d}`" in message
    assert f"overlap by {measure_area(patches[i]):.4f} square inches" in message
    assert "shared corners" in message


def test_a_corner_moved_inwards_leaves_a_gap_and_one_moved_outwards_overlaps():
    patches = grid(3, 3)
    x, y = 2.3, 2.3
    smaller = [*patches[:4], ((x, y), (4, 2), (4, 4), (2, 4)), *patches[5:]]
    message = refusal_of(smaller)
    assert "gap of 0.6000 square inches" in message
    larger = [*patches[:4], ((2, 2), (4, 2), (4.5, 4.5), (2, 4)), *patches[5:]]
    message = refusal_of(larger)
    assert "`patch-0005` and `patch-0006` overlap by 0.4000 square inches, and 2 more pairs overlap" in message


def test_parts_that_do_not_meet_are_counted():
    message = refusal_of([make_rectangle(0, 0, 2, 2), make_rectangle(3, 0, 2, 2)])
    assert "fall into 2 parts" in message
    assert "move the parts together" in message.lower()


def test_parts_that_meet_in_one_corner_only_are_counted_as_two():
    assert "fall into 2 parts" in refusal_of([make_rectangle(0, 0, 2, 2), make_rectangle(2, 2, 2, 2)])


def test_corners_that_almost_meet_are_refused():
    message = refusal_of([make_rectangle(0, 0, 2, 2), make_rectangle(2.0002, 0, 2, 2)])
    assert "one region" in message


@pytest.mark.parametrize("allowance", [0.25, 0.75 / 2.54])
def test_a_sliver_too_short_to_sew_is_refused_with_its_edge_and_the_least(allowance):
    thin = 1.6 * allowance
    message = refusal_of([make_rectangle(0, 0, 4, 2), make_rectangle(0, 2, 4, thin)], allowance=allowance)
    assert f"`patch-0002` has a {round(thin, 3):g} in edge" in message
    assert f"the shortest sewable edge is {2 * allowance:g} in" in message
    assert "merge the patch with its neighbour" in message


@pytest.mark.parametrize(
    "outline",
    [
        [(0, 0), (4, 4), (4, 0), (0, 3)],
        [(0, 0), (4, 0), (2, 2), (4, 4), (0, 4), (2, 2)],
        [(0, 0), (6, 0), (6, 4), (2, 4), (2, 0), (2, 4), (0, 4)],
    ],
    ids=["bow tie", "waist of one point", "slit"],
)
def test_an_outline_that_crosses_or_touches_itself_is_refused_by_name(outline):
    message = refusal_of([make_rectangle(10, 10, 4, 4), outline])
    assert "`patch-0002` crosses or touches itself" in message
    assert "order of its corners" in message


@pytest.mark.parametrize("bad", [nan, inf, -inf, 1e7])
def test_a_coordinate_that_is_not_a_number_of_inches_is_refused_by_name(bad):
    message = refusal_of([make_rectangle(0, 0, 4, 4), [(4, 0), (8, 0), (8, bad)]])
    assert "utline 2 holds a coordinate that is not finite or is over a million inches" in message
    assert "correct that corner" in message.lower()


@pytest.mark.parametrize("corners", [[(0, 0), (4, 0)], [(0, 0)], [], [(0, 0), (2, 0), (4, 0)]])
def test_an_outline_of_fewer_than_three_true_corners_is_refused(corners):
    message = refusal_of([make_rectangle(0, 0, 4, 4), corners])
    assert f"utline 2 encloses no area ({len(corners)} corners given" in message
    assert "at least three corners" in message


@pytest.mark.parametrize("slots", [["dark"], ["dark"] * 5, []])
def test_a_wrong_number_of_slots_is_refused_with_both_counts(slots):
    message = refusal_of(grid(2, 2), slots)
    assert f"4 outlines and {len(slots)} slots" in message
    assert "as many slots as outlines" in message


def test_no_outlines_at_all_are_refused():
    assert "no patches" in refusal_of([])


@pytest.mark.parametrize("allowance", [0.0, -0.25, nan, inf, 12.0])
def test_an_impossible_allowance_is_refused(allowance):
    assert f"allowance is {allowance:g} in" in refusal_of(grid(1, 1), allowance=allowance)


def test_two_patches_of_one_name_are_refused():
    twin = [Patch("a", make_rectangle(2 * i, 0, 2, 2), "patch") for i in range(2)]
    with pytest.raises(PatchworkError, match="`a`"):
        Patchwork(tuple(twin))
