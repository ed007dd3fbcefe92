"""How long a cutting plan takes; measured, never asserted. The aim: 1,500 pieces of 12 kinds, a gap of 3 %, in 2 s."""

from random import Random

import pytest
from cut_lists import make_list
from cutting_sweep import draw_sheet

from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import cutting_plan


def draw_many(seed, pieces=1500, kinds=12):
    """Return (width, length, count) of so many pieces of so many kinds, sides from 1 1/2 to 10 in."""
    random = Random(seed)
    sizes = {}
    while len(sizes) < kinds:
        sizes[tuple(sorted(random.randint(12, 80) / 8 for _ in range(2)))] = random.randint(20, 230)
    share = pieces / sum(sizes.values())
    return [(*sides, round(count * share)) for sides, count in sizes.items()]


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
