"""The picture of a strip set: its strips in order and to scale, the cuts across where the words say, their measure."""

from dataclasses import replace
from itertools import pairwise
from math import atan2, degrees, dist, radians, sin

import pytest
from printed import pattern_of

import kit
from kit.output.document.cutting_pictures import draw_drawn_strips, list_drawn_strips
from kit.output.pictures.set_picture import draw_strip_sets, list_across
from kit.output.words.batch_words import list_making


def read_sketch(name):
    return kit.make_sketch(kit.open_study(f"data/studies/{name}.toml"), ways=True)


def list_sets(sketch):
    return [made for made in sketch.making.made if made.unit == "strip set"]


def find_widths(drawing):
    return [max(x for x, _ in strip.points) - min(x for x, _ in strip.points) for strip in drawing.polygons]


@pytest.mark.parametrize("name", ["boat-shed", "chandlery", "ferry-steps", "town-quay", "saltmarsh"])
def test_every_strip_set_has_a_picture_with_its_strips_in_order_and_its_cuts_in_place(name):
    sketch = read_sketch(name)
    drawings = draw_strip_sets(sketch)
    assert list(drawings) == [made.id for made in list_sets(sketch)] != []
    for made, drawing in zip(list_sets(sketch), drawings.values(), strict=True):
        assert [strip.label for strip in drawing.polygons] == list(made.fabrics)
        lefts = [min(x for x, _ in strip.points) for strip in drawing.polygons]
        assert lefts == sorted(lefts)
        # sewn, a strip is as wide as its patches; the first and the last keep the allowance of their outer edge
        outer = [0.25 * (i == 0) + 0.25 * (i == len(made.widths) - 1) for i in range(len(made.widths))]
        assert find_widths(drawing) == pytest.approx([w + o for w, o in zip(made.widths, outer, strict=True)])
        cuts = sorted(line.points[0][1] for line in drawing.lines if line.width == 3.0)
        across = list_across(made)
        assert 2 <= len(cuts) <= len(across) + 1
        assert [b - a for a, b in pairwise(cuts)] == pytest.approx(across[: len(cuts) - 1])
        measures = [note.text for note in drawing.notes[len(made.fabrics) :]]
        words = " ".join(line for one in list_making(sketch) for line in one.lines)
        assert measures
        assert all(measure in words for measure in measures)


@pytest.mark.parametrize("name", ["chandlery", "saltmarsh"])
def test_the_printed_pattern_holds_the_pictures_with_a_heading(name):
    pattern = pattern_of(name)
    wanted = [f"set-{made.id}.svg" for made in list_sets(pattern)]
    listed = [one for one in list_drawn_strips(pattern) if one["picture"]["file"].startswith("set-")]
    assert [one["picture"]["file"] for one in listed] == wanted
    assert [one["heading"] for one in listed] == [f"Strip set {made.id}" for made in list_sets(pattern)]
    assert set(wanted) <= set(draw_drawn_strips(pattern))


def test_numbers_of_strips_are_those_of_the_words_and_begin_again_with_their_order():
    (drawing,) = draw_strip_sets(read_sketch("saltmarsh")).values()
    numbers = [note.text for note in drawing.notes[: len(drawing.polygons)]]
    assert numbers == [f"{n % 10 + 1}" for n in range(30)]  # the words: ten strips, all of that three times over


@pytest.mark.parametrize("slant", [30.0, 60.0, 105.0, 135.0])
def test_slanted_cuts_lie_at_their_angle_and_as_far_apart_as_the_words_say(slant):
    sketch = read_sketch("ferry-steps")
    (made,) = list_sets(sketch)
    slanted = replace(sketch, making=replace(sketch.making, made=(replace(made, slant=slant),)))
    (drawing,) = draw_strip_sets(slanted).values()
    cuts = [line.points for line in drawing.lines if line.width == 3.0]
    assert {round(degrees(atan2(b[1] - a[1], b[0] - a[0])), 3) for a, b in cuts} == {90 - slant}
    assert dist(cuts[0][0], cuts[1][0]) * sin(radians(slant)) == pytest.approx(made.segment)
    starts = [strip.points[0][1] for strip in drawing.polygons]
    assert starts == sorted(starts, reverse=slant > 90)  # each begins higher than the one before, or lower


def test_a_study_without_strip_sets_has_no_picture_of_one():
    assert draw_strip_sets(read_sketch("tideline")) == {}
