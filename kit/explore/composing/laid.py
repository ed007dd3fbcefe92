"""Where the units on the table lie, which of their edges are free, and what is wrong, each at its place."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import hypot

import numpy as np

from kit.designs.units.built_unit import SLIVER, BuiltUnit, Copy
from kit.designs.units.edge_names import UnitEdge
from kit.designs.units.joins import join_to
from kit.designs.units.unit_words import JoinWord
from kit.errors import KitError
from kit.explore.composing.lying import Lying, LyingUnits, label_lying
from kit.geometry.closing import find_inside
from kit.geometry.mesh import Mesh, build_mesh, count_parts, find_gaps, find_overlaps, find_shared_place
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_angles, measure_area, measure_edges, tidy_outline
from kit.geometry.rigid_move import RigidMove, make_turn
from kit.lengths import write_length, write_refused_area

MOST_TOLD = 40
"""Overlaps and holes that are marked; more of them say no more."""


@dataclass(frozen=True, slots=True)
class FreeEdge:
    """An edge of a copy on the table, or a part of one, to which nothing is joined.

    Attributes
    ----------
    copy, name
        Which copy on the table, from 0, and the name of its edge.
    label
        What it is called on the screen: "arm 2.left".
    start, end
        Where it lies, the copy on its left; inches.
    along, length
        Inches from the start of the whole edge to this part, and the length of the whole edge.
    """

    copy: int
    name: str
    label: str
    start: Point
    end: Point
    along: float
    length: float

    @property
    def size(self) -> float:
        """Its own length in inches."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def is_whole(self) -> bool:
        """Whether the whole edge is free."""
        return abs(self.size - self.length) <= TOLERANCE

    @property
    def middle(self) -> Point:
        """The place in its middle."""
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2


@dataclass(frozen=True, slots=True)
class Trouble:
    """What keeps the table from being a unit: a sentence, and where it is, None where it is nowhere in particular."""

    text: str
    place: Point | None = None


