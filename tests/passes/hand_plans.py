"""Sewing plans written by hand for the tests: a tree of joins over a patchwork, without any planner."""

import numpy as np

from kit.geometry.outlines import measure_box
from kit.model.sewing import Edge, SewingPlan, Step, Unit


def find_edge(patchwork, cuts, patch, edge):
    """Return the edge of the cut piece that an edge of the finished outline becomes."""
    piece = cuts.piece_of[patch]
    turn = piece.turns[piece.patches.index(patch)]
    return Edge(patch, (edge - turn) % len(patchwork.by_id[patch].outline))


def find_runs(patchwork, cuts, first, second):
    """Return the edges on either side of the one straight seam between two groups of patches, in its direction."""
    mesh = patchwork.mesh
    number = {patch.id: i for i, patch in enumerate(patchwork.patches)}
    ours, theirs = {number[p] for p in first}, {number[p] for p in second}
    sides = [s for s in np.flatnonzero(mesh.twin >= 0).tolist() if mesh.face[s] in ours and mesh.face[mesh.twin[s]] in theirs]
    run = mesh.nodes[mesh.end[sides[0]]] - mesh.nodes[mesh.start[sides[0]]]
    sides.sort(key=lambda s: float(mesh.nodes[mesh.start[s]] @ run))

    def name(indices):
        edges = dict.fromkeys((int(mesh.face[s]), int(mesh.edge[s])) for s in indices)
        return tuple(find_edge(patchwork, cuts, patchwork.patches[f].id, e) for f, e in edges)

    length = float(sum(mesh.lengths[sides]))
    return name(sides), name([int(mesh.twin[s]) for s in sides]), length


def leaves(tree):
    """Return the patches of a tree of joins."""
    return (tree,) if isinstance(tree, str) else tuple(p for branch in tree for p in leaves(branch))


def plan_of_tree(patchwork, cuts, tree, steps=(), copies=()):
    """Return a plan that joins as a tree of pairs says, all in one unit, after the steps that are given."""
    steps = list(steps)

    def sew(branch):
        if isinstance(branch, str):
            return
        for part in branch:
            sew(part)
        first, second = leaves(branch[0]), leaves(branch[1])
        a, b, length = find_runs(patchwork, cuts, first, second)
        steps.append(Step(len(steps) + 1, "top", "join", first, second, a, b, 0.0, (0.0, length)))

    sew(tree)
    return finish_plan(patchwork, cuts, steps)


def finish_plan(patchwork, cuts, steps, units=(), parts=None):
    """Return a plan of given steps with the top as the last unit."""
    patches = tuple(patch.id for patch in patchwork.patches)
    left, bottom, right, top = measure_box(point for patch in patchwork.patches for point in patch.outline)
    if parts is None:
        parts = tuple((piece.id, piece.count) for piece in cuts.pieces)
    size = (right - left + 2 * patchwork.allowance, top - bottom + 2 * patchwork.allowance)
    partial = sum(step.kind == "partial" for step in steps)
    return SewingPlan(
        steps=tuple(steps),
        units=(*units, Unit("top", (patches,), parts, size)),
        partial_seams=partial,
        set_in_seams=sum(step.kind == "set in" for step in steps),
        partial_bound=partial,
        set_in_bound=0,
        target=tuple((patch.id, patch.outline) for patch in patchwork.patches),
    )
