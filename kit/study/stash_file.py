"""The stash file: cloth on hand, kept across studies. TOML text <-> frozen Stash; nothing in it is executed."""

import os
import tomllib
from dataclasses import fields
from pathlib import Path
from typing import Annotated, Any, Literal, TypeAlias

import tomli_w
from pydantic import BeforeValidator, Field, StringConstraints, ValidationError

from kit.designs.explaining import explain_refusal
from kit.designs.keys import Keys, Length
from kit.errors import KitError, LengthError, StudyError
from kit.lengths import read_weight, write_exact, write_weight
from kit.model.fabrics import USABLE_WIDTH
from kit.model.forms import Form
from kit.model.stash import USUAL_WEIGHT, Stash, StashCloth
from kit.study.tables import MOST_SHRINKAGE, NARROWEST, Name
from kit.study.text_file import read_text

COUNTED = ("strips", "squares", "fat quarter", "fat eighth")
"""Forms that are counted or weighed; yardage is measured or weighed, a remnant measured."""
LENGTHS = ("width", "length")


def _read(value: object) -> float:
    try:
        return read_weight(value)
    except LengthError as error:
        raise ValueError(str(error)) from error


Weight: TypeAlias = Annotated[float, BeforeValidator(_read)]
"""A text with a unit in the file, grams inside the kit."""


class StashClothKeys(Keys):
    """One [[cloth]] table."""

    name: Name = Field(description="Its name, used once in the stash")
    colour: Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")] = Field(description="Its colour")
    form: Form = Field(description="The form in which it is kept")
    width: Length | None = Field(
        default=None, description="Usable width; of a strip its cut width, of a square its side"
    )
    length: Length | None = Field(default=None, description="Length of yardage, of each strip or of a remnant")
    count: int | None = Field(default=None, ge=1, le=100_000, description="Number of pieces")
    weight: Weight | None = Field(default=None, description="What it weighs, in place of length or count")
    one_way: bool = Field(default=False, description="Its print has a top")
    nap: bool = Field(default=False, description="It looks different upside down")
    shrinkage: float = Field(default=0.0, ge=0, le=MOST_SHRINKAGE, description="Part lost in washing, 0.03 for 3 %")
    washed: bool | None = Field(default=None, description="Whether it is washed before cutting")
    lot: Name | None = Field(default=None, description="Dye lot")

    def cloth(self, usable: float) -> StashCloth:
        """Return the cloth; refuse one whose amount is missing or told twice."""
        counted, name = self.form in COUNTED, f"Cloth `{self.name}`"
        if self.width is None and self.form in ("strips", "squares", "remnant"):
            raise StudyError(
                f"{name} comes as {self.form} and has no width",
                needed="`width`, the cut width of a strip, the side of a square or the width of a remnant",
                do='add for instance width = "2 1/2 in"',
            )
        if self.form == "yardage" and (self.width or usable) < NARROWEST:
            raise StudyError(
                f"{name} is yardage {write_exact(self.width or usable)} wide", needed=f"at least {NARROWEST:g} in",
                do='write the width of the cloth, or form = "remnant"',
            )  # fmt: skip
        if self.form == "yardage" and self.count is not None:
            raise StudyError(
                f"{name} is yardage and has a count", needed="one length of each cloth",
                do="give each length a [[cloth]] and a name of its own",
            )  # fmt: skip
        if self.form == "squares" and self.length is not None:
            raise StudyError(f"{name} comes as squares and has a length", needed="`width` alone", do="remove `length`")
        if self.form == "remnant" and self.weight is not None:
            raise StudyError(f"{name} is a remnant and has a weight", needed="`width` and `length`", do="measure it")
        if self.form == "remnant" and self.length is None:
            raise StudyError(f"{name} is a remnant and has no length", needed="`length`", do='add length = "12 in"')
        amount, other = (self.count, "count") if counted else (self.length, "length")
        if self.weight is not None and amount is not None:
            raise StudyError(
                f"{name} has both `{other}` and `weight`", needed="one of them", do="remove the one that is less sure"
            )
        if self.form != "remnant" and self.weight is None and amount is None:
            example = "count = 8" if counted else 'length = "1 1/4 yd"'
            raise StudyError(
                f"{name} has neither `{other}` nor `weight`", needed="how much there is of it",
                do=f'add for instance {example}, or weight = "250 g"',
            )  # fmt: skip
        count = 1 if self.form == "remnant" and self.count is None else self.count
        wide = self.width or (20.0 if self.form in ("fat quarter", "fat eighth") else usable)
        return StashCloth(
            self.name, self.colour.lower(), self.form, wide, self.length, count, self.weight, self.one_way, self.nap,
            self.shrinkage, self.washed, self.lot,
        )  # fmt: skip


