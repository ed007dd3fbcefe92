"""The keys of a study of units, which unit lies open on the table, what follows from them, and how they were before.

Each act keeps the keys as they stood, so that it can be undone and done again, without end.
"""

from collections.abc import Callable, Mapping
from contextlib import suppress
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from kit.designs.units.built_unit import BuiltUnit
from kit.designs.units.unit_keys import WAYS
from kit.designs.units.units_family import OWN, Units
from kit.errors import KitError
from kit.explore.composing.laid import LaidTable, Trouble
from kit.explore.composing.lying import LyingUnits, read_lying
from kit.explore.composing.workshop import Workshop
from kit.explore.drawing_sheet import add_fabrics
from kit.study import Study, study_from_keys, study_keys, write_study

KeyValues = dict[str, Any]
PLACE = "This table"


@dataclass(frozen=True, eq=False)
class State:
    """The sheet at one time: the keys, which are not changed any more, and the unit that lies open."""

    keys: KeyValues
    opened: str


@dataclass(frozen=True, eq=False)
class SheetShown:
    """What follows from the state.

    Attributes
    ----------
    study
        The study, its design not yet made.
    table
        What lies on the table; None where the unit that lies open is made in another way.
    laid
        Where it lies.
    """

    study: Study
    table: LyingUnits | None
    laid: LaidTable


