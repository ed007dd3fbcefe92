"""The rest of a form: batches, borders, backing, batting, binding, totals, the size itself, and sizes side by side."""

from dataclasses import replace

from kit.auditing.audit_lines import Verdict
from kit.auditing.form_entries import FormEntry
from kit.auditing.form_pieces import PieceFacts
from kit.auditing.form_reading_terms import SAME, FormSize
from kit.lengths import SLACK
from kit.model.finishing import TopFacts, find_usual
from kit.planning.finishing.backing import plan_backing
from kit.planning.finishing.binding import find_binding_width
from kit.planning.finishing.off_the_bolt import count_strips

CLOSING = 10.0  # inches of binding for corners and closing at least (common practice: 10 to 12 in, no source)
WIDTHS = tuple(k / 2 for k in range(73, 121))  # inches: widths of cloth on which a backing is tried


def judge_finish(form: FormSize, pieces: dict[str, PieceFacts]) -> None:
    """Give a verdict on the size itself and on all that follows from it."""
    own, top = form.one("size"), _find_top(form)
    told = None if own is None else form.read(own, "finished", "size")
    if own is not None and "finished" in own.texts and told is not None:
        if top is None:
            form.tell(own, "finished", "not decidable", note="No unit holds all the others with its shapes or rows")
        else:
            off = max(abs(a - b) for a, b in zip(told, top[1], strict=True))
            form.tell(
                own,
                "finished",
                "proved" if off < 0.01 else "wrong",
                since=(top[0],),
                found=form.terms.say_size([round(one, 4) for one in top[1]]),
                note="" if off < 0.01 else f"It is {form.terms.say(round(off, 4))} off",
            )
    size = top[1] if top is not None else told
    _judge_borders(form, size)
    _judge_totals(form, pieces)
    if size is None:
        for kind in ("backing", "batting", "binding"):
            entry = form.one(kind)
            if entry is not None:
                for key in entry.texts:
                    form.tell(entry, key, "not decidable", note="The finished size is not known")
        return
    since = (top[0],) if top is not None else ("the finished size",)
    _judge_backing(form, size, since)
    _judge_binding(form, size, since)
    batting = form.one("batting")
    if batting is not None:
        _tell_size(form, batting, size, 0.0, since)


def _find_top(form: FormSize) -> tuple[str, tuple[float, float]] | None:
    """Return the place and finished size of the unit that no other holds, as it was sewn in the rehearsal."""
    held = {part.name for entry in form.entries.get("unit", ()) for part in form.read(entry, "parts", "parts") or ()}
    tops = [entry for entry in form.entries.get("unit", ()) if entry.name not in held and entry.name in form.sewn]
    return (f"{tops[0].where}", form.sewn[tops[0].name]) if len(tops) == 1 else None


def _judge_borders(form: FormSize, size: tuple[float, float] | None) -> None:
    terms = form.terms
    borders = form.entries.get("border", [])
    for number, entry in enumerate(borders):
        inside, finished = form.read(entry, "inside", "size"), form.read(entry, "finished", "length")
        cut, sides, ends = (form.read(entry, key, "length") for key in ("cut", "sides", "ends"))
        a2 = 2 * terms.allowance
        after = form.read(borders[number + 1], "inside", "size") if number + 1 < len(borders) else size
        blame = _find_fault(inside, finished, cut, after, a2, terms.step)
        if finished is None and cut is not None:
            finished = cut - a2
        if blame == "finished" and cut is not None:
            form.tell(entry, "finished", "wrong", found=terms.say(cut - a2), since=(f"{entry.where}: cut",))
            finished = cut - a2
        elif "finished" in entry.texts and finished is not None:
            form.tell(
                entry,
                "finished",
                "proved" if after is not None and inside is not None else "not decidable",
                note="" if after is not None else "The size outside it is not known",
            )
        if blame == "inside" and after is not None and finished is not None:
            inside = (after[0] - 2 * finished, after[1] - 2 * finished)
            form.tell(entry, "inside", "wrong", found=terms.say_size(inside), since=("the size outside it",))
        elif inside is not None:
            form.tell(entry, "inside", "proved" if after is not None else "not decidable")
        if finished is not None and cut is not None:
            _tell_least(form, entry, "cut", cut, finished + a2, exact=True, since=(f"{entry.where}: finished",))
        if inside is None or finished is None:
            continue
        corners = str(entry.texts.get("corners", "butted"))
        over = {"butted": (0.0, 2 * finished), "ends first": (2 * finished, 0.0), "cornerstones": (0.0, 0.0)}.get(
            corners, (2 * finished, 2 * finished)
        )
        lost = 2 * 2**0.5 * terms.allowance - a2 if corners == "mitred" else 0.0
        for key, value, edge, more in (("sides", sides, inside[1], over[0]), ("ends", ends, inside[0], over[1])):
            if value is not None:
                _tell_least(
                    form,
                    entry,
                    key,
                    value,
                    edge + more + a2 + lost,
                    since=(f"{entry.where}: inside", f"{entry.where}: finished"),
                )
        if "strips" in entry.texts and sides is not None and ends is not None:
            strips = form.read(entry, "strips", "count")
            right = count_strips(2 * (inside[0] + inside[1] + over[0] + over[1] + 2 * a2), terms.usable, a2)
            if strips is not None:
                verdict: Verdict = "proved" if strips >= right else "wrong"
                form.tell(
                    entry,
                    "strips",
                    verdict,
                    found=str(right),
                    since=(f"{entry.where}: sides", f"{entry.where}: ends"),
                    note="" if strips >= right else f"{right - strips} too few: two of each length are cut",
                )


