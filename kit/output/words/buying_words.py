"""Sentences about buying: the ways to buy the cloth of one slot, in one line."""

from collections.abc import Mapping
from types import MappingProxyType

from kit.lengths import System, write_buying, write_length
from kit.model.buying import BuyingWay, SlotBuying
from kit.output.words.strings import TEXTS, say_name

BUYING: Mapping[str, str] = MappingProxyType(TEXTS["buying"])


def say_buying(buying: SlotBuying, system: System = "inch") -> str:
    """Return in one line the ways to buy the cloth of a slot."""
    return BUYING["line"].format(slot=buying.slot, ways=say_ways(buying, system))


def say_ways(buying: SlotBuying, system: System = "inch") -> str:
    r"""Return the ways to buy the cloth of a slot, packs first.

    Examples
    --------
    >>> from kit.model.buying import ClothPack
    >>> roll = BuyingWay(ClothPack("strips", 2.5, 40), 2.5, 24, 0, 1)
    >>> line = say_ways(SlotBuying("blade", 150, 8, (), (roll, BuyingWay(None, 40.0, 58.0))))
    >>> line.replace("\xa0", " ")
    '1 roll of 40 strips 2½ in wide (24 cut), or 1⅝ yd, 40 in wide'
    """
    if not buying.ways:
        return BUYING["none"]
    return BUYING["or"].join(say_way(way, system) for way in buying.ways)


def say_way(way: BuyingWay, system: System = "inch") -> str:
    r"""Return one way to buy cloth.

    Examples
    --------
    >>> from kit.model.buying import ClothPack
    >>> pack = ClothPack("squares", 5.0, 42, prints=21, set_aside=4, price=18.5)
    >>> say_way(BuyingWay(pack, 5.0, 60, 4, 2)).replace("\xa0", " ")
    '2 packs of 42 squares of 5 in, 21 prints (60 cut; 4 of each set aside, too like another part), 37.00 in all'
    """
    width = write_length(way.width, system)
    if way.pack is None:
        return BUYING["yardage"].format(length=write_buying(way.used, system), width=width)
    used, form = round(way.used), way.pack.form
    named = form if form in ("strips", "squares") else ""
    if way.pack.count == 1:
        key = f"{named}_single" if named else "single_one" if used == 1 else "single_many"
        return BUYING[key].format(used=used, width=width, form=say_name(form))
    key = f"{named or 'others'}_{'one' if way.packs == 1 else 'many'}"
    pack = BUYING[key].format(packs=way.packs, count=way.pack.count, width=width, form=say_name(form))
    if way.pack.prints is not None:
        pack = BUYING["prints"].format(pack=pack, prints=way.pack.prints)
    said = BUYING["cut_aside" if way.aside else "cut"].format(pack=pack, used=used, aside=way.aside)
    cost = None if way.pack.price is None else way.packs * way.pack.price
    return said if cost is None else BUYING["costs"].format(way=said, cost=cost)
