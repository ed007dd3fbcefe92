"""Which moves of the plane are worth a look in a region of a top, and a bound on all the others.

Every part of two or more patches holds a pair of patches that meet. So the moves between pairs of the rarest families
come first: once all of a family are listed, any other move keeps to the pairs of the families that are left.
"""

import numpy as np
from numpy.typing import NDArray

from kit.geometry.alike_moves import Ints, Moves, Patches
from kit.geometry.part_growth import find_components

BATCH = 120_000
"""Patches times moves that are looked up at a time."""
OFF = 0.31
"""Part of a step by which values are moved before rounding, so that no usual one lies on the edge of a step."""


def list_moves(patches: Patches, within: NDArray[np.bool_], most: float) -> tuple[Moves, NDArray[np.bool_], int]:
    """List moves that lay pairs within a region onto others, those of the rarest classes first.

    Returns
    -------
    tuple
        The moves; for each whether all moves of its class are listed; and the bound of every move that is not listed.
    """
    limit = max(8, min(int(most), 600, 40 + 5 * int(within.sum())))
    half = len(patches.tail) // 2
    live = np.flatnonzero(within[patches.tail] & within[patches.head])
    onto = np.concatenate([live, live])
    side = np.repeat([0, 1], len(live))
    names = np.concatenate([patches.pair_classes[0, live], patches.pair_classes[1, live]])
    order = np.lexsort((onto, side, names))
    onto, side, names = onto[order], side[order], names[order]
    source = live[live < half]
    name = patches.pair_classes[0, source]
    low, high = np.searchsorted(names, name, "left"), np.searchsorted(names, name, "right")
    kind = patches.pair_families[source]
    size = np.bincount(kind, weights=high - low, minlength=int(names.max(initial=0)) + 1)[kind]
    rank = np.lexsort((source, kind, size))
    source, kind, low, high = source[rank], kind[rank], low[rank], high[rank]
    fits = np.cumsum(high - low) <= 12 * limit
    cut = int(fits.sum())
    if cut < len(kind):  # a class is listed whole or not at all
        cut = int(np.flatnonzero(kind == kind[cut])[0])
    pairs, there, mirror = _match(source[:cut], low[:cut], high[:cut], onto, side, half)
    listed = patches.find_moves(pairs, there, mirror)
    first = _drop_same(listed)
    whole = source[:cut]
    if len(first) > limit:
        omitted = patches.pair_families[pairs[first[limit]]]
        whole = source[: int(np.flatnonzero(kind == omitted)[0])]
    sure = np.zeros(half, dtype=bool)
    sure[whole] = True
    keep = first[:limit]
    complete = sure[pairs[keep]]
    extra = np.unique(kind[len(whole) :])
    samples = [int(i) for c in extra[:4].tolist() for i in _pick_far(patches, source, kind, c)]
    at = np.array(samples, dtype=np.int64)
    more = patches.find_moves(*_match(source[at], low[at], high[at], onto, side, 0))
    more = more.pick(_drop_same(more))
    more = more.pick(_rank_by_sample(patches, within, more)[: max(8, limit // 2)])
    both = Moves(
        *(np.concatenate([getattr(listed.pick(keep), f), getattr(more, f)]) for f in ("mirrored", "turn", "shift"))
    )
    left = source[len(whole) :]
    left = left[(high - low)[len(whole) :] > 1]
    return both, np.concatenate([complete, np.zeros(len(more.turn), dtype=bool)]), bound_rest(patches, left)


def _match(source: Ints, low: Ints, high: Ints, onto: Ints, side: Ints, half: int) -> tuple[Ints, Ints, Ints]:
    """Return each source with each pair of its class; one move of a move and its inverse where half is given."""
    size = high - low
    pairs = np.repeat(source, size)
    at = np.arange(len(pairs)) - np.repeat(np.cumsum(size) - size, size) + np.repeat(low, size)
    there, mirror = onto[at], side[at]
    good = pairs < there % half if half else pairs != there
    return pairs[good], there[good], mirror[good]


def _pick_far(patches: Patches, source: Ints, kind: Ints, name: int) -> list[int]:
    """Return the places in a list of the pairs of a class that lie farthest from the middle and nearest to it."""
    here = np.flatnonzero(kind == name)
    away = np.abs(patches.places[patches.tail[source[here]]])
    return list(dict.fromkeys([int(here[np.argmax(away)]), int(here[np.argmin(away)])]))


def _drop_same(moves: Moves) -> Ints:
    """Return which moves to keep so that each is there once, in the order given."""
    if not len(moves.turn):
        return np.empty(0, dtype=np.int64)
    angle = np.floor(np.degrees(np.angle(moves.turn)) * 20 + OFF).astype(np.int64) % 7200
    rows = [np.floor(moves.shift.real * 20 + OFF), np.floor(moves.shift.imag * 20 + OFF)]
    key = angle * 2 + moves.mirrored
    for row in rows:
        low = row - row.min()
        key = np.unique(key * (int(low.max()) + 1) + low.astype(np.int64), return_inverse=True)[1].ravel()
    return np.sort(np.unique(key, return_index=True)[1])


def _rank_by_sample(patches: Patches, within: NDArray[np.bool_], moves: Moves) -> Ints:
    """Order moves by how many of some fifty patches, spread over the region, they lay onto others."""
    if not len(moves.turn):
        return np.empty(0, dtype=np.int64)
    region = np.flatnonzero(within)
    sample = region[:: max(1, len(region) // 50)]
    score = np.empty(len(moves.turn), dtype=np.int64)
    step = BATCH // len(sample)
    for i in range(0, len(score), step):
        found = patches.find_images(moves.pick(range(i, min(i + step, len(score)))), sample)
        score[i : i + step] = (within[found] & (found >= 0) & (found != sample)).sum(axis=1)
    return np.argsort(-score, kind="stable")


def bound_rest(patches: Patches, pairs: Ints) -> int:
    """Return a bound of any part made of certain pairs: connected, and at most half of each kind of patch."""
    if not len(pairs):
        return 0
    a, b = patches.tail[pairs], patches.head[pairs]
    used = np.unique(np.concatenate([a, b]))
    names = find_components(len(patches.places), a, b)
    kind = np.minimum(patches.kinds[0], patches.kinds[1])
    halves = np.bincount(kind[used]) // 2
    best = 0
    for name in np.unique(names[used]).tolist():
        counts = np.bincount(kind[used[names[used] == name]], minlength=len(halves))
        best = max(best, int(np.minimum(counts, halves).sum()))
    return best if best > 1 else 0
