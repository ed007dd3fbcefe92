"""Fabrics and the cloth that they come as."""

import re
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, get_args

from kit.errors import KitError
from kit.lengths import Inches, MaybeInches
from kit.model.notices import Notice
from kit.model.rules import Wish

Form: TypeAlias = Literal["yardage", "strips", "squares", "fat quarter", "fat eighth", "remnant"]
FORMS: tuple[str, ...] = get_args(Form)

USABLE_WIDTH = 40.0
"""Inches of fabric between the selvages that a plan relies on unless told otherwise (common practice, no source)."""

SQUARING_METRIC = 2.5 * 50 / 127
"""Inches that squaring up one length of yardage takes in a metric study: 2.5 cm (common practice, no source)."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


def find_usual_squaring(form: str, system: str) -> float | None:
    """Return what a fabric of a study is squared up by where nothing else is said; None: as `Supply` has it."""
    return SQUARING_METRIC if form == "yardage" and system == "metric" else None


@dataclass(frozen=True)
class Fabric:
    """A cloth that fills a slot; each length is inches, or a text with its unit.

    Attributes
    ----------
    slot
        The role that it fills; several fabrics may share one.
    name
        What she calls it; unique in a study.
    colour
        "#rrggbb".
    limit
        The most patches that it may cover, or None.
    form
        How it is bought or kept.
    width
        Usable width in inches (yardage), or the cut width (strips), or the side (squares).
    length
        Length of one strip or remnant in inches; None for yardage bought by the length.
    count
        How many strips, squares or fat quarters there are; None when as many as needed can be had.
    price
        For one yard or metre of yardage, for one piece of any other form; None when not known.
    one_way
        The print has a top: pieces may not be turned by quarter turns.
    nap
        The cloth looks another way upside down (velvet, a print with a top and a bottom): no half turns either.
    repeat
        Inches after which the print repeats, where every piece shows the same motif; None where it does not matter.
    shrinkage
        The part of its width and length that it loses in the first wash (0.03), for cloth washed before cutting.
    washed
        Whether it is washed before cutting; None where nobody said.
    squaring
        Inches that squaring up its ends takes; None: an inch of yardage, nothing of pre-cuts.
    lot
        Dye lot: pieces of one kind come from one lot wherever that is possible.
    picture
        Path of a picture of the cloth, from the folder of the study file; None where there is none.
    spread
        How far the places of that picture lie from their mean (CIELAB); None where there is none.
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

    def __post_init__(self) -> None:
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
        """Return what a cutting plan needs to know of this fabric."""
        return Supply(
            self.slot, self.form, self.width, self.length, self.count, self.one_way, self.name,
            self.nap, self.repeat, self.shrinkage, self.washed, self.squaring, self.lot,
        )  # fmt: skip


@dataclass(frozen=True)
class Supply:
    """Cloth for one slot; each length is inches, or a text with its unit.

    Attributes
    ----------
    slot
        The slot whose pieces are cut from it.
    form
        "yardage", "strips", "squares", "fat quarter", "fat eighth" or "remnant".
    width
        Usable width of yardage; cut width of a strip; the side of a square; the first side of a remnant; how wide a
        fat quarter is (the usable width of yardage stands for half of it).
    length
        Length that is on hand (None: yardage bought as needed); of each strip; the other side of a remnant.
    count
        How many of them there are; None: as many as needed.
    one_way
        The print has a top.
    fabric
        The fabric that it is, where the pieces of the cut list name fabrics.
    nap
        The cloth looks another way upside down (velvet, a print with a top and a bottom): no half turns either.
    repeat
        Inches after which the print repeats, where every piece shows the same motif; None where it does not matter.
    shrinkage
        The part of its width and length that it loses in the first wash (0.03), for cloth washed before cutting.
    washed
        Whether it is washed before cutting; None where nobody said.
    squaring
        Inches that squaring up its ends takes; None: an inch of yardage, nothing of pre-cuts.
    lot
        Dye lot: pieces of one kind come from one lot wherever that is possible.
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

    def __post_init__(self) -> None:
        if self.form not in FORMS:
            raise KitError(
                f"The supply for `{self.slot}` has the form `{self.form}`",
                needed=", ".join(FORMS),
                do="use one of these words",
            )
        measures = (
            ("width", self.width), ("length", self.length), ("count", self.count), ("repeat", self.repeat),
        )  # fmt: skip
        for what, value in measures:
            if value is not None and not 0 < value < 1e6:
                raise KitError(
                    f"The supply for `{self.slot}` has the {what} {value:g}",
                    needed="more than nothing",
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
                f"The supply for `{self.slot}` loses {self.squaring:g} in to squaring up",
                needed="nought or more",
                do="write 1 for an inch",
            )

    @property
    def takes_turns(self) -> bool:
        """Whether pieces may be turned by a quarter."""
        return not (self.one_way or self.nap)


@dataclass(frozen=True)
class Colouring:
    """Which fabric each patch is of.

    Attributes
    ----------
    assignment
        Patch id -> name of the fabric.
    violations
        Pairs of patches of one fabric that the rules forbid, in slots that several fabrics fill; by default those that
        share an edge.
    uses
        Fabric name -> number of patches.
    touching
        The pairs counted by `violations`, as patch ids.
    bound
        The least number of such pairs that any placement has, as far as it is proved.
    reasons
        Where the bound is not nought: which rule and which count make it so.
    helps
        What would help, each tried and found to work.
    wishes
        How far each wish is met.
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
        """How many fewer violations there might be, as far as is known."""
        return self.violations - self.bound
