"""What one buys: a roll, a pack or yardage for each slot, each planned and checked, and what is set aside of a pack."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from kit.checks.cutting_check import check_cutting_plan
from kit.model.buying import COMMON_PACKS, PLAIN_DIFFERENCE, BuyingWay, ClothPack, SlotBuying
from kit.model.colour import measure_difference
from kit.model.cutting import CutList, CuttingPlan, Piece
from kit.model.fabrics import Fabric, Supply
from kit.model.pattern import Sketch
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.solvers.packing.search_state import Effort

MOST_PACKS = 6
"""Packs of one kind that anybody buys for one quilt (a choice of this kit)."""


def compare_buying(
    pattern: Sketch,
    packs: Sequence[ClothPack] = COMMON_PACKS,
    *,
    difference: float = PLAIN_DIFFERENCE,
    effort: Effort = "quick",
) -> tuple[SlotBuying, ...]:
    """Return for each slot the ways to buy its cloth: in each pack that gives every piece, and by the length.

    The pieces of a slot are planned together, as one print or many, and slots that are cut from one cloth as one; each
    plan is checked. Packs hold many prints: they are a way only where the slot takes several. Of these, those that look
    like the cloth of a slot with one fabric are counted, and as great a part of each pack is set aside. The pack that
    the study names for a slot comes first, with what the study sets aside of it.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    packs
        What is on sale.
    difference
        Prints less apart (CIEDE2000) from a fabric that fills its slot alone are set aside.
    effort
        As for `make_sketch`.

    Returns
    -------
    tuple of SlotBuying
        In the order of the slots; `kit.tables.buying` says each in one line.

    Notes
    -----
    Some milliseconds for each slot and pack.
    """
    cuts, study = pattern.making.cut_list, pattern.study
    found = []
    for slots in _join_slots(cuts.slots, study.fabrics):
        pieces = tuple(replace(piece, fabric=None, slot=slots[0]) for piece in cuts.pieces if piece.slot in slots)
        mine = replace(cuts, pieces=_gather(CutList(pieces, cuts.allowance, cuts.step)))
        fabrics = [fabric for fabric in study.fabrics if fabric.slot in slots]
        prints = [fabric for fabric in fabrics if fabric.cloth is None or fabric.slot == slots[0]]
        own = next((fabric.pack for fabric in fabrics if fabric.pack is not None), None)
        alike = _find_alike(slots[0], prints, study.fabrics, difference)
        count = len(prints) if own is None else own.prints or own.count
        aside = len(alike) / max(count, 1) if own is None else own.set_aside / own.count
        offered = [*([own] if own else []), *(pack for pack in packs if own is None or not _is_same(pack, own))]
        ways = [way for pack in offered if (way := _take_packs(mine, fabrics, pack, (count, aside), pattern, effort))]
        cloth = _describe(fabrics, Supply(slots[0], "yardage", study.measures.usable_width))
        plan = _plan(mine, cloth, pattern, effort)
        ways += [] if plan.short else [BuyingWay(None, cloth.width, sum(one.as_bought for one in plan.cloths))]
        found.append(SlotBuying(", ".join(slots), sum(piece.count for piece in mine.pieces), count, alike, tuple(ways)))
    return tuple(found)


def _join_slots(slots: Sequence[str], fabrics: Sequence[Fabric]) -> list[tuple[str, ...]]:
    """Return the slots, those whose fabrics are all cut from one cloth together."""
    found: dict[object, list[str]] = {}
    for slot in slots:
        roots = {fabric.cloth or fabric.name for fabric in fabrics if fabric.slot == slot}
        key = next(iter(roots)) if len(roots) == 1 else ("slot", slot)
        found.setdefault(key, []).append(slot)
    return [tuple(held) for held in found.values()]


def _is_same(pack: ClothPack, own: ClothPack) -> bool:
    return (pack.form, pack.count) == (own.form, own.count) and abs(pack.width - own.width) < 1e-6


def _gather(cuts: CutList) -> tuple[Piece, ...]:
    """Return the pieces of a cut list with those of several prints in one line."""
    counts: Counter[str] = Counter()
    for piece in cuts.pieces:
        counts[piece.id] += piece.count
    first = {piece.id: piece for piece in reversed(cuts.pieces)}
    both = {
        name: [piece for piece in cuts.pieces if piece.id == name] for name in dict.fromkeys(p.id for p in cuts.pieces)
    }
    return tuple(
        replace(
            first[name], count=counts[name],
            patches=tuple(patch for piece in mine for patch in piece.patches),
            turns=tuple(turn for piece in mine for turn in piece.turns),
            headings=tuple(heading for piece in mine for heading in piece.headings),
        )
        for name, mine in both.items()
    )  # fmt: skip


def _find_alike(slot: str, fabrics: Sequence[Fabric], every: Sequence[Fabric], difference: float) -> tuple[str, ...]:
    """Return the prints of a slot that look like a fabric which fills another slot alone; none of a slot of one."""
    if len(fabrics) < 2:
        return ()
    prints = Counter(fabric.slot for fabric in every)
    grounds = [fabric.colour for fabric in every if fabric.slot != slot and prints[fabric.slot] == 1]
    return tuple(
        fabric.name
        for fabric in fabrics
        if any(measure_difference(fabric.colour, ground) < difference for ground in grounds)
    )


def _find_printed(fabrics: Sequence[Fabric]) -> Fabric | None:
    """Return the first fabric whose print matters to the cutting."""
    return next((one for one in fabrics if one.repeat or one.repeat_across or one.stripes), None)


def _describe(fabrics: Sequence[Fabric], supply: Supply) -> Supply:
    """Return a supply with what all prints of a slot have: a top, a nap, the greatest loss in washing, a repeat."""
    printed = _find_printed(fabrics)
    if printed is not None:
        supply = replace(
            supply, repeat=printed.repeat, repeat_across=printed.repeat_across, motif_along=printed.motif_along,
            motif_across=printed.motif_across, stripes=printed.stripes, stack=printed.stack,
        )  # fmt: skip
    return replace(
        supply,
        one_way=any(fabric.one_way for fabric in fabrics),
        nap=any(fabric.nap for fabric in fabrics),
        shrinkage=max((fabric.shrinkage for fabric in fabrics), default=0.0),
    )


def _plan(cuts: CutList, supply: Supply, pattern: Sketch, effort: Effort) -> CuttingPlan:
    plan = cutting_plan(cuts, [supply], effort=effort, wishes=pattern.study.cloth)
    check_cutting_plan(cuts, plan)
    return plan


def _take_packs(
    cuts: CutList,
    fabrics: Sequence[Fabric],
    pack: ClothPack,
    prints: tuple[int, float],
    pattern: Sketch,
    effort: Effort,
) -> BuyingWay | None:
    """Return how many packs suffice, None if these pieces are not bought so.

    `prints` is how many prints the part takes, and what part of them is set aside.
    """
    count, part = prints
    printed = _find_printed(fabrics)
    placed = printed is not None and (printed.stack or printed.motif_along or printed.motif_across) is not None
    if (pack.count > 1 and count < 2) or placed:  # nobody knows where in the repeat a pre-cut begins
        return None
    supply = _describe(fabrics, Supply(cuts.slots[0], pack.form, pack.width))
    plan = cutting_plan(cuts, [supply], effort=effort, wishes=pattern.study.cloth)
    if any(cut.joined for one in plan.cloths for strip in one.strips for cut in strip.cuts):
        return None  # nobody buys a pack to join its pieces
    check_cutting_plan(cuts, plan)
    aside = ceil(pack.count * part - 1e-9) if pack.count > 1 else 0
    if plan.short or aside >= pack.count:
        return None
    used = round(sum(one.used for one in plan.cloths))
    packs = replace(pack, set_aside=aside).count_packs(used)
    return BuyingWay(pack, pack.width, used, aside, packs) if pack.count == 1 or packs <= MOST_PACKS else None
