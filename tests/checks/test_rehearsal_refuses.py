"""The rehearsal refuses each kind of damage, and names the step or the piece."""

from dataclasses import replace
from random import Random

import pytest
from hand_plans import NAMES, chain, make_cubes, make_subdivision, make_trimmed, make_whirl, plan_of_tree, plan_of_units

from kit.geometry.outlines import make_rectangle, mirror_outline, move_outline, offset_outline
from kit.model.patchwork import patchwork_from_outlines
from kit.model.sewing import Edge
from kit.planning.pieces.cut_list import cut_list
from kit.rehearsal.rehearse import rehearse

CASES = [make_whirl(), make_cubes(), *(make_subdivision(seed) for seed in (3, 8, 21, 34))]
STEPS = [(case, n) for case in range(len(CASES)) for n in range(len(CASES[case][2].steps))]


def make_rows():
    """Two rows of two blocks of unequal strips, as units."""
    shapes, blocks = [], []
    for x, y in ((0, 0), (6, 0), (0, 4), (6, 4)):
        blocks.append(NAMES[len(shapes) : len(shapes) + 2])
        shapes += [make_rectangle(x, y, 2, 4), make_rectangle(x + 2, y, 4, 4)]
    patchwork = patchwork_from_outlines(shapes)
    cuts = cut_list(patchwork)
    rows = [(blocks[0], blocks[1]), (blocks[2], blocks[3])]
    units = [("block", blocks), ("row", rows), ("top", [(rows[0], rows[1])])]
    return cuts, plan_of_units(patchwork, cuts, units)


def put_step(plan, n, **changes):
    steps = list(plan.steps)
    steps[n] = replace(steps[n], **changes)
    return replace(plan, steps=tuple(steps))


def change_piece(cuts, index, **changes):
    pieces = list(cuts.pieces)
    pieces[index] = replace(pieces[index], **changes)
    return replace(cuts, pieces=tuple(pieces))


def refuse(cuts, plan, *names):
    """Assert that a plan is refused and that the differences name each of the names."""
    found = rehearse(cuts, plan)
    assert not found.agrees
    text = " ".join(found.differences)
    for name in names:
        assert name in text, found.differences
    return text


def test_the_plans_are_sound_before_they_are_damaged():
    for _, cuts, plan in CASES:
        assert rehearse(cuts, plan).differences == ()
    assert rehearse(*make_rows()).differences == ()


@pytest.mark.parametrize(("case", "n"), STEPS)
def test_another_edge_of_the_piece_is_refused(case, n):
    _, cuts, plan = CASES[case]
    step = plan.steps[n]
    for k in range(1, len(cuts.piece_of[step.along_second[0].patch].outline)):
        edge = step.along_second[0]
        count = len(cuts.piece_of[edge.patch].outline)
        other = Edge(edge.patch, (edge.edge + k) % count)
        found = rehearse(cuts, put_step(plan, n, along_second=(other, *step.along_second[1:])))
        if found.agrees:
            lengths = {round(measure, 6) for measure in _measure_turned(cuts.piece_of[edge.patch], k)}
            assert lengths == {0.0}, "only a piece that looks the same from that edge may be turned"


