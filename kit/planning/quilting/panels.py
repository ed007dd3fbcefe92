"""Panels: the parts of a quilt that fit under the machine's arm, divided along seams if possible."""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil

import numpy as np

from kit.errors import KitError
from kit.geometry.outlines import TOLERANCE
from kit.lengths import write_refused
from kit.model.patchwork import Patchwork

MOST_PANELS = 60
Box = tuple[float, float, float, float]


def choose_cuts(patchwork: Patchwork, throat: float | None) -> tuple[int, tuple[float, ...]]:
    """Return the axis of the row of panels (0 across, 1 up), and the levels between them.

    Across each axis as few panels as the throat allows; among all such divisions the one with the fewest inches of
    its levels off a seam.

    Raises
    ------
    KitError
        A throat so narrow that there would be more than 60 panels.
    """
    if throat is None or min(patchwork.finished) <= throat + TOLERANCE:
        return 1, ()
    choices = []
    for axis in (0, 1):
        low, high = patchwork.box[axis], patchwork.box[axis + 2]
        if (high - low) / throat > MOST_PANELS:
            raise KitError(
                f"The machine's throat is {write_refused(throat)}, and the top {write_refused(high - low)}",
                needed=f"at most {MOST_PANELS} panels",
                do=f"give a throat of at least {write_refused(ceil(10 * (high - low) / MOST_PANELS + 0.05) / 10)}",
            )
        levels, seams = _divide(_measure_seams(patchwork, axis), low, high, throat)
        other = patchwork.finished[1 - axis]
        choices.append((len(levels) * other - seams, len(levels), axis, levels))
    _, _, axis, levels = min(choices)
    return axis, levels


def _measure_seams(patchwork: Patchwork, axis: int) -> dict[float, float]:
    """Return for each level the inches of seam along it."""
    mesh = patchwork.mesh
    found: dict[float, float] = {}
    a, b = mesh.nodes[mesh.start], mesh.nodes[mesh.end]
    flat = (np.abs(a[:, axis] - b[:, axis]) <= TOLERANCE) & (mesh.twin > np.arange(len(mesh.twin)))
    for level, length in zip(np.round(a[flat, axis], 5).tolist(), mesh.lengths[flat].tolist(), strict=True):
        found[level] = found.get(level, 0.0) + length
    return found


def _divide(seams: dict[float, float], low: float, high: float, throat: float) -> tuple[tuple[float, ...], float]:
    """Return the fewest levels no further apart than the throat, with the most inches of seam along them."""
    count = int(np.ceil((high - low) / throat - 1e-9))
    plain = [low + (high - low) * k / count for k in range(1, count)]
    spots = [low, *sorted({level for level in (*seams, *plain) if low + 1 < level < high - 1}), high]
    best: dict[int, tuple[float, tuple[float, ...]]] = {0: (0.0, ())}
    for _ in range(count):
        best = _extend(best, spots, seams, throat)
    seam, levels = best[len(spots) - 1]
    return levels[:-1], seam


def _extend(
    best: dict[int, tuple[float, tuple[float, ...]]], spots: Sequence[float], seams: dict[float, float], throat: float
) -> dict[int, tuple[float, tuple[float, ...]]]:
    """Return the best divisions with one more panel, by the end of the last panel."""
    longer: dict[int, tuple[float, tuple[float, ...]]] = {}
    for i, (seam, levels) in best.items():
        for j in range(i + 1, len(spots)):
            if spots[j] - spots[i] > throat + TOLERANCE:
                break
            new = seam + seams.get(spots[j], 0.0), (*levels, spots[j])
            if j not in longer or new[0] > longer[j][0]:
                longer[j] = new
    return longer


def list_panels(box: Box, cuts: tuple[int, tuple[float, ...]]) -> tuple[Box, ...]:
    """Return the panels in the order of working: from the middle of the quilt outward."""
    axis, levels = cuts
    low, high = box[axis], box[axis + 2]
    marks = [low, *levels, high]
    panels = []
    for a, b in pairwise(marks):
        panels.append((a, box[1], b, box[3]) if axis == 0 else (box[0], a, box[2], b))
    middle = (low + high) / 2
    return tuple(sorted(panels, key=lambda p: (round(abs((p[axis] + p[axis + 2]) / 2 - middle), 6), p[axis])))
