"""The plan of any cloth: plain, with a print whose motif matters, or in a stack of repeats."""

from collections.abc import Sequence
from dataclasses import replace

from kit.model.cutting import ClothPlan, Piece
from kit.model.fabrics import Supply
from kit.planning.cutting.one_cloth import Request, plan_cloth
from kit.planning.cutting.print_rows import plan_print
from kit.planning.cutting.print_stacks import plan_stack
from kit.progress import keep_quiet


def plan_any(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan the cutting of the pieces of one cloth as its print asks.

    Pre-cuts with a repeat are planned in boxes of whole repeats: nobody knows where in the repeat each of them begins.
    """
    if supply.form != "yardage":
        return plan_cloth(pieces, supply, request)
    if not supply.stack and not supply.print_repeat:
        return plan_cloth(pieces, supply, request)
    plan = plan_stack(pieces, supply, request) if supply.stack else plan_print(pieces, supply, request)
    if request.effort == "quick" or plan.short:
        return plan
    plain = replace(supply, repeat=None, repeat_across=None, motif_along=None, motif_across=None, stack=None)
    quick = plan_cloth(pieces, plain, replace(request, effort="quick", progress=keep_quiet))
    return replace(plan, plain=quick.used)
