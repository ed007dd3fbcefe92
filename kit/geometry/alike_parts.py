"""The units of a top that names none: parts that repeat, turned or mirrored, found from the outlines alone.

A maker writes a part once and makes it as often as it comes. So of two ways to see the top the better is the one with
fewer written joins: each copy of a part of k patches but the first saves k - 1, and the parts inside a part are found
in the same way. Beside the tree of such parts stands the largest part of all, with a bound.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from kit.geometry.alike_candidates import BATCH
from kit.geometry.alike_growth import list_common
from kit.geometry.alike_moves import EXACT, Ints, Patches, find_middles, read_patches
from kit.geometry.alike_search import FoundPart, Largest, Search, WorkLeft, count_powers
from kit.geometry.alike_values import AlikePart, FoundParts, PartMove
from kit.geometry.mesh import Mesh, build_mesh
from kit.geometry.outlines import Outline
from kit.geometry.part_growth import PatchNet

EFFORT = 1.2e7
"""WorkLeft that may be done, in some 0.1 us; a top of 3,000 patches then takes about a second."""
LEAST = 2e4
"""WorkLeft below which a region is not searched."""
ALONG = 0.8
"""Parts grown in all copies are taken along with the best of them if they save so much of what it does."""


_Image: TypeAlias = tuple[dict[int, int], bool]
"""Where each patch of the first copy lies in another, and whether that one is mirrored."""


@dataclass(frozen=True)
class _Node:
    """A part within a region, its copies there, whether each is mirrored, and what is inside."""

    copies: tuple[tuple[int, ...], ...]
    mirrored: tuple[bool, ...]
    mirror: tuple[int, ...] | None
    inside: tuple["_Node", ...]
    neat: tuple[int, int]

    @property
    def saved(self) -> int:
        own = (len(self.copies) - 1) * (len(self.copies[0]) - 1)
        return own + sum(node.saved for node in self.inside)

    @property
    def saving(self) -> float:
        """Joins saved for each patch that the copies cover."""
        return round(self.saved / (len(self.copies) * len(self.copies[0])), 9)


def find_alike_parts(
    outlines: Sequence[Outline],
    labels: Sequence[int] | None = None,
    mesh: Mesh | None = None,
    effort: float = EFFORT,
) -> FoundParts:
    """Find the parts of a top that repeat, turned by any angle or mirrored, the largest with a bound.

    A part is two patches or more in one piece without a hole, and its outline does not touch itself; its copies do not
    overlap. In the whole top, then inside each part and in what the copies leave, three kinds of part are looked at:
    the largest, the one that saves most joins by the powers of one move, and those grown in all their copies at once.
    In the whole top the one is kept with which fewest joins are written in the end, elsewhere the one that saves most
    for each patch that it covers.

    Parameters
    ----------
    outlines
        Corners in inches, counter-clockwise; together they tile the top.
    labels
        What each patch is: only patches of one label and shape are alike; all the same when None.
    mesh
        The outlines noded, if that was done before.
    effort
        WorkLeft that may be done.

    Returns
    -------
    FoundParts
        Numbers of patches are places in the list of outlines.

    Notes
    -----
    WorkLeft is counted, not timed, and the top is read in one way however it was turned or listed; two answers for one
    top differ at most by a symmetry of it. Some 1 s for 3,000 patches. The parts are heuristic, the bound is proved.

    Examples
    --------
    >>> from kit.geometry.outlines import make_rectangle
    >>> top = [make_rectangle(x, y, 1, 1) for y in (0, 1) for x in (0, 1, 2)]
    >>> found = find_alike_parts(top, [0, 1, 2, 0, 1, 2])
    >>> found.largest, found.proved, [(part.size, len(part.copies)) for part in found.parts]
    (3, True, [(3, 2)])
    """
    if len(outlines) < 4:
        return FoundParts((), None, 0, len(outlines) - 1)
    nodes = build_mesh(outlines) if mesh is None else mesh
    patches = read_patches(outlines, [0] * len(outlines) if labels is None else labels, nodes)
    finder = _Finder(patches, PatchNet(nodes, patches.order))
    chosen, largest, bound = finder.find(effort)
    tell = _Teller(patches, outlines)
    parts = sorted((tell.tell(node, [({}, False)]) for node in chosen), key=lambda part: (-part.size, min(part.copies)))
    whole = tell.tell(largest, [({}, False)]) if largest else None
    return FoundParts(tuple(parts), whole, bound, len(outlines) - 1 - sum(node.saved for node in chosen))


class _Finder:
    """Makes the tree of parts."""

    def __init__(self, patches: Patches, net: PatchNet) -> None:
        self.patches = patches
        self.net = net
        self.search = Search(patches, net)

    def find(self, effort: float) -> tuple[tuple[_Node, ...], _Node | None, int]:
        """Return the parts of the whole, the largest part and its bound."""
        region = np.arange(len(self.patches.places))
        found = self.search.search(region, WorkLeft(effort * 0.25), patience=1000)
        work = WorkLeft(effort * 0.75)
        largest = self._make_node(region, found.largest, work) if found.largest else None
        best: tuple[_Node, ...] = ()
        for plan in self._list_plans(region, found, work, largest):
            share = WorkLeft(work.left * 0.4)
            begun = share.left
            whole = (*plan, *self.find_parts(_leave(region, plan), share))
            work.left -= begun - max(share.left, 0)
            if not best or _rate(whole) > _rate(best):
                best = whole
        return best, largest, found.bound

    def find_parts(self, region: Ints, work: WorkLeft) -> tuple[_Node, ...]:
        """Return the parts of a region, one after another from what the copies of those before leave."""
        parts: list[_Node] = []
        while len(region) >= 4 and work.left > LEAST:
            share = WorkLeft(work.left * 0.15)
            begun = share.left
            found = self.search.search(region, share)
            work.left -= begun - max(share.left, 0)
            fresh = max(self._list_plans(region, found, work), key=lambda plan: _rank(plan[0]), default=())
            if not fresh:
                break
            parts += fresh
            region = _leave(region, fresh)
        return tuple(parts)

    def _list_plans(
        self, region: Ints, found: Largest, work: WorkLeft, largest: _Node | None = None
    ) -> list[tuple[_Node, ...]]:
        """List ways to begin: with the largest part, the one that saves most, or those grown in all their copies.

        Parts are grown in all copies only where the others leave patches over.
        """
        nodes = [largest] if largest else []
        for one in (found.largest if not largest else None, found.saving):
            if one and not any(node.copies[0] == one.part for node in nodes):
                nodes.append(self._make_node(region, one, work))
        best = max(nodes, key=_rank, default=None)
        if best and len(_leave(region, (best,))) < 4:
            return [(best,)]
        plans: list[tuple[_Node, ...]] = [(node,) for node in nodes]
        grown = sorted(
            list_common(self.patches, self.net, region, work.left * 0.7), key=lambda g: (-g[0], -len(g[1]), g[2])
        )
        work.left *= 0.5
        chosen: list[_Node] = []
        free = set(region.tolist())
        for saving, _, part in grown:
            if saving >= ALONG * grown[0][0] and free.issuperset(part):
                here = np.array(sorted(free), dtype=np.int64)
                node = self._make_node(
                    here, FoundPart(part, {}, mirrored=False, copies=1, neat=self.net.count_corners(part)), work
                )
                if len(node.copies) > 1:
                    chosen.append(node)
                    free.difference_update(*node.copies)
        return [*plans, tuple(chosen)] if chosen else plans

    def _make_node(self, region: Ints, found: FoundPart, work: WorkLeft) -> _Node:
        """Return a part with its copies in a region and what is inside."""
        copies, mirrored, mirror = self._find_copies(region, found, work)
        share = WorkLeft(work.left * 0.15)
        begun = share.left
        inside = self.find_parts(np.array(found.part, dtype=np.int64), share)
        work.left -= begun - max(share.left, 0)
        return _Node(copies, mirrored, mirror, inside, found.neat)

    def _find_copies(
        self, region: Ints, found: FoundPart, work: WorkLeft
    ) -> tuple[tuple[tuple[int, ...], ...], tuple[bool, ...], tuple[int, ...] | None]:
        """Return disjoint copies of a part in a region: those by powers of its move first, then any others."""
        part = np.array(found.part, dtype=np.int64)
        others, mirror = self._list_copies(region, part, work)
        wanted: list[tuple[tuple[int, ...], bool]] = [(found.part, False)]
        here, flip = list(found.part), False
        for _ in range(count_powers(found.part, found.image) - 1):
            here, flip = [found.image[patch] for patch in here], flip != found.mirrored
            wanted.append(others.get(frozenset(here), (tuple(here), flip)))
        wanted += others.values()
        used: set[int] = set()
        copies, mirrored = [], []
        for copy, turned_over in wanted:
            if used.isdisjoint(copy):
                used.update(copy)
                again = turned_over and mirror is not None
                copies.append(tuple(copy[i] for i in mirror) if again and mirror else copy)
                mirrored.append(turned_over and not again)
        return tuple(copies), tuple(mirrored), mirror

    def _list_copies(
        self, region: Ints, part: Ints, work: WorkLeft
    ) -> tuple[dict[frozenset[int], tuple[tuple[int, ...], bool]], tuple[int, ...] | None]:
        """List every place of a part in a region, unmirrored where it can be; and how it is its own mirror image."""
        p = self.patches
        within = np.zeros(len(p.places), dtype=bool)
        inside = within.copy()
        within[region], inside[part] = True, True
        live = np.flatnonzero(within[p.tail] & within[p.head])
        counts = np.bincount(p.pair_classes[:, live].ravel(), minlength=int(p.pair_classes.max()) + 1)
        own = np.flatnonzero(inside[p.tail] & inside[p.head])
        first = own[np.argmin(counts[p.pair_classes[0, own]])]
        side, at = np.nonzero(p.pair_classes[:, live] == p.pair_classes[0, first])
        most = max(8, int(max(work.left, 0) * 0.1 / len(part)))
        side, onto = side[:most], live[at[:most]]
        moves = p.find_moves(np.full(len(onto), first), onto, side)
        listed: dict[frozenset[int], tuple[tuple[int, ...], bool]] = {}
        mirror = None
        step = max(1, BATCH // len(part))
        for i in range(0, len(onto), step):
            images = p.find_images(moves.pick(range(i, min(i + step, len(onto)))), part)
            for k in np.flatnonzero(((images >= 0) & within[images]).all(axis=1)).tolist():
                flip = bool(side[i + k])
                if len(set(images[k].tolist())) == len(part) and p.fit_move(flip, part, images[k])[1] <= EXACT:
                    copy = tuple(images[k].tolist())
                    listed.setdefault(frozenset(copy), (copy, flip))
                    if flip and mirror is None and inside[images[k]].all():
                        place = {patch: j for j, patch in enumerate(part.tolist())}
                        mirror = tuple(place[patch] for patch in copy)
        work.spend(len(onto) * (len(part) + 100))
        return listed, mirror


def _rank(node: _Node) -> tuple[float, int, int, int, int, int]:
    """Rank a part: what saves most of what it covers, then of what covers most, mirrors least, is larger, is neater."""
    size = len(node.copies[0])
    return node.saving, len(node.copies) * size, -sum(node.mirrored), size, -node.neat[0], -node.neat[1]


def _rate(nodes: Sequence[_Node]) -> tuple[int, int, int]:
    """Rank a whole tree: what saves most, then with fewest mirrored copies, then with the largest part."""
    return sum(node.saved for node in nodes), -sum(sum(n.mirrored) for n in nodes), max(len(n.copies[0]) for n in nodes)


def _leave(region: Ints, nodes: Sequence[_Node]) -> Ints:
    """Return what the copies of parts leave of a region."""
    used = [patch for node in nodes for copy in node.copies for patch in copy]
    return np.setdiff1d(region, np.array(used, dtype=np.int64))


class _Teller:
    """Puts parts into the numbers and the inches in which the top was given."""

    def __init__(self, patches: Patches, outlines: Sequence[Outline]) -> None:
        self.order: list[int] = patches.order.tolist()
        self.middles = find_middles(outlines)

    def tell(self, node: _Node, within: Sequence[_Image]) -> AlikePart:
        """Return a part with its copies in every copy of what it lies in, which are given as images of the first."""
        told = []
        for rank, (image, over) in enumerate(within):
            for copy, mirrored in zip(node.copies, node.mirrored, strict=True):
                here = tuple(image.get(patch, patch) for patch in copy)
                flip = over != mirrored
                if flip and node.mirror:
                    here, flip = tuple(here[i] for i in node.mirror), False
                told.append((rank, min(self.order[patch] for patch in here), here, flip))
        told.sort()
        usual = 2 * sum(flip for _, _, _, flip in told) > len(told)
        told.insert(0, told.pop(next(i for i, row in enumerate(told) if row[3] == usual)))
        images = [(dict(zip(node.copies[0], here, strict=True)), flip) for _, _, here, flip in told]
        copies = tuple(tuple(self.order[patch] for patch in here) for _, _, here, _ in told)
        moves = self._tell_moves(copies, [flip != told[0][3] for _, _, _, flip in told])
        return AlikePart(copies, moves, tuple(self.tell(inner, images) for inner in node.inside))

    def _tell_moves(self, copies: Sequence[Sequence[int]], mirrored: Sequence[bool]) -> tuple[PartMove, ...]:
        """Return the move that lays the middles of the first copy best onto those of each."""
        there = self.middles[np.array(copies)]
        here = np.broadcast_to(there[0], there.shape)
        here = np.where(np.array(mirrored)[:, None], -np.conj(here), here)
        p, q = here.mean(axis=1), there.mean(axis=1)
        turn = np.sum((there - q[:, None]) * np.conj(here - p[:, None]), axis=1)
        turn = turn / np.abs(turn)
        degrees = np.mod(np.round(np.degrees(np.angle(turn)), 9), 360)
        shift = q - turn * p
        moves = [
            PartMove(flip, angle, z.real, z.imag)
            for flip, angle, z in zip(mirrored, degrees.tolist(), shift.tolist(), strict=True)
        ]
        return (PartMove(mirrored=False, degrees=0.0, dx=0.0, dy=0.0), *moves[1:])
