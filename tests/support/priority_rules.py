"""Simple rules for the least length of a strip, as a yardstick: none searches, all cut from edge to edge.

Each takes the pieces in an order and never goes back. `fill_by_priority` opens a level with the next piece and fills
the rest of the level by recursion: first a piece that fits both sides, then the width, then the height, then any.
`fill_best_rest` keeps the free rectangles that cuts leave, and sets each piece into the one that it fits best.

References
----------
D. Zhang, L. Shi, S. Leung, T. Wu, A priority heuristic for the guillotine rectangular packing problem, Information
Processing Letters 116 (2016), p. 15 (the idea, from memory); J. Jylänki, A thousand ways to pack the bin (2010),
section 2.2 (from memory).
"""

ORDERS = {
    "area": lambda w, h: (w * h, w, h),
    "width": lambda w, h: (w, h, w),
    "height": lambda w, h: (h, w, h),
    "longer side": lambda w, h: (max(w, h), min(w, h), w),
    "outline": lambda w, h: (w + h, max(w, h), w),
}
"""What counts first in an order; the greatest come first."""


def find_least_by_rule(pieces, width, *, turn):
    """Return the least length of all rules in all orders, and the rule that gives it."""
    found = []
    for name, measure in ORDERS.items():
        for fill in (fill_by_priority, fill_best_rest):
            for upright in (False, True) if turn else (None,):
                laid = [_lay(piece, width, upright) for piece in pieces]
                laid.sort(key=lambda side, measure=measure: measure(*side), reverse=True)
                found.append((fill(laid, width, turn=turn), f"{fill.__name__} by {name}"))
    return min(found)


def _lay(piece, width, upright):
    """Return the sides of a piece: as given (None), or with its longer side up where it fits, or across."""
    low, long = sorted(piece)
    if upright is None:
        return piece
    return (low, long) if upright or long > width else (long, low)


def fill_by_priority(pieces, width, *, turn):
    """Return the length of levels, each opened by the next piece and filled by recursion."""
    left = list(pieces)
    length = 0
    while left:
        w, h = left.pop(0)
        length += h
        _fill(left, width - w, h, turn)
    return length


def _fill(left, width, height, turn):
    best, chosen = 5, None
    for i, piece in enumerate(left):
        for w, h in (piece, piece[::-1]) if turn else (piece,):
            if w <= width and h <= height:
                rank = 1 if (w, h) == (width, height) else 2 if w == width else 3 if h == height else 4
                if rank < best:
                    best, chosen = rank, (i, w, h)
    if chosen is None:
        return
    i, w, h = chosen
    del left[i]
    if best == 2:
        _fill(left, width, height - h, turn)
    elif best == 3:
        _fill(left, width - w, height, turn)
    elif best == 4 and left:
        least = min(min(piece) if turn else piece[0] for piece in left)
        low = min(min(piece) if turn else piece[1] for piece in left)
        beside = width - w < least or (height - h >= low and w < h)
        if beside:  # the cut runs across: what is above is as wide as the region
            _fill(left, width - w, h, turn)
            _fill(left, width, height - h, turn)
        else:
            _fill(left, w, height - h, turn)
            _fill(left, width - w, height, turn)


def fill_best_rest(pieces, width, *, turn):
    """Return the length of levels whose free rectangles take each piece where least is left beside it."""
    free, length = [], 0
    for piece in pieces:
        fits = [
            (min(a - w, b - h), max(a - w, b - h), k, w, h)
            for k, (a, b) in enumerate(free)
            for w, h in ((piece, piece[::-1]) if turn else (piece,))
            if w <= a and h <= b
        ]
        if fits:
            *_, k, w, h = min(fits)
            a, b = free.pop(k)
        else:
            w, h = piece
            a, b = width, h
            length += h
        if a - w < b - h:  # the shorter rest stays beside the piece, the longer is as wide as the region
            rests = (a - w, h), (a, b - h)
        else:
            rests = (w, b - h), (a - w, b)
        free += [rest for rest in rests if all(rest)]
    return length
