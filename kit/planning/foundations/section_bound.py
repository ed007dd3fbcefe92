"""A proven least number of sections: the joins that no order of seams avoids.

A join between sections is a seam with two patches or more on both of its sides. Where two lines cross, one of them is
opened first, with the stumps of the other on both sides: a join. A line at which others end from both sides is a join
as well, whenever it is opened. So there are at least as many joins as such lines without a crossing, and as lines
needed to cover all crossings; a matching of crossing lines is never larger than such a cover.
"""

from collections.abc import Sequence

import rustworkx

from kit.geometry.outlines import Point
from kit.planning.sewing.seams import Seams

FLAT = 1e-6
"""The largest sine of an angle that counts as flat."""


def count_forced_joins(seams: Seams, inside: set[int]) -> int:
    """Return the joins between sections that no order of straight seams avoids, among the seam pieces of a part.

    Notes
    -----
    O(k) for k pieces, and a matching of the lines that cross.
    """
    line_of, rays = _find_lines(seams, inside)
    crossings: list[tuple[int, ...]] = []
    sides: dict[int, set[bool]] = {}
    for node, found in rays.items():
        lines = sorted({line_of[p] for p in found if seams.beyond(p, node) in inside and seams.beyond(p, node) >= 0})
        if len(lines) > 1:
            crossings.append(tuple(lines))
        elif lines:
            through = next(p for p in found if line_of[p] == lines[0])
            stumps = (p for p in found if line_of[p] != lines[0])
            sides.setdefault(lines[0], set()).update(_is_left(seams, through, p, node) for p in stumps)
    crossed = {line for lines in crossings for line in lines}
    forced = sum(line not in crossed and len(both) == 2 for line, both in sides.items())
    return forced + _match(crossings)


def _find_lines(seams: Seams, inside: set[int]) -> tuple[dict[int, int], dict[int, list[int]]]:
    """Return the straight line of each piece, named by its first piece, and the pieces at each node."""
    line_of: dict[int, int] = {}
    rays: dict[int, list[int]] = {}
    for piece in sorted(inside):
        for node in seams.ends[piece]:
            rays.setdefault(node, []).append(piece)
        if piece in line_of:
            continue
        stack = [piece]
        while stack:
            found = stack.pop()
            line_of[found] = piece
            stack += [p for p in seams.onward[found] if p in inside and p not in line_of]
    return line_of, rays


def _is_left(seams: Seams, through: int, piece: int, node: int) -> bool:
    """Return whether a piece that ends at a line lies to the left of its direction, the same for the whole line."""
    (ux, uy), (vx, vy) = (_head_from(seams, p, node) for p in (through, piece))
    if ux < -FLAT or (abs(ux) <= FLAT and uy < 0):
        ux, uy = -ux, -uy
    return ux * vy - uy * vx > 0


def _head_from(seams: Seams, piece: int, node: int) -> Point:
    (ax, ay), (bx, by) = seams.nodes[node], seams.nodes[seams.far(piece, node)]
    return (bx - ax) / seams.lengths[piece], (by - ay) / seams.lengths[piece]


def _match(crossings: Sequence[tuple[int, ...]]) -> int:
    """Return a number of crossings no two of which share a line."""
    graph: rustworkx.PyGraph[int, int] = rustworkx.PyGraph(multigraph=False)
    node: dict[int, int] = {}
    for lines in crossings:
        for line in lines:
            if line not in node:
                node[line] = graph.add_node(line)
        if len(lines) == 2:
            graph.add_edge(node[lines[0]], node[lines[1]], 1)
    matched = rustworkx.max_weight_matching(graph, max_cardinality=True)
    taken = {end for pair in matched for end in pair}
    count = len(matched)
    for lines in crossings:
        if len(lines) > 2 and not any(node[line] in taken for line in lines):
            taken.update(node[line] for line in lines)
            count += 1
    return count
