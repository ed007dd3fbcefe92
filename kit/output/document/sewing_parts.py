"""The units and steps of the printed pattern as plain data, each step or run of steps with its picture."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from typing import TypeAlias

from kit.model.pattern import Pattern, Sketch
from kit.model.sewing import SewingPlan, SewnUnit, Step
from kit.output.pictures.drawing import Drawing, name_fabrics
from kit.output.pictures.end_letters import letter_ends
from kit.output.pictures.exploded_picture import draw_exploded
from kit.output.pictures.letters import letter_patches, make_room, size_stops
from kit.output.pictures.picture_sizes import STANDARD, Rooms, choose_pen, find_scale
from kit.output.pictures.step_picture import draw_step
from kit.output.pictures.step_runs import choose_rooms, draw_run
from kit.output.pictures.svg import measure_ratio, write_svg
from kit.output.pictures.trim_picture import draw_trim
from kit.output.pictures.zoom import lay_down, zoom_in
from kit.output.words.batch_words import say_making
from kit.output.words.loop_words import name_paper_units, name_segment_units
from kit.output.words.seam_words import CardSeams
from kit.output.words.step_words import StepSentences, join_words
from kit.output.words.strings import say, say_name
from kit.progress import Progress, keep_quiet, report

Data: TypeAlias = dict[str, object]

WHY = {"partial": "partial_why", "close": "close_why", "set in": "set_in_why", "trim": "trim_why"}
"""Explanations for the first step of a kind in a unit."""


HEADS = ("run_part", "run_along", "run_stop", "run_press")
"""Heads of the list of several steps, after their numbers."""


def list_units(
    pattern: Pattern, progress: Progress = keep_quiet, rooms: Rooms = STANDARD
) -> tuple[list[Data], dict[str, str]]:
    """Return every unit with its steps, and the steps' pictures.

    Parameters
    ----------
    pattern
        Every plan of a study.
    progress
        Called as the pictures are drawn.
    rooms
        The room for the pictures.

    Returns
    -------
    tuple
        The units in the order of sewing, and file name -> SVG text.
    """
    writer = StepSentences(pattern, pattern.sewing)
    names = name_fabrics(pattern)
    letters = {patch: names[fabric] for patch, fabric in pattern.colouring.assignment.items()}
    pictures: dict[str, str] = {}
    units: list[Data] = []
    waiting: list[tuple[SewnUnit, list[Step]]] = []
    explained: set[str] = set()
    ready_units = name_segment_units(pattern.making.made, pattern.sewing)
    within = name_paper_units(pattern.making.made, pattern.sewing)
    for unit in pattern.sewing.units:
        steps = [step for step in pattern.sewing.steps if step.unit == unit.name]
        if not steps or unit.name in within:
            continue
        if unit.name in ready_units:
            waiting.append((unit, steps))
            continue
        if waiting:
            units.append(_write_segments(waiting, ready_units))
            waiting = []
        cards: list[Data] = []
        whole_ready = all(writer.ready.is_ready(step) for step in steps)
        for group in [tuple(steps)] if whole_ready else group_cards(pattern.sewing, unit, writer):
            ready = whole_ready or (len(group) > 1 and writer.ready.is_ready(group[0]))
            if len(group) > 1 and not ready:
                cards.append(_draw_several(pattern, group, writer, rooms, pictures, explained))
                report(progress, "steps", group[-1].number, len(pattern.sewing.steps))
                continue
            for step in group[-1:] if ready else group:
                seams = writer.open_card((step,))
                card = _draw_single(pattern, step, writer, seams, rooms, pictures, letters, explained)
                if whole_ready:
                    card |= {"number": "", "text": say_pressed(seams), "why": ""}
                elif ready:
                    card |= {"number": _number(group)}
                cards.append(card)
                explained.update(() if whole_ready else (step.kind,))
                report(progress, "steps", step.number, len(pattern.sewing.steps))
        apart = _add_exploded(pattern, rooms, pictures) if unit is pattern.sewing.units[-1] else None
        units.append(_write_unit(pattern, unit, cards, writer) | {"exploded": apart})
    return units, pictures


def _add_exploded(pattern: Pattern, rooms: Rooms, pictures: dict[str, str]) -> Data | None:
    """Add the picture of the top taken apart, and return where it stands; None if the top has none."""
    room = (rooms.run[0], rooms.run[1])
    drawing = draw_exploded(pattern, room, rooms.letter)
    if drawing is None:
        return None
    pictures["exploded.svg"] = write_svg(drawing, pen=choose_pen(drawing, room))
    return {"file": "exploded.svg", "alt": drawing.title, "ratio": measure_ratio(drawing), "high": room[1]}


def _draw_several(
    pattern: Pattern,
    group: Sequence[Step],
    writer: StepSentences,
    rooms: Rooms,
    pictures: dict[str, str],
    explained: set[str],
) -> Data:
    """Return the card of several steps, its picture put among the others."""
    name = f"steps-{group[0].number}.svg"
    seams = writer.open_card(group)
    drawing = draw_run(pattern, group, writer, rooms, seams)
    higher = choose_rooms(drawing, rooms)
    drawing = drawing if higher is rooms else draw_run(pattern, group, writer, higher, seams)
    drawing = size_stops(make_room(drawing, higher.run, higher.letter), higher.run, higher.letter)
    drawing = letter_ends(drawing, higher.letter / find_scale(drawing.box, higher.run))
    pictures[name] = write_svg(drawing, pen=choose_pen(drawing, higher.run))
    card = _write_run(group, drawing, name, writer, explained, seams) | {"tall": higher.run[1]}
    explained |= {step.kind for step in group}
    return card


def _draw_single(
    pattern: Pattern,
    step: Step,
    writer: StepSentences,
    seams: CardSeams,
    rooms: Rooms,
    pictures: dict[str, str],
    letters: Mapping[str, str],
    explained: set[str],
) -> Data:
    """Return the card of one step, its picture put among the others; a trim is drawn from nearby as well."""
    whole = _strip_note(draw_step(pattern, pattern.sewing, step, writer, seams))
    near = zoom_in(whole, step)
    drawing, detail = lay_down(near, turned=seams.turned), near is not whole
    name = f"step-{step.number}.svg"
    lettered = letter_patches(drawing, step, letters, rooms.step, rooms.letter)
    pictures[name] = write_svg(lettered, pen=choose_pen(lettered, rooms.step))
    card = _write_step(step, drawing, name, writer, explained, seams, detail=detail)
    if step.kind == "trim":
        card |= {"near": _add_trim(pattern, step, writer, rooms, pictures, turned=seams.turned)}
    return card


def _add_trim(
    pattern: Pattern, step: Step, writer: StepSentences, rooms: Rooms, pictures: dict[str, str], *, turned: bool
) -> Data:
    """Add the picture of a trim from nearby to those of the steps, and return where it stands."""
    room = (0.9 * rooms.step[1], 0.9 * rooms.step[1])
    drawing = draw_trim(pattern, step, writer.places, room, rooms.letter, turned=turned)
    name = f"trim-{step.number}.svg"
    pictures[name] = write_svg(drawing, pen=choose_pen(drawing, room))
    return {"file": name, "alt": drawing.title, "ratio": measure_ratio(drawing)}


def say_pressed(seams: CardSeams) -> str:
    """Return the words for a unit in which nothing is left to sew: its picture shows the pressing."""
    return " ".join([say_making("ready_press"), *([say("lies_down")] if seams.turned else [])])


def _write_unit(pattern: Pattern, unit: SewnUnit, steps: list[Data], writer: StepSentences) -> Data:
    last = unit.name == pattern.sewing.units[-1].name
    return {**describe_unit(pattern, pattern.sewing, unit, writer), "steps": steps, "top": last}


def describe_unit(sketch: Sketch, plan: SewingPlan, unit: SewnUnit, writer: StepSentences) -> dict[str, str]:
    """Return what stands over the cards of a unit: its heading, its parts, its size and its sets in words.

    Parameters
    ----------
    sketch, plan, unit
        A sketch or a pattern, its sewing plan, and one of the plan's units.
    writer
        Says the plan's steps.
    """
    parts = _list_parts(sketch, plan, unit, writer)
    ready = writer.ready.say_unit([step for step in plan.steps if step.unit == unit.name])
    name = _capital(say_name(unit.name))
    sets = writer.sets[unit.name]
    named = [say("unit_set", number=number, count=len(copies)) for number, copies in enumerate(sets, start=1)]
    return {
        "heading": name if unit.count == 1 else say("make_heading", name=name, count=unit.count),
        "parts": ready or say("unit_top" if unit.count == 1 else "unit_parts", parts=join_words(parts)),
        "size": say("unit_size", size=writer.write_size(unit)),
        "sets": _say_sets(unit, writer, named),
    }


def _list_parts(sketch: Sketch, plan: SewingPlan, unit: SewnUnit, writer: StepSentences) -> list[str]:
    """Return the pieces and units that one copy takes, those that come sewn together out of batches as one part."""
    names, piece_of = {piece.id: say_name(piece.name) for piece in sketch.cut_list.pieces}, sketch.cut_list.piece_of
    taken = dict(unit.parts)
    within = {patch for one in plan.units if one.name in taken for copy in one.copies for patch in copy}
    come: Counter[str] = Counter()
    for batches, patches in writer.ready.list_parts([step for step in plan.steps if step.unit == unit.name]):
        if not patches & within:
            come[batches] += 1
            for patch in patches:
                taken[piece_of[patch].id] -= 1
    units = {one.name for one in plan.units}
    parts = [
        f"({count}) {say_name(part) if part in units else f'{names[part]} {part}'}"
        for part, count in taken.items()
        if count
    ]
    ready = [say_making("unit_come" if n > 1 else "unit_come_one", count=n, units=name) for name, n in come.items()]
    return [*ready, *parts]


def _say_sets(unit: SewnUnit, writer: StepSentences, named: Sequence[str]) -> str:
    """Return what is to be known of the copies: that some are pressed the other way, or laid with a half turn."""
    if len(named) < 2:
        return ""
    if unit.name in writer.half_turned:
        return say("unit_half_turned", count=unit.count - len(writer.sets[unit.name][0]))
    return say("unit_sets", sets=join_words(named))


def _write_segments(found: Sequence[tuple[SewnUnit, Sequence[Step]]], ready: Mapping[str, str]) -> Data:
    """Return one entry for units that come ready as segments of strip sets: nothing is left to sew in them."""
    names = [unit.name for unit, _ in found]
    named = (
        say_making(
            "segments_two" if len(names) == 2 else "segments_named", first=say_name(names[0]), last=say_name(names[-1])
        )
        if len(names) > 1
        else say_name(names[0])
    )
    sources = say_making("and").join(dict.fromkeys(ready[name] for name in names))
    count = sum(unit.count for unit, _ in found)
    return {
        "heading": say("make_heading", name=_capital(named), count=count),
        "parts": say_making("segments_ready", units=sources),
        "size": "", "sets": "", "steps": [], "top": False,
    }  # fmt: skip


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _write_step(
    step: Step,
    drawing: Drawing,
    name: str,
    writer: StepSentences,
    explained: set[str],
    seams: CardSeams,
    *,
    detail: bool,
) -> Data:
    why = WHY.get(step.kind, "")
    return {
        "number": say("step", number=step.told),
        "make": say("make_detail" if detail else "make", count=writer.units[step.unit].count),
        "text": writer.say(step, seams),
        "why": say(why) if why and step.kind not in explained else "",
        "items": [],
        "result": "",
        "picture": {"file": name, "alt": drawing.title, "ratio": measure_ratio(drawing)},
    }


def _number(group: Sequence[Step]) -> str:
    return say("steps", first=group[0].told, last=group[-1].told)


def group_cards(plan: SewingPlan, unit: SewnUnit, writer: StepSentences) -> list[tuple[Step, ...]]:
    """Return the steps of a unit grouped by card; steps that come ready and are pressed alike share one.

    Parameters
    ----------
    plan, unit
        The plan and one of its units.
    writer
        Says the plan's steps.
    """
    written = {step.number: place for place, group in enumerate(plan.list_written(unit.name)) for step in group}
    steps = [step for step in plan.steps if step.unit == unit.name]

    def place(step: Step) -> object:
        if writer.ready.is_ready(step):
            return step.press, step.pressed_back
        return written[step.number]

    return [tuple(found) for _, found in groupby(steps, key=place)]


def _write_run(
    group: Sequence[Step], drawing: Drawing, name: str, writer: StepSentences, explained: set[str], seams: CardSeams
) -> Data:
    words = writer.say_steps(group, seams)
    why = [
        say(WHY[kind]) for kind in dict.fromkeys(step.kind for step in group) if kind in WHY and kind not in explained
    ]
    return {
        "number": _number(group),
        "make": say("make", count=writer.units[group[0].unit].count),
        "text": words.begin,
        "why": " ".join(why),
        "items": list_cells(words.items),
        "result": words.result,
        "picture": {"file": name, "alt": drawing.title, "ratio": measure_ratio(drawing)},
    }


def list_cells(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """Return the rows of several steps under their heads, without the columns in which every cell is empty."""
    table = [[say("run_step"), *(say(key) for key in HEADS)], *map(list, rows)]
    kept = [i for i in range(len(table[0])) if any(row[i] for row in rows)]
    return [[row[i] for i in kept] for row in table]


def _strip_note(drawing: Drawing) -> Drawing:
    """Return a step's drawing without its caption: the document sets the caption as text."""
    left, _, right, top = drawing.box
    points = [point for polygon in drawing.polygons for point in polygon.points]
    points += [point for line in drawing.lines for point in line.points]
    low = min(y for _, y in points)
    return replace(drawing, box=(left, low - 0.02 * max(right - left, top - low), right, top), notes=())
