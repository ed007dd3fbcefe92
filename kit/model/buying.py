"""What one buys: the common packs of cut cloth, and the ways to buy the cloth of one slot."""

from dataclasses import dataclass

from kit.model.packs import MOST_IN_PACK, PACKED, ClothPack

__all__ = [
    "COMMON_PACKS",
    "MOST_IN_PACK",
    "PACKED",
    "PLAIN_DIFFERENCE",
    "BuyingWay",
    "ClothPack",
    "SlotBuying",
    "find_own_way",
]

COMMON_PACKS = (
    ClothPack("strips", 2.5, 40),
    ClothPack("squares", 10.0, 42),
    ClothPack("squares", 5.0, 42),
    ClothPack("fat quarter", 20.0, 1),
)
"""A roll of strips, two packs of squares, and fat quarters one by one (common practice, no source)."""


PLAIN_DIFFERENCE = 10.0
"""CIEDE2000: cloths less apart look alike beside one another (common practice, no source)."""


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


def find_own_way(pack: ClothPack, used: float) -> BuyingWay:
    """Return the way to buy cloth that a study takes from a pack: how many packs give the pieces that are cut."""
    return BuyingWay(pack, pack.width, used, pack.set_aside, pack.count_packs(used))


@dataclass(frozen=True)
class SlotBuying:
    """The ways to buy the cloth of one slot.

    Attributes
    ----------
    slot
        The slot; several with commas between them where they are cut from one cloth.
    pieces
        Its pieces.
    prints
        Fabrics that the study has for it, or prints of its pack.
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
