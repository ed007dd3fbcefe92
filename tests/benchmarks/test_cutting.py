"""How long a cutting plan takes; measured, never asserted. The aim: 1,500 pieces of 12 kinds, a gap of 3 %, in 2 s."""

import pytest
from cut_lists import draw_many, make_list
from cutting_sweep import draw_sheet

from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import cutting_plan


@pytest.mark.benchmark(group="cutting 1,500 pieces")
@pytest.mark.parametrize("effort", ["quick", "steady", "thorough"])
@pytest.mark.parametrize("seed", range(3))
def test_many_pieces_of_twelve_kinds(benchmark, seed, effort):
    cuts = make_list(draw_many(seed))
    plan = benchmark.pedantic(cutting_plan, (cuts, [Supply("patch")]), {"effort": effort}, rounds=1, warmup_rounds=0)
    benchmark.extra_info["gap"] = plan.gap
    assert plan.gap < (0.05 if effort == "quick" else 0.03)


@pytest.mark.benchmark(group="cutting a sheet apart")
@pytest.mark.parametrize("seed", range(3))
def test_a_sheet_cut_apart_at_random(benchmark, seed):
    width, length, sizes = draw_sheet(seed)
    supplies = [Supply("patch", width=width)]
    plan = benchmark.pedantic(cutting_plan, (make_list(sizes), supplies), rounds=1, warmup_rounds=0)
    benchmark.extra_info["more than needed"] = plan.cloth["patch"] / length - 1
    assert plan.cloth["patch"] <= 1.06 * length
