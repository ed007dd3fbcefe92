"""The problem: colours for the vertices of a graph, within limits."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class PlacementProblem:
    """The question of a placement: patches 0 to n - 1 and fabrics 0 to `count` - 1.

    Attributes
    ----------
    adjacent
        For each patch, the patches excluded from its fabric.
    count
        The number of fabrics.
    limits
        For each fabric, the most patches that it may cover.
    allowed
        For each patch, its possible fabrics; None for any.
    hands
        For each patch 0 (no hand), 1 (left) or 2 (right).
    paired
        A fabric covers at most half its limit of each hand.
    """

    adjacent: tuple[tuple[int, ...], ...]
    count: int
    limits: tuple[int, ...]
    allowed: tuple[tuple[int, ...] | None, ...]
    hands: tuple[int, ...]
    paired: bool = False

    def list_allowed(self, patch: int) -> Sequence[int]:
        """Return the possible fabrics of a patch."""
        allowed = self.allowed[patch]
        return range(self.count) if allowed is None else allowed

    def limit_for(self, patch: int, fabric: int) -> int:
        """Return the most patches of this patch's hand that a fabric may cover."""
        return self.limits[fabric] // 2 if self.paired and self.hands[patch] else self.limits[fabric]


def make_graph_problem(
    adjacent: Sequence[Sequence[int]], count: int, limits: Sequence[int] | None = None
) -> PlacementProblem:
    """Return the problem of colouring a bare graph.

    Parameters
    ----------
    adjacent
        For each vertex, its neighbours.
    count
        The number of colours.
    limits
        For each colour, the most vertices; None for any number.
    """
    n = len(adjacent)
    most = tuple(limits) if limits is not None else (n,) * count
    return PlacementProblem(tuple(tuple(sorted(row)) for row in adjacent), count, most, (None,) * n, (0,) * n)


def count_alike(adjacent: Sequence[Sequence[int]], of: Sequence[int]) -> int:
    """Return the pairs of neighbours of one fabric."""
    count = 0
    for a, row in enumerate(adjacent):
        mine = of[a]
        for b in row:
            if of[b] == mine:
                count += 1
    return count // 2
