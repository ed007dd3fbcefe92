"""Pictures about units, ways of making them, odd seams with their price, and a pattern read critically."""

from functools import cache
from random import Random

from kit.geometry.outlines import make_rectangle, move_outline
from kit.lengths import CM
from kit.lessons.exercises.exercise import Terms
from kit.lessons.exercises.lesson_shapes import make_cut_list
from kit.lessons.exercises.reading_exercises import find_refused, plant_error
from kit.lessons.exercises.unit_exercises import lay_checks
from kit.lessons.lesson import Values
from kit.lessons.pictures.marks import CUT, OTHER, SHOWS, SPARE, WRONG, Sheet, plain
from kit.model.pattern import Pattern
from kit.output.pictures.drawing import Drawing
from kit.output.words.assembly_words import say_trade_off
from kit.pipeline import make_pattern
from kit.planning.batches.ways_of_making import choose_way, list_ways
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.study import study_from_keys

UNITS = {"half-square unit": "half-square", "quarter-square unit": "quarter-square", "flying goose": "geese"}
TOPS = {
    "a whirl, with a partial seam": ("whirl", {"columns": 1, "rows": 1}, ("centre", "rectangle")),
    "an eight-pointed star, with set-in seams": (
        "eight-pointed star", {"columns": 1, "rows": 1}, ("point", "second point", "ground"),
    ),
}  # fmt: skip
"""Words -> family, its keys, its slots."""
SHOWN = ("the pattern", "the pattern and what the audit says")


