"""The sheet of the composing table: units are laid edge to edge, turned, mirrored, slid, copied, and grouped.

Whatever lies on the table, good or not, is followed as far as it goes: what is free is named, and what is wrong is told
at its place.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from kit.designs.units.built_unit import BuiltUnit, measure_edge
from kit.designs.units.edge_names import SWAPPED, stand_up
from kit.designs.units.unit_words import PlaceWord
from kit.errors import KitError
from kit.explore.composing.laid import FreeEdge, LaidTable
from kit.explore.composing.lying import (
    Lying,
    LyingUnits,
    label_lying,
    list_hanging,
    mirror_lying,
    take_lying,
    write_lying,
)
from kit.explore.composing.sheet_history import KeyValues, find_way
from kit.explore.composing.unit_sheet import UnitSheet
from kit.explore.composing.unit_uses import list_within
from kit.geometry.outlines import TOLERANCE, Point, measure_box
from kit.geometry.rigid_move import RigidMove, lay_against
from kit.lengths import write_exact

INNER = {"around": "ring", "rows": "rows", "block": "field"}
"""What the part of an open unit is called that is made in another way, once units are joined to it."""


class ComposeSheet(UnitSheet):
    """A study of units, and the table on which they are put together."""

    def _need_table(self) -> LyingUnits:
        """Return what lies on the table; a unit that is made in another way lies there as a part of its own."""
        table = self.shown.table
        if table is not None:
            return table
        if not self.shown.laid.copies:
            raise KitError(f"`{self.opened}` cannot be made as it stands", needed="a unit that units can be joined to",
                           do="mend it under Units, or begin a new unit")  # fmt: skip
        return (Lying(self._name_inner()),)

    def _name_inner(self) -> str:
        return self.name_new(INNER.get(find_way(self.units.get(self.opened, {})), "part"))

    def _put_table(self, table: LyingUnits) -> None:
        opened, inner = self.opened, self._name_inner()

        def put(keys: KeyValues) -> None:
            units = keys.setdefault("unit", {})
            if self.shown.table is None and any(one.name == inner for one in table):
                units[inner] = units[opened]
            if table:
                units[opened] = {"join": write_lying(table)}
            else:
                units.pop(opened, None)

        wrapped = self.shown.table is None
        self.act(put)
        if wrapped and inner in self.units:
            self.note = f"What lay open before is now the unit `{inner}`, and `{opened}` goes on with it."

    def _check_name(self, name: str) -> None:
        if name not in self.units:
            raise KitError(f"There is no unit `{name:.60}`", needed="a unit of the tray", do="make one first")
        if self.opened in list_within(name, self.units):
            raise KitError(f"`{name}` is made with `{self.opened}`, which lies open on the table",
                           needed="a unit that is made without it",
                           do="begin a new unit and lay both there")  # fmt: skip
        self._workshop.make(name)

    def lay(self, name: str, *, mirrored: bool = False, angle: float = 0.0) -> None:
        """Lay the first unit on an empty table."""
        if self._need_table():
            raise KitError("Units lie on the table already", needed="an edge to join to", do="choose a free edge")
        self._check_name(name)
        self._put_table((Lying(name, mirrored, angle % 360),))

    def put(
        self, name: str, at: str, own: str | None = None, place: PlaceWord | None = None, *, mirrored: bool = False
    ) -> None:
        """Lay a unit with an edge along a free edge.

        Parameters
        ----------
        name
            The unit.
        at
            The free edge by its label: "arm 2.left".
        own
            Its own edge, as the unit has it unmirrored; None: the one that fits best.
        place
            Where along the free edge; None: from end to end.
        mirrored
            Whether it is mirrored.
        """
        table = self._need_table()
        self._check_name(name)
        edge = self.shown.laid.find_edge(at)
        unit = self._workshop.make(name)
        own = own or choose_edge(unit, edge, self.shown.laid.free, mirrored=mirrored)
        length = unit.measure_edge(own, f"unit.{self.opened}.join")
        if mirrored:
            own = SWAPPED.get(own, own)
        word, shift = self._place(edge, length, place)
        self._put_table((*table, Lying(name, mirrored, 0.0, own, edge.copy, edge.name, word, shift)))

    def _place(self, edge: FreeEdge, length: float, place: PlaceWord | None) -> tuple[PlaceWord | None, str]:
        """Return how a place along a free part of an edge is written for the whole edge."""
        if edge.is_whole:
            return place, ""
        after = edge.length - edge.along - edge.size
        if place == "middle":
            return "start", self._write(edge.along + (edge.size - length) / 2)
        if place == "end" or (place is None and after <= TOLERANCE):
            return "end", self._write(after)
        return "start", self._write(edge.along)

    def _write(self, inches: float) -> str:
        return write_exact(inches, self.shown.study.measures.system) if inches > TOLERANCE else ""

    def mirror(self, at: int) -> None:
        """Mirror a unit on the table; its edge stays where it is."""
        self._put_table(mirror_lying(self._need_table(), self._check_at(at)))

    def turn(self, at: int, angle: float = 90.0) -> None:
        """Turn a unit on the table: the first by an angle in degrees, any other to its next edge."""
        table = self._need_table()
        one = table[self._check_at(at)]
        if one.host < 0:
            self._put_table((replace(one, angle=(one.angle + angle) % 360), *table[1:]))
            return
        edges = list(self.shown.laid.copies[at].edges)
        following = edges[(edges.index(one.edge) + 1) % len(edges)] if one.edge in edges else edges[0]
        self._change(at, edge=following)

    def slide(self, at: int, place: PlaceWord | None) -> None:
        """Slide a unit on the table along the edge that it is joined to; None lays it from end to end."""
        if self._need_table()[self._check_at(at)].host < 0:
            raise KitError("The first unit lies along no edge", needed="a unit that is joined to another",
                           do="choose another one")  # fmt: skip
        self._change(at, place=place, shift="")

    def _change(self, at: int, **values: Any) -> None:
        table = self._need_table()
        self._put_table(tuple(replace(one, **values) if i == at else one for i, one in enumerate(table)))

    def take_away(self, at: int) -> tuple[str, ...]:
        """Take a unit off the table, and with it all that are joined to it; return what was taken."""
        table = self._need_table()
        labels = label_lying(table)
        gone = list_hanging(table, self._check_at(at))
        self._put_table(take_lying(table, at))
        return tuple(labels[i] for i in gone)

    def _check_at(self, at: int) -> int:
        table = self._need_table()
        if not 0 <= at < len(table):
            raise KitError("Nothing is chosen on the table", needed="a unit that lies there", do="click one")
        return at

    # ---- copies of what lies ------------------------------------------------------------------------------------

    def make_group(self, name: str = "") -> str:
        """Make what lies on the table a unit of its own, of which one copy lies there then; return its name."""
        table = self._need_table()
        name = name or self.name_new("part")
        self._check_made(table, name)

        def put(keys: KeyValues) -> None:
            keys["unit"] = {**keys["unit"], name: self._write_part(table)}
            keys["unit"][self.opened] = {"join": [name]}

        self.act(put)
        return name

    def _write_part(self, table: LyingUnits) -> KeyValues:
        """Return the keys of what lies on the table, as a unit of another name."""
        return dict(self.units[self.opened]) if self.shown.table is None else {"join": write_lying(table)}

    def _check_made(self, table: LyingUnits, name: str) -> BuiltUnit:
        """Check that the parts on the table make a unit, that its new name is free, and return it."""
        if not table:
            raise KitError("Nothing lies on the table", needed="at least one unit", do="lay one")
        if name in self.units or name == self.opened:
            raise KitError(f"There is a unit `{name}` already", needed="a new name", do="choose another name")
        self._check_new(name)
        return self._workshop.make(self.opened)

    def copy_round(
        self, times: int, *, images: str = "turned", corner: int | None = None, at: str | None = None,
        centre: str | None = None, side: str | None = None, place: PlaceWord | None = None, name: str = "",
    ) -> str:  # fmt: skip
        """Copy what lies round a point; return the name of the unit that comes out, which lies on the table then.

        Parameters
        ----------
        times
            How many copies.
        images
            "turned", "mirrored" or "alternate".
        corner
            The corner of what lies that comes to the point, counted as in the study file.
        at
            The free edge that lies along the unit in the middle, where there is one.
        centre
            The unit in the middle.
        side
            Its edge that takes the first copy, where it has more edges than there are copies.
        place
            Where a copy lies along that edge; None: from end to end.
        name
            Of the unit that comes out; empty: the unit that lies open becomes it.
        """
        more: KeyValues = {"times": times}
        if images != "turned":
            more["images"] = images
        if corner is not None and centre is None:
            more["corner"] = corner
        if centre is not None:
            self._check_name(centre)
            more["centre"] = f"{centre}.{side}" if side else centre
            if place is not None:
                more["place"] = place
        return self._copy(name, more, at if centre is not None else None)

    def copy_across(self, at: str, *, images: str = "mirrored", name: str = "") -> str:
        """Copy what lies across a free edge, mirrored or turned about its middle; return the unit that comes out."""
        more: KeyValues = {"times": 2} if images == "turned" else {"times": 2, "images": "mirrored"}
        return self._copy(name, more, at)

    def _copy(self, name: str, more: KeyValues, at: str | None) -> str:
        table = self._need_table()
        made = self._check_made(table, name or self.name_new("part"))
        name = name or self.opened
        alone = self.shown.table == (Lying(table[0].name),)
        inner = table[0].name if alone or self.shown.table is None else self.name_new("part")
        if inner == name:
            inner = self.name_new(f"{name}-part")
        edge = ""
        if at is not None:
            free = self.shown.laid.find_edge(at)
            edge = "." + (free.name if alone else find_outer_edge(made, self.shown.laid, free))

        def put(keys: KeyValues) -> None:
            units = keys["unit"]
            if not alone:
                units[inner] = self._write_part(table)
            units[name] = {"around": f"{inner}{edge}", **more}
            if name != self.opened:
                units[self.opened] = {"join": [name]}

        self.try_act(put, name)
        return name


def choose_edge(unit: BuiltUnit, at: FreeEdge, free: Sequence[FreeEdge], *, mirrored: bool = False) -> str:
    """Return the edge of a unit that fits a free one best.

    It is as long where there is such an edge; then the one that brings most edges of the unit onto free ones, as in a
    notch; then the one that turns the unit the least.

    Parameters
    ----------
    unit
        The unit.
    at
        The free edge.
    free
        All of them.
    mirrored
        Whether the unit is mirrored.
    """
    fitting = [name for name, edge in unit.edges.items() if abs(measure_edge(edge) - at.size) <= TOLERANCE]
    waiting = {(_round(edge.end), _round(edge.start)) for edge in free}

    def measure_fit(name: str) -> tuple[int, float]:
        move = lay_against(unit.edges[name], (at.start, at.end), 0.0, mirrored=mirrored)
        laid = (move.lay_edge(edge) for edge in unit.edges.values())
        meet = sum((_round(start), _round(end)) in waiting for start, end in laid)
        return -meet, round(min(move.degrees, 360 - move.degrees), 3)

    return min(fitting or list(unit.edges), key=measure_fit)


def _round(point: Point) -> tuple[float, float]:
    """Return a place coarsely enough for equal corners to be equal."""
    return round(point[0], 3) + 0.0, round(point[1], 3) + 0.0


def find_outer_edge(made: BuiltUnit, laid: LaidTable, free: FreeEdge) -> str:
    """Return the name of the edge of what lies, as a unit, of which a free edge is a part."""
    if laid.outline is None:
        raise KitError("What lies on the table is not one piece", needed="one piece", do="mend it first")
    upright = stand_up(laid.outline)
    left, bottom, _, _ = measure_box(upright.lay(laid.outline))
    move = upright.then(RigidMove(shift=complex(-left, -bottom)))
    ends = move.place(free.start), move.place(free.end)
    return min(made.edges, key=lambda name: sum(_measure_off(point, made.edges[name]) for point in ends))


def _measure_off(point: Point, edge: tuple[Point, Point]) -> float:
    """Return how far a point lies from an edge, inches."""
    p, a, b = complex(*point), complex(*edge[0]), complex(*edge[1])
    t = min(max(((p - a) * (b - a).conjugate()).real / abs(b - a) ** 2, 0.0), 1.0)
    return abs(a + t * (b - a) - p)
