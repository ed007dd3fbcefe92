"""Cutting plan: strips across the usable width, sub-cut into what the pieces are cut from.

Each piece has a *blank*: the rectangle of a strip that one or more of it come out of. Blanks go, the highest first,
into the first strip that is high enough and has room left; so the end of one strip serves the next smaller piece.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from kit.errors import CheckError, NoPlanError
from kit.geometry.outlines import TOLERANCE, measure_area
from kit.lengths import write_length
from kit.model.cutting import ClothPlan, Cut, CutList, CuttingPlan, Piece, Strip
from kit.model.fabrics import Supply

SQUARING_UP = 1.0
"""Inches that squaring up one length of yardage takes (common practice, no source)."""


@dataclass(frozen=True)
class _Blank:
    """A run of one strip and how many of each piece come out of it."""

    pieces: tuple[tuple[str, int], ...]
    width: float
    height: float
    folded: bool = False


def cutting_plan(cut_list: CutList, supplies: Sequence[Supply] | None = None) -> CuttingPlan:
    """Plan how the pieces are cut from the cloth.

    Parameters
    ----------
    cut_list
        The pieces.
    supplies
        Cloth for each slot (or for each fabric of a slot, where the pieces name fabrics); None takes yardage of the
        default usable width for every slot.

    Returns
    -------
    CuttingPlan
        Strips in the order of cutting, with what is used, the proven least, and what is short.

    Raises
    ------
    NoPlanError
        A slot without a supply.

    Notes
    -----
    First fit by falling height: O(n · strips). The bound is area over usable width, and for a roll of strips also
    the number of pieces over what one strip yields.
    """
    found = _find_supplies(cut_list, supplies)
    cloths = [_plan_cloth(pieces, supply) for supply, pieces in found]
    cloth: dict[str, float] = defaultdict(float)
    bound: dict[str, float] = defaultdict(float)
    squaring: dict[str, float] = defaultdict(float)
    short: dict[str, str] = {}
    for plan in cloths:
        cloth[plan.supply.slot] += plan.used
        bound[plan.supply.slot] += plan.bound
        squaring[plan.supply.slot] += plan.squaring_up
        if plan.short:
            missing = ", ".join(f"{count} of {piece}" for piece, count in plan.short.items())
            slot = plan.supply.slot
            short[slot] = "; ".join(filter(None, [short.get(slot), f"{plan.supply.fabric or slot}: {missing}"]))
    return CuttingPlan(tuple(cloths), dict(cloth), dict(bound), dict(squaring), short, _list_assumptions(cloths))


def count_yield(cut_list: CutList, supply: Supply) -> int | None:
    """Return how many pieces of its slot a fixed amount of cloth yields at least, None where it is bought as needed.

    Counted by the piece that takes most of a strip, so that any mixture of pieces fits.
    """
    if supply.count is None or supply.form == "yardage":
        return None
    height, length = _measure_stock(supply)
    least = None
    for piece in cut_list.pieces:
        if piece.slot == supply.slot:
            high, run = _describe_run(piece)
            across = 1 if height is None else int((height + TOLERANCE) // high)
            along = int((length + TOLERANCE) // run(1))
            least = across * along if least is None else min(least, across * along)
    return None if least is None else least * supply.count


def _find_supplies(cut_list: CutList, supplies: Sequence[Supply] | None) -> list[tuple[Supply, list[Piece]]]:
    """Pair each fabric's (or slot's) pieces with the supply that they are cut from."""
    groups: dict[tuple[str, str | None], list[Piece]] = defaultdict(list)
    for piece in cut_list.pieces:
        groups[piece.slot, piece.fabric].append(piece)
    if supplies is None:
        return [(Supply(slot, fabric=fabric), pieces) for (slot, fabric), pieces in groups.items()]
    by_key = {(supply.slot, supply.fabric): supply for supply in supplies}
    found = []
    for (slot, fabric), pieces in groups.items():
        supply = by_key.get((slot, fabric)) or by_key.get((slot, None))
        if supply is None:
            raise NoPlanError(
                f"There is no cloth for slot `{slot}`" + (f", fabric `{fabric}`" if fabric else ""),
                needed="one supply for each slot of the cut list",
                do=f'add kit.Supply("{slot}", "yardage", 40)',
            )
        found.append((replace(supply, fabric=fabric), pieces))
    return found


def _plan_cloth(pieces: Sequence[Piece], supply: Supply) -> ClothPlan:
    height, length = _measure_stock(supply)
    blanks, short = _make_blanks(pieces, height, length)
    strips, left = _fill_strips(blanks, supply, height, length)
    for blank in left:
        for piece, count in blank.pieces:
            short[piece] = short.get(piece, 0) + count
    area = sum(measure_area(piece.outline) * piece.count for piece in pieces)
    yardage = supply.form == "yardage"
    used = sum(strip.height for strip in strips) if yardage else float(len(strips))
    least = area / length if yardage else float(ceil(area / (length * (height or 1)) - TOLERANCE))
    squaring = SQUARING_UP if yardage else 0.0
    return ClothPlan(supply, tuple(strips), used, min(least, used) if not short else least, squaring, short)


def _measure_stock(supply: Supply) -> tuple[float | None, float]:
    """Return the height of a strip (None: any, cut from yardage) and its length."""
    if supply.form == "yardage":
        return None, supply.width
    if supply.form == "fat quarter":
        return 18.0, min(supply.width, 20.0)
    if supply.form == "squares":
        return supply.width, supply.width
    return supply.width, supply.length or 40.0


def _make_blanks(
    pieces: Sequence[Piece], height: float | None, length: float
) -> tuple[list[_Blank], dict[str, int]]:
    """Return the runs of strip that the pieces come out of, and what fits no strip."""
    blanks: list[_Blank] = []
    short: dict[str, int] = {}
    for piece, partner, count in _pair_hands(pieces):
        room = length / 2 if partner else length
        found = list(_cut_runs(piece, count, height, room))
        if not found:
            for one in filter(None, (piece, partner)):
                short[one.id] = count
        for width, high, number in found:
            both = ((piece.id, number), (partner.id, number)) if partner else ((piece.id, number),)
            blanks.append(_Blank(both, width, high, folded=partner is not None))
    return blanks, short


def _pair_hands(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece | None, int]]:
    """Yield left pieces with their right partners, cut together through folded cloth, then what is left over."""
    rights = {_shape_key(piece): piece for piece in pieces if piece.hand == "right"}
    paired: dict[str, int] = {}
    for piece in pieces:
        partner = rights.get(_shape_key(piece)) if piece.hand == "left" and piece.kind != "template" else None
        if partner:
            paired[piece.id] = paired[partner.id] = min(piece.count, partner.count)
            yield piece, partner, paired[piece.id]
    for piece in pieces:
        rest = piece.count - paired.get(piece.id, 0)
        if rest:
            yield piece, None, rest


def _shape_key(piece: Piece) -> tuple[object, ...]:
    return piece.kind, piece.name, tuple(sorted(piece.rounded.items()))


def _cut_runs(piece: Piece, count: int, height: float | None, room: float) -> Iterator[tuple[float, float, int]]:
    """Yield (width, height, pieces) of the runs that give `count` pieces, each short enough for a strip."""
    high, run = _describe_run(piece)
    if height is not None and high > height + TOLERANCE:
        return
    if piece.kind == "rectangle" and run(1) > room + TOLERANCE and height is None:
        yield from _join_runs(piece, count, room)
        return
    each = {"half-square triangle": 2, "quarter-square triangle": 4, "half-rectangle triangle": 2}.get(piece.kind, 1)
    series = piece.kind in ("parallelogram", "trapezoid", "60° triangle")
    most = 0
    while run(most + 1) <= room + TOLERANCE and (series or most == 0):
        most += 1
    if not most:
        return
    left = count
    while left > 0:
        number = min(left, most * each)
        yield run(ceil(number / each)), high, number
        left -= number


def _describe_run(piece: Piece) -> tuple[float, Callable[[int], float]]:
    """Return the strip height that a piece needs, and the function from number of blanks to length of strip."""
    size = piece.rounded
    lean = abs(_lean(piece))
    if piece.kind in ("square", "half-square triangle", "quarter-square triangle"):
        side = max(size.values())
        return side, lambda n: n * side
    if piece.kind in ("rectangle", "half-rectangle triangle"):
        return min(size.values()), lambda n: n * max(size.values())
    if piece.kind == "parallelogram":
        return size["strip"], lambda n: n * size["step"] + lean
    if piece.kind == "trapezoid":
        long, short = size["long side"], size["short side"]
        tail = 0.0 if _has_right_angle(piece) else (long - short) / 2
        return size["strip"], lambda n: (n // 2) * (long + short) + (long if n % 2 else min(tail, long) * (n > 0))
    if piece.kind == "60° triangle":
        return size["strip"], lambda n: size["side"] * (n + 1) / 2
    return size["height"], lambda n: n * size["width"]


def _lean(piece: Piece) -> float:
    """Return how far the end of a parallelogram leans along the strip."""
    return piece.outline[-1][0] - piece.outline[0][0]


def _has_right_angle(piece: Piece) -> bool:
    return any(abs(angle - 90) < 0.01 for angle in piece.angles)


def _join_runs(piece: Piece, count: int, room: float) -> Iterator[tuple[float, float, int]]:
    """Yield whole strips, joined end to end with straight seams and then cut, for pieces longer than a strip.

    Each join costs two allowances; `piece.cut - piece.finished` is two allowances.
    """
    join = piece.cut["width"] - piece.finished["width"]
    total = count * piece.rounded["length"]
    strips = ceil((total - join) / (room - join) - TOLERANCE)
    for i in range(strips):
        yield room, piece.rounded["width"], count if i == strips - 1 else 0


def _fill_strips(
    blanks: Sequence[_Blank], supply: Supply, height: float | None, length: float
) -> tuple[list[Strip], list[_Blank]]:
    """Put each blank, the highest first, into the first strip with room; return the strips and what found none."""
    order = sorted(blanks, key=lambda blank: (-blank.height, -blank.width, blank.pieces))
    rows: list[tuple[float, float, bool, list[Cut]]] = []
    ends: list[float] = []
    left = []
    for blank in order:
        room = length / 2 if blank.folded else length
        for i, (high, most, folded, _) in enumerate(rows):
            fits = high >= blank.height - TOLERANCE and ends[i] + blank.width <= most + TOLERANCE
            if folded == blank.folded and fits:
                break
        else:
            if supply.count is not None and len(rows) >= supply.count and supply.form != "yardage":
                left.append(blank)
                continue
            i = len(rows)
            rows.append((blank.height if height is None else height, room, blank.folded, []))
            ends.append(0.0)
        rows[i][3].extend(
            Cut(piece, ends[i], 0.0, blank.width, blank.height, number) for piece, number in blank.pieces
        )
        ends[i] += blank.width
    strips = [Strip(high, room, tuple(cuts), folded) for high, room, folded, cuts in rows]
    return _drop_beyond(strips, left, supply)


def _drop_beyond(strips: list[Strip], left: list[_Blank], supply: Supply) -> tuple[list[Strip], list[_Blank]]:
    """Take out the strips that a limited length of yardage does not reach."""
    if supply.form != "yardage" or supply.length is None:
        return strips, left
    kept: list[Strip] = []
    used = SQUARING_UP
    for strip in strips:
        if used + strip.height <= supply.length + TOLERANCE:
            kept.append(strip)
            used += strip.height
        else:
            left.extend(
                _Blank(((cut.piece, cut.count),), cut.width, cut.height) for cut in strip.cuts
            )
    return kept, left


def _list_assumptions(cloths: Iterable[ClothPlan]) -> tuple[str, ...]:
    said = []
    for plan in cloths:
        supply = plan.supply
        name = supply.fabric or supply.slot
        if supply.form == "yardage":
            said.append(
                f"{name}: {write_length(supply.width)} usable width; {write_length(plan.squaring_up)} for squaring up"
                " each length on top"
            )
        else:
            height, length = _measure_stock(supply)
            said.append(f"{name}: {supply.form}, {write_length(height or length)} by {write_length(length)}")
    return tuple(said)


def check_cutting_plan(cut_list: CutList, plan: CuttingPlan) -> None:
    """Refuse a cutting plan that cannot be cut or does not give every piece.

    Sub-cuts lie inside their strip and do not overlap, unless they are cut through two layers; each is at least as
    high as its piece needs; together with what is short they give exactly the pieces of the cut list; the strips
    add up to what is said to be used, and that is not below the bound.

    Raises
    ------
    CheckError
        Names the fabric, the strip or piece and both figures.
    """
    made: dict[tuple[str, str | None], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    needs = {piece.id: piece for piece in cut_list.pieces}
    for cloth in plan.cloths:
        name = cloth.supply.fabric or cloth.supply.slot
        for number, strip in enumerate(cloth.strips, start=1):
            _check_strip(f"{name}, strip {number}", strip, needs)
            for cut in strip.cuts:
                made[cloth.supply.slot, cloth.supply.fabric][cut.piece] += cut.count
        for piece_id, count in cloth.short.items():
            made[cloth.supply.slot, cloth.supply.fabric][piece_id] += count
        used = sum(s.height for s in cloth.strips) if cloth.supply.form == "yardage" else float(len(cloth.strips))
        if abs(used - cloth.used) > 1e-6:
            raise CheckError(f"{name}: the strips add up to {used:g}, said to be {cloth.used:g}")
        if not cloth.short and cloth.used < cloth.bound - 1e-6:
            raise CheckError(f"{name}: {cloth.used:g} is used, below the least possible {cloth.bound:g}")
        limit = cloth.supply.count
        if limit is not None and cloth.supply.form != "yardage" and len(cloth.strips) > limit:
            raise CheckError(f"{name}: {len(cloth.strips)} {cloth.supply.form} are used, there are {limit}")
    for piece in cut_list.pieces:
        count = made[piece.slot, piece.fabric][piece.id]
        if count != piece.count:
            raise CheckError(f"Piece {piece.id} of {piece.fabric or piece.slot}: {count} planned, {piece.count} needed")


def _check_strip(place: str, strip: Strip, needs: dict[str, Piece]) -> None:
    if strip.height <= 0 or strip.length <= 0:
        raise CheckError(f"{place} is {strip.height:g} x {strip.length:g} in")
    end = 0.0
    last: tuple[float, float] | None = None
    for cut in sorted(strip.cuts, key=lambda cut: (cut.x, cut.piece)):
        if cut.piece not in needs:
            raise CheckError(f"{place}: `{cut.piece}` is no piece of the cut list")
        piece = needs[cut.piece]
        spot = (cut.x, cut.width)
        if cut.x < end - TOLERANCE and not (strip.folded and last == spot):
            raise CheckError(f"{place}: the cut for {cut.piece} at {cut.x:g} in overlaps the one that ends at {end:g}")
        if cut.x + cut.width > strip.length + TOLERANCE or cut.y < 0 or cut.y + cut.height > strip.height + TOLERANCE:
            raise CheckError(f"{place}: the cut for {cut.piece} does not lie inside the strip")
        high = min(max(y for _, y in piece.outline), max(piece.cut.values()))
        if piece.kind not in ("half-square triangle", "quarter-square triangle") and cut.height < high - 1e-4:
            raise CheckError(f"{place}: {cut.piece} needs {high:.4f} in, its strip is {cut.height:.4f}")
        area = measure_area(piece.outline) * cut.count
        joined = piece.kind == "rectangle" and max(x for x, _ in piece.outline) > strip.length + TOLERANCE
        if cut.count and area > cut.width * cut.height + 1e-4 and not joined:
            raise CheckError(f"{place}: {cut.count} of {cut.piece} do not fit {cut.width:g} x {cut.height:g} in")
        end, last = max(end, cut.x + cut.width), spot
