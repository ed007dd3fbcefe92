"""What testers are asked: sizes by step, cloth by fabric, minutes by stretch of work; all from the plans."""

from collections.abc import Iterator

from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import measure_angles, measure_area, measure_box, measure_edges, tidy_outline
from kit.lengths import buying_length
from kit.model.findings import PARTS, AskedCloth, AskedSize, AskedTime, Questions
from kit.model.pattern import Pattern
from kit.model.sewing import SewnUnit, Step
from kit.output.pictures.drawing import name_fabrics
from kit.output.words.loop_words import name_segment_units
from kit.output.words.step_words import StepSentences

LONG = 8
"""A unit of as many steps is measured on the way as well, where it is a rectangle."""
BETWEEN = 3
"""The most measures on the way to one unit."""
ROWS = 24
"""With more units than this only whole units are measured: a form must stay short enough to be filled."""
TIMED = 6
"""The most units whose minutes are asked one by one; the others share a row."""
RIGHT = 90.0
NEAR = 0.01
"""Degrees, and part of an area."""


def list_questions(pattern: Pattern) -> Questions:
    """Return everything that the testers of one size are asked.

    Sizes are the unfinished sizes that the printed pattern gives with each unit, and up to three rectangles on the way
    to a unit of many steps, so that a seam that drifts is noticed early.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    system = pattern.study.measures.system
    return Questions(
        pattern.study.title,
        pattern.study.edition,
        pattern.colophon.get("fingerprint", ""),
        system,
        pattern.patchwork.finished,
        tuple(sorted(_list_sizes(pattern), key=lambda asked: asked.step)),
        tuple(_list_cloth(pattern)),
        tuple(_list_times(pattern)),
        tuple(dict(_list_places(pattern)).items()),
        sum(step.told > 0 for step in pattern.sewing.steps),
    )


def _list_cloth(pattern: Pattern) -> list[AskedCloth]:
    """Return every fabric in the order of the letters."""
    letters, system = name_fabrics(pattern), pattern.study.measures.system
    rows = []
    for plan in (one for one in pattern.cutting.cloths if one.strips):
        name, need, yardage = plan.supply.fabric or plan.supply.slot, plan.as_bought, plan.supply.form == "yardage"
        bought = buying_length(need, system) if yardage else need
        rows.append(AskedCloth(name, letters.get(name, ""), plan.supply.form, need, bought))
    return sorted(rows, key=lambda row: row.letter)


def find_first_steps(pattern: Pattern) -> dict[str, int]:
    """Return the first step that takes up each piece, by the id of the piece; 0 for a piece that no step names."""
    first = {piece.id: 0 for piece in pattern.making.pieces}
    for step in pattern.sewing.steps:
        for piece in list_taken(pattern, step):
            first[piece] = first.get(piece) or step.told
    return first


def list_taken(pattern: Pattern, step: Step) -> tuple[str, ...]:
    """Return the ids of the pieces that a step takes up one by one."""
    piece_of = pattern.cut_list.piece_of
    alone = (patches[0] for patches in (step.first, step.second) if len(patches) == 1)
    return tuple(dict.fromkeys(piece_of[patch].id for patch in alone if patch in piece_of))


def _list_places(pattern: Pattern) -> Iterator[tuple[str, int]]:
    """Yield every place in which a tester may stumble, with its step; the nearest meaning of a name last."""
    yield from ((part, 0) for part in PARTS)
    yield from ((fabric.name.lower(), 0) for fabric in pattern.study.fabrics)
    last = {step.unit: step.told for step in pattern.sewing.steps}
    yield from ((unit.name.lower(), last.get(unit.name, 0)) for unit in pattern.sewing.units)
    yield from ((made.id.lower(), 0) for made in pattern.making.made)
    yield from ((piece.lower(), step) for piece, step in find_first_steps(pattern).items())
    yield from ((f"{step.told}", step.told) for step in pattern.sewing.steps if step.told)


def _list_sizes(pattern: Pattern) -> Iterator[AskedSize]:
    writer, units = StepSentences(pattern, pattern.sewing), pattern.sewing.units
    segments = name_segment_units(pattern.making.made, pattern.sewing)
    for unit in units:
        steps = [step for step in pattern.sewing.steps if step.unit == unit.name]
        if not steps or unit.name in segments:
            continue
        yield AskedSize(steps[-1].told, unit.name, unit.count, writer.measure(unit), whole=True)
        trimmed = any(step.kind == "trim" for step in steps)
        if len(steps) >= LONG and len(units) <= ROWS and not trimmed and not writer.ready.is_ready(steps[0]):
            yield from _list_between(pattern, unit, steps)


def _list_between(pattern: Pattern, unit: SewnUnit, steps: list[Step]) -> Iterator[AskedSize]:
    """Yield measures on the way to a unit: up to three of its rectangles, evenly spread."""
    found = [(step, size) for step in _skip_open(steps[1:-1]) if (size := _measure_rectangle(pattern, step))]
    wanted = min(BETWEEN, len(found))
    for number in range(1, wanted + 1):
        step, size = found[number * len(found) // (wanted + 1)] if wanted < len(found) else found[number - 1]
        yield AskedSize(step.told, unit.name, unit.count, size, whole=False)


def _skip_open(steps: list[Step]) -> Iterator[Step]:
    """Yield plain seams, but none while a partial seam is open: such a part is not to size."""
    opened = 0
    for step in steps:
        opened += (step.kind == "partial") - (step.kind == "close")
        if step.kind == "join" and not opened and not step.ragged:
            yield step


def _measure_rectangle(pattern: Pattern, step: Step) -> tuple[float, float] | None:
    """Return the unfinished size of what a step gives, if that is a rectangle of known patches."""
    patches = [*step.first, *step.second]
    known = pattern.patchwork.by_id
    if not all(patch in known for patch in patches):
        return None
    loops = build_mesh(list(pattern.patchwork.list_outlines(patches))).trace_outside()
    outline = tidy_outline(loops[0]) if len(loops) == 1 else ()
    if len(outline) != 4 or any(abs(angle - RIGHT) > NEAR for angle in measure_angles(outline)):
        return None
    left, bottom, right, top = measure_box(outline)
    wide, high = right - left, top - bottom
    if wide * high > measure_area(outline) * (1 + NEAR):  # it lies aslant
        wide, high = sorted(measure_edges(outline)[:2])
    grown = 2 * pattern.cut_list.allowance
    return wide + grown, high + grown


def _list_times(pattern: Pattern) -> Iterator[AskedTime]:
    """Yield the stretches of work; the plan's minutes of piecing are shared out by the seams of each unit."""
    seams = {
        unit.name: unit.count * sum(step.kind != "trim" for step in pattern.sewing.steps if step.unit == unit.name)
        for unit in pattern.sewing.units
    }
    every = sum(seams.values())
    order = [unit for unit, count in seams.items() if count]
    named = set(sorted(order, key=lambda unit: -seams[unit])[:TIMED])
    for line in pattern.finishing.time:
        if line.work != "piecing" or not every:
            yield AskedTime(line.work, line.work, "", line.minutes)
            continue
        for unit in (one for one in order if one in named):
            yield AskedTime(f"sewing {unit}", line.work, unit, line.minutes * seams[unit] / every)
        rest = sum(seams[unit] for unit in order if unit not in named)
        if rest:
            yield AskedTime("sewing the rest", line.work, "", line.minutes * rest / every)
