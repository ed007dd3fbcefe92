"""A unit that is made, in a place of its own, and a copy of it in its place within a larger one."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from kit.designs.blocks import Block, BlockPatch
from kit.designs.keys import refuse_keys
from kit.designs.units.edge_names import UnitEdge, is_upright, mirror_names, name_edges, stand_up
from kit.designs.units.unit_words import list_names, refuse_unknown
from kit.geometry.mesh import build_mesh, count_parts, find_gaps, find_overlaps
from kit.geometry.outlines import (
    TOLERANCE,
    Outline,
    measure_angles,
    measure_area,
    measure_box,
    measure_edges,
    offset_outline,
    tidy_outline,
)
from kit.geometry.rigid_move import RigidMove
from kit.lengths import write_length, write_refused_area
from kit.model.patchwork import Trim, Within

SLIVER = 5.0
"""Degrees: a notch this narrow could be filled by nothing that can be sewn."""
GRID = 2.0**40
"""Steps to the inch that corners are brought to when a unit is done: far under what can be told apart."""


@dataclass(frozen=True, eq=False)
class BuiltUnit:
    """A unit in a place of its own: the lower left corner of its box at (0, 0).

    Attributes
    ----------
    name
        As the study has it.
    shapes
        Its patches; their groups tell the copies of units within it that hold them.
    outline
        Its finished outline, no corner within an edge.
    edges
        Its edges by name, each from its start to its end, the unit on the left.
    trims
        What is trimmed in it, the innermost first; the unit itself has no group.
    oversize
        How much further out its outer edges are sewn, inches; of a plain patch alone.
    is_patch
        Whether it is a single patch, which is not a part of the top by itself.
    """

    name: str
    shapes: tuple[BlockPatch, ...]
    outline: Outline
    edges: Mapping[str, UnitEdge]
    trims: tuple[Trim, ...] = ()
    oversize: float = 0.0
    is_patch: bool = False

    @cached_property
    def size(self) -> tuple[float, float]:
        """Finished width and height of its box, inches."""
        _, _, width, height = measure_box(self.outline)
        return width, height

    def find_edge(self, name: str, place: str) -> UnitEdge:
        """Return an edge by its name; `place` names the key that asks for it.

        Raises
        ------
        PatchworkError
            A name that the unit has no edge of, with the nearest that it has.
        """
        if name not in self.edges:
            raise refuse_unknown(f"edge of `{self.name}`", name, self.edges, place)
        return self.edges[name]

    def measure_edge(self, name: str, place: str) -> float:
        """Return the finished length of an edge in inches."""
        return measure_edge(self.find_edge(name, place))

    def make_block(self, why: str) -> Block:
        """Return the unit as a block.

        Raises
        ------
        PatchworkError
            A unit that is not a rectangle; `why` says what needs one.
        """
        if not is_upright(self.outline):
            raise refuse_keys(
                f"`{self.name}` is not a rectangle (it has {len(self.outline)} edges), and {why}",
                "a rectangle",
                "join plain patches to it until it is one, or use `join` and `around`",
            )
        return Block(*self.size, self.shapes, trims=self.trims)


@dataclass(frozen=True, eq=False)
class Copy:
    """A copy of a unit in its place.

    Attributes
    ----------
    unit
        What it is a copy of.
    move
        Where it lies.
    number
        From 1, among the copies of that unit in the same larger one.
    """

    unit: BuiltUnit
    move: RigidMove
    number: int = 1

    @cached_property
    def outline(self) -> Outline:
        """Its finished outline where it lies."""
        return self.move.lay(self.unit.outline)

    @cached_property
    def edges(self) -> dict[str, UnitEdge]:
        """Its edges where they lie; in a mirrored copy left and right have changed places."""
        laid = {name: self.move.lay_edge(edge) for name, edge in self.unit.edges.items()}
        return mirror_names(laid) if self.move.mirrored else laid

    def __str__(self) -> str:
        return f"`{self.unit.name} {self.number}`"


def measure_edge(edge: UnitEdge) -> float:
    """Return the length of an edge in inches."""
    return abs(complex(*edge[1]) - complex(*edge[0]))


def number_copies(placed: Iterable[tuple[BuiltUnit, RigidMove]]) -> list[Copy]:
    """Return copies that are numbered among those of their unit, in the order given."""
    counts: dict[str, int] = {}
    copies = []
    for unit, move in placed:
        counts[unit.name] = counts.get(unit.name, 0) + 1
        copies.append(Copy(unit, move, counts[unit.name]))
    return copies


def close_unit(name: str, copies: Sequence[Copy], allowance: float) -> BuiltUnit:
    """Check that copies of other units make one shape, and return the unit that they make.

    Parameters
    ----------
    name
        Of the unit.
    copies
        In the order of making.
    allowance
        Seam allowance, inches.

    Raises
    ------
    PatchworkError
        Copies that overlap, gape or do not hang together, and steps and notches that nothing can be sewn into; each
        names the copies and the figures.

    Notes
    -----
    The outlines of the copies are noded against one another, not those of their patches: O(n log n) in their corners.
    """
    outlines = [copy.outline for copy in copies]
    mesh = build_mesh(outlines)
    if not mesh.tiles():
        _explain_open(name, copies, outlines)
    outline = tidy_outline(mesh.trace_outside()[0], name=f"unit `{name}`")
    _check_notches(name, outline, copies, allowance)
    inner = {
        (int(face), int(edge)) for face, edge, twin in zip(mesh.face, mesh.edge, mesh.twin, strict=True) if twin >= 0
    }
    shapes, trims = _gather(copies)
    larger = _enlarge(copies, inner)
    if larger:
        shapes = [replace(shape, sewn=larger.get(shape.key)) if shape.key in larger else shape for shape in shapes]
        trims.append(Trim((), outline))
    return settle_unit(name, shapes, outline, trims)


def settle_unit(
    name: str, shapes: Sequence[BlockPatch], outline: Outline, trims: Sequence[Trim], names: Sequence[str] | None = None
) -> BuiltUnit:
    """Return a unit of shapes that lie together anywhere, a tilted rectangle upright, its lower left corner at (0, 0).

    Parameters
    ----------
    names
        Of its edges, where they have names of their own; edge i of the outline runs from corner i to corner i + 1.
    """
    upright = stand_up(outline)
    left, bottom, _, _ = measure_box(upright.lay(outline))
    move = upright.then(RigidMove(shift=complex(-left, -bottom)))
    laid = _snap(move.lay(outline))
    if names is None:
        edges = name_edges(laid)
    else:
        edges = {edge: (laid[i], laid[(i + 1) % len(laid)]) for i, edge in enumerate(names)}
    snapped = [
        replace(shape, outline=_snap(shape.outline), sewn=_snap(shape.sewn) if shape.sewn else None)
        for shape in lay_shapes(shapes, move)
    ]
    trimmed = [Trim(trim.group, _snap(trim.outline)) for trim in lay_trims(trims, move)]
    return BuiltUnit(name, tuple(snapped), laid, edges, tuple(trimmed))


def _snap(outline: Outline) -> Outline:
    """Return the outline with its corners on a grid so fine that nothing moves, and what coincides is equal again."""
    return tuple((round(x * GRID) / GRID, round(y * GRID) / GRID) for x, y in outline)


def lay_shapes(shapes: Iterable[BlockPatch], move: RigidMove) -> list[BlockPatch]:
    """Return shapes where a move takes them."""
    return [
        replace(
            shape,
            outline=move.lay(shape.outline),
            grain=move.turn_grain(shape.grain),
            sewn=move.lay(shape.sewn) if shape.sewn else None,
        )
        for shape in shapes
    ]


def lay_trims(trims: Iterable[Trim], move: RigidMove) -> list[Trim]:
    """Return trims where a move takes them."""
    return [Trim(trim.group, move.lay(trim.outline)) for trim in trims]


def label_copies(copies: Sequence[Copy]) -> tuple[str, ...]:
    """Return what begins the ids of the patches of each copy: the unit's name, and its number where there are more.

    Numbers have leading zeros, so that ids sort as they are counted.
    """
    counts = Counter(copy.unit.name for copy in copies)
    digits = {name: len(str(count)) for name, count in counts.items()}
    labels = tuple(
        copy.unit.name + (f"{copy.number:0{digits[copy.unit.name]}d}" if counts[copy.unit.name] > 1 else "")
        for copy in copies
    )
    keys = [f"{label}-{shape.key}" for label, copy in zip(labels, copies, strict=True) for shape in copy.unit.shapes]
    if len(set(keys)) == len(keys):
        return labels
    return tuple(f"{copy.unit.name}.{copy.number}" for copy in copies)  # a2 beside the second copy of a


def _gather(copies: Sequence[Copy]) -> tuple[list[BlockPatch], list[Trim]]:
    """Return the patches of all copies where they lie, with ids and groups of their own, and the trims."""
    labels = label_copies(copies)
    counts = Counter(copy.unit.name for copy in copies)
    shapes: list[BlockPatch] = []
    trims: list[Trim] = []
    for label, copy in zip(labels, copies, strict=True):
        number = "" if counts[copy.unit.name] == 1 else str(copy.number)
        group = () if copy.unit.is_patch else (Within(copy.unit.name, number),)
        for shape in lay_shapes(copy.unit.shapes, copy.move):
            key = f"{label}-{shape.key}" if shape.key else label
            shapes.append(replace(shape, key=key, group=group + shape.group))
        trims += [Trim(group + trim.group, trim.outline) for trim in lay_trims(copy.unit.trims, copy.move)]
    return shapes, trims


def _enlarge(copies: Sequence[Copy], inner: set[tuple[int, int]]) -> dict[str, Outline]:
    """Return by their ids the patches that are sewn larger: their edges that are sewn to nothing lie further out."""
    labels = label_copies(copies)
    larger = {}
    for face, copy in enumerate(copies):
        if not copy.unit.oversize:
            continue
        n = len(copy.outline)
        out = [0.0 if (face, edge) in inner else copy.unit.oversize for edge in range(n)]
        if any(out):
            larger[labels[face]] = offset_outline(copy.outline, out)
    return larger


def _explain_open(name: str, copies: Sequence[Copy], outlines: Sequence[Outline]) -> None:
    """Raise the error that says what of a unit overlaps, gapes or lies apart."""
    overlaps = find_overlaps(outlines)
    if overlaps:
        i, j, area = max(overlaps, key=lambda found: found[2])
        more = f", and {len(overlaps) - 1} more pairs overlap" if len(overlaps) > 1 else ""
        raise refuse_keys(
            f"In `{name}`, {copies[i]} and {copies[j]} overlap by {write_refused_area(area, form='.3g')}{more}",
            "units that meet along their edges and nowhere else",
            "join one of them elsewhere, or make it smaller",
        )
    gaps = find_gaps(outlines)
    if gaps:
        hole, around = gaps[0]
        wide = [write_length(length) for length in measure_edges(tidy_outline(hole))[:6]]
        raise refuse_keys(
            f"In `{name}` there is a hole of {write_refused_area(abs(measure_area(hole)), form='.3g')}, its sides"
            f" {', '.join(wide)}, between {list_names([str(copies[i]).strip('`') for i in around])}",
            "units that leave no hole",
            "join a unit into it, or move those round it together",
        )
    parts = count_parts(outlines)
    raise refuse_keys(
        f"`{name}` falls into {parts} parts" if parts > 1 else f"`{name}` touches itself at a corner only",
        "units that hang together by their edges",
        "join units until it is one piece without a pinched corner",
    )


def _check_notches(name: str, outline: Outline, copies: Sequence[Copy], allowance: float) -> None:
    """Refuse a step too short to be sewn and a notch too narrow to be filled."""
    lengths = measure_edges(outline)
    angles = measure_angles(outline)
    least = 2 * allowance
    for i, angle in enumerate(angles):
        if angle > 360 - SLIVER:
            raise refuse_keys(
                f"In `{name}`, {_find_near(outline[i], copies)} leave a sliver of {360 - angle:.3g}° between them",
                f"units that meet, or a notch of at least {SLIVER:g}°",
                "turn or shape one of them so that its edge meets the other's",
            )
    for i, length in enumerate(lengths):
        if length < least - TOLERANCE:
            raise refuse_keys(
                f"`{name}` has a side of {write_length(length)} by {_find_near(outline[i], copies)}",
                f"sides of at least two allowances ({write_length(least)}), or nothing can be sewn there",
                "make both edges equally long, or place them so that no step is left",
            )


def _find_near(point: tuple[float, float], copies: Sequence[Copy]) -> str:
    """Return the copies that have a point on their edge, in words."""
    near = [copy for copy in copies if _lies_on(point, copy.outline)]
    return " and ".join(str(copy) for copy in near[:3])


def _lies_on(point: tuple[float, float], outline: Outline) -> bool:
    p = complex(*point)
    for i, corner in enumerate(outline):
        a, b = complex(*corner), complex(*outline[(i + 1) % len(outline)])
        t = min(max(((p - a) * (b - a).conjugate()).real / abs(b - a) ** 2, 0.0), 1.0)
        if abs(a + t * (b - a) - p) < 2 * TOLERANCE:
            return True
    return False
