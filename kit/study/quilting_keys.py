"""The [quilting] and [[quilting.stitch]] tables of a study file: how to stitch each part of the top, and the limits.

Every key may be left out; the usual value of the study's system then holds: in the ditch everywhere.
"""

from dataclasses import replace
from typing import Annotated, Any, TypeAlias

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, ValidationInfo, field_validator

from kit.designs.keys import Keys, check_printable
from kit.errors import LengthError
from kit.lengths import System, find_system, read_length, write_exact
from kit.model.quilting_wishes import Beginning, LayerPlace, QuiltingWay, QuiltingWishes, Stitching, find_usual_quilting

MOST_STITCHES = 200
MOST_CORNERS = 200


def _read(value: object) -> float:
    """Read a length; a LengthError becomes pydantic's, which keeps the key's place beside it."""
    try:
        return read_length(value, longest=LONGEST)
    except LengthError as error:
        raise ValueError(str(error)) from error


def _read_corner(value: object) -> object:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise ValueError("a corner of the motif is not a pair of numbers: write for instance [0.5, 1]")
    for number in value:
        if isinstance(number, bool) or not isinstance(number, int | float) or not abs(number) <= 1e6:
            raise ValueError(f"{number!r:.40} is not a number for a corner of the motif: write for instance [0.5, 1]")
    return tuple(float(number) for number in value)


Length: TypeAlias = Annotated[float, BeforeValidator(_read)]
PartKey: TypeAlias = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200), AfterValidator(check_printable)
]
Corner: TypeAlias = Annotated[tuple[float, float], BeforeValidator(_read_corner)]

LONGEST = 10_000.0
"""Inches: the most that a machine stitches in a minute."""
RANGES: dict[str, tuple[float, float]] = {
    "gap_limit": (0.5, 24), "loft": (0.01, 2), "throat": (4, 200), "reach": (0.125, 100),
    "straight_speed": (1, LONGEST), "curve_speed": (1, LONGEST), "spacing": (0.1, 100),
}  # fmt: skip
"""Inches: the range of believable lengths; common practice, no source."""


def _keep_within(value: object, info: ValidationInfo) -> object:
    """Refuse lengths outside the range of quilting."""
    low, high = RANGES.get(str(info.field_name), (0.0, LONGEST))
    if isinstance(value, float) and info.field_name in RANGES and not low <= value <= high:
        shown, least, most = (write_exact(inches, find_system()) for inches in (value, low, high))
        raise ValueError(f"{shown} is out of range: write {least} to {most}")
    return value


def _key(description: str, **limits: Any) -> Any:
    return Field(default=None, description=description, **limits)


class StitchKeys(Keys):
    """One [[quilting.stitch]] table: where and how."""

    where: PartKey = Field(default="top", description='"top", a slot, or the name of patches')
    way: QuiltingWay = Field(default="ditch", description="The way of stitching")
    spacing: Length | None = _key("Between neighbouring lines")
    angle: float = Field(default=45.0, ge=-360, le=360, description="Degrees of straight lines, from level upward")
    together: bool = Field(default=False, description="Whether patches that touch make one region")
    motif: tuple[Corner, ...] = Field(
        default=(),
        max_length=MOST_CORNERS,
        description="Corners in any unit: of a closed curve for the way motif, of an open one for drawn line",
    )
    colour: Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")] | None = _key("Of the thread")
    rounds: int = Field(default=0, ge=0, le=1000, description="Echo lines; 0: as many as fit")
    within: LayerPlace = Field(
        default="area", description="The area, or what the wish before enclosed there, or what it left around its lines"
    )
    turn: int = Field(default=1, ge=1, le=20, description="Which of so many areas in a row: the first, the second ...")
    turns: int = Field(default=1, ge=1, le=20, description="How many areas in a row make one turn")

    _within = field_validator("spacing", mode="after")(_keep_within)

    def stitching(self, system: System) -> Stitching:
        """Return the wish, with the usual value for every key that the file leaves out."""
        usual = find_usual_stitching(system)
        given = {name: value for name in type(self).model_fields if (value := getattr(self, name)) is not None}
        given["colour"] = str(given.get("colour", usual.colour)).lower()
        return replace(usual, **given)


