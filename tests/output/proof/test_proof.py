"""The proof sheet: it passes sound patterns and refuses each damage by name."""

from dataclasses import replace

import pytest
from printed import pattern_of, singly_of

from kit.output.proof.proof import prove
from kit.publish import redraft


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
    assert "Totals are pieces per unit times units" in failures
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
    assert "Cut sizes are finished sizes plus the allowance" in failures
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
    pattern = singly_of("ferry-steps")
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
    assert "Unit sizes are their patches plus two allowances" in failures


def test_a_unit_that_takes_another_number_of_a_piece_fails_the_totals():
    pattern = pattern_of("ferry-steps")
    unit, *rest = pattern.sewing.units
    (name, count), *parts = unit.parts
    wrong = replace(unit, parts=((name, count + 1), *parts))
    failures = find_failures(replace(pattern, sewing=replace(pattern.sewing, units=(wrong, *rest))))
    assert "Totals are pieces per unit times units" in failures


def test_a_patch_of_a_fabric_without_a_letter_fails():
    pattern = pattern_of("ferry-steps")
    assignment = dict(pattern.colouring.assignment)
    assignment[min(assignment)] = "Unheard of"
    failures = find_failures(replace(pattern, colouring=replace(pattern.colouring, assignment=assignment)))
    assert failures == ["Every letter is in the fabric key"]


def test_a_piece_left_over_fails():
    pattern = pattern_of("ferry-steps")
    rehearsal = replace(pattern.rehearsal, left_over=("row 1 block 1",))
    assert "Every cut piece is sewn" in find_failures(replace(pattern, rehearsal=rehearsal))


def test_a_top_of_another_size_than_designed_fails():
    pattern = pattern_of("ferry-steps")
    wide, high = pattern.rehearsal.finished
    rehearsal = replace(pattern.rehearsal, finished=(wide + 0.25, high))
    assert find_failures(replace(pattern, rehearsal=rehearsal)) == ["The written steps give the design"]


def test_a_unit_whose_parts_are_listed_wrongly_fails_the_sums():
    pattern = pattern_of("millwheel")
    *units, top = pattern.sewing.units
    (name, count), *parts = top.parts
    wrong = replace(top, parts=(*parts, (name, count + 1)))
    failures = find_failures(replace(pattern, sewing=replace(pattern.sewing, units=(*units, wrong))))
    assert "Units add up to blocks and to the top" in failures


def test_a_unit_with_a_gap_in_it_fails_the_sums():
    pattern = pattern_of("ferry-steps")
    target = dict(pattern.sewing.target)
    name = pattern.sewing.units[0].copies[0][1]
    (left, bottom), (right, top) = target[name][0], target[name][2]
    middle = (bottom + top) / 2  # half of a strip is gone, next to the strip beside it
    target[name] = ((left, bottom), (left, middle), (right, middle), (right, bottom))
    found = find_failures(replace(pattern, sewing=replace(pattern.sewing, target=tuple(target.items()))))
    assert {"Unit sizes are their patches plus two allowances", "Units add up to blocks and to the top"} & set(found)


def test_a_binding_that_is_short_by_one_join_fails():
    pattern = pattern_of("ferry-steps")
    binding = pattern.finishing.binding
    wrong = replace(binding, total=binding.total + binding.join_cost)
    failures = find_failures(replace(pattern, finishing=replace(pattern.finishing, binding=wrong)))
    assert failures == ["The binding goes all the way round, joins included"]


def test_a_binding_of_a_strip_too_few_fails():
    pattern = pattern_of("ferry-steps")
    binding = pattern.finishing.binding
    total = binding.total - binding.lengths[-1] + binding.join_cost
    wrong = replace(binding, lengths=binding.lengths[:-1], total=total)
    failures = find_failures(replace(pattern, finishing=replace(pattern.finishing, binding=wrong)))
    assert failures == ["The binding goes all the way round, joins included"]


@pytest.mark.parametrize("layer", ["backing", "batting"])
def test_a_layer_without_its_margin_fails(layer):
    pattern = pattern_of("ferry-steps")
    small = replace(getattr(pattern.finishing, layer), needed=pattern.patchwork.finished)
    failures = find_failures(replace(pattern, finishing=replace(pattern.finishing, **{layer: small})))
    assert failures == ["Backing and batting reach beyond the top"]


def test_a_strip_longer_than_the_cloth_is_wide_fails():
    pattern = pattern_of("ferry-steps")
    strip = pattern.cutting.cloths[0].strips[0]
    assert "The cloth bought holds every strip" in find_failures(change_strip(pattern, length=strip.length + 1))


def test_a_piece_that_the_list_does_not_have_and_the_text_has_fails_the_letters():
    pattern = singly_of("ferry-steps")
    failures = find_failures(change_piece(pattern, 0, id="Q7"))
    assert "Every letter is in the fabric key" in failures


def test_a_piece_of_a_role_whose_fabrics_have_another_letter_fails():
    pattern = singly_of("ferry-steps")
    first, second, *rest = pattern.making.pieces
    wrong = replace(pattern.making, pieces=(replace(first, slot=second.slot), second, *rest))
    failures = find_failures(replace(pattern, making=wrong))
    assert "Every letter is in the fabric key" in failures


def test_in_a_metric_pattern_areas_are_metric():
    metric = redraft(pattern_of("ferry-steps"), "metric")
    line = next(line for line in prove(metric) if line.name == "Pieces without allowance add up to the top")
    wide, high = metric.patchwork.finished
    assert line.figures.endswith(f"top about {wide * high * 2.54**2:.0f} square centimetres")
