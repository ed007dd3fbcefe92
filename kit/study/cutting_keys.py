"""The [cutting] table of a study file: how units are made, how cloth is cut into rows, and how much more is bought."""

from dataclasses import fields, replace
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, Field, field_validator

from kit.designs.keys import Keys, Length
from kit.errors import LengthError
from kit.lengths import CM, System, buying_length, find_system, read_length, write_exact
from kit.model.blunt_points import Points
from kit.model.cutting import ClothWishes, Nesting
from kit.model.making import MakeWish, MakingWish, MakingWishes

HalfWay: TypeAlias = Literal["one by one", "two at a time", "four at a time", "eight at a time", "stitch and flip"]
GooseWay: TypeAlias = Literal["one by one", "four at a time", "stitch and flip"]
LENGTHS = ("oversize", "set_squaring", "ruler", "long_cuts", "margin_least")
SMALL = ("oversize", "set_squaring", "margin_least")
MOST_MARGIN = 0.5
"""Part of the length: more is taken for a slip of the pen, such as 5 for 5 %."""
MOST = 4.0
"""Inches: more is taken for a slip of the pen."""
SHORTEST, LONGEST = 6.0, 120.0
"""Inches: shorter and longer rulers are taken for a slip of the pen."""
USUAL = MakingWishes()
USUAL_CLOTH = ClothWishes()
LONG_METRIC, LEAST_METRIC, RULER_METRIC = 25 * CM, 2.5 * CM, 60 * CM
"""The metric defaults of `long_cuts`, `margin_least` and `ruler` (common practice, no source)."""


def _read(value: object) -> float:
    """Read a length that may be zero; a LengthError becomes pydantic's, which keeps the key's place beside it."""
    try:
        return read_length(value, zero_allowed=True)
    except LengthError as error:
        raise ValueError(str(error)) from error


def _say(inches: float) -> str:
    return write_exact(inches, find_system())


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
    on_paper: tuple[str, ...] = Field(
        default=USUAL.on_paper, description="Names of the units that are sewn on paper foundations"
    )
    oversize: LengthOrZero = Field(
        default=USUAL.oversize, description="Added to units of triangles, to be trimmed away"
    )
    set_squaring: LengthOrZero = Field(
        default=USUAL.set_squaring, description="Length lost in squaring up the ends of one strip set"
    )
    points: Points = Field(
        default=USUAL.points,
        description="Rulers for triangles cut off strips: with true points alone, or with blunt ones too",
    )

    nesting: Nesting = Field(
        default=USUAL_CLOTH.nesting,
        description="When pieces are nested in two directions and cut by a drawing: where a step of the shop is saved",
    )
    ruler: Length | None = Field(
        default=None, description="Length of ruler and mat: no strip is cut wider, except along the cloth"
    )
    long_cuts: LengthOrZero | None = Field(
        default=None, description="The most cloth spent on cutting long pieces along the cloth, without joins"
    )
    margin: float = Field(
        default=USUAL_CLOTH.margin, ge=0, le=MOST_MARGIN, description="Part of the length bought on top, 0.05 for 5 %"
    )
    margin_least: LengthOrZero | None = Field(default=None, description="The least margin, if there is any")

    @field_validator("on_paper", mode="after")
    @classmethod
    def _keep_once(cls, value: tuple[str, ...]) -> tuple[str, ...]:
        if twice := [name for name in value if value.count(name) > 1]:
            raise ValueError(f"the unit `{twice[0]}` is named twice: name each once")
        return value

    @field_validator(*SMALL, mode="after")
    @classmethod
    def _keep_small(cls, value: float | None) -> float | None:
        if value is not None and value > MOST:
            raise ValueError(f"{_say(value)} is out of range: write at most {_say(MOST)}")
        return value

    @field_validator("ruler", mode="after")
    @classmethod
    def _keep_ruler(cls, value: float | None) -> float | None:
        if value is not None and not SHORTEST <= value <= LONGEST:
            raise ValueError(f"{_say(value)} is out of range: write from {_say(SHORTEST)} to {_say(LONGEST)}")
        return value

    @field_validator("long_cuts", mode="after")
    @classmethod
    def _keep_long(cls, value: float | None) -> float | None:
        if value is not None and value > LONGEST:
            raise ValueError(f"{_say(value)} is out of range: write at most {_say(LONGEST)}")
        return value

    def wishes(self) -> MakingWishes:
        """Return the wishes."""
        return MakingWishes(**{field.name: getattr(self, field.name) for field in fields(MakingWishes)})

    def cloth(self, system: System) -> ClothWishes:
        """Return how cloth is cut and bought, with the round lengths of the system where the file has none."""
        usual = usual_cloth(system)
        given = {name: getattr(self, name) for name in ("nesting", "ruler", "long_cuts", "margin", "margin_least")}
        return replace(usual, **{name: value for name, value in given.items() if value is not None})


def usual_cloth(system: System) -> ClothWishes:
    """Return how cloth is cut and bought by default, in the round lengths of a system."""
    if system == "inch":
        return USUAL_CLOTH
    return replace(
        USUAL_CLOTH, ruler=RULER_METRIC, long_cuts=LONG_METRIC, margin_least=LEAST_METRIC,
        shop_step=buying_length(CM, system),
    )  # fmt: skip


def cutting_keys(wishes: MakingWishes, cloth: ClothWishes, system: System) -> dict[str, Any]:
    """Return the [cutting] table of wishes, empty where everything stands at its default."""
    kept: dict[str, Any] = {}
    for field in fields(MakingWishes):
        value = getattr(wishes, field.name)
        if value != getattr(USUAL, field.name):
            written = list(value) if isinstance(value, tuple) else value
            kept[field.name] = write_exact(value, system) if field.name in LENGTHS else written
    for field in fields(ClothWishes):
        value = getattr(cloth, field.name)
        if field.name != "shop_step" and value != getattr(usual_cloth(system), field.name):
            kept[field.name] = write_exact(value, system) if field.name in LENGTHS else value
    return {"cutting": kept} if kept else {}


def describe_cutting_keys() -> tuple[tuple[str, str, str], ...]:
    """Return every key of the table: its name, its meaning, and its value when left out."""
    rows = []
    for name, field in CuttingKeys.model_fields.items():
        usual = getattr(USUAL_CLOTH if hasattr(USUAL_CLOTH, name) else USUAL, name)
        told = (
            write_exact(usual) if name in LENGTHS and usual is not None else "–" if usual in (None, ()) else str(usual)
        )
        rows.append((name, str(field.description), told))
    return tuple(rows)
