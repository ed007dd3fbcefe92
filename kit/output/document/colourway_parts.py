"""Other colourings of the quilt as plain data: a small picture of each, with its fabrics."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeAlias

from kit.model.pattern import Pattern
from kit.output.document.parts import Parts, list_fabric_rows
from kit.output.pictures.cover_picture import draw_bound
from kit.output.pictures.picture_sizes import choose_pen
from kit.output.pictures.svg import measure_ratio, write_svg
from kit.output.proof.proof_lines import ProofLine
from kit.output.words.strings import say

Named: TypeAlias = tuple[str, Pattern]

WIDE, HIGH = 62.0, 74.0
"""Millimetres: the room of a picture."""
HEAD = ("letter", "swatch", "fabric", "instead_of", "buy", "used")
"""Heads of the table of one colourway."""


def add_colourways(parts: Parts, pattern: Pattern, colourways: Sequence[Named], proofs: Sequence[int]) -> Parts:
    """Return the parts of a document with a section for every colourway, and a line on the proof sheet.

    Parameters
    ----------
    parts
        The parts without them.
    pattern
        Every plan of the study.
    colourways
        The title and every plan of each.
    proofs
        How many lines of its proof sheet each has; all of them hold.
    """
    if not colourways:
        return parts
    pictures, sections = dict(parts.pictures), []
    for number, (title, made) in enumerate(colourways, 1):
        drawing, file = draw_bound(made), f"colourway-{number}.svg"
        pictures[file] = write_svg(drawing, pen=choose_pen(drawing, (WIDE, HIGH)))
        alt = say("colourway_alt", colourway=title, said=drawing.title)
        sections.append(
            {
                "label": "", "title": title, "wide": WIDE, "high": HIGH,
                "picture": {"file": file, "alt": alt, "ratio": measure_ratio(drawing)},
                "head": [say(word) for word in HEAD],
                "rows": _list_rows(pattern, made),
            }
        )  # fmt: skip
    titles = ", ".join(title for title, _ in colourways)
    figures = say("proof_colourways_figures", titles=titles, lines=min(proofs))
    line = ProofLine(say("proof_colourways"), figures, passed=True)
    proof = [
        {**one, "lines": [*one["lines"], {"name": line.name, "figures": line.figures, "passed": say("pass")}]}
        for one in parts.data["proof"]  # type: ignore[attr-defined]  # a list of tables
    ]
    return replace(parts, data={**parts.data, "colourways": sections, "proof": proof}, pictures=pictures)


def _list_rows(pattern: Pattern, made: Pattern) -> list[dict[str, str]]:
    """Return a row per fabric: its letter, colour, name, the fabric whose place it takes, and what is bought of it."""
    names = [fabric.name for fabric in pattern.study.fabrics]
    before = {new.name: old for new, old in zip(made.study.fabrics, names, strict=True)}
    return [
        {**row, "instead": before[row["name"]] if before[row["name"]] != row["name"] else say("none")}
        for row in list_fabric_rows(made)
    ]
