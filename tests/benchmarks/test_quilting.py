"""How long a whole quilting plan of a queen-size log cabin takes, with its route and its gap map, and its check.

Processor time: what else the machine does meanwhile does not count.
"""

from copy import deepcopy
from time import process_time

import pytest

from kit.checks.quilting_check import check_quilting_plan
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.planning.quilting.quilting_ways import _fit_once
from kit.study import open_study, study_from_keys, study_keys


@pytest.fixture(scope="module")
def queen():
    """Lamplight of nine by ten blocks: 96 by 106 in, 1,534 patches, some 22,000 in of lines."""
    keys = deepcopy(study_keys(open_study("data/studies/lamplight.toml")))
    keys["design"] |= {"columns": 9, "rows": 10}
    patchwork = study_from_keys(keys).make_patchwork()
    assert len(patchwork.patches) == 1534
    return patchwork


WISHES = QuiltingWishes(
    (
        Stitching(),
        Stitching("light", "serpentine", 1.0),
        Stitching("dark", "serpentine", 1.5),
        Stitching("border", "meander", 1.0),
    ),
    gap_limit=3.0,
)


@pytest.mark.benchmark(timer=process_time)
def test_plan_of_a_queen_size_quilt(benchmark, queen):
    queen.mesh.nodes.sum()
    plan = benchmark.pedantic(quilting_plan, (queen, WISHES), setup=_fit_once.cache_clear, rounds=1)
    assert len(plan.runs) == 1
    assert plan.wished > 20_000
    assert plan.holds


@pytest.mark.benchmark(timer=process_time)
def test_check_of_a_queen_size_plan(benchmark, queen):
    plan = quilting_plan(queen, WISHES)
    benchmark.pedantic(check_quilting_plan, (queen, plan), rounds=1)
    assert plan.bound > 20_000
