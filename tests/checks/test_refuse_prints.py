"""Damaged plans and lines of prints and stacks, each refused by name."""

import re
from dataclasses import replace
from functools import cache

import pytest
from cut_lists import make_list

from kit.checks.cutting_check import check_cutting_plan
from kit.checks.cutting_words_check import cut_by_words
from kit.errors import CheckError
from kit.model.cutting import ClothWishes
from kit.model.fabrics import Supply
from kit.model.printed import PrintedLine
from kit.output.words.printed_words import print_cutting
from kit.pipeline import make_sketch
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.study.read_file import read_study

CUTS = make_list([(4.5, 4.5, 22)])
MOTIF = {"repeat": 12, "motif_along": 5, "motif_across": 3}
STACK = {"repeat": 10, "stack": 6}


def make_plan(**way):
    return cutting_plan(CUTS, [Supply("patch", **way)], effort="quick", wishes=ClothWishes())


def change(plan, number, **keys):
    """Return a plan with a strip changed."""
    (cloth,) = plan.cloths
    strips = tuple(replace(strip, **keys) if i == number else strip for i, strip in enumerate(cloth.strips))
    return with_cloth(plan, strips=strips)


def with_cloth(plan, **keys):
    (cloth,) = plan.cloths
    changed = replace(cloth, **keys)
    slot = cloth.supply.slot
    return replace(plan, cloths=(changed,), cloth={slot: changed.used}, bound={slot: min(changed.bound, changed.used)})


def move(plan, number, cut, x):
    """Return a plan with one cut of a strip moved along it."""
    strip = plan.cloths[0].strips[number]
    cuts = tuple(replace(one, x=one.x + x) if i == cut else one for i, one in enumerate(strip.cuts))
    return change(plan, number, cuts=cuts)


@pytest.mark.parametrize(
    ("way", "damage", "says"),
    [
        (MOTIF, lambda plan: change(plan, 1, start=plan.cloths[0].strips[1].start + 1), "1 in apart, along the cloth"),
        (MOTIF, lambda plan: move(plan, 0, 2, 0.5), "0.5 in apart, across the cloth"),
        (MOTIF, lambda plan: change(plan, 1, start=None), "has no place along the cloth"),
        (MOTIF, lambda plan: change(plan, 1, start=plan.cloths[0].strips[0].start), "the next begins at"),
        (MOTIF, lambda plan: with_cloth(plan, lead=0.0), "a repeat is 12 in"),
        ({"repeat": 12}, lambda plan: with_cloth(plan, supply=replace(plan.cloths[0].supply, motif_across=3.0)),
         "off its place, across the cloth"),
        ({"repeat": 12}, lambda plan: with_cloth(plan, supply=replace(plan.cloths[0].supply, motif_along=1.0), lead=12),
         "off its place, along the cloth"),
        (MOTIF, lambda plan: with_cloth(plan, used=40.0), "said to be 40"),
        (STACK, lambda plan: change(plan, 3, start=31.0), "layer 4 is not cut where the first is"),
        (STACK, lambda plan: with_cloth(plan, layer=9.5), "a repeat of the print 10 in"),
        (STACK, lambda plan: change(plan, 5, start=45.0), "strips lie in 5 layers, the stack has 6"),
        (STACK, lambda plan: move(plan, 1, 1, 20.0), "layer 2 has a A1 where the first layer has none"),
        (STACK, lambda plan: with_cloth(plan, used=50.0), "said to be 50"),
        (STACK, lambda plan: change(plan, 5, start=49.0), "reaches into the next"),
    ],
)  # fmt: skip
def test_damaged_plans_of_prints_are_refused(way, damage, says):
    plan = make_plan(**way)
    check_cutting_plan(CUTS, plan)
    with pytest.raises(CheckError, match=says):
        check_cutting_plan(CUTS, damage(plan))


def test_a_layer_with_a_set_too_many_is_refused():
    plan = cutting_plan(make_list([(4.5, 4.5, 30)]), [Supply("patch", **STACK)], effort="quick", wishes=ClothWishes())
    cuts = make_list([(4.5, 4.5, 24)])
    strips = plan.cloths[0].strips
    fewer = tuple(replace(strip, cuts=strip.cuts[:4] if i else strip.cuts) for i, strip in enumerate(strips))
    last = replace(fewer[-1], cuts=fewer[-1].cuts[:3])
    with pytest.raises(CheckError, match="sets of A1 are cut, fewer would do"):
        check_cutting_plan(cuts, with_cloth(plan, strips=(*fewer[:-1], last)))


def test_pieces_that_lie_across_the_stripes_are_refused():
    cuts = make_list([(2.5, 12.5, 6)])
    plan = cutting_plan(cuts, [Supply("patch", stripes="along")])
    turned = with_cloth(plan, supply=replace(plan.cloths[0].supply, stripes="across"))
    with pytest.raises(CheckError, match="short side along the stripes"):
        check_cutting_plan(cuts, turned)


# Printed lines

