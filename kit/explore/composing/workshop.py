"""The workshop behind the table: makes the units of a study as it stands, and keeps those that did not change."""

from collections.abc import Mapping
from typing import Any

from kit.designs.units.built_unit import BuiltUnit, Copy
from kit.designs.units.unit_yard import UnitYard
from kit.designs.units.units_family import Units
from kit.errors import KitError
from kit.explore.composing.laid import LaidTable, Layer, look_over
from kit.explore.composing.lying import LyingUnits
from kit.explore.composing.unit_uses import mark_units
from kit.geometry.rigid_move import RigidMove
from kit.lengths import System, use_system

KeyValues = dict[str, Any]
KEPT = 4_000
"""Units that are kept, those of earlier states among them, so that undoing makes nothing again."""


class Workshop:
    """Makes units.

    Attributes
    ----------
    marks
        For each unit a mark that changes when anything changes that it is made of.
    """

    def __init__(self) -> None:
        self.marks: dict[str, str] = {}
        self._kept: dict[str, BuiltUnit | KitError] = {}
        self._made: dict[str, BuiltUnit] = {}
        self._system: System = "inch"
        self._layer = Layer(self.make, self.measure)
        self._yard = UnitYard(Units(family="units").units, None, {}, 0.25)

    def take(self, design: Units, units: Mapping[str, Any], allowance: float, system: System) -> None:
        """Take over a design and its tables; what did not change stays made. Refusals are said in `system`."""
        self._system = system
        shared = {"lengths": dict(design.lengths), "strip": design.strip_cut, "allowance": allowance, "system": system}
        self.marks = mark_units(units, shared)
        self._made = {}
        for name, mark in self.marks.items():
            kept = self._kept.get(mark)
            if isinstance(kept, BuiltUnit):
                self._made[name] = kept
        self._yard = UnitYard(design.units, design.strip_cut, dict(design.lengths), allowance, self._made)

    def make(self, name: str) -> BuiltUnit:
        """Return a unit.

        Raises
        ------
        KitError
            One that cannot be made; says why.
        """
        kept = self._kept.get(self.marks.get(name, ""))
        if kept is None:
            try:
                with use_system(self._system):
                    self._yard.count(name)
                    kept = self._yard.make(name)
            except KitError as error:
                kept = error
            self._keep(name, kept)
        if isinstance(kept, KitError):
            raise kept
        return kept

    def measure(self, text: str) -> float:
        """Return the inches that a text of a length says."""
        return self._yard.lengths.find(text)

    def _keep(self, name: str, made: BuiltUnit | KitError) -> None:
        found: dict[str, BuiltUnit | KitError] = {**self._made, name: made}
        self._kept.update({self.marks[one]: unit for one, unit in found.items() if one in self.marks})
        while len(self._kept) > KEPT:
            del self._kept[next(iter(self._kept))]

    def lay(self, table: LyingUnits, allowance: float) -> LaidTable:
        """Return what lies on the table."""
        with use_system(self._system):
            return self._layer.lay(table, allowance)

    def show(self, name: str, allowance: float) -> LaidTable:
        """Return a unit that is made in another way than edge to edge, as it is."""
        with use_system(self._system):
            return look_over([Copy(self.make(name), RigidMove())], [name], [], allowance)
