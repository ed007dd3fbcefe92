"""Sewing plans written by hand for the tests, without any planner: trees of joins over a patchwork, in units."""

from collections import Counter
from dataclasses import replace
from math import cos, pi, radians, sin, sqrt
from random import Random

import numpy as np

from kit.geometry.outlines import clip_outline, make_rectangle, measure_area, measure_box, measure_edges
from kit.model.patchwork import Patch, Patchwork, Within, patchwork_from_outlines
from kit.model.sewing import Edge, SewingPlan, SewnUnit, Step
from kit.planning.pieces.cut_list import cut_list

NAMES = tuple(f"patch-{i:04d}" for i in range(1, 100))


def find_edge(cuts, patch, edge):
    """Return the edge of the cut piece that an edge of the sewn outline becomes."""
    piece = cuts.piece_of[patch]
    turn = piece.turns[piece.patches.index(patch)]
    return Edge(patch, (edge - turn) % len(piece.outline))


def find_runs(patchwork, cuts, first, second):
    """Return the edges on either side of the one straight seam between two groups of patches, and its length."""
    mesh = patchwork.mesh
    number = {patch.id: i for i, patch in enumerate(patchwork.patches)}
    ours, theirs = {number[p] for p in first}, {number[p] for p in second}
    inner = np.flatnonzero(mesh.twin >= 0).tolist()
    sides = [s for s in inner if mesh.face[s] in ours and mesh.face[mesh.twin[s]] in theirs]
    run = mesh.nodes[mesh.end[sides[0]]] - mesh.nodes[mesh.start[sides[0]]]
    sides.sort(key=lambda s: float(mesh.nodes[mesh.start[s]] @ run))

    def name(indices):
        edges = dict.fromkeys((int(mesh.face[s]), int(mesh.edge[s])) for s in indices)
        return tuple(find_edge(cuts, patchwork.patches[f].id, e) for f, e in edges)

    return name(sides), name([int(mesh.twin[s]) for s in sides]), float(sum(mesh.lengths[sides]))


def leaves(tree):
    """Return the patches of a tree of joins."""
    return (tree,) if isinstance(tree, str) else tuple(p for branch in tree for p in leaves(branch))


def chain(parts):
    """Return the tree that joins parts one after another."""
    tree = parts[0]
    for part in parts[1:]:
        tree = (tree, part)
    return tree


def plan_of_tree(patchwork, cuts, tree):
    """Return a plan that joins as a tree of pairs says, all in one unit."""
    return plan_of_units(patchwork, cuts, [("top", [tree])])


def plan_of_units(patchwork, cuts, units):
    """Return a plan from units, each a name and a tree for every copy; trees of earlier units may be branches."""
    steps, made, known = [], [], {}

    def sew(branch, name, parts):
        if branch != tree and leaves(branch) in known:
            parts[known[leaves(branch)]] += 1
        elif isinstance(branch, str):
            parts[cuts.piece_of[branch].id] += 1
        else:
            for part in branch:
                sew(part, name, parts)
            first, second = leaves(branch[0]), leaves(branch[1])
            a, b, length = find_runs(patchwork, cuts, first, second)
            steps.append(Step(len(steps) + 1, name, "join", first, second, a, b, 0.0, (0.0, length)))

    for name, copies in units:
        tree, parts = copies[0], Counter()
        sew(tree, name, parts)
        outlines = [patchwork.by_id[patch].outline for patch in leaves(tree)]
        left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
        size = (right - left + 2 * patchwork.allowance, top - bottom + 2 * patchwork.allowance)
        made.append(SewnUnit(name, tuple(leaves(copy) for copy in copies), tuple(parts.items()), size))
        known |= {leaves(copy): name for copy in copies}
    return finish_plan(patchwork, steps, made)


def finish_plan(patchwork, steps, units):
    """Return a plan of given steps and units."""
    partial = sum(step.kind == "partial" for step in steps)
    set_in = sum(step.kind == "set in" for step in steps)
    target = tuple((patch.id, patch.outline) for patch in patchwork.patches)
    return SewingPlan(tuple(steps), tuple(units), partial, set_in, partial, set_in, target)


def make_top(patchwork, cuts):
    """Return a unit that is the whole top of loose pieces."""
    left, bottom, right, top = patchwork.box
    size = (right - left + 2 * patchwork.allowance, top - bottom + 2 * patchwork.allowance)
    parts = tuple((piece.id, piece.count) for piece in cuts.pieces)
    return SewnUnit("top", (tuple(patch.id for patch in patchwork.patches),), parts, size)


