"""The least numbers of partial and set-in seams, against an exhaustive search over all orders."""

from heapq import heappop, heappush
from itertools import combinations

import pytest
from subdivisions import as_outlines, draw_subdivision, eight_pointed_star, hexagon_flower, tumbling_block, whirl

from kit.checks.sewing_check import check_sewing_plan
from kit.geometry.mesh import build_mesh
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan

FAR = 1e-6


def read_pieces(outlines):
    """Return the elementary seam pieces as pairs of junctions, and which of them are in one line where."""
    mesh = build_mesh(outlines)
    nodes = [complex(x, y) for x, y in mesh.nodes.tolist()]
    start, end, twin = mesh.start.tolist(), mesh.end.tolist(), mesh.twin.tolist()
    outside = {node for side, other in enumerate(twin) if other < 0 for node in (start[side], end[side])}
    pieces = [(start[s], end[s]) for s, other in enumerate(twin) if s < other]
    at = {}
    for i, piece in enumerate(pieces):
        for node in piece:
            at.setdefault(node, []).append(i)

    def away(i, node):
        a, b = pieces[i]
        other = b if a == node else a
        return (nodes[other] - nodes[node]) / abs(nodes[other] - nodes[node])

    straight = {
        (node, i, j)
        for node, found in at.items()
        for i, j in combinations(found, 2)
        if abs(away(i, node) + away(j, node)) < FAR
    }
    return pieces, at, outside, straight


def list_runs(pieces, straight):
    """Return every straight run of pieces, as a bit mask and the nodes that it passes straight through."""
    onward = {}
    for node, i, j in straight:
        onward[i, node], onward[j, node] = j, i
    runs = {}
    for first, (a, b) in enumerate(pieces):
        for begin in (a, b):
            mask, passed, piece = 1 << first, frozenset(), first
            node = b if begin == a else a
            runs[mask] = passed
            while (piece, node) in onward:
                piece = onward[piece, node]
                passed |= {node}
                mask |= 1 << piece
                runs[mask] = passed
                node = next(n for n in pieces[piece] if n != node)
    return runs


def search_all_orders(outlines):
    """Return the least (set-in, partial) of all orders in which straight runs can be sewn.

    Any straight run that is not sewn may come next. At an inner junction the last run sewn passes straight through, or
    continues a piece that was sewn before (partial), or is set in.
    """
    pieces, at, outside, straight = read_pieces(outlines)
    runs = list_runs(pieces, straight)
    around = {node: sum(1 << i for i in found) for node, found in at.items() if node not in outside}
    touched = {mask: {n for i in range(len(pieces)) if mask >> i & 1 for n in pieces[i]} & set(around) for mask in runs}
    in_line = {}
    for node, i, j in straight:
        in_line.setdefault(node, []).append((1 << i, 1 << j))
    full = (1 << len(pieces)) - 1
    best = {0: (0, 0)}
    heap = [((0, 0), 0)]
    while heap:
        cost, done = heappop(heap)
        if done == full:
            return cost
        if cost > best[done]:
            continue
        for mask, passed in runs.items():
            if mask & done:
                continue
            after = done | mask
            set_in, partial = cost
            for node in touched[mask]:
                if node in passed or around[node] & ~after:
                    continue
                here = mask & around[node]
                follows = any((here in pair) for pair in in_line.get(node, ()))
                set_in, partial = (set_in, partial + 1) if follows else (set_in + 1, partial)
            if (set_in, partial) < best.get(after, (99, 99)):
                best[after] = set_in, partial
                heappush(heap, ((set_in, partial), after))
    raise AssertionError


@pytest.mark.parametrize("seed", range(150))
def test_the_plan_needs_no_more_than_the_best_of_all_orders(seed):
    outlines = draw_subdivision(seed)
    if len(read_pieces(outlines)[0]) > 13:
        outlines = draw_subdivision(seed, most=6)
    plan = sewing_plan(patchwork_from_outlines(outlines))
    assert (plan.set_in_seams, plan.partial_seams) == search_all_orders(outlines)
    assert (plan.set_in_bound, plan.partial_bound) == (plan.set_in_seams, plan.partial_seams)


def test_the_random_subdivisions_need_seams_of_both_kinds():
    least = [search_all_orders(draw_subdivision(seed, most=6)) for seed in range(60)]
    assert sum(set_in > 0 for set_in, _ in least) >= 5
    assert sum(partial > 0 for _, partial in least) >= 3


@pytest.mark.parametrize(("draw", "least"), [(whirl, (0, 1)), (tumbling_block, (1, 0)), (hexagon_flower, (6, 0))])
def test_all_orders_agree_on_designs_that_the_trade_knows(draw, least):
    outlines = draw()
    assert search_all_orders([tuple(outline) for outline in outlines]) == least
    plan = sewing_plan(patchwork_from_outlines(outlines))
    assert (plan.set_in_seams, plan.partial_seams) == least


def test_each_inner_angle_of_an_eight_pointed_star_is_set_in():
    plan = sewing_plan(patchwork_from_outlines(eight_pointed_star()))
    assert (plan.set_in_seams, plan.set_in_bound, plan.partial_seams) == (8, 8, 0)


def test_a_slit_is_not_shortened_away_from_under_a_later_one():
    rooms = [(0, 2, 5, 9), (10, 5, 14, 8), (10, 0, 13, 5), (13, 1, 14, 5), (14, 1, 20, 8), (9, 2, 10, 8), (0, 0, 10, 2),
             (5, 2, 9, 9), (9, 8, 20, 9), (13, 0, 20, 1)]  # fmt: skip
    patchwork = patchwork_from_outlines(as_outlines(rooms, scale=1.0))
    plan = sewing_plan(patchwork)
    check_sewing_plan(patchwork, cut_list(patchwork), plan)
    assert (plan.partial_seams, plan.partial_bound) == (2, 2)
