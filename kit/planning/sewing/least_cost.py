"""The least cost of a part without a line straight through: branch and bound over the moves of `taking_apart`."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from kit.planning.sewing.taking_apart import SET_IN, Opening, TakingApart
from kit.progress import Progress, keep_quiet, report

BUDGET = 40_000
"""The budget for trying moves on one part; after it the best order and the proven bound so far are taken."""
CHEAP = 20
"""The most pieces of a part for a move to cost one of the budget; larger parts cost in proportion.

Every path from edge to edge that is followed costs one more."""


class BudgetSpentError(Exception):
    """The search has used up its budget of moves."""


@dataclass(frozen=True)
class Solution:
    """The unsafe moves in order, the cost of the whole part, and the proven least."""

    moves: tuple[Opening, ...]
    cost: int
    bound: int


class LeastCostSearch:
    """The least cost of a part without a line straight through.

    Branch and bound over the unsafe moves; after each move the safe ones are made, and separated parts are solved
    independently. Each part is given rising limits until one can be met, so the first solution is proven least.
    `progress` is told how much of the budget of `budget` moves is spent.
    """

    def __init__(self, state: TakingApart, budget: int = BUDGET, progress: Progress = keep_quiet) -> None:
        self.state, self.progress = state, progress
        self.budget = self.left = budget
        self._known: dict[tuple[int, ...], Solution] = {}
        self._least: dict[tuple[int, ...], int] = {}

    def solve(self, part: tuple[int, ...]) -> Solution:
        """Return the least-cost moves of a part, or the best found and a bound if the budget is spent."""
        limit = self._bound(part)
        greedy: Solution | None = None
        try:
            while True:
                found = self._try(part, limit + 1)
                if found is not None:
                    moves = self._shorten(part, found.moves)
                    return Solution(moves, found.cost, found.cost)
                limit = self._least[part]
                if limit % SET_IN > len(part):
                    limit = (limit // SET_IN + 1) * SET_IN
        except BudgetSpentError:
            greedy = self._be_greedy(part)
            return Solution(greedy.moves, greedy.cost, min(limit, greedy.cost))

    def _bound(self, part: tuple[int, ...]) -> int:
        """Return a certain cost of the part.

        That is a set-in seam for each closed junction without a line straight through, since neither a cut nor a slit
        ends there; and one move more, which is a set-in seam if all slits together do not take the part apart.
        """
        if part not in self._least:
            seams, loose = self.state.seams, self.state.loose
            closed = {node for piece in part for node in seams.ends[piece] if seams.sharp[node] and not loose[node]}
            self._least[part] = SET_IN * len(closed) + (1 if self._comes_apart(part) else SET_IN)
        return self._least[part]

    def _comes_apart(self, part: tuple[int, ...]) -> bool:
        mark = self.state.mark()
        progress = True
        while progress:
            progress = False
            for move in self.state.list_moves([piece for piece in part if not self.state.opened[piece]]):
                if move.kind == "slit" and not any(self.state.opened[piece] for piece in move.pieces):
                    self.state.settle(self.state.make(move))
                    progress = True
        done = all(self.state.opened[piece] for piece in part)
        self.state.take_back(mark)
        return done

    def _try(self, part: tuple[int, ...], limit: int) -> Solution | None:
        """Return the cheapest solution under a limit, or None after proving that there is none."""
        known = self._known.get(part)
        if known is not None:
            return known if known.cost < limit else None
        if self._bound(part) >= limit:
            return None
        best: Solution | None = None
        goal = self._bound(part)
        for move in self.state.list_moves(part):
            if move.cost >= limit:
                continue
            found = self._follow(part, move, limit)
            if found is not None:
                best, limit = found, found.cost
                if found.cost <= goal:
                    break
        if best is None:
            self._least[part] = max(self._least[part], limit)
        else:
            self._known[part] = best
        return best

    def _follow(self, part: tuple[int, ...], move: Opening, limit: int) -> Solution | None:
        """Return the cheapest solution under a limit that begins with a move."""
        if self.left < 0:
            raise BudgetSpentError
        mark, followed = self.state.mark(), self.state.followed
        try:
            total = move.cost + self.state.settle(self.state.make(move))
            self.left -= max(1, len(part) // CHEAP) + self.state.followed - followed
            report(self.progress, "sewing", self.budget - max(0, self.left), self.budget)
            parts = self.state.find_parts(part)
            total += sum(self._bound(found) for found in parts)
            moves = [move]
            for found in sorted(parts, key=len):
                if total >= limit:
                    return None
                rest = self._try(found, limit - total + self._bound(found))
                if rest is None:
                    return None
                total += rest.cost - self._bound(found)
                moves += rest.moves
            return Solution(tuple(moves), total, total) if total < limit else None
        finally:
            self.state.take_back(mark)

    def _shorten(self, part: tuple[int, ...], moves: tuple[Opening, ...]) -> tuple[Opening, ...]:
        """Stop each slit at the first junction that still takes the part apart at the same cost."""
        moves = tuple(moves)
        cost = self._play(part, moves)
        for i, move in enumerate(moves):
            for n in range(1, len(move.pieces) if move.kind == "slit" else 0):
                shorter = Opening("slit", move.pieces[:n], move.nodes[: n + 1], move.pieces[n])
                trial = (*moves[:i], shorter, *moves[i + 1 :])
                if self._play(part, trial) == cost:
                    moves = trial
                    break
        return moves

    def _play(self, part: tuple[int, ...], moves: Sequence[Opening]) -> int:
        """Return the cost of moves with the safe moves between them, or -1 if they do not take the part apart."""
        mark = self.state.mark()
        cost = 0
        for move in moves:
            begins = self.state.loose[move.nodes[0]] and not self.state.loose[move.nodes[-1]]
            if not begins or any(self.state.opened[piece] for piece in move.pieces):
                cost = -1
                break
            cost += move.cost + self.state.settle(self.state.make(move))
        done = cost >= 0 and all(self.state.opened[piece] for piece in part)
        self.state.take_back(mark)
        return cost if done else -1

    def _be_greedy(self, part: tuple[int, ...]) -> Solution:
        """Return moves that each open the most for their cost, trying at most forty at a time."""
        state = self.state
        begun = state.mark()
        cost, moves = 0, []
        left = list(part)
        while left:
            best: tuple[float, int] | None = None
            choice: Opening | None = None
            for tried, move in enumerate(islice(state.list_moves(left), 40)):
                if choice is not None and move.cost > choice.cost:
                    break
                mark = state.mark()
                price = move.cost + state.settle(state.make(move))
                gain = (sum(len(made.pieces) for made in state.log[mark[1] :]) / price, -tried)
                state.take_back(mark)
                if best is None or gain > best:
                    best, choice = gain, move
            assert choice is not None  # a part in one piece has a line from its edge  # noqa: S101
            cost += choice.cost + state.settle(state.make(choice))
            moves.append(choice)
            left = [piece for piece in left if not state.opened[piece]]
        state.take_back(begun)
        return Solution(tuple(moves), cost, 0)
