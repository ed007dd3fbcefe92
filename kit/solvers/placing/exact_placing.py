"""Proof by exhaustion: a placement with a limited number of clashes, or a proof that none exists."""

from dataclasses import dataclass

from kit.solvers.placing.placement_problem import PlacementProblem


@dataclass(frozen=True)
class Answer:
    """The result of an exact search.

    Attributes
    ----------
    of
        A fabric for each patch, or None if none was found.
    proved
        The search was complete and found nothing: no such placement exists.
    nodes
        The number of partial placements visited.
    """

    of: tuple[int, ...] | None
    proved: bool
    nodes: int


def search_placement(problem: PlacementProblem, clashes: int = 0, nodes: int = 20_000) -> Answer:
    """Look for a placement within a number of clashes, or prove that none exists.

    Branch on the patch with the fewest fabrics free of clashes; of unused fabrics that are alike only one is
    tried. A branch ends when too many clashes are certain.

    Parameters
    ----------
    problem
        Patches, fabrics, limits.
    clashes
        The accepted number of clashes.
    nodes
        The number of partial placements before it gives up.

    Notes
    -----
    Some 40 us per node for fifty patches.

    References
    ----------
    D. Brelaz, New methods to color the vertices of a graph, Communications of the ACM 22 (1979), p. 251; T. Sewell, An
    improved algorithm for exact graph coloring, DIMACS Series 26 (1996), p. 359 (both from memory).
    """
    state = _Search(problem, nodes)
    found = state.descend(clashes)
    of = tuple(state.of) if found else None
    return Answer(of, proved=not found and state.nodes < nodes, nodes=state.nodes)


class _Search:
    """The state of an exact search."""

    def __init__(self, problem: PlacementProblem, nodes: int) -> None:
        self.q, self.most, self.nodes = problem, nodes, 0
        n = len(problem.adjacent)
        self.of = [-1] * n
        self.adjacent = [[0] * problem.count for _ in range(n)]
        self.left = set(range(n))
        self.uses = [[0] * problem.count for _ in range(3)]
        self.allowed = [list(problem.list_allowed(patch)) for patch in range(n)]
        told = [tuple(k in allowed for allowed in problem.allowed if allowed is not None) for k in range(problem.count)]
        self.kind = list(zip(problem.limits, told, strict=True))

    def _list_open(self, patch: int) -> list[int]:
        """Return the fabrics with supply left for a patch, one of each kind among the unused fabrics."""
        q, hand, seen, found = self.q, self.q.hands[patch], set(), []
        for k in self.allowed[patch]:
            total = sum(row[k] for row in self.uses)
            if total >= q.limits[k] or (q.paired and hand and self.uses[hand][k] >= q.limits[k] // 2):
                continue
            if not total:
                if self.kind[k] in seen:
                    continue
                seen.add(self.kind[k])
            found.append(k)
        return found

    def _pick(self, clashes: int) -> int | None:
        """Return the patch with the fewest fabrics free of clashes; None if too many clashes are certain."""
        patch, fewest, sure = -1, (10**9, 0), 0
        for other in self.left:
            row = self.adjacent[other]
            free = sum(not row[k] for k in self.allowed[other])
            if not free:
                sure += min(row[k] for k in self.allowed[other])
                if sure > clashes:
                    return None
            rank = (free, -len(self.q.adjacent[other]))
            if rank < fewest or (rank == fewest and other < patch):
                patch, fewest = other, rank
        return patch

    def descend(self, clashes: int) -> bool:
        """Place the remaining patches; return True if possible."""
        self.nodes += 1
        if not self.left:
            return True
        patch = self._pick(clashes) if self.nodes < self.most else None
        if patch is None:
            return False
        row, hand = self.adjacent[patch], self.uses[self.q.hands[patch]]
        self.left.discard(patch)
        for k in sorted(self._list_open(patch), key=row.__getitem__):
            if row[k] > clashes:
                break
            self.of[patch] = k
            hand[k] += 1
            for other in self.q.adjacent[patch]:
                self.adjacent[other][k] += 1
            if self.descend(clashes - row[k]):
                return True
            hand[k] -= 1
            for other in self.q.adjacent[patch]:
                self.adjacent[other][k] -= 1
        self.of[patch] = -1
        self.left.add(patch)
        return False
