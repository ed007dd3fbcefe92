"""The check of a cut list refuses every damaged one and names what is wrong."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Case, cases

from kit.checks.cut_list_check import check_cut_list
from kit.designs import FAMILIES
from kit.errors import CheckError
from kit.geometry.outlines import mirror_outline, move_outline, offset_outline
from kit.model.patchwork import Patch, Patchwork
from kit.planning.pieces.cut_list import cut_list

FEW = settings(max_examples=40)


@pytest.fixture(scope="module")
def braid():
    keys = {"family": "braid", "columns": 2, "pairs": 12, "accents": "left", "sashing": {"finished": "1 in"}}
    patchwork = Case(keys, "1/4 in").build().verify()
    return patchwork, cut_list(patchwork)


@pytest.fixture(scope="module")
def triangles():
    """Return a square of two half-square triangles beside one of four quarter-square triangles."""
    half = [((0, 0), (4, 0), (0, 4)), ((4, 0), (4, 4), (0, 4))]
    quarter = [((4, 0), (8, 0), (6, 2)), ((8, 0), (8, 4), (6, 2)), ((8, 4), (4, 4), (6, 2)), ((4, 4), (4, 0), (6, 2))]
    patches = [Patch(f"p{i}", shape, "sky") for i, shape in enumerate([*half, *quarter])]
    patchwork = Patchwork(tuple(patches)).verify()
    return patchwork, cut_list(patchwork)


def find(cuts, name):
    return next(piece for piece in cuts.pieces if piece.name == name)


def put(cuts, old, **changes):
    """Return the cut list with one piece changed."""
    return replace(cuts, pieces=tuple(replace(p, **changes) if p is old else p for p in cuts.pieces))


def refusal(patchwork, cuts):
    with pytest.raises(CheckError) as caught:
        check_cut_list(patchwork, cuts)
    return str(caught.value)


def test_the_undamaged_lists_are_accepted(braid, triangles):
    check_cut_list(*braid)
    check_cut_list(*triangles)
    assert {piece.kind for piece in triangles[1].pieces} == {"half-square triangle", "quarter-square triangle"}


# Pieces and counts


def test_a_piece_dropped_is_refused_with_a_patch_that_has_none(braid):
    patchwork, cuts = braid
    for gone in cuts.pieces:
        message = refusal(patchwork, replace(cuts, pieces=tuple(p for p in cuts.pieces if p is not gone)))
        assert min(gone.patches) in message
        assert f"{cuts.count - gone.count} pieces for {cuts.count} patches" in message


def test_a_piece_listed_twice_is_refused_with_a_patch_that_has_two(braid):
    patchwork, cuts = braid
    for twice in cuts.pieces:
        message = refusal(patchwork, replace(cuts, pieces=(*cuts.pieces, twice)))
        assert min(twice.patches) in message
        assert f"{cuts.count + twice.count} pieces for {cuts.count} patches" in message


def test_a_patch_taken_from_one_piece_and_given_to_two_others_is_refused(braid):
    patchwork, cuts = braid
    sash, blade = find(cuts, "sash"), find(cuts, "blade")
    moved = put(cuts, blade, count=blade.count - 1, patches=blade.patches[1:], turns=blade.turns[1:])
    patch = blade.patches[0]
    assert patch in refusal(patchwork, moved)
    both = put(moved, sash, count=sash.count + 1, patches=(*sash.patches, patch), turns=(*sash.turns, 0))
    assert patch in refusal(patchwork, both)


def test_a_patch_of_no_patchwork_is_refused_by_name(braid):
    patchwork, cuts = braid
    blade = find(cuts, "blade")
    strange = put(cuts, blade, patches=("nowhere", *blade.patches[1:]))
    assert any(name in refusal(patchwork, strange) for name in ("nowhere", blade.patches[0]))


@pytest.mark.parametrize("change", [-1, 1, 10])
def test_a_count_changed_is_refused_with_the_piece_and_both_figures(braid, change):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        message = refusal(patchwork, put(cuts, piece, count=piece.count + change))
        assert f"Piece {piece.id}" in message
        assert f"{piece.count + change} times for {piece.count} patches" in message


def test_a_patch_given_to_a_piece_of_another_slot_is_refused_with_both_slots(braid):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        message = refusal(patchwork, put(cuts, piece, slot="moon"))
        assert f"`{piece.patches[0]}`" in message
        assert f"`{piece.slot}`" in message
        assert "`moon`" in message


# Hands and outlines


def test_a_hand_flipped_is_refused_with_the_piece(braid):
    patchwork, cuts = braid
    handed = [piece for piece in cuts.pieces if piece.hand]
    assert len(handed) >= 2
    for piece in handed:
        other = {"left": "right", "right": "left"}[piece.hand]
        for hand in (other, None):
            assert f"Piece {piece.id}" in refusal(patchwork, put(cuts, piece, hand=hand))


def test_a_hand_given_to_a_symmetric_piece_is_refused(braid):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        if piece.hand is None:
            assert f"Piece {piece.id}" in refusal(patchwork, put(cuts, piece, hand="left"))


def test_an_outline_mirrored_is_refused_whatever_the_hand_says(braid):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        if piece.hand:
            wide = max(x for x, _ in piece.outline)
            back = mirror_outline(piece.outline, axis=wide / 2)
            start = max(range(len(back)), key=lambda i: back[i][1] < 1e-9 and back[(i + 1) % len(back)][1] < 1e-9)
            back = back[start:] + back[:start]
            other = {"left": "right", "right": "left"}[piece.hand]
            for hand in (piece.hand, other):
                message = refusal(patchwork, put(cuts, piece, outline=back, hand=hand))
                assert f"iece {piece.id}" in message


def test_two_pieces_that_exchange_their_patches_are_refused(braid):
    patchwork, cuts = braid
    left, right = (next(p for p in cuts.pieces if p.hand == hand) for hand in ("left", "right"))
    swapped = put(cuts, left, patches=right.patches, turns=right.turns, count=right.count)
    swapped = put(swapped, right, patches=left.patches, turns=left.turns, count=left.count)
    assert "differ by" in refusal(patchwork, swapped)


def test_a_wrong_turn_is_refused_with_its_patch(braid):
    patchwork, cuts = braid
    blade = find(cuts, "blade")
    wrong = put(cuts, blade, turns=((blade.turns[0] + 1) % 4, *blade.turns[1:]))
    message = refusal(patchwork, wrong)
    assert blade.patches[0] in message
    assert blade.id in message


@pytest.mark.parametrize("off", [-0.125, -0.01, 0.01, 0.125])
def test_an_outline_too_small_or_too_large_is_refused(braid, off):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        outline = offset_outline(piece.outline, off)
        outline = move_outline(outline, off, off)
        assert piece.id in refusal(patchwork, put(cuts, piece, outline=outline))


@pytest.mark.parametrize("allowance", [0.2, 0.375])
def test_another_allowance_than_that_of_the_patchwork_is_refused(braid, allowance):
    patchwork, cuts = braid
    message = refusal(patchwork, replace(cuts, allowance=allowance))
    assert f"{allowance:g} in" in message
    assert "0.25" in message


# Sizes


def test_a_printed_size_below_the_exact_one_is_refused_with_both_figures(braid):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        for name, size in piece.cut.items():
            less = {**piece.rounded, name: size - 0.0625}
            message = refusal(patchwork, put(cuts, piece, rounded=less))
            assert f"Piece {piece.id}: {name} is {size:.4f} in, printed as {size - 0.0625:.4f} in" in message


def test_a_printed_size_more_than_a_step_above_the_exact_one_is_refused(braid):
    patchwork, cuts = braid
    piece = cuts.pieces[0]
    more = {name: size + 0.25 for name, size in piece.rounded.items()}
    assert f"Piece {piece.id}" in refusal(patchwork, put(cuts, piece, rounded=more))


@pytest.mark.parametrize("off", [-0.125, -0.5, 0.125])
@pytest.mark.parametrize("state", ["cut", "finished"])
def test_a_size_changed_is_refused_with_the_piece_and_the_measure(braid, triangles, state, off):
    for patchwork, cuts in (braid, triangles):
        for piece in cuts.pieces:
            for name in getattr(piece, state):
                sizes = {**getattr(piece, state), name: getattr(piece, state)[name] + off}
                rounded = {**piece.rounded, name: piece.rounded[name] + off} if state == "cut" else piece.rounded
                message = refusal(patchwork, put(cuts, piece, **{state: sizes, "rounded": rounded}))
                assert f"Piece {piece.id}" in message
                assert name in message


def test_a_length_given_as_the_width_is_refused_though_an_edge_measures_it(braid):
    patchwork, cuts = braid
    sash = find(cuts, "sash")
    both = {"width": sash.cut["width"], "length": sash.cut["width"]}
    damaged = put(cuts, sash, cut=both, rounded=dict.fromkeys(both, sash.rounded["width"]))
    assert f"Piece {sash.id}" in refusal(patchwork, damaged)


def test_a_measure_left_out_is_refused(braid):
    patchwork, cuts = braid
    for piece in cuts.pieces:
        for name in piece.cut:
            fewer = {n: size for n, size in piece.cut.items() if n != name}
            rounded = {n: size for n, size in piece.rounded.items() if n != name}
            assert f"iece {piece.id}" in refusal(patchwork, put(cuts, piece, cut=fewer, rounded=rounded))
            assert f"iece {piece.id}" in refusal(patchwork, put(cuts, piece, rounded=rounded))


def test_a_half_square_triangle_called_a_quarter_square_is_refused_with_the_measures_of_either(triangles):
    patchwork, cuts = triangles
    swap = {"half-square triangle": "quarter-square triangle", "quarter-square triangle": "half-square triangle"}
    root2 = {"half-square triangle": 2**0.5, "quarter-square triangle": 2**-0.5}
    for piece in cuts.pieces:
        assert f"Piece {piece.id}" in refusal(patchwork, put(cuts, piece, kind=swap[piece.kind]))
        grown = {
            state: {"square": getattr(piece, state)["square"] * root2[piece.kind]} for state in ("cut", "finished")
        }
        rounded = {"square": grown["cut"]["square"]}
        damaged = put(cuts, piece, kind=swap[piece.kind], rounded=rounded, **grown)
        assert f"Piece {piece.id}" in refusal(patchwork, damaged)


@pytest.mark.parametrize("kind", ["square", "kite", "template", "60° triangle", "parallelogram"])
def test_a_rectangle_called_another_shape_is_refused(braid, kind):
    patchwork, cuts = braid
    sash = find(cuts, "sash")
    assert sash.kind == "rectangle"
    assert kind in refusal(patchwork, put(cuts, sash, kind=kind))


# Grain


def test_grain_turned_by_a_step_round_the_outline_is_refused(braid, triangles):
    for patchwork, cuts in (braid, triangles):
        slanted = [piece for piece in cuts.pieces if any(piece.bias)]
        assert slanted
        for piece in slanted:
            turned = (*piece.bias[1:], piece.bias[0])
            assert f"Piece {piece.id}" in refusal(patchwork, put(cuts, piece, bias=turned))
            none = tuple(False for _ in piece.bias)
            assert f"Piece {piece.id}" in refusal(patchwork, put(cuts, piece, bias=none))


@FEW
@given(cases(), st.data())
def test_one_damage_to_any_list_is_refused(case, data):
    patchwork = case.build()
    cuts = cut_list(patchwork)
    piece = data.draw(st.sampled_from(cuts.pieces))
    name = data.draw(st.sampled_from(sorted(piece.cut)))
    damage = data.draw(
        st.sampled_from(
            [
                {"count": piece.count + 1},
                {"slot": f"{piece.slot} too"},
                {"cut": {**piece.cut, name: piece.cut[name] + 0.01}},
                {"finished": {**piece.finished, name: piece.finished[name] - 0.01}},
                {"rounded": {**piece.rounded, name: piece.rounded[name] - 0.125}},
                {"hand": "left" if piece.hand is None else None},
                {"bias": tuple(not off for off in piece.bias)},
                {"outline": offset_outline(piece.outline, 0.01)},
                {"patches": piece.patches[1:], "turns": piece.turns[1:], "count": piece.count - 1},
            ]
        )
    )
    with pytest.raises(CheckError):
        check_cut_list(patchwork, put(cuts, piece, **damage))


def test_a_piece_that_differs_in_the_last_digits_alone_is_not_refused():
    # laid over one another without a grid, these two outlines of 6.4 square inches shared nothing
    keys = {
        "family": "braid", "columns": 2, "strip_cut": "1 3/4 in", "column_finished": "7 1/4 in", "accents": "none",
        "start": "open", "length_finished": "22 1/2 in", "sides": "two slots",
    }  # fmt: skip
    patchwork = FAMILIES["braid"].model_validate(keys).patchwork()
    check_cut_list(patchwork, cut_list(patchwork))
