"""What differs between the units and steps of two editions, and what to do with what is sewn already."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from itertools import groupby

from kit.model.corrections import Correction, Keyed, OneLength, Sides
from kit.model.print_record import PrintRecord, RecordedStep
from kit.testers.piece_changes import Pair

StepMark = tuple[object, ...]
NAMED = 6
"""Parts of a unit that are named; of more it is said that they are the corrected ones."""
FIGURES = re.compile(r"\s*(?:[A-Z]{1,2}[a-z]?\d+|[\d½¼¾⅛⅜⅝⅞][\d\s,./⁄½¼¾⅛⅜⅝⅞]*|\babout\b)\s*")
"""Figures and names of pieces in a sentence: they are compared as figures, not as words."""


def list_unit_changes(old: PrintRecord, new: PrintRecord, pairs: Sequence[Pair]) -> Iterator[Correction]:
    """Yield the corrections of the units: those that are new or gone, other counts, other unfinished sizes."""
    before, after = ({unit.name: unit for unit in record.units} for record in (old, new))
    resized = {was.id for was, now in pairs if was and now and (was.size, was.kind) != (now.size, now.kind)}
    resized |= {name for name in before if name in after and before[name].size != after[name].size}
    for name, now in after.items():
        was = before.get(name)
        if was is None:
            yield Correction("", "unit", name, "count", now.step or None, "", now.count, "new_unit")
            continue
        if was.count != now.count:
            said = "made_more" if now.count > was.count else "made_fewer"
            yield Correction("", "unit", name, "count", was.step or None, was.count, now.count, said)
        if was.size != now.size:
            inside = [part for part, _ in was.parts if part in resized]
            facts = (("parts", ", ".join(inside) if len(inside) <= NAMED else Keyed("corrected_pieces")),)
            remedy = "unpick" if inside else "measure" if was.parts == now.parts else "steps"
            yield Correction(
                "",
                "unit",
                name,
                "unfinished",
                was.step or None,
                Sides(*was.size),
                Sides(*now.size),
                remedy,
                facts if inside else (),
            )
    for name, gone in before.items():
        if name not in after:
            yield Correction("", "unit", name, "count", gone.step or None, gone.count, "", "gone_unit")


def list_made_changes(old: PrintRecord, new: PrintRecord) -> Iterator[Correction]:
    """Yield how units made several at a time differ; their cut shapes are pieces already."""
    before = {(one.unit, one.fabrics): one for one in old.made}
    for now in new.made:
        was = before.get((now.unit, now.fabrics))
        if was is None:
            continue
        if was.way != now.way:
            yield Correction("", "unit", was.id, "way", None, was.way, now.way, "way")
        for what, one, other in (("batches", was.batches, now.batches), ("makes", was.makes, now.makes)):
            if one != other:
                yield Correction("", "unit", was.id, what, None, one, other, "way")
        if len(was.segments) != len(now.segments):
            yield Correction("", "unit", was.id, "segments", None, len(was.segments), len(now.segments), "way")
        widths = {("segment", one, other) for one, other in zip(was.segments, now.segments, strict=False)}
        lengths = [("over", was.over, now.over), ("segment", was.segment, now.segment), *sorted(widths)]
        for what, one_length, other_length in lengths:
            if one_length != other_length:
                ends = OneLength(one_length, near=True), OneLength(other_length, near=True)
                yield Correction("", "unit", was.id, what, None, *ends, "way")


def list_step_changes(old: PrintRecord, new: PrintRecord, changed: frozenset[str]) -> Iterator[Correction]:
    """Yield the corrections of the steps of units that both editions have.

    A step is known again by its unit, its kind and the pieces of its two parts, whatever its number and its sizes. A
    run of steps that stand elsewhere, are new or are gone is one line; so is a run with other numbers only. A figure
    that differs in the words of a step is a line only if no piece or unit of the step is among those that have lines of
    their own (`changed`); other words always are.
    """
    both = {unit.name for unit in old.units} & {unit.name for unit in new.units}
    before, after = ([step for step in record.steps if step.unit in both] for record in (old, new))
    marks = [[_mark(step) for step in steps] for steps in (before, after)]
    runs = SequenceMatcher(None, marks[0], marks[1], autojunk=False).get_opcodes()
    same = [pair for tag, i, j, k, m in runs if tag == "equal" for pair in zip(before[i:j], after[k:m], strict=True)]
    shifted = [(was, now) for was, now in same if was.number != now.number]
    known = changed | {"number"} if shifted else changed
    for tag, i, j, k, m in runs:
        if tag == "equal":
            for was, now in zip(before[i:j], after[k:m], strict=True):
                yield from _compare(was, now, known)
        else:
            yield from _list_run(before[i:j], after[k:m], marks)
    yield from _list_shifts(shifted)


def _mark(step: RecordedStep) -> StepMark:
    return step.unit, step.kind, step.first, step.second


def _compare(was: RecordedStep, now: RecordedStep, changed: frozenset[str]) -> Iterator[Correction]:
    """Yield how one step differs: its pressing, how far it is sewn, where it stops, else its words."""
    here = f"{was.number}"
    found = False
    if (was.press, was.back) != (now.press, now.back):
        found = True
        yield Correction("", "step", here, "press", was.number, _say_press(was), _say_press(now), "press")
    if was.stretch != now.stretch and was.stretch and now.stretch:
        found = True
        ends = [OneLength(round(step.stretch[1] - step.stretch[0], 6), near=True) for step in (was, now)]
        if ends[0] != ends[1]:
            yield Correction("", "step", here, "stretch", was.number, ends[0], ends[1], "stretch")
    if len(was.stops) != len(now.stops):
        found = True
        yield Correction("", "step", here, "stops", was.number, len(was.stops), len(now.stops), "stretch")
    if not found and was.words != now.words and not _is_explained(was, now, changed):
        yield Correction("", "step", here, "words", was.number, was.words.rstrip("."), now.words.rstrip("."), "words")


def _is_explained(was: RecordedStep, now: RecordedStep, changed: frozenset[str]) -> bool:
    """Return True if two wordings of a step differ in figures alone that follow from something with a line."""
    if FIGURES.sub(" # ", was.words) != FIGURES.sub(" # ", now.words):
        return False
    named = {*was.taken, *now.taken, was.unit}
    named |= {name for name in changed if f" {name}" in was.words}
    return bool(named & changed) or "number" in changed


def _say_press(step: RecordedStep) -> Keyed:
    key = f"press_{step.press or 'none'}"
    return Keyed(f"{key}_back", (("count", step.back),)) if step.back else Keyed(key)


def _list_run(
    gone: Sequence[RecordedStep], come: Sequence[RecordedStep], marks: Sequence[Sequence[StepMark]]
) -> Iterator[Correction]:
    """Yield one line for steps that stand here in the one edition and not in the other."""
    steps = [*gone, *come]
    everywhere = [Counter(side) for side in marks]
    moved = all(everywhere[0][_mark(step)] == everywhere[1][_mark(step)] for step in steps)
    old, new = (_say_steps(side) if side else "" for side in (gone, come))
    number = gone[0].number if gone else come[0].number
    yield Correction(
        "", "step", f"{number}", "order" if moved else "steps", number, old, new, "order" if moved else "steps"
    )


def _say_steps(steps: Sequence[RecordedStep]) -> Keyed:
    """Return steps by their numbers, a single one with its words."""
    first, last = steps[0].number, steps[-1].number
    numbers = Keyed("steps_one", (("first", first),))
    if len(steps) == 1:
        return Keyed("steps_words", (("steps", numbers), ("words", steps[0].words.rstrip("."))))
    return Keyed("steps_many", (("first", first), ("last", last)))


def _list_shifts(shifted: Sequence[tuple[RecordedStep, RecordedStep]]) -> Iterator[Correction]:
    """Yield one line for each run of steps that only have other numbers."""
    runs = groupby(enumerate(shifted), key=lambda one: (one[1][1].number - one[1][0].number, one[1][0].number - one[0]))
    for _, run in runs:
        pairs = [pair for _, pair in run]
        old, new = (_number([pair[side] for pair in pairs]) for side in (0, 1))
        number = pairs[0][0].number
        yield Correction("", "step", f"{number}", "number", number, old, new, "renumber")


def _number(steps: Sequence[RecordedStep]) -> Keyed:
    if len(steps) == 1:
        return Keyed("steps_one", (("first", steps[0].number),))
    return Keyed("steps_many", (("first", steps[0].number), ("last", steps[-1].number)))
