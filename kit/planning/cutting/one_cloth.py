"""The plan of one cloth: pieces to rectangles, rectangles to strips, strips back to pieces."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import floor, inf

from kit.geometry.outlines import TOLERANCE
from kit.lengths import round_up
from kit.model.cutting import LEAST_CLOTH, ClothPlan, ClothWishes, Piece
from kit.model.fabrics import Supply
from kit.planning.cutting.blanks import SQUARING_UP, AngledRow, Blank, make_blank, measure_stock, stand_upright
from kit.planning.cutting.cut_out import cut_strips, keep_within
from kit.planning.cutting.directions import divide_by_direction, turn_blank
from kit.planning.cutting.rectangles import Fitting, RectanglesToPack, Ruler, find_layings, list_rectangles
from kit.progress import Progress, keep_quiet
from kit.solvers.packing.fixed_sizes import count_bins, fill_precuts
from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.length_bounds import bound_count, bound_length
from kit.solvers.packing.row_precuts import fill_row_precuts
from kit.solvers.packing.row_search import lay_out_rows
from kit.solvers.packing.search_state import MANY_PIECES, NEAR, Effort
from kit.solvers.packing.strip_packing import (
    RectangleKind,
    StripLayout,
    divide_kind,
    find_unit,
    measure_layout,
    multiply_layout,
)

MOST_CHOICES = 8
"""The most combinations of joined and lengthwise long pieces; with more, only all joined and all lengthwise."""
NEAR_ROWS = {"quick": 1.0, "steady": 0.15, "thorough": 0.02}
"""Rows nearer to the least than this are not tried again under stricter rules."""
FAR = {"steady": 1.15, "thorough": 2.0}
"""A choice is dropped if its first layout takes this many times more than the best so far."""


@dataclass(frozen=True)
class Request:
    """The settings of a cloth plan, apart from pieces and cloth."""

    allowance: float
    step: float
    effort: Effort = "thorough"
    progress: Progress = keep_quiet
    wishes: ClothWishes = LEAST_CLOTH
    rows: bool = False
    """Whether every strip is a plain row; set for one plan after another."""
    beat: float = inf
    """Only a plan of at most this many inches, or pre-cuts, is of use; set for one plan after another."""
    reach: float = inf
    """Choices whose first layout takes more than this are not searched; set for one plan after another."""


def plan_cloth(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan the cutting of the pieces of one cloth.

    First in plain rows; nested in two directions where the wishes say so, or where that saves a step in which shops
    sell cloth, a whole pre-cut, or pieces that would be short.
    """
    nesting = request.wishes.nesting
    if nesting == "always":
        return _plan_best(pieces, supply, request)
    rows = _plan_best(pieces, supply, replace(request, rows=True))
    step = request.wishes.shop_step if supply.form == "yardage" else 1.0
    worth = rows.short or rows.used - rows.bound >= step - TOLERANCE
    if nesting == "never" or not worth or request.effort == "quick":
        return replace(rows, rows=rows.used)
    nested = _plan(pieces, supply, request if rows.short else replace(request, beat=rows.used - step))
    missing, spared = (sum(plan.short.values()) for plan in (nested, rows))
    better = missing < spared or (missing == spared and nested.used <= rows.used - step + TOLERANCE)
    bound = max(rows.bound, nested.bound) if not missing and not spared else min(rows.bound, nested.bound)
    chosen = nested if better else rows
    return replace(chosen, rows=rows.used, bound=min(bound, chosen.used) if not chosen.short else bound)


