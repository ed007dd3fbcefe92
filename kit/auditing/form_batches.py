"""Batches of a form: units made several at a time, how many batches, and what is cut for them."""

from math import ceil

from kit.auditing.audit_lines import Verdict
from kit.auditing.form_counts import find_spare
from kit.auditing.form_entries import FormEntry
from kit.auditing.form_pieces import PieceFacts
from kit.auditing.form_reading_terms import SAME, FormSize
from kit.errors import KitError
from kit.planning.batches.ways_of_making import UNITS, list_ways


def judge_batches(form: FormSize, pieces: dict[str, PieceFacts]) -> None:
    """Give a verdict on units made several at a time: their batches, and what is cut for them."""
    counts: dict[str, int | None] = {}
    verdict: Verdict
    for entry in form.entries.get("batch", ()):
        made = form.read(entry, "batches", "count")
        for part in form.read(entry, "cuts", "parts") or ():
            before = counts.get(part.name, 0)
            counts[part.name] = None if made is None or before is None else before + made * part.count
    for entry in form.entries.get("batch", ()):
        units, makes, batches = (form.read(entry, key, "count") for key in ("units", "makes", "batches"))
        if units and makes and batches is not None:
            right = ceil(units / makes)
            verdict = "proved" if batches == right else "wrong" if batches < right else "more than needed"
            form.tell(entry, "batches", verdict, found=str(right), since=(f"{entry.where}: units",))
        cuts = form.read(entry, "cuts", "parts") or ()
        exact = _find_way(form, entry)
        for number, part in enumerate(cuts):
            facts = pieces.get(part.name)
            if facts is None:
                form.tell(entry, "cuts", "wrong", note=f"There is no piece `{part.name[:40]}`")
                continue
            made = form.read(facts.entry, "count", "count")
            right = counts.get(part.name)
            if made is not None and right is not None:
                verdict = (
                    "proved"
                    if made == right
                    else "wrong"
                    if made < right or made > right + find_spare(right)
                    else "more than needed"
                )
                form.tell(facts.entry, "count", verdict, found=str(right), since=(f"{entry.where}: batches",))
            if exact and facts.cut and number < len(exact):
                want = tuple(sorted(exact[number]))[-len(facts.cut) :]
                off = [a - b for a, b in zip(sorted(facts.cut), want, strict=True)]
                good = min(off) >= -SAME and max(off) <= 1.0
                verdict = "wrong" if not good else "proved" if max(off) < form.terms.step + SAME else "more than needed"
                shown = [form.terms.up(one) for one in want]
                short = max(b - a for a, b in zip(sorted(facts.cut), shown, strict=True))
                note = "" if min(off) >= -SAME else f"It is {form.terms.say(round(short, 4))} too small"
                right_cut = " x ".join(map(form.terms.say, shown))
                form.tell(facts.entry, "cut", verdict, found=right_cut, note=note, since=(entry.where,))


def _find_way(form: FormSize, entry: FormEntry) -> list[tuple[float, float]]:
    """Return the exact cut shapes of a batch, where its unit and way are among those that the kit knows."""
    unit, way, size = (
        str(entry.texts.get("unit", "")),
        str(entry.texts.get("way", "")),
        form.read(entry, "finished", "size"),
    )
    if unit not in UNITS or size is None:
        return []
    high = min(size)
    try:
        ways = list_ways(unit, high, 1, allowance=form.terms.allowance, step=form.terms.step)
    except KitError:
        return []
    found = next((one for one in ways if one.name == way), None)
    return [] if found is None else [(cloth.width, cloth.height) for cloth in found.cloths]
