"""What a cutting plan assumes of its cloth, what it chose, and what the maker should look at."""

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace

from kit.geometry.outlines import TOLERANCE, lie_alike
from kit.model.cutting import ClothPlan, ClothWishes
from kit.model.joined_lengths import find_least_joined
from kit.model.notices import Notice, notice
from kit.model.prints import PrintRepeat
from kit.planning.cutting.blanks import measure_stock


def list_assumptions(cloths: Iterable[ClothPlan], wishes: ClothWishes, runs: Container[str] = ()) -> tuple[Notice, ...]:
    """Return what the plan of each cloth assumes of it; runs: the pieces that lie along a strip, as angled ones do."""

    def describe(plan: ClothPlan) -> tuple[Notice, ...]:
        return (*_describe(plan, wishes), *_list_turned(plan, runs), *_compare(plan))

    return tuple(notice("cloth", name=plan.supply.fabric or plan.supply.slot, parts=describe(plan)) for plan in cloths)


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
    yield from _describe_print(plan)


def _list_turned(plan: ClothPlan, runs: Container[str]) -> Iterator[Notice]:
    """Yield the pieces of a print with a top that lie head to foot along their strip, so that some are upside down."""
    if not plan.supply.one_way or plan.supply.nap:
        return
    cuts = [cut for strip in plan.strips for cut in strip.cuts if cut.piece in runs and cut.shapes]
    turned = {cut.piece for cut in cuts if not lie_alike([shape.outline for shape in cut.shapes])}
    if turned:
        yield notice("cloth-some-turned", pieces=tuple(sorted(turned)))


def _describe_print(plan: ClothPlan) -> Iterator[Notice]:
    """Yield what is taken of the print: its repeat, the place of its motif, its stripes, and what it costs."""
    supply, repeat = plan.supply, plan.supply.print_repeat
    if supply.stripes and not supply.directed:
        yield notice("cloth-stripes-along" if supply.stripes == "along" else "cloth-stripes-across")
    if supply.stack:
        yield notice("cloth-stack", layers=supply.stack, length=plan.layer)
        if plan.short:
            yield notice("cloth-stack-short", pieces=tuple(plan.short))
    elif repeat is not None:
        yield from _describe_repeat(plan, repeat)
    if plan.plain is not None and plan.used > plan.plain + TOLERANCE:
        yield notice("cloth-print-more", length=plan.used - plan.plain)


def _describe_repeat(plan: ClothPlan, repeat: PrintRepeat) -> Iterator[Notice]:
    """Yield how often the motif comes back, where it lies, and how many repeats the long pieces are."""
    if repeat.along is not None and repeat.across is not None:
        yield notice("cloth-repeat", along=repeat.along, across=repeat.across)
    elif repeat.along is not None:
        yield notice("cloth-repeat-along", along=repeat.along)
    elif repeat.across is not None:
        yield notice("cloth-repeat-across", across=repeat.across)
    if repeat.motif_along is not None:
        yield notice("cloth-motif-along", motif=repeat.motif_along, lead=plan.lead)
    if repeat.motif_across is not None:
        yield notice("cloth-motif-across", motif=repeat.motif_across)
    if repeat.along is not None:
        high = {cut.height for strip in plan.strips for cut in strip.cuts}
        for size in sorted(one for one in high if one > repeat.along + TOLERANCE):
            yield notice("cloth-long-repeats", size=size, repeats=round(size / repeat.along, 2))


def _compare(plan: ClothPlan) -> Iterator[Notice]:
    """Yield what was chosen where there was a choice, with both figures."""
    joined = any(cut.joined for strip in plan.strips for cut in strip.cuts)
    if joined:
        yield notice("cloth-joined", least=find_least_joined(plan.strips[0].length))
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
