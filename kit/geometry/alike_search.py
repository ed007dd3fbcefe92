"""The largest part of a region that repeats in it, and the part whose copies save most.

For each move that lays patches of the region onto others like them: a part may hold no patch together with its image.
The patches that the move takes along fall into connected regions, and along each orbit of the move at most every second
patch can be chosen; so many patches are the bound of that move. Parts are grown as discs, in several directions,
until one is as large as the bound or the work is used up.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from kit.geometry.alike_candidates import BATCH, OFF, list_moves
from kit.geometry.alike_moves import Ints, Moves, Patches
from kit.geometry.part_growth import PatchNet, count_apart, list_orbits

EVALUATION = 600
"""WorkLeft of looking at one move, beside one for each patch; the unit is some 0.1 us."""
GROWTH = 80
"""WorkLeft of growing a part, for each patch that it may take."""


class WorkLeft:
    """What may still be done: a count, not a clock, so that the same top gives the same answer."""

    def __init__(self, left: float) -> None:
        self.left = left

    def spend(self, amount: float) -> bool:
        """Take work off and return True, or False when there is none left."""
        if self.left <= 0:
            return False
        self.left -= amount
        return True


@dataclass(frozen=True)
class FoundPart:
    """A part that repeats.

    Attributes
    ----------
    part
        Its patches.
    image
        The move: where it takes each patch of the region that it lays onto one like it.
    mirrored
        Whether the move mirrors.
    copies
        Into how many copies the powers of the move take the part, itself included.
    neat
        Corners of its outline that point inward, and all corners.
    """

    part: tuple[int, ...]
    image: dict[int, int]
    mirrored: bool
    copies: int
    neat: tuple[int, int]

    @property
    def saved(self) -> int:
        """How many joins are written once less."""
        return (self.copies - 1) * (len(self.part) - 1)


@dataclass(frozen=True)
class Largest:
    """What was found in a region: the largest part, the one that saves most, and a bound of the size of any."""

    largest: FoundPart | None
    saving: FoundPart | None
    bound: int


class Search:
    """Looks for parts that repeat.

    Parameters
    ----------
    patches, net
        The top as it is read, and how its patches meet.
    sweeps
        Directions of the plane (complex, length 1) in which parts are grown.
    """

    def __init__(self, patches: Patches, net: PatchNet) -> None:
        self.patches = patches
        self.net = net
        self.sweeps = _find_sweeps(net)

    def search(self, region: Ints, work: WorkLeft, patience: int = 4) -> Largest:
        """Find the largest part of the region that repeats in it, with a bound.

        After so many moves that give nothing larger the search is content; the bound is then a poor one.
        """
        within = np.zeros(len(self.patches.places), dtype=bool)
        within[region] = True
        moves, complete, unproved = list_moves(self.patches, within, work.left * 0.4 / (len(region) + EVALUATION))
        if not len(moves.turn):
            return Largest(None, None, unproved)
        counts = np.zeros(len(moves.turn), dtype=np.int64)
        step = max(1, BATCH // len(region))
        for i in range(0, len(counts), step):
            found = self.patches.find_images(moves.pick(range(i, min(i + step, len(counts)))), region)
            counts[i : i + step] = (within[found] & (found >= 0) & (found != region)).sum(axis=1)
        work.spend(len(counts) * (len(region) + EVALUATION))
        ranked = np.lexsort((np.arange(len(counts)), moves.mirrored, -counts)).tolist()
        largest, bound = self._find_largest(
            region, within, [(i, int(counts[i])) for i in ranked], moves, complete, work, patience
        )
        saving = self._find_saving(region, within, ranked, moves, work)
        size = len(largest.part) if largest else 0
        if saving and len(saving.part) > size:
            largest = saving
        halves = np.bincount(np.minimum(*self.patches.kinds)[region]) // 2
        return Largest(
            largest, saving, min(max(bound, unproved, len(largest.part) if largest else 0), int(halves.sum()))
        )

    def _follow(self, region: Ints, within: NDArray[np.bool_], moves: Moves, i: int, work: WorkLeft) -> dict[int, int]:
        """Return where a move takes the patches of a region, those left out that it cannot take with a neighbour."""
        work.spend(30 * len(region) + EVALUATION)
        found = self.patches.follow(moves.pick([i]), region)
        good = (found >= 0) & within[found] & (found != region)
        return dict(zip(region[good].tolist(), found[good].tolist(), strict=True))

    def _split(self, image: dict[int, int]) -> list[set[int]]:
        """Return the connected regions of patches that a move takes along, largest first, two patches at least."""
        left = set(image)
        parts = []
        while left:
            part = {left.pop()}
            edge = list(part)
            while edge:
                fresh = left.intersection(self.net.neighbours[edge.pop()])
                left -= fresh
                part |= fresh
                edge += fresh
            if len(part) > 1:
                parts.append(part)
        return sorted(parts, key=lambda part: (-len(part), min(part)))

    def _find_largest(
        self,
        region: Ints,
        within: NDArray[np.bool_],
        ranked: Sequence[tuple[int, int]],
        moves: Moves,
        complete: NDArray[np.bool_],
        work: WorkLeft,
        patience: int,
    ) -> tuple[FoundPart | None, int]:
        """Look at the moves that take most along first; return the largest part and the bound of the complete moves."""
        best: FoundPart | None = None
        bound = size = 0
        spare = WorkLeft(work.left * 0.7)
        begun = spare.left
        more = 3
        for i, count in ranked:
            if count < max(size, 2) or (count == size and not more):
                break
            if not patience or spare.left <= 0:
                bound = max(bound, count)
                break
            image = self._follow(region, within, moves, i, spare)
            limit = 0
            patience -= 1
            for part in self._split(image):
                most = min(len(part), count_apart(image, part)) if len(part) >= max(size, 2) else len(part)
                if most < max(size, 2):
                    continue
                more -= most == size
                found = self._grow_apart(part, most, image, bool(moves.mirrored[i]), spare)
                if found and _rank_size(found) > (_rank_size(best) if best else (0,)):
                    best, size = found, len(found.part)
                limit = max(limit, most)
            if complete[i]:
                bound = max(bound, limit)
        work.left -= begun - spare.left
        return best, bound

    def _grow_apart(
        self, part: set[int], most: int, image: dict[int, int], mirrored: bool, work: WorkLeft
    ) -> FoundPart | None:
        """Grow the largest disc within a part that holds no patch together with its image."""
        back = {q: p for p, q in image.items()}

        def rivals(patch: int) -> tuple[int, ...]:
            other = back.get(patch)
            return (image[patch],) if other is None else (image[patch], other)

        return self._grow_best(part, self._list_growths(part), rivals, image, mirrored, work, most=most)

    def _grow_best(
        self,
        part: Iterable[int],
        growths: Iterator[tuple[int, Sequence[float]]],
        rivals: Callable[[int], Sequence[int]],
        image: dict[int, int],
        mirrored: bool,
        work: WorkLeft,
        *,
        most: int,
    ) -> FoundPart | None:
        allowed = bytearray(len(self.patches.places))
        for patch in part:
            allowed[patch] = 1
        best: FoundPart | None = None
        tries = 0
        for seed, key in growths:
            tries += 1
            if tries > 6 + 4000 // most or not work.spend(GROWTH * min(most, 2000) + EVALUATION):
                break
            grown = self.net.grow(seed, key, allowed, rivals)
            if len(grown) < 2 or (best and len(grown) < len(best.part)):
                continue
            found = FoundPart(grown, image, mirrored, count_powers(grown, image), self.net.count_corners(grown))
            if best is None or _rank_size(found) > _rank_size(best):
                best = found
            if len(best.part) == most and best.neat[0] == 0 and best.neat[1] <= 4:
                break
        return best

    def _list_growths(self, part: Iterable[int]) -> Iterator[tuple[int, Sequence[float]]]:
        """List where to begin and in which order to take patches: sweeps each way, then round single patches."""
        places = self.patches.places
        patches = sorted(part)
        here = places[patches]
        for sweep in self.sweeps:
            key = (places * np.conj(sweep)).real + 1e-4 * (places * np.conj(sweep)).imag
            seed = patches[int(np.argmin(key[patches]))]
            yield seed, key.tolist()
            yield seed, np.abs(places - places[seed]).tolist()
        middle = here.mean()
        for at in np.argsort(np.abs(here - middle), kind="stable").tolist():
            yield patches[at], np.abs(places - places[patches[at]]).tolist()

    def _find_saving(
        self, region: Ints, within: NDArray[np.bool_], ranked: Sequence[int], moves: Moves, work: WorkLeft
    ) -> FoundPart | None:
        """Return the part whose copies by the powers of one move save most joins."""
        spare = WorkLeft(work.left * 0.5)
        begun = spare.left
        chances = []
        for i in ranked[:16]:
            if not spare.spend(30 * len(region)):
                break
            image = self._follow(region, within, moves, i, spare)
            orbits = list_orbits(image)
            lengths = np.array([len(orbit) for orbit, _ in orbits], dtype=np.int64)
            ways = sorted({int(m) for m in lengths})[:60]
            rated = [((m - 1) * (int((lengths >= m).sum()) - 1), m) for m in ways]
            if rated:
                chances.append((*max(rated), -i, image, orbits))
        chances.sort(key=lambda chance: chance[:3], reverse=True)
        best: FoundPart | None = None
        for most, m, minus, image, orbits in chances:
            if best and most < best.saved:
                break
            for found in self._grow_through(m, image, orbits, moves.pick([-minus]), spare):
                if best is None or _rank_saved(found) > _rank_saved(best):
                    best = found
        work.left -= begun - spare.left
        return best

    def _grow_through(
        self, m: int, image: dict[int, int], orbits: Sequence[tuple[list[int], bool]], move: Moves, work: WorkLeft
    ) -> Iterator[FoundPart]:
        """Grow parts that take at most one patch of each orbit, from which the move can be repeated often enough."""
        mates: dict[int, tuple[int, ...]] = {}
        heads: set[int] = set()
        for orbit, cycle in orbits:
            if len(orbit) >= m:
                begin = orbit if cycle else orbit[: len(orbit) - m + 1]
                for patch in begin:
                    mates[patch] = tuple(begin)
                heads.update(orbit[:1] if not cycle else ())
        mirrored = bool(move.mirrored[0])
        for part in self._split({p: image[p] for p in mates})[:2]:
            growths = self._list_growths(part) if mirrored else self._list_turns(part, complex(move.turn[0]), move)
            found = self._grow_best(part, growths, mates.__getitem__, image, mirrored, work, most=len(part))
            if found:
                yield found
        for part in self._split({p: image[p] for p in heads})[:1]:
            if self.net.is_disc(sorted(part)):
                grown = tuple(sorted(part))
                yield FoundPart(grown, image, mirrored, count_powers(grown, image), self.net.count_corners(grown))

    def _list_turns(self, part: Iterable[int], turn: complex, move: Moves) -> Iterator[tuple[int, Sequence[float]]]:
        """List sweeps round the centre of a turn, begun at different angles; straight sweeps where it only shifts."""
        if abs(turn - 1) > 1e-3:
            places = self.patches.places - complex(move.shift[0]) / (1 - turn)
            patches = np.array(sorted(part), dtype=np.int64)
            angle = np.degrees(np.angle(places))
            step = abs(float(np.degrees(np.angle(turn))))
            begins, first = np.unique(np.round(np.mod(angle[patches], step), 2), return_index=True)
            for at in islice(range(len(begins)), 0, None, max(1, len(begins) // 6)):
                seed = int(patches[first[at]])
                key = np.mod(angle - angle[seed] + 0.05, 360) + 1e-4 * np.abs(places)
                yield seed, key.tolist()
        yield from self._list_growths(part)


def _rank_size(found: FoundPart) -> tuple[int, bool, int, int, int]:
    return len(found.part), not found.mirrored, -found.neat[0], -found.neat[1], found.copies


def _rank_saved(found: FoundPart) -> tuple[int, bool, int, int, int]:
    return found.saved, not found.mirrored, len(found.part), -found.neat[0], -found.neat[1]


def count_powers(part: Sequence[int], image: dict[int, int]) -> int:
    """Return how many copies the powers of a move make of a part, until one is not whole or lies on another."""
    used, copies, here = set(part), 1, list(part)
    while all(patch in image for patch in here):
        here = [image[patch] for patch in here]
        if used.intersection(here):
            break
        used.update(here)
        copies += 1
    return copies


def _find_sweeps(net: PatchNet) -> tuple[complex, ...]:
    """Return eight directions: along and across most of the edge length of the top, and midway between."""
    z = np.array(net.nodes)
    run = z[net.ends[1]] - z[net.ends[0]]
    angle = np.mod(np.degrees(np.angle(run)), 90)
    name = np.floor(angle * 10 + OFF).astype(np.int64) % 900
    lengths = np.round(np.bincount(name, weights=np.abs(run), minlength=900), 3)
    lean = angle[int(np.argmax(name == int(np.argmax(lengths))))]
    start = complex(np.exp(1j * np.radians(lean)))
    return tuple(start * complex(np.exp(1j * np.pi * k / 4)) for k in (0, 2, 4, 6, 1, 3, 5, 7))
