"""How long it takes to find the parts that come again in 3,000 patches; measured, never asserted."""

from itertools import pairwise
from random import Random

import pytest

from kit.geometry.alike_parts import find_alike_parts
from kit.geometry.outlines import make_rectangle


def lay_units(kinds=60, copies=5):
    """Return 3,000 rectangles: units of ten patches in random rows, each unit five times."""
    random = Random(1)
    units = []
    for _ in range(kinds):
        cuts = [0.0, *sorted(random.sample([k / 2 for k in range(1, 10)], 4)), 5.0]
        unit = []
        for left, right in pairwise(cuts):
            high = random.choice([0.5, 1, 1.5])
            unit += [(left, 0, right - left, high, random.randrange(4))]
            unit += [(left, high, right - left, 2 - high, random.randrange(4))]
        units.append(unit)
    order = [unit for unit in units for _ in range(copies)]
    random.shuffle(order)
    laid = [(5 * (i % 15) + x, 2 * (i // 15) + y, w, h, c) for i, unit in enumerate(order) for x, y, w, h, c in unit]
    return [make_rectangle(*row[:4]) for row in laid], [row[4] for row in laid]


def lay_blocks(across=18, down=18):
    cells = [(3 * x + i % 3, 3 * y + i // 3) for y in range(down) for x in range(across) for i in range(9)]
    return [make_rectangle(*cell, 1, 1) for cell in cells], [0, 1, 0, 1, 2, 1, 0, 1, 3] * across * down


@pytest.mark.benchmark(group="alike parts")
@pytest.mark.parametrize("lay", [lay_units, lay_blocks])
def test_parts_that_come_again(benchmark, lay):
    outlines, labels = lay()
    found = benchmark.pedantic(find_alike_parts, (outlines, labels), rounds=3)
    assert found.largest >= 9
