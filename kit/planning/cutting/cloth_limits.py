"""How many patches a fixed amount of cloth yields, so that no fabric is given more than it can fill."""

from dataclasses import replace

from kit.model.cutting import CutList
from kit.model.fabrics import Fabric
from kit.planning.cutting.cutting_plan import count_yield


def limit_by_cloth(fabrics: tuple[Fabric, ...], pieces: CutList) -> tuple[Fabric, ...]:
    """Return fabrics of a fixed number limited to the patches that they yield, slot by slot.

    Where the cloth of a slot is not enough, its fabrics stay unlimited: the cutting plan then says what is short.
    """
    limited = []
    for slot in pieces.slots:
        mine = [fabric for fabric in fabrics if fabric.slot == slot]
        yields = [count_yield(pieces, fabric.supply()) for fabric in mine]
        need = sum(piece.count for piece in pieces.pieces if piece.slot == slot)
        limits = [(fabric.limit, most) for fabric, most in zip(mine, yields, strict=True)]
        caps = [min((n for n in pair if n is not None), default=need) for pair in limits]
        if sum(caps) < need:
            limited += mine
        else:
            limited += [replace(fabric, limit=cap) for fabric, cap in zip(mine, caps, strict=True)]
    return tuple(limited)
