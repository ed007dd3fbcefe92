"""Fabrics and their cloth."""

import re
from dataclasses import dataclass, field

from kit.errors import KitError
from kit.lengths import Inches, MaybeInches, write_refused
from kit.model.forms import FORMS, Form
from kit.model.notices import Notice
from kit.model.packs import ClothPack
from kit.model.prints import PrintRepeat, Stripes, check_print, find_print_repeat
from kit.model.rules import Wish

USABLE_WIDTH = 40.0
"""Default width of fabric between the selvages, inches (common practice, no source)."""

SQUARING_METRIC = 2.5 * 50 / 127
"""Inches for squaring up one length of yardage in a metric study: 2.5 cm (common practice, no source)."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


def find_usual_squaring(form: str, system: str) -> float | None:
    """Return the default for squaring up a fabric of a study; None: the default of `Supply`."""
    return SQUARING_METRIC if form == "yardage" and system == "metric" else None


@dataclass(frozen=True)
class Fabric:
    """A cloth that fills a slot; each length is inches, or a text with its unit.

    Attributes
    ----------
    slot
        Its role; several fabrics may share one.
    name
        The maker's name for it; unique in a study.
    colour
        "#rrggbb".
    limit
        The most patches that it may cover, or None.
    form
        The form in which it is bought or kept.
    width
        Usable width in inches (yardage), or the cut width (strips), or the side (squares).
    length
        Length of one strip or remnant in inches; None for yardage bought by the length.
    count
        The number of strips, squares or fat quarters; None if as many as needed can be bought.
    price
        Price of one yard or metre of yardage, or of one piece in any other form; None if unknown.
    one_way
        The print has a top: pieces may not be turned by quarter turns.
    nap
        The cloth looks different upside down (velvet, a print with a top and a bottom): no half turns either.
    repeat
        Repeat of the print in inches, along the cloth, if every piece shows the same motif; None if it does not matter.
    shrinkage
        Part of its width and length lost in the first wash (0.03), for cloth washed before cutting.
    washed
        Whether it is washed before cutting; None if unknown.
    squaring
        Inches for squaring up its ends; None: an inch for yardage, nothing for pre-cuts.
    lot
        Dye lot: pieces of one kind come from one lot wherever that is possible.
    margin
        Part of the length bought on top for mistakes (0.05); None: that of the study.
    picture
        Path of a picture of the cloth, from the folder of the study file; None without a picture.
    spread
        Distance of the places in that picture from their mean (CIELAB); None without a picture.
    repeat_across
        Repeat of the print across the cloth in inches; None: as `repeat`.
    motif_along, motif_across
        Inches to the middle of the motif, from where a repeat begins and from the left edge of the usable width;
        None: anywhere.
    stripes
        "along" for stripes parallel to the selvages, "across" for stripes across the cloth, None without stripes.
    stack
        Layers of whole repeats cut through together, for sets of so many pieces alike; None: every piece alike.
    cloth
        Name of the fabric from whose cloth it is cut, in one plan with that; None for a cloth of its own.
    pack
        The pack in which it is bought, as one purchase of several prints; None without.
    picture_width
        Inches of cloth that the picture shows from side to side; None: nobody has said.
    picture_turn
        Degrees against the clock by which the picture is turned so that the length of the cloth runs up.
    picture_mirrored
        Whether the picture lies beside its mirror images: for one whose edges do not meet.
    """

    slot: str
    name: str
    colour: str
    limit: int | None = None
    form: Form = "yardage"
    width: Inches = Inches(USABLE_WIDTH)
    length: MaybeInches = MaybeInches()
    count: int | None = None
    price: float | None = None
    one_way: bool = False
    nap: bool = False
    repeat: MaybeInches = MaybeInches()
    shrinkage: float = 0.0
    washed: bool | None = None
    squaring: MaybeInches = MaybeInches()
    lot: str | None = None
    picture: str | None = None
    spread: float | None = None
    margin: float | None = None
    repeat_across: MaybeInches = MaybeInches()
    motif_along: MaybeInches = MaybeInches()
    motif_across: MaybeInches = MaybeInches()
    stripes: Stripes | None = None
    stack: int | None = None
    cloth: str | None = None
    pack: ClothPack | None = None
    picture_width: MaybeInches = MaybeInches()
    picture_turn: int = 0
    picture_mirrored: bool = False

    def __post_init__(self) -> None:
        check_print(
            f"Fabric `{self.name}`", self.form, self.repeat, self.repeat_across, (self.motif_along, self.motif_across),
            self.stripes, self.stack,
        )  # fmt: skip
        if not _COLOUR.fullmatch(self.colour):
            raise KitError(
                f"Fabric `{self.name}` has the colour `{self.colour}`",
                needed="a colour of the form #rrggbb",
                do='write for instance "#dfe6ea"',
            )
        for what, number in (("limit", self.limit), ("count", self.count)):
            if number is not None and number < 1:
                raise KitError(
                    f"Fabric `{self.name}` has the {what} {number}", needed="at least 1", do=f"leave {what} out"
                )

    def supply(self) -> "Supply":
        """Return the facts about this fabric that a cutting plan needs."""
        return Supply(
            self.slot, self.form, self.width, self.length, self.count, self.one_way, self.name,
            self.nap, self.repeat, self.shrinkage, self.washed, self.squaring, self.lot, self.margin,
            self.repeat_across, self.motif_along, self.motif_across, self.stripes, self.stack, self.cloth,
        )  # fmt: skip


@dataclass(frozen=True)
class Supply:
    """Cloth for one slot; each length is inches, or a text with its unit.

    Attributes
    ----------
    slot
        The slot of its pieces.
    form
        "yardage", "strips", "squares", "fat quarter", "fat eighth" or "remnant".
    width
        Usable width of yardage; cut width of a strip; side of a square; first side of a remnant; width of a fat
        quarter (half the usable width of yardage counts).
    length
        Length on hand (None: yardage bought as needed); length of each strip; other side of a remnant.
    count
        Their number; None: as many as needed.
    one_way
        The print has a top.
    fabric
        Its fabric, if the pieces of the cut list name fabrics.
    nap
        The cloth looks different upside down (velvet, a print with a top and a bottom): no half turns either.
    repeat
        Repeat of the print in inches, along the cloth, if every piece shows the same motif; None if it does not matter.
    shrinkage
        Part of its width and length lost in the first wash (0.03), for cloth washed before cutting.
    washed
        Whether it is washed before cutting; None if unknown.
    squaring
        Inches for squaring up its ends; None: an inch for yardage, nothing for pre-cuts.
    lot
        Dye lot: pieces of one kind come from one lot wherever that is possible.
    margin
        Part of the length bought on top for mistakes; None: that of the plan's wishes.
    repeat_across, motif_along, motif_across, stripes, stack, cloth
        As for `Fabric`.
    shares
        Names of the other fabrics that a plan cuts from this cloth.
    """

    slot: str
    form: Form = "yardage"
    width: Inches = Inches(USABLE_WIDTH)
    length: MaybeInches = MaybeInches()
    count: int | None = None
    one_way: bool = False
    fabric: str | None = None
    nap: bool = False
    repeat: MaybeInches = MaybeInches()
    shrinkage: float = 0.0
    washed: bool | None = None
    squaring: MaybeInches = MaybeInches()
    lot: str | None = None
    margin: float | None = None
    repeat_across: MaybeInches = MaybeInches()
    motif_along: MaybeInches = MaybeInches()
    motif_across: MaybeInches = MaybeInches()
    stripes: Stripes | None = None
    stack: int | None = None
    cloth: str | None = None
    shares: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.form not in FORMS:
            raise KitError(
                f"The supply for `{self.slot}` has the form `{self.form}`",
                needed=", ".join(FORMS),
                do="use one of these words",
            )
        measures = (
            ("width", self.width), ("length", self.length), ("count", self.count), ("repeat", self.repeat),
            ("repeat_across", self.repeat_across),
        )  # fmt: skip
        for what, value in measures:
            if value is not None and not 0 < value < 1e6:
                raise KitError(
                    f"The supply for `{self.slot}` has the {what} {value:g}",
                    needed="more than zero",
                    do=f"correct the {what}",
                )
        if not 0 <= self.shrinkage < 0.5:
            raise KitError(
                f"The supply for `{self.slot}` shrinks by {self.shrinkage:g}",
                needed="a part of its length from 0 to 0.5",
                do="write 0.03 for three in a hundred",
            )
        if self.squaring is not None and not 0 <= self.squaring < 1e3:
            raise KitError(
                f"The supply for `{self.slot}` loses {write_refused(self.squaring)} to squaring up",
                needed="zero or more",
                do="write 1 for an inch",
            )

        if self.margin is not None and not 0 <= self.margin <= 1:
            raise KitError(
                f"The supply for `{self.slot}` has the margin {self.margin:g}",
                needed="a part of its length from 0 to 1",
                do="write 0.05 for five in a hundred",
            )
        check_print(
            f"The supply for `{self.slot}`", self.form, self.repeat, self.repeat_across,
            (self.motif_along, self.motif_across), self.stripes, self.stack,
        )  # fmt: skip

    @property
    def takes_turns(self) -> bool:
        """Whether pieces may be turned by a quarter."""
        return not (self.one_way or self.nap or self.stripes)

    @property
    def directed(self) -> bool:
        """Whether it is yardage whose pieces are cut as they lie in the top."""
        return self.form == "yardage" and (self.one_way or self.nap)

    @property
    def print_repeat(self) -> PrintRepeat | None:
        """The repeat that every piece has to keep, after washing; None where it does not matter."""
        place = self.motif_along, self.motif_across
        return find_print_repeat(self.repeat, self.repeat_across, place, self.stripes, self.shrinkage)

    @property
    def runs_on(self) -> bool:
        """Whether the print runs on over the seams of joined lengths: a pre-cut has it as it comes."""
        return self.print_repeat is not None and self.form == "yardage"


@dataclass(frozen=True)
class Colouring:
    """The fabric of each patch.

    Attributes
    ----------
    assignment
        Patch id -> name of the fabric.
    violations
        Forbidden pairs of patches of one fabric, in slots with several fabrics; by default the pairs sharing an edge.
    uses
        Fabric name -> number of patches.
    touching
        The pairs counted by `violations`, as patch ids.
    bound
        The least number of such pairs in any placement, as far as proved.
    reasons
        The rules and counts behind a bound above zero.
    helps
        What would help, each tried and found to work.
    wishes
        The fulfilment of each wish.
    idle_pins
        Pins of patches that the top does not have.
    """

    assignment: dict[str, str]
    violations: int
    uses: dict[str, int] = field(default_factory=dict)
    touching: tuple[tuple[str, str], ...] = ()
    bound: int = 0
    reasons: tuple[Notice, ...] = ()
    helps: tuple[Notice, ...] = ()
    wishes: tuple[Wish, ...] = ()
    idle_pins: tuple[str, ...] = ()

    @property
    def gap(self) -> int:
        """The most by which the violations might still be reduced."""
        return self.violations - self.bound
