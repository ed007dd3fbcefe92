"""Wishes for a placement, met by small changes within the rules.

Each wish is a sum over patches or pairs of patches. Patches change their fabric or exchange it, at random; changes
that lower the sum are kept, others are kept less and less often (simulated annealing with a fixed number of trials).
The most used fabrics cost more, so that the use stays even.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp
from random import Random
from statistics import fmean

from kit.model.colour import find_hue, find_lightness, measure_difference
from kit.model.fabrics import Fabric
from kit.model.rules import Rules, Wish
from kit.planning.colouring.surroundings import Surroundings

TRIALS = 50
"""Changes tried for each patch."""
MOST_TRIALS = 40_000
HOT, COLD = 0.6, 0.03
"""The accepted cost of a bad change at the beginning, and the part of it left at the end."""
ALIKE = 10.0
"""Fabrics nearer than this (CIEDE2000) look alike in a stripe (common practice, no source)."""
WEIGHTS = {"difference": 1.0, "gradient": 6.0, "symmetry": 1.0, "spread": 0.5, "stripes": 1.0, "even": 0.5}


class _Score:
    """The cost of a placement, patch by patch."""

    def __init__(self, ground: Surroundings, fabrics: Sequence[Fabric], rules: Rules, of: list[int]) -> None:
        self.ground, self.fabrics, self.rules, self.of = ground, fabrics, rules, of
        self.colours = [fabric.colour for fabric in fabrics]
        self.ranks = rank_fabrics(fabrics, rules)
        self.uses = [0] * len(fabrics)
        for k in of:
            self.uses[k] += 1
        count: dict[str, int] = defaultdict(int)
        for fabric in fabrics:
            count[fabric.slot] += 1
        size: dict[str, int] = defaultdict(int)
        for slot in ground.slots:
            size[slot] += 1
        self.share: list[float] = [max(1.0, size[fabric.slot] / count[fabric.slot]) for fabric in fabrics]

    def count(self, patch: int, k: int) -> float:
        """Return the cost of fabric k at a patch, with all other patches unchanged."""
        ground, rules, of = self.ground, self.rules, self.of
        cost = 0.0
        if rules.difference:
            for other in ground.beside[patch]:
                short = 1 - measure_difference(self.colours[k], self.colours[of[other]]) / rules.difference
                cost += WEIGHTS["difference"] * max(0.0, short)
        if rules.gradient:
            cost += WEIGHTS["gradient"] * (ground.targets[patch] - self.ranks[k]) ** 2
        if rules.symmetry:
            cost += WEIGHTS["symmetry"] * sum(of[other] != k for other in ground.mirrored[patch])
        if rules.spread:
            cost += WEIGHTS["spread"] * sum(near for other, near in ground.within[patch] if of[other] == k)
        if rules.no_stripes:
            cost += WEIGHTS["stripes"] * sum(
                self.look_alike(k, of[a]) and self.look_alike(k, of[b]) for a, b in ground.lines[patch]
            )
        return cost

    def look_alike(self, j: int, k: int) -> bool:
        return j == k or measure_difference(self.colours[j], self.colours[k]) < ALIKE

    def count_use(self, old: int, new: int) -> float:
        """Return the cost in evenness of changing one patch from an old to a new fabric."""
        return WEIGHTS["even"] * (
            (2 * self.uses[new] + 1) / self.share[new] - (2 * self.uses[old] - 1) / self.share[old]
        )


def rank_fabrics(fabrics: Sequence[Fabric], rules: Rules) -> list[float]:
    """Return the position of each fabric within its slot, 0 to 1, from dark to light or through the hues."""
    measure = find_hue if rules.gradient_by == "hue" else find_lightness
    rank = [0.5] * len(fabrics)
    for slot in {fabric.slot for fabric in fabrics}:
        mine = sorted(
            (k for k, f in enumerate(fabrics) if f.slot == slot), key=lambda k: (measure(fabrics[k].colour), k)
        )
        for place, k in enumerate(mine):
            rank[k] = (place + 0.5) / len(mine)
    return rank


def improve(
    ground: Surroundings,
    fabrics: Sequence[Fabric],
    near: Sequence[Sequence[int]],
    hands: Sequence[int],
    start: Sequence[int],
    rules: Rules,
    random: Random,
) -> list[int]:
    """Return a placement that meets the wishes better, without further clashes and within the limits.

    Parameters
    ----------
    ground
        From `survey`.
    fabrics
        The possible fabrics; `limit` None for any number.
    near
        For each patch, the patches excluded from its fabric.
    hands
        For each patch 0, 1 (left) or 2 (right); with `rules.pairs` half the limit goes to each.
    start
        A placement that keeps the rules as far as possible.
    rules
        The wishes.
    random
        Every random choice is drawn from it.

    Notes
    -----
    50 trials per patch, 40,000 at most, at some 10 to 30 us each.

    References
    ----------
    S. Kirkpatrick, C. Gelatt, M. Vecchi, Optimization by simulated annealing, Science 220 (1983), p. 671 (from memory).
    """
    if len({fabric.slot for fabric in fabrics}) == len(fabrics):
        return list(start)
    trial = _Trials(ground, fabrics, near, hands, start, rules)
    count = min(MOST_TRIALS, TRIALS * len(trial.free))
    kept, sum_, least = list(start), 0.0, 0.0
    for number in range(count):
        heat = HOT * COLD ** (number / count)
        change = trial.draw(random)
        if change is None or (change.cost > 0 and random.random() >= exp(-change.cost / heat)):
            continue
        trial.make(change)
        sum_ += change.cost
        if sum_ < least - 1e-9:
            least = sum_
            if number > count * 0.6:
                kept = list(trial.of)
    return kept if least < sum_ - 1e-9 and kept != list(start) else trial.of


@dataclass(frozen=True, slots=True)
class _Change:
    """A change of fabric, or (with `other` 0 or more) an exchange of fabrics; and its cost."""

    patch: int
    fabric: int
    other: int
    cost: float


class _Trials:
    """A placement under trial: changes are drawn, weighed and made."""

    def __init__(
        self,
        ground: Surroundings,
        fabrics: Sequence[Fabric],
        near: Sequence[Sequence[int]],
        hands: Sequence[int],
        start: Sequence[int],
        rules: Rules,
    ) -> None:
        self.near, self.hands, self.paired, self.of = near, hands, rules.pairs, list(start)
        self.slots = ground.slots
        self.score = _Score(ground, fabrics, rules, self.of)
        self.by_slot: dict[str, list[int]] = defaultdict(list)
        for k, fabric in enumerate(fabrics):
            self.by_slot[fabric.slot].append(k)
        self.members: dict[str, list[int]] = defaultdict(list)
        for i, slot in enumerate(ground.slots):
            self.members[slot].append(i)
        self.free = [i for i, slot in enumerate(ground.slots) if len(self.by_slot[slot]) > 1]
        self.limits = [fabric.limit if fabric.limit is not None else len(self.of) for fabric in fabrics]
        self.by_hand = [[0] * len(fabrics) for _ in range(3)]
        for i, k in enumerate(self.of):
            self.by_hand[hands[i]][k] += 1

    def draw(self, random: Random) -> _Change | None:
        """Return a change drawn at random, or None if it would break a rule or change nothing."""
        patch = random.choice(self.free)
        if random.random() < 0.5:
            return self._weigh_gift(patch, random.choice(self.by_slot[self.slots[patch]]))
        return self._weigh_exchange(patch, random.choice(self.members[self.slots[patch]]))

    def _weigh_gift(self, patch: int, k: int) -> _Change | None:
        old, hand, score = self.of[patch], self.hands[patch], self.score
        full = score.uses[k] >= self.limits[k] or (
            self.paired and hand and self.by_hand[hand][k] >= self.limits[k] // 2
        )
        if k == old or full or any(self.of[other] == k for other in self.near[patch]):
            return None
        return _Change(patch, k, -1, score.count(patch, k) - score.count(patch, old) + score.count_use(old, k))

    def _weigh_exchange(self, a: int, b: int) -> _Change | None:
        of, j, k = self.of, self.of[a], self.of[b]
        if k == j or self.hands[a] != self.hands[b] or b in self.near[a]:
            return None
        if any(of[other] == k for other in self.near[a]) or any(of[other] == j for other in self.near[b]):
            return None
        before = self.score.count(a, j) + self.score.count(b, k)
        of[a], of[b] = k, j
        after = self.score.count(a, k) + self.score.count(b, j)
        of[a], of[b] = j, k
        return _Change(a, k, b, after - before)

    def make(self, change: _Change) -> None:
        old = self.of[change.patch]
        self.of[change.patch] = change.fabric
        if change.other >= 0:
            self.of[change.other] = old
            return
        for count in (self.score.uses, self.by_hand[self.hands[change.patch]]):
            count[old] -= 1
            count[change.fabric] += 1


def report_wishes(ground: Surroundings, fabrics: Sequence[Fabric], of: Sequence[int], rules: Rules) -> tuple[Wish, ...]:
    """Return the fulfilment of each wish, even use included."""
    score = _Score(ground, fabrics, rules, list(of))
    wishes = []
    pairs = [(a, b) for a, row in enumerate(ground.beside) for b in row if a < b]
    if rules.difference:
        figures = [measure_difference(score.colours[of[a]], score.colours[of[b]]) for a, b in pairs]
        weak = sum(figure < rules.difference for figure in figures)
        wishes.append(Wish("difference", weak, len(figures), min(figures, default=100.0)))
    if rules.gradient:
        several = {fabric.slot for k, fabric in enumerate(fabrics) if score.ranks[k] != 0.5}
        placed = zip(ground.slots, ground.targets, of, strict=True)
        off = [abs(target - score.ranks[k]) for slot, target, k in placed if slot in several]
        wishes.append(Wish("gradient", sum(x > 0.25 for x in off), len(off), fmean(off or [0.0])))
    if rules.symmetry:
        images = [(a, b) for a, row in enumerate(ground.mirrored) for b in row if a < b]
        odd = sum(of[a] != of[b] for a, b in images)
        wishes.append(Wish("symmetry", odd, len(images), float(odd)))
    if rules.spread:
        near = [(a, b) for a, row in enumerate(ground.within) for b, _ in row if a < b]
        same = sum(of[a] == of[b] for a, b in near)
        wishes.append(Wish("spread", same, len(near), float(same)))
    if rules.no_stripes:
        lines = {tuple(sorted((a, *pair))) for a, row in enumerate(ground.lines) for pair in row}
        bad = sum(
            score.look_alike(of[a], of[b]) and score.look_alike(of[b], of[c]) and score.look_alike(of[a], of[c])
            for a, b, c in lines
        )
        wishes.append(Wish("no stripes", bad, len(lines), float(bad)))
    return tuple(wishes)
