"""The check of a cutting plan refuses pieces that lie wrongly: turned, flipped, off the grain, too short, uncuttable.

Each plan is a planner's own with one thing changed, and each refusal names the piece and what is wrong with it.
"""

from dataclasses import replace

import pytest
from cut_lists import make_list, make_piece
from strategies import Case

from kit.checks.cutting_check import check_cutting_plan
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle, measure_box, move_outline, turn_outline
from kit.model.cutting import Cut, LaidPiece, Strip
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list


def refusal(cuts, plan):
    with pytest.raises(CheckError) as caught:
        check_cutting_plan(cuts, plan)
    return caught.value.found


def put_strips(plan, strips, **changes):
    """Return a plan of one cloth with other strips, its figures made to fit them."""
    (cloth,) = plan.cloths
    used = sum(strip.height for strip in strips) if cloth.supply.form == "yardage" else float(len(strips))
    slot = cloth.supply.slot
    cloth = replace(cloth, strips=tuple(strips), used=used, bound=0.0, **changes)
    return replace(plan, cloths=(cloth,), cloth={slot: used}, bound={slot: 0.0})


def put_cut(plan, number, **changes):
    """Return a plan of one cloth with one cut of its first strip changed."""
    first, *others = plan.cloths[0].strips
    cuts = list(first.cuts)
    cuts[number] = replace(cuts[number], **changes)
    return put_strips(plan, [replace(first, cuts=tuple(cuts)), *others])


def settle(outline):
    """Return an outline moved so that its box begins at the origin."""
    left, bottom, _, _ = measure_box(outline)
    return move_outline(outline, -left, -bottom)


def spread(piece_id, boxes, cut_list_piece):
    return [
        Cut(piece_id, x, y, w, h, 1, (LaidPiece(piece_id, lay(cut_list_piece.outline, upright=h > w)),))
        for x, y, w, h in boxes
    ]


def lay(outline, *, upright):
    return settle(turn_outline(outline, 90)) if upright else outline


def plan_of(cuts, **supply):
    plan = cutting_plan(cuts, [Supply("patch", **supply)])
    check_cutting_plan(cuts, plan)
    return plan


# What can be cut


def test_a_ring_of_four_round_a_fifth_is_refused_for_no_straight_cut_parts_it():
    cuts = make_list([(4, 8, 4), (4, 4, 1)])
    plan = plan_of(cuts)
    ring = spread("A1", [(0, 0, 8, 4), (8, 0, 4, 8), (4, 8, 8, 4), (0, 4, 4, 8)], cuts.pieces[0])
    middle = spread("A2", [(4, 4, 4, 4)], cuts.pieces[1])
    message = refusal(cuts, put_strips(plan, [Strip(12.0, 40.0, (*ring, *middle))]))
    assert "cannot be cut by straight cuts from edge to edge" in message


def test_the_same_five_in_rows_are_accepted():
    cuts = make_list([(4, 8, 4), (4, 4, 1)])
    rows = spread("A1", [(0, 0, 8, 4), (8, 0, 8, 4), (0, 4, 8, 4), (8, 4, 8, 4)], cuts.pieces[0])
    last = spread("A2", [(16, 0, 4, 4)], cuts.pieces[1])
    check_cutting_plan(cuts, put_strips(plan_of(cuts), [Strip(8.0, 40.0, (*rows, *last))]))


def test_a_strip_longer_than_the_cloth_is_wide_is_refused_with_both_figures():
    cuts = make_list([(2.5, 2.5, 3)])
    plan = plan_of(cuts)
    (strip,) = plan.cloths[0].strips
    message = refusal(cuts, put_strips(plan, [replace(strip, length=40.5)]))
    assert "40.5 in" in message
    assert "40 in wide" in message


