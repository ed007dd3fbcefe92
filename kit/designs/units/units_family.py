"""The `units` family: a top that is made of named units, each in a table of its own."""

from typing import Any, ClassVar, Literal

from pydantic import BaseModel, Field

from kit.designs.blocks import Block
from kit.designs.family import Family
from kit.designs.keys import Length, UnitName, refuse_keys
from kit.designs.units.built_unit import BuiltUnit
from kit.designs.units.rows import read_pattern
from kit.designs.units.set_units import SetUnits
from kit.designs.units.unit_keys import (
    RowKeys,
    SharedLengths,
    Tables,
    UnitTables,
    fill_in,
    find_known,
    find_model,
    read_unit,
)
from kit.designs.units.unit_words import list_names
from kit.designs.units.unit_yard import OTHER_WAYS, UnitYard, make_top
from kit.model.notices import Notice, notice
from kit.model.patchwork import Patchwork, check_count

OWN = ("family", "top", "strip_cut", "lengths", "unit")
"""Keys that settings do not have."""


class Units(Family):
    """A top of named units: of families, plain patches, rows, joins, copies about a point, and settings."""

    count_keys: ClassVar[tuple[str, str]] = ("columns", "rows")

    family: Literal["units"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Copies of the top unit across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Copies of the top unit down")
    top: UnitName = Field(default="whole", description="The unit that is the top")
    blocks: tuple[UnitName, ...] = Field(
        default=(), max_length=50, description="Further units that lie in turn with it, where it is set out"
    )
    strip_cut: Length | None = Field(default=None, description="Cut width of the strips that units share")
    lengths: SharedLengths = Field(default=(), description="Lengths that units share, by name")
    unit: Tables = Field(default=UnitTables(), description="The units, in tables of their own: [unit.NAME]")

    @property
    def units(self) -> UnitTables:
        """The tables of the units, by name."""
        found: UnitTables = self.unit
        return found

    def make_block(self, allowance: float) -> Block:
        """Return the top unit as a block."""
        return self._make_yard(allowance).make(self.top).make_block("a setting takes a rectangle")

    def patchwork(self, allowance: float = 0.25) -> Patchwork:
        """Make the units, each once, and put the top together.

        Raises
        ------
        PatchworkError
            What does not close, by the names of the units; more patches than the limit, before anything is built.
        """
        yard = self._make_yard(allowance)
        if not self._is_set():
            return make_top(yard, self.top)
        setting = SetUnits.model_validate(self._list_setting(), context={"yard": yard})
        check_count(setting.count_least(yard.count))
        return setting.patchwork(allowance)

    def make_unit(self, name: str, allowance: float = 0.25) -> BuiltUnit:
        """Return one unit of the study in a place of its own, with its patches and its edges by name.

        Raises
        ------
        PatchworkError
            An unknown name, and what cannot be made.
        """
        yard = self._make_yard(allowance)
        return yard.make(find_known(name, self.units, "unit"))

    def measure(self, allowance: float = 0.25) -> tuple[float, float]:
        """Return the finished width and height in inches; for that the units are made."""
        return self.patchwork(allowance).finished

    def notices(self) -> tuple[Notice, ...]:
        """Return a notice for each unit, the top among them, whose corners differ though its units lie in turn."""
        found: list[Notice] = []
        if self._is_set():
            found += SetUnits.model_validate(self._list_setting()).notices()
        for name in self.units:
            keys = _read(name, self.units)
            if isinstance(keys, SetUnits):
                found += keys.notices()
            elif isinstance(keys, RowKeys):
                found += _note_corners(name, keys)
        return tuple(dict.fromkeys(found))

    def _make_yard(self, allowance: float) -> UnitYard:
        if len(self.units) and "top" not in self.model_fields_set and self.top not in self.units:
            raise refuse_keys(
                f"No unit is called `{self.top}`, and `design.top` names no other",
                f"the unit that is the top: one of {list_names(list(self.units))}",
                f'write for instance top = "{list(self.units)[-1]}", or add a table [unit.{self.top}]',
            )
        find_known(self.top, self.units, "design.top")
        return UnitYard(self.units, self.strip_cut, dict(self.lengths), allowance)

    def _is_set(self) -> bool:
        """Return True if the top unit is set out, with others or with anything round it."""
        plain = type(self).model_fields
        return any(getattr(self, key) != plain[key].default for key in plain if key not in OWN)

    def _list_setting(self) -> dict[str, Any]:
        keys = self.model_dump(mode="json", exclude_none=True, exclude_defaults=True, exclude=set(OWN))
        return {"columns": 1, "rows": 1, "block": self.top, **keys}


def _read(name: str, tables: UnitTables) -> Any:
    """Return the keys of a unit, its lengths read as texts alone."""
    table = tables[name].thaw()
    model = find_model(name, table, "This design", OTHER_WAYS)
    return read_unit(name, fill_in(table, model, None), model, "This design")


def _note_corners(name: str, keys: RowKeys) -> list[Notice]:
    """Return a notice where a pattern of rows is repeated and leaves unlike units at the corners."""
    if keys.across is None and keys.down is None:
        return []
    rows = read_pattern(keys, f"unit.{name}.rows")
    corners = (rows[0][0].name, rows[0][-1].name, rows[-1][-1].name, rows[-1][0].name)
    return (
        [notice("unlike-corners", across=len(rows[0]), down=len(rows), corners=corners)]
        if len(set(corners)) > 1
        else []
    )


def check_units(design: Family, place: str) -> None:
    """Check that the tables of the units of a design can be read, so that a study tells it when it is read.

    Raises
    ------
    StudyError
        Names the place, the key and the remedy.
    """
    if not isinstance(design, Units):
        return
    for name in design.units:
        table = design.units[name].thaw()
        model = find_model(name, table, place, OTHER_WAYS)
        read_unit(name, fill_in(table, model, None), model, place)


def list_unit_models(design: Family) -> dict[str, type[BaseModel]]:
    """Return the keys that each unit of a design may have, by its name; empty for families without units."""
    if not isinstance(design, Units):
        return {}
    return {name: find_model(name, design.units[name].thaw(), "This design", OTHER_WAYS) for name in design.units}
