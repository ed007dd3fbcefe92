"""How long a sketch takes after a slider has moved: run with --benchmark-enable to measure."""

import pytest

from kit.pipeline import make_sketch
from kit.study import study_from_keys

FABRICS = ["blade", "start", "accent", "centre", "light", "dark"]
DESIGNS = {
    "braid": lambda size: {
        "family": "braid",
        "columns": {300: 5, 1000: 10, 3000: 20}[size],
        "pairs": {300: 20, 1000: 33, 3000: 50}[size],
        "accents": "left",
    },
    "log cabin": lambda size: {
        "family": "log cabin",
        "columns": {300: 4, 1000: 8, 3000: 13}[size],
        "rows": {300: 4, 1000: 8, 3000: 14}[size],
        "turns": ["0 90", "270 180"],
    },
}


def make_study(family, size):
    fabrics = [
        {"slot": slot, "name": f"{slot} {i}", "colour": f"#{40 * i:02x}8060"} for slot in FABRICS for i in range(6)
    ]
    return study_from_keys({"title": "Slider", "seed": 5, "design": DESIGNS[family](size), "fabric": fabrics})


@pytest.mark.parametrize("size", [300, 1000, 3000])
@pytest.mark.parametrize("family", sorted(DESIGNS))
def test_a_sketch_follows_a_slider(benchmark, family, size):
    study = make_study(family, size)
    sketch = benchmark(make_sketch, study)
    assert 0.85 * size < len(sketch.patchwork.patches) < 1.2 * size
    assert sketch.colouring.violations == 0
