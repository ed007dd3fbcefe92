"""The finishing part of the printed pattern: the sentences of the finishing, each part with its picture."""

from dataclasses import dataclass

from kit.model.pattern import Pattern
from kit.output.drawing import Drawing
from kit.output.finishing_drawings import draw_backing, draw_binding
from kit.output.finishing_instructions import list_finishing_steps
from kit.output.finishing_strings import tell
from kit.output.quilting_view import draw_quilting


@dataclass(frozen=True)
class Section:
    """One heading of the finishing: its sentences, and its picture where there is one."""

    heading: str
    lines: tuple[str, ...]
    name: str = ""
    drawing: Drawing | None = None


def list_sections(pattern: Pattern) -> tuple[Section, ...]:
    """Return the finishing in the order of working.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    plan = pattern.finishing
    pictures = {
        tell("backing"): ("backing.svg", draw_backing(plan)),
        tell("quilting"): ("quilting.svg", draw_quilting(pattern, pattern.quilting)),
        tell("binding"): ("binding.svg", draw_binding(plan)),
    }
    return tuple(
        Section(heading, lines, *pictures.get(heading, ("", None))) for heading, lines in list_finishing_steps(pattern)
    )
