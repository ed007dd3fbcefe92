"""The ways in which a unit is made, and the keys of each.

A unit is made of a family with its keys, is a plain patch, or puts others together: in rows, edge to edge, as copies
about a point, or as the blocks of a setting. Its table stays as it was written; its lengths may name edges of other
units, so they are read when those are made.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BaseModel, BeforeValidator, Field, PlainSerializer, ValidationError

from kit.designs.explaining import explain_refusal, show_value
from kit.designs.families import BLOCK_FAMILIES
from kit.designs.keys import Keys, Slot, UnitName, UnitText, check_unit_name, refuse_keys
from kit.designs.units.plain_patches import PATCHES
from kit.designs.units.unit_lengths import LONGEST, TAKEN, check_sum
from kit.errors import StudyError

MOST_UNITS = 500
"""Units of one study."""
WAYS = ("family", "patch", "rows", "join", "around", "block")
"""The key that tells in which way a unit is made."""
_DEEPEST = 6

Value: TypeAlias = "str | int | float | bool | Table | tuple[Value, ...]"


@dataclass(frozen=True, slots=True)
class Table:
    """A table of keys as it was written, frozen."""

    entries: tuple[tuple[str, Value], ...]

    def thaw(self) -> dict[str, Any]:
        """Return the keys as a study file holds them."""
        return {key: _thaw(value) for key, value in self.entries}


def _thaw(value: Value) -> Any:
    if isinstance(value, Table):
        return value.thaw()
    return [_thaw(entry) for entry in value] if isinstance(value, tuple) else value


def _freeze(value: object, depth: int = 0) -> Value:
    if isinstance(value, Table | str | int | float | bool):
        return value
    if isinstance(value, Mapping) and depth < _DEEPEST:
        return Table(tuple((str(key), _freeze(entry, depth + 1)) for key, entry in value.items()))
    if isinstance(value, list | tuple) and depth < _DEEPEST:
        return tuple(_freeze(entry, depth + 1) for entry in value)
    raise ValueError(f"it holds {show_value(value)}: write texts, numbers, true, false, lists and tables")


@dataclass(frozen=True, slots=True)
class UnitTables:
    """The tables of the units of a study, by name, in the order of the file."""

    tables: tuple[tuple[str, Table], ...] = ()

    def __getitem__(self, name: str) -> Table:
        return dict(self.tables)[name]

    def __iter__(self) -> Iterator[str]:
        return iter(name for name, _ in self.tables)

    def __len__(self) -> int:
        return len(self.tables)

    def thaw(self) -> dict[str, dict[str, Any]]:
        """Return the tables as a study file holds them."""
        return {name: table.thaw() for name, table in self.tables}


def _read_tables(value: object) -> UnitTables:
    if isinstance(value, UnitTables):
        return value
    if not isinstance(value, Mapping):
        raise ValueError(f"it is {show_value(value)}: write a table for each unit, [unit.NAME]")  # noqa: TRY004  pydantic asks for it
    if len(value) > MOST_UNITS:
        raise ValueError(f"there are {len(value)} units: write at most {MOST_UNITS}")
    found = []
    for name, table in value.items():
        check_unit_name(str(name))
        frozen = _freeze(table)
        if not isinstance(frozen, Table):
            raise ValueError(f"`{name}` is {show_value(table)}: write [unit.{name}] and the keys below it")  # noqa: TRY004  as above
        found.append((str(name), frozen))
    return UnitTables(tuple(found))


Tables: TypeAlias = Annotated[
    Any, BeforeValidator(_read_tables), PlainSerializer(lambda tables: tables.thaw(), return_type=dict)
]
"""`UnitTables`: in the study file a table of tables."""


def _read_shared(value: object) -> tuple[tuple[str, str], ...]:
    pairs = dict(value) if isinstance(value, Mapping | tuple | list) else None
    if pairs is None:
        raise ValueError(f"it is {show_value(value)}: write a table of lengths, [design.lengths]")
    for name, text in pairs.items():
        check_unit_name(str(name))
        if str(name).lower() in TAKEN:
            raise ValueError(f"`{name}` cannot name a shared length, since it is a unit of length: rename it")
        if not isinstance(text, str):
            raise ValueError(f'`{name}` is {show_value(text)}: write its length as text, for instance "9 in"')  # noqa: TRY004  as above
        if len(text) > LONGEST:
            raise ValueError(f"`{name}` is a text of {len(text)} letters: shorten it")
    return tuple((str(name), text) for name, text in pairs.items())


SharedLengths: TypeAlias = Annotated[
    tuple[tuple[str, str], ...], BeforeValidator(_read_shared), PlainSerializer(dict, return_type=dict)
]
"""Lengths that units share, by name."""

Corner: TypeAlias = Annotated[int | str, BeforeValidator(lambda value: value)]
"""The number of a corner, or where it lies."""
Copies: TypeAlias = Annotated[int | None, Field(ge=1, le=1_000_000_000)]


class RowKeys(Keys):
    """A unit that is rows of others."""

    rows: tuple[UnitText, ...] = Field(min_length=1, max_length=2_000, description="Rows of units, the top row first")
    across: Copies = Field(default=None, description="How many units lie side by side, the words of a row repeated")
    down: Copies = Field(default=None, description="How many rows lie one below the other, the rows repeated")
    spacer_slot: Slot | None = Field(
        default=None, description="Slot of the plain strips that bring units and rows to one size"
    )


class JoinKeys(Keys):
    """A unit whose parts are joined edge to edge."""

    join: tuple[UnitText, ...] = Field(
        min_length=1,
        max_length=5_000,
        description='A unit, and then "wing.long to arm.left, middle" for each further one',
    )


class AroundKeys(Keys):
    """A unit that is copies of another about a point."""

    around: UnitText = Field(description="The unit, or its edge that lies at the centre")
    times: Annotated[int, Field(ge=2, le=1_000_000_000)] = Field(description="How many copies")
    centre: UnitText | None = Field(default=None, description="The unit in the middle, or its edge that takes a copy")
    corner: Corner | None = Field(
        default=None,
        description='The corner at the point, where several fit: its number, or for instance "lower right"',
    )
    images: Literal["turned", "mirrored", "alternate"] = Field(
        default="turned", description="All copies turned, or every second one mirrored"
    )
    place: Literal["start", "middle", "end"] | None = Field(
        default=None, description="Where a copy lies along an edge of the centre that is not as long as its own"
    )


TOGETHER: dict[str, type[BaseModel]] = {"rows": RowKeys, "join": JoinKeys, "around": AroundKeys}
"""The ways that put units together, by the key that tells them."""


def find_model(
    name: str, table: Mapping[str, Any], place: str, others: Mapping[str, type[BaseModel]]
) -> type[BaseModel]:
    """Return the keys of the way in which a unit is made.

    Parameters
    ----------
    name, table
        The unit, and its keys.
    place
        Where the table stands, for the errors.
    others
        Keys of the ways that are not in this module, by the key that tells them.

    Raises
    ------
    StudyError
        No way or two, an unknown family or an unknown patch, with the nearest that is known.
    """
    given = [way for way in WAYS if way in table]
    if len(given) > 1 and isinstance(table.get("rows"), int):  # how many rows of a family or of a setting
        given.remove("rows")
    if len(given) != 1:
        near = [match for key in table for match in get_close_matches(str(key)[:60], WAYS, n=1)]
        raise StudyError(
            f"{place}: `unit.{name}` names {' and '.join(f'`{way}`' for way in given) or 'no way in which it is made'}",
            needed="one of family, patch, rows, join, around and block",
            do=f"write `{near[0]}`" if near and not given else "keep one of them" if given else "add one of them",
        )
    way = given[0]
    if way not in ("family", "patch"):
        return {**TOGETHER, **others}[way]
    choices: Mapping[str, type[BaseModel]] = BLOCK_FAMILIES if way == "family" else PATCHES
    kind = table[way]
    if not isinstance(kind, str) or kind not in choices:
        near = get_close_matches(str(kind)[:60], choices, n=1)
        raise StudyError(
            f"{place}: `unit.{name}.{way}` is {show_value(kind)}" + (f" (is `{near[0]}` meant?)" if near else ""),
            needed=", ".join(choices),
            do="name one of these",
        )
    return choices[kind]


def fill_in(table: Mapping[str, Any], model: type[BaseModel], strip_cut: str | None) -> dict[str, Any]:
    """Return the keys of a unit with its defaults: one column, one row, and the shared strips."""
    keys = dict(table)
    if "family" in keys or "block" in keys:
        keys = {"columns": 1, "rows": 1, **keys}
    if strip_cut is not None and "strip_cut" in model.model_fields and "family" in keys:
        keys = {"strip_cut": strip_cut, **keys}
    return keys


def read_unit(
    name: str, keys: Mapping[str, Any], model: type[BaseModel], place: str, context: Mapping[str, Any] | None = None
) -> BaseModel:
    """Return the keys of a unit, read; without a context lengths are read as texts alone.

    Raises
    ------
    StudyError
        Names the place, the key and the remedy.
    """
    try:
        return model.model_validate(keys, context=dict(context) if context else {"lengths": check_sum})
    except ValidationError as error:
        raise explain_refusal(error, model, place, f"unit.{name}.") from None


def find_known(name: str, known: UnitTables, key: str) -> UnitName:
    """Return the name of a unit that the study has."""
    if name not in known:
        near = get_close_matches(name[:60], list(known), n=1, cutoff=0.5)
        raise refuse_keys(
            f"`{key}`: there is no unit `{name:.60}`",
            f"one of {', '.join(f'`{one}`' for one in list(known)[:12])}" if len(known) else "a table [unit.NAME]",
            f"write `{near[0]}`" if near else f"add a table [unit.{name:.40}]",
        )
    return name
