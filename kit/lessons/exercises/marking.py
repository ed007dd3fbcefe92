"""Marking a typed answer: right, a named mistake, otherwise wrong, or unreadable; and right with the way shown."""

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from kit.errors import KitError
from kit.lengths import HandLength, read_hand_count, read_handwriting
from kit.lengths.reading import UNIT_WORDS, find_factor
from kit.lessons.exercises.exercise import SLIP, WRONG_UNIT, Exercise, Mistake

Verdict: TypeAlias = Literal["right", "mistake", "wrong", "unread", "shown"]

ICONS = {"right": "✓", "mistake": "✗", "wrong": "✗", "unread": "?", "shown": "○"}
WORDS = {"right": "Right", "mistake": "Not yet", "wrong": "Not yet", "unread": "Not read", "shown": "As shown"}
SAID_SHOWN = "The way was shown before, so this counts as shown, not as right. Take another one and do it on your own."


@dataclass(frozen=True, slots=True)
class Mark:
    """The mark of an answer.

    Attributes
    ----------
    verdict
        "right", "mistake", "wrong", "unread", or "shown": right, but the way to it had been shown.
    said
        Sentences on the mistake and the remedy, on the accepted answers, or on how to write the answer.
    mistakes
        Names of the mistakes that lead to this answer.
    """

    verdict: Verdict
    said: str
    mistakes: tuple[str, ...] = ()

    @property
    def icon(self) -> str:
        """A sign beside the word."""
        return ICONS[self.verdict]

    @property
    def word(self) -> str:
        """The verdict in a word."""
        return WORDS[self.verdict]


def mark(exercise: Exercise, typed: str, *, shown: bool = False) -> Mark:
    """Mark a typed answer.

    Read it as people write lengths (counts as whole numbers), a bare number in the unit of the question. Compare it
    with the right answers first, then with the answers of the named mistakes, then with the right number in another
    unit.

    Parameters
    ----------
    exercise
        The question.
    typed
        "3 7/8 in", "3⅞", "3.86", "9,8 cm", "1 1/8 yd", "seven and a half"; "12" or "12 strips" for a count.
    shown
        Whether the way to the answer was shown before: what would be right is marked as shown.

    Returns
    -------
    Mark
        No error is raised: an unreadable answer is reported, with the remedy.

    Examples
    --------
    >>> from kit.lessons.exercises.catalogue import make_exercise
    >>> one = make_exercise("square", 1)
    >>> mark(one, one.shown).verdict, mark(one, "seven and a half").verdict, mark(one, "?").verdict
    ('right', 'right', 'unread')
    """
    try:
        readings = _read(exercise, typed)
    except KitError as error:
        return Mark("unread", str(error))
    made = _judge(exercise, readings)
    return (
        replace(made, verdict="shown", said=f"{made.said} {SAID_SHOWN}") if shown and made.verdict == "right" else made
    )


def _judge(exercise: Exercise, readings: tuple[HandLength, ...]) -> Mark:
    first = readings[0]
    if any(exercise.accepts(one.inches) for one in readings):
        return Mark("right", _say_right(exercise, first.inches))
    found = exercise.find_mistakes(first.inches)
    lasts = {one: one.last if one.unit != UNIT_WORDS.get(exercise.unit) or exercise.bought else 0.0 for one in readings}
    if not found and any(exercise.accepts(one.inches, lasts[one]) for one in readings):
        return Mark("right", _say_right(exercise, first.inches))
    found = found or exercise.find_mistakes(first.inches, lasts[first])
    if found:
        return Mark("mistake", _name(found), tuple(dict.fromkeys(one.name for one in found)))
    if len(readings) > 1:
        each = " or ".join(_write(exercise, one.inches) for one in readings)
        return Mark("unread", f"That may be {each}. Leave a space between the whole number and the fraction.")
    if _is_other_unit(exercise, first):
        unit = "inches" if exercise.terms.system == "inch" else "centimetres"
        unit = {"yd": "yards", "m": "metres"}.get(exercise.unit, unit)
        why = f"The number is right, but in {unit}. Write the unit that belongs to it."
        return Mark("mistake", f"{WRONG_UNIT[0].upper()}{WRONG_UNIT[1:]}? {why}", (WRONG_UNIT,))
    than = "more" if first.inches > exercise.most else "less"
    return Mark(
        "wrong", f"{_write(exercise, first.inches)} is {than} than the answer, and not by a slip known here."
        " Look at the solution, then try another."
    )  # fmt: skip


def _say_right(exercise: Exercise, value: float) -> str:
    """Return the sentence with a right answer: why others are right too, and what a hair less than exact means."""
    if exercise.rounding and exercise.fine is not None and value < exercise.least - 2 * SLIP:
        return f"{exercise.rounding} Yours is the nearest {exercise.terms.fine_ruler}, a hair less than exact."
    return exercise.rounding or f"{_write(exercise, exercise.answer)} it is."


def _is_other_unit(exercise: Exercise, one: HandLength) -> bool:
    """Return True if the written number is right in the unit of the question, and another unit was written."""
    own = UNIT_WORDS.get(exercise.unit)
    if own is None or not one.given or one.unit in {"", own}:
        return False
    return exercise.accepts(one.number * float(find_factor(own)))


def _name(found: tuple[Mistake, ...]) -> str:
    """Return the names and the reasons, all of them if several mistakes lead to one answer."""
    sentences = [f"{one.name[0].upper()}{one.name[1:]}? {one.why}" for one in found]
    return sentences[0] if len(sentences) == 1 else f"One of these: {' Or: '.join(sentences)}"


def _read(exercise: Exercise, typed: str) -> tuple[HandLength, ...]:
    if exercise.asks == "length":
        return read_handwriting(typed, exercise.unit)
    count = read_hand_count(typed, exercise.noun)
    return (HandLength(count, count, "", given=False),)


def _write(exercise: Exercise, value: float) -> str:
    return exercise.terms.write(value) if exercise.asks == "length" else exercise.write_count(value)
