"""The finishing part of the printed pattern: the sentences of the finishing, each part with its picture."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.model.pattern import Pattern
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.finishing_picture import draw_backing, draw_binding
from kit.output.pictures.picture_sizes import STANDARD, Rooms, choose_pen
from kit.output.pictures.quilting_picture import draw_quilting
from kit.output.pictures.svg import Pen
from kit.output.words.finishing_words import list_finishing_steps
from kit.output.words.quilting_words import list_stitching
from kit.output.words.strings import say_finishing


@dataclass(frozen=True)
class Section:
    """One heading of the finishing: its sentences, and its picture with the pen, if any."""

    heading: str
    lines: tuple[str, ...]
    name: str = ""
    drawing: Drawing | None = None
    pen: Pen | None = None


def list_sections(pattern: Pattern, rooms: Rooms = STANDARD) -> tuple[Section, ...]:
    """Return the finishing in the order of working.

    Parameters
    ----------
    pattern
        Every plan of a study.
    rooms
        The room for the pictures.
    """
    plan = pattern.finishing
    backing, binding = draw_backing(plan, rooms=rooms), draw_binding(plan, rooms)
    pictures: dict[str, tuple[str, Drawing, Pen | None]] = {
        say_finishing("backing"): ("backing.svg", backing, choose_pen(backing, rooms.bound)),
        say_finishing("quilting"): ("quilting.svg", draw_quilting(pattern, pattern.quilting), None),
        say_finishing("binding"): ("binding.svg", binding, choose_pen(binding, rooms.bound)),
    }
    bare = ("", None, None)
    return tuple(
        Section(heading, _add_stitching(pattern, lines) if heading == say_finishing("quilting") else lines,
                *pictures.get(heading, bare))
        for heading, lines in list_finishing_steps(pattern)
    )  # fmt: skip


def _add_stitching(pattern: Pattern, lines: Sequence[str]) -> tuple[str, ...]:
    """Return the sentences of the quilting with those of what is stitched where after the first, open gaps last."""
    if not pattern.quilting.runs:
        return tuple(lines)
    first, *others = lines
    open_gaps = [say_finishing("quilting_open")] if pattern.quilting.open_gaps else []
    return (first, *list_stitching(pattern), *others, *open_gaps)
