"""A line of the proof sheet."""

from dataclasses import dataclass

from kit.output.words.strings import say


@dataclass(frozen=True, slots=True)
class ProofLine:
    """One line of the proof sheet.

    Attributes
    ----------
    name
        The name of the proof.
    figures
        The compared figures, in words; for a failing line, the place of the failure.
    passed
        Whether it holds.
    """

    name: str
    figures: str
    passed: bool


def write_line(key: str, faults: list[str], **facts: object) -> ProofLine:
    """Return a line from the house strings, with its figures, or with the first of its faults."""
    if not faults:
        return ProofLine(say(f"proof_{key}"), say(f"proof_{key}_figures", **facts), passed=True)
    said = say("proof_more", fault=faults[0], count=len(faults) - 1) if len(faults) > 1 else faults[0]
    return ProofLine(say(f"proof_{key}"), said, passed=False)
