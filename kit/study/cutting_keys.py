"""The [cutting] table of a study file: how units are made, and how the kit decides if no way is named."""

from dataclasses import fields
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, Field, field_validator

from kit.designs.keys import Keys
from kit.errors import LengthError
from kit.lengths import System, read_length, write_exact
from kit.model.making import MakeWish, MakingWish, MakingWishes

HalfWay: TypeAlias = Literal["one by one", "two at a time", "four at a time", "eight at a time", "stitch and flip"]
GooseWay: TypeAlias = Literal["one by one", "four at a time", "stitch and flip"]
LENGTHS = ("oversize", "set_squaring")
MOST = 4.0
"""Inches: more is taken for a slip of the pen."""
USUAL = MakingWishes()


def _read(value: object) -> float:
    """Read a length that may be zero; a LengthError becomes pydantic's, which keeps the key's place beside it."""
    try:
        return read_length(value, zero_allowed=True)
    except LengthError as error:
        raise ValueError(str(error)) from error


LengthOrZero: TypeAlias = Annotated[float, BeforeValidator(_read)]
"""Inches; a length that may be zero."""


class CuttingKeys(Keys):
    """The [cutting] table; without its key a unit follows `wish`, and without a `wish` it is made as `make` says."""

    make: MakeWish = Field(
        default=USUAL.make,
        description="The choice where neither a way nor a wish is named: what saves more work than its cloth is worth,"
        " or every piece cut and sewn by itself",
    )
    wish: MakingWish | None = Field(
        default=None, description="The choice by cloth or by cuts alone; it goes before `make`"
    )
    half_squares: HalfWay | None = Field(default=None, description="How half-square units are made")
    quarter_squares: Literal["one by one", "two at a time"] | None = Field(
        default=None, description="How quarter-square units of two fabrics are made"
    )
    half_rectangles: Literal["one by one", "two at a time"] | None = Field(
        default=None, description="How units of two half-rectangle triangles are made"
    )
    geese: GooseWay | None = Field(default=None, description="How geese are made")
    corners: Literal["one by one", "stitch and flip"] | None = Field(
        default=None, description="How triangles are sewn onto the corners of other pieces"
    )
    strip_sets: Literal["one by one", "sewn and cut across", "sewn into loops"] | None = Field(
        default=None, description="How repeated rows of rectangles are made"
    )
    oversize: LengthOrZero = Field(
        default=USUAL.oversize, description="Added to units of triangles, to be trimmed away"
    )
    set_squaring: LengthOrZero = Field(
        default=USUAL.set_squaring, description="Length lost in squaring up the ends of one strip set"
    )

    @field_validator(*LENGTHS, mode="after")
    @classmethod
    def _keep_small(cls, value: float) -> float:
        if value > MOST:
            raise ValueError(f"{write_exact(value)} is out of range: write at most {write_exact(MOST)}")
        return value

    def wishes(self) -> MakingWishes:
        """Return the wishes."""
        return MakingWishes(**{name: getattr(self, name) for name in type(self).model_fields})


def cutting_keys(wishes: MakingWishes, system: System) -> dict[str, Any]:
    """Return the [cutting] table of wishes, empty where everything stands at its default."""
    kept: dict[str, Any] = {}
    for field in fields(MakingWishes):
        value = getattr(wishes, field.name)
        if value != getattr(USUAL, field.name):
            kept[field.name] = write_exact(value, system) if field.name in LENGTHS else value
    return {"cutting": kept} if kept else {}


def describe_cutting_keys() -> tuple[tuple[str, str, str], ...]:
    """Return every key of the table: its name, its meaning, and its value when left out."""
    rows = []
    for name, field in CuttingKeys.model_fields.items():
        usual = getattr(USUAL, name)
        said = usual if isinstance(usual, str) else "–" if usual is None else write_exact(usual)
        rows.append((name, str(field.description), said))
    return tuple(rows)
