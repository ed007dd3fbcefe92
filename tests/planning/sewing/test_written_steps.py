"""Written steps: on small tops the fewest that any order has, found here by trying them all."""

import random
from dataclasses import replace
from itertools import product

import pytest

from kit.checks.sewing_check import check_sewing_plan
from kit.errors import CheckError
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan

Box = tuple[int, int, int, int]
"""Left, bottom, right and top of a patch, in whole inches."""


def cut_up(rng: random.Random, box: Box, left: int) -> list[Box]:
    """Cut a rectangle into a number of smaller ones, from edge to edge each time."""
    x0, y0, x1, y1 = box
    ways = [("x", x) for x in range(x0 + 2, x1 - 1)] + [("y", y) for y in range(y0 + 2, y1 - 1)]
    if left < 2 or not ways:
        return [box]
    way, at = rng.choice(ways)
    one, other = ((x0, y0, at, y1), (at, y0, x1, y1)) if way == "x" else ((x0, y0, x1, at), (x0, at, x1, y1))
    share = rng.randint(1, left - 1)
    return cut_up(rng, one, share) + cut_up(rng, other, left - share)


def draw(boxes):
    outlines = [[(x0, y0), (x1, y0), (x1, y1), (x0, y1)] for x0, y0, x1, y1 in boxes]
    return patchwork_from_outlines(outlines)


def read_class(part) -> tuple:
    """Return what turned copies of a part have in common."""
    readings = []
    for turn in range(4):
        seen = list(part)
        for _ in range(turn):
            seen = [(-y1, x0, -y0, x1) for x0, y0, x1, y1 in seen]
        left, low = min(box[0] for box in seen), min(box[1] for box in seen)
        readings.append(tuple(sorted((a - left, b - low, c - left, d - low) for a, b, c, d in seen)))
    return min(readings)


def list_trees(part):
    """Yield every order of straight seams that makes a part: a box, or (way, tree, tree)."""
    if len(part) == 1:
        yield part[0]
        return
    for axis in (0, 1):
        for at in sorted({box[axis] for box in part}):
            one = tuple(box for box in part if box[axis + 2] <= at)
            other = tuple(box for box in part if box[axis] >= at)
            if one and other and len(one) + len(other) == len(part):
                for a, b in product(list_trees(one), list_trees(other)):
                    yield (axis, a, b)


def list_boxes(tree):
    return (tree,) if len(tree) == 4 else (*list_boxes(tree[1]), *list_boxes(tree[2]))


def is_patch(tree):
    return len(tree) == 4


def count_written(tree) -> int:
    """Count numbered instructions: one for each different part, but parts sewn on in one row are one instruction.

    Where a part occurs twice it is a unit, told once. Two parts that are both sewn of several are told one by one.
    """
    uses: dict[tuple, int] = {}
    nodes = {}

    def walk(node):
        if is_patch(node):
            return
        kind = read_class(list_boxes(node))
        uses[kind] = uses.get(kind, 0) + 1
        if kind not in nodes:
            nodes[kind] = node
            walk(node[1])
            walk(node[2])

    walk(tree)
    told = len(nodes)
    for node in nodes.values():
        for body, added in ((node[1], node[2]), (node[2], node[1])):
            alone = is_patch(body) or uses[read_class(list_boxes(body))] > 1
            if not alone and body[0] == node[0] and ends_row(added, node[0], uses):
                told -= 1
                break
    return told


def ends_row(added, axis, uses) -> bool:
    """Return True if a part is sewn to the end of a row, not across several of its parts."""
    both_sewn = not is_patch(added) and uses[read_class(list_boxes(added))] == 1 and added[0] == axis
    return not both_sewn


@pytest.mark.parametrize("seed", range(120))
def test_on_small_tops_no_order_has_fewer_written_steps(seed):
    rng = random.Random(seed)
    boxes = cut_up(rng, (0, 0, rng.choice((6, 8, 12)), rng.choice((4, 6, 8))), rng.randint(2, 6))
    least = min(count_written(tree) for tree in list_trees(tuple(boxes)))
    patchwork = draw(boxes)
    plan = sewing_plan(patchwork)
    assert len(plan.written) == least, boxes


def test_a_row_is_one_written_step_and_its_copies_are_in_it():
    checkers = [(2 * x, 2 * y, 2 * x + 2, 2 * y + 2) for y in range(4) for x in range(4)]
    plan = sewing_plan(draw(checkers))
    assert [(unit.name, unit.count) for unit in plan.units] == [("row", 4), ("top", 1)]
    assert [len(group) for group in plan.written] == [3, 3]


def test_refuses_written_steps_that_leave_one_out_or_mix_units():
    patchwork = draw([(2 * x, 2 * y, 2 * x + 2, 2 * y + 2) for y in range(4) for x in range(4)])
    cuts, plan = cut_list(patchwork), sewing_plan(patchwork)
    for written, said in (
        (((1, 2), (4, 5, 6)), "hold 5 steps, the plan has 6"),
        (((1, 2), (3, 4, 5, 6)), "steps of more than one unit"),
    ):
        with pytest.raises(CheckError, match=said):
            check_sewing_plan(patchwork, cuts, replace(plan, written=written))
    with pytest.raises(CheckError, match="under its own bound of 3"):
        check_sewing_plan(patchwork, cuts, replace(plan, written_bound=3))


def test_refuses_a_step_that_puts_aside_what_the_step_before_made():
    patchwork = draw([(0, 0, 2, 3), (2, 0, 5, 3), (5, 0, 9, 3), (9, 0, 14, 3)])
    cuts, plan = cut_list(patchwork), sewing_plan(patchwork)
    a, b, c = plan.steps
    apart = replace(b, first=b.second, second=c.second, along_first=b.along_second, along_second=c.along_second)
    last = replace(c, first=a.first + a.second, second=(*apart.first, *apart.second), along_second=b.along_second)
    damaged = replace(plan, steps=(a, apart, last))
    with pytest.raises(CheckError, match="Step 2 puts aside the 2 patches that the step before made"):
        check_sewing_plan(patchwork, cuts, damaged)
