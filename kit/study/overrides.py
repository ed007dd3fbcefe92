"""Overrides: the keys that an edition changes, kept as written, and laid over the study's own keys."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from kit.designs.explaining import show_value
from kit.errors import StudyError

MOST = 24
"""Editions of one study; opening the study builds each."""
LONGEST = 60
"""Letters in the name of an edition."""

Value: TypeAlias = "str | int | float | bool | FrozenTable | tuple[Value, ...]"


@dataclass(frozen=True, slots=True)
class FrozenTable:
    """A table of keys, frozen, in alphabetical order: a file may hold them in any order."""

    entries: tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition: its name and its overridden keys."""

    name: str
    keys: FrozenTable

    def overrides(self) -> dict[str, Any]:
        """Return the keys as a study file holds them."""
        found = _thaw(self.keys)
        return found if isinstance(found, dict) else {}


def freeze_edition(name: str, keys: Mapping[str, Any], place: str) -> Edition:
    """Return an edition from the keys in a study file.

    Raises
    ------
    StudyError
        A value that no key of a study takes, such as a date.
    """
    frozen = _freeze(keys, "", place)
    return Edition(name, frozen if isinstance(frozen, FrozenTable) else FrozenTable(()))


def _freeze(value: object, key: str, place: str) -> Value:
    if isinstance(value, Mapping):
        names = sorted(value)
        inside = [f"{key}.{name}" if key else str(name) for name in names]
        return FrozenTable(tuple((n, _freeze(value[n], k, place)) for n, k in zip(names, inside, strict=True)))
    if isinstance(value, list | tuple):
        return tuple(_freeze(entry, key, place) for entry in value)
    if isinstance(value, str | int | float | bool):
        return value
    raise StudyError(
        f"{place}: `{key}` is a {type(value).__name__}", needed="a text, a number, true or false, a list or a table",
        do="correct that value",
    )  # fmt: skip


def _thaw(value: Value) -> Any:
    if isinstance(value, FrozenTable):
        return {key: _thaw(entry) for key, entry in value.entries}
    return [_thaw(entry) for entry in value] if isinstance(value, tuple) else value


def split_editions(raw: Mapping[str, Any], place: str) -> tuple[dict[str, Any], dict[str, dict[str, Any]]]:
    """Part the keys of a study file into those of the study and those of each edition.

    `edition` is a text, or a table whose sub-tables are the editions, with the plain key `number` beside them.

    Raises
    ------
    StudyError
        An edition that is not a table, a name that is not allowed, or too many editions.
    """
    plain, held = dict(raw), raw.get("edition")
    if not isinstance(held, Mapping):
        return plain, {}
    number = held.get("number", "1")
    if not isinstance(number, str):
        raise StudyError(
            f"{place}: `edition.number` is {show_value(number)}", needed="a text in quotes",
            do='write for instance number = "1"',
        )  # fmt: skip
    plain["edition"] = number
    found = {str(name): keys for name, keys in held.items() if name != "number"}
    for name, keys in found.items():
        if not isinstance(keys, Mapping):
            raise StudyError(
                f"{place}: `edition.{name[:LONGEST]}` is {show_value(keys)}",
                needed="a table of the keys that this edition overrides",
                do=f"write [edition.{name[:LONGEST]}] and the keys below it, or number = for the edition's number",
            )
        if not name.strip() or not name.isprintable() or len(name) > LONGEST or name != name.strip():
            raise StudyError(
                f"{place}: an edition is called {name[:LONGEST]!r}",
                needed=f"a name of 1 to {LONGEST} visible characters",
                do="rename it",
            )
    if len(found) > MOST:
        raise StudyError(f"{place}: there are {len(found)} editions", needed=f"at most {MOST}", do="drop some")
    return plain, {name: dict(keys) for name, keys in found.items()}


def lay_over(base: Mapping[str, Any], overrides: Mapping[str, Any], place: str) -> dict[str, Any]:
    """Return the keys of a study with an edition's laid over them: tables merge, everything else is replaced.

    An edition in the other system takes that system's seam allowance and rounding, unless the study or the edition
    says otherwise: it is redrafted, not converted.

    Raises
    ------
    StudyError
        A table laid over a value or a value over a table, or an edition within an edition.
    """
    if "edition" in overrides:
        raise StudyError(
            f"{place}: `edition` is {show_value(overrides['edition'])}",
            needed="any other key of the study",
            do="write each edition as a table of its own, [edition.name]",
        )
    return _merge(base, overrides, "", place)


def _merge(base: Mapping[str, Any], overrides: Mapping[str, Any], key: str, place: str) -> dict[str, Any]:
    merged = dict(base)
    for name, value in overrides.items():
        here = f"{key}.{name}" if key else str(name)
        old = merged.get(name)
        if isinstance(old, Mapping) and isinstance(value, Mapping):
            merged[name] = _merge(old, value, here, place)
        elif old is not None and isinstance(old, Mapping) != isinstance(value, Mapping):
            raise StudyError(
                f"{place}: `{here}` is {show_value(value)} over {show_value(old)}",
                needed="a table" if isinstance(old, Mapping) else "a value, not a table",
                do="correct that key",
            )
        else:
            merged[name] = value
    return merged
