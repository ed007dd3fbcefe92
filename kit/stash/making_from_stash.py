"""Which designs and sizes a stash makes: cloths shared among the slots so that least is short, then really planned."""

from collections import Counter
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

from kit.errors import KitError
from kit.model.buying import PLAIN_DIFFERENCE
from kit.model.colour import find_lightness, measure_difference
from kit.model.cutting import CutList, Piece
from kit.model.fabrics import Fabric
from kit.model.making import MakingWishes
from kit.model.pattern import Sketch
from kit.model.stash import Stash, StashCloth, StashFit, ToBuy
from kit.pipeline import make_sketch
from kit.planning.cutting.cloth_shares import share_out_need
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list
from kit.progress import Progress, keep_quiet, report
from kit.solvers.packing.heaps import share_heaps
from kit.study import Study, editions

NEAR_LIGHTNESS = 30.0
"""Steps of L*: a cloth further from those of a part of the design does not take its place (a choice of this kit)."""
TO_BUY = " +"
"""What the name of a fabric to buy has after it where a cloth of the stash bears its name."""
ROUNDS = 2
"""How often the shares of the cloths are corrected by what the plan then finds short."""


def match_stash(
    stash: Stash,
    studies: Sequence[Study],
    *,
    difference: float = PLAIN_DIFFERENCE,
    lightness: float = NEAR_LIGHTNESS,
    progress: Progress = keep_quiet,
) -> tuple[StashFit, ...]:
    """Return what a stash makes of every size of the designs, the one that is least short first.

    For each size list the pieces of each slot; plan each cloth for each slot alone, to see how many pieces it gives;
    share the cloths among the slots so that as few pieces as possible are short (an integer programme), like colours
    first; then plan the whole with those cloths. A slot that the study fills with one fabric gets one cloth,
    and cloths that look like it are kept out of the other slots.

    Parameters
    ----------
    stash
        From `open_stash`.
    studies
        Studies, each with its editions; the fabrics of a study say how many prints a slot takes and in which colours.
    difference
        Cloths at least so far apart (CIEDE2000) may lie beside a cloth that fills its slot alone; 0 lets every cloth.
    lightness
        A cloth fills a slot only if its lightness (L*, 0 to 100) is within this of one of the study's fabrics there, so
        that light parts stay light and dark ones dark; 100 lets every cloth.
    progress
        Told each size, how many are done and how many there are.

    Returns
    -------
    tuple of StashFit
        A size that cannot be planned is at the end, with its reason.

    Notes
    -----
    Some milliseconds for each cloth and slot, and a quick plan of each size. A cloth fills one slot. Pieces
    are cut one by one: units made several at a time take other shapes, and cloth that just suffices may not give them.
    """
    sizes = [size for study in studies for size in editions(study)]
    found = []
    for number, study in enumerate(sizes):
        report(progress, f"{study.title}, {study.edition}", number, len(sizes))
        found.append(_match(stash, study, difference, lightness))
    return tuple(sorted(found, key=lambda fit: (bool(fit.reason), fit.missing, fit.title, fit.edition)))


def _match(stash: Stash, study: Study, difference: float, lightness: float) -> StashFit:
    try:
        found = plan_from_stash(stash, study, difference, lightness)
    except KitError as error:
        return StashFit(study.title, study.edition, (0.0, 0.0), 0, (), (), reason=str(error))
    sketch, served = found.sketch, found.served
    short = _count_short(sketch)
    cloths = tuple(
        (slot, tuple(cloth.name for cloth in stash.cloths if served.get(cloth.name) == slot))
        for slot in sketch.cut_list.slots
    )
    return StashFit(
        study.title, study.edition, sketch.patchwork.finished, sketch.making.cut_list.count, cloths,
        tuple(sorted(short.items())), found.set_aside, tuple(_buy(study, sketch, slot) for slot in sorted(short)),
    )  # fmt: skip


def fill_from_stash(
    stash: Stash, study: Study, *, difference: float = PLAIN_DIFFERENCE, lightness: float = NEAR_LIGHTNESS
) -> Study:
    """Return a study in cloths of the stash, to be saved, made and printed like any other.

    Pins and other rules that name the study's own prints are left out, and pieces are cut one by one.

    Parameters
    ----------
    stash, difference, lightness
        As for `match_stash`.
    study
        The study; its editions are left out, for a stash gives each size other cloths.

    Raises
    ------
    KitError
        A design that cannot be built, or colours that cannot be placed.
    """
    return plan_from_stash(stash, study, difference, lightness).study


