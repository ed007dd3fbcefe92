"""Cutting plan: every piece cut from the least cloth, by ruler and rotary cutter.

Pieces of one fabric are planned together (`one_cloth`). Several supplies of a slot (remnants, dye lots) are
used one after another; pieces beyond the last supply are short.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from kit.errors import NoPlanError
from kit.geometry.outlines import TOLERANCE, measure_area
from kit.model.cutting import LEAST_CLOTH, ClothPlan, ClothWishes, CutList, CuttingPlan, LaidPiece, Piece
from kit.model.fabrics import Supply
from kit.planning.cutting.any_cloth import plan_any
from kit.planning.cutting.assumptions import list_assumptions, list_warnings
from kit.planning.cutting.blanks import SQUARING_UP, AngledRow, make_blank, measure_stock
from kit.planning.cutting.directions import DIRECTED, divide_cut
from kit.planning.cutting.enough import find_enough
from kit.planning.cutting.joint_cloths import find_roots, merge_kinds
from kit.planning.cutting.one_cloth import Request
from kit.progress import Progress, keep_quiet
from kit.solvers.packing.search_state import Effort

__all__ = ["SQUARING_UP", "count_yield", "cutting_plan"]


def cutting_plan(
    cut_list: CutList,
    supplies: Sequence[Supply] | None = None,
    *,
    effort: Effort = "thorough",
    progress: Progress = keep_quiet,
    wishes: ClothWishes = LEAST_CLOTH,
) -> CuttingPlan:
    """Plan the cutting of the pieces from the least cloth.

    Find the cloth of each piece, plan each cloth, add up the cloth of each slot.

    Parameters
    ----------
    cut_list
        The pieces.
    supplies
        Cloth for each slot (or for each fabric of a slot, if the pieces name fabrics), in one or several supplies;
        None takes yardage of the default usable width for every slot.
    effort
        "quick" while a slider moves: strips filled greedily, bounded by area; "steady": searched, with a strong bound;
        "thorough": searched further, by merging pieces with an equal side.
    progress
        Told slot, proven least and length so far of yardage, inches, again and again; a stop keeps the best so far.
    wishes
        How cloth is cut and bought: plain rows, the ruler's length, the margin. Left out, the least cloth however it is
        to be cut, without a margin; a pattern takes the wishes of its study, `study.cloth`.

    Returns
    -------
    CuttingPlan
        Strips in the order of cutting, with the cloth used, the proven least, and the missing pieces.

    Raises
    ------
    NoPlanError
        A slot without a supply.

    Notes
    -----
    Quick: a few milliseconds per fabric. Thorough: from some milliseconds, if counting strips already gives the least,
    to a few seconds for many kinds of piece. Never more cloth than strips counted kind by kind.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> from kit.planning.pieces.cut_list import cut_list
    >>> squares = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for x in range(0, 40, 2) for y in range(0, 40, 2)]
    >>> plan = cutting_plan(cut_list(patchwork_from_outlines(squares)))
    >>> plan.cloth == plan.bound == {"patch": 62.5}
    True
    """
    cloths: list[ClothPlan] = []
    for (slot, _), (pieces, found) in _find_supplies(cut_list, supplies).items():

        def follow(_: str, least: float, length: float, slot: str = slot) -> bool | None:
            return progress(slot, least * cut_list.step, length * cut_list.step)

        cloths += _plan_supplies(pieces, found, Request(cut_list.allowance, cut_list.step, effort, follow, wishes))
    cloth: dict[str, float] = defaultdict(float)
    bound: dict[str, float] = defaultdict(float)
    squaring: dict[str, float] = defaultdict(float)
    short: dict[str, list[str]] = defaultdict(list)
    for plan in cloths:
        slot = plan.supply.slot
        cloth[slot] += plan.used
        bound[slot] += plan.bound
        squaring[slot] += plan.squaring_up
        if plan.short:
            missing = ", ".join(f"{count} of {piece}" for piece, count in plan.short.items())
            short[slot].append(f"{plan.supply.fabric or slot}: {missing}")
    runs = {piece.id for piece in cut_list.pieces if piece.kind not in ("square", *DIRECTED)}
    said = {slot: "; ".join(parts) for slot, parts in short.items()}
    return CuttingPlan(
        tuple(cloths),
        dict(cloth),
        dict(bound),
        dict(squaring),
        said,
        list_assumptions(cloths, wishes, runs),
        list_warnings(cloths),
    )


def count_yield(cut_list: CutList, supply: Supply) -> int | None:
    """Return the least number of pieces of its slot from a fixed amount of cloth, None if it is bought as needed.

    Counted by the piece that needs most of a strip, so that any mixture of pieces fits.
    """
    stock = measure_stock(supply)
    if supply.form == "yardage" or stock.count is None or stock.height is None:
        return None
    least = None
    for piece in cut_list.pieces:
        if piece.slot == supply.slot:
            blank = make_blank(piece, supply, cut_list.step)
            wide = blank.width(1) if isinstance(blank, AngledRow) else blank.width
            high = min(blank.height, stock.height) if min(piece.cut.values()) <= stock.height else blank.height
            rooms = (stock.height, high), (stock.width, wide)
            across, along = (int((room + TOLERANCE) // size) for room, size in rooms)
            least = across * along if least is None else min(least, across * along)
    return None if least is None else least * stock.count


def _find_supplies(
    cut_list: CutList, supplies: Sequence[Supply] | None
) -> dict[tuple[str, str | None], tuple[list[Piece], list[Supply]]]:
    """Pair each fabric's (or slot's) pieces with their supplies; fabrics of one cloth are together."""
    roots = find_roots(supplies or ())
    groups: dict[tuple[str, str | None], list[Piece]] = defaultdict(list)
    for piece in cut_list.pieces:
        groups[roots.get(piece.fabric or "", (piece.slot, piece.fabric))].append(piece)
    found = {}
    for (slot, fabric), held in groups.items():
        pieces = merge_kinds(held)
        shares = tuple(dict.fromkeys(piece.fabric for piece in held if piece.fabric and piece.fabric != fabric))
        if supplies is None:
            mine = [Supply(slot, fabric=fabric)]
        else:
            mine = [supply for supply in supplies if (supply.slot, supply.fabric) == (slot, fabric)]
            mine = mine or [supply for supply in supplies if supply.slot == slot and supply.fabric is None]
            mine = mine or [supply for supply in supplies if supply.slot == slot and fabric is None]
        if not mine:
            raise NoPlanError(
                f"There is no cloth for slot `{slot}`" + (f", fabric `{fabric}`" if fabric else ""),
                needed="one supply for each slot of the cut list",
                do=f'add kit.Supply("{slot}", "yardage", 40)',
            )
        found[slot, fabric] = (
            pieces,
            [replace(supply, fabric=fabric or supply.fabric, shares=shares) for supply in mine],
        )
    return found


def _plan_supplies(pieces: Sequence[Piece], supplies: Sequence[Supply], request: Request) -> list[ClothPlan]:
    """Use one supply after another; each gets the pieces that the earlier ones could not give.

    If a dye lot cannot give all of a kind of piece, and another lot follows, none of that kind is cut from it.
    """
    plans: list[ClothPlan] = []
    wanted = [piece for piece in pieces if piece.count]
    for number, supply in enumerate(supplies):
        last = number == len(supplies) - 1
        plan = plan_any(wanted, supply, request)
        if plan.short and not last:
            given = _choose_whole(wanted, supply, request) if supply.lot else _divide(wanted, plan)[0]
            plan = plan_any(given, supply, request)
            cut = {piece.id: piece.count - plan.short.get(piece.id, 0) for piece in given}
            plan = replace(plan, short=_count_missing(wanted, cut), bound=min(plan.bound, plan.used))
        wanted = _divide(wanted, plan)[1]
        if plan.strips or last or not wanted:
            plans.append(plan if last or not wanted else replace(plan, short={}))
        if not wanted:
            break
    if len(supplies) == 1 and request.effort != "quick" and request.wishes is not LEAST_CLOTH:
        plans = [replace(plan, enough=find_enough(pieces, plan, request)) for plan in plans]
    if wanted and plans and not plans[-1].short:
        plans[-1] = replace(plans[-1], short={piece.id: piece.count for piece in wanted})
    return plans


def _choose_whole(wanted: Sequence[Piece], supply: Supply, request: Request) -> list[Piece]:
    """Choose the kinds of piece that a supply can give completely, those with most cloth first."""
    chosen: list[Piece] = []
    for piece in sorted(wanted, key=lambda one: (-measure_area(one.outline) * one.count, one.id)):
        if not plan_any([*chosen, piece], supply, replace(request, effort="quick", progress=keep_quiet)).short:
            chosen.append(piece)
    return chosen


def _divide(wanted: Sequence[Piece], plan: ClothPlan) -> tuple[list[Piece], list[Piece]]:
    """Return the pieces that a plan cuts, and the missing ones."""
    shapes: dict[str, list[LaidPiece]] = defaultdict(list)
    for strip in plan.strips:
        for cut in strip.cuts:
            shapes[cut.piece].extend(cut.shapes)
    nap = plan.supply.nap
    both = [divide_cut(piece, plan.short.get(piece.id, 0), shapes[piece.id], nap=nap) for piece in wanted]
    return [cut for cut, _ in both if cut.count], [missing for _, missing in both if missing.count]


def _count_missing(wanted: Sequence[Piece], cut: Mapping[str, int]) -> dict[str, int]:
    """Return the number of each piece that is not cut."""
    missing = {piece.id: piece.count - cut.get(piece.id, 0) for piece in wanted}
    return {name: count for name, count in missing.items() if count}
