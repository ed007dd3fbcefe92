"""Proof by exhaustion: a placement with so many clashes at most, or that there is none."""

from dataclasses import dataclass

from kit.solvers.placing.placement_problem import PlacementProblem


@dataclass(frozen=True)
class Answer:
    """What an exact search came to.

    Attributes
    ----------
    of
        A fabric for each patch, or None where none was found.
    proved
        Nothing was found, and the whole of the search was gone through: there is none.
    nodes
        How many partial placements were looked at.
    """

    of: tuple[int, ...] | None
    proved: bool
    nodes: int


def search_placement(problem: PlacementProblem, clashes: int = 0, nodes: int = 20_000) -> Answer:
    """Look for a placement with at most so many clashes, or prove that there is none.

    Branch on the patch with the fewest fabrics left that clash with no neighbour; fabrics not yet used that nothing
    tells apart are tried once. A branch ends where the clashes that are sure to come are too many.

    Parameters
    ----------
    problem
        Patches, fabrics, limits.
    clashes
        Clashes that are accepted.
    nodes
        Partial placements after which it gives up.

    Notes
    -----
    Some 40 us a node for fifty patches.

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
        """Return the fabrics that supply leaves to a patch, of those not yet used one of each kind."""
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
        """Return the patch with the fewest fabrics that clash with nothing; None where too many clashes are sure."""
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
        """Place the patches that are left; tell whether it can be done."""
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
