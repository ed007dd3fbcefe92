"""The proof of a translated pattern: the same sentences with the same figures as the English words."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

from kit.errors import CheckError
from kit.output.document.parts import Parts
from kit.output.proof.proof_lines import ProofLine
from kit.output.words.strings import say

Heard: TypeAlias = Sequence[tuple[str, Mapping[str, object]]]

FIGURE = re.compile(r"\d+(?:[.,]\d+)?|[½¼¾⅛⅜⅝⅞]")


def compare_sentences(original: Heard, other: Heard) -> ProofLine:
    """Return the line of the proof sheet for a translated pattern.

    Every sentence that was filled in for the English pattern must have been filled in as often for the other, with the
    same figures. What the words of a translation say is not read back: nobody but a reader of both can prove that.

    Parameters
    ----------
    original, other
        The names of the sentences with their facts, as `listen` collects them.

    Raises
    ------
    CheckError
        Names a sentence that is missing, is one too many, or has other figures.
    """
    ours, theirs = Counter(map(_sign, original)), Counter(map(_sign, other))
    odd = sorted(((ours - theirs) + (theirs - ours)).items(), key=repr)
    if odd:
        (name, figures), _ = odd[0]
        raise CheckError(
            f"The sentence `{name}` with the figures {', '.join(figures) or 'none'} is not in both languages",
            needed="the same sentences with the same figures in both",
            do="report this study: nothing is printed in this language until they are",
        )
    count = sum(len(figures) * times for (_, figures), times in ours.items())
    said = say("proof_language_figures", sentences=sum(ours.values()), figures=count)
    return ProofLine(say("proof_language"), said, passed=True)


def _sign(one: tuple[str, Mapping[str, object]]) -> tuple[str, tuple[str, ...]]:
    """Return the name of a sentence and its figures in order of size, whatever sign the language has for decimals."""
    name, facts = one
    return name, tuple(sorted(figure for fact in facts.values() for figure in _list_figures(fact)))


def _list_figures(fact: object) -> Iterable[str]:
    if isinstance(fact, str):
        return [found.replace(",", ".") for found in FIGURE.findall(fact)]
    return [repr(fact)] if isinstance(fact, int | float) else FIGURE.findall(repr(fact))


def add_proof(parts: Parts, line: ProofLine) -> Parts:
    """Return the parts of a document with a line more on its proof sheet."""
    row = {"name": line.name, "figures": line.figures, "passed": say("pass" if line.passed else "fail")}
    held = parts.data["proof"]
    proof = [{**one, "lines": [*one["lines"], row]} for one in held]  # type: ignore[attr-defined]  # a list of tables
    return replace(parts, data={**parts.data, "proof": proof})
