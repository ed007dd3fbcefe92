"""What an audit hands out: one verdict per figure of the form, each with its place, both figures and its reason."""

from collections import Counter
from dataclasses import dataclass
from html import escape
from typing import Literal, TypeAlias

Verdict: TypeAlias = Literal["proved", "wrong", "enough only if", "more than needed", "not decidable"]
VERDICTS: tuple[Verdict, ...] = ("wrong", "enough only if", "not decidable", "more than needed", "proved")
"""The gravest first."""
MARKS = {"proved": "✓", "wrong": "✗", "enough only if": "!", "more than needed": "+", "not decidable": "?"}
GROUNDS = {
    "wrong": "#fbeeea",
    "enough only if": "#fdf6e3",
    "not decidable": "#f0f2f4",
    "more than needed": "#eef4f8",
    "proved": "#ffffff",
}


@dataclass(frozen=True)
class AuditLine:
    """The verdict on one figure of the form.

    Attributes
    ----------
    where
        Its place: "lap, piece A1: cut".
    line
        Its line in the file, or its row in the table; 0 where the whole form is meant.
    says
        What the pattern says.
    found
        What follows from its other lines; empty where nothing does.
    verdict
        "proved", "wrong", "enough only if" (the cloth is at least so wide), "more than needed", "not decidable".
    note
        The reason in a sentence: by how much it is off, what is missing.
    since
        The places of the lines that it follows from.
    """

    where: str
    line: int
    says: str
    found: str
    verdict: Verdict
    note: str = ""
    since: tuple[str, ...] = ()

    def __str__(self) -> str:
        said = f"{MARKS[self.verdict]} line {self.line}, {self.where}: {self.says} — {self.verdict}"
        if self.found and self.verdict != "proved":
            said += f"; it should be {self.found}" if self.verdict == "wrong" else f"; {self.found}"
        if self.note:
            said += f". {self.note}"
        if self.since and self.verdict not in ("proved", "not decidable"):
            said += f" (follows from {'; '.join(self.since)})"
        return said.replace("\N{NO-BREAK SPACE}", " ")


@dataclass(frozen=True)
class Audit:
    """The audit of one form.

    Attributes
    ----------
    title
        Of the pattern.
    lines
        One verdict per figure, in the order of the form.
    """

    title: str
    lines: tuple[AuditLine, ...]

    @property
    def passes(self) -> bool:
        """Whether nothing is wrong, and no cloth has to be wider than the pattern says."""
        return not any(line.verdict in ("wrong", "enough only if") for line in self.lines)

    def list_faults(self) -> tuple[AuditLine, ...]:
        """Return the lines to correct, the gravest first."""
        found = [line for line in self.lines if line.verdict in ("wrong", "enough only if")]
        return tuple(sorted(found, key=lambda line: (VERDICTS.index(line.verdict), line.line)))

    def __str__(self) -> str:
        counts = Counter(line.verdict for line in self.lines)
        head = f"{self.title}: " + ", ".join(f"{counts[one]} {one}" for one in VERDICTS if counts[one])
        return "\n".join([head, *(str(line) for line in self.lines if line.verdict != "proved")])

    def __repr__(self) -> str:
        return str(self)

    def _repr_html_(self) -> str:
        """Return the verdicts as a table, the gravest first; every text is escaped."""
        counts = Counter(line.verdict for line in self.lines)
        head = ", ".join(f"{counts[one]} {one}" for one in VERDICTS if counts[one])
        rows = []
        for line in sorted(self.lines, key=lambda one: (VERDICTS.index(one.verdict), one.line)):
            cells = (
                f"{MARKS[line.verdict]} {line.verdict}",
                str(line.line or ""),
                line.where,
                line.says,
                line.found,
                line.note,
            )
            told = "".join(f'<td style="text-align:left;vertical-align:top">{escape(cell)}</td>' for cell in cells)
            rows.append(f'<tr style="background:{GROUNDS[line.verdict]};color:#26221f">{told}</tr>')
        names = "".join(
            f'<th style="text-align:left">{name}</th>'
            for name in ("Verdict", "Line", "Where", "It says", "Found", "Why")
        )
        return (
            f'<div style="overflow-x:auto"><p><b>{escape(self.title)}</b>: {escape(head or "nothing to audit")}</p>'
            f'<table style="border-collapse:collapse"><thead><tr>{names}</tr></thead><tbody>{"".join(rows)}</tbody>'
            "</table></div>"
        )
