"""Cloth of a form: each fabric's pieces are cut out of what the pattern says to buy, at the width that it names."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from math import ceil

from kit.auditing.audit_lines import Verdict
from kit.auditing.form_entries import FormEntry
from kit.auditing.form_pieces import PieceFacts, grow_piece
from kit.auditing.form_reading_terms import FormSize
from kit.errors import KitError
from kit.geometry.outlines import Outline
from kit.lengths import SLACK, buying_length
from kit.model.cutting import LEAST_CLOTH, ClothWishes, CutList, Piece
from kit.model.fabrics import Supply
from kit.model.forms import Form
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list
from kit.solvers.packing.search_state import Effort
from kit.sums.sum_terms import SumTerms

WIDEST = 60
"""Inches: the widest cloth on which a length is tried."""
PLENTY = 9.0
"""Inches: a quarter of a yard; so much more than needed is said (a choice of this kit)."""
KINDS: tuple[Form, ...] = ("yardage", "strips", "squares", "fat quarter", "fat eighth")
"""What a form may call the shape in which cloth is bought."""
Share = tuple[str, str, Outline, tuple[float, ...], int]
"""A piece on one cloth: name, shape, finished outline, cut measures, count."""


def judge_cloth(form: FormSize, pieces: dict[str, PieceFacts]) -> None:
    """Give a verdict on the amount of each fabric."""
    for entry in form.entries.get("cloth", ()):
        if "buy" not in entry.texts:
            form.tell(entry, "buy", "not decidable", note="The amount to buy is missing")
            continue
        shares, missing = _gather(form, entry, pieces)
        if missing:
            form.tell(
                entry, "buy", "not decidable", note=f"The shape or size of {', '.join(missing)[:120]} is not known"
            )
        elif not shares:
            form.tell(entry, "buy", "not decidable", note="No piece names this fabric")
        else:
            _judge_amount(form, entry, tuple(shares))


def _gather(form: FormSize, entry: FormEntry, pieces: dict[str, PieceFacts]) -> tuple[list[Share], list[str]]:
    shares: list[Share] = []
    missing = []
    for name, facts in pieces.items():
        listed = form.read(facts.entry, "fabrics", "parts") or ()
        mine = [one.count for one in listed if one.name.lower() == entry.name.lower()]
        if not mine:
            continue
        count = sum(mine)
        if len(listed) == 1 and (facts.needed or form.read(facts.entry, "count", "count")):
            count = facts.needed or form.read(facts.entry, "count", "count")
        outline, cut = facts.outline, facts.cut
        if facts.wrong or cut is None:
            cut = None if outline is None else _grow(facts, form.terms)
        if outline is None or cut is None:
            if facts.shape in ("square", "rectangle") and facts.cut:
                a2 = 2 * form.terms.allowance
                sides = (facts.cut[-1] - a2, facts.cut[0] - a2)
                if min(sides) > 0:
                    outline, cut = ((0.0, 0.0), (sides[0], 0.0), sides, (0.0, sides[1])), facts.cut
            if outline is None or cut is None:
                missing.append(name)
                continue
        shares.append((name, facts.shape, outline, tuple(cut), count))
    return shares, missing


def _grow(facts: PieceFacts, terms: SumTerms) -> tuple[float, ...] | None:
    try:
        made = grow_piece(facts.shape, facts.finished, terms) if facts.finished else None
    except KitError:
        return None
    if made is not None:
        return tuple(terms.up(one) for one in made[1])
    return tuple(facts.laid.rounded.values()) if facts.laid is not None else None


def _judge_amount(form: FormSize, entry: FormEntry, shares: tuple[Share, ...]) -> None:
    terms = form.terms
    kind = str(entry.texts.get("form", "yardage"))
    width = form.read(entry, "width", "length") or terms.usable
    length = form.read(entry, "length", "length")
    bought = form.read(entry, "buy", "length" if kind == "yardage" else "count")
    if bought is None:
        return
    if "repeat" in entry.texts:
        form.tell(entry, "buy", "not decidable", note="The repeat of the print has to be matched; plan it in a study")
        return
    since = tuple(f"piece {share[0]}" for share in shares[:4]) + (("and others",) if len(shares) > 4 else ())
    one_way = entry.texts.get("one_way") in (True, "true", "yes")
    cloth = (kind, length, one_way, terms.allowance, terms.step)
    try:
        need, bound = find_cloth(shares, width, cloth, "quick")
        if need > bought + SLACK:
            need, bound = find_cloth(shares, width, cloth, "steady")
    except KitError as error:
        form.tell(entry, "buy", "not decidable", note=str(error))
        return
    if kind != "yardage":
        enough = bought >= need - SLACK
        verdict: Verdict = "proved" if enough else "wrong" if bought < bound - SLACK else "not decidable"
        form.tell(
            entry,
            "buy",
            verdict,
            found=f"{ceil(need)}",
            since=since,
            note="" if enough else f"{ceil(need) - bought} too few by the best plan found",
        )
        return
    usual = buying_length(need + terms.squaring, terms.system)
    right = f"{terms.buy(need + terms.squaring)} ({terms.say(round(need, 3))} and squaring up)"
    if bought >= need - SLACK:
        spare = bought - usual
        if spare > max(PLENTY, 0.25 * usual):
            form.tell(
                entry, "buy", "more than needed", found=right, note=f"{terms.say(round(spare, 3))} more", since=since
            )
        else:
            form.tell(entry, "buy", "proved", since=since)
        return
    if bought >= bound - SLACK:
        form.tell(
            entry,
            "buy",
            "not decidable",
            found=right,
            since=since,
            note=f"The best plan found takes {terms.say(round(need, 3))}; that no other takes less is not proved",
        )
        return
    wide = _find_width(shares, width, cloth, bought)
    short = f"{terms.say(round(need - bought, 3))} too little at {terms.say(width)}"
    form.tell_width(entry, wide, right, short, since)


def _find_width(
    shares: tuple[Share, ...], width: float, cloth: tuple[str, float | None, bool, float, float], bought: float
) -> float | None:
    """Return the least width, in half inches, on which an amount is enough; None up to the widest cloth."""
    start = ceil(2 * width + 1e-9)
    for half in range(start + 1, min(2 * WIDEST, start + 16) + 1):
        if find_cloth(shares, half / 2, cloth, "quick")[0] <= bought + SLACK:
            return half / 2
    return None


@lru_cache(maxsize=4096)
def find_cloth(
    shares: Sequence[Share], width: float, cloth: tuple[str, float | None, bool, float, float], effort: Effort
) -> tuple[float, float]:
    """Return what pieces take of a cloth and the proven least: inches of yardage, or a number of pre-cuts.

    Raises
    ------
    KitError
        Pieces that the cloth does not hold.
    """
    kind, length, one_way, allowance, step = cloth
    pieces = tuple(_make_piece(share, allowance, step) for share in shares)
    bought_as = next((one for one in KINDS if one == kind), None)
    if bought_as is None:
        raise KitError(
            f"cloth comes as `{kind:.30}`",
            needed="yardage, strips, squares, fat quarter or fat eighth",
            do="name one of these",
        )
    supply = Supply("cloth", bought_as, width, length, one_way=one_way)
    cuts = CutList(pieces, allowance, step)
    plans = [cutting_plan(cuts, [supply], effort=effort, wishes=wishes) for wishes in (LEAST_CLOTH, ClothWishes())]
    whole = [plan for plan in plans if not plan.short]
    if not whole:
        raise KitError(
            f"{plans[0].short['cloth'][:120]} cannot be cut from {kind}",
            needed="cloth that holds the piece",
            do="name another form",
        )
    return min(plan.cloth["cloth"] for plan in whole), min(plan.bound["cloth"] for plan in whole)


def _make_piece(share: Share, allowance: float, step: float) -> Piece:
    name, shape, outline, cut, count = share
    made = cut_list(patchwork_from_outlines([outline], allowance=allowance), step).pieces[0]
    rounded = dict(made.rounded)
    if len(cut) == len(rounded) and shape != "template":
        given = sorted(cut) if shape in ("rectangle", "half-rectangle triangle") else cut
        rounded = dict(zip(rounded, given, strict=True))
    return replace(made, id=name, count=count, slot="cloth", rounded=rounded, headings=(), patches=(), turns=())
