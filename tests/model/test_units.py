"""The tree of units: every family gives one, copies are congruent, and where a copy lies is where its patches are."""

from itertools import pairwise
from math import hypot

import pytest
from hypothesis import given
from strategies import cases

import kit
from kit.geometry.outlines import make_rectangle, measure_area, mirror_outline, move_outline, turn_outline
from kit.model.patchwork import Patch, Patchwork, Within
from kit.model.units import Placing


def find_middle(outline):
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


def check_tree(patchwork):
    """Every unit: its copies do not share a patch, are slot for slot alike, and lie where their placing says."""
    for unit in patchwork.units.list_all():
        patches = [[patchwork.by_id[name] for name in copy] for copy in unit.patches]
        assert unit.copies == len(unit.patches) == len(unit.placings)
        assert len({name for copy in unit.patches for name in copy}) == unit.copies * len(unit.patches[0])
        for copy, placing in zip(patches, unit.placings, strict=True):
            assert [p.slot for p in copy] == [p.slot for p in patches[0]]
            for here, first in zip(copy, patches[0], strict=True):
                assert measure_area(here.outline) == pytest.approx(measure_area(first.outline))
                x, y = placing.move(find_middle(first.outline))
                u, v = find_middle(here.outline)
                assert hypot(x - u, y - v) < 1e-3, (unit.name, here.id)
        for child in unit.children:
            assert {name for copy in child.patches for name in copy} & {name for copy in unit.patches for name in copy}


@given(cases())
def test_every_family_gives_a_tree_whose_copies_lie_where_it_says(case):
    check_tree(case.build())


@pytest.mark.parametrize(
    ("study", "unit", "copies"),
    [
        ("tideline", "column", 3),
        ("lamplight", "block", None),
        ("millwheel", "panel", 4),
        ("saltmarsh", "panel", None),
        ("harbour-wheel", "spoke", 8),
        ("boat-shed", "post", 6),
        ("town-quay", "tern", 40),
    ],
)
def test_the_demonstration_studies_have_their_units(study, unit, copies):
    patchwork = kit.open_study(f"data/studies/{study}.toml").make_patchwork()
    check_tree(patchwork)
    found = {one.name: one.copies for one in patchwork.units.list_all()}
    assert unit in found
    assert copies is None or found[unit] == copies
    assert patchwork.units.name == "top"
    assert patchwork.units.copies == 1


def make_wing(name, outline, slot, copy):
    return Patch(f"{name}{copy}", outline, slot, group=(Within("wing", str(copy)),))


LEFT = (((0.0, 0.0), (3.0, 0.0), (0.0, 2.0)), ((3.0, 0.0), (3.0, 2.0), (0.0, 2.0)))


def place_wings(*changes):
    patches = []
    for k, change in enumerate(changes):
        patches += [make_wing("a", change(LEFT[0]), "dark", k), make_wing("b", change(LEFT[1]), "light", k)]
    return Patchwork(tuple(patches), 0.25)


def test_a_mirror_image_is_a_copy_that_says_so():
    tree = place_wings(lambda o: o, lambda o: move_outline(mirror_outline(o), 6.0, 0.0)).units
    (wing,) = tree.children
    assert (wing.name, wing.copies, wing.mirrored) == ("wing", 2, 1)
    assert [placing.mirrored for placing in wing.placings] == [False, True]


def test_a_turned_copy_is_not_a_mirror_image():
    tree = place_wings(lambda o: o, lambda o: move_outline(turn_outline(o, 37.0), 9.0, 0.0)).units
    (wing,) = tree.children
    assert (wing.copies, wing.mirrored) == (2, 0)
    assert wing.placings[1].degrees == pytest.approx(37.0) or wing.placings[0].degrees == pytest.approx(37.0)


def test_unlike_units_of_one_name_are_told_apart_by_letters():
    patchwork = place_wings(lambda o: o, lambda o: move_outline(o, 3.0, 0.0))
    odd = Patchwork(
        (
            *patchwork.patches[:-1],
            Patch("b1", patchwork.patches[-1].outline, "other", group=patchwork.patches[-1].group),
        ),
        0.25,
    )
    assert [unit.name for unit in odd.units.children] == ["wing A", "wing B"]


def test_a_unit_inside_two_others_is_counted_in_the_whole_top():
    patches = []
    for k in range(3):
        within = (Within("row", str(k)),)
        patches += [
            Patch(f"r{k}s{n}", make_rectangle(2 * n, 2 * k, 2, 2), "x", group=(*within, Within("square", str(n))))
            for n in range(4)
        ]
    tree = Patchwork(tuple(patches), 0.25).units
    (row,) = tree.children
    (square,) = row.children
    assert (row.copies, square.copies) == (3, 12)
    assert [unit.name for unit in tree.list_all()] == ["square", "row", "top"]


def test_a_placing_mirrors_first_then_turns_then_moves():
    assert Placing(1.0, 2.0, 90.0, mirrored=True).move((3.0, 0.0)) == pytest.approx((1.0, -1.0))


def test_reading_the_tree_does_not_depend_on_the_order_of_patches():
    patchwork = kit.open_study("data/studies/lamplight.toml").make_patchwork()
    back = Patchwork(patchwork.patches[::-1], patchwork.allowance, patchwork.trims)
    ours, theirs = ({unit.name: unit.copies for unit in p.units.list_all()} for p in (patchwork, back))
    assert sorted(ours.values()) == sorted(theirs.values())
    assert all(a.copies >= 1 for a, _ in pairwise(patchwork.units.list_all()))