STUDY = """
title = "Print Quay"
[measures]
system = "{system}"
[design]
family = "pinwheel"
columns = 4
rows = 5
border = [{{finished = "6 in", corners = "mitred", slot = "border"}}]
[[fabric]]
slot = "border"
name = "Rope"
colour = "#b4552d"
{border}
[[fabric]]
slot = "sail"
name = "Gull row"
colour = "#2f5d7c"
{sail}
[[fabric]]
slot = "ground"
name = "Fog"
colour = "#dfe6ea"
"""
BORDERS = (
    'repeat = "24 in"\nrepeat_across = "8 in"', 'repeat = "24 in"\nmotif_along = "0 in"\nmotif_across = "4 in"',
    'repeat = "8 in"\nstripes = "along"\nmotif_across = "4 in"', 'stripes = "along"', 'repeat = "18 in"\nstack = 4',
)  # fmt: skip
SAILS = (
    'repeat = "12 in"', 'repeat = "12 in"\nrepeat_across = "7 in"\nmotif_along = "5 in"\nmotif_across = "3 in"',
    'repeat = "11 in"\nstack = 4', 'repeat = "11 in"\nstack = 4\none_way = true',
    'repeat = "11 in"\nstack = 3\nnap = true',
    'repeat = "8 in"\none_way = true', 'repeat = "8 in"\nnap = true\nmotif_across = "3 in"', 'stripes = "across"',
    'repeat = "6 in"\nstripes = "across"', 'repeat = "6 in"\nstripes = "along"', 'repeat = "50 in"',
)  # fmt: skip


@cache
def make(system, border, sail):
    return make_sketch(read_study(STUDY.format(system=system, border=border, sail=sail)))


@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize("sail", SAILS)
def test_the_words_of_every_print_are_cut_by_the_reader(system, sail):
    for border in BORDERS if sail == SAILS[0] else BORDERS[:1]:
        sketch = make(system, border, sail)
        check_cutting_plan(sketch.making.cut_list, sketch.cutting)
        found = cut_by_words(print_cutting(sketch))
        assert found.faults == ()
        assert found.pieces == sum(piece.count for piece in sketch.making.pieces) - sum(
            sum(plan.short.values()) for plan in sketch.cutting.cloths
        )
        assert found.strips == sum(len(plan.strips) for plan in sketch.cutting.cloths)


@pytest.mark.parametrize(
    ("sail", "old", "new", "says"),
    [
        (SAILS[0], "then one every 12 in.", "then one every 13 in.", "not a whole number of repeats"),
        (SAILS[1], "then one every 7 in", "then one every 8 in", "not a whole number of repeats"),
        (SAILS[1], "in from the left edge", "in from the right edge", "does not say where"),
        (SAILS[1], "from the left side of each", "from the right side of each", "does not say where the motif lies"),
        (SAILS[1], "Cut (16)", "Cut (15)", "fit, 80 are asked for"),
        (SAILS[1], "the middle of the motif 1⅝ in", "the middle of the motif 2⅝ in", "off its place across the cloth"),
        (SAILS[1], "The middle of the motif lies", "The middle of it lies", "does not say where the motif lies"),
        (SAILS[0], "one every 12 in.", "one near the other.", "how far apart they begin"),
        (SAILS[2], "through 4 layers", "through 5 layers", "80 triangles|do not give|the stack has 4 layers"),
        (SAILS[2], "Cut (4) layers", "Cut (3) layers", "the stack has 3 layers"),
        (SAILS[2], "Cut (4) layers 11 in", "Cut (4) layers 4 in", "of a layer of 4 in|takes? 4.875 in"),
    ],
)  # fmt: skip
def test_damaged_lines_of_prints_are_refused(sail, old, new, says):
    printed = print_cutting(make("inch", BORDERS[0], sail))
    cloths, found = [], False
    for cloth in printed.cloths:
        lines = []
        for line in cloth.lines:
            text = line.text.replace("\u00a0", " ")
            if cloth.fabric == "Gull row" and old in text:
                text, found = text.replace(old, new), True
            lines.append(PrintedLine(text, line.depth))
        cloths.append(replace(cloth, lines=tuple(lines)))
    assert found, [line.text for cloth in printed.cloths for line in cloth.lines]
    faults = cut_by_words(replace(printed, cloths=tuple(cloths))).faults
    assert faults
    assert re.search(says, faults[0]), faults


BORDER = make_list([(6.5, 66.5, 4)])


@pytest.mark.parametrize(
    ("number", "keys", "says"),
    [(1, {"x": 1.0}, "does not run on across"), (0, {"order": 3}, "not numbered"), (5, {"width": -1.0}, "in long")],
)
def test_a_border_whose_print_does_not_run_on_is_refused(number, keys, says):
    plan = cutting_plan(BORDER, [Supply("patch", repeat=24, repeat_across=8, one_way=True)], wishes=ClothWishes())
    check_cutting_plan(BORDER, plan)
    order = sorted(range(8), key=lambda k: plan.cloths[0].strips[k].cuts[0].order)
    place = order[number]
    (cut,) = plan.cloths[0].strips[place].cuts
    changed = {name: (value if name == "order" else getattr(cut, name) + value) for name, value in keys.items()}
    with pytest.raises(CheckError, match=says):
        check_cutting_plan(BORDER, change(plan, place, cuts=(replace(cut, **changed),)))


def test_a_border_at_another_place_along_the_cloth_is_refused():
    plan = cutting_plan(BORDER, [Supply("patch", repeat=24, repeat_across=8, one_way=True)], wishes=ClothWishes())
    last = len(plan.cloths[0].strips) - 1
    moved = change(plan, last, start=plan.cloths[0].strips[last].start + 6)
    used = moved.cloths[0].used + 6
    with pytest.raises(CheckError, match="does not run on along"):
        check_cutting_plan(BORDER, with_cloth(moved, used=used))
