"""The names of a unit's edges.

A rectangle has left, right, top and bottom; a right triangle has long, then counter-clockwise short 1 and short 2;
anything else has edge 1, edge 2 and so on, counter-clockwise from its lowest corner, the leftmost of several.
"""

from collections.abc import Mapping

from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_angles, measure_box, measure_edges
from kit.geometry.rigid_move import RigidMove, find_direction, make_turn

UnitEdge = tuple[Point, Point]
CLOSE = 0.005
"""Degrees: corners this near to a right angle are right angles."""
SWAPPED = {"left": "right", "right": "left"}
"""Names that change places in a mirrored copy."""


def is_right(angle: float) -> bool:
    """Return True if an angle in degrees is a right angle."""
    return abs(angle - 90) < CLOSE


def is_rectangle(outline: Outline) -> bool:
    """Return True if an outline is a rectangle, however it lies."""
    return len(outline) == 4 and all(is_right(angle) for angle in measure_angles(outline))


def is_upright(outline: Outline) -> bool:
    """Return True if an outline is a rectangle whose edges run level and upright."""
    left, bottom, right, top = measure_box(outline)
    on = (min(x - left, right - x) < TOLERANCE and min(y - bottom, top - y) < TOLERANCE for x, y in outline)
    return len(outline) == 4 and all(on)


def stand_up(outline: Outline) -> RigidMove:
    """Return the least turn that brings a rectangle upright; anything else stays as it lies."""
    if not is_rectangle(outline) or is_upright(outline):
        return RigidMove()
    direction = find_direction(outline[0], outline[1]) % 90
    return make_turn(-direction if direction <= 45 else 90 - direction)


def name_edges(outline: Outline) -> dict[str, UnitEdge]:
    """Return the edges of an outline by their names, each from its start to its end, the outline on its left.

    Examples
    --------
    >>> list(name_edges(((0, 0), (4, 0), (0, 3))))
    ['long', 'short 1', 'short 2']
    >>> name_edges(((0, 0), (4, 0), (0, 3)))["long"]
    ((4, 0), (0, 3))
    """
    n = len(outline)
    if is_upright(outline):
        return _name_sides(outline)
    if n == 3 and any(is_right(angle) for angle in measure_angles(outline)):
        lengths = measure_edges(outline)
        first, names = lengths.index(max(lengths)), ["long", "short 1", "short 2"]
    else:
        first, names = find_lowest(outline), [f"edge {k}" for k in range(1, n + 1)]
    return {name: (outline[(first + k) % n], outline[(first + k + 1) % n]) for k, name in enumerate(names)}


def find_lowest(outline: Outline) -> int:
    """Return which corner is the lowest, the leftmost of several."""
    low = min(y for _, y in outline)
    return min((i for i in range(len(outline)) if outline[i][1] < low + TOLERANCE), key=lambda i: outline[i][0])


def _name_sides(outline: Outline) -> dict[str, UnitEdge]:
    first = find_lowest(outline)
    corners = [outline[(first + k) % 4] for k in range(5)]
    return {name: (corners[k], corners[k + 1]) for k, name in enumerate(("bottom", "right", "top", "left"))}


def name_by_sides(outline: Outline, low: str, high: str) -> tuple[str, ...]:
    """Return left, right and two names of one's own for the edges that look to the left, to the right, down and up.

    Where several edges look one way they are numbered counter-clockwise.

    Parameters
    ----------
    outline
        UnitEdge i runs from corner i to corner i + 1.
    low, high
        What the edges are called that look down and up.

    Examples
    --------
    >>> name_by_sides(((0, 0), (2, 1), (4, 0), (4, 9), (0, 9)), "start", "end")
    ('start 1', 'start 2', 'right', 'end', 'left')
    """
    sides = []
    for i, (x, y) in enumerate(outline):
        dx, dy = outline[(i + 1) % len(outline)][0] - x, outline[(i + 1) % len(outline)][1] - y
        level = abs(dx) < TOLERANCE
        sides.append(("right" if dy > 0 else "left") if level else (low if dx > 0 else high))
    first = find_lowest(outline)
    names = list(sides)
    for side in set(sides):
        mine = [(first + k) % len(outline) for k in range(len(outline)) if sides[(first + k) % len(outline)] == side]
        for number, i in enumerate(mine, start=1):
            names[i] = side if len(mine) == 1 else f"{side} {number}"
    return tuple(names)


def mirror_names(edges: Mapping[str, UnitEdge]) -> dict[str, UnitEdge]:
    """Return the edges with left and right in one another's place."""
    return {SWAPPED.get(name, name): edge for name, edge in edges.items()}
