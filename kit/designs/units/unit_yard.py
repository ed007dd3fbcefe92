"""Where units are made: each once, from its keys, the units that it is made of first."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field

from pydantic import BaseModel

from kit.designs.blocks import BlockPatch
from kit.designs.family import Family
from kit.designs.keys import refuse_keys
from kit.designs.units.around import lay_around
from kit.designs.units.built_unit import BuiltUnit, close_unit, measure_edge, number_copies, settle_unit
from kit.designs.units.joins import lay_joined, list_joined
from kit.designs.units.plain_patches import PlainPatch
from kit.designs.units.rows import count_rows, lay_rows
from kit.designs.units.set_units import SetUnits
from kit.designs.units.unit_keys import (
    AroundKeys,
    JoinKeys,
    RowKeys,
    UnitTables,
    fill_in,
    find_known,
    find_model,
    read_unit,
)
from kit.designs.units.unit_lengths import LengthBook
from kit.designs.units.unit_words import read_edge
from kit.errors import PatchworkError
from kit.geometry.outlines import tidy_outline
from kit.lengths import write_exact
from kit.model.patchwork import Patch, Patchwork, Trim, check_count

OTHER_WAYS: dict[str, type[BaseModel]] = {"block": SetUnits}
"""The keys of the ways that settings give."""


@dataclass
class UnitYard:
    """Makes the units of one design.

    Attributes
    ----------
    tables
        Their keys, by name.
    strip_cut
        Cut width of the strips that they share, inches.
    shared
        Texts of the lengths that they share, by name.
    allowance
        Seam allowance, inches.
    """

    tables: UnitTables
    strip_cut: float | None
    shared: Mapping[str, str]
    allowance: float
    _made: dict[str, BuiltUnit] = field(default_factory=dict)
    _counts: dict[str, int] = field(default_factory=dict)
    _open: list[str] = field(default_factory=list)

    @property
    def lengths(self) -> LengthBook:
        """What finds the lengths of texts."""
        strip = None if self.strip_cut is None else self.strip_cut - 2 * self.allowance
        return LengthBook(strip, self.shared, self._measure_edge)

    def _measure_edge(self, unit: str, edge: str) -> float:
        find_known(unit, self.tables, self._place())
        if unit in self._open:
            raise refuse_keys(
                f"The lengths of `{unit}` follow from themselves ({self._chain(unit)})",
                "lengths that begin somewhere",
                f"write one of the lengths of `{self._open[-1]}` as a length of its own",
            )
        return measure_edge(self.make(unit).find_edge(edge, self._place()))

    def _chain(self, name: str) -> str:
        return " -> ".join(f"`{one}`" for one in [*self._open[self._open.index(name) :], name])

    def _place(self) -> str:
        return f"unit.{self._open[-1]}" if self._open else "design"

    def make(self, name: str) -> BuiltUnit:
        """Return a unit by its name, made once.

        Raises
        ------
        PatchworkError
            A unit that is not there, that is made of itself, or that cannot be made; says what to do.
        """
        if name not in self._made:
            with self._enter(name):
                self._made[name] = self._make(name)
        return self._made[name]

    @contextmanager
    def _enter(self, name: str) -> Iterator[None]:
        """Go into a unit; refuse_keys one that is gone into already."""
        find_known(name, self.tables, self._place())
        if name in self._open:
            raise refuse_keys(
                f"The unit `{name}` holds itself ({self._chain(name)})",
                "units of other units, plain patches and families",
                f"take `{name}` out of `{self._open[-1]}`",
            )
        self._open.append(name)
        try:
            yield
        finally:
            self._open.pop()

    def read(self, name: str) -> BaseModel:
        """Return the keys of a unit with their lengths, which may take other units to be made."""
        table = self.tables[name].thaw()
        model = find_model(name, table, "This design", OTHER_WAYS)
        strip_cut = None if self.strip_cut is None else write_exact(self.strip_cut)
        context = {"lengths": self.lengths.find, "yard": self}
        return read_unit(name, fill_in(table, model, strip_cut), model, "This design", context)

    def _make(self, name: str) -> BuiltUnit:
        keys = self.read(name)
        if isinstance(keys, Family):
            return self._make_of_family(name, keys)
        if isinstance(keys, PlainPatch):
            return keys.make(name, self.allowance)
        if isinstance(keys, JoinKeys):
            copies = lay_joined(name, keys.join, self.make, self.lengths.find)
        elif isinstance(keys, AroundKeys):
            copies = lay_around(name, keys, self.make)
        elif isinstance(keys, RowKeys):
            copies = number_copies(lay_rows(name, keys, self.make, self.allowance))
        else:
            raise TypeError(f"{type(keys).__name__} makes no unit")
        return close_unit(name, copies, self.allowance)

    def _make_of_family(self, name: str, family: Family) -> BuiltUnit:
        """Return what a family makes as a unit; a single block is the unit itself and no part of it."""
        top = self.lay_family(name, family)
        patches, trims = list(top.patches), list(top.trims)
        if family.columns * family.rows == 1 and not isinstance(family, SetUnits):
            patches, trims = _open_block(family, patches, trims, self.allowance)
        called = {"border": "frame"}  # a border is what lies round the whole top
        outline = tidy_outline(top.mesh.trace_outside()[0], name=f"unit `{name}`")
        shapes = [
            BlockPatch(p.id, p.outline, p.slot, called.get(p.name, p.name), p.grain, p.sewn, p.group, p.unit)
            for p in patches
        ]
        return settle_unit(name, shapes, outline, trims, family.name_edges(outline))

    def lay_family(self, name: str, family: Family) -> Patchwork:
        """Return what the family of a unit makes, its errors told with the unit's name."""
        try:
            return family.patchwork(self.allowance).verify()
        except PatchworkError as error:
            raise (error if isinstance(family, SetUnits) else tell_of_unit(error, name)) from None

    def count(self, name: str) -> int:
        """Return the least number of patches that a unit has, counted without making it.

        What families and plain patches make counts as one patch; each family limits its own.
        """
        if name not in self._counts:
            with self._enter(name):
                self._counts[name] = self._count(name)
            check_count(self._counts[name])
        return self._counts[name]

    def _count(self, name: str) -> int:
        table = self.tables[name].thaw()
        model = find_model(name, table, "This design", OTHER_WAYS)
        keys = read_unit(name, fill_in(table, model, None), model, "This design")
        if isinstance(keys, RowKeys):
            return count_rows(keys, f"unit.{name}.rows", self.count)
        if isinstance(keys, JoinKeys):
            return sum(self.count(one) for one in list_joined(keys.join, f"unit.{name}.join"))
        if isinstance(keys, AroundKeys):
            centre = self.count(read_edge(keys.centre, f"unit.{name}.centre")[0]) if keys.centre else 0
            return centre + keys.times * self.count(read_edge(keys.around, f"unit.{name}.around")[0])
        return keys.count_least(self.count) if isinstance(keys, SetUnits) else 1


