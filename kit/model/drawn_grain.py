"""The straight grain of drawn patches: along the drawing's edge, or along most edges, and equal patches alike."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from math import degrees

import numpy as np

from kit.geometry.congruence import ANGLE_TOLERANCE, Likeness, compare_outlines
from kit.geometry.outlines import (
    TOLERANCE,
    Outline,
    measure_angles,
    measure_box,
    measure_directions,
    measure_edges,
    move_outline,
)

SQUARE = degrees(1e-4)
"""Degrees within which two directions are taken for parallel or square."""


def choose_grains(
    outlines: Sequence[Outline], slots: Sequence[str], size: tuple[float, float], given: Mapping[int, float]
) -> list[float]:
    """Return a direction for the straight grain of each patch, degrees from x.

    A patch at the edge of the drawing has it along that edge, any other along the greatest length of its edges; upright
    and level are preferred where they tie. Equal patches of one slot that lie at several turns are then cut alike: as
    most of those at the edge, or else as most of them; only what lies at the edge keeps its own grain. So equal arms
    round a point come of the same pieces. Right triangles with equal legs keep theirs: in one place their legs lie on
    the grain, in another their long side. A given direction stands.

    Parameters
    ----------
    outlines
        Corners in inches, counter-clockwise.
    slots
        The slot of each.
    size
        Width and height of the drawing, inches; its lower left corner lies at the origin.
    given
        Directions that the designer gave, by the number of the outline.

    Notes
    -----
    Near-linear; some 40 us for each patch.

    Examples
    --------
    >>> from kit.geometry.outlines import turn_outline
    >>> kite = ((0.0, 0.0), (3.0, -1.0), (4.0, 0.0), (3.0, 1.0))
    >>> star = [turn_outline(kite, 30 * k, about=(9.0, 9.0)) for k in range(12)]
    >>> grains = choose_grains(star, ["star"] * 12, (18.0, 18.0), {})
    >>> sorted({round((grain - 30 * k) % 90, 3) for k, grain in enumerate(grains)})
    [71.565]
    """
    chosen = [_choose_grain(outline, *size) for outline in outlines]
    for directions in _find_turned(outlines, slots, given):
        outside = {i for i in directions if find_outside(outlines[i], *size)}
        for i, grain in _cut_alike(directions, chosen, outside).items():
            chosen[i] = grain
    return [given.get(i, grain) for i, grain in enumerate(chosen)]


def keep_level(outlines: Sequence[Outline], slots: Sequence[str]) -> list[float]:
    """Return the grain of bare outlines, degrees from x: level, but where equal ones lie at several turns.

    These are cut alike, as `choose_grains` does it, so that equal arms round a point come of the same pieces.

    Examples
    --------
    >>> from kit.geometry.outlines import turn_outline
    >>> kite = ((0.0, 0.0), (3.0, -1.0), (4.0, 0.0), (3.0, 1.0))
    >>> keep_level([kite, turn_outline(kite, 90)], ["star"] * 2)
    [0.0, 0.0]
    >>> grains = keep_level([turn_outline(kite, 30 * k) for k in range(12)], ["star"] * 12)
    >>> sorted({round((grain - 30 * k) % 90, 3) for k, grain in enumerate(grains)})
    [71.565]
    """
    if not outlines:
        return []
    left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
    size = right - left, top - bottom
    moved = {i: move_outline(outline, -left, -bottom) for i, outline in enumerate(outlines)}
    grains = [0.0] * len(outlines)
    for directions in _find_turned(outlines, slots, {}):
        chosen = {i: _choose_grain(moved[i], *size) for i in directions}
        outside = {i for i in directions if find_outside(moved[i], *size)}
        for i, grain in (chosen | _cut_alike(directions, chosen, outside)).items():
            grains[i] = grain
    return grains


def _find_turned(
    outlines: Sequence[Outline], slots: Sequence[str], given: Mapping[int, float]
) -> Iterator[dict[int, list[float]]]:
    """Yield the directions of the edges of each set of equal patches that lie at several turns."""
    alike: dict[tuple[int, str], list[int]] = defaultdict(list)
    likes = compare_outlines(outlines)
    for i, like in enumerate(likes):
        if i not in given:
            alike[like.shape, slots[i]].append(i)
    for found in alike.values():
        if len(found) > 1 and not _has_equal_legs(outlines[found[0]]):
            directions = {i: _list_directions(outlines[i], likes[i]) for i in found}
            if _lie_at_turns(directions, likes[found[0]]):
                yield directions


def _choose_grain(outline: Outline, width: float, height: float) -> float:
    """Return the grain of a patch by itself: along the edge of the drawing, or along most of its edges."""
    if find_outside(outline, width, height):
        return 0.0
    lengths, angles = np.array(measure_edges(outline)), np.array(measure_directions(outline))
    best, chosen = -1.0, 0.0
    for angle in (0.0, *sorted({round(float(angle) % 90, 6) for angle in angles})):
        length = float(lengths[np.abs((angles - angle + 45) % 90 - 45) < SQUARE].sum())
        if length > best + TOLERANCE:
            best, chosen = length, angle
    return chosen


def find_outside(outline: Outline, width: float, height: float) -> bool:
    """Return True if an edge of a patch lies on the edge of the drawing."""
    for axis, bound in ((0, 0.0), (0, width), (1, 0.0), (1, height)):
        at = [abs(point[axis] - bound) < TOLERANCE for point in outline]
        if any(here and at[i - 1] for i, here in enumerate(at)):
            return True
    return False


def _list_directions(outline: Outline, like: Likeness) -> list[float]:
    """Return the directions of the edges, in the order of the class of shapes."""
    directions = measure_directions(outline)
    return directions[like.first :] + directions[: like.first]


def _lie_at_turns(directions: Mapping[int, Sequence[float]], like: Likeness) -> bool:
    """Return True if equal patches do not all lie alike, or a quarter turn from one another."""
    first = next(iter(directions.values()))[0]
    return any(not any(_is_square(edge - first) for edge in edges[:: like.period]) for edges in directions.values())


def _cut_alike(
    directions: Mapping[int, Sequence[float]], chosen: Sequence[float] | Mapping[int, float], outside: set[int]
) -> dict[int, float]:
    """Return new grains for equal patches: along the edge that lies on the grain of most of them.

    Patches outside keep theirs.
    """
    own = {
        i: next((k for k, edge in enumerate(edges) if _is_square(edge - chosen[i])), 0)
        for i, edges in directions.items()
    }
    votes = Counter(own[i] for i in outside or own)
    best = min(edge for edge, times in votes.items() if times == max(votes.values()))
    return {i: directions[i][best] % 90 for i, edge in own.items() if edge != best and i not in outside}


def _is_square(angle: float) -> bool:
    return abs((angle + 45) % 90 - 45) < 4 * ANGLE_TOLERANCE


def _has_equal_legs(outline: Outline) -> bool:
    angles = sorted(measure_angles(outline))
    return len(angles) == 3 and abs(angles[2] - 90) < 0.02 and abs(angles[0] - 45) < 0.02
