"""Counts of a form: from the top down through the parts of the units, less what batches give."""

import re
from collections import Counter

from kit.auditing.form_entries import FormEntry
from kit.auditing.form_pieces import PieceFacts
from kit.auditing.form_reading_terms import FormSize


def judge_counts(form: FormSize, pieces: dict[str, PieceFacts]) -> None:
    """Count from the top down: a unit that no unit holds is made once, or as often as it says."""
    units = {entry.name: entry for entry in form.entries.get("unit", ())}
    parts = {name: form.read(entry, "parts", "parts") for name, entry in units.items() if "parts" in entry.texts}
    given = {name: form.read(entry, "count", "count") for name, entry in units.items()}
    holders: dict[str, list[str]] = {}
    for name, held in parts.items():
        for part in held or ():
            holders.setdefault(part.name, []).append(name)
            if part.name not in units and part.name not in pieces:
                form.tell(units[name], "parts", "wrong", note=f"There is no piece or unit `{part.name[:40]}`")
    needed: dict[str, int | None] = {}

    def need(name: str, on: tuple[str, ...] = ()) -> int | None:
        if name in on:
            form.tell(units[name], "parts", "wrong", note=f"`{name[:40]}` holds itself")
            return None
        if name not in needed:
            above = holders.get(name, [])
            if not above:
                needed[name] = given.get(name) if name in units else None
            else:
                total = 0
                for one in dict.fromkeys(above):
                    times = need(one, (*on, name))
                    each = sum(part.count for part in parts[one] or () if part.name == name)
                    total = 0 if times is None else total + times * each
                needed[name] = total or None
        return needed[name]

    provided: Counter[str] = Counter()
    for batch in form.entries.get("batch", ()):
        for part in form.read(batch, "gives", "parts") or ():
            provided[part.name] += part.count
    for name, entry in units.items():
        count = need(name)
        if "count" in entry.texts and given[name] is not None:
            if name not in holders:
                form.tell(
                    entry,
                    "count",
                    "proved" if given[name] == 1 else "not decidable",
                    note="" if given[name] == 1 else "No unit holds it, so that nothing says how many are needed",
                )
            else:
                _tell_count(
                    form, entry, given[name], count, tuple(f"{units[one].where}: parts" for one in holders[name])
                )
    for name, facts in pieces.items():
        entry = facts.entry
        made = form.read(entry, "count", "count")
        count = need(name)
        from_batches = provided[name]
        facts.total = count
        facts.needed = None if count is None else count - from_batches
        if "count" not in entry.texts:
            form.tell(entry, "count", "not decidable", note="The count is missing")
        elif made is not None and not _is_blank(form, name):
            since = tuple(f"{units[one].where}: parts" for one in holders.get(name, ()))
            _tell_count(form, entry, made, facts.needed, since)
        shares = form.read(entry, "fabrics", "parts")
        if shares is not None and made is not None:
            total = sum(share.count for share in shares)
            if (
                len(shares) == 1
                and shares[0].count == 1
                and made != 1
                and not re.search(r"[0-9]", str(entry.texts["fabrics"]))
            ):
                form.tell(entry, "fabrics", "proved")
            else:
                right = facts.needed if facts.needed is not None else made
                ok = total == right
                form.tell(
                    entry,
                    "fabrics",
                    "proved" if ok else "wrong",
                    found=f"{right} in all",
                    note="" if ok else f"They add up to {total}",
                    since=(f"{entry.where}: count",),
                )


def _is_blank(form: FormSize, name: str) -> bool:
    return any(
        part.name == name for batch in form.entries.get("batch", ()) for part in form.read(batch, "cuts", "parts") or ()
    )


def find_spare(needed: int) -> int:
    """Return how many pieces more than needed are taken for spares, not for an error: a tenth, one of six and more."""
    return max(needed // 10, 1 if needed >= 6 else 0)


def _tell_count(form: FormSize, entry: FormEntry, given: int, needed: int | None, since: tuple[str, ...]) -> None:
    if needed is None:
        form.tell(entry, "count", "not decidable", note="No unit names it among its parts")
    elif given == needed:
        form.tell(entry, "count", "proved", since=since)
    elif given < needed:
        form.tell(entry, "count", "wrong", found=str(needed), note=f"{needed - given} too few", since=since)
    elif given <= needed + find_spare(needed):
        form.tell(entry, "count", "more than needed", found=str(needed), note=f"{given - needed} more", since=since)
    else:
        form.tell(entry, "count", "wrong", found=str(needed), note=f"{given - needed} too many", since=since)
