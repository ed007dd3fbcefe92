"""Parts grown in all their copies at once, wherever these lie: from a pair that comes often to the unit round it.

One pair of patches is laid onto every pair of its class. Round it the part grows by the patch that most of the copies
have as well; copies that lack it fall away. Of all stages the one is kept that saves most for what its copies cover.
"""

from collections.abc import Iterator
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.geometry.alike_moves import Ints, Patches
from kit.geometry.part_growth import PatchNet

COPIES = 60
"""The most copies that are followed at a time; fewer where a part grows large."""
FEW = 8
"""So many are followed always."""
ROUND = 120
"""How many patches round a pair are looked at first; four times as many where the part grows large."""
CLOSE = 14
"""How many patches decide which copies are followed where there are more."""
SHARE = 0.4
"""Copies are followed that have so much in common with the first as the best one has."""
SPREAD = 100
"""WorkLeft for each patch that the copies of a part cover."""
STEP = 150
"""WorkLeft of one step of growth, in some 0.1 us."""
Grown: TypeAlias = tuple[float, tuple[int, ...], tuple[int, ...]]
"""What a part saves of what its copies cover, the patches that they cover, and the part."""


def rate_saving(copies: int, size: int) -> float:
    """Return how many joins copies of a part save for each patch that they cover.

    Examples
    --------
    >>> rate_saving(5, 10)
    0.72
    """
    return round((copies - 1) * (size - 1) / (copies * size), 9)


class _Growth:
    """A part and its copies while it grows: which patch of each copy answers to each patch round the first pair."""

    def __init__(self, net: PatchNet, images: Ints, local: Ints, seed: tuple[int, int]) -> None:
        self.net = net
        self.images = images
        self.column = {patch: i for i, patch in enumerate(local.tolist())}
        self.alive = list(range(len(images)))
        self.owner: dict[int, int] = {}
        self.taken: list[int] = []
        self.inside: set[int] = set()
        self.touched: set[int] = set()
        self.frontier: dict[int, None] = {}
        self.stages: list[tuple[float, int, int, list[int]]] = []
        for patch in seed:
            self.take(patch)

    def take(self, patch: int) -> None:
        """Let a patch into the part; copies that lack it, or overlap others by it, fall away."""
        row = self.images[:, self.column[patch]].tolist()
        rival = self.owner.get(patch)
        if rival:
            self._drop({rival})
        alive = []
        for copy in self.alive:
            here = row[copy]
            if here >= 0 and self.owner.setdefault(here, copy) == copy:
                alive.append(copy)
        self._drop(set(self.alive).difference(alive))
        self.taken.append(patch)
        self.inside.add(patch)
        self.touched.update(node for node, _ in self.net.sides[patch])
        self.frontier.pop(patch, None)
        for other in self.net.neighbours[patch]:
            if other in self.column and other not in self.inside:
                self.frontier[other] = None
        size, copies = len(self.taken), len(self.alive)
        self.stages.append((rate_saving(copies, size), copies * size, size, self.alive))

    def _drop(self, copies: set[int]) -> None:
        """Follow some copies no longer; their patches are free again."""
        if copies:
            self.alive = [copy for copy in self.alive if copy not in copies]
            self.owner = {patch: copy for patch, copy in self.owner.items() if copy not in copies}

    def step(self) -> bool:
        """Let in the patch that most copies have; False where two are not left, or more patches can save no more."""
        if max(self.stages)[0] >= 1 - 1 / len(self.alive):
            return False
        fits = [p for p in self.frontier if self.owner.get(p, -1) != 0 and self.net.fits(p, self.inside, self.touched)]
        if not fits or len(self.alive) < 2:
            return False
        columns = [self.column[patch] for patch in fits]
        support = (self.images[np.ix_(self.alive, columns)] >= 0).sum(axis=0)
        best = max(range(len(fits)), key=lambda i: (int(support[i]), -columns[i]))
        if support[best] < 2:
            return False
        self.take(fits[best])
        return len(self.alive) > 1


