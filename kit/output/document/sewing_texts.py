"""The printed words of sewing as plain texts, and its pictures as drawn: what the reader of the words is given."""

from collections.abc import Sequence
from math import dist

from kit.geometry.outlines import Outline, Point
from kit.lengths import write_faithful
from kit.model.pattern import Sketch
from kit.model.printed_sewing import (
    PrintedCard,
    PrintedPicture,
    PrintedSewing,
    PrintedShape,
    PrintedUnit,
    ReadySeam,
)
from kit.model.sewing import SewingPlan, SewnUnit, Step
from kit.output.document.sewing_parts import describe_unit, group_cards, list_cells, say_pressed
from kit.output.pictures.step_picture import draw_step
from kit.output.words.seam_words import CardSeams, order_ends
from kit.output.words.sizes import describe_size
from kit.output.words.step_words import StepSentences
from kit.output.words.strings import say

AT = 1e-3
"""Inches: a stop as near as this to an end is at that end."""


def print_sewing(sketch: Sketch, plan: SewingPlan) -> PrintedSewing:
    """Return everything that is printed about sewing: the texts of the cards, and what their pictures show.

    Of a picture: the outsides of the parts that it adds, the lettered ends, the dots. Units that come ready out of
    batches, and the shapes of the pieces, are given as they are drawn.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    plan
        Its sewing plan, pressed.
    """
    system = sketch.study.measures.system
    writer = StepSentences(sketch, plan)
    shapes = tuple(
        PrintedShape(
            piece.id,
            piece.name,
            piece.hand or "",
            piece.count,
            describe_size(piece.kind, piece.rounded, system),
            piece.outline,
        )
        for piece in sketch.cut_list.pieces
    )
    steps = {unit.name: [step for step in plan.steps if step.unit == unit.name] for unit in plan.units}
    units = tuple(_print_unit(sketch, plan, unit, steps[unit.name], writer) for unit in plan.units if steps[unit.name])
    batches = tuple(made.id for made in sketch.making.made)
    return PrintedSewing(write_faithful(sketch.cut_list.allowance, system), shapes, units, batches)


def _print_unit(
    sketch: Sketch, plan: SewingPlan, unit: SewnUnit, steps: Sequence[Step], writer: StepSentences
) -> PrintedUnit:
    seen: set[str] = set()
    whole = all(writer.ready.is_ready(step) for step in steps)
    groups = [tuple(steps)] if whole else group_cards(plan, unit, writer)
    cards = [_print_card(group, writer, seen, whole=whole) for group in groups]
    return PrintedUnit(unit.name, cards=tuple(cards), **describe_unit(sketch, plan, unit, writer))


def _print_card(group: Sequence[Step], writer: StepSentences, seen: set[str], *, whole: bool) -> PrintedCard:
    card = writer.open_card(group[-1:] if writer.ready.is_ready(group[0]) else group)
    picture = _print_picture(group, writer, card, seen)
    make = say("make", count=writer.units[group[0].unit].count)
    first, last = group[0], group[-1]
    number = say("step", number=first.told) if len(group) == 1 else say("steps", first=first.told, last=last.told)
    if writer.ready.is_ready(first):
        ready = tuple(_print_ready(step, writer) for step in group)
        # a unit that comes ready as a whole has one picture, of its last step, and no words of its own
        text = say_pressed(card) if whole else writer.say(last, card)
        return PrintedCard("" if whole else number, make, text, picture=picture, ready=ready)
    if len(group) == 1:
        return PrintedCard(number, make, writer.say(first, card), picture=picture)
    words = writer.say_steps(group, card)
    rows = tuple(map(tuple, list_cells(words.items)))
    return PrintedCard(number, make, words.begin, rows, words.result, picture)


def _print_ready(step: Step, writer: StepSentences) -> ReadySeam:
    ends, seam = order_ends(writer.places, step), writer.places.find(step)
    stops = () if seam is None else seam.stops
    first, last = (any(dist(dot, end) < AT for dot in stops) for end in ends)
    return ReadySeam(step.called, step.kind, *writer.name_parts(step), ends, step.press or "", (first, last))


def _print_picture(group: Sequence[Step], writer: StepSentences, card: CardSeams, seen: set[str]) -> PrintedPicture:
    """Return what a picture shows; parts that lie there already are seen in it as they were."""
    added: dict[int, tuple[Outline, ...]] = {}
    lying: dict[int, tuple[Outline, ...]] = {}
    dots: dict[Point, None] = {}
    spins: dict[int, tuple[Outline, ...]] = {}
    places = writer.places
    for step in group:
        if step.spun_at is not None and len(group) == 1:
            drawn = draw_step(writer.sketch, writer.plan, step, writer, card)
            spins[step.called] = tuple(_turn(arrow.points, card) for arrow in drawn.arrows)
        for part, shown in ((step.first, lying), (step.second, added)):
            if part and (shown is added or not seen.issuperset(part)):
                shown[step.called] = tuple(_turn(loop, card) for loop in places.trace(part, step.number))
            seen.update(part)
        seam = places.find(step)
        if seam is not None and card.is_lettered(step):
            dots |= dict.fromkeys((*seam.stops, *((seam.inner,) if step.kind == "partial" else ())))
    letters = {end.letter: _turn((end.at,), card)[0] for end in card.ends}
    return PrintedPicture(added, lying, letters, tuple(_turn((dot,), card)[0] for dot in dots), spins)


def _turn(points: Outline, card: CardSeams) -> Outline:
    return tuple((y, -x) for x, y in points) if card.turned else points
