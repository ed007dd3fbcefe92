"""The kinds of value that a family's keys take in a study file."""

from typing import Annotated, TypeAlias

from pydantic import AfterValidator, BeforeValidator, PlainSerializer, StringConstraints

from kit.errors import LengthError, PatchworkError
from kit.lengths import read_length, write_exact


def _read(value: object) -> float:
    """Read a length; a LengthError becomes pydantic's, which keeps the key's place beside it."""
    try:
        return read_length(value)
    except LengthError as error:
        raise ValueError(str(error)) from error


def _write(inches: float) -> str:
    return write_exact(inches, "inch")


def _check_turns(rows: tuple[str, ...]) -> tuple[str, ...]:
    for row in rows:
        for word in row.split():
            if word not in ("0", "90", "180", "270"):
                raise ValueError(f"`{word}` is no quarter turn: write 0, 90, 180 or 270, separated by spaces")
    if not rows or not all(row.split() for row in rows):
        raise ValueError('a row of turns is empty: write at least one turn, for instance ["0"]')
    return rows


Length: TypeAlias = Annotated[float, BeforeValidator(_read), PlainSerializer(_write, when_used="json")]
"""A text with a unit in the study file, inches inside."""

Slot: TypeAlias = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60)]
"""The name of a role that a fabric fills."""

Turns: TypeAlias = Annotated[tuple[str, ...], AfterValidator(_check_turns)]
"""Rows of quarter turns in degrees, repeated over the blocks: ["0 90", "270 180"]."""


def refuse(found: str, needed: str, do: str) -> PatchworkError:
    """Return the error of a family whose keys contradict one another."""
    return PatchworkError(found, needed=needed, do=do)
