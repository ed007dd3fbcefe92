"""What a cutting plan assumes of its cloth, what it chose, and what the maker should look at."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from kit.geometry.outlines import TOLERANCE
from kit.model.cutting import LEAST_JOINED, ClothPlan, ClothWishes
from kit.model.notices import Notice, notice
from kit.planning.cutting.blanks import measure_stock


def list_assumptions(cloths: Iterable[ClothPlan], wishes: ClothWishes) -> tuple[Notice, ...]:
    """Return what the plan of each cloth assumes of it."""
    return tuple(
        notice("cloth", name=plan.supply.fabric or plan.supply.slot, parts=(*_describe(plan, wishes), *_compare(plan)))
        for plan in cloths
    )


def _describe(plan: ClothPlan, wishes: ClothWishes) -> Iterator[Notice]:
    """Yield what is taken of the cloth itself."""
    supply = plan.supply
    if supply.form == "yardage":
        yield notice("cloth-yardage", width=supply.width, squaring=plan.squaring_up)
        if plan.margin:
            share = wishes.margin if supply.margin is None else supply.margin
            yield notice("cloth-margin", part=share, least=wishes.margin_least)
    else:
        stock = measure_stock(replace(supply, shrinkage=0.0))
        yield notice("cloth-precut", form=supply.form, height=stock.height or stock.width, length=stock.width)
    if supply.lot:
        yield notice("cloth-lot", lot=supply.lot)
    if supply.shrinkage:
        yield notice("cloth-washed", shrinkage=supply.shrinkage)
    if supply.nap:
        yield notice("cloth-nap")
    elif supply.one_way:
        yield notice("cloth-as-it-lies" if supply.form == "yardage" else "cloth-no-quarter-turn")
    if supply.repeat:
        yield notice("cloth-repeat", length=supply.repeat)


def _compare(plan: ClothPlan) -> Iterator[Notice]:
    """Yield what was chosen where there was a choice, with both figures."""
    joined = any(cut.joined for strip in plan.strips for cut in strip.cuts)
    if joined:
        yield notice("cloth-joined", least=LEAST_JOINED)
    if plan.joins:
        whole, with_joins = plan.joins
        yield notice("cloth-joins" if joined else "cloth-joins-spared", whole=whole, joined=with_joins)
    if plan.rows is not None and plan.used < plan.rows - TOLERANCE:
        yield notice("cloth-nested", length=plan.rows - plan.used)


def list_warnings(cloths: Sequence[ClothPlan]) -> tuple[Notice, ...]:
    """Return what the maker should look at: washed and unwashed cloth in one top."""
    washed = sorted({plan.supply.fabric or plan.supply.slot for plan in cloths if plan.supply.washed})
    unwashed = sorted({plan.supply.fabric or plan.supply.slot for plan in cloths if plan.supply.washed is False})
    if washed and unwashed:
        return (notice("washed-and-unwashed", washed=tuple(washed), unwashed=tuple(unwashed)),)
    return ()
