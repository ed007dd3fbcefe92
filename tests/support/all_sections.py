"""The fewest sections of a block by complete search over sets of patches: a second opinion that shares no code."""

import itertools
from functools import cache
from math import dist, inf

import shapely

NEAR = 1e-6


def count_sections(outlines):
    """Return the fewest sections that straight seams join, or infinity if there is no such order.

    A set of patches is a section if one of them can be taken off so that it meets the others along one straight line,
    a whole edge of what is left, which lies on one side of it, and the rest is a section. Parts are joined along one
    straight line.
    """
    shapes = [shapely.Polygon(outline) for outline in outlines]
    shared = _list_shared(shapes)

    def meet(ones, others):
        return [pair for i in ones for j in others for pair in shared.get((i, j), ())]

    @cache
    def is_section(part):
        if len(part) == 1:
            return True
        for last in part:
            rest = part - {last}
            line = _find_line(meet([last], rest))
            if line and _is_whole_edge(line, [shapes[i] for i in rest]) and is_section(rest):
                return True
        return False

    @cache
    def least(part):
        if is_section(part):
            return 1
        best = inf
        first, *others = sorted(part)
        for mask in range(2 ** len(others) - 1):
            one = frozenset([first, *(other for k, other in enumerate(others) if mask >> k & 1)])
            if (
                _find_line(meet(one, part - one))
                and _holds_together(one, shared)
                and _holds_together(part - one, shared)
            ):
                best = min(best, least(one) + least(part - one))
        return best

    return least(frozenset(range(len(outlines))))


def _list_shared(shapes):
    """Return the straight stretches along which each two patches meet."""
    shared = {}
    for i, one in enumerate(shapes):
        for j in range(i):
            meet = one.boundary.intersection(shapes[j].boundary)
            pieces = [
                line
                for line in shapely.get_parts(shapely.line_merge(meet) if meet.geom_type == "MultiLineString" else meet)
                if line.length > NEAR
            ]
            if pieces:
                shared[i, j] = shared[j, i] = [pair for line in pieces for pair in _list_stretches(line)]
    return shared


def _list_stretches(line):
    corners = list(line.coords)
    return [(a, b) for a, b in itertools.pairwise(corners) if dist(a, b) > NEAR]


def _find_line(stretches):
    """Return the ends of the one straight line that stretches make up, or None if they do not."""
    if not stretches:
        return None
    ends = [point for pair in stretches for point in pair]
    a = min(ends)
    b = max(ends)
    length = dist(a, b)
    off = max(abs((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) / length for x, y in ends)
    return (a, b) if off < NEAR and abs(sum(dist(*pair) for pair in stretches) - length) < NEAR else None


def _is_whole_edge(line, shapes):
    """Return whether a line is all that a union has along it, and the union lies on one side."""
    (ax, ay), (bx, by) = line
    length = dist(*line)
    sides = [
        ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length for shape in shapes for x, y in shape.exterior.coords
    ]
    if min(sides) < -NEAR < NEAR < max(sides):
        return False
    along = 0.0
    for shape in shapes:
        for a, b in _list_stretches(shape.exterior):
            if all(abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length < NEAR for x, y in (a, b)):
                along += dist(a, b)
    return abs(along - length) < NEAR


def _holds_together(part, shared):
    seen, stack = set(), [min(part)]
    while stack:
        one = stack.pop()
        if one not in seen:
            seen.add(one)
            stack += [other for other in part if (one, other) in shared]
    return len(seen) == len(part)
