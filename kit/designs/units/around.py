"""Copies of a unit about a point: on the edges of a unit in the middle, about a corner, or across a middle edge."""

from collections.abc import Callable, Sequence

from kit.designs.keys import refuse_keys
from kit.designs.units.built_unit import BuiltUnit, Copy, measure_edge, number_copies
from kit.designs.units.edge_names import find_lowest
from kit.designs.units.joins import lay_edge
from kit.designs.units.unit_keys import AroundKeys
from kit.designs.units.unit_words import list_names, read_edge
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_angles
from kit.geometry.rigid_move import RigidMove, make_turn, match_outlines, mirror_in_line

CORNERS = ("lower left", "lower right", "upper right", "upper left")
CLOSE = 0.005
"""Degrees: corners this near to an angle have it."""


def lay_around(name: str, keys: AroundKeys, make: Callable[[str], BuiltUnit]) -> list[Copy]:
    """Return the copies in their places, the unit in the middle first.

    Raises
    ------
    PatchworkError
        A centre that the turn does not bring onto itself, no corner or several that fit, edges that do not match, or an
        odd number of copies of which every second one is to be mirrored.
    """
    key = f"unit.{name}.around"
    if keys.images != "turned" and keys.times % 2:
        raise refuse_keys(
            f"`unit.{name}.times` is {keys.times}, and every second copy is to be mirrored",
            "an even number of copies",
            'change `times`, or set images = "turned"',
        )
    unit_name, edge = read_edge(keys.around, key)
    unit = make(unit_name)
    if keys.centre is not None:
        return _lay_round_unit(name, keys, unit, edge, make)
    if edge is not None:
        return _lay_across(name, keys, unit, edge)
    return _lay_about_corner(name, keys, unit)


def _lay_across(name: str, keys: AroundKeys, unit: BuiltUnit, edge: str) -> list[Copy]:
    """Return two halves whose edge lies in the middle."""
    if keys.times != 2:
        raise refuse_keys(
            f"`unit.{name}.around` names an edge for {keys.times} copies, and no centre",
            "a unit in the middle, or two copies that share that edge",
            "name the centre, leave the edge out, or set times = 2",
        )
    start, end = unit.find_edge(edge, f"unit.{name}.around")
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    second = make_turn(180, middle) if keys.images == "turned" else mirror_in_line(start, end)
    return number_copies([(unit, RigidMove()), (unit, second)])


def _lay_about_corner(name: str, keys: AroundKeys, unit: BuiltUnit) -> list[Copy]:
    """Return copies that share a corner."""
    corner = _find_corner(name, keys, unit)
    outline = unit.outline
    point, before = outline[corner], outline[corner - 1]
    step = 360 / keys.times
    image = mirror_in_line(point, before) if keys.images != "turned" else make_turn(step, point)
    return number_copies((unit, move) for move in _spread(image, keys, point))