@dataclass(frozen=True)
class FilledStudy:
    """A study in cloths of a stash, and its plan.

    Attributes
    ----------
    study
        In a slot that no cloth of the stash fills, its own fabrics, none of them there yet.
    sketch
        Its plans.
    served
        Name of a cloth -> its slot.
    set_aside
        Cloths left out because they look like the cloth of a slot that one cloth fills.
    """

    study: Study
    sketch: Sketch
    served: Mapping[str, str]
    set_aside: tuple[str, ...]


def plan_from_stash(
    stash: Stash, study: Study, difference: float = PLAIN_DIFFERENCE, lightness: float = NEAR_LIGHTNESS
) -> FilledStudy:
    """Return one size of a study in cloths of a stash, as `match_stash` plans it.

    Raises
    ------
    KitError
        A design that cannot be built, or colours that cannot be placed.
    """
    cuts = cut_list(study.make_patchwork(), study.measures.round_cuts_to)
    slots = cuts.slots
    needs = [sum(piece.count for piece in cuts.pieces if piece.slot == slot) for slot in slots]
    prints = Counter(fabric.slot for fabric in study.fabrics)
    alone = [prints[slot] == 1 for slot in slots]
    colours = [[fabric.colour for fabric in study.fabrics if fabric.slot == slot] for slot in slots]
    gives = [
        [
            _count_given(cuts, stash, cloth, slot, study) if _is_as_light(cloth.colour, mine, lightness) else 0
            for slot, mine in zip(slots, colours, strict=True)
        ]
        for cloth in stash.cloths
    ]
    costs = [
        [min(99, round(min(measure_difference(cloth.colour, one) for one in mine))) for mine in colours]
        for cloth in stash.cloths
    ]
    alike = _find_alike(stash.cloths, difference)
    found = share_heaps(needs, gives, costs, alone, alike)
    served = {cloth.name: slots[j] for cloth, j in zip(stash.cloths, found, strict=True) if j is not None}
    lone = {i for i, j in enumerate(found) if j is not None and alone[j]}
    outside = {i for pair in alike for i, other in (pair, pair[::-1]) if other in lone and found[i] is None}
    fabrics: list[Fabric] = []
    for j, slot in enumerate(slots):
        mine = [i for i, one in enumerate(found) if one == j]
        limits = _limit(needs[j], [gives[i][j] for i in mine])
        fabrics += [stash.fabric(stash.cloths[i], slot, limit) for i, limit in zip(mine, limits, strict=True)]
        if not mine:
            fabrics += [_as_bought(fabric, served) for fabric in study.fabrics if fabric.slot == slot]
    filled, sketch = _plan(study, fabrics, served)
    filled = replace(filled, cutting=MakingWishes(make="one by one"))
    return FilledStudy(filled, sketch, served, tuple(stash.cloths[i].name for i in sorted(outside)))


def _is_as_light(colour: str, others: Sequence[str], lightness: float) -> bool:
    return any(abs(find_lightness(colour) - find_lightness(other)) <= lightness for other in others)


def _limit(need: int, gives: Sequence[int]) -> list[int | None]:
    """Return the most patches of each cloth: what it gives, or its part where all together are not enough."""
    if len(gives) < 2:
        return [None] * len(gives)
    if sum(gives) >= need:
        return list(gives)
    return [max(1, share) for share in share_out_need(need, gives, [None] * len(gives))]


def _plan(study: Study, fabrics: Sequence[Fabric], served: Mapping[str, str]) -> tuple[Study, Sketch]:
    """Plan a study in these fabrics; pins and prints set aside are those of the study's own cloths and stay away.

    A mixture of pieces may give fewer than each cloth alone: where a print is short, its share goes to the others.
    """
    rules = replace(study.rules, pins=(), set_aside=(), difference=None, gradient=None)
    finishing = replace(study.finishing, binding_fabric="", backing_fabric="")
    base = replace(
        study, fabrics=tuple(fabrics), rules=rules, finishing=finishing, editions=(), stash=None,
        cutting=MakingWishes(),  # a sketch then cuts piece by piece, without an order of sewing
    )  # fmt: skip
    best, kept = make_sketch(base), base
    for _ in range(ROUNDS):
        short = _short_by_cloth(best)
        missing = sum(short.values())
        if not missing or not any(name in served for name in short):
            break
        tighter = []
        for fabric in base.fabrics:
            uses = best.colouring.uses.get(fabric.name, 0)
            less = uses - short.get(fabric.name, 0)
            tight = fabric.name in short and fabric.limit is not None and less > 0
            tighter.append(replace(fabric, limit=less) if tight else replace(fabric, limit=_loosen(fabric)))
        base = replace(base, fabrics=tuple(tighter))
        try:
            other = make_sketch(base)
        except KitError:
            break
        if sum(_short_by_cloth(other).values()) >= missing:
            break
        best, kept = other, base
    return kept, best