def _find_fault(
    inside: tuple[float, float] | None,
    finished: float | None,
    cut: float | None,
    after: tuple[float, float] | None,
    a2: float,
    step: float,
) -> str:
    """Return which of a border's figures does not go with the others, empty where all go together."""
    if inside is None or after is None or finished is None:
        return ""

    def fits(b: float) -> bool:
        return max(abs(i + 2 * b - o) for i, o in zip(inside, after, strict=True)) < 0.01

    if fits(finished):
        return ""
    if cut is not None and fits(cut - a2):
        return "finished"
    both = [(o - i) / 2 for i, o in zip(inside, after, strict=True)]
    if cut is not None and abs(cut - a2 - finished) >= step and abs(both[0] - both[1]) < 0.01:
        return "finished"
    return "inside"


def _tell_least(
    form: FormSize,
    entry: FormEntry,
    key: str,
    given: float,
    right: float,
    *,
    exact: bool = False,
    since: tuple[str, ...] = (),
) -> None:
    """Give a verdict on a length that may be longer, but not shorter; an exact one not either."""
    terms = form.terms
    off = given - right
    if off < -SAME:
        form.tell(
            entry,
            key,
            "wrong",
            found=terms.say(round(right, 4)),
            note=f"{terms.say(round(-off, 4))} too short",
            since=since,
        )
    elif off < (terms.step + SAME if exact else 0.13):
        form.tell(entry, key, "proved", since=since)
    elif exact:
        form.tell(
            entry,
            key,
            "wrong",
            found=terms.say(round(right, 4)),
            note=f"{terms.say(round(off, 4))} too wide",
            since=since,
        )
    else:
        form.tell(
            entry,
            key,
            "more than needed",
            found=terms.say(round(right, 4)),
            since=since,
            note=f"{terms.say(round(off, 4))} longer: safe, it is trimmed",
        )


def _tell_size(
    form: FormSize, entry: FormEntry, size: tuple[float, float], over: float, since: tuple[str, ...]
) -> None:
    given = form.read(entry, "size", "size")
    if given is None:
        return
    need = (size[0] + 2 * over, size[1] + 2 * over)
    short = max(n - g for n, g in zip(need, given, strict=True))
    spare = max(g - n for n, g in zip(need, given, strict=True))
    right = form.terms.say_size([round(one, 3) for one in need])
    if short > 0.01:
        form.tell(entry, "size", "wrong", found=right, note=f"{form.terms.say(round(short, 3))} too small", since=since)
    elif spare > 20:
        form.tell(
            entry, "size", "more than needed", found=right, note=f"{form.terms.say(round(spare, 3))} more", since=since
        )
    else:
        form.tell(entry, "size", "proved", since=since)


def _judge_backing(form: FormSize, size: tuple[float, float], since: tuple[str, ...]) -> None:
    entry = form.one("backing")
    if entry is None:
        return
    terms = form.terms
    over = form.read(entry, "overhang", "length") or 0.0
    _tell_size(form, entry, size, over, since)
    bought = form.read(entry, "buy", "length")
    if bought is None:
        return
    width = form.read(entry, "width", "length") or terms.usable
    need = _find_backing(form, size, over, width)
    right = f"{terms.buy(need + terms.squaring)} ({terms.say(round(need, 3))} and squaring up)"
    if bought >= need - SLACK:
        spare = bought - need - terms.squaring
        much = spare > max(18.0, 0.25 * need)
        form.tell(
            entry,
            "buy",
            "more than needed" if much else "proved",
            found=right,
            since=since,
            note=f"{terms.say(round(spare, 3))} more" if much else "",
        )
        return
    short = f"{terms.say(round(need - bought, 3))} too little at {terms.say(width)}"
    wide = next((w for w in WIDTHS if w > width and _find_backing(form, size, over, w) <= bought + SLACK), None)
    form.tell_width(entry, wide, right, short, since)