def test_a_strip_wider_than_its_roll_is_refused():
    cuts = make_list([(2.5, 2.5, 3)])
    plan = cutting_plan(cuts, [Supply("patch", "strips", 2.5, 40)])
    (strip,) = plan.cloths[0].strips
    assert "its cloth is" in refusal(cuts, put_strips(plan, [replace(strip, height=2.75)]))


def test_more_yardage_than_there_is_once_it_has_shrunk_is_refused_with_both_figures():
    cuts = make_list([(2.5, 2.5, 48)])
    plan = cutting_plan(cuts, [Supply("patch", length=12)])
    (cloth,) = plan.cloths
    shrunk = replace(cloth.supply, width=41.0, length=8.5, shrinkage=0.01)
    damaged = replace(plan, cloths=(replace(cloth, supply=shrunk),))
    assert "8.415 in are there" in refusal(cuts, damaged)


# How a piece lies


def test_a_square_turned_off_the_grain_is_refused():
    cuts = make_list([(2.5, 2.5, 1)])
    plan = plan_of(cuts)
    outline = settle(turn_outline(cuts.pieces[0].outline, 30))
    cut = Cut("A1", 0, 0, 4, 4, 1, (LaidPiece("A1", outline),))
    assert "A1 lies off its grain" in refusal(cuts, put_strips(plan, [Strip(4.0, 40.0, (cut,))]))


@pytest.mark.parametrize("way", ["one_way", "nap"])
def test_a_quarter_turn_is_refused_where_the_print_has_a_direction_and_allowed_where_it_has_none(way):
    cuts = make_list([(3, 6, 2)])
    boxes = [(0, 0, 6, 3), (6, 0, 3, 6)]
    strip = Strip(6.0, 40.0, tuple(spread("A1", boxes, cuts.pieces[0])))
    check_cutting_plan(cuts, put_strips(plan_of(cuts), [strip]))
    message = refusal(cuts, put_strips(plan_of(cuts, **{way: True}), [strip]))
    assert "A1 is turned by 90.0°" in message


@pytest.mark.parametrize("way", ["one_way", "nap"])
def test_a_sash_of_a_one_way_print_that_stands_in_the_top_and_lies_in_the_cloth_is_refused(way):
    outlines = [make_rectangle(0, 0, 6, 2), make_rectangle(6, 0, 2, 6)]
    cuts = cut_list(patchwork_from_outlines(outlines))
    (piece,) = cuts.pieces
    lying, standing = (0, 0, 6.5, 2.5), (6.5, 0, 2.5, 6.5)
    right = Strip(6.5, 40.0, tuple(spread(piece.id, [lying, standing], piece)))
    wrong = Strip(2.5, 40.0, tuple(spread(piece.id, [lying, (6.5, 0, 6.5, 2.5)], piece)))
    check_cutting_plan(cuts, put_strips(plan_of(cuts, **{way: True}), [right]))
    message = refusal(cuts, put_strips(plan_of(cuts, **{way: True}), [wrong]))
    assert f"2 of {piece.id} lie turned by 0° in a one-way print, in the top 1 do" in message
    check_cutting_plan(cuts, put_strips(plan_of(cuts), [wrong]))


def half_squares(count):
    halves = [((0, 0), (3, 0), (0, 3)), ((3, 0), (3, 3), (0, 3))]
    outlines = [move_outline(half, 3 * i, 0) for i in range(count) for half in halves]
    return cut_list(patchwork_from_outlines(outlines, ["patch", "other"] * count))


def test_a_half_turn_is_refused_where_the_cloth_has_a_nap_and_allowed_on_a_one_way_print():
    cuts = half_squares(2)
    piece = next(piece for piece in cuts.pieces if piece.slot == "patch")
    cuts = replace(cuts, pieces=(piece,))
    for way, refused in (("nap", True), ("one_way", False)):
        plan = cutting_plan(cuts, [Supply("patch", nap=True)])
        plan = replace(plan, cloths=(replace(plan.cloths[0], supply=Supply("patch", **{way: True})),))
        cut = plan.cloths[0].strips[0].cuts[0]
        turned = tuple((cut.width - x, cut.height - y) for x, y in cut.shapes[0].outline)
        damaged = put_cut(plan, 0, shapes=(LaidPiece(piece.id, turned),))
        if refused:
            assert f"{piece.id} lie turned by 270° in a one-way print, in the top 0 do" in refusal(cuts, damaged)
        else:
            check_cutting_plan(cuts, damaged)


