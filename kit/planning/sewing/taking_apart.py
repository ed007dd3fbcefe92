"""The order of seams, found backwards: a finished top is taken apart, and sewing is the reverse.

Taking apart is a state on the elementary pieces of `seams`. A junction is *loose* when it lies on the outside or an
opened piece ends there. Three moves are allowed, each along one straight line from a loose junction:

- *cut*: open it as far as the next loose junction. This is a seam straight through; it costs nothing.
- *slit*: open it as far as a junction that is not loose, and stop within the piece beyond. This is the closing of a
  partial seam; it costs one partial seam.
- *set in*: open it to its end at a junction that is not loose. It costs one set-in seam.

Opening more never makes the rest more expensive: each later move, cut down to the closed pieces, is still allowed at
no greater cost. Three rules follow. A cut may be made as soon as it is possible. A junction with no line straight
through costs one set-in seam in any case, so it too may be opened as soon as a line reaches it. And a slit may be made
as long as possible. The search then only chooses the next slit, or the next set-in seam at a junction with a line
through it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import Literal, TypeAlias

from kit.planning.sewing.bent_seams import BentSeam, Leg, bound_bent_seam, find_bent_seam
from kit.planning.sewing.seams import Seams
from kit.progress import Progress, keep_quiet, report

MoveKind: TypeAlias = Literal["cut", "slit", "set in"]
SET_IN = 10_000
"""The weight of a set-in seam against a partial seam, so that the least set-in seams come first."""


@dataclass(frozen=True, slots=True)
class Opening:
    """One straight stretch to open; sewing goes the other way, from the last node to the first.

    Attributes
    ----------
    kind
        "cut", "slit" or "set in".
    pieces
        Elementary pieces from the loose end on.
    nodes
        The junctions along them.
    into
        For a slit, the piece beyond the last node, opened for a little way.
    """

    kind: MoveKind
    pieces: tuple[int, ...]
    nodes: tuple[int, ...]
    into: int = -1

    @property
    def cost(self) -> int:
        """Zero for a cut, 1 for a partial seam, `SET_IN` for a set-in seam."""
        return {"cut": 0, "slit": 1, "set in": SET_IN}[self.kind]


class TakingApart:
    """The state of taking apart; it can return to any earlier state.

    `by_paths` opens junctions without a line straight through along paths from edge to edge, so that row is sewn to
    row; otherwise each by itself. `progress` is told how many pieces are open; `followed` counts
    the paths that were tried.
    """

    def __init__(self, seams: Seams, *, by_paths: bool = False, progress: Progress = keep_quiet) -> None:
        self.seams, self.by_paths, self.progress = seams, by_paths, progress
        self.opened = bytearray(len(seams.ends))
        self.loose = bytearray(seams.outer)
        self.log: list[Opening] = []
        self.followed = 0
        self._trail: list[tuple[int, int, int]] = []

    def mark(self) -> tuple[int, int]:
        """Return a mark to take the state back to."""
        return len(self._trail), len(self.log)

    def take_back(self, mark: tuple[int, int]) -> None:
        """Undo every move since the mark."""
        while len(self._trail) > mark[0]:
            piece, a, b = self._trail.pop()
            self.opened[piece] = 0
            if a >= 0:
                self.loose[a] = 0
            if b >= 0:
                self.loose[b] = 0
        del self.log[mark[1] :]

    def walk(self, node: int, piece: int) -> tuple[list[int], list[int], bool]:
        """Return the straight line from a node toward the next loose node, and True if it gets there."""
        seams, loose = self.seams, self.loose
        pieces, nodes = [piece], [node]
        while True:
            node = seams.far(piece, node)
            nodes.append(node)
            if loose[node]:
                return pieces, nodes, True
            piece = seams.beyond(piece, node)
            if piece < 0:
                return pieces, nodes, False
            pieces.append(piece)

    def make(self, move: Opening) -> list[int]:
        """Open the pieces of a move; return the nodes that have become loose."""
        seams, loose = self.seams, self.loose
        fresh = []
        for piece in move.pieces:
            a, b = seams.ends[piece]
            self.opened[piece] = 1
            first, second = (a if not loose[a] else -1), (b if not loose[b] else -1)
            for node in (first, second):
                if node >= 0:
                    loose[node] = 1
                    fresh.append(node)
            self._trail.append((piece, first, second))
        self.log.append(move)
        return fresh

    def settle(self, nodes: Iterable[int], *, sharp_too: bool = True) -> int:
        """Make every safe move, beginning with lines from the given loose nodes; return the cost.

        Without `sharp_too` only cuts are made.

        Cuts go first; of several, those that leave the most groups whole, then those along a single patch such as a
        border, then level ones, then upright ones, each in the order for sewing from the top left.
        """
        seams = self.seams
        cuts: list[tuple[int, bool, float, float, int, int]] = []
        sharp: list[tuple[int, bool, float, float, int, int]] = []
        starts: list[Leg] = []
        bent: list[BentSeam] = []
        cost = 0

        def look(node: int) -> None:
            for piece in seams.rays[node]:
                if self.opened[piece]:
                    continue
                pieces, found, through = self.walk(node, piece)
                if not through and sharp_too and self.by_paths and seams.sharp[found[-1]]:
                    starts.append((node, piece))
                elif through or (sharp_too and seams.sharp[found[-1]]):
                    level = max(seams.levels[p] for p in pieces)
                    rest = (seams.slopes[piece], seams.places[piece], node, piece)
                    heappush(cuts if through else sharp, (level, not self._has_strip(pieces), *rest))

        for node in nodes:
            look(node)
        while cuts or sharp or starts or bent:
            legs = [heappop(cuts or sharp)[-2:]] if cuts or sharp else self._choose_bent(starts, bent)
            for move in self._open_legs(legs):
                cost += move.cost
                for fresh in self.make(move):
                    look(fresh)
            report(self.progress, "sewing", len(self._trail), len(self.opened))
        return cost

    def _open_legs(self, legs: Sequence[Leg]) -> Iterator[Opening]:
        """Yield the move for each leg that is still closed, as far as the next loose node."""
        for node, piece in legs:
            if not self.opened[piece]:
                pieces, found, through = self.walk(node, piece)
                yield Opening("cut" if through else "set in", tuple(pieces), tuple(found))

    def _choose_bent(self, starts: list[Leg], bent: list[BentSeam]) -> Sequence[Leg]:
        """Take the best path as it is by now; one that has become worse goes back.

        A new start is only followed when no known path is better than the best that any from there could be.
        """
        for node, piece in starts:
            if not self.opened[piece]:
                heappush(bent, bound_bent_seam(self.seams, node, piece))
        starts.clear()
        while bent:
            path = heappop(bent)
            node, piece = path.legs[0]
            if self.opened[piece]:
                continue
            self.followed += 1
            now = find_bent_seam(self.seams, self.loose, self.opened, node, piece)
            if not bent or now <= bent[0] or now == path:
                return now.legs
            heappush(bent, now)
        return ()

    def _has_strip(self, pieces: Sequence[int]) -> bool:
        """Return True if a single cell lies all along one side of a line."""
        cells = self.seams.cells
        common = set(cells[pieces[0]])
        for piece in pieces[1:]:
            common &= set(cells[piece])
        return bool(common)

    def find_parts(self, pieces: Iterable[int]) -> list[tuple[int, ...]]:
        """Return the closed pieces, part by part."""
        seams = self.seams
        left = [piece for piece in pieces if not self.opened[piece]]
        by_cell: dict[int, list[int]] = {}
        for piece in left:
            for cell in seams.cells[piece]:
                by_cell.setdefault(cell, []).append(piece)
        seen: set[int] = set()
        parts = []
        for piece in left:
            if piece in seen:
                continue
            seen.add(piece)
            part, stack = [], [piece]
            while stack:
                found = stack.pop()
                part.append(found)
                for cell in seams.cells[found]:
                    for other in by_cell.pop(cell, ()):
                        if other not in seen:
                            seen.add(other)
                            stack.append(other)
            parts.append(tuple(sorted(part)))
        return parts

    def list_moves(self, part: Sequence[int]) -> Iterator[Opening]:
        """Yield the unsafe moves: every line from a loose node, as a slit of full length and as set in."""
        seams = self.seams
        set_in = []
        for piece in part:
            for node in seams.ends[piece]:
                if self.loose[node]:
                    pieces, nodes, _ = self.walk(node, piece)
                    if len(pieces) > 1:
                        yield Opening("slit", tuple(pieces[:-1]), tuple(nodes[:-1]), pieces[-1])
                    set_in.append(Opening("set in", tuple(pieces), tuple(nodes)))
        yield from set_in