def _find_backing(form: FormSize, size: tuple[float, float], over: float, width: float) -> float:
    """Return the least inches of cloth for the backing, of a width."""
    wishes = replace(
        find_usual(form.terms.system), overhang_sides=over, overhang_ends=over, backing_width=width, wide_width=None
    )
    plan = plan_backing(*size, wishes, TopFacts(system=form.terms.system, usable_width=width))
    return min(way.cloth for way in plan.ranked)


def _judge_binding(form: FormSize, size: tuple[float, float], since: tuple[str, ...]) -> None:
    entry = form.one("binding")
    if entry is None:
        return
    terms = form.terms
    cut, seen = form.read(entry, "cut", "length"), form.read(entry, "finished", "length")
    fold = "single" if entry.texts.get("fold") == "single" else "double"
    usual = find_usual(terms.system)
    if cut is not None and seen is not None:
        exact = find_binding_width(seen, fold, usual.binding_loft)
        # some sew the binding without the loft, so that six widths (four of a single fold) are the least
        least = find_binding_width(seen, fold, 0.0)
        off = cut - exact
        if cut < least - SAME:
            form.tell(
                entry,
                "cut",
                "wrong",
                found=terms.say(terms.up(exact)),
                note=f"{terms.say(round(-off, 4))} too narrow",
                since=(f"{entry.where}: finished",),
            )
        else:
            form.tell(
                entry,
                "cut",
                "proved" if off < 0.3 else "more than needed",
                found=terms.say(terms.up(exact)),
                since=(f"{entry.where}: finished",),
            )
        form.tell(entry, "finished", "proved" if cut >= least - SAME else "not decidable")
    elif cut is not None:
        form.tell(entry, "cut", "not decidable", note="Its finished width is missing")
    if str(entry.texts.get("grain", "straight")) != "straight" or cut is None:
        for key in ("strips", "buy"):
            if key in entry.texts:
                form.tell(entry, key, "not decidable", note="Bias depends on how it is cut; ask a quick sum")
        return
    needed = 2 * sum(size) + CLOSING
    right = count_strips(needed, terms.usable, cut)
    strips = form.read(entry, "strips", "count")
    if strips is not None:
        if right <= strips <= right + 2:
            form.tell(entry, "strips", "proved", since=since)
        elif strips > right:
            form.tell(entry, "strips", "more than needed", found=str(right), note=f"{strips - right} more", since=since)
        else:
            wide = (needed + (strips - 1) * cut) / strips if strips else 0.0
            if 0 < wide <= 60:
                form.tell(
                    entry,
                    "strips",
                    "enough only if",
                    since=since,
                    found=f"the usable width is at least {terms.say(terms.up(wide))}",
                    note=f"At {terms.say(terms.usable)} it takes {right}",
                )
            else:
                form.tell(entry, "strips", "wrong", found=str(right), note=f"{right - strips} too few", since=since)
    bought = form.read(entry, "buy", "length")
    if bought is not None:
        cloth = right * cut
        said = f"{terms.buy(cloth + terms.squaring)} ({terms.say(round(cloth, 3))} and squaring up)"
        if bought < cloth - SLACK:
            form.tell(
                entry, "buy", "wrong", found=said, note=f"{terms.say(round(cloth - bought, 3))} too little", since=since
            )
        elif bought > cloth + terms.squaring + max(9.0, 0.5 * cloth):
            form.tell(entry, "buy", "more than needed", found=said, since=since)
        else:
            form.tell(entry, "buy", "proved", since=since)


def _judge_totals(form: FormSize, pieces: dict[str, PieceFacts]) -> None:
    entry = form.one("totals")
    if entry is None:
        return
    known = [facts.total for facts in pieces.values() if facts.total]
    since = ("the parts of the units",)
    for key, right in (("pieces", sum(known)), ("kinds", len(known))):
        given = form.read(entry, key, "count")
        if given is None:
            continue
        if not known:
            form.tell(entry, key, "not decidable", note="No unit names its parts")
        else:
            form.tell(
                entry,
                key,
                "proved" if given == right else "wrong",
                found=str(right),
                since=since,
                note="" if given == right else f"{abs(given - right)} off",
            )
