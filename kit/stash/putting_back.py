"""What is left of the cloth of a pattern, as a stash: lengths and counts less what is cut, and ends worth keeping."""

from collections import Counter
from dataclasses import replace
from math import floor

from kit.errors import KitError
from kit.lengths import Length, buying_length, take_length, write_exact
from kit.model.cutting import ClothPlan, Strip
from kit.model.fabrics import Fabric
from kit.model.pattern import Sketch
from kit.model.stash import Stash, StashCloth

WORTH = (2.0, 6.0)
"""Inches: the shorter and the longer side of the least end that is kept (common practice, no source)."""


def put_back(pattern: Sketch, stash: Stash, least: tuple[Length, Length] = WORTH) -> Stash:
    """Return the stash as it is once the pattern is cut; nothing is written: `kit.save_stash` does that.

    A cloth of the stash that bears the name of a fabric of the study is less by what the cutting plan takes; what
    is left of any other fabric, bought or on hand, comes into it. Ends of strips and of pre-cuts come into it as
    remnants if they are large enough. Borders cut along the cloth leave no end that is counted, and neither do folded
    strips.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    stash
        From `open_stash`.
    least
        The shorter and the longer side of the least end that is kept.

    Raises
    ------
    KitError
        A pattern whose cloth is short, or one that was taken off the stash already.

    Notes
    -----
    Lengths are rounded down to an eighth of an inch. Cloth for binding and backing is not counted.
    """
    made = f"{pattern.study.title}, {pattern.study.edition}"
    short = sum(sum(plan.short.values()) for plan in pattern.cutting.cloths)
    if short:
        raise KitError(
            f"{made} is {short} pieces short of cloth", needed="cloth for every piece",
            do="buy what is missing and enter it in the study or the stash",
        )  # fmt: skip
    if made in stash.cut:
        raise KitError(
            f"{made} was taken off the stash already", needed="a pattern that was not cut before",
            do="if it is made again, give it another edition, or take it out of the key `cut`",
        )  # fmt: skip
    sides = sorted(take_length(side, "least") for side in least)
    fabrics = {fabric.name: fabric for fabric in pattern.study.fabrics}
    plans: dict[str, list[ClothPlan]] = {}
    for plan in pattern.cutting.cloths:
        plans.setdefault(plan.supply.fabric or plan.supply.slot, []).append(plan)
    kept: list[StashCloth] = []
    for cloth in stash.cloths:
        kept += _lessen(stash, cloth, plans[cloth.name]) if cloth.name in plans else [cloth]
    known = {cloth.name for cloth in stash.cloths}
    for name, mine in plans.items():
        if name in fabrics and name not in known:
            kept += _keep_rest(fabrics[name], mine, pattern.study.measures.system, sides[0])
    for name, mine in plans.items():
        if name in fabrics:
            kept = _add_ends(kept, fabrics[name], mine, (sides[0], sides[1]), stash)
    return replace(stash, cloths=tuple(kept), cut=(*stash.cut, made))


def _lessen(stash: Stash, cloth: StashCloth, plans: list[ClothPlan]) -> list[StashCloth]:
    """Return a cloth less what is cut from it; nothing if it is used up."""
    if cloth.form == "yardage":
        left = _floor(stash.measure(cloth) - sum(_take_off(plan) for plan in plans))
        return [replace(cloth, length=left, weight=None)] if left > 0 else []
    count = stash.count(cloth) - sum(len(plan.strips) for plan in plans)
    return [replace(cloth, count=count, weight=None)] if count > 0 else []


def _take_off(plan: ClothPlan) -> float:
    """Return the inches of length that a plan cuts off, as measured before washing."""
    return (plan.used + plan.squaring_up) / (1 - plan.supply.shrinkage) if plan.used else 0.0


def _keep_rest(fabric: Fabric, plans: list[ClothPlan], system: str, least: float) -> list[StashCloth]:
    """Return what is left of a cloth that was not in the stash: of yardage as a shop sells it, or of pieces on hand."""
    if fabric.form == "yardage":
        whole = fabric.length or buying_length(
            sum(plan.as_bought for plan in plans), "metric" if system == "metric" else "inch"
        )
        left = _floor(whole - sum(_take_off(plan) for plan in plans))
        if left < least:
            return []
        return [replace(_as_cloth(fabric), length=left)]
    left_over = (fabric.count or 0) - sum(len(plan.strips) for plan in plans)
    return [replace(_as_cloth(fabric), length=fabric.length, count=left_over)] if left_over > 0 else []


def _as_cloth(fabric: Fabric) -> StashCloth:
    return StashCloth(
        fabric.name, fabric.colour, fabric.form, fabric.width, one_way=fabric.one_way, nap=fabric.nap,
        shrinkage=fabric.shrinkage, washed=fabric.washed, lot=fabric.lot,
    )  # fmt: skip


def _add_ends(
    kept: list[StashCloth], fabric: Fabric, plans: list[ClothPlan], least: tuple[float, float], stash: Stash
) -> list[StashCloth]:
    """Add the ends of the strips as remnants, each size once with its count."""
    ends: Counter[tuple[float, float]] = Counter()
    for plan in plans:
        for strip in plan.strips:
            for wide, high in _find_ends(strip):
                sides = sorted((_floor(wide), _floor(high)))
                if sides[0] >= least[0] and sides[1] >= least[1]:
                    ends[sides[0], sides[1]] += 1
    found = list(kept)
    for (wide, long), count in sorted(ends.items(), reverse=True):
        name = f"{fabric.name}, {write_exact(wide, stash.system)} × {write_exact(long, stash.system)}"
        same = next((i for i, cloth in enumerate(found) if cloth.name == name and cloth.form == "remnant"), None)
        if same is not None:
            found[same] = replace(found[same], count=(found[same].count or 1) + count)
        else:
            # the cloth was washed before it was cut: its ends shrink no more
            cloth = replace(_as_cloth(fabric), name=name, form="remnant", width=wide, shrinkage=0.0)
            found.append(replace(cloth, length=long, count=count))
    return found


def _find_ends(strip: Strip) -> list[tuple[float, float]]:
    """Return the free rectangles of a strip: beside all its cuts, and above them."""
    if strip.folded or strip.lengthwise or not strip.cuts:
        return []
    right = max(cut.x + cut.width for cut in strip.cuts)
    top = max(cut.y + cut.height for cut in strip.cuts)
    return [(strip.length - right, strip.height), (right, strip.height - top)]


def _floor(inches: float) -> float:
    return floor(8 * inches + 1e-6) / 8