class QuiltingKeys(Keys):
    """The [quilting] table."""

    gap_limit: Length | None = _key("The widest unquilted gap that the batting's label allows")
    loft: Length | None = _key("Thickness of the batting where nothing presses it")
    throat: Length | None = _key("Space under the machine's arm; left out, it does not matter")
    reach: Length | None = _key("The longest way across open cloth to separate lines")
    begin: Beginning | None = _key("Where a thread begins: in the middle of the quilt, or anywhere")
    straight_speed: Length | None = _key("Length stitched in a minute along straight lines")
    curve_speed: Length | None = _key("Length stitched in a minute along curves")
    stop_minutes: float | None = _key("Minutes for starting and fastening off one thread", ge=0, le=100)
    stitch: tuple[StitchKeys, ...] = Field(default=(), max_length=MOST_STITCHES, description="The ways of stitching")

    _within = field_validator("*", mode="after")(_keep_within)

    def wishes(self, system: System) -> QuiltingWishes:
        """Return the wishes, with the usual value for every key that the file leaves out.

        Raises
        ------
        KitError
            A motif without corners.
        """
        names = set(type(self).model_fields) - {"stitch"}
        given = {name: value for name in sorted(names) if (value := getattr(self, name)) is not None}
        if self.stitch:
            given["stitchings"] = tuple(stitch.stitching(system) for stitch in self.stitch)
        return replace(find_usual_quilting(system), **given)


def find_usual_stitching(system: System) -> Stitching:
    """Return the usual values for the keys that a [[quilting.stitch]] leaves out."""
    return find_usual_quilting(system).stitchings[0]


def quilting_keys(wishes: QuiltingWishes, system: System) -> dict[str, Any]:
    """Return the [quilting] table of wishes, empty where everything is as usual in the system."""
    usual = find_usual_quilting(system)
    kept: dict[str, Any] = {}
    for name in QuiltingKeys.model_fields:
        if name != "stitch" and (value := getattr(wishes, name)) != getattr(usual, name):
            kept[name] = write_exact(value, system) if name in RANGES else value
    if wishes.stitchings != usual.stitchings:
        kept["stitch"] = [_stitch_keys(stitching, system) for stitching in wishes.stitchings]
    return {"quilting": kept} if kept else {}


def _stitch_keys(stitching: Stitching, system: System) -> dict[str, Any]:
    usual = find_usual_stitching(system)
    kept: dict[str, Any] = {"where": stitching.where, "way": stitching.way}
    for name in ("spacing", "angle", "together", "motif", "colour", "rounds", "within", "turn", "turns"):
        value = getattr(stitching, name)
        if value != getattr(usual, name):
            kept[name] = write_exact(value, system) if name == "spacing" else value
    if stitching.motif:
        kept["motif"] = [list(corner) for corner in stitching.motif]
    return kept


def describe_quilting_keys(system: System = "inch") -> tuple[tuple[str, str, str], ...]:
    """Return every key of both tables: its name, its meaning, and its value when left out."""
    usual = find_usual_quilting(system)
    rows = [
        (name, str(field.description), _show(name, getattr(usual, name), system))
        for name, field in QuiltingKeys.model_fields.items()
        if name != "stitch"
    ]
    rows += [
        (f"stitch.{name}", str(field.description), _show(name, getattr(usual.stitchings[0], name), system))
        for name, field in StitchKeys.model_fields.items()
    ]
    return tuple(rows)


def _show(name: str, value: Any, system: System) -> str:
    if value is None or value == ():
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return write_exact(value, system) if name in RANGES else f"{value:g}" if isinstance(value, float) else str(value)
