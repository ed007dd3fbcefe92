"""Bare outlines whose corners are given to five decimals: they are sewn, and what is wrong is still refused."""

from dataclasses import replace

import pytest
from subdivisions import eight_pointed_star, half_square_star, tumbling_block, whirl
from test_drawn_grain import draw_wedges

from kit.geometry.outlines import turn_outline
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse


def sew(outlines, angle):
    """Turn a design, round its corners to five decimals, and rehearse it."""
    turned = [turn_outline(outline, angle) for outline in outlines]
    patchwork = patchwork_from_outlines([[(round(x, 5), round(y, 5)) for x, y in outline] for outline in turned])
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    return cuts, plan


@pytest.mark.parametrize("angle", [0.0, 7.3, 23.0])
@pytest.mark.parametrize("draw", [whirl, eight_pointed_star, half_square_star, tumbling_block, draw_wedges])
def test_designs_of_five_decimals_are_sewn(draw, angle):
    # arms round a point lay apart by some hundred thousandths in the end, which was taken for an overlap
    drawn = draw()
    rehearsal = rehearse(*sew(drawn[0] if isinstance(drawn, tuple) else drawn, angle))
    assert rehearsal.agrees, rehearsal.differences


@pytest.mark.parametrize("off", [0.001, 0.01])
def test_a_piece_cut_a_thousandth_of_an_inch_wrong_is_still_refused(off):
    cuts, plan = sew(half_square_star(), 7.3)
    piece = cuts.pieces[0]
    grown = tuple((x * (1 + off), y * (1 + off)) for x, y in piece.outline)
    damaged = replace(cuts, pieces=(replace(piece, outline=grown), *cuts.pieces[1:]))
    assert not rehearse(damaged, plan).agrees


def test_equal_arms_of_bare_outlines_are_cut_and_made_alike():
    # every patch had a level grain: the templates of an arm were another piece at every third turn
    drawn = draw_wedges()
    outlines, slots = drawn if isinstance(drawn, tuple) else (drawn, None)
    patchwork = patchwork_from_outlines(outlines, slots)
    cuts = cut_list(patchwork)
    made = [unit for unit in sewing_plan(patchwork, cuts).units if unit.count == 12]
    assert max(len(unit.copies[0]) for unit in made) == 16
