"""Packs: cut cloth of several prints, sold as one purchase."""

from dataclasses import dataclass
from math import ceil

from kit.errors import KitError
from kit.lengths import Inches, write_refused
from kit.model.forms import Form

PACKED: tuple[Form, ...] = ("strips", "squares", "fat quarter", "fat eighth")
"""Forms in which cut cloth is packed."""
MOST_IN_PACK = 10_000


@dataclass(frozen=True)
class ClothPack:
    """Cut cloth as it is sold, as one purchase.

    Attributes
    ----------
    form
        "strips", "squares", "fat quarter" or "fat eighth".
    width
        Cut width of a strip, side of a square, or usable width of the cloth that fat quarters are cut from, inches.
    count
        Pieces in the pack; 1 where pieces are sold one by one.
    prints
        How many different prints are in it; None if unknown.
    set_aside
        Pieces of each pack that are not used, because they look like another part of the design.
    price
        Price of one pack; None if unknown.
    """

    form: Form
    width: Inches = Inches(2.5)
    count: int = 40
    prints: int | None = None
    set_aside: int = 0
    price: float | None = None

    def __post_init__(self) -> None:
        if self.form not in PACKED:
            raise KitError(
                f"A pack has the form `{self.form}`", needed=" or ".join(f"`{form}`" for form in PACKED),
                do="buy yardage and remnants as [[fabric]]",
            )  # fmt: skip
        if self.width <= 0:
            raise KitError(
                f"A pack is {write_refused(self.width)} wide", needed="more than zero", do='write "2 1/2 in"'
            )
        if not isinstance(self.count, int) or not 1 <= self.count <= MOST_IN_PACK:
            raise KitError(
                f"A pack holds {self.count} pieces", needed=f"a whole number from 1 to {MOST_IN_PACK}",
                do="write the number of strips or squares in one pack",
            )  # fmt: skip
        if self.prints is not None and not 1 <= self.prints <= self.count:
            raise KitError(
                f"A pack of {self.count} pieces has {self.prints} prints", needed=f"from 1 to {self.count} prints",
                do="write how many different prints are in one pack, or leave it out",
            )  # fmt: skip
        if not 0 <= self.set_aside < self.count:
            raise KitError(
                f"Of a pack of {self.count} pieces {self.set_aside} are set aside",
                needed=f"from 0 to {self.count - 1}, so that a piece is left",
                do="write how many pieces of each pack are not used, or name another pack",
            )  # fmt: skip
        if self.price is not None and self.price < 0:
            raise KitError(f"A pack costs {self.price:g}", needed="zero or more", do="write the price of one pack")

    @property
    def usable(self) -> int:
        """The pieces of one pack that are used."""
        return self.count - self.set_aside

    def count_packs(self, used: float) -> int:
        """Return how many packs suffice for a number of pieces.

        Examples
        --------
        >>> ClothPack("strips", 2.5, 40, set_aside=4).count_packs(37)
        2
        """
        return ceil(used / self.usable - 1e-9)