class SheetHistory:
    """A study of units under way.

    Attributes
    ----------
    shown
        What follows from the keys as they stand.
    note
        What the last act did besides, in words; empty for nothing worth telling.
    """

    note = ""

    def __init__(self, study: Study) -> None:
        if not isinstance(study.design, Units):
            raise KitError(
                f"`{study.title}` is of the family `{study.design.family}`",
                needed='a study of the family "units", which is composed',
                do="open it with kit.explore, or begin an empty table with kit.compose()",
            )
        self._workshop = Workshop()
        self._state = State(deepcopy(study_keys(study)), study.design.top)
        self._past: list[State] = []
        self._future: list[State] = []
        self.shown = self._follow(self._state)

    # ---- the state ---------------------------------------------------------------------------------------------

    @property
    def keys(self) -> KeyValues:
        """The keys of the study as they stand; not to be changed."""
        return self._state.keys

    @property
    def units(self) -> KeyValues:
        """The tables of the units, by name."""
        found: KeyValues = self.keys.get("unit", {})
        return found

    @property
    def opened(self) -> str:
        """The unit that lies open on the table, whether it is there already or not."""
        return self._state.opened

    @property
    def text(self) -> str:
        """The study as it stands, as the text of a study file."""
        return write_study(self.shown.study)

    @property
    def top(self) -> str:
        """The unit that is the top."""
        design = self.shown.study.design
        assert isinstance(design, Units)  # noqa: S101  no act gives another family
        return str(design.top)

    def act(self, do: Callable[[KeyValues], str | None]) -> None:
        """Do something to the keys and keep how they stood; keys that cannot be read stay as they were.

        Parameters
        ----------
        do
            Changes the keys, and returns the unit that lies open then, None for the one that does.

        Raises
        ------
        KitError
            When the keys cannot be read.
        """
        keys = deepcopy(self.keys)
        opened = do(keys) or self.opened
        if not keys.get("unit", True):
            del keys["unit"]
        state = State(keys, opened)
        shown = self._follow(state, self._add_fabrics(state))
        if state.keys != self.keys or opened != self.opened:
            self._past.append(self._state)
            self._future.clear()
        self._state, self.shown = state, shown

    def try_act(self, do: Callable[[KeyValues], str | None], name: str) -> None:
        """Do something that a unit comes out of; where it cannot be made all stays as it was.

        Raises
        ------
        KitError
            When the keys cannot be read or the unit cannot be made.
        """
        before = self._state, self.shown, list(self._past), list(self._future)
        self.act(do)
        why = self.explain(name)
        if why:
            self._state, self.shown, self._past, self._future = before
            self._take(self.shown.study, self.keys)
            raise KitError(why)

    def undo(self) -> bool:
        """Go back by one act; return True if there was one."""
        return self._go(self._past, self._future)

    def redo(self) -> bool:
        """Do again what was undone last; return True if there was anything."""
        return self._go(self._future, self._past)

    def _go(self, back: list[State], onward: list[State]) -> bool:
        if not back:
            return False
        onward.append(self._state)
        self._state = back.pop()
        self.shown = self._follow(self._state)
        return True

    # ---- what follows ------------------------------------------------------------------------------------------

    def _follow(self, state: State, read: Study | None = None) -> SheetShown:
        study = read or study_from_keys(state.keys, place=PLACE)
        self._take(study, state.keys)
        units, allowance = state.keys.get("unit", {}), study.measures.seam_allowance
        way = find_way(units.get(state.opened, {}))
        try:
            if state.opened not in units:
                return SheetShown(study, (), LaidTable())
            if way != "join":
                return SheetShown(study, None, self._workshop.show(state.opened, allowance))
            table = read_lying(units[state.opened]["join"], f"unit.{state.opened}.join")
        except KitError as error:
            return SheetShown(study, None, LaidTable(troubles=(Trouble(str(error)),)))
        try:
            return SheetShown(study, table, self._workshop.lay(table, allowance))
        except KitError as error:  # a unit that lies on the table cannot be made
            return SheetShown(study, table, LaidTable(troubles=(Trouble(str(error)),)))

    def _take(self, study: Study, keys: KeyValues) -> None:
        assert isinstance(study.design, Units)  # noqa: S101  no act gives another family
        measures = study.measures
        self._workshop.take(study.design, keys.get("unit", {}), measures.seam_allowance, measures.system)

    def _add_fabrics(self, state: State) -> Study | None:
        """Add a fabric for each slot that has none, of units with slots of their own; return the study if none is."""
        study = study_from_keys(state.keys, place=PLACE)
        if not isinstance(study.design, Units):
            raise KitError(f"{PLACE} is of the family `{study.design.family}`", needed='family = "units"',
                           do="keep the family")  # fmt: skip
        self._take(study, state.keys)
        slots: list[str] = []
        for name, table in state.keys.get("unit", {}).items():
            if find_way(table) == "patch":
                slots.append(table.get("slot", "patch"))
            elif find_way(table) not in ("join", "around"):
                made = self.make_or_none(name)
                slots += sorted({shape.slot for shape in made.shapes}) if made else []
        if set(state.keys["design"]) - set(OWN):
            with suppress(KitError):  # it is told where the study is asked for
                slots += study.lay_out().slots
        before = len(state.keys.setdefault("fabric", []))
        add_fabrics(state.keys, slots)
        return study if len(state.keys["fabric"]) == before else None

    def make_or_none(self, name: str) -> BuiltUnit | None:
        """Return a unit as it is made, None for one that cannot be made."""
        try:
            return self._workshop.make(name)
        except KitError:
            return None

    def explain(self, name: str) -> str:
        """Return why a unit cannot be made, empty for one that can."""
        try:
            self._workshop.make(name)
        except KitError as error:
            return str(error)
        return ""

    def measure(self, text: str) -> float:
        """Return the inches that a text of a length says: a length, an edge of a unit, a shared length, a sum of them.

        Raises
        ------
        KitError
            One that cannot be found.
        """
        return self._workshop.measure(text)

    def mark(self, name: str) -> str:
        """Return what changes when anything changes that a unit is made of."""
        return self._workshop.marks.get(name, "")

    def make_study(self) -> Study:
        """Check that the top is whole, and return the study as it stands.

        Raises
        ------
        KitError
            While something keeps it from being a top.
        """
        study = self.shown.study
        study.make_patchwork()
        return study


def find_way(table: Mapping[str, Any]) -> str:
    """Return the key that tells in which way a unit is made, empty where none does."""
    given = [way for way in WAYS if way in table]
    if len(given) > 1 and isinstance(table.get("rows"), int):
        given.remove("rows")
    return given[0] if given else ""
