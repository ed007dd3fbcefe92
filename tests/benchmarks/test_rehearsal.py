"""How long the rehearsal takes, by hand and not, for 300, 1,000 and 3,000 patches that no unit makes shorter."""

from itertools import pairwise

import pytest

from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import Patch, Patchwork
from kit.model.sewing import Edge, SewingPlan, SewnUnit, Step
from kit.planning.pieces.cut_list import cut_list
from kit.rehearsal.by_hand import rehearse_by_hand
from kit.rehearsal.rehearse import rehearse

SIZES = {300: (20, 15), 1000: (40, 25), 3000: (60, 50)}


def make_grid(across, down):
    """Squares sewn into rows one after another and the rows into the top, every join a step of its own."""
    names = [[f"r{j:03d}c{i:03d}" for i in range(across)] for j in range(down)]
    patches = [Patch(names[j][i], make_rectangle(2 * i, 2 * j, 2, 2), "a") for j in range(down) for i in range(across)]
    patchwork = Patchwork(tuple(patches))
    cuts = cut_list(patchwork)
    steps = []

    def join(first, second, ours, theirs):
        number, length = len(steps) + 1, 2.0 * len(ours)
        steps.append(Step(number, "top", "join", first, second, ours, theirs, 0.0, (0.0, length)))

    for row in names:
        for i in range(1, across):
            join(tuple(row[:i]), (row[i],), (Edge(row[i - 1], 1),), (Edge(row[i], 3),))
    below = tuple(names[0])
    for last, row in pairwise(names):
        join(below, tuple(row), tuple(Edge(p, 2) for p in reversed(last)), tuple(Edge(p, 0) for p in reversed(row)))
        below += tuple(row)
    top = SewnUnit("top", (below,), ((cuts.pieces[0].id, len(below)),), (2 * across + 0.5, 2 * down + 0.5))
    target = tuple((patch.id, patch.outline) for patch in patches)
    return cuts, SewingPlan(tuple(steps), (top,), 0, 0, 0, 0, target)


@pytest.mark.parametrize("count", SIZES)
def test_rehearsal_of_a_grid(benchmark, count):
    cuts, plan = make_grid(*SIZES[count])
    found = benchmark(rehearse, cuts, plan)
    assert found.agrees, found.differences
    assert len(found.placed) == count


@pytest.mark.parametrize("count", SIZES)
def test_thousand_rehearsals_by_hand(benchmark, count):
    cuts, plan = make_grid(*SIZES[count])
    found = benchmark.pedantic(rehearse_by_hand, (cuts, plan), rounds=1)
    assert len(found.width) == 1000
    assert found.expected == pytest.approx(found.design, abs=0.05)