def _loosen(fabric: Fabric) -> int | None:
    """Return a limit a tenth above that of a cloth which was not short."""
    return None if fabric.limit is None else fabric.limit + max(1, fabric.limit // 10)


def _find_alike(cloths: Sequence[StashCloth], difference: float) -> list[tuple[int, int]]:
    return [
        (i, j)
        for i, one in enumerate(cloths)
        for j in range(i)
        if measure_difference(one.colour, cloths[j].colour) < difference
    ]


def _count_given(cuts: CutList, stash: Stash, cloth: StashCloth, slot: str, study: Study) -> int:
    """Return how many pieces for a slot one cloth gives, planned for these pieces alone."""
    pieces = tuple(piece for piece in cuts.pieces if piece.slot == slot)
    supply = replace(stash.fabric(cloth, slot).supply(), fabric=None)
    plan = cutting_plan(replace(cuts, pieces=pieces), [supply], effort="quick", wishes=study.cloth)
    return sum(piece.count for piece in pieces) - sum(sum(one.short.values()) for one in plan.cloths)


def _as_bought(fabric: Fabric, taken: Container[str] = ()) -> Fabric:
    """Return a fabric as it is bought, as much of it as needed, under another name where that is taken."""
    name = fabric.name
    while name in taken:
        name += TO_BUY
    length = fabric.length if fabric.form != "yardage" else None
    return replace(fabric, name=name, limit=None, count=None, length=length)


def _short_by_cloth(sketch: Sketch) -> dict[str, int]:
    found: Counter[str] = Counter()
    for plan in sketch.cutting.cloths:
        found[plan.supply.fabric or ""] += sum(plan.short.values())
    return {name: count for name, count in found.items() if count}


def _count_short(sketch: Sketch) -> dict[str, int]:
    """Return the pieces that are short in each slot; all of a slot whose cloth is still to be bought."""
    bought = {fabric.name for fabric in sketch.study.fabrics if fabric.count is None and not _is_length(fabric)}
    found: Counter[str] = Counter()
    for piece in sketch.making.cut_list.pieces:
        found[piece.slot] += piece.count if piece.fabric in bought else 0
    for plan in sketch.cutting.cloths:
        found[plan.supply.slot] += sum(plan.short.values())
    return {slot: count for slot, count in found.items() if count}


def _is_length(fabric: Fabric) -> bool:
    return fabric.form == "yardage" and fabric.length is not None


def _buy(study: Study, sketch: Sketch, slot: str) -> ToBuy:
    """Plan the pieces that are short from the study's own cloth, bought as needed."""
    bought = {fabric.name for fabric in sketch.study.fabrics if fabric.count is None and not _is_length(fabric)}
    short = {
        (plan.supply.fabric, piece): count for plan in sketch.cutting.cloths for piece, count in plan.short.items()
    }
    missing: dict[str, Piece] = {}
    for piece in sketch.making.cut_list.pieces:
        count = piece.count if piece.fabric in bought else short.get((piece.fabric, piece.id), 0)
        if piece.slot == slot and count:
            before = missing[piece.id].count if piece.id in missing else 0
            missing[piece.id] = replace(piece, count=before + count, patches=(), turns=(), headings=(), fabric=None)
    own = _as_bought(next(fabric for fabric in study.fabrics if fabric.slot == slot))
    if own.form == "remnant":
        own = replace(own, form="yardage", width=study.measures.usable_width)
    cuts = replace(sketch.making.cut_list, pieces=tuple(missing.values()))
    plan = cutting_plan(cuts, [replace(own.supply(), fabric=None)], effort="quick", wishes=study.cloth)
    amount = sum(one.as_bought for one in plan.cloths)
    return ToBuy(slot, sum(piece.count for piece in missing.values()), own.form, float(own.width), amount)
