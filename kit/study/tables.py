"""The tables of a study file: their keys, the allowed values, and their results."""

from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, StringConstraints

from kit.designs.keys import Keys, Length, Slot, check_printable
from kit.errors import StudyError
from kit.lengths import find_system, write_exact, write_refused
from kit.model.fabrics import USABLE_WIDTH, Fabric, find_usual_squaring
from kit.model.forms import Form
from kit.model.pattern import Measures
from kit.model.pictures import read_cloth
from kit.model.pressing import Centres, PressingWish
from kit.model.prints import FEWEST_LAYERS, MOST_LAYERS, Stripes
from kit.model.rules import Direction, Rules, Scale, Symmetry, Touching
from kit.model.sewing import Assembly
from kit.study.cutting_keys import MOST_MARGIN, LengthOrZero

COARSEST = 1.0
"""Inches: the coarsest marks on a cutting mat."""
MOST_SHRINKAGE = 0.2
"""Part of its length: shrinkage over a fifth is taken for a slip of the pen, such as 3 for 3 %."""
NARROWEST = 4.0
"""Inches: narrower yardage is taken for a slip of the pen."""
WIDEST = 64.0
"""Inches: wider cloth is made for backings (common practice, no source)."""

Name = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200), AfterValidator(check_printable)
]


def _check_width(key: str, inches: float) -> None:
    if inches < NARROWEST:
        raise StudyError(
            f"`{key}` is {write_exact(inches, find_system())}",
            needed=f"at least {write_refused(NARROWEST)}",
            do="write the width of the cloth",
        )


class MeasureKeys(Keys):
    """The [measures] table."""

    system: Literal["inch", "metric"] = "inch"
    seam_allowance: Length | None = None
    round_cuts_to: Length | None = None
    usable_width: Length | None = None
    round_sizes_to: Length | None = None

    def measures(self, narrowest: float = USABLE_WIDTH) -> Measures:
        """Return the measures, with the allowance and rounding of the system unless the study has its own.

        The usable width is that of the narrowest cloth of the study, in inches, unless the study gives one.
        """
        metric = self.system == "metric"
        allowance = self.seam_allowance or (0.75 / 2.54 if metric else 0.25)
        step = self.round_cuts_to or (0.1 / 2.54 if metric else 0.125)
        if step > COARSEST:
            raise StudyError(
                f"`measures.round_cuts_to` is {write_exact(step, self.system)}",
                needed=f"at most {write_refused(COARSEST)}",
                do='write for instance "1/8 in"',
            )
        if self.round_sizes_to is not None and self.round_sizes_to > COARSEST:
            raise StudyError(
                f"`measures.round_sizes_to` is {write_exact(self.round_sizes_to, self.system)}",
                needed=f"at most {write_refused(COARSEST)}",
                do='write for instance "0.5 cm"',
            )
        if self.usable_width is not None:
            _check_width("measures.usable_width", self.usable_width)
        width = narrowest if self.usable_width is None else self.usable_width
        return Measures(self.system, allowance, step, width, self.round_sizes_to)


