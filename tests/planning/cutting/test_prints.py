"""Prints: the same motif in every piece, stacks of repeats, stripes, and borders that meet; counts derived by hand."""

from dataclasses import replace
from math import ceil, sqrt

import pytest
from cut_lists import make_list
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.checks.cutting_check import check_cutting_plan
from kit.geometry.outlines import move_outline
from kit.lengths import CM
from kit.model.cutting import ClothWishes
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.output.words.notice_words import say_notice
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list

ROOT3 = sqrt(3)


USUAL = ClothWishes()


def plan(cuts, *, effort="steady", wishes=USUAL, **options):
    """Return the checked plan of the one cloth of a cut list."""
    found = cutting_plan(cuts, [Supply(cuts.slots[0], **options)], effort=effort, wishes=wishes)
    check_cutting_plan(cuts, found)
    return found.cloths[0]


def triangles(pairs, height=3.0, *, mirror=False):
    """Return the cut list of a row of 60° triangles of a finished height, two a pair."""
    side, found = height / (ROOT3 / 2), []
    for i in range(pairs):
        x = i * side
        found.append([(x, 0), (x + side, 0), (x + side / 2, height)])
        found.append([(x + side, 0), (x + 1.5 * side, height), (x + side / 2, height)])
    if mirror:
        found = [[(-x, y) for x, y in reversed(outline)] for outline in found]
    return cut_list(patchwork_from_outlines(found))


def halves(count):
    """Return the light triangles of half-square units of 3 in finished; squares of 3 7/8 in."""
    two = [((0, 0), (3, 0), (0, 3)), ((3, 0), (3, 3), (0, 3))]
    outlines = [move_outline(half, 3 * i, 0) for i in range(count) for half in two]
    cuts = cut_list(patchwork_from_outlines(outlines, ["light", "dark"] * count))
    return replace(cuts, pieces=tuple(piece for piece in cuts.pieces if piece.slot == "light"))


def mitred(width, height, border):
    """Return the cut list of the four sides of a mitred border."""
    left, bottom, right, top = -border, -border, width + border, height + border
    inner = ((0, 0), (width, 0), (width, height), (0, height))
    outer = ((left, bottom), (right, bottom), (right, top), (left, top))
    sides = [(outer[i], outer[(i + 1) % 4], inner[(i + 1) % 4], inner[i]) for i in range(4)]
    cuts = cut_list(patchwork_from_outlines([inner, *sides], ["middle", *["border"] * 4]))
    return replace(cuts, pieces=tuple(piece for piece in cuts.pieces if piece.slot == "border"))


def list_places(found):
    """Return for each piece where its cuts begin on the cloth: across, along."""
    places = {}
    for strip in found.strips:
        for cut in strip.cuts:
            places.setdefault(cut.piece, []).append((cut.x, strip.start + cut.y))
    return places


# Stacks of repeats


def test_ninety_triangles_come_from_six_layers_of_one_repeat():
    # Common question, answer derived: triangles that finish 3 in high come from strips of 3 3/4 in (3 + 3/4); their
    # side is 3.75/(√3/2) = 4.330 in, on the ruler 4 3/8. Head to foot n of them take (n + 1)/2 sides: 17 in 40 in. 90
    # in sets of six are 15 sets: one strip in each of six layers of 24 in, 144 in.
    cuts = triangles(45)
    assert dict(cuts.pieces[0].rounded) == {"strip": 3.75, "side": 4.375}
    along = next(n for n in range(1, 99) if (n + 2) / 2 * 4.375 > 40)
    sets = 90 // 6
    assert along == 17
    assert sets <= along
    found = plan(cuts, repeat=24, stack=6)
    assert (found.used, found.layer, found.bound) == (144, 24, 144)
    assert [strip.start for strip in found.strips] == [0, 24, 48, 72, 96, 120]
    assert all(sum(cut.count for cut in strip.cuts) == 15 for strip in found.strips)


