"""What is done to the units of a study: made, opened, changed, renamed, taken out; the text taken over as a whole."""

from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from typing import Any

from kit.designs.units.units_family import Units
from kit.errors import KitError
from kit.explore.composing.sheet_history import PLACE, KeyValues, SheetHistory
from kit.explore.composing.unit_uses import list_users, map_units
from kit.study import Study, read_study, study_from_keys, study_keys


class UnitSheet(SheetHistory):
    """A study of units whose units are made and changed."""

    def open_unit(self, name: str) -> None:
        """Lay a unit open on the table: one of the tray, or a new one of that name with nothing on the table yet."""
        self.act(lambda _: name)

    def begin(self, name: str = "") -> str:
        """Begin a new unit on an empty table; return its name."""
        name = name or self.name_new("part")
        if name in self.units:
            raise KitError(f"There is a unit `{name}` already", needed="a new name", do="choose another, or open it")
        self._check_new(name)
        self.open_unit(name)
        self.note = f"The table is clear for `{name}`."
        return name

    def add(self, name: str, table: Mapping[str, Any]) -> None:
        """Add a unit by its keys.

        Raises
        ------
        KitError
            A name that is taken, or keys of which no unit can be made.
        """
        if name in self.units:
            raise KitError(f"There is a unit `{name}` already", needed="a new name", do="choose another name")

        def put(keys: KeyValues) -> None:
            keys.setdefault("unit", {})[name] = deepcopy(dict(table))

        self.try_act(put, name)

    def set_key(self, name: str, key: str, value: Any) -> None:
        """Put a key of a unit; None takes it out."""
        self._check_there(name)

        def put(keys: KeyValues) -> None:
            table = keys["unit"][name]
            if value is None:
                table.pop(key, None)
            else:
                table[key] = value

        self.act(put)

    def change_unit(self, name: str, table: Mapping[str, Any]) -> None:
        """Put other keys in place of all keys of a unit.

        Raises
        ------
        KitError
            Keys of which no unit can be made; those that it had stay.
        """
        self._check_there(name)

        def put(keys: KeyValues) -> None:
            keys["unit"][name] = deepcopy(dict(table))

        self.try_act(put, name)

    def put_design(self, key: str, value: Any) -> None:
        """Put a key of the design, for instance strip_cut or the table lengths; None takes it out."""

        def put(keys: KeyValues) -> None:
            if value is None:
                keys["design"].pop(key, None)
            else:
                keys["design"][key] = value

        self.act(put)

    def rename(self, old: str, new: str) -> None:
        """Give a unit another name, wherever it is named."""
        self._check_there(old)
        if new in self.units:
            raise KitError(f"There is a unit `{new}` already", needed="a new name", do="choose another name")
        self._check_new(new)

        def swap(name: str) -> str:
            return new if name == old else name

        def put(keys: KeyValues) -> str | None:
            design = keys["design"]
            shown = {"top": self.top, **design}
            keys["design"] = map_units(shown, swap)
            if keys["design"]["top"] == "whole" and "top" not in design:
                del keys["design"]["top"]
            keys["unit"] = {swap(name): map_units(table, swap) for name, table in keys["unit"].items()}
            if isinstance(keys.get("edition"), dict):
                keys["edition"] = {name: _rename_edition(value, swap) for name, value in keys["edition"].items()}
            return swap(self.opened)

        self.act(put)

    def delete(self, name: str) -> None:
        """Take a unit out of the study.

        Raises
        ------
        KitError
            One that others are made of, by their names.
        """
        self._check_there(name)
        users = list_users(name, self.keys)
        if users:
            raise KitError(f"`{name}` is used by {', '.join(f'`{user}`' for user in users[:6])}",
                           needed="a unit that nothing is made of", do="take it out there first")  # fmt: skip

        def put(keys: KeyValues) -> None:
            del keys["unit"][name]

        self.act(put)

    def set_top(self, name: str) -> None:
        """Make a unit the top."""
        self._check_there(name)
        self.put_design("top", name)

    def colour(self, slot: str, colour: str) -> None:
        """Change the colour of a slot's first fabric, written as #rrggbb."""

        def put(keys: KeyValues) -> None:
            for fabric in keys["fabric"]:
                if fabric["slot"] == slot:
                    fabric["colour"] = colour
                    return

        self.act(put)

    def set_title(self, title: str) -> None:
        """Give the study a title."""

        def put(keys: KeyValues) -> None:
            keys["title"] = title

        self.act(put)

    def put_fabrics(self, fabrics: Sequence[Mapping[str, Any]]) -> None:
        """Put other [[fabric]] tables in place of all; a slot that is left without one is given one."""

        def put(keys: KeyValues) -> None:
            keys["fabric"] = [dict(fabric) for fabric in fabrics]

        self.act(put)

    def take_text(self, text: str) -> None:
        """Take over the text of a study in place of all that is there."""
        study = read_study(text, place=PLACE)
        self.take_study(study)

    def take_study(self, study: Study) -> None:
        """Take over a study in place of all that is there; the unit that lies open stays, where it is still there."""
        if not isinstance(study.design, Units):
            raise KitError(f"The study is of the family `{study.design.family}`", needed='family = "units"',
                           do="open it with kit.explore")  # fmt: skip
        found = deepcopy(study_keys(study))
        top = study.design.top

        def put(keys: KeyValues) -> str:
            keys.clear()
            keys.update(found)
            return self.opened if self.opened in found.get("unit", {}) else top

        self.act(put)

    def _check_there(self, name: str) -> None:
        if name not in self.units:
            raise KitError(f"There is no unit `{name:.60}`", needed="a unit of the tray", do="choose one")

    def _check_new(self, name: str) -> None:
        """Refuse a name that no unit can have."""
        study_from_keys({**self.keys, "unit": {**self.units, name: {"patch": "square", "side_finished": "3 in"}}},
                        place=PLACE)  # fmt: skip

    def name_new(self, begin: str) -> str:
        """Return a name that no unit has."""
        taken = {*self.units, self.opened}
        number = 1
        while (begin if number == 1 else f"{begin}-{number}") in taken:
            number += 1
        return begin if number == 1 else f"{begin}-{number}"


def _rename_edition(value: Any, swap: Callable[[str], str]) -> Any:
    """Return what an edition changes, with a unit renamed."""
    if not isinstance(value, Mapping):
        return value
    found = dict(value)
    if isinstance(found.get("unit"), Mapping):
        found["unit"] = {swap(name): map_units(table, swap) for name, table in found["unit"].items()}
    if isinstance(found.get("design"), Mapping):
        found["design"] = map_units(found["design"], swap)
    return found