def _measure_turned(piece, k):
    """How far the piece's edge lengths differ when it is turned by k edges."""
    corners = [complex(*corner) for corner in piece.outline]
    lengths = [abs(b - a) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return [abs(a - b) for a, b in zip(lengths, lengths[k:] + lengths[:k], strict=True)]


def test_edges_of_different_length_are_refused_with_both_figures():
    _, cuts, plan = make_whirl()
    edge = plan.steps[1].along_second[0]
    text = refuse(cuts, put_step(plan, 1, along_second=(Edge(edge.patch, (edge.edge + 1) % 4),)), "Step 2 (top)")
    assert "7.0000 in" in text
    assert "3.0000 in" in text


def test_an_edge_that_the_piece_does_not_have_is_refused():
    _, cuts, plan = make_whirl()
    refuse(cuts, put_step(plan, 0, along_second=(Edge(NAMES[1], 4),)), "Step 1", f"`{NAMES[1]}`", "no edge 4")


def test_edges_that_do_not_lie_in_one_line_are_refused():
    _, cuts, plan = make_whirl()
    step = plan.steps[3]
    wrong = (step.along_first[0], Edge(step.along_first[1].patch, (step.along_first[1].edge + 1) % 4))
    refuse(cuts, put_step(plan, 3, along_first=wrong), "Step 4", "not in one straight line")


def test_an_edge_that_is_sewn_already_is_refused():
    _, cuts, plan = make_whirl()
    again = replace(plan.steps[1], number=3, first=plan.steps[2].first, second=plan.steps[2].second)
    again = replace(again, along_second=plan.steps[2].along_second)
    refuse(cuts, replace(plan, steps=(*plan.steps[:2], again, *plan.steps[3:])), "Step 3", "not free")


@pytest.mark.parametrize("case", range(len(CASES)))
def test_swapped_steps_are_refused(case):
    _, cuts, plan = CASES[case]
    for n in range(len(plan.steps) - 1):
        if set(plan.steps[n + 1].first + plan.steps[n + 1].second) >= {*plan.steps[n].first, *plan.steps[n].second}:
            steps = list(plan.steps)
            steps[n], steps[n + 1] = replace(steps[n + 1], number=n + 1), replace(steps[n], number=n + 2)
            refuse(cuts, replace(plan, steps=tuple(steps)), f"Step {n + 1} ")


def test_steps_that_are_numbered_out_of_order_are_refused():
    _, cuts, plan = make_whirl()
    steps = (plan.steps[1], plan.steps[0], *plan.steps[2:])
    refuse(cuts, replace(plan, steps=steps), "Step 2 stands in place 1")


@pytest.mark.parametrize(("case", "n"), STEPS)
def test_a_dropped_step_is_refused(case, n):
    _, cuts, plan = CASES[case]
    rest = [replace(step, number=i) for i, step in enumerate(plan.steps[:n] + plan.steps[n + 1 :], start=1)]
    refuse(cuts, replace(plan, steps=tuple(rest)))


@pytest.mark.parametrize("case", range(len(CASES)))
def test_a_piece_that_was_never_cut_is_named(case):
    _, cuts, plan = CASES[case]
    for index, piece in enumerate(cuts.pieces):
        fewer = change_piece(cuts, index, patches=piece.patches[1:], turns=piece.turns[1:], count=piece.count - 1)
        refuse(fewer, plan, f"`{piece.patches[0]}`", "never cut")


def test_a_piece_that_is_counted_once_too_few_is_named():
    _, cuts, plan = make_whirl()
    refuse(change_piece(cuts, 0, count=3), plan, "Piece A1 is cut 3 times for 4 patches")


def test_a_piece_that_is_cut_and_never_sewn_is_left_over():
    _, cuts, plan = make_whirl()
    piece = cuts.pieces[0]
    more = change_piece(cuts, 0, patches=(*piece.patches, "spare"), turns=(*piece.turns, 0), count=5)
    refuse(more, plan, "1 piece is left over", "`spare`")
    assert rehearse(more, plan).left_over == ("spare",)


def test_a_piece_that_is_cut_twice_is_named():
    _, cuts, plan = make_whirl()
    twice = change_piece(cuts, 1, patches=(NAMES[0], NAMES[1]), turns=(0, 0), count=2)
    refuse(twice, plan, f"`{NAMES[1]}` is cut 2 times")


def test_a_patch_that_is_used_twice_is_named():
    _, cuts, plan = make_whirl()
    refuse(cuts, put_step(plan, 2, second=(NAMES[2],)), "Step 3", f"`{NAMES[2]}`")


@pytest.mark.parametrize("case", range(2, len(CASES)))
def test_mirrored_pieces_are_refused(case):
    """A piece cut wrong side up: its outline is the mirror image, its edges run the other way round."""
    _, cuts, plan = CASES[case]
    for index, piece in enumerate(cuts.pieces):
        if piece.hand is not None:
            refuse(change_piece(cuts, index, outline=_mirror(piece.outline)), plan)


def _mirror(outline):
    """Return the mirror image with edge 0 still edge 0."""
    back = mirror_outline(outline)
    return back[-2:] + back[:-2]


@pytest.mark.parametrize("case", range(len(CASES)))
def test_pieces_cut_an_eighth_short_are_refused(case):
    _, cuts, plan = CASES[case]
    for index, piece in enumerate(cuts.pieces):
        for edge in range(len(piece.outline)):
            shift = [0.0] * len(piece.outline)
            shift[edge] = -0.125
            short = move_outline(offset_outline(piece.outline, shift), 0.0, 0.0)
            text = refuse(change_piece(cuts, index, outline=short), plan)
            assert "tep" in text or f"Piece {piece.id}" in text


def test_a_piece_that_its_allowances_use_up_is_named():
    _, cuts, plan = make_whirl()
    refuse(change_piece(cuts, 0, outline=make_rectangle(0, 0, 7, 0.45)), plan, "Piece A1 cannot be sewn")


def test_another_allowance_is_refused():
    _, cuts, plan = make_whirl()
    refuse(replace(cuts, allowance=0.375), plan)


def test_a_partial_seam_that_is_sewn_too_far_is_refused():
    _, cuts, plan = make_whirl()
    refuse(cuts, put_step(plan, 0, sewn=(2.0, 4.5)), "Step 1")
    refuse(cuts, put_step(plan, 4, sewn=(0.0, 5.5)), "Step 5", "not free")
    refuse(cuts, put_step(plan, 4, sewn=(0.0, 4.0)), "are sewn")


def test_a_unit_that_is_not_finished_is_not_used():
    cuts, plan = make_rows()
    row, block = plan.steps[1], plan.steps[0]
    steps = (replace(row, number=1), replace(block, number=2), plan.steps[2])
    refuse(cuts, replace(plan, steps=steps), "Step 1 (row)")
    rest = [replace(step, number=i) for i, step in enumerate(plan.steps[1:], start=1)]
    refuse(cuts, replace(plan, steps=tuple(rest)), "Step 1 (row)")


def test_a_copy_of_other_pieces_is_refused():
    cuts, plan = make_rows()
    block = plan.units[0]
    swapped = replace(block, copies=(*block.copies[:1], block.copies[1][::-1], *block.copies[2:]))
    refuse(cuts, replace(plan, units=(swapped, *plan.units[1:])), "Copy 2 of unit block", "piece")


def test_a_copy_that_takes_a_patch_twice_is_refused():
    cuts, plan = make_rows()
    block = plan.units[0]
    doubled = replace(block, copies=(*block.copies[:2], block.copies[1], *block.copies[3:]))
    refuse(cuts, replace(plan, units=(doubled, *plan.units[1:])), "Unit block uses patch", "2 times")


def test_printed_parts_and_sizes_of_units_are_proved_too():
    cuts, plan = make_rows()
    block = plan.units[0]
    refuse(cuts, replace(plan, units=(replace(block, parts=(("A1", 2),)), *plan.units[1:])), "Unit block is made of")
    wrong = replace(block, unfinished=(6.0, 4.0))
    refuse(cuts, replace(plan, units=(wrong, *plan.units[1:])), "6.5000 by 4.5000", "6.0000 by 4.0000")
    refuse(cuts, replace(plan, partial_seams=1), "0 partial seams", "says 1")


def test_a_trim_of_the_wrong_size_is_refused():
    _, cuts, plan = make_trimmed()
    for grow, word in ((0.125, "Step"), (-0.125, "Step"), (3.0, "less than the allowance")):
        trim = offset_outline(plan.steps[1].trim, grow)
        refuse(cuts, put_step(plan, 1, trim=trim), word)
    away = move_outline(plan.steps[1].trim, 0, 2.0)
    refuse(cuts, put_step(plan, 1, trim=away), "Step 2", "cuts off the whole of patch `low`")


def test_chains_in_another_order_still_agree():
    """Not damage: what is sewn first does not matter where no seam is crossed."""
    patchwork = patchwork_from_outlines([make_rectangle(2 * i, 0, 2, 3) for i in range(4)])
    cuts = cut_list(patchwork)
    for tree in (chain(NAMES[:4]), ((NAMES[0], NAMES[1]), (NAMES[2], NAMES[3])), (NAMES[0], chain(NAMES[1:4]))):
        assert rehearse(cuts, plan_of_tree(patchwork, cuts, tree)).agrees


def _scramble(plan, chance):
    """Return the plan with one field of one step or unit changed to something that does not belong there."""
    names = [name for name, _ in plan.target]
    n = chance.randrange(len(plan.steps))
    step = plan.steps[n]
    edge = Edge(chance.choice([*names, "nobody", ""]), chance.choice([-1, 0, 1, 2, 3, 7, 10**9]))
    number = chance.choice([0.0, -1.0, 1e-7, 3.0, 1e9, float("nan"), float("inf")])
    triangle = ((0.0, 0.0), (9.0, 0.0), (0.0, 9.0))
    changes = [
        {"first": ()},
        {"second": ()},
        {"first": step.second or step.first[:1]},
        {"second": step.first},
        {"first": (*step.first, chance.choice(names))},
        {"along_first": ()},
        {"along_second": (edge,)},
        {"along_first": (*step.along_first, edge)},
        {"along_first": step.along_second},
        {"offset": number},
        {"sewn": (number, chance.choice([0.0, 1.0, number]))},
        {"kind": chance.choice(["join", "partial", "close", "set in", "trim"])},
        {"kind": "trim", "trim": chance.choice([None, (), triangle, triangle[::-1], ((0.0, 0.0),) * 4])},
        {"unit": "nothing"},
        {"ragged": True},
        {"number": 99},
    ]
    if chance.random() < 0.8:
        return put_step(plan, n, **chance.choice(changes))
    unit = chance.randrange(len(plan.units))
    made = plan.units[unit]
    worse = chance.choice(
        [
            {"copies": ()},
            {"copies": ((),)},
            {"copies": (*made.copies, ("nobody",))},
            {"copies": (made.copies[0][::-1], *made.copies[1:])},
            {"copies": (made.copies[0][1:],)},
            {"unfinished": (number, number)},
            {"parts": ()},
            {"name": "nothing"},
        ]
    )
    return replace(plan, units=(*plan.units[:unit], replace(made, **worse), *plan.units[unit + 1 :]))


@pytest.mark.parametrize("part", range(8))
def test_no_damage_ever_raises_and_no_damage_that_agrees_moves_a_patch(part):
    sound = [(cuts, plan) for _, cuts, plan in CASES] + [make_rows(), make_trimmed()[1:]]
    for seed in range(100 * part, 100 * part + 100):
        chance = Random(seed)  # noqa: S311  a test wants the same damage each time
        cuts, plan = sound[seed % len(sound)]
        damaged = _scramble(plan, chance)
        found = rehearse(cuts, damaged)
        assert found.agrees == (not found.differences), seed
        if found.agrees:
            assert found.finished == pytest.approx(rehearse(cuts, plan).finished, abs=1e-6), seed


def test_an_outline_of_no_use_is_refused_in_a_sentence():
    _, cuts, plan = make_whirl()
    for outline in (
        (),
        ((0, 0), (1, 0)),
        ((0, 0),) * 4,
        ((0, 0), (1, 0), (2, 0), (1, 1)),
        ((0, 0), (0, 9), (9, 9), (9, 0)),
    ):
        refuse(change_piece(cuts, 0, outline=outline), plan, "A1")
    nowhere = float("nan")
    refuse(change_piece(cuts, 0, outline=((0, 0), (nowhere, 0), (1, 1), (0, 1))), plan, "A1")