def make_whirl():
    """Return patchwork, cut list and plan of a 4 in centre with four 3 x 7 in rectangles whirling round it (W10)."""
    places = [(3, 3, 4, 4), (0, 0, 7, 3), (7, 0, 3, 7), (3, 7, 7, 3), (0, 3, 3, 7)]
    patchwork = patchwork_from_outlines([make_rectangle(*place) for place in places])
    cuts = cut_list(patchwork)
    centre, below, right, above, left = NAMES[:5]

    def join(number, first, met, second):
        a, b, length = find_runs(patchwork, cuts, met, (second,))
        return Step(number, "top", "join", first, (second,), a, b, 0.0, (0.0, length), press="second")

    start = find_edge(cuts, centre, 0), find_edge(cuts, below, 2)
    last, first, _ = find_runs(patchwork, cuts, (centre, left), (below,))
    every = (centre, below, right, above, left)
    steps = [
        Step(1, "top", "partial", (centre,), (below,), start[:1], start[1:], -3.0, (2.0, 4.0), press="first"),
        join(2, (centre, below), (centre, below), right),
        join(3, (centre, below, right), (centre, right), above),
        join(4, (centre, below, right, above), (centre, above), left),
        Step(5, "top", "close", every, (), last, first, 0.0, (0.0, 5.0), press="open"),
    ]
    return patchwork, cuts, finish_plan(patchwork, steps, [make_top(patchwork, cuts)])


def make_cubes():
    """Return patchwork, cut list and plan of three 60-degree diamonds round a point: the third is set in."""
    spokes = [(4 * cos(radians(90 + 120 * k)), 4 * sin(radians(90 + 120 * k))) for k in range(3)]
    tips = [(spokes[k][0] + spokes[k - 2][0], spokes[k][1] + spokes[k - 2][1]) for k in range(3)]
    patchwork = patchwork_from_outlines([[(0, 0), spokes[k], tips[k], spokes[k - 2]] for k in range(3)])
    cuts = cut_list(patchwork)
    a, b, c = NAMES[:3]

    def edges(first, second):
        return find_runs(patchwork, cuts, first, second)[:2]

    steps = [
        Step(1, "top", "join", (a,), (b,), *edges((a,), (b,)), 0.0, (0.0, 4.0)),
        Step(2, "top", "set in", (a, b), (c,), *edges((b,), (c,)), 0.0, (0.0, 4.0)),
        Step(3, "top", "set in", (a, b, c), (), *edges((a,), (c,)), 0.0, (0.0, 4.0)),
    ]
    top = replace(make_top(patchwork, cuts), unfinished=(4 * sqrt(3) + 0.5, 8 + 0.5 / sin(radians(60))))
    return patchwork, cuts, finish_plan(patchwork, steps, [top])


def make_trimmed():
    """Two strips that are sewn larger, cut straight together, and then joined to a third as they are."""
    sewn = [make_rectangle(-1, 0, 8, 2), make_rectangle(-0.5, 2, 8, 2)]
    patches = [
        Patch("low", make_rectangle(0, 0, 6, 2), "a", sewn=sewn[0], group=(Within("pair"),)),
        Patch("high", make_rectangle(0, 2, 6, 2), "b", sewn=sewn[1], group=(Within("pair"),)),
        Patch("side", make_rectangle(6, 0, 2, 4), "c"),
    ]
    patchwork = Patchwork(tuple(patches))
    cuts = cut_list(patchwork)
    place = cuts.piece_of["low"].outline
    trim = make_rectangle(place[0][0] + 1, place[0][1], 6.5, 4.5)
    low, high, side = (lambda e, p=p: find_edge(cuts, p, e) for p in ("low", "high", "side"))
    pair = ("low", "high")
    steps = [
        Step(1, "top", "join", ("low",), ("high",), (low(2),), (high(0),), -0.5, (0.0, 8.0), ragged=True),
        Step(2, "top", "trim", pair, trim=trim),
        Step(3, "top", "join", pair, ("side",), (low(1), high(1)), (side(3),), 0.0, (0.0, 4.0)),
    ]
    return patchwork, cuts, finish_plan(patchwork, steps, [make_top(patchwork, cuts)])


def make_subdivision(seed, most=9):
    """Return patchwork, cut list and plan of a rectangle that is cut again and again by straight lines."""
    chance = Random(seed)  # noqa: S311  a test wants the same subdivision each time
    outlines = []

    def cut(outline, left):
        if left > 0:
            for _ in range(6):
                angle = chance.choice([0, pi / 2, pi / 4, -pi / 4, chance.uniform(0, pi)])
                a, b = cos(angle), sin(angle)
                reach = [a * x + b * y for x, y in outline]
                c = min(reach) + chance.choice([0.5, chance.uniform(0.25, 0.75)]) * (max(reach) - min(reach))
                halves = [clip_outline(outline, a, b, c), clip_outline(outline, -a, -b, -c)]
                if all(half and min(measure_edges(half)) >= 0.5 and measure_area(half) > 0.5 for half in halves):
                    spare = chance.randint(0, left - 1)
                    return cut(halves[0], spare), cut(halves[1], left - 1 - spare)
        outlines.append(outline)
        return f"patch-{len(outlines):04d}"

    tree = cut(make_rectangle(0, 0, chance.randint(4, 12), chance.randint(4, 12)), chance.randint(1, most))
    patchwork = patchwork_from_outlines(outlines)
    cuts = cut_list(patchwork)
    return patchwork, cuts, plan_of_tree(patchwork, cuts, tree)