@pytest.fixture(scope="module")
def braid():
    """Return the blades of a braid, left and right, cut in pairs through folded strips."""
    cuts = cut_list(Case({"family": "braid", "columns": 2, "pairs": 12}, "1/4 in").build())
    cuts = replace(cuts, pieces=tuple(piece for piece in cuts.pieces if piece.slot == "blade"))
    plan = cutting_plan(cuts, [Supply("blade", "strips", 2.5, 40)])
    check_cutting_plan(cuts, plan)
    return cuts, plan


def test_a_piece_cut_as_its_mirror_image_is_refused_with_its_hand(braid):
    cuts, plan = braid
    (cloth,) = plan.cloths
    flat = [
        replace(strip, folded=False, cuts=tuple(replace(cut, folded=False) for cut in strip.cuts))
        for strip in cloth.strips
    ]
    check_cutting_plan(cuts, put_strips(plan, flat))
    strip = flat[0]
    cut = strip.cuts[0]
    hand = next(piece.hand for piece in cuts.pieces if piece.id == cut.piece)
    flipped = tuple(
        LaidPiece(shape.piece, tuple((cut.width - x, y) for x, y in reversed(shape.outline))) for shape in cut.shapes
    )
    damaged = [replace(strip, cuts=(replace(cut, shapes=flipped), *strip.cuts[1:])), *flat[1:]]
    message = refusal(cuts, put_strips(plan, damaged))
    assert f"{cut.piece} lies flipped: it is a {hand} piece" in message


def test_two_pieces_laid_over_each_other_in_one_cut_are_refused():
    cuts = half_squares(2)
    piece = next(piece for piece in cuts.pieces if piece.slot == "patch")
    cuts = replace(cuts, pieces=(piece,))
    plan = plan_of(cuts)
    cut = plan.cloths[0].strips[0].cuts[0]
    assert cut.count == 2
    message = refusal(cuts, put_cut(plan, 0, shapes=(cut.shapes[0], cut.shapes[0])))
    assert f"two of {piece.id} overlap" in message


def test_a_shape_that_is_not_the_pieces_is_refused():
    cuts = make_list([(3, 6, 1)])
    plan = plan_of(cuts)
    wrong = LaidPiece("A1", make_rectangle(0, 0, 5.5, 3))
    assert "is not its shape" in refusal(cuts, put_cut(plan, 0, shapes=(wrong,)))


def test_a_shape_outside_its_cut_is_refused():
    cuts = make_list([(3, 6, 1)])
    plan = plan_of(cuts)
    wrong = LaidPiece("A1", move_outline(plan.cloths[0].strips[0].cuts[0].shapes[0].outline, 0.5, 0))
    assert "does not lie inside its cut" in refusal(cuts, put_cut(plan, 0, shapes=(wrong,)))


@pytest.mark.parametrize("damage", ["count", "place", "fold"])
def test_two_layers_that_do_not_mirror_each_other_are_refused(braid, damage):
    cuts, plan = braid
    (cloth,) = plan.cloths
    strip = cloth.strips[0]
    assert strip.folded
    first, *others = strip.cuts
    changed = {
        "count": replace(strip, cuts=(replace(first, count=first.count - 1, shapes=first.shapes[1:]), *others)),
        "place": replace(strip, cuts=(replace(first, folded=False), *others)),
        "fold": replace(strip, folded=False),
    }[damage]
    assert "folded" in refusal(cuts, put_strips(plan, [changed, *cloth.strips[1:]]))


