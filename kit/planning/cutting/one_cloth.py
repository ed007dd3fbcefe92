"""The plan of one cloth: pieces to rectangles, rectangles to strips, strips back to pieces."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from kit.geometry.outlines import TOLERANCE
from kit.model.cutting import ClothPlan, Piece
from kit.model.fabrics import Supply
from kit.planning.cutting.blanks import SQUARING_UP, AngledRow, Blank, make_blank, measure_stock
from kit.planning.cutting.cut_out import cut_strips, keep_within
from kit.planning.cutting.directions import divide_by_direction, turn_blank
from kit.planning.cutting.rectangles import Fitting, RectanglesToPack, Ruler, find_layings, list_rectangles
from kit.progress import Progress, keep_quiet
from kit.solvers.packing.fixed_sizes import count_bins, fill_precuts
from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.length_bounds import bound_length
from kit.solvers.packing.search_state import MANY_PIECES, NEAR, Effort
from kit.solvers.packing.strip_packing import StripLayout, divide_kind, find_unit, measure_layout, multiply_layout

MOST_CHOICES = 8
"""The most combinations of joined and lengthwise long pieces; with more, only all joined and all lengthwise."""
FAR = {"steady": 1.15, "thorough": 2.0}
"""A choice is dropped if its first layout takes this many times more than the best so far."""


@dataclass(frozen=True)
class Request:
    """The settings of a cloth plan, apart from pieces and cloth."""

    allowance: float
    step: float
    effort: Effort = "thorough"
    progress: Progress = keep_quiet


def plan_cloth(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan the cutting of the pieces of one cloth.

    Make each piece's blank; set aside pieces too large for the cloth; try long pieces joined and lengthwise, mirror
    pairs through folded cloth and hand by hand; lay each choice out and keep the least, folded if it takes no more.
    A layout for cloth with a top or a nap is valid for plain cloth too. It is tried as well, unless a search has
    ended early near enough, so that a plain print never takes more than a one-way print.
    """
    best = _plan(pieces, supply, request)
    near = NEAR if sum(piece.count for piece in pieces) > MANY_PIECES else 0.0
    for narrow in _narrow(pieces, supply) if request.effort != "quick" else ():
        if best.gap <= near + TOLERANCE or best.short:
            break
        other = _plan(pieces, narrow, request)
        if not other.short and other.used < best.used - TOLERANCE:
            best = replace(other, supply=supply, bound=best.bound)
    return best


def _narrow(pieces: Sequence[Piece], supply: Supply) -> Iterator[Supply]:
    """Yield the same cloth with stricter rules: no quarter turns; no half turns if they matter."""
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
        ways = find_layings(piece, blank, ruler)
        if ways:
            fitting.append((piece, blank, ways))
        elif piece.count:
            short[piece.id] = short.get(piece.id, 0) + piece.count
    found = _choose(fitting, ruler, request)
    strips = cut_strips(found.packing, found.layout, ruler)
    squaring = supply.squaring if supply.squaring is not None else SQUARING_UP * (supply.form == "yardage")
    strips, lost = keep_within(strips, supply, ruler.stock, squaring)
    for piece_id, count in lost.items():
        short[piece_id] = short.get(piece_id, 0) + count
    yardage = supply.form == "yardage"
    used = sum(strip.height for strip in strips) if yardage else float(len(strips))
    bound = found.bound * ruler.step if yardage else float(found.bound)
    if not short:
        bound = min(bound, used)
    return ClothPlan(supply, tuple(strips), used, bound, squaring if strips else 0.0, short)


@dataclass
class _Found:
    packing: RectanglesToPack
    layout: StripLayout
    length: int
    bound: int


def _choose(fitting: Sequence[Fitting], ruler: Ruler, request: Request) -> _Found:
    """Lay out every choice for the long pieces and the hands, the most promising first; keep the least."""
    ways = [entry[2] for entry in fitting]
    choices = list(product(*ways))
    if len(choices) > MOST_CHOICES:
        choices = list(dict.fromkeys([tuple(w[-1] for w in ways), tuple(w[0] for w in ways)]))
    hands = any(isinstance(blank, AngledRow) and piece.hand for piece, blank, _ in fitting)
    drafts = []
    for choice in choices:
        for paired in (True, False) if hands else (False,):
            packing = list_rectangles(fitting, choice, ruler, request.allowance, paired=paired)
            layout, bound = _lay(packing, ruler, "quick", keep_quiet)
            drafts.append(_Found(packing, layout, _measure(layout, ruler), bound))
    drafts.sort(key=lambda draft: draft.length)
    best = drafts[0]
    if request.effort == "quick":
        return replace(best, bound=min(draft.bound for draft in drafts))
    bounds = []
    for draft in drafts:
        first = draft is drafts[0]
        bound = draft.bound
        if not first and ruler.height is None and bound < best.length:
            bound = _bound(draft.packing, ruler, best.length)
        if first or (bound < best.length and draft.length <= FAR[request.effort] * best.length):
            layout, bound = _lay(draft.packing, ruler, request.effort, request.progress)
            if first or _measure(layout, ruler) < best.length:
                best = _Found(draft.packing, layout, _measure(layout, ruler), bound)
        bounds.append(bound)
    return replace(best, bound=min(bounds))


def _bound(packing: RectanglesToPack, ruler: Ruler, best: int) -> int:
    unit = find_unit(packing.kinds)
    kinds = [divide_kind(kind, unit) for kind in packing.kinds]
    return unit * bound_length(kinds, ruler.width // unit, -(-best // unit))


def _lay(packing: RectanglesToPack, ruler: Ruler, effort: Effort, progress: Progress) -> tuple[StripLayout, int]:
    """Lay out rectangles in the largest unit of which all its sides are whole numbers."""
    unit = find_unit(packing.kinds)
    kinds = [divide_kind(kind, unit) for kind in packing.kinds]
    if ruler.height is not None:
        layout, bound = fill_precuts(kinds, ruler.width // unit, ruler.height // unit, effort)
        return multiply_layout(layout, unit, ruler.height), bound

    def follow(what: str, least: float, length: float) -> bool | None:
        return progress(what, least * unit, length * unit)

    layout, bound = lay_out(kinds, ruler.width // unit, effort, follow)
    return multiply_layout(layout, unit), bound * unit


def _measure(layout: StripLayout, ruler: Ruler) -> int:
    return measure_layout(layout) if ruler.height is None else count_bins(layout)