def _open_block(
    family: Family, patches: list[Patch], trims: list[Trim], allowance: float
) -> tuple[list[Patch], list[Trim]]:
    """Take the single block of a family out of the group that a setting puts it in; its patches keep their own keys."""
    _, within = family.name_block(1, 1)
    keys = [shape.key for shape in family.make_block(allowance).shapes]
    if len(keys) != len(patches) or any(patch.group[:1] != (within,) for patch in patches):
        return patches, trims
    opened = [
        Patch(key, p.outline, p.slot, p.name, p.group[1:], p.grain, p.sewn, p.unit)
        for key, p in zip(keys, patches, strict=True)
    ]
    return opened, [Trim(trim.group[1:], trim.outline) for trim in trims]


def tell_of_unit(error: PatchworkError, name: str) -> PatchworkError:
    """Return the error of a family with the keys of the unit that it makes in place of those of the design."""
    found, needed, do = (
        part.replace("`design.", f"`unit.{name}.").replace("[design.", f"[unit.{name}.")
        for part in (error.found, error.needed, error.do)
    )
    said = found if f"unit.{name}" in found else f"unit.{name}: {found}"
    return PatchworkError(said, needed=needed, do=do)


def make_top(yard: UnitYard, name: str) -> Patchwork:
    """Return a unit as the whole top.

    Raises
    ------
    PatchworkError
        What cannot be made, and more patches than the limit, refused before anything is built.
    """
    yard.count(name)
    keys = yard.read(name)
    if isinstance(keys, Family):
        return yard.lay_family(name, keys)
    unit = yard.make(name)
    patches = tuple(
        Patch(
            shape.key or name, shape.outline, shape.slot, shape.name, shape.group, shape.grain, shape.sewn, shape.unit
        )
        for shape in unit.shapes
    )
    return Patchwork(patches, yard.allowance, unit.trims)