@dataclass(frozen=True, eq=False)
class LaidTable:
    """What lies on the table.

    Attributes
    ----------
    copies, labels
        The copies in their places and what they are called.
    free
        The edges that are free.
    troubles
        What is wrong with it.
    outline
        Round all of it, where it is one piece.
    """

    copies: tuple[Copy, ...] = ()
    labels: tuple[str, ...] = ()
    free: tuple[FreeEdge, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    outline: Outline | None = None

    def find_edge(self, label: str) -> FreeEdge:
        """Return a free edge by its label.

        Raises
        ------
        KitError
            One that is not there or not free.
        """
        for edge in self.free:
            if edge.label == label:
                return edge
        raise KitError(f"`{label:.60}` is not a free edge", needed="an edge to which nothing is joined",
                       do="choose one of the list, or click one in the picture")  # fmt: skip


@dataclass
class Layer:
    """Lays units on the table, and remembers where those lie that did not change.

    Attributes
    ----------
    make
        Returns a unit by its name.
    find_length
        Returns the inches that a text says.
    """

    make: Callable[[str], BuiltUnit]
    find_length: Callable[[str], float]
    _before: list[tuple[Lying, Copy]] = field(default_factory=list)
    _wrong: set[int] = field(default_factory=set)

    def lay(self, table: LyingUnits, allowance: float) -> LaidTable:
        """Return what lies on the table; where something is wrong it is told, and the rest is laid all the same."""
        copies, troubles = self._place(table)
        if not copies:
            return LaidTable(troubles=tuple(troubles))
        return look_over(copies, label_lying(table), troubles, allowance)

    def _place(self, table: LyingUnits) -> tuple[list[Copy], list[Trouble]]:
        copies: list[Copy] = []
        troubles: list[Trouble] = []
        counts: dict[str, int] = {}
        mislaid: set[int] = set()
        same = True
        for i, one in enumerate(table):
            unit = self.make(one.name)
            counts[one.name] = counts.get(one.name, 0) + 1
            old = self._before[i] if same and i < len(self._before) and not one.shift else None
            old = None if old is not None and i in self._wrong else old  # what is wrong is told each time
            same = old is not None and old[0] == one and old[1].unit is unit
            wrong: list[Trouble] = []
            copy = old[1] if old is not None and same else None
            if copy is None:
                copy = Copy(unit, self._move(one, unit, copies, wrong), counts[one.name])
            copies.append(copy)
            troubles += wrong
            if wrong:
                mislaid.add(i)
        self._before, self._wrong = list(zip(table, copies, strict=True)), mislaid
        return copies, troubles

    def _move(self, one: Lying, unit: BuiltUnit, copies: Sequence[Copy], wrong: list[Trouble]) -> RigidMove:
        """Return where a unit goes; what cannot be joined as it is told lies in the middle of its edge, and is told."""
        if one.host < 0:
            return make_turn(one.angle, mirrored=one.mirrored)
        host = copies[one.host]
        word = JoinWord(one.name, one.mirrored, one.edge, host.unit.name, 0, one.side, one.place, one.shift)
        tries: tuple[JoinWord, ...] = (word, replace(word, place="middle", shift=""))
        if one.side in host.edges:
            own = next(iter(unit.edges))
            tries = (*tries, replace(word, edge=own, place="middle", shift=""))
        else:
            tries = (word, replace(word, side=next(iter(host.edges)), place="middle", shift=""))
        for trial in tries:
            try:
                move = join_to(trial, unit, host, "join", self.find_length)
            except KitError as error:
                if not wrong:
                    place = _find_middle(host.edges[one.side]) if one.side in host.edges else None
                    wrong.append(Trouble(_tell(error), place))
            else:
                return move
        return RigidMove()


def _tell(error: KitError) -> str:
    """Return what an error says without the key of the study, which the picture shows."""
    return str(error).removeprefix("`join`: ")


def _find_middle(edge: UnitEdge) -> Point:
    return (edge[0][0] + edge[1][0]) / 2, (edge[0][1] + edge[1][1]) / 2


def look_over(
    copies: Sequence[Copy], labels: Sequence[str], troubles: Sequence[Trouble], allowance: float
) -> LaidTable:
    """Return copies that lie on the table with their free edges, and what is wrong besides what is told already."""
    outlines = [copy.outline for copy in copies]
    mesh = build_mesh(outlines)
    free = _list_free(copies, labels, mesh)
    found = list(troubles)
    outline = None
    if mesh.tiles():
        outline = tidy_outline(mesh.trace_outside()[0], name="what lies on the table")
        found += _list_notches(outline, allowance)
    else:
        found += _list_open(labels, outlines)
    return LaidTable(tuple(copies), tuple(labels), free, tuple(found), outline)


def _list_open(labels: Sequence[str], outlines: Sequence[Outline]) -> list[Trouble]:
    """Return what overlaps, gapes or lies apart."""
    troubles = [
        Trouble(f"`{labels[i]}` and `{labels[j]}` overlap by {write_refused_area(area, form='.3g')}: join one of them"
                " elsewhere, turn it, or make it smaller.", find_shared_place(outlines[i], outlines[j]))
        for i, j, area in find_overlaps(outlines)[:MOST_TOLD]
    ]  # fmt: skip
    if troubles:
        return troubles
    for hole, around in find_gaps(outlines)[:MOST_TOLD]:
        corners = tidy_outline(tuple(reversed(hole)))
        sides = ", ".join(write_length(length) for length in measure_edges(corners)[:6])
        names = ", ".join(f"`{labels[i]}`" for i in around[:6])
        troubles.append(Trouble(f"There is a hole of {write_refused_area(measure_area(corners), form='.3g')}, its sides"
                                f" {sides}, between {names}: lay a unit into it.", find_inside(corners)))  # fmt: skip
    if troubles:
        return troubles
    parts = count_parts(outlines)
    if parts > 1:
        return [Trouble(f"What lies on the table falls into {parts} parts: join units until it is one piece.")]
    return [Trouble("What lies on the table touches itself at a corner only: join a unit between.")]


def _list_notches(outline: Outline, allowance: float) -> list[Trouble]:
    """Return the slivers and the steps too short to be sewn in an outline."""
    troubles = [
        Trouble(f"A sliver of {360 - angle:.3g}° is left open: lay the units so that they meet.", outline[i])
        for i, angle in enumerate(measure_angles(outline)) if angle > 360 - SLIVER
    ]  # fmt: skip
    least = 2 * allowance
    for i, length in enumerate(measure_edges(outline)):
        if length < least - TOLERANCE:
            middle = _find_middle((outline[i], outline[(i + 1) % len(outline)]))
            troubles.append(Trouble(f"A step of {write_length(length)} is left: nothing shorter than two allowances"
                                    f" ({write_length(least)}) can be sewn there.", middle))  # fmt: skip
    return troubles


def _list_free(copies: Sequence[Copy], labels: Sequence[str], mesh: Mesh) -> tuple[FreeEdge, ...]:
    """Return the edges, and parts of edges, that have nothing on their other side."""
    outer = np.flatnonzero(mesh.twin < 0)
    parts: dict[tuple[int, int], list[tuple[float, float]]] = {}
    ends: dict[tuple[int, int], tuple[Point, Point]] = {}
    for side in outer.tolist():
        key = int(mesh.face[side]), int(mesh.edge[side])
        corners = copies[key[0]].outline
        a, b = corners[key[1]], corners[(key[1] + 1) % len(corners)]
        ends[key] = a, b
        length = hypot(b[0] - a[0], b[1] - a[1])
        at = [
            ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length
            for x, y in (mesh.nodes[mesh.start[side]].tolist(), mesh.nodes[mesh.end[side]].tolist())
        ]
        parts.setdefault(key, []).append((max(at[0], 0.0), min(at[1], length)))
    found = []
    for key in sorted(parts):
        copy, _ = key
        name = _name_edge(copies[copy], ends[key])
        joined = _join_parts(sorted(parts[key]))
        (ax, ay), (bx, by) = ends[key]
        length = hypot(bx - ax, by - ay)
        ux, uy = (bx - ax) / length, (by - ay) / length
        for n, (low, high) in enumerate(joined):
            part = "" if len(joined) == 1 else f" part {n + 1}"
            found.append(
                FreeEdge(
                    copy, name, f"{labels[copy]}.{name}{part}", (ax + low * ux, ay + low * uy),
                    (ax + high * ux, ay + high * uy), low, length,
                )
            )  # fmt: skip
    return tuple(found)


def _join_parts(parts: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return parts of an edge with those that follow one another made one."""
    joined: list[tuple[float, float]] = []
    for low, high in parts:
        if joined and low - joined[-1][1] <= TOLERANCE:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def _name_edge(copy: Copy, ends: tuple[Point, Point]) -> str:
    """Return the name of the edge of a copy that begins where this one does."""
    return min(
        copy.edges,
        key=lambda name: sum(hypot(p[0] - q[0], p[1] - q[1]) for p, q in zip(copy.edges[name], ends, strict=True)),
    )