# What is joined, and what the print asks


@pytest.fixture(scope="module")
def border():
    """Return four border strips of 50 1/2 in, joined from strips of 40 in."""
    cuts = make_list([(5.5, 50.5, 4)])
    plan = cutting_plan(cuts, [Supply("patch")])
    check_cutting_plan(cuts, plan)
    assert all(cut.joined for strip in plan.cloths[0].strips for cut in strip.cuts)
    return cuts, plan


def test_joined_strips_that_are_too_short_are_refused_with_both_lengths(border):
    cuts, plan = border
    cut = plan.cloths[0].strips[0].cuts[0]
    message = refusal(cuts, put_cut(plan, 0, width=cut.width - 1))
    assert "202 in are needed" in message
    assert "201 in long" in message


def test_a_joined_strip_that_is_too_narrow_is_refused(border):
    cuts, plan = border
    assert "narrower than 5.5 in" in refusal(cuts, put_cut(plan, 0, height=5.0))


def test_a_short_bit_among_the_joined_strips_is_refused(border):
    cuts, plan = border
    strips = [plan.cloths[0].strips[0], *plan.cloths[0].strips]
    cut = replace(strips[0].cuts[0], width=3.875, count=0)
    damaged = put_strips(plan, [*strips[1:], replace(strips[0], cuts=(cut,))])
    assert "3.875 in is joined for A1, shorter than a hand's width" in refusal(cuts, damaged)


def test_a_join_dropped_is_refused(border):
    cuts, plan = border
    short = put_strips(plan, plan.cloths[0].strips[1:])
    assert "A1" in refusal(cuts, short)


def test_a_fussy_cut_of_less_than_a_repeat_is_refused():
    cuts = make_list([(4, 4, 2)])
    plan = plan_of(
        cuts, form="fat quarter", width=20, repeat=6
    )  # nobody knows where in the repeat a fat quarter begins
    cut = plan.cloths[0].strips[0].cuts[0]
    assert (cut.width, cut.height) == (6, 6)
    assert "less than a repeat" in refusal(cuts, put_cut(plan, 0, width=5.0))


def test_a_piece_with_its_long_side_the_wrong_way_of_the_cut_is_refused():
    cuts = make_list([(3, 6, 2)])
    plan = plan_of(cuts, one_way=True)
    cut = plan.cloths[0].strips[0].cuts[0]
    damaged = put_cut(plan, 0, width=cut.height, height=cut.width)
    assert "A1" in refusal(cuts, damaged)


def test_a_piece_of_the_tests_own_cut_list_is_what_it_says():
    piece = make_piece(1, 3, 6, 2)
    assert (piece.kind, piece.count, measure_box(piece.outline)) == ("rectangle", 2, (0, 0, 6, 3))


def test_lengths_joined_in_another_order_are_refused(border):
    # Derived: with the fourth length first the third seam lies 22 1/2 + 38 3/4 + 40 in less 5/4 in from the start:
    # 100 in, an inch from the end of the second piece of 50 1/2 in.
    cuts, plan = border
    strips = plan.cloths[0].strips
    order = [cut.order for strip in strips for cut in strip.cuts]
    assert sorted(order) == list(range(1, len(order) + 1))
    lengths = sorted((cut.order, cut.width) for strip in strips for cut in strip.cuts)
    assert [round(width, 3) for _, width in lengths] == [38.75, 40, 40, 22.5, 40, 23.25]
    swap = {1: 2, 2: 3, 3: 4, 4: 1}
    turned = tuple(
        replace(strip, cuts=tuple(replace(cut, order=swap.get(cut.order, cut.order)) for cut in strip.cuts))
        for strip in strips
    )
    damaged = replace(plan, cloths=(replace(plan.cloths[0], strips=turned),))
    assert "in from an end" in refusal(cuts, damaged)
