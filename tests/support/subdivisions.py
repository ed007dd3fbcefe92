"""Subdivisions of a rectangle for the tests of the sewing order: floorplans, grids cut up, and random ones."""

from math import cos, radians, sin, sqrt
from random import Random

import shapely

from kit.geometry.outlines import make_rectangle, tidy_outline

PINWHEEL = [[1, 1, 2, 2], [0, 0, 2, 1], [2, 0, 3, 2], [1, 2, 3, 3], [0, 1, 1, 3]]
"""Four rooms turned round a fifth."""


def list_floorplans(rooms):
    """Return every mosaic floorplan with so many rooms, as [left, bottom, right, top] a room.

    The room in the upper right corner can be pushed out over the top or over the right side in exactly one way, so each
    floorplan comes once from one with a room less: the new room covers the last few rooms along the top, or those
    uppermost along the right side, and the others along that side grow.
    """
    if rooms == 1:
        return [[[0, 0, 1, 1]]]
    return [child for plan in list_floorplans(rooms - 1) for child in _grow(plan)]


def _grow(plan):
    for axis in (0, 1):
        other = 1 - axis
        edge = max(room[2 + other] for room in plan)
        along = sorted((room for room in plan if room[2 + other] == edge), key=lambda room: room[axis])
        for first in range(len(along)):
            covered = along[first:]
            child = [list(room) for room in plan]
            for room, old in zip(child, plan, strict=True):
                if old in along and old not in covered:
                    room[2 + other] = edge + 1
            new = [0, 0, 0, 0]
            new[axis], new[2 + axis] = covered[0][axis], max(room[2 + axis] for room in plan)
            new[other], new[2 + other] = edge, edge + 1
            yield [*child, new]


def _mirror_plan(plan):
    return [[3 - right, bottom, 3 - left, top] for left, bottom, right, top in plan]


def as_outlines(plan, scale=4.0):
    return [
        make_rectangle(scale * left, scale * bottom, scale * (right - left), scale * (top - bottom))
        for left, bottom, right, top in plan
    ]


def list_partitions(rows, columns):
    """Yield every way to cut a grid into rectangles along its lines."""

    def fill(taken, found):
        free = next(((r, c) for r in range(rows) for c in range(columns) if (r, c) not in taken), None)
        if free is None:
            yield list(found)
            return
        r, c = free
        for bottom in range(r + 1, rows + 1):
            for right in range(c + 1, columns + 1):
                cells = {(i, j) for i in range(r, bottom) for j in range(c, right)}
                if not cells & taken:
                    yield from fill(taken | cells, [*found, [c, r, right, bottom]])

    yield from fill(frozenset(), [])


def draw_subdivision(seed, most=8):
    """Return a random subdivision of up to so many patches: rooms, halved rooms, and patches with inner corners."""
    random = Random(seed)  # noqa: S311 - examples, not secrets
    plan = random.choice(list_floorplans(random.randint(3, 6)))
    if random.random() < 0.5:
        plan = random.choice([PINWHEEL, _mirror_plan(PINWHEEL)])
        for _ in range(random.randint(0, 2)):
            plan = random.choice(list(_grow(plan)))
    outlines = as_outlines(plan)
    for _ in range(random.randint(0, 3)):
        k = random.randrange(len(outlines))
        a, b, c, *rest = outlines[k] if random.random() < 0.5 else outlines[k][1:] + outlines[k][:1]
        if len(rest) == 1 and len(outlines) < most:
            outlines[k : k + 1] = [(a, b, c), (a, c, rest[0])]
    for _ in range(random.randint(0, 2)):
        outlines = _merge(outlines, random)
    return outlines


def _merge(outlines, random):
    """Join two neighbours into one patch, if that leaves one simple outline."""
    i, j = random.sample(range(len(outlines)), 2)
    union = shapely.union(shapely.Polygon(outlines[i]), shapely.Polygon(outlines[j]))
    if len(outlines) < 4 or union.geom_type != "Polygon" or union.interiors:
        return outlines
    merged = tidy_outline(union.exterior.coords)
    return [o for k, o in enumerate(outlines) if k not in (i, j)] + [merged]


def turn_point(radius, degrees):
    return radius * cos(radians(degrees)), radius * sin(radians(degrees))


def whirl():
    """W10: the centre finishes 4 in, four rectangles 3 × 7."""
    return [
        make_rectangle(3, 3, 4, 4),
        make_rectangle(0, 0, 7, 3),
        make_rectangle(7, 0, 3, 7),
        make_rectangle(3, 7, 7, 3),
        make_rectangle(0, 3, 3, 7),
    ]


def butted_frame():
    """W11: the same centre between two of 3 × 4 and two of 3 × 10."""
    return [
        make_rectangle(3, 3, 4, 4),
        make_rectangle(0, 3, 3, 4),
        make_rectangle(7, 3, 3, 4),
        make_rectangle(0, 0, 10, 3),
        make_rectangle(0, 7, 10, 3),
    ]


def eight_pointed_star(side=4.0):
    """Eight 45° diamonds, four corner squares and four side triangles."""
    spoke = [turn_point(side, 45 * k) for k in range(8)]
    tip = [(spoke[k][0] + spoke[(k + 1) % 8][0], spoke[k][1] + spoke[(k + 1) % 8][1]) for k in range(8)]
    diamonds = [((0.0, 0.0), spoke[k], tip[k], spoke[(k + 1) % 8]) for k in range(8)]
    far = max(x for x, _ in tip)
    background = []
    for k in range(8):
        corner = [(far if spoke[k][0] > 0 else -far, far if spoke[k][1] > 0 else -far)] if k % 2 else []
        background.append((spoke[k], tip[k], *corner, tip[k - 1]))
    return diamonds + background


def tumbling_block(x=0.0, y=0.0, side=3.0):
    """Three 60° diamonds that look like a cube."""
    corner = [turn_point(side, 90 + 60 * k) for k in range(6)]
    move = [(x + dx, y + dy) for dx, dy in corner]
    return [((x, y), move[2 * k], move[2 * k + 1], move[(2 * k + 2) % 6]) for k in range(3)]


def hexagon_flower(side=3.0):
    """A hexagon with six round it."""
    middles = [(0.0, 0.0), *(turn_point(side * sqrt(3), 60 * k) for k in range(6))]
    return [[(x + dx, y + dy) for dx, dy in (turn_point(side, 90 + 60 * k) for k in range(6))] for x, y in middles]


def half_square_star(unit=3.0):
    """An eight-pointed star drafted on a 4 × 4 grid of squares and half-square triangles."""
    outlines = []
    for x in range(4):
        for y in range(4):
            square = make_rectangle(unit * x, unit * y, unit, unit)
            if x in (0, 3) and y in (0, 3):
                outlines.append(square)
                continue
            k = (x + y) % 2
            a, b, c, d = square[k:] + square[:k]
            outlines += [(a, b, c), (a, c, d)]
    return outlines


def mirror(outlines):
    return [[(-x, y) for x, y in reversed(outline)] for outline in outlines]