def _plan_best(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan one cloth, in rows or nested.

    Make each piece's blank; set aside pieces too large for the cloth; try long pieces joined and lengthwise, mirror
    pairs through folded cloth and hand by hand; lay each choice out and keep the least, folded if it takes no more.
    A layout for cloth with a top or a nap is valid for plain cloth too. It is tried as well, unless a search has
    ended early near enough, so that a plain print never takes more than a one-way print.
    """
    best = _plan(pieces, supply, request)
    near = NEAR if sum(piece.count for piece in pieces) > MANY_PIECES else 0.0
    for narrow in _narrow(pieces, supply) if request.effort != "quick" else ():
        if best.gap <= near + TOLERANCE or best.short or (request.rows and best.gap < NEAR_ROWS[request.effort]):
            break
        other = _plan(pieces, narrow, replace(request, reach=FAR[request.effort] * best.used))
        if not other.short and other.used < best.used - TOLERANCE:
            best = replace(other, supply=supply, bound=best.bound)
    return best


def _narrow(pieces: Sequence[Piece], supply: Supply) -> Iterator[Supply]:
    """Yield the same cloth with stricter rules: no quarter turns; no half turns if they matter."""
    if supply.stripes:
        return
    if not (supply.one_way or supply.nap):
        yield replace(supply, one_way=True)
    if not supply.nap and any(piece.kind not in ("square", "rectangle") for piece in pieces):
        yield replace(supply, nap=True)


def _plan(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan one cloth under its own rules."""
    ruler = Ruler(measure_stock(supply), request.step)
    short: dict[str, int] = {}
    fitting: list[Fitting] = []
    for piece, quarter in divide_by_direction(pieces, supply):
        blank = make_blank(piece, supply, request.step)
        if quarter is not None and isinstance(blank, Blank):
            blank = turn_blank(blank, quarter, nap=supply.nap)
        elif supply.stripes == "along" and isinstance(blank, Blank):
            blank = stand_upright(blank)
        ways = find_layings(piece, blank, ruler)
        if ways:
            fitting.append((piece, blank, ways))
        elif piece.count:
            short[piece.id] = short.get(piece.id, 0) + piece.count
    found = _choose(fitting, ruler, request)
    strips = cut_strips(found.packing, found.layout, ruler, request.wishes.ruler)
    squaring = supply.squaring if supply.squaring is not None else SQUARING_UP * (supply.form == "yardage")
    strips, lost = keep_within(strips, supply, ruler.stock, squaring)
    for piece_id, count in lost.items():
        short[piece_id] = short.get(piece_id, 0) + count
    yardage = supply.form == "yardage"
    used = sum(strip.height for strip in strips) if yardage else float(len(strips))
    bound = found.bound * ruler.step if yardage else float(found.bound)
    if not short:
        bound = min(bound, used)
    squaring = squaring if strips else 0.0
    margin = _find_margin(supply, used + squaring, request)
    joins = found.joins and (found.joins[0] * ruler.step, found.joins[1] * ruler.step)
    return ClothPlan(supply, tuple(strips), used, bound, squaring, short, margin, joins=joins)


def _find_margin(supply: Supply, length: float, request: Request) -> float:
    """Return the inches bought on top of a length, in whole steps; of cloth on hand no more than is left."""
    if supply.form != "yardage":
        return 0.0
    margin = round_up(request.wishes.find_margin(length, supply.margin), request.step)
    if supply.length is None:
        return margin
    return max(0.0, min(margin, supply.length * (1 - supply.shrinkage) - length))


@dataclass
class _Found:
    packing: RectanglesToPack
    layout: StripLayout
    length: int
    bound: int
    choice: tuple[str, ...] = ()
    joins: tuple[int, int] | None = None

    @property
    def joined(self) -> bool:
        return "joined" in self.choice


def _choose(fitting: Sequence[Fitting], ruler: Ruler, request: Request) -> _Found:
    """Lay out every choice for the long pieces and the hands, the most promising first; keep the best.

    The least is best; but long pieces cut along the cloth may take `long_cuts` more than joined ones. A steady search
    for a nested plan takes the hands as its first layout has them.
    """
    drafts = _draft_all(fitting, ruler, request)
    worth = 0 if ruler.height is not None else ruler.steps(request.wishes.long_cuts)
    drafts.sort(key=lambda draft: draft.length + worth * draft.joined)
    far = request.reach if ruler.height is not None else request.reach / ruler.step
    if request.effort == "quick" or min((draft.length for draft in drafts), default=0) > far:
        return replace(drafts[0], bound=min(draft.bound for draft in drafts), joins=_compare_joins(drafts))
    best: _Found | None = None
    bounds, made, searched = [], [], set[tuple[str, ...]]()
    most = request.beat if ruler.height is not None else request.beat / ruler.step + TOLERANCE
    for draft in drafts:
        price, bound = worth * draft.joined, draft.bound
        if best is None and bound > most and draft is not drafts[-1]:
            made.append(draft)
            bounds.append(bound)
            continue
        rival = None if best is None else best.length + worth * best.joined - price
        if rival is not None and ruler.height is None and bound < rival:
            bound = _bound(draft.packing, ruler, draft.length)
        known = request.effort == "steady" and not request.rows and draft.choice in searched
        if rival is None or (bound < rival and not known and draft.length <= FAR[request.effort] * max(rival, 1)):
            searched.add(draft.choice)
            layout, bound = _lay(draft.packing, ruler, request)
            laid = replace(draft, layout=layout, length=_measure(layout, ruler), bound=bound)
            if rival is None or laid.length < rival:
                best = laid
            made.append(laid)
        else:
            made.append(draft)
        bounds.append(bound)
    if best is None:
        return _Found(RectanglesToPack(), [], 0, 0)
    return replace(best, bound=min(bounds), joins=_compare_joins(made))


def _draft_all(fitting: Sequence[Fitting], ruler: Ruler, request: Request) -> list[_Found]:
    """Lay out every choice for the long pieces and the hands quickly."""
    ways = [entry[2] for entry in fitting]
    choices = list(product(*ways))
    if len(choices) > MOST_CHOICES:
        choices = list(dict.fromkeys([tuple(w[-1] for w in ways), tuple(w[0] for w in ways)]))
    hands = any(isinstance(blank, AngledRow) and piece.hand for piece, blank, _ in fitting)
    drafts = []
    for choice in choices:
        for paired in (True, False) if hands else (False,):
            packing = list_rectangles(fitting, choice, ruler, request.allowance, paired=paired)
            layout, bound = _lay(packing, ruler, replace(request, effort="quick", progress=keep_quiet))
            drafts.append(_Found(packing, layout, _measure(layout, ruler), bound, choice))
    return drafts


def _compare_joins(drafts: Sequence[_Found]) -> tuple[int, int] | None:
    """Return the least length without joins and with joins, None if there is no choice."""
    whole, joined = ([draft.length for draft in drafts if draft.joined == with_joins] for with_joins in (False, True))
    return (min(whole), min(joined)) if whole and joined else None


def _bound(packing: RectanglesToPack, ruler: Ruler, best: int) -> int:
    unit = find_unit(packing.kinds)
    kinds = [divide_kind(kind, unit) for kind in packing.kinds]
    return unit * bound_length(kinds, ruler.width // unit, -(-best // unit))


def _lay(packing: RectanglesToPack, ruler: Ruler, request: Request) -> tuple[StripLayout, int]:
    """Lay out rectangles in the largest unit of which all its sides are whole numbers."""
    if not packing.kinds:
        return [], 0
    unit = find_unit(packing.kinds)
    kinds = [divide_kind(kind, unit) for kind in packing.kinds]
    wide, effort = ruler.width // unit, request.effort

    def follow(what: str, least: float, length: float) -> bool | None:
        return request.progress(what, least * unit, length * unit)

    if ruler.height is not None:
        high = ruler.height // unit
        if not request.rows:
            layout, bound = fill_precuts(kinds, wide, high, effort)
        else:
            layout, bound = _fill_in_rows(kinds, wide, high, effort, request.progress)
        return multiply_layout(layout, unit, ruler.height), bound
    most = None if request.wishes.ruler is None else max(1, floor(request.wishes.ruler / ruler.step / unit + 1e-6))
    if not request.rows:
        layout, bound = lay_out(kinds, wide, effort, follow, most=most)
        return multiply_layout(layout, unit), bound * unit
    layout = lay_out_rows(kinds, wide, "quick", most=most)
    length = measure_layout(layout)
    if effort == "quick":
        return multiply_layout(layout, unit), unit * min(
            length, -(-sum(kind.area * kind.count for kind in kinds) // wide)
        )
    bound = bound_length(kinds, wide, length)
    if length > bound:
        layout = lay_out_rows(kinds, wide, effort, follow, most=most, bound=bound)
    return multiply_layout(layout, unit), bound * unit


def _fill_in_rows(
    kinds: Sequence[RectangleKind], width: int, height: int, effort: Effort, progress: Progress
) -> tuple[StripLayout, int]:
    """Fill pre-cuts row by row; return the layout and the proven least number."""
    layout = fill_row_precuts(kinds, width, height, "quick")
    area = -(-sum(kind.area * kind.count for kind in kinds) // (width * height))
    if effort == "quick":
        return layout, min(count_bins(layout), area)
    bound = bound_count(kinds, width, height, count_bins(layout))
    if count_bins(layout) > bound:
        layout = fill_row_precuts(kinds, width, height, effort, progress, bound=bound)
    return layout, bound


def _measure(layout: StripLayout, ruler: Ruler) -> int:
    return measure_layout(layout) if ruler.height is None else count_bins(layout)
