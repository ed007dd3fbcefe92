"""Layouts checked piece by piece, and small sheets whose least length every arrangement shows."""

from collections import Counter
from functools import cache
from itertools import combinations
from random import Random


def cut_apart(places):
    """Return True if straight cuts from edge to edge part the places down to single ones."""
    if len(places) < 2:
        return True
    for side, size in ((0, 2), (1, 3)):
        end, first = 0, []
        for place in sorted(places, key=lambda place, side=side: place[side]):
            if first and place[side] >= end:
                rest = [other for other in places if other not in first]
                return cut_apart(first) and cut_apart(rest)
            first.append(place)
            end = max(end, place[side] + place[size])
    return False


def check_layout(kinds, width, layout):
    """Check that a layout has every piece once, inside the strip and not over another, and can be cut."""
    held = Counter()
    for strip, times in layout:
        places = [(place.x, place.y, place.width, place.height) for place in strip.placed]
        assert cut_apart(places)
        for place in strip.placed:
            kind = kinds[place.kind]
            upright = (place.width, place.height) == (kind.width, kind.height)
            assert upright or (kind.turn and (place.height, place.width) == (kind.width, kind.height))
            assert place.x >= 0
            assert place.x + place.width <= width
            assert place.y >= 0
            assert place.y + place.height <= strip.height
            held[place.kind] += times
    assert held == {i: kind.count for i, kind in enumerate(kinds)}


def find_least(pieces, width, *, turn=True):
    """Return the least length of cloth for a handful of rectangles, in whole units, by every way of cutting them apart.

    Written for the tests alone: each set of pieces is one piece either way round (without `turn` its long side across),
    or two sets beside or above each other; no bound, no order, nothing left out but boxes that another one fits into.
    """

    @cache
    def boxes(chosen):
        if len(chosen) == 1:
            low, long = pieces[chosen[0]]
            return {(low, long), (long, low)} if turn else {(long, low)}
        found = set()
        first, *others = chosen
        for size in range(len(others)):
            for picked in combinations(others, size):
                part = (first, *picked)
                rest = tuple(i for i in others if i not in picked)
                for w, h in boxes(part):
                    for v, g in boxes(rest):
                        found |= {(w + v, max(h, g)), (max(w, v), h + g)}
        within = {(w, h) for w, h in found if w <= width}
        return {(w, h) for w, h in within if not any((v, g) != (w, h) and v <= w and g <= h for v, g in within)}

    return min((h for w, h in boxes(tuple(range(len(pieces)))) if w <= width), default=None)


def draw_few(seed):
    """Return a width in inches and two to six rectangles in quarter inches, alike ones among them."""
    random = Random(seed)
    sides = [tuple(sorted((random.randint(6, 40), random.randint(6, 40)))) for _ in range(random.randint(2, 6))]
    return random.choice((10.0, 12.0, 18.0)), [random.choice(sides) for _ in sides]


def count(pieces):
    """Return (width, length, count) in inches of rectangles in quarter inches."""
    return [(low / 4, long / 4, pieces.count((low, long))) for low, long in sorted(set(pieces))]
