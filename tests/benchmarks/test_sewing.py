"""How long order and pressing take; measured, never asserted."""

import random
from pathlib import Path

import pytest
from subdivisions import whirl

from kit.designs import FAMILIES
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.pipeline import make_pattern
from kit.planning.pieces.cut_list import cut_list
from kit.planning.pressing.pressing_plan import press_seams
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.study import open_study

SIZES = {300: (5, 4), 1000: (9, 7), 3000: (14, 13)}


def build(patches):
    return build_cabins(*SIZES[patches])


def build_cabins(columns, rows):
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


def hexagons(side):
    keys = {"family": "sixty degrees", "shape": "hexagons", "across": side, "down": side, "edge_finished": "1 in"}
    return FAMILIES["sixty degrees"].model_validate(keys).patchwork()


def cut_at_random(patches):
    """Cut a rectangle again and again, one of the largest patches each time, near its middle."""
    rng, boxes = random.Random(5), [(0, 0, 2000, 1600)]
    while len(boxes) < patches:
        boxes.sort(key=lambda box: (box[2] - box[0]) * (box[3] - box[1]))
        x0, y0, x1, y1 = boxes.pop(-rng.randint(1, min(5, len(boxes))))
        if x1 - x0 >= y1 - y0:
            x = rng.randint(x0 + (x1 - x0) * 35 // 100, x0 + (x1 - x0) * 65 // 100)
            boxes += [(x0, y0, x, y1), (x, y0, x1, y1)]
        else:
            y = rng.randint(y0 + (y1 - y0) * 35 // 100, y0 + (y1 - y0) * 65 // 100)
            boxes += [(x0, y0, x1, y), (x0, y, x1, y1)]
    return patchwork_from_outlines([make_rectangle(x0, y0, x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes])


TOPS = {
    "log cabins": lambda many: build_cabins(26, 24) if many else build_cabins(14, 13),
    "hexagons": lambda many: hexagons(100 if many else 54),
    "cut at random": lambda many: cut_at_random(10_000 if many else 3_000),
}


@pytest.mark.benchmark(group="order and pressing together")
@pytest.mark.parametrize("many", [False, True], ids=["3,000 patches", "10,000 patches"])
@pytest.mark.parametrize("name", TOPS)
def test_order_and_pressing_of_a_large_top(benchmark, name, many):
    if many and benchmark.disabled:
        pytest.skip("10,000 patches are for measuring only")
    patchwork = TOPS[name](many)
    cuts, stages = cut_list(patchwork), []
    plan = benchmark.pedantic(
        lambda: press_seams(patchwork, sewing_plan(patchwork, cuts, progress=lambda stage, *_: stages.append(stage))),
        rounds=1 if many else 3,
    )
    assert plan.pressing.presses
    assert stages


@pytest.mark.slow
@pytest.mark.benchmark(group="steady patterns")
@pytest.mark.parametrize("name", ["town-quay", "saltmarsh", "chandlery"])
def test_steady_patterns_of_the_slowest_studies(benchmark, name):
    if benchmark.disabled:
        pytest.skip("the pattern of every study is made by other tests; here it is measured")
    study = open_study(Path(__file__).parents[2] / "data" / "studies" / f"{name}.toml")
    pattern = benchmark.pedantic(make_pattern, (study,), rounds=3)
    assert pattern.rehearsal.agrees