class StashFileKeys(Keys):
    """The whole stash file."""

    system: Literal["inch", "metric"] = "inch"
    usable_width: Length = USABLE_WIDTH
    grams_per_square_metre: float = Field(default=USUAL_WEIGHT, ge=20, le=2000)
    cut: tuple[Name, ...] = Field(default=(), max_length=2_000)
    cloth: tuple[StashClothKeys, ...] = Field(default=(), max_length=2_000)


def open_stash(path: str | os.PathLike[str]) -> Stash:
    """Read a stash file.

    Parameters
    ----------
    path
        A TOML file of at most a megabyte, UTF-8, with a [[cloth]] for each cloth.

    Raises
    ------
    StudyError
        Names the file, the cloth, the key and what to do.
    """
    place = Path(path)
    return read_stash(read_text(place, "a stash file", "a [[cloth]] for each cloth"), place=place.name)


def read_stash(text: str, *, place: str = "stash") -> Stash:
    """Read a stash from TOML text.

    Raises
    ------
    StudyError
        Names the place, the cloth, the key and the remedy.

    Examples
    --------
    >>> text = 'cloth = [{name = "Kelp", colour = "#2f5d50", form = "strips", width = "2 1/2 in", count = 9}]'
    >>> read_stash(text).cloths[0].count
    9
    """
    try:
        raw = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise StudyError(f"{place} is not TOML: {error}", needed="key = value lines", do="correct that line") from None
    try:
        keys = StashFileKeys.model_validate(raw)
    except ValidationError as error:
        raise explain_refusal(error, StashFileKeys, place, "") from None
    try:
        cloths = tuple(entry.cloth(keys.usable_width) for entry in keys.cloth)
    except KitError as error:
        raise StudyError(f"{place}: {error.found}", needed=error.needed, do=error.do) from None
    names = [cloth.name for cloth in cloths]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise StudyError(
            f"{place}: two cloths are called `{twice}`", needed="a different name for each", do="rename one"
        )
    found = Stash(cloths, keys.system, keys.usable_width, keys.grams_per_square_metre, keys.cut)
    light = next(
        (cloth for cloth in cloths if cloth.weight and not (found.measure(cloth) and found.count(cloth))), None
    )
    if light is not None:
        raise StudyError(
            f"{place}: cloth `{light.name}` weighs {write_weight(light.weight or 0.0)}, less than one piece of it",
            needed="the weight of a piece or more", do="weigh it again, or correct its width and length",
        )  # fmt: skip
    return found


def stash_keys(stash: Stash) -> dict[str, Any]:
    """Return the keys of a stash file, lengths and weights as text; keys at their default are left out."""
    usual = Stash()
    kept: dict[str, Any] = {}
    if stash.system != usual.system:
        kept["system"] = stash.system
    if stash.usable_width != usual.usable_width:
        kept["usable_width"] = write_exact(stash.usable_width, stash.system)
    if stash.grams_per_square_metre != usual.grams_per_square_metre:
        kept["grams_per_square_metre"] = stash.grams_per_square_metre
    if stash.cut:
        kept["cut"] = list(stash.cut)
    if stash.cloths:
        kept["cloth"] = [_cloth_keys(cloth, stash.system) for cloth in stash.cloths]
    return kept


def _cloth_keys(cloth: StashCloth, system: Any) -> dict[str, Any]:
    kept: dict[str, Any] = {}
    for field in fields(StashCloth):
        value = getattr(cloth, field.name)
        if field.name in ("name", "colour", "form", "width") or value != field.default:
            kept[field.name] = value
    kept |= {name: write_exact(kept[name], system) for name in LENGTHS if name in kept}
    return kept | ({"weight": write_weight(kept["weight"])} if "weight" in kept else {})


def write_stash(stash: Stash) -> str:
    """Return the stash as TOML text that reads back as the same stash."""
    return tomli_w.dumps(stash_keys(stash))
