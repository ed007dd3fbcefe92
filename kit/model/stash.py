"""The stash: cloth on hand that is kept across studies, what it makes, and what it offers."""

from dataclasses import dataclass
from math import floor

from kit.lengths import System
from kit.model.fabrics import USABLE_WIDTH, Fabric
from kit.model.finishing_parts import Panel
from kit.model.forms import Form

USUAL_WEIGHT = 145.0
"""Grams of a square metre of quilting cotton (from memory; weigh a piece of known size to have it exactly)."""
SELVAGES = 2.0
"""Inches across yardage beyond its usable width, which are weighed with it (common practice, no source)."""
STRIP_LENGTH = 40.0
"""Inches: length of a strip whose length is not given, as in a cutting plan."""
SQUARE_INCHES = 1 / 0.0254**2
"""Square inches in a square metre."""


@dataclass(frozen=True)
class StashCloth:
    """One cloth on hand. Lengths in inches.

    Attributes
    ----------
    name
        Unique in the stash.
    colour
        "#rrggbb".
    form
        As of a fabric.
    width
        Usable width of yardage; cut width of a strip; side of a square; first side of a remnant.
    length
        Length of yardage, of each strip, of a remnant; None where it is found from the weight or usual.
    count
        Number of strips, squares, fat quarters or remnants; None where it is found from the weight, or for yardage.
    weight
        Grams on the scale, in place of a length of yardage or a number of pieces.
    one_way, nap, shrinkage, washed, lot
        As of a fabric.
    """

    name: str
    colour: str
    form: Form
    width: float = USABLE_WIDTH
    length: float | None = None
    count: int | None = None
    weight: float | None = None
    one_way: bool = False
    nap: bool = False
    shrinkage: float = 0.0
    washed: bool | None = None
    lot: str | None = None

    @property
    def size(self) -> tuple[float, float]:
        """The two sides of one piece, inches; (width, 0) of yardage that is weighed."""
        if self.form in ("fat quarter", "fat eighth"):
            wide = self.width / 2 if self.width >= 36 else self.width
            return wide, self.length or (18.0 if self.form == "fat quarter" else 9.0)
        if self.form == "squares":
            return self.width, self.width
        return self.width, self.length or (STRIP_LENGTH if self.form == "strips" else 0.0)


@dataclass(frozen=True)
class Stash:
    """Every cloth on hand.

    Attributes
    ----------
    cloths
        In the order of the file.
    system
        In which lengths are written.
    usable_width
        Of yardage without a width, inches.
    grams_per_square_metre
        What cloth weighs, for cloth that is weighed.
    cut
        What has been cut from it and taken off: titles and editions.
    """

    cloths: tuple[StashCloth, ...] = ()
    system: System = "inch"
    usable_width: float = USABLE_WIDTH
    grams_per_square_metre: float = USUAL_WEIGHT
    cut: tuple[str, ...] = ()

    def count(self, cloth: StashCloth) -> int:
        """Return the number of pieces of a cloth: 1 of yardage, a whole number by weight, at least the given one."""
        if cloth.weight is None or cloth.form == "yardage":
            return 1 if cloth.count is None else cloth.count
        wide, long = cloth.size
        return floor(self._weigh(cloth) / (wide * long) + 1e-9)

    def measure(self, cloth: StashCloth) -> float:
        """Return the length of one piece of a cloth in inches; of weighed yardage that which its weight gives."""
        if cloth.form == "yardage" and cloth.weight is not None:
            return floor(8 * self._weigh(cloth) / (cloth.width + SELVAGES) + 1e-9) / 8
        return cloth.size[1]

    def _weigh(self, cloth: StashCloth) -> float:
        """Return the square inches of a weighed cloth."""
        return (cloth.weight or 0.0) / self.grams_per_square_metre * SQUARE_INCHES

    def fabric(self, cloth: StashCloth, slot: str, limit: int | None = None) -> Fabric:
        """Return a cloth as a fabric of a study, with all that there is of it."""
        whole = cloth.form == "yardage"
        usual = cloth.form in ("fat quarter", "fat eighth", "squares") and cloth.length is None
        return Fabric(
            slot, cloth.name, cloth.colour, limit, cloth.form, cloth.width,
            None if usual else self.measure(cloth), None if whole else self.count(cloth), None, cloth.one_way,
            cloth.nap, None, cloth.shrinkage, cloth.washed, lot=cloth.lot,
        )  # fmt: skip


@dataclass(frozen=True)
class ToBuy:
    """What is to be bought for the pieces that a stash lacks.

    Attributes
    ----------
    slot
        Their slot.
    pieces
        Their number.
    form
        The form in which the study buys them.
    width
        Its width, inches.
    amount
        Inches of yardage, or a number of strips, squares or others.
    """

    slot: str
    pieces: int
    form: Form
    width: float
    amount: float


@dataclass(frozen=True)
class StashFit:
    """What a stash makes of one size of one design.

    Attributes
    ----------
    title, edition
        Of the study.
    finished
        (width, height) of the top, inches.
    needed
        Pieces in all.
    cloths
        Slot -> names of the cloths of the stash that fill it.
    short
        Slot -> pieces that they do not give; empty if the stash makes it.
    set_aside
        Cloths left out of other slots because they look like the cloth of a slot that one cloth fills.
    buy
        What is to be bought for the pieces that are short.
    reason
        The refusal, if no plan could be made.
    """

    title: str
    edition: str
    finished: tuple[float, float]
    needed: int
    cloths: tuple[tuple[str, tuple[str, ...]], ...]
    short: tuple[tuple[str, int], ...]
    set_aside: tuple[str, ...] = ()
    buy: tuple[ToBuy, ...] = ()
    reason: str = ""

    @property
    def missing(self) -> int:
        """Pieces that are short in all."""
        return sum(count for _, count in self.short)


@dataclass(frozen=True)
class BindingOffer:
    """A cloth of the stash for binding: its strips, their joined length and the length needed, inches."""

    cloth: str
    strips: int
    gives: float
    needed: float


@dataclass(frozen=True)
class StashOffer:
    """What a stash offers for finishing a quilt.

    Attributes
    ----------
    binding
        Cloths that give the whole binding, the smallest that suffices first.
    mixed
        Cloths that give it together if none does alone, the longest first; empty if all are not enough.
    backing
        The panels of a backing from the pieces of the stash; empty if they are not enough.
    pieces
        The cloth of each panel.
    """

    binding: tuple[BindingOffer, ...]
    mixed: tuple[BindingOffer, ...]
    backing: tuple[Panel, ...]
    pieces: tuple[str, ...]
