"""The check of a cutting plan refuses every damaged one and names the piece, the cloth or both."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Case, cases

from kit.checks.cutting_check import check_cutting_plan
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list

pytestmark = pytest.mark.slow

FEW = settings(max_examples=8)


@pytest.fixture(scope="module")
def braid():
    """Return a braid cut from strips of a roll and from yardage."""
    keys = {"family": "braid", "columns": 2, "pairs": 12, "accents": "left", "sashing": {"finished": "1 in"}}
    cuts = cut_list(Case(keys, "1/4 in").build())
    roll = Supply("blade", "strips", 2.5, 40.0, count=20)
    return cuts, cutting_plan(cuts, [roll, *(Supply(slot) for slot in cuts.slots if slot != "blade")])


@pytest.fixture(scope="module")
def floor():
    """Return squares and rectangles of one slot, several to a strip."""
    outlines = [make_rectangle(2 * x, 2 * y, 2, 2) for y in range(4) for x in range(12)]
    outlines += [make_rectangle(4 * x, 8, 4, 3) for x in range(6)]
    cuts = cut_list(patchwork_from_outlines(outlines, ["floor"] * len(outlines)))
    return cuts, cutting_plan(cuts)


@pytest.fixture(scope="module")
def border():
    """Return a border of pieces that are longer than the cloth is wide."""
    sides = [make_rectangle(-5, 0, 5, 50), make_rectangle(40, 0, 5, 50)]
    ends = [make_rectangle(-5, -5, 50, 5), make_rectangle(-5, 50, 50, 5)]
    patchwork = patchwork_from_outlines([make_rectangle(0, 0, 40, 50), *sides, *ends], ["middle", *["border"] * 4])
    cuts = cut_list(patchwork)
    return cuts, cutting_plan(cuts, [Supply("middle", "yardage", 60), Supply("border")])


def refusal(cuts, plan):
    with pytest.raises(CheckError) as caught:
        check_cutting_plan(cuts, plan)
    return caught.value.found


def put(plan, slot, **changes):
    """Return the plan with the cloth of one slot changed."""
    return replace(plan, cloths=tuple(replace(c, **changes) if c.supply.slot == slot else c for c in plan.cloths))


def cloth_of(plan, slot):
    return next(cloth for cloth in plan.cloths if cloth.supply.slot == slot)


def put_cut(plan, slot, strip, cut, **changes):
    """Return the plan with one cut of one strip changed."""
    strips = list(cloth_of(plan, slot).strips)
    cuts = list(strips[strip].cuts)
    cuts[cut] = replace(cuts[cut], **changes)
    strips[strip] = replace(strips[strip], cuts=tuple(cuts))
    return put(plan, slot, strips=tuple(strips))


def put_strip(plan, slot, strip, **changes):
    strips = list(cloth_of(plan, slot).strips)
    strips[strip] = replace(strips[strip], **changes)
    return put(plan, slot, strips=tuple(strips))


def every_cut(plan):
    for cloth in plan.cloths:
        for i, strip in enumerate(cloth.strips):
            for j, cut in enumerate(strip.cuts):
                yield cloth, i, j, cut


def test_the_undamaged_plans_are_accepted(braid, floor, border):
    for cuts, plan in (braid, floor, border):
        check_cutting_plan(cuts, plan)
        assert not any(plan.short.values())


# Strips


def test_a_strip_dropped_is_refused(braid, floor):
    for cuts, plan in (braid, floor):
        for cloth in plan.cloths:
            if cloth.strips:
                message = refusal(cuts, put(plan, cloth.supply.slot, strips=cloth.strips[1:]))
                assert cloth.supply.slot in message


def test_a_strip_dropped_with_its_length_is_refused_with_the_piece_that_it_gave(floor):
    cuts, plan = floor
    cloth = cloth_of(plan, "floor")
    used = cloth.used - cloth.strips[0].height
    damaged = put(plan, "floor", strips=cloth.strips[1:], used=used, bound=0.0)
    damaged = replace(damaged, cloth={"floor": used}, bound={"floor": 0.0})
    message = refusal(cuts, damaged)
    assert any(f"Piece {cut.piece}" in message for cut in cloth.strips[0].cuts)
    assert "needed" in message


def test_a_strip_cut_twice_is_refused(braid, floor):
    for cuts, plan in (braid, floor):
        cloth = max(plan.cloths, key=lambda c: len(c.strips))
        slot = cloth.supply.slot
        assert slot in refusal(cuts, put(plan, slot, strips=(*cloth.strips, cloth.strips[0])))


def test_more_strips_than_there_are_are_refused_with_both_counts(braid):
    cuts, plan = braid
    blade = cloth_of(plan, "blade")
    many = len(blade.strips)
    message = refusal(cuts, put(plan, "blade", supply=replace(blade.supply, count=many - 1)))
    assert "blade" in message
    assert f"{many} strips are used, there are {many - 1}" in message


# Cuts


def test_a_cut_moved_onto_another_is_refused_with_the_piece(floor):
    cuts, plan = floor
    found = 0
    for cloth, i, j, cut in every_cut(plan):
        others = [other for other in cloth.strips[i].cuts if other is not cut and other.y == cut.y]
        if others:
            other = others[0]
            step = min(0.25, other.width / 4)
            x = other.x + step if other.x < cut.x else other.x - step
            message = refusal(cuts, put_cut(plan, "floor", i, j, x=x))
            assert "overlap" in message or "inside" in message
            assert cut.piece in message or other.piece in message
            found += 1
    assert found


@pytest.mark.parametrize("place", [{"x": -0.5}, {"x": 500.0}, {"y": -0.5}, {"y": 50.0}])
def test_a_cut_moved_outside_its_strip_is_refused_with_the_piece(braid, floor, place):
    for cuts, plan in (braid, floor):
        for cloth, i, j, cut in list(every_cut(plan))[:20]:
            message = refusal(cuts, put_cut(plan, cloth.supply.slot, i, j, **place))
            assert cut.piece in message
            assert cloth.supply.slot in message


@pytest.mark.parametrize("change", [-1, 1, 7])
def test_a_count_changed_is_refused_with_the_piece(braid, floor, border, change):
    for cuts, plan in (braid, floor, border):
        for cloth, i, j, cut in list(every_cut(plan))[:20]:
            message = refusal(cuts, put_cut(plan, cloth.supply.slot, i, j, count=cut.count + change))
            assert cut.piece in message


def test_a_cut_for_an_unknown_piece_is_refused_by_its_name(braid, floor):
    for cuts, plan in (braid, floor):
        for cloth, i, j, _ in list(every_cut(plan))[:5]:
            assert "`Z9`" in refusal(cuts, put_cut(plan, cloth.supply.slot, i, j, piece="Z9"))


def test_a_cut_given_to_another_piece_is_refused(braid):
    cuts, plan = braid
    left, right = ([p.id for p in cuts.pieces if p.slot == "blade" and p.hand == hand] for hand in ("left", "right"))
    for cloth, i, j, cut in every_cut(plan):
        if cut.piece in left:
            message = refusal(cuts, put_cut(plan, cloth.supply.slot, i, j, piece=right[0]))
            assert right[0] in message or cut.piece in message
            break
    else:
        raise AssertionError("no left blade is cut")


@pytest.mark.parametrize("size", ["width", "height"])
def test_a_cut_too_small_for_its_pieces_is_refused_with_the_piece(floor, size):
    cuts, plan = floor
    for cloth, i, j, cut in every_cut(plan):
        message = refusal(cuts, put_cut(plan, "floor", i, j, **{size: getattr(cut, size) / 2}))
        assert cut.piece in message
        assert cloth.supply.slot in message


# Figures


def test_a_bound_above_what_is_used_is_refused_with_both_figures(braid, floor):
    for cuts, plan in (braid, floor):
        for cloth in plan.cloths:
            message = refusal(cuts, put(plan, cloth.supply.slot, bound=cloth.used + 1))
            assert cloth.supply.slot in message
            assert f"{cloth.used:g}" in message
            assert f"{cloth.used + 1:g}" in message


@pytest.mark.parametrize("off", [-1.0, 1.0])
def test_a_length_used_that_the_strips_do_not_add_up_to_is_refused_with_both_figures(braid, floor, off):
    for cuts, plan in (braid, floor):
        for cloth in plan.cloths:
            message = refusal(cuts, put(plan, cloth.supply.slot, used=cloth.used + off))
            assert f"add up to {cloth.used:g}, said to be {cloth.used + off:g}" in message


def test_a_piece_said_to_be_short_though_it_is_cut_is_refused(floor):
    cuts, plan = floor
    piece = cuts.pieces[0]
    message = refusal(cuts, put(plan, "floor", short={piece.id: 1}))
    assert f"{piece.count + 1} planned, {piece.count} needed" in message


def test_a_piece_of_the_cut_list_that_the_plan_knows_nothing_of_is_refused(floor):
    cuts, plan = floor
    more = replace(cuts, pieces=tuple(replace(piece, count=piece.count + 1) for piece in cuts.pieces))
    assert f"{cuts.pieces[0].count} planned, {cuts.pieces[0].count + 1} needed" in refusal(more, plan)


@FEW
@given(cases(), st.data())
def test_one_damage_to_any_plan_is_refused(case, data):
    cuts = cut_list(case.build())
    plan = cutting_plan(cuts, effort="steady")
    cloth, i, j, cut = data.draw(st.sampled_from(list(every_cut(plan))))
    slot = cloth.supply.slot
    damaged = data.draw(
        st.sampled_from(
            [
                put_cut(plan, slot, i, j, count=cut.count + 1),
                put_cut(plan, slot, i, j, x=cloth.strips[i].length),
                put_cut(plan, slot, i, j, y=cloth.strips[i].height),
                put_cut(plan, slot, i, j, piece="Z9"),
                put_strip(plan, slot, i, height=cloth.strips[i].height + 1),
                put_strip(plan, slot, i, cuts=cloth.strips[i].cuts[:j]),
                put(plan, slot, strips=(*cloth.strips[:i], *cloth.strips[i + 1 :])),
                put(plan, slot, bound=cloth.used + 0.5),
                put(plan, slot, used=cloth.used - 0.5),
                put(plan, slot, short={cut.piece: 1}),
            ]
        )
    )
    with pytest.raises(CheckError):
        check_cutting_plan(cuts, damaged)