def _spread(image: RigidMove, keys: AroundKeys, point: Point, first: RigidMove | None = None) -> list[RigidMove]:
    """Return the moves of all copies from that of the second: in turn, or every second one its mirror image."""
    begin = first or RigidMove()
    step = 360 / keys.times
    if keys.images == "turned":
        return [begin.then(make_turn(k * step, point)) for k in range(keys.times)]
    pairs = [make_turn(2 * k * step, point) for k in range(keys.times // 2)]
    return [move for turn in pairs for move in (begin.then(turn), begin.then(image).then(turn))]


def _find_corner(name: str, keys: AroundKeys, unit: BuiltUnit) -> int:
    """Return the corner of the outline that lies at the point."""
    key, step = f"unit.{name}.corner", 360 / keys.times
    angles, first = measure_angles(unit.outline), find_lowest(unit.outline)
    n = len(angles)
    order = [(first + k) % n for k in range(n)]
    fitting = [k + 1 for k, i in enumerate(order) if abs(angles[i] - step) < CLOSE]
    listed = ", ".join(f"corner {k + 1} has {angles[i]:.4g}°" for k, i in enumerate(order[:12]))
    if not fitting:
        raise refuse_keys(
            f"`unit.{name}.times` is {keys.times}, and `{unit.name}` has no corner of {step:.4g}° ({listed})",
            f"a corner of {step:.4g}°, so that {keys.times} copies close about it",
            "change `times`, or name a unit in the middle: centre =",
        )
    if keys.corner is None:
        if len(fitting) == 1:
            return order[fitting[0] - 1]
        raise refuse_keys(
            f"`unit.{name}.around`: {len(fitting)} corners of `{unit.name}` have {step:.4g}°",
            "the one that lies at the point",
            f"write for instance corner = {fitting[0]}, counted counter-clockwise from the lowest, or"
            ' corner = "lower right"',
        )
    chosen = _read_corner(keys.corner, order, unit.outline, key)
    if chosen + 1 not in fitting:
        raise refuse_keys(
            f"`{key}` is {keys.corner!r}, a corner of {angles[order[chosen]]:.4g}°",
            f"a corner of {step:.4g}°, so that {keys.times} copies close about it",
            f"write corner = {fitting[0]}",
        )
    return order[chosen]


def _read_corner(corner: int | str, order: Sequence[int], outline: Outline, key: str) -> int:
    """Return the number of a corner, from 0."""
    if isinstance(corner, int) and 1 <= corner <= len(order):
        return corner - 1
    if corner not in CORNERS:
        raise refuse_keys(
            f"`{key}` is {str(corner)!r:.40}",
            f"a number from 1 to {len(order)}, or {list_names(CORNERS)}",
            'write for instance corner = "lower right"',
        )
    low, left = str(corner).split()
    up, right = (1 if low == "upper" else -1), (1 if left == "right" else -1)
    best = max(order, key=lambda i: right * outline[i][0] + up * outline[i][1])
    return order.index(best)


def _lay_round_unit(
    name: str, keys: AroundKeys, unit: BuiltUnit, edge: str | None, make: Callable[[str], BuiltUnit]
) -> list[Copy]:
    """Return the unit in the middle, and copies of another on its edges."""
    key = f"unit.{name}.centre"
    middle_name, side = read_edge(keys.centre or "", key)
    centre = make(middle_name)
    point = _find_middle(centre.outline)
    step = 360 / keys.times * (1 if keys.images == "turned" else 2)
    if not match_outlines(make_turn(step, point).lay(centre.outline), centre.outline):
        raise refuse_keys(
            f"`{key}`: `{centre.name}` turned by {step:.4g}° does not lie on itself",
            f"a unit that is the same {keys.times} times round",
            "change `times` or the centre, or join the copies one by one",
        )
    side = side or _guess_side(name, keys, centre)
    start, end = centre.find_edge(side, key)
    own = edge or _guess_edge(name, unit, centre, side)
    names = f"{unit.name}.{own}", f"{centre.name}.{side}"
    found = unit.find_edge(own, f"unit.{name}.around")
    first = lay_edge(found, (start, end), keys.place, 0.0, names, f"unit.{name}.around", mirrored=False)
    image = RigidMove()
    if keys.images != "turned":
        image = _find_image(name, keys, centre, (start, end), point)
    return number_copies([(centre, RigidMove()), *((unit, move) for move in _spread(image, keys, point, first))])


def _find_image(name: str, keys: AroundKeys, centre: BuiltUnit, edge: tuple[Point, Point], point: Point) -> RigidMove:
    """Return the mirroring that gives the second copy: across the middle of the edge, or its end."""
    start, end = edge
    half = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    through = half if keys.times > _count_like(centre, edge) else end  # two copies to an edge, or one
    image = mirror_in_line(point, through)
    if not match_outlines(image.lay(centre.outline), centre.outline):
        raise refuse_keys(
            f"`unit.{name}.centre`: `{centre.name}` does not lie on its own mirror image there",
            "a centre that is its own mirror image",
            'set images = "turned", or join the copies one by one',
        )
    return image


def _count_like(centre: BuiltUnit, edge: tuple[Point, Point]) -> int:
    """Return how many edges of the centre are as long as one of them."""
    return sum(abs(measure_edge(other) - measure_edge(edge)) < TOLERANCE for other in centre.edges.values())


def _guess_side(name: str, keys: AroundKeys, centre: BuiltUnit) -> str:
    """Return the edge of the centre that takes the first copy, where it does not matter which."""
    if len(centre.edges) in (keys.times, 1) or len(centre.edges) * 2 == keys.times:
        return next(iter(centre.edges))
    raise refuse_keys(
        f"`unit.{name}.centre` is `{centre.name}`, which has {len(centre.edges)} edges for {keys.times} copies",
        f"the edge that takes the first copy: {list_names(list(centre.edges))}",
        f'write for instance centre = "{centre.name}.{next(iter(centre.edges))}"',
    )


def _guess_edge(name: str, unit: BuiltUnit, centre: BuiltUnit, side: str) -> str:
    """Return the edge of a copy that lies at the centre, where one alone is as long as the centre's."""
    length = centre.measure_edge(side, "")
    found = [own for own in unit.edges if abs(unit.measure_edge(own, "") - length) < TOLERANCE]
    if len(found) == 1:
        return found[0]
    raise refuse_keys(
        f"`unit.{name}.around`: {len(found) or 'no'} edges of `{unit.name}` are as long as `{centre.name}.{side}`",
        f"the edge that lies at the centre: {list_names(list(unit.edges))}",
        f'write for instance around = "{unit.name}.{next(iter(unit.edges))}"',
    )


def _find_middle(outline: Outline) -> Point:
    """Return the mean of the corners of an outline, which is the middle of one that is the same several times round."""
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)