class FabricKeys(Keys):
    """One [[fabric]] table."""

    slot: Slot = Field(description="Its role in the design")
    name: Name = Field(description="Its name, used once in a study")
    colour: Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")] | None = Field(
        default=None, description="Its colour, or the mean of its picture"
    )
    picture: Name | None = Field(default=None, description="A picture of the cloth, beside the study file")
    picture_width: Length | None = Field(
        default=None, description="Width of cloth that the picture shows from side to side"
    )
    picture_turn: Literal[0, 90, 180, 270] = Field(
        default=0, description="Degrees against the clock that bring the length of the cloth in the picture upright"
    )
    picture_mirrored: bool = Field(
        default=False, description="The picture lies beside its mirror images, as its edges do not meet"
    )
    spread: float | None = Field(default=None, ge=0, le=300, description="How far its places are from the mean colour")
    form: Form = Field(default="yardage", description="The form in which it is bought or kept")
    width: Length | None = Field(
        default=None, description="Usable width; of a strip its cut width, of a square its side"
    )
    length: Length | None = Field(default=None, description="Length on hand; left out for yardage bought as needed")
    count: int | None = Field(default=None, ge=1, le=100_000, description="Number of strips, squares or remnants")
    price: float | None = Field(default=None, ge=0, le=100_000, description="Price per yard, metre or piece")
    limit: int | None = Field(default=None, ge=1, le=100_000, description="The most patches that it may cover")
    one_way: bool = Field(default=False, description="Its print has a top: pieces are cut as they lie in the quilt")
    nap: bool = Field(default=False, description="It looks different upside down: no half turns either")
    repeat: Length | None = Field(
        default=None, description="Each piece of a shape shows the same motif, which comes back at this distance"
    )
    repeat_across: Length | None = Field(
        default=None, description="That distance across the cloth, where it is another than along it"
    )
    motif_along: LengthOrZero | None = Field(
        default=None, description="From where a repeat begins to the middle of the motif, along the cloth"
    )
    motif_across: LengthOrZero | None = Field(
        default=None, description="From the left edge of the usable width to the middle of the first motif"
    )
    stripes: Stripes | None = Field(
        default=None, description="Its stripes run along the cloth or across it: long sides lie along the stripes"
    )
    stack: int | None = Field(
        default=None, ge=FEWEST_LAYERS, le=MOST_LAYERS,
        description="Layers of whole repeats cut through together, for sets of so many pieces alike",
    )  # fmt: skip
    shrinkage: float = Field(
        default=0.0,
        ge=0,
        le=MOST_SHRINKAGE,
        description="Part of its length and width lost in washing, 0.03 for 3 %",
    )
    washed: bool | None = Field(default=None, description="Whether it is washed before cutting")
    squaring: LengthOrZero | None = Field(default=None, description="Length lost in squaring up its ends")
    margin: float | None = Field(
        default=None, ge=0, le=MOST_MARGIN, description="Part of its length bought on top, in place of the study's"
    )
    lot: Name | None = Field(default=None, description="Dye lot: pieces of one kind come from one lot if possible")
    cloth: Name | None = Field(
        default=None, description="The fabric of this study from whose cloth it is cut, in one plan with it"
    )

    def fabric(self, measures: Measures, folder: Path | None = None) -> Fabric:
        """Return the fabric, with the usable width of the study unless the file gives one.

        A picture of the cloth gives the mean colour and the spread if the file does not.
        """
        width = self.width
        colour, spread = self._see(folder)
        if width is None and self.form in ("strips", "squares", "remnant"):
            raise StudyError(
                f"Fabric `{self.name}` comes as {self.form} and has no width",
                needed="`width`, the cut width of a strip, the side of a square or the width of a remnant",
                do='add for instance width = "2 1/2 in"',
            )
        if self.form == "yardage" and width is not None:
            _check_width(f"width` of fabric `{self.name}", width)
        if self.form == "remnant" and self.length is None:
            raise StudyError(
                f"Fabric `{self.name}` is a remnant and has no length", needed="`length`", do='add length = "12 in"'
            )
        return Fabric(
            self.slot, self.name, colour, self.limit, self.form,
            width or (20.0 if self.form == "fat quarter" else measures.usable_width),
            self.length, self.count, self.price, self.one_way,
            self.nap, self.repeat, self.shrinkage, self.washed,
            find_usual_squaring(self.form, measures.system) if self.squaring is None else self.squaring,
            self.lot, self.picture, spread, self.margin,
            self.repeat_across, self.motif_along, self.motif_across, self.stripes, self.stack,
            picture_width=self.picture_width, picture_turn=self.picture_turn, picture_mirrored=self.picture_mirrored,
        )  # fmt: skip

    def _see(self, folder: Path | None) -> tuple[str, float | None]:
        """Return the colour and the spread, from the file or else from the picture."""
        if self.picture is None and self.colour is None:
            raise StudyError(
                f"Fabric `{self.name}` has no colour",
                needed="`colour` or `picture`",
                do='add for instance colour = "#dfe6ea"',
            )
        if self.picture is None or (self.colour is not None and self.spread is not None):
            return str(self.colour).lower(), self.spread
        if folder is None:
            raise StudyError(
                f"Fabric `{self.name}` has a picture, but this study is not in a folder",
                needed="a study file beside its pictures",
                do="save the study first, or give colour and spread",
            )
        cloth = read_cloth(folder, self.picture)
        spread = cloth.spread if self.spread is None else self.spread
        return (self.colour or cloth.colour).lower(), spread


def find_narrowest(fabrics: Iterable[FabricKeys | Fabric]) -> float:
    """Return the least usable width of yardage, inches; yardage that names none has the usual width.

    Cloth made for backings says nothing of the rest: what is wider than any cloth for tops does not count.

    Examples
    --------
    >>> cloth = [FabricKeys(slot="a", name=str(wide), colour="#dfe6ea", width=wide) for wide in ("42 in", "108 in")]
    >>> find_narrowest(cloth), find_narrowest([*cloth, FabricKeys(slot="b", name="c", colour="#dfe6ea")])
    (42.0, 40.0)
    """
    widths = [
        USABLE_WIDTH if one.width is None else one.width for one in fabrics if one.form == "yardage" and not one.cloth
    ]
    return min((wide for wide in widths if wide <= WIDEST), default=USABLE_WIDTH)


def describe_fabric_keys() -> tuple[tuple[str, str], ...]:
    """Return every key of a [[fabric]] table and its meaning."""
    return tuple((name, str(field.description)) for name, field in FabricKeys.model_fields.items())


class ColouringKeys(Keys):
    """The [colouring] table: rules and wishes for the placement of prints."""

    touching: Touching = "edges"
    apart: int = Field(default=1, ge=1, le=50)
    once_in_unit: bool = False
    pairs: bool = False
    pins: dict[Name, Name] = Field(default={}, max_length=20_000)
    set_aside: tuple[Name, ...] = Field(default=(), max_length=2_000)
    difference: float | None = Field(default=None, gt=0, le=100)
    gradient: Direction | None = None
    gradient_by: Scale = "lightness"
    symmetry: Symmetry | None = None
    spread: bool = False
    no_stripes: bool = False

    def rules(self, fabrics: tuple[Fabric, ...]) -> Rules:
        """Check that every fabric in the rules exists, and return the rules."""
        names = [fabric.name for fabric in fabrics]
        pinned = [(f"pins.{patch}", name) for patch, name in self.pins.items()]
        for where, name in [*pinned, *(("set_aside", name) for name in self.set_aside)]:
            if name not in names:
                near = get_close_matches(name, names, n=1)
                raise StudyError(
                    f"`colouring.{where}` names the fabric `{name}`, which the study does not have",
                    needed="the name of a fabric",
                    do=f"is `{near[0]}` meant?" if near else "correct it or add the fabric",
                )
        values = {name: getattr(self, name) for name in type(self).model_fields}
        return Rules(**{**values, "pins": tuple(sorted(self.pins.items()))})


class SewingKeys(Keys):
    """The [sewing] table: how the top goes together, how seams are pressed, whether patches are split."""

    pressing: PressingWish = "nest"
    partial_seams: Literal["sew", "split"] = "sew"
    assembly: Assembly = "kit's choice"
    centres: Centres = "to one side"


class StashKeys(Keys):
    """The [stash] table: the file of the cloth on hand, beside the study file."""

    file: Name
