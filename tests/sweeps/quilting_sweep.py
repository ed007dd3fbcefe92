"""Random areas, every way of stitching, three spacings: what fits, what stays inside, how even, how round, how long.

PYTHONPATH=.:tests/support python tests/sweeps/quilting_sweep.py 0 200
"""

import sys
from collections import Counter, defaultdict
from time import process_time

import numpy as np
from random_areas import draw_area, measure_lines

from kit.model.quilting_wishes import WAYS, Stitching
from kit.planning.quilting.quilting_ways import _fit_once, stitch_region

SPACINGS = (0.25, 0.5, 1.0)
FIGURES = {
    "motif": ((0, 0), (2, 1), (4, 0), (3, 2), (4, 4), (2, 3), (0, 4), (1, 2)),
    "drawn line": ((0, 0), (2, 0), (4, 1), (5.2, 3), (4.4, 4.6), (2.8, 4.2), (2.8, 2.4), (4.4, 1), (6.6, 0.2), (9, 0)),
}


def sweep(first, last, ways=WAYS[1:], spacings=SPACINGS):
    """Return for each way a list of (kind, spacing, fit, seconds, measures or None)."""
    found = defaultdict(list)
    for seed in range(first, last):
        kind, rings = draw_area(seed)
        middle = tuple(np.mean(rings[0], axis=0).tolist())
        for way in ways:
            for spacing in spacings:
                wish = Stitching("area", way, spacing, motif=FIGURES.get(way, ()))
                _fit_once.cache_clear()
                begun = process_time()
                drawn = stitch_region(wish, rings, middle, seed)
                took = process_time() - begun
                seen = measure_lines(rings, drawn.paths, drawn.spacing, way) if drawn.paths else None
                found[way].append((kind, spacing, drawn.fit, took, seen, seed))
    return found


def report(found):
    """Print one row per way."""
    print("way | as wished | narrower | left | outside | crossing | least radius | open | crowded | ms: median, worst")
    for way, rows in found.items():
        fits = Counter(fit for _, _, fit, *_ in rows)
        seen = [m for *_, m, _ in rows if m is not None]
        outside, crossing = sum(not m[0] for m in seen), sum(m[1] for m in seen)
        bend = min(m[2] for m in seen)
        opened, crowded = np.mean([m[3] for m in seen]), np.mean([m[4] for m in seen])
        took = np.array([t for _, _, _, t, *_ in rows]) * 1000
        print(
            f"{way} | {fits['as wished']} | {fits['narrower']} | {fits['left']} | {outside} | {crossing} | {bend:.3f} |"
            f" {100 * opened:.1f} % | {100 * crowded:.1f} % | {np.median(took):.0f}, {took.max():.0f}",
            flush=True,
        )
        for kind, spacing, _, seconds, measured, seed in rows:
            if seconds > 0.2 or (measured and (not measured[0] or measured[1])):
                print(f"    {seed} {kind} {spacing:g}: {1000 * seconds:.0f} ms, {measured}")


if __name__ == "__main__":
    report(sweep(int(sys.argv[1]), int(sys.argv[2]), WAYS[1:] if len(sys.argv) < 4 else sys.argv[3].split(",")))
