"""The kinds of value for a family's keys in a study file."""

import re
from typing import Annotated, Literal, TypeAlias, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    PlainSerializer,
    StringConstraints,
    ValidationInfo,
    field_validator,
)

from kit.errors import LengthError, PatchworkError
from kit.lengths import read_length, write_exact, write_refused

UNIT_NAME = re.compile(r"[^\W\d_][\w-]{0,39}")


def _read(value: object, info: ValidationInfo) -> float:
    """Read a length; a LengthError becomes pydantic's, which keeps the key's place beside it.

    Where the reader of the keys brings a way of its own to read lengths (those of units are sums), that way is taken.
    """
    read = (info.context or {}).get("lengths", read_length)
    try:
        return float(read(value))
    except LengthError as error:
        raise ValueError(str(error)) from error


def _write(inches: float) -> str:
    return write_exact(inches, "inch")


def _check_turns(rows: tuple[str, ...]) -> tuple[str, ...]:
    for row in rows:
        for word in row.split():
            if word not in ("0", "90", "180", "270"):
                raise ValueError(f"`{word}` is not a quarter turn: write 0, 90, 180 or 270, separated by spaces")
    if not rows or not all(row.split() for row in rows):
        raise ValueError('a row of turns is empty: write at least one turn, for instance ["0"]')
    return rows


def check_printable(text: str) -> str:
    """Return the text; refuse invisible characters, as a pydantic validator does."""
    odd = next((c for c in text if not c.isprintable()), None)
    if odd is not None:
        raise ValueError(f"the text holds the control character U+{ord(odd):04X}: leave it out")
    return text


def check_unit_name(name: str) -> str:
    """Return the name of a unit; refuse one that could not stand in a row of units, as a pydantic validator does."""
    if not UNIT_NAME.fullmatch(name):
        raise ValueError(
            f"{name!r:.60} is not a name of a unit: write a letter, then letters, digits, - or _, at most 40 together"
        )
    return name


Length: TypeAlias = Annotated[float, BeforeValidator(_read), PlainSerializer(_write, when_used="json")]
"""A text with a unit in the study file, inches inside the kit."""

Shift: TypeAlias = Annotated[
    float,
    BeforeValidator(lambda value, info: 0.0 if value in ("whole", 0.0) else _read(value, info)),
    PlainSerializer(lambda inches: _write(inches) if inches else "whole", when_used="json"),
]
"""A length, or "whole" where nothing is shifted."""

Slot: TypeAlias = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60), AfterValidator(check_printable)
]
"""The name of a role for a fabric."""

UnitName: TypeAlias = Annotated[str, AfterValidator(check_unit_name)]
"""The name of a unit, as a table [unit.NAME] gives it."""

UnitText: TypeAlias = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=2_000), AfterValidator(check_printable)
]
"""Names of units with what is done with them, as in a row or a join."""

Turns: TypeAlias = Annotated[tuple[str, ...], AfterValidator(_check_turns)]
"""Rows of quarter turns in degrees, repeated over the blocks: ["0 90", "270 180"]."""

Direction: TypeAlias = Literal["counter-clockwise", "clockwise"]
"""The direction of a rotation."""


_PLAIN: dict[object, str] = {int: "a whole number", float: "a number", bool: "true or false"}


class Keys(BaseModel):
    """Keys of a study file: frozen, unknown ones refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    @field_validator("*", mode="before")
    @classmethod
    def _guess_nothing(cls, value: object, info: ValidationInfo) -> object:
        """Refuse a text, true or false in place of a number, and a number or a text in place of true or false."""
        field = cls.model_fields[str(info.field_name)]
        wanted = next((kind for kind in get_args(field.annotation) or (field.annotation,) if kind in _PLAIN), None)
        if wanted is None or any(isinstance(mark, BeforeValidator) for mark in field.metadata):
            return value
        odd = isinstance(value, bool) != (wanted is bool)
        if isinstance(value, str) or (isinstance(value, bool | int | float) and odd):
            raise ValueError(f"{value!r:.40} is not {_PLAIN[wanted]}: write {_PLAIN[wanted]}, without quotes")
        return value


def refuse_keys(found: str, needed: str, do: str) -> PatchworkError:
    """Return the error of a family whose keys contradict one another."""
    return PatchworkError(found, needed=needed, do=do)


def check_sewable(allowance: float, **lengths: float) -> None:
    """Refuse finished lengths under two allowances; name each by its key.

    Raises
    ------
    PatchworkError
        Names the key, the length and the least.
    """
    for key, inches in lengths.items():
        if inches < 2 * allowance - 1e-9:
            raise refuse_keys(
                f"`design.{key}` is {write_refused(inches)}",
                f"at least two allowances ({write_refused(2 * allowance)}), or it cannot be sewn",
                "widen it or narrow the allowance",
            )
