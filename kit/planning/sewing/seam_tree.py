"""The tree of a top: which parts are joined along which seam, read off the state of `taking_apart`."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

import numpy as np

from kit.geometry.turned_copies import PlacedItems, TurnedReading, read_turned
from kit.planning.sewing.least_cost import LeastCostSearch, Solution
from kit.planning.sewing.seams import Seams
from kit.planning.sewing.taking_apart import SET_IN, Opening, TakingApart
from kit.progress import Progress, keep_quiet, report

JointKind: TypeAlias = Literal["join", "partial", "close", "set in"]
OPEN = 2.0
"""Inches of a partial seam left open beyond the waiting junction; half the last piece if that is less."""


@dataclass(frozen=True, slots=True)
class Joint:
    """One seam in the order of sewing.

    Attributes
    ----------
    kind
        As in a sewing step.
    sides
        Sides of the mesh in the direction of sewing, with the first part on their left.
    gaps
        Inches at each end that are not sewn now.
    stops
        For each end, whether the stitching stops at the allowance's corner, because a seam is set in there.
    """

    kind: JointKind
    sides: tuple[int, ...]
    gaps: tuple[float, float] = (0.0, 0.0)
    stops: tuple[bool, bool] = (False, False)


@dataclass(eq=False, slots=True)
class Part:
    """A part of the top: one cell, or two parts and the seam between them.

    Attributes
    ----------
    cell
        The cell, or -1.
    halves, joint
        The first part, the added part, and their seam.
    closings
        Seams sewn afterwards within the part.
    size
        The number of its patches.
    first
        The smallest number of its patches.
    slope
        Direction of the joint's line in degrees, -1 for a single cell.
    inner
        For a trimmed cell, its inner tree.
    """

    cell: int
    size: int
    first: int
    halves: "tuple[Part, Part] | None" = None
    joint: Joint | None = None
    closings: list[Joint] = field(default_factory=list)
    slope: float = -1.0
    inner: "Part | None" = None


@dataclass(frozen=True)
class Order:
    """The tree of a region and its cost.

    Attributes
    ----------
    root
        The whole region.
    cost, bound
        Partial seams plus `SET_IN` for each set-in seam, and the proven least of the same.
    """

    root: Part
    cost: int
    bound: int


def find_order(
    seams: Seams,
    twins: Sequence[int],
    cells: Mapping[int, Sequence[int]],
    begin: Sequence[Opening] = (),
    *,
    by_paths: bool = False,
    progress: Progress = keep_quiet,
) -> Order:
    """Take a region apart at least cost and return the tree of its parts.

    Open the given lines, and make all the other safe moves. Solve each remaining part; turned copies of a part are
    solved once. Play the solutions, and read the whole state backwards, joining.

    Parameters
    ----------
    seams
        The seams between the region's cells.
    twins
        The twin of each side of the mesh.
    cells
        The patches of each cell.
    begin
        Lines straight through to open first, in this order; they cost nothing.
    by_paths
        Open what no line straight through divides along paths from edge to edge.
    progress
        Told how many pieces of seams are open.
    """
    state = TakingApart(seams, by_paths=by_paths, progress=progress)
    for opening in begin:
        state.make(opening)
    cost = state.settle([node for node, loose in enumerate(state.loose) if loose])
    state.progress = keep_quiet  # the search below opens and closes again
    bound = cost
    items = _list_pieces(seams, state)
    known: dict[bytes, tuple[Solution, TurnedReading]] = {}
    for part in state.find_parts(range(len(seams.ends))):
        turned = read_turned(items, part)
        if turned.reading in known:
            solved, where = known[turned.reading]
            moves = [_carry(seams, move, where, turned) for move in solved.moves]
        else:
            solved = LeastCostSearch(
                state, progress=_share(progress, sum(state.opened), len(part), len(seams.ends))
            ).solve(part)
            known[turned.reading] = solved, turned
            moves = list(solved.moves)
        cost += solved.cost
        bound += solved.bound
        for move in moves:
            state.settle(state.make(move))
    return Order(_join_up(seams, twins, cells, state.log), cost, bound)


def _share(progress: Progress, before: int, more: int, total: int) -> Progress:
    """Return what reports the search for one part as a share of the pieces that it will open."""

    def tell(what: str, done: float, whole: float) -> None:
        report(progress, what, before + more * done / whole, total)

    return tell


def _list_pieces(seams: Seams, state: TakingApart) -> PlacedItems:
    """Return the elementary pieces in a form for comparison: their length, and their loose ends."""
    n = len(seams.ends)
    places = np.array([complex(*seams.nodes[a]) + complex(*seams.nodes[b]) for a, b in seams.ends]) / 2
    labels, turns = np.zeros(n, dtype=np.int64), np.zeros(n)
    periods = np.full(n, 180.0)
    for i, (a, b) in enumerate(seams.ends):
        loose = state.loose[a] + state.loose[b]
        labels[i] = int(seams.lengths[i] * 1000 + 0.31) * 3 + loose
        turns[i] = seams.slopes[i]
        if loose == 1:
            away = complex(*seams.nodes[b]) - complex(*seams.nodes[a])
            turns[i] = float(np.degrees(np.angle(away if state.loose[a] else -away)))
            periods[i] = 360.0
    return PlacedItems(labels, places.astype(np.complex128), turns, periods)


def _carry(seams: Seams, move: Opening, where: TurnedReading, there: TurnedReading) -> Opening:
    """Return a move carried over to a turned copy of its part."""
    matching = dict(zip(where.order, there.order, strict=True))
    pieces = tuple(matching[piece] for piece in move.pieces)
    into = matching[move.into] if move.into >= 0 else -1
    start = complex(*seams.nodes[move.nodes[0]])
    goal = (start - where.middle) * where.east / there.east + there.middle
    a, b = seams.ends[pieces[0]]
    nodes = [a if abs(complex(*seams.nodes[a]) - goal) < abs(complex(*seams.nodes[b]) - goal) else b]
    for piece in pieces:
        nodes.append(seams.far(piece, nodes[-1]))
    return replace(move, pieces=pieces, nodes=tuple(nodes), into=into)


def _join_up(seams: Seams, twins: Sequence[int], cells: Mapping[int, Sequence[int]], log: Sequence[Opening]) -> Part:
    """Play the state backwards: what was opened last is sewn first."""
    tips = _leave_open(seams, log)
    dots = {move.nodes[-1] for move in log if move.kind == "set in"}
    part = {cell: Part(cell, len(found), min(found)) for cell, found in cells.items()}
    up: dict[int, int] = {}
    bent = any(move.kind == "set in" for move in log)

    def find(cell: int) -> int:
        root = cell
        while root in up:
            root = up[root]
        while cell != root:
            up[cell], cell = root, up[cell]
        return root

    for move in reversed(log):
        left, right = (find(cell) for cell in seams.cells[move.pieces[0]])
        if left == right:
            part[left].closings.append(_close(seams, twins, move, tips, dots))
            continue
        slope = seams.slopes[move.pieces[0]]
        row = not bent and all(part[root].halves for root in (left, right))
        first, second = sorted(  # a row goes on at its end; otherwise the larger part lies there
            (left, right), key=lambda root: (row and part[root].slope != slope, -part[root].size, part[root].first)
        )
        joint = _join(seams, twins, move, left == first, tips, dots)
        whole = Part(
            -1,
            part[first].size + part[second].size,
            min(part[first].first, part[second].first),
            (part[first], part[second]),
            joint,
            slope=slope,
        )
        up[second] = first
        part[first] = whole
    return part[find(next(iter(cells)))]


def _leave_open(seams: Seams, log: Sequence[Opening]) -> dict[tuple[int, int], float]:
    """Return for each piece and node of a waiting partial seam the inches of the piece that stay open."""
    waiting = [(move.into, move.nodes[-1]) for move in log if move.kind == "slit"]
    share: dict[int, int] = {}
    for piece, _ in waiting:
        share[piece] = share.get(piece, 1) + 1
    return {(piece, node): min(OPEN, seams.lengths[piece] / share[piece]) for piece, node in waiting}


def _turn_left(seams: Seams, twins: Sequence[int], pieces: Sequence[int], node: int) -> list[int]:
    """Return the sides along pieces, followed from a node."""
    sides = []
    for piece in pieces:
        forward = seams.ends[piece][0] == node
        sides.append(seams.sides[piece] if forward else twins[seams.sides[piece]])
        node = seams.far(piece, node)
    return sides


def _join(
    seams: Seams,
    twins: Sequence[int],
    move: Opening,
    left_lies: bool,
    tips: dict[tuple[int, int], float],
    dots: set[int],
) -> Joint:
    """Return the seam of a cut, in the direction with the first part on its left.

    `left_lies` is True if that part is on the left of the first piece in the piece's own direction.
    """
    pieces, nodes = move.pieces, move.nodes
    ahead = seams.ends[pieces[0]][0] == nodes[0]
    on_left = left_lies == ahead
    if not on_left:
        pieces, nodes = pieces[::-1], nodes[::-1]
    gaps = (tips.get((pieces[0], nodes[0]), 0.0), tips.get((pieces[-1], nodes[-1]), 0.0))
    kind: JointKind = "partial" if any(gaps) else "join"
    stops = (nodes[0] in dots, nodes[-1] in dots)
    return Joint(kind, tuple(_turn_left(seams, twins, pieces, nodes[0])), gaps, stops)


def _close(
    seams: Seams, twins: Sequence[int], move: Opening, tips: dict[tuple[int, int], float], dots: set[int]
) -> Joint:
    """Return the closing of a partial seam, or a set-in leg: from the junction toward the edge."""
    pieces, nodes = move.pieces[::-1], move.nodes[::-1]
    last = tips.get((pieces[-1], nodes[-1]), 0.0)
    stops = (nodes[0] in dots, nodes[-1] in dots)
    if move.kind == "set in":
        return Joint("set in", tuple(_turn_left(seams, twins, pieces, nodes[0])), (0.0, last), stops)
    start = seams.far(move.into, nodes[0])
    sides = _turn_left(seams, twins, (move.into, *pieces), start)
    return Joint("close", tuple(sides), (seams.lengths[move.into] - tips[move.into, nodes[0]], last), (False, stops[1]))


def list_tree_parts(root: Part) -> list[Part]:
    """Return the parts of a tree, each after the two that it is joined of; cells are not opened."""
    found, stack = [], [root]
    while stack:
        part = stack.pop()
        found.append(part)
        stack += part.halves or ()
    return found[::-1]


def split_cost(cost: int) -> tuple[int, int]:
    """Return (partial seams, set-in seams) of a cost."""
    return cost % SET_IN, cost // SET_IN
