"""How long a composed top of 3,000 patches in 60 units takes: tree, finding and cut list; measured, never asserted."""

from itertools import pairwise
from random import Random

import pytest

from kit.designs import FAMILIES
from kit.geometry.alike_parts import find_alike_parts
from kit.planning.pieces.cut_list import cut_list

WIDTHS = tuple(k / 2 for k in range(1, 8))
SLOTS = ("sand", "slate", "foam", "kelp")


def compose(kinds=60, copies=5):
    """Return the keys of a top of 300 units, each of ten rectangles in two rows."""
    random = Random(1)
    tables = {
        f"{slot}-{int(2 * width)}": {
            "patch": "rectangle",
            "width_finished": f"{width} in",
            "height_finished": "2 in",
            "slot": slot,
        }
        for slot in SLOTS
        for width in WIDTHS
    }
    for kind in range(kinds):
        rows = []
        for _ in range(2):
            cuts = [0, *sorted(random.sample(range(1, 10), 4)), 10]
            rows.append(" ".join(f"{random.choice(SLOTS)}-{b - a}" for a, b in pairwise(cuts)))
        tables[f"unit-{kind}"] = {"rows": rows}
    order = [f"unit-{kind}" for kind in range(kinds) for _ in range(copies)]
    random.shuffle(order)
    tables["whole"] = {"rows": [" ".join(order[k : k + 15]) for k in range(0, len(order), 15)]}
    return {"family": "units", "top": "whole", "unit": tables}


def make_all(keys):
    """Build the top and read its tree, find the units once more in the bare outlines, list the pieces."""
    patchwork = FAMILIES["units"].model_validate(keys).patchwork()
    labels = [SLOTS.index(patch.slot) for patch in patchwork.patches]
    found = find_alike_parts([patch.outline for patch in patchwork.patches], labels, patchwork.mesh)
    return patchwork, patchwork.units, found, cut_list(patchwork)


@pytest.mark.benchmark(group="composed top")
def test_tree_finding_and_cut_list_of_3000_patches_in_60_units(benchmark):
    patchwork, units, found, cuts = benchmark.pedantic(make_all, (compose(),), rounds=3)
    assert len(patchwork.patches) == cuts.count == 3000
    assert sum(unit.name.startswith("unit-") for unit in units.list_all()) == 60
    assert found.largest >= 10