@pytest.mark.parametrize("width", [36, 40, 42, 44])
@pytest.mark.parametrize(("count", "layers"), [(10, 2), (45, 6), (46, 6), (131, 4), (60, 8)])
def test_a_stack_takes_whole_repeats_for_the_strips_of_one_layer(count, layers, width):
    # Derived: squares of 4 1/2 in, width // 4.5 in a strip, as many strips in a layer as its sets need, whole repeats.
    sets = -(-count // layers)
    strips = -(-sets // int(width / 4.5))
    whole = ceil(strips * 4.5 / 10 - 1e-9) * 10
    found = plan(make_list([(4.5, 4.5, count)]), width=width, repeat=10, stack=layers)
    assert found.used == layers * whole
    assert sum(cut.count for strip in found.strips for cut in strip.cuts) == count


def test_what_is_to_spare_of_a_stack_is_left_out_of_its_last_layer():
    found = plan(make_list([(4.5, 4.5, 22)]), repeat=10, stack=6)
    held = [sum(cut.count for cut in strip.cuts) for strip in found.strips]
    assert held == [4, 4, 4, 4, 4, 2]


def test_cloth_on_hand_too_short_for_a_stack_gives_no_set():
    found = plan(make_list([(4.5, 4.5, 24)]), repeat=10, stack=6, length=59)
    assert found.short == {"A1": 24}


@pytest.mark.parametrize("way", [{}, {"one_way": True}, {"nap": True}])
def test_mirrored_and_one_way_triangles_come_in_a_stack_too(way):
    # A mirrored top of one-way cloth takes as much as the top itself.
    one, other = (plan(triangles(20, mirror=mirror), repeat=24, stack=4, **way) for mirror in (False, True))
    assert one.used == other.used == 4 * 24


# The same motif in every piece


@pytest.mark.parametrize(
    ("side", "repeat", "across", "apart"),
    [(4.5, 6.0, 6, 6.0), (4.5, 4.5, 8, 4.5), (4.5, 3.0, 6, 6.0), (6.5, 6.0, 3, 12.0), (4.5, 24.0, 2, 24.0),
     (4.5, 48.0, 1, 48.0), (4.5, 35.5, 2, 35.5), (4.5, 35.625, 1, 35.625)],
)  # fmt: skip
def test_pieces_with_a_motif_begin_whole_repeats_apart(side, repeat, across, apart):
    # Derived: the last piece of a strip needs no repeat of its own, only its width; nor does the last strip. A repeat
    # longer than the cloth is wide leaves nothing short.
    found = plan(make_list([(side, side, 20)]), repeat=repeat)
    rows = -(-20 // across)
    assert found.used == pytest.approx((rows - 1) * apart + side)
    assert found.bound == pytest.approx(found.used)
    assert not found.short


@settings(max_examples=60, deadline=None)
@given(
    st.integers(12, 80), st.integers(1, 60), st.integers(4, 240), st.integers(4, 240), st.integers(0, 30),
    st.integers(0, 30),
)  # fmt: skip
def test_a_motif_lies_in_the_middle_of_every_piece(side, count, along, across, up, aside):
    side, along, across, up, aside = (number / 8 for number in (side, along, across, up, aside))
    up, aside = up % along, aside % across
    found = plan(
        make_list([(side, side, count)]), repeat=along, repeat_across=across, motif_along=up, motif_across=aside
    )
    if found.short:  # no motif lies so that the piece is on the cloth
        first = round(8 * (aside if side > across else aside - side / 2)) / 8 % across
        assert first + side > 40
        return
    for x, y in list_places(found)["A1"]:
        for begin, motif, repeat in ((x, aside, across), (y, up, along)):
            off = begin - motif if side > repeat else begin + side / 2 - motif
            assert abs(off - round(off / repeat) * repeat) <= 1 / 16 + 1e-6
    # counted by trying every eighth of an inch for the places in a strip
    free, places, x = 0.0, 0, round(8 * (aside if side > across else aside - side / 2)) / 8 % across
    while x + side <= 40 + 1e-9:
        if x >= free - 1e-9:
            places, free = places + 1, x + side
        x += across
    assert max(len(strip.cuts) for strip in found.strips) <= places
    assert len(found.strips) == -(-count // places)


@settings(max_examples=40, deadline=None)
@given(st.integers(12, 40), st.integers(1, 60), st.integers(4, 80))
def test_a_motif_never_takes_less_than_a_plain_print(side, count, repeat):
    cuts = make_list([(side / 8, side / 8, count)])
    assert plan(cuts, repeat=repeat / 8).used >= plan(cuts).used - 1e-9


@pytest.mark.parametrize("count", [1, 7, 30])
def test_each_triangle_with_a_motif_takes_a_square_of_its_own(count):
    # Finished 3 in, squares of 3 7/8 in: two repeats of 2 in each way, ten of them across 40 in (derived).
    rows = -(-count // 10)
    assert plan(halves(count), repeat=2).used == pytest.approx((rows - 1) * 4 + 3.875)


def test_kinds_of_piece_share_a_repeat_where_no_place_of_the_motif_is_asked_for():
    # Derived: 4 strips of 4 1/2 in and 4 of 6 1/2 in lie in the same four repeats of 12 in: 3 × 12 + 4.5 + 6.5 = 47 in.
    found = plan(make_list([(4.5, 4.5, 12), (6.5, 6.5, 12)]), repeat=12)
    assert found.used == 47


def test_motifs_are_as_far_apart_in_a_metric_study():
    found = plan(make_list([(12 * CM, 12 * CM, 20)], step=0.1 * CM), repeat=30 * CM, width=105 * CM, squaring=0)
    # Derived: 105 = 3 × 30 + 15, so four beside one another; five strips 30 cm apart and 12 cm of the last.
    assert found.used == pytest.approx((4 * 30 + 12) * CM)


def test_cloth_that_shrinks_takes_its_print_with_it():
    # Derived: after 4 % a repeat of 25 in is 24 in, and 40 in are 38.4 in.
    found = plan(make_list([(4.5, 4.5, 4)]), repeat=25, shrinkage=0.04, wishes=ClothWishes(margin=0))
    assert found.used == pytest.approx(24 + 4.5)
    assert found.as_bought == pytest.approx((24 + 4.5 + 1) / 0.96)


def test_the_first_motif_may_lie_a_whole_repeat_from_where_the_shop_cuts():
    free, placed = (plan(make_list([(4.5, 4.5, 4)]), repeat=12, **way) for way in ({}, {"motif_along": 3}))
    assert placed.as_bought - free.as_bought == 12
    assert "12\xa0in more to reach the first" in say_notice(
        cutting_plan(make_list([(4.5, 4.5, 4)]), [Supply("patch", repeat=12, motif_along=3)]).assumptions[0]
    )


def test_cloth_on_hand_is_cut_as_far_as_it_reaches():
    # Derived: one inch for squaring up, then strips at 0, 12 and 24 in: the third ends at 28 1/2 in.
    found = plan(make_list([(4.5, 4.5, 40)]), repeat=12, length=29.5)
    assert [strip.start for strip in found.strips] == [0, 12, 24]
    assert plan(make_list([(4.5, 4.5, 40)]), repeat=12, length=29.375).short["A1"] > found.short["A1"]


# Stripes


@pytest.mark.parametrize(("stripes", "upright"), [("along", True), ("across", False)])
def test_long_sides_lie_along_the_stripes(stripes, upright):
    found = plan(make_list([(2.5, 12.5, 19)]), stripes=stripes)
    assert all((cut.height > cut.width) == upright for strip in found.strips for cut in strip.cuts)


def test_stripes_along_the_cloth_need_the_repeat_across_alone():
    # Derived: 4 1/2 in squares every 6 in across: 6 × 6 + 4.5 = 40.5 is too wide for a seventh.
    found = plan(make_list([(4.5, 4.5, 20)]), repeat=6, stripes="along")
    assert found.used == 4 * 4.5
    across = plan(make_list([(4.5, 4.5, 20)]), repeat=6, stripes="across")
    # eight squares fill a strip; the strips begin 6 in apart
    assert across.used == 2 * 6 + 4.5


# Borders that meet


@pytest.mark.parametrize("motif", [{}, {"motif_along": 5}, {"motif_along": 5, "motif_across": 3}])
def test_four_mitred_sides_begin_at_the_same_place_of_the_print(motif):
    cuts = mitred(40, 52, 6)
    found = plan(cuts, repeat=24, repeat_across=8, **motif)
    begins = {round(y % 24, 6) for places in list_places(found).values() for _, y in places}
    assert begins == {motif.get("motif_along", 0)}
    aside = {round(x % 8, 6) for places in list_places(found).values() for x, _ in places}
    assert len(aside) == 1
    # Derived: strips of 6 1/2 in every 8 in, four of them in 24 + 6.5 = 30 1/2 in: one length of the longer side.
    long = max(max(piece.rounded.values()) for piece in cuts.pieces)
    assert found.used == long


def test_the_words_tell_how_many_repeats_a_border_is_long_and_what_the_print_costs():
    found = cutting_plan(
        mitred(40, 52, 6), [Supply("border", repeat=24, repeat_across=16)], effort="steady", wishes=ClothWishes()
    )
    said = say_notice(found.assumptions[0]).replace("\xa0", " ")
    long = max(max(piece.rounded.values()) for piece in mitred(40, 52, 6).pieces)
    assert f"{round(long / 24, 2):g} repeats of the print: long pieces begin alike" in said
    assert "the print takes" in said
    assert "more than plain cloth" in said


def test_a_border_that_may_not_be_turned_is_joined_where_the_print_runs_on():
    # Each length lies at the start of a repeat along the cloth; two make a piece.
    cuts = mitred(40, 52, 6)
    found = plan(cuts, repeat=24, repeat_across=8, one_way=True, stripes="across")
    assert not found.short
    found = plan(cuts, repeat=24, repeat_across=8, stripes="across", nap=True)
    assert not found.short
    for piece in cuts.pieces:
        laid = sorted(
            (cut.order, cut.x, cut.width, strip.start)
            for strip in found.strips for cut in strip.cuts if cut.piece == piece.id and cut.joined
        )  # fmt: skip
        assert len(laid) in (0, 2 * piece.count)
        assert {start % 24 for *_, start in laid} <= {0}


def test_a_level_border_of_a_print_runs_on_over_its_seams():
    # Derived: four level borders of 66 1/2 in: 40 in at the left edge, then 27 in from 7 1/2 in: 39 1/2 in less four
    # repeats of 8 in. Each of the eight lengths is a strip at a repeat of its own, seven of 24 in and the last.
    cuts = make_list([(6.5, 66.5, 4)])
    found = plan(cuts, repeat=24, repeat_across=8, one_way=True)
    laid = sorted((cut.order, cut.x, cut.width) for strip in found.strips for cut in strip.cuts)
    assert laid == [(2 * k + n, x, wide) for k in range(4) for n, x, wide in ((1, 0.0, 40.0), (2, 7.5, 27.0))]
    assert found.used == 7 * 24 + 6.5
    assert [strip.start for strip in found.strips] == [24.0 * k for k in range(8)]
