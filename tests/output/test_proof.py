"""The proof sheet: it passes sound patterns and refuses each damage by name."""

from dataclasses import replace

import pytest
from printed import pattern_of

from kit.output.proof import prove


def find_failures(pattern):
    return [line.name for line in prove(pattern) if not line.passed]


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel", "tideline", "slipway"])
def test_every_line_passes_for_a_sound_pattern_and_shows_its_figures(name):
    lines = prove(pattern_of(name))
    assert len(lines) >= 12
    assert all(line.passed for line in lines)
    assert all(line.figures for line in lines)


def change_piece(pattern, place, **changes):
    pieces = list(pattern.cut_list.pieces)
    pieces[place] = replace(pieces[place], **changes)
    return replace(pattern, cut_list=replace(pattern.cut_list, pieces=tuple(pieces)))


def test_a_piece_cut_once_too_often_fails_the_totals_and_the_counts():
    pattern = pattern_of("millwheel")
    failures = find_failures(change_piece(pattern, 0, count=pattern.cut_list.pieces[0].count + 1))
    assert "Totals are pieces a unit times units" in failures
    assert "Every piece is cut, none twice" in failures


def test_a_mirrored_piece_fails_the_hands():
    pattern = pattern_of("millwheel")
    place = next(i for i, piece in enumerate(pattern.cut_list.pieces) if piece.hand)
    outline = pattern.cut_list.pieces[place].outline
    right = max(x for x, _ in outline)
    mirrored = tuple((right - x, y) for x, y in reversed(outline))
    mirrored = mirrored[-2:] + mirrored[:-2]
    failures = find_failures(change_piece(pattern, place, outline=mirrored))
    assert "Left and right pieces are cut as they are sewn" in failures


def test_a_piece_an_eighth_too_narrow_fails_its_cut_size_and_the_area():
    pattern = pattern_of("ferry-steps")
    wide, high = pattern.cut_list.pieces[0].outline[2]
    small = ((0.0, 0.0), (wide, 0.0), (wide, high - 0.125), (0.0, high - 0.125))
    failures = find_failures(change_piece(pattern, 0, outline=small))
    assert "Cut sizes are finished sizes and the allowance" in failures
    assert "Pieces without allowance add up to the top" in failures


def test_a_cut_size_rounded_down_fails():
    pattern = pattern_of("tideline")
    piece = pattern.cut_list.pieces[0]
    down = {name: size - 0.125 for name, size in piece.rounded.items()}
    assert "No cut size is rounded down" in find_failures(change_piece(pattern, 0, rounded=down))


def change_strip(pattern, **changes):
    first, *rest = pattern.cutting.cloths
    strips = (replace(first.strips[0], **changes), *first.strips[1:])
    return replace(pattern, cutting=replace(pattern.cutting, cloths=(replace(first, strips=strips), *rest)))


def test_a_cut_that_sticks_out_of_its_strip_fails():
    pattern = pattern_of("ferry-steps")
    strip = pattern.cutting.cloths[0].strips[0]
    cuts = (*strip.cuts[:-1], replace(strip.cuts[-1], x=strip.length - 1))
    assert "Every cut lies within its strip and over no other" in find_failures(change_strip(pattern, cuts=cuts))


def test_two_cuts_on_one_place_fail():
    pattern = pattern_of("ferry-steps")
    strip = pattern.cutting.cloths[0].strips[0]
    cuts = (replace(strip.cuts[0], shapes=()), replace(strip.cuts[1], x=strip.cuts[0].x, shapes=()), *strip.cuts[2:])
    assert "Every cut lies within its strip and over no other" in find_failures(change_strip(pattern, cuts=cuts))


def test_strips_that_take_more_than_the_cloth_that_is_charged_fail():
    pattern = pattern_of("ferry-steps")
    strip = pattern.cutting.cloths[0].strips[0]
    failures = find_failures(change_strip(pattern, height=strip.height + 0.5))
    assert "The cloth bought holds every strip" in failures


def test_a_cut_that_is_dropped_fails_the_counts():
    pattern = pattern_of("ferry-steps")
    strip = pattern.cutting.cloths[0].strips[0]
    assert "Every piece is cut, none twice" in find_failures(change_strip(pattern, cuts=strip.cuts[1:]))


def test_a_unit_of_another_size_fails():
    pattern = pattern_of("ferry-steps")
    unit, *rest = pattern.sewing.units
    wrong = replace(unit, unfinished=(unit.unfinished[0] - 0.5, unit.unfinished[1]))
    failures = find_failures(replace(pattern, sewing=replace(pattern.sewing, units=(wrong, *rest))))
    assert "Unit sizes are their patches and two allowances" in failures


def test_a_unit_that_takes_another_number_of_a_piece_fails_the_totals():
    pattern = pattern_of("ferry-steps")
    unit, *rest = pattern.sewing.units
    (name, count), *parts = unit.parts
    wrong = replace(unit, parts=((name, count + 1), *parts))
    failures = find_failures(replace(pattern, sewing=replace(pattern.sewing, units=(wrong, *rest))))
    assert "Totals are pieces a unit times units" in failures


def test_a_patch_of_a_fabric_without_a_letter_fails():
    pattern = pattern_of("ferry-steps")
    assignment = dict(pattern.colouring.assignment)
    assignment[min(assignment)] = "Unheard of"
    failures = find_failures(replace(pattern, colouring=replace(pattern.colouring, assignment=assignment)))
    assert failures == ["Every letter stands in the fabric key"]


def test_a_piece_left_over_fails():
    pattern = pattern_of("ferry-steps")
    rehearsal = replace(pattern.rehearsal, left_over=("row 1 block 1",))
    assert "Every piece that is cut is sewn" in find_failures(replace(pattern, rehearsal=rehearsal))


def test_a_top_of_another_size_than_designed_fails():
    pattern = pattern_of("ferry-steps")
    wide, high = pattern.rehearsal.finished
    rehearsal = replace(pattern.rehearsal, finished=(wide + 0.25, high))
    assert find_failures(replace(pattern, rehearsal=rehearsal)) == ["The written steps give the design"]
