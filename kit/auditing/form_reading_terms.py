"""The texts of a form as figures: lengths, sizes, counts and lists of parts, each refused in words if it is wrong."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kit.auditing.audit_lines import AuditLine, Verdict
from kit.auditing.form_entries import FormEntry
from kit.errors import KitError
from kit.sums.sum_terms import SumTerms, take_terms

_PART = re.compile(r"\s*(?:([0-9]{1,6})\s+(?:of\s+)?)?(.+?)\s*")
_TRAILING = re.compile(r"\s*(.+?)\s+([0-9]{1,6})\s*")
GRAVITY: Mapping[Verdict, int] = {
    "not decidable": 0,
    "proved": 1,
    "more than needed": 2,
    "enough only if": 3,
    "wrong": 4,
}
"""A later verdict on a figure takes the place of a less grave one."""
SAME = 1e-3
"""Inches: figures no farther apart are the same."""


class FormSize:
    """The entries of one size, with the readers of their texts; what cannot be read becomes a line of its own.

    Attributes
    ----------
    name
        Of the size.
    terms
        Its system, allowance, ruler and usable width.
    entries
        Kind -> entries, in the order of the form.
    said
        The lines so far.
    """

    def __init__(self, name: str, entries: list[FormEntry], measures: FormEntry | None) -> None:
        self.name = name
        self.entries: dict[str, list[FormEntry]] = {}
        for entry in entries:
            self.entries.setdefault(entry.kind, []).append(entry)
        self.said: list[AuditLine] = []
        self.sewn: dict[str, tuple[float, float]] = {}
        self.judged: set[tuple[int, str, str]] = set()
        own = self.one("size")
        texts: dict[str, Any] = {}
        for held in (measures, own):
            texts |= {} if held is None else dict(held.texts)
        self.terms = self._read_terms(texts, own or measures)

    def _read_terms(self, texts: Mapping[str, Any], entry: FormEntry | None) -> SumTerms:
        given = {key: texts[key] for key in ("system", "seam_allowance", "usable_width") if key in texts}
        system = given.get("system", "inch")
        try:
            terms = take_terms(system=system, allowance=given.get("seam_allowance"), width=given.get("usable_width"))
            if "round_cuts_to" in texts:
                terms = SumTerms(
                    terms.system, terms.allowance, terms.length(texts["round_cuts_to"], "round_cuts_to"), terms.usable
                )
        except (KitError, TypeError) as error:
            if entry is not None:
                self.tell(entry, "measures", "not decidable", note=str(error))
            terms = take_terms(system="metric" if system == "metric" else "inch")
        return terms

    def one(self, kind: str) -> FormEntry | None:
        """Return the one entry of a kind, None without."""
        held = self.entries.get(kind)
        return held[0] if held else None

    def tell(
        self,
        entry: FormEntry,
        key: str,
        verdict: Verdict,
        *,
        found: str = "",
        note: str = "",
        since: tuple[str, ...] = (),
    ) -> None:
        """Add a verdict on one figure; the first verdict on it stays, unless a later one is graver."""
        mark = (entry.line, entry.where, key)
        line = AuditLine(
            f"{entry.where}: {key.replace('_', ' ')}",
            entry.lines.get(key, entry.line),
            _show(entry.texts.get(key, "")),
            found,
            verdict,
            note,
            since,
        )
        if mark in self.judged:
            place = [(one.where, one.line) for one in self.said].index((line.where, line.line))
            if GRAVITY[verdict] > GRAVITY[self.said[place].verdict]:
                self.said[place] = line
            return
        self.judged.add(mark)
        self.said.append(line)

    def tell_width(self, entry: FormEntry, wide: float | None, right: str, short: str, since: tuple[str, ...]) -> None:
        """Add the verdict on cloth that is short at the form's width: enough from a wider one, or wrong."""
        if wide is None:
            self.tell(entry, "buy", "wrong", found=right, note=short, since=since)
            return
        found = f"the usable width is at least {self.terms.say(wide)}"
        self.tell(entry, "buy", "enough only if", found=found, since=since, note=f"{short}: {right}")

    def read(self, entry: FormEntry, key: str, how: str) -> Any:
        """Return the figure of a key, None where it is missing or cannot be read; the latter is told.

        Parameters
        ----------
        entry, key
            Where it stands.
        how
            "length", "size", "lengths", "count" or "parts".
        """
        if key not in entry.texts:
            return None
        value = entry.texts[key]
        try:
            if how == "count":
                return self.terms.count(value if isinstance(value, int | str) else str(value), key, 0)
            if how == "parts":
                return read_parts(value)
            if not isinstance(value, str):
                raise _refuse_bare(key, value)
            if how == "length":
                return self.terms.length(value, key, zero_allowed=key == "overhang", longest=5000)
            if how == "size":
                return self.terms.size(value, key)
            return tuple(self.terms.length(part, key) for part in re.split(r"\s*(?:×|\bx\b|\bby\b)\s*", _share(value)))
        except KitError as error:
            self.tell(entry, key, "not decidable", note=str(error))
            return None


@dataclass(frozen=True, slots=True)
class PartCount:
    """A part of a unit, by name, and how many."""

    name: str
    count: int


def read_parts(value: Any) -> tuple[PartCount, ...]:
    """Return the parts of "2 A1, block, B2 4": a count before or behind the name, or one.

    Raises
    ------
    KitError
        Something else than a text or a list of texts.
    """
    listed = value if isinstance(value, list) else str(value).split(",") if isinstance(value, str) else None
    if listed is None or not all(isinstance(one, str) for one in listed):
        raise KitError(f"the parts are {value!r:.40}", needed="names with counts", do='write "2 A1, 1 B1"')
    found = []
    for one in listed:
        ahead, behind = _PART.fullmatch(one), _TRAILING.fullmatch(one)
        if not one.strip() or ahead is None:
            continue
        if ahead[1]:
            found.append(PartCount(ahead[2], int(ahead[1])))
        elif behind:
            found.append(PartCount(behind[1], int(behind[2])))
        else:
            found.append(PartCount(one.strip(), 1))
    return tuple(found)


def _refuse_bare(key: str, value: object) -> KitError:
    return KitError(f"{key} is {value!r:.40}", needed="a text with a unit", do=f'write for instance "{value!s:.12} in"')


def _share(text: str) -> str:
    """Give the unit of the last length to those before it."""
    unit = re.search(r"([a-z\"″”]+)\.?\s*$", text, re.IGNORECASE)
    parts = re.split(r"\s*(?:×|\bx\b|\bby\b)\s*", text)
    if not unit:
        return text
    return " x ".join(
        part if re.search(r"[a-z\"″”]\.?\s*$", part, re.IGNORECASE) else f"{part} {unit[1]}" for part in parts
    )


def _show(value: Any) -> str:
    text = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return text if len(text) <= 160 else text[:157] + "..."
