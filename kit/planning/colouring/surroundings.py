"""The surroundings of each patch for the wishes of a placement: neighbours, mirror images, patches near and in line."""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from statistics import fmean

from kit.geometry.outlines import TOLERANCE
from kit.model.patchwork import Patchwork
from kit.model.rules import DIRECTIONS, Rules, Symmetry

REACH = 3.0
"""A print that returns within this many sides of a mean patch counts as near."""
LINE = 0.985
"""The least cosine of three patches in a line: within ten degrees."""

Partners = list[list[int]]


@dataclass(frozen=True)
class Surroundings:
    """The facts about the top for the wishes; every list has one entry per patch."""

    middles: list[tuple[float, float]]
    beside: Partners
    slots: list[str]
    targets: list[float]
    mirrored: Partners
    within: list[list[tuple[int, float]]]
    lines: list[list[tuple[int, int]]]


def survey(patchwork: Patchwork, rules: Rules) -> Surroundings:
    """Find the facts about the top that the wishes need, and no others."""
    n = len(patchwork.patches)
    middles = [_find_middle(patch.outline) for patch in patchwork.patches]
    slots = [patch.slot for patch in patchwork.patches]
    beside: Partners = [[] for _ in range(n)]
    for a, b in patchwork.mesh.neighbours.tolist():
        beside[a].append(b)
        beside[b].append(a)
    nothing: Partners = [[] for _ in range(n)]
    reach = REACH * (patchwork.area / n) ** 0.5
    return Surroundings(
        middles,
        beside,
        slots,
        _place_along(middles, slots, DIRECTIONS[rules.gradient]) if rules.gradient else [0.0] * n,
        _find_images(middles, slots, patchwork.box, rules.symmetry) if rules.symmetry else nothing,
        _find_within(middles, slots, reach) if rules.spread else [[] for _ in range(n)],
        _find_lines(patchwork, middles) if rules.no_stripes else [[] for _ in range(n)],
    )


def _find_middle(outline: Sequence[tuple[float, float]]) -> tuple[float, float]:
    return fmean(x for x, _ in outline), fmean(y for _, y in outline)


def _place_along(middles: Sequence[tuple[float, float]], slots: Sequence[str], way: tuple[float, float]) -> list[float]:
    """Return the position of each patch along a direction, 0 to 1 within its slot."""
    along = [x * way[0] + y * way[1] for x, y in middles]
    ends: dict[str, list[float]] = defaultdict(list)
    for slot, place in zip(slots, along, strict=True):
        ends[slot].append(place)
    span = {slot: (min(row), max(max(row) - min(row), TOLERANCE)) for slot, row in ends.items()}
    return [(place - span[slot][0]) / span[slot][1] for slot, place in zip(slots, along, strict=True)]


def _find_images(
    middles: Sequence[tuple[float, float]], slots: Sequence[str], box: tuple[float, float, float, float], kind: Symmetry
) -> Partners:
    """Return for each patch its images under the symmetry in its slot."""
    cx, cy = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    images: dict[Symmetry, list[Callable[[float, float], tuple[float, float]]]] = {
        "left and right": [lambda x, y: (-x, y)],
        "top and bottom": [lambda x, y: (x, -y)],
        "half turn": [lambda x, y: (-x, -y)],
        "quarter turn": [lambda x, y: (-y, x), lambda x, y: (-x, -y), lambda x, y: (y, -x)],
    }
    at = {(round((x - cx) * 100), round((y - cy) * 100)): i for i, (x, y) in enumerate(middles)}
    found: Partners = []
    for i, (x, y) in enumerate(middles):
        places = [image(x - cx, y - cy) for image in images[kind]]
        near = [_look_up(at, round(u * 100), round(v * 100)) for u, v in places]
        found.append(sorted({j for j in near if j is not None and j != i and slots[j] == slots[i]}))
    return found


def _look_up(at: Mapping[tuple[int, int], int], u: int, v: int) -> int | None:
    """Return the patch with its middle here, within a hundredth of an inch."""
    cells = [(u + i, v + j) for i in (0, -1, 1) for j in (0, -1, 1)]
    return next((at[cell] for cell in cells if cell in at), None)


def _find_within(
    middles: Sequence[tuple[float, float]], slots: Sequence[str], reach: float
) -> list[list[tuple[int, float]]]:
    """Return for each patch the patches of its slot within reach, with 1 for the same place down to 0 at the reach."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    for i, (x, y) in enumerate(middles):
        cells[int(x // reach), int(y // reach)].append(i)
    found = []
    for i, (x, y) in enumerate(middles):
        u, v = int(x // reach), int(y // reach)
        near = [j for a in (u - 1, u, u + 1) for b in (v - 1, v, v + 1) for j in cells.get((a, b), ())]
        apart = [(j, hypot(middles[j][0] - x, middles[j][1] - y)) for j in near if j != i and slots[j] == slots[i]]
        found.append([(j, 1 - d / reach) for j, d in apart if d < reach])
    return found


def _find_lines(patchwork: Patchwork, middles: Sequence[tuple[float, float]]) -> list[list[tuple[int, int]]]:
    """Return for each patch the pairs that make three in a line with it, all of one slot, each meeting the next."""
    slots = [patch.slot for patch in patchwork.patches]
    meet: Partners = [[] for _ in middles]
    for a, b in patchwork.mesh.corner_neighbours.tolist():
        if slots[a] == slots[b]:
            meet[a].append(b)
            meet[b].append(a)
    lines: list[list[tuple[int, int]]] = [[] for _ in middles]
    for b, (x, y) in enumerate(middles):
        for a in meet[b]:
            for c in meet[b]:
                ux, uy, vx, vy = x - middles[a][0], y - middles[a][1], middles[c][0] - x, middles[c][1] - y
                if a < c and ux * vx + uy * vy > LINE * hypot(ux, uy) * hypot(vx, vy):
                    lines[a].append((b, c))
                    lines[b].append((a, c))
                    lines[c].append((a, b))
    return lines
