"""Blocks of the trade drawn as outlines, for paper foundations; sides in units of one square."""

from itertools import pairwise

from kit.geometry.outlines import make_rectangle


def square(x, y, side=1):
    return [make_rectangle(x, y, side, side)]


def half_square(x, y, *, rising=True, side=1):
    a, b, c, d = (x, y), (x + side, y), (x + side, y + side), (x, y + side)
    return [(a, b, c), (a, c, d)] if rising else [(a, b, d), (b, c, d)]


def quarter_square(x, y, side):
    middle = x + side / 2, y + side / 2
    corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y)]
    return [(a, b, middle) for a, b in pairwise(corners)]


def goose_inward(turns, half=2):
    """A goose whose peak points to the middle of a block, at its foot, turned by quarters about the middle."""
    outlines = [[(-1, -2), (1, -2), (0, -1)], [(-1, -2), (0, -1), (-1, -1)], [(1, -2), (1, -1), (0, -1)]]
    return [tuple(_turn(point, turns, half) for point in outline) for outline in outlines]


def _turn(point, turns, half):
    x, y = point
    for _ in range(turns):
        x, y = -y, x
    return x + half, y + half


def square_in_square():
    middle = [(2, 0), (4, 2), (2, 4), (0, 2)]
    return [
        tuple(middle),
        ((0, 0), (2, 0), (0, 2)),
        ((2, 0), (4, 0), (4, 2)),
        ((4, 2), (4, 4), (2, 4)),
        ((0, 2), (2, 4), (0, 4)),
    ]


def four_patch():
    return [*square(0, 0), *square(1, 0), *square(0, 1), *square(1, 1)]


def nine_patch():
    return [outline for x in range(3) for y in range(3) for outline in square(x, y)]


def pinwheel():
    return [*half_square(0, 0), *half_square(1, 0, rising=False), *half_square(0, 1, rising=False), *half_square(1, 1)]


def sawtooth_star():
    corners = [outline for x in (0, 3) for y in (0, 3) for outline in square(x, y)]
    return [*corners, *(outline for turns in range(4) for outline in goose_inward(turns)), make_rectangle(1, 1, 2, 2)]


def ohio_type_star():
    """Nine squares, those at the sides in quarters."""
    return [
        outline
        for x in range(3)
        for y in range(3)
        for outline in (quarter_square(2 * x, 2 * y, 2) if (x + y) % 2 else square(2 * x, 2 * y, 2))
    ]


def enlarge(outlines, by):
    return [tuple((x * by, y * by) for x, y in outline) for outline in outlines]
