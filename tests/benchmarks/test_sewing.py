"""How long order and pressing take; measured, never asserted."""

import pytest
from subdivisions import whirl

from kit.designs import FAMILIES
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.pressing.pressing_plan import press_seams
from kit.planning.sewing.sewing_plan import sewing_plan

SIZES = {300: (5, 4), 1000: (9, 7), 3000: (14, 13)}


def build(patches):
    columns, rows = SIZES[patches]
    keys = {"family": "log cabin", "columns": columns, "rows": rows, "rounds": 4, "turns": ["0 90", "180 270"]}
    return FAMILIES["log cabin"].model_validate(keys | {"border": [{"finished": "3 in"}]}).patchwork()


@pytest.mark.benchmark(group="order")
@pytest.mark.parametrize("patches", SIZES)
def test_order_of_a_quilt_of_blocks(benchmark, patches):
    patchwork = build(patches)
    cuts = cut_list(patchwork)
    plan = benchmark(sewing_plan, patchwork, cuts)
    assert plan.partial_seams == 0


@pytest.mark.benchmark(group="pressing")
@pytest.mark.parametrize("patches", SIZES)
def test_pressing_of_a_quilt_of_blocks(benchmark, patches):
    patchwork = build(patches)
    plan = sewing_plan(patchwork)
    pressed = benchmark(press_seams, patchwork, plan)
    assert pressed.pressing.crossings


@pytest.mark.benchmark(group="order")
@pytest.mark.parametrize("side", [8, 14, 25])
def test_order_of_a_field_of_whirls(benchmark, side):
    outlines = [[(x + 10 * i, y + 10 * j) for x, y in o] for i in range(side) for j in range(side) for o in whirl()]
    patchwork = patchwork_from_outlines(outlines)
    cuts = cut_list(patchwork)
    plan = benchmark(sewing_plan, patchwork, cuts)
    assert plan.partial_seams == side * side
