"""What one buys: the common packs of cut cloth, and the ways to buy the cloth of one slot."""

from dataclasses import dataclass

from kit.errors import KitError
from kit.lengths import Inches
from kit.model.fabrics import Form

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
    """

    form: Form
    width: Inches = Inches(2.5)
    count: int = 40

    def __post_init__(self) -> None:
        if self.form not in PACKED:
            raise KitError(
                f"A pack has the form `{self.form}`", needed=" or ".join(f"`{form}`" for form in PACKED),
                do="buy yardage and remnants as [[fabric]]",
            )  # fmt: skip
        if self.width <= 0:
            raise KitError(f"A pack is {self.width:g} in wide", needed="more than zero", do='write "2 1/2 in"')
        if not isinstance(self.count, int) or not 1 <= self.count <= MOST_IN_PACK:
            raise KitError(
                f"A pack holds {self.count} pieces", needed=f"a whole number from 1 to {MOST_IN_PACK}",
                do="write the number of strips or squares in one pack",
            )  # fmt: skip


COMMON_PACKS = (
    ClothPack("strips", 2.5, 40),
    ClothPack("squares", 10.0, 42),
    ClothPack("squares", 5.0, 42),
    ClothPack("fat quarter", 20.0, 1),
)
"""A roll of strips, two packs of squares, and fat quarters one by one (common practice, no source)."""


@dataclass(frozen=True)
class BuyingWay:
    """One way to buy the cloth of a slot, really planned.

    Attributes
    ----------
    pack
        How it is sold; None for yardage.
    width
        Usable width of yardage, or the width of the pack, inches.
    used
        Pieces of packs that are cut, or inches of yardage with margin.
    aside
        Pieces of each pack that are set aside because they look like the background.
    packs
        Packs that suffice; 0 for yardage.
    """

    pack: ClothPack | None
    width: float
    used: float
    aside: int = 0
    packs: int = 0


@dataclass(frozen=True)
class SlotBuying:
    """The ways to buy the cloth of one slot.

    Attributes
    ----------
    slot
        The slot.
    pieces
        Its pieces.
    prints
        Fabrics that the study has for it.
    alike
        Names of those that look like the cloth of a slot which one fabric fills.
    ways
        Packs first, in the order in which they were asked, then yardage. Left out are packs that do not give every
        piece, packs of many prints for a slot of one, and more packs than anybody buys.
    """

    slot: str
    pieces: int
    prints: int
    alike: tuple[str, ...]
    ways: tuple[BuyingWay, ...]
