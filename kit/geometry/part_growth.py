"""Parts of a top that hold together: grown patch by patch so that each is a disc whose outline does not touch itself.

A disc stays a disc when the patch that comes in meets it along one stretch of its outline and nowhere else; so a part
that has grown can be sewn by itself and set in.
"""

from collections.abc import Callable, Sequence
from heapq import heappop, heappush
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.geometry.mesh import Mesh

Ints: TypeAlias = NDArray[np.int64]
Rivals: TypeAlias = Callable[[int], Sequence[int]]
"""The patches that may not be in a part together with a patch."""

SWAP = bytes([1, 0, *range(2, 256)])


class PatchNet:
    """How the patches of a top meet, side by side.

    Parameters
    ----------
    mesh
        The outlines noded against one another.
    order
        Number in the mesh of each patch, in the order in which patches are counted here.

    Attributes
    ----------
    sides
        For each patch its sides in order: the node at which one begins and the patch across it, or -1.
    neighbours
        For each patch those across its sides, each once.
    nodes
        x + iy in inches.
    ends
        (2, s) nodes at both ends of every side.
    """

    def __init__(self, mesh: Mesh, order: Ints) -> None:
        rank = np.empty(len(order) + 1, dtype=np.int64)
        rank[order], rank[-1] = np.arange(len(order)), -1
        across = rank[np.where(mesh.twin >= 0, mesh.face[mesh.twin], -1)].tolist()
        self.nodes = [complex(x, y) for x, y in mesh.nodes.tolist()]
        self.ends = np.stack([mesh.start, mesh.end])
        self.sides: list[list[tuple[int, int]]] = [[] for _ in order]
        for face, start, other in zip(rank[mesh.face].tolist(), mesh.start.tolist(), across, strict=True):
            self.sides[face].append((start, other))
        self.neighbours = [tuple(dict.fromkeys(q for _, q in sides if q >= 0)) for sides in self.sides]

    def grow(self, seed: int, key: Sequence[float], allowed: bytearray, rivals: Rivals) -> tuple[int, ...]:
        """Grow a disc from a patch, always by the patch with the least key that may come in.

        Notes
        -----
        O(k log k) for a part of k patches, some 8 us each.
        """
        out = allowed.translate(SWAP)
        taken: set[int] = set()
        touched: set[int] = set()
        heap = [(key[seed], seed)]
        while heap:
            _, patch = heappop(heap)
            if patch in taken or out[patch] or (taken and not self.fits(patch, taken, touched)):
                continue
            taken.add(patch)
            touched.update(node for node, _ in self.sides[patch])
            for rival in rivals(patch):
                out[rival] = 1
            for other in self.neighbours[patch]:
                if other not in taken and not out[other]:
                    heappush(heap, (key[other], other))
        return tuple(sorted(taken))

    def fits(self, patch: int, taken: set[int], touched: set[int]) -> bool:
        """Return True if the patch meets what is taken along one stretch, a side or more."""
        marks: list[bool] = []
        shared = False
        for node, other in self.sides[patch]:
            inside = other in taken
            shared |= inside
            marks += (node in touched, inside)
        rises = sum(here and not before for before, here in zip([marks[-1], *marks], marks, strict=False))
        return shared and rises == 1

    def is_disc(self, part: Sequence[int]) -> bool:
        """Return True if the part is one piece without a hole whose outline does not touch itself."""
        return len(self.trace_outlines(part)) == 1

    def trace_outlines(self, part: Sequence[int]) -> list[list[int]]:
        """Return the loops of nodes round a part; empty when an outline touches itself."""
        inside = set(part)
        onward: dict[int, int] = {}
        for patch in part:
            sides = self.sides[patch]
            for i, (node, other) in enumerate(sides):
                if other not in inside:
                    if node in onward:
                        return []
                    onward[node] = sides[(i + 1) % len(sides)][0]
        loops = []
        while onward:
            node = next(iter(onward))
            loop = []
            while node in onward:
                loop.append(node)
                node = onward.pop(node)
            loops.append(loop)
        return loops

    def count_corners(self, part: Sequence[int]) -> tuple[int, int]:
        """Return how many corners of a part's outline point inward, and how many it has: what is neat comes first."""
        inward = corners = 0
        for loop in self.trace_outlines(part):
            z = np.array([self.nodes[node] for node in loop])
            run = np.roll(z, -1) - z
            bend = (np.conj(np.roll(run, 1)) * run).imag / (np.abs(run) * np.abs(np.roll(run, 1)))
            inward += int((bend < -1e-3).sum())
            corners += int((np.abs(bend) > 1e-3).sum())
        return inward, corners


def find_components(n: int, a: Ints, b: Ints) -> Ints:
    """Return for each of n things the least of those to which the pairs (a, b) join it.

    Examples
    --------
    >>> find_components(5, np.array([0, 3]), np.array([2, 4])).tolist()
    [0, 1, 0, 3, 3]
    """
    names = np.arange(n)
    while True:
        least = np.minimum(names[a], names[b])
        new = names.copy()
        np.minimum.at(new, names[a], least)
        np.minimum.at(new, names[b], least)
        new = new[new]
        if np.array_equal(new, names):
            return names
        names = new


def list_orbits(image: dict[int, int]) -> list[tuple[list[int], bool]]:
    """Return the orbits of a move: where it takes a patch, and where it takes that, in order; True for a cycle.

    Examples
    --------
    >>> list_orbits({1: 2, 2: 3, 5: 6, 6: 5})
    [([1, 2, 3], False), ([5, 6], True)]
    """
    reached = set(image.values())
    orbits: list[tuple[list[int], bool]] = []
    seen: set[int] = set()
    for patch in image:
        if patch not in reached:
            chain = [patch]
            while chain[-1] in image:
                chain.append(image[chain[-1]])
            seen.update(chain)
            orbits.append((chain, False))
    for patch in image:
        if patch not in seen:
            cycle = [patch]
            while image[cycle[-1]] != patch:
                cycle.append(image[cycle[-1]])
            seen.update(cycle)
            orbits.append((cycle, True))
    return orbits


def count_apart(image: dict[int, int], within: set[int]) -> int:
    """Return the most patches of a set of which none is the image of another.

    Along an orbit every second one of each run that lies within the set, round a whole cycle one less when it is odd.

    Examples
    --------
    >>> count_apart({1: 2, 2: 3, 5: 6, 6: 7, 7: 5}, {1, 2, 3, 5, 6, 7})
    3
    """
    inside = {p: q for p, q in image.items() if p in within and q in within}
    alone = len(within) - len(inside.keys() | set(inside.values()))
    return alone + sum(len(o) // 2 if cycle else (len(o) + 1) // 2 for o, cycle in list_orbits(inside))
