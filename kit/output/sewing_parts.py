"""The units and steps of the printed pattern as plain data, each step with its picture."""

from collections.abc import Sequence
from dataclasses import replace

from kit.model.pattern import Pattern
from kit.model.sewing import Step, Unit
from kit.output.drawing import Drawing
from kit.output.instructions import StepWriter
from kit.output.steps import draw_step
from kit.output.strings import say
from kit.output.svg import write_svg

Data = dict[str, object]

WHY = {"partial": "partial_why", "close": "close_why", "set in": "set_in_why", "trim": "trim_why"}
"""What is explained where a kind of step first occurs in a unit."""


def list_units(pattern: Pattern) -> tuple[list[Data], dict[str, str]]:
    """Return every unit with its steps, and the steps' pictures.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Returns
    -------
    tuple
        The units in the order of sewing, and file name -> SVG text.
    """
    writer = StepWriter(pattern, pattern.sewing)
    pictures: dict[str, str] = {}
    units = []
    explained: set[str] = set()
    for unit in pattern.sewing.units:
        steps = [step for step in pattern.sewing.steps if step.unit == unit.name]
        if not steps:
            continue
        entries = []
        for step in steps:
            drawing = _strip_note(draw_step(pattern, pattern.sewing, step, writer))
            name = f"step-{step.number}.svg"
            pictures[name] = write_svg(drawing)
            entries.append(_write_step(step, drawing, name, writer, explained))
            explained.add(step.kind)
        units.append(_write_unit(pattern, unit, entries, writer))
    return units, pictures


def _write_unit(pattern: Pattern, unit: Unit, steps: list[Data], writer: StepWriter) -> Data:
    names = {piece.id: piece.name for piece in pattern.cut_list.pieces}
    units = {one.name for one in pattern.sewing.units}
    parts = [f"({count}) {part if part in units else f'{names[part]} {part}'}" for part, count in unit.parts]
    last = unit.name == pattern.sewing.units[-1].name
    return {
        "heading": unit.name if unit.count == 1 else say("make_heading", name=unit.name, count=unit.count),
        "parts": say("unit_top" if unit.count == 1 else "unit_parts", parts=_join(parts)),
        "size": say("unit_size", size=writer.write_size(unit)),
        "steps": steps,
        "top": last,
    }


def _join(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]


def _write_step(step: Step, drawing: Drawing, name: str, writer: StepWriter, explained: set[str]) -> Data:
    left, bottom, right, top = drawing.box
    why = WHY.get(step.kind, "")
    return {
        "number": say("step", number=step.number),
        "make": say("make", count=writer.units[step.unit].count),
        "text": writer.say(step),
        "why": say(why) if why and step.kind not in explained else "",
        "picture": {"file": name, "alt": drawing.title, "ratio": round((right - left) / (top - bottom), 4)},
    }


def _strip_note(drawing: Drawing) -> Drawing:
    """Return a step's drawing without the caption in it, which the document sets as text."""
    left, _, right, top = drawing.box
    points = [point for polygon in drawing.polygons for point in polygon.points]
    points += [point for line in drawing.lines for point in line.points]
    low = min(y for _, y in points)
    return replace(drawing, box=(left, low - 0.02 * max(right - left, top - low), right, top), notes=())