def draw_units(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw a top of equal units, one of them taken out with its allowance."""
    n, across, down, say = values["squares"], values["across"], values["down"], terms.write
    f, a = (2.0 if terms.system == "inch" else 5 * CM), terms.allowance
    patchwork, cuts = make_cut_list(lay_checks(n, f, across, down), terms)
    wide, high = patchwork.finished
    side = n * f
    h = 0.04 * max(wide + side, high)
    plan = sewing_plan(patchwork, cuts)
    sheet = Sheet()
    x0 = side + 4 * h
    for k, outline in enumerate(lay_checks(n, f, across, down)):
        sheet.lay(move_outline(outline, x0, 0), SHOWS if (k % (n * n) // n + k % n) % 2 == 0 else OTHER)
    for x in range(across + 1):
        sheet.sew([(x0 + x * side, 0), (x0 + x * side, high)], 0.0, width=3)
    for y in range(down + 1):
        sheet.sew([(x0, y * side), (x0 + wide, y * side)], 0.0, width=3)
    bottom = high - side
    sheet.lay(make_rectangle(-a, bottom - a, side + 2 * a, side + 2 * a), CUT)
    for k, outline in enumerate(lay_checks(n, f)):
        sheet.lay(move_outline(outline, 0, bottom), SHOWS if (k // n + k % n) % 2 == 0 else OTHER)
    sheet.measure((-a, bottom - a - 0.6 * h), (side + a, bottom - a - 0.6 * h), f"{say(side + 2 * a)}", h)
    sheet.say(side / 2, bottom - a - 3.2 * h, "unfinished", h)
    written, copies = len(plan.steps), across * down
    said = (
        f"The top has {len(patchwork.patches)} patches, but it is {copies} copies of one unit of {n * n}: make one,"
        f" {say(side + 2 * a)} unfinished, and make it {copies} times. {copies * (n * n - 1) + copies - 1} joins of two"
        f" parts become {written} kinds of seams in the kit's plan."
    )
    return sheet.done((-h - a, min(-h, bottom - 5 * h), x0 + wide + h, high + h), plain(said)), said


def draw_ways(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw the cloth, and the cuts and seams, of each way of making a unit."""
    count, f, say = values["count"], values["finished"], terms.write
    ways = list_ways(UNITS[values["unit"]], f, count, allowance=terms.allowance, step=terms.step, width=terms.usable)  # type: ignore[arg-type]  # one of three words
    least, fewest = choose_way(ways, "least cloth"), choose_way(ways, "fewest cuts")
    most_cloth, most_work = max(one.cloth for one in ways), max(one.cuts + one.seams for one in ways)
    sheet, h, wide = Sheet(), 0.42, 8.0
    for row, one in enumerate(ways):
        y = -row * 2.6
        sheet.say(2.6, y + 1.3, f"{one.name}{', edges on the bias' if one.bias else ''}", h)
        sheet.lay(make_rectangle(0, y + 0.55, wide * one.cloth / most_cloth, 0.5), SHOWS)
        sheet.lay(make_rectangle(0, y, wide * (one.cuts + one.seams) / most_work, 0.5), OTHER)
        sheet.say(wide + 2.6, y + 0.65, f"{say(one.cloth)} of cloth", h)
        sheet.say(wide + 2.6, y + 0.1, f"{one.cuts} cuts, {one.seams} seams", h)
    said = (
        f"{count} times a {values['unit']}, finished {say(f)}: the least cloth by {least.name}, {say(least.cloth)} with"
        f" {least.cuts + least.seams} cuts and seams; the fewest cuts by {fewest.name}, {fewest.cuts} and"
        f" {fewest.seams} seams from {say(fewest.cloth)}. {_tell_spare(fewest.spare, fewest.name)}"
    )
    return sheet.done((-0.6, -2.6 * len(ways) + 2.2, wide + 5.6, 2.0), plain(said)), said


def _tell_spare(spare: int, name: str) -> str:
    return f"Of {name}, {spare} are left over." if spare else "None is left over."


@cache
def plan_top(words: str, system: str) -> tuple[Pattern, str]:
    """Return a small top with odd seams, and the sentence with their price: seconds the first time, then at once."""
    family, keys, slots = TOPS[words]
    cloths = [{"slot": slot, "name": slot, "colour": colour} for slot, colour in zip(slots, (SHOWS, OTHER, SPARE))]  # noqa: B905  there are more colours than slots
    measures = {"system": system} | ({"seam_allowance": "0.75 cm"} if system == "metric" else {})
    raw = {"title": family, "measures": measures, "design": {"family": family, **keys}, "fabric": cloths}
    pattern = make_pattern(study_from_keys(raw, place="This top"))
    return pattern, say_trade_off(pattern)


def draw_odd_seams(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw a top with its odd seams, and say what they save or cost."""
    pattern, price = plan_top(values["top"], terms.system)
    patchwork = pattern.patchwork
    wide, high = patchwork.finished
    colours = dict(zip(dict.fromkeys(patch.slot for patch in patchwork.patches), (SHOWS, OTHER, SPARE, CUT)))  # noqa: B905  as above
    sheet, h = Sheet(), 0.04 * max(wide, high)
    for patch in patchwork.patches:
        sheet.lay(patch.outline, colours[patch.slot])
    for step in pattern.sewing.steps:
        if step.kind in ("partial", "set-in"):
            corners = [patchwork.by_id[name].outline for name in (step.second or step.first)[:1]]
            for outline in corners:
                sheet.sew((*outline, outline[0]), 0.0, WRONG, 4)
    sheet.say(wide / 2, -1.6 * h, "outlined in red: sewn on by the odd seam", h)
    return sheet.done((-h, -3 * h, wide + h, high + h), plain(price)), price


def draw_reading(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Write a small pattern with one error; the audit shows it when it is asked."""
    pattern = plant_error(Random(f"reading/{values['number']}/{terms.system}"), terms)  # noqa: S311  lessons, not secrets
    refused = find_refused(pattern) if values["show"] == SHOWN[1] else ()
    sheet, h = Sheet(), 0.30
    for number, line in enumerate(pattern.lines, start=1):
        y = -number * 1.0
        wrong = number in refused
        sheet.lay(
            make_rectangle(0, y - 0.35, 21, 0.9), OTHER if number == (refused or (0,))[0] else CUT if wrong else SPARE
        )
        mark = "✗ " if number == (refused or (0,))[0] else "follows: " if wrong else ""
        sheet.say(10.5, y, f"{mark}{number}. {line}", h)
    said = (
        f"The audit refuses line {refused[0]}: it says {pattern.says}, and {pattern.right} follows from the others"
        f" (slip: {pattern.slip})."
        if refused
        else f"One of these {len(pattern.lines)} lines is wrong. Read them with the finished sizes in mind; then let"
        " the audit say."
    )
    return sheet.done((-0.3, -len(pattern.lines) - 0.7, 21.3, 0), plain(f"{pattern.text} {said}")), said