def grow_common(patches: Patches, net: PatchNet, region: Ints, pair: int, near: int = ROUND) -> Grown:
    """Grow the part round a pair whose copies in a region save most joins for what they cover.

    Parameters
    ----------
    region
        Patches that the part and its copies may take.
    pair
        Number of the pair, both patches in the region.
    near
        The number of patches around it to try.

    Notes
    -----
    Some 20 us for each patch and stage, and 0.1 us for each patch round the pair and copy.
    """
    within = np.zeros(len(patches.places), dtype=bool)
    within[region] = True
    a, b = int(patches.tail[pair]), int(patches.head[pair])
    there = within[patches.tail] & within[patches.head]
    side, onto = np.nonzero((patches.pair_classes == patches.pair_classes[0, pair]) & there)
    order = np.lexsort((onto, side, (onto != pair) | (side > 0)))
    middle = (patches.places[a] + patches.places[b]) / 2
    away = np.abs(patches.places[region] - middle)
    local = region[np.argsort(away, kind="stable")[:near]]
    moves = patches.find_moves(np.full(len(order), pair), onto[order], side[order])
    most = max(FEW, COPIES * ROUND // near)
    if len(order) > most:
        first = patches.find_images(moves, local[:CLOSE])
        alike = ((first >= 0) & within[first]).sum(axis=1)
        moves = moves.pick(np.sort(np.argsort(-alike, kind="stable")[:most]))
    images = patches.find_images(moves, local)
    images = np.where((images >= 0) & within[images], images, -1)
    if a not in local or b not in local:
        return 0.0, (), ()
    common = np.array([_count_common(net, local, row >= 0, a) for row in images])
    common[0] = int(common[1:].max(initial=0))
    growth = _Growth(net, images[common >= SHARE * common[0]], local, (a, b))
    while growth.step():
        pass
    saving, _, size, alive = max(growth.stages)
    if size > near // 4 and near < len(region):
        return grow_common(patches, net, region, pair, 4 * near)
    columns = [growth.column[patch] for patch in growth.taken[:size]]
    cover = growth.images[np.ix_(alive, columns)].ravel()
    return saving, tuple(cover.tolist()), tuple(sorted(growth.taken[:size]))


def _count_common(net: PatchNet, local: Ints, alike: NDArray[np.bool_], seed: int) -> int:
    """Return how many patches round the first pair a copy has as well, joined to it by such patches."""
    left = set(local[alike].tolist())
    edge = [seed]
    left.discard(seed)
    count = 1
    while edge:
        fresh = left.intersection(net.neighbours[edge.pop()])
        left -= fresh
        count += len(fresh)
        edge += fresh
    return count


def list_common(patches: Patches, net: PatchNet, region: Ints, work: float) -> Iterator[Grown]:
    """List parts that repeat, grown round the rarest pairs first, those that come twice last.

    A pair is passed over once both its patches lie in copies of parts that were grown before.
    """
    half = len(patches.tail) // 2
    within = np.zeros(len(patches.places), dtype=bool)
    within[region] = True
    pairs = np.flatnonzero(within[patches.tail[:half]] & within[patches.head[:half]])
    family = patches.pair_families[pairs]
    count = np.bincount(family)[family]
    often = count > 1
    seldom = count == 2  # two alike may be so by chance: units that come more often go first
    covered = np.zeros(len(patches.places), dtype=bool)
    for pair in pairs[often][np.lexsort((pairs[often], family[often], count[often], seldom[often]))].tolist():
        if covered[patches.tail[pair]] and covered[patches.head[pair]]:
            continue
        if work <= 0:
            return
        saving, cover, part = grow_common(patches, net, region, pair)
        work -= STEP * (len(part) + 12) + len(patches.tail) // 3 + SPREAD * len(cover)
        if saving > 0:
            covered[list(cover)] = True
            yield saving, cover, part
