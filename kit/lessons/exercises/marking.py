"""Marking a typed answer: right, a named mistake, otherwise wrong, or unreadable."""

import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

from kit.errors import KitError, LengthError
from kit.lengths import read_length, read_number
from kit.lessons.exercises.exercise import Exercise, Mistake

Verdict: TypeAlias = Literal["right", "mistake", "wrong", "unread"]

ICONS = {"right": "✓", "mistake": "✗", "wrong": "✗", "unread": "?"}
WORDS = {"right": "Right", "mistake": "Not yet", "wrong": "Not yet", "unread": "Not read"}


@dataclass(frozen=True, slots=True)
class Mark:
    """The mark of an answer.

    Attributes
    ----------
    verdict
        "right", "mistake", "wrong" or "unread".
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


def mark(exercise: Exercise, typed: str) -> Mark:
    """Mark a typed answer.

    Read it as the kit reads lengths (counts as whole numbers); compare it with the right answers first, then with the
    answers of the named mistakes.

    Parameters
    ----------
    exercise
        The question.
    typed
        "3 7/8 in", '3⅞"', "3.86 in", "9.8 cm", "1 1/8 yd"; "12" or "12 strips" for a count.

    Returns
    -------
    Mark
        No error is raised: an unreadable answer is reported, with the remedy.

    Examples
    --------
    >>> from kit.lessons.exercises.catalogue import make_exercise
    >>> one = make_exercise("square", 1)
    >>> mark(one, one.shown).verdict, mark(one, "7").verdict
    ('right', 'unread')
    """
    try:
        value = _read(exercise, typed)
    except KitError as error:
        return Mark("unread", str(error))
    if exercise.accepts(value):
        return Mark("right", f"{exercise.rounding or f'{_write(exercise, exercise.answer)} it is.'}")
    found = exercise.find_mistakes(value)
    if found:
        names = tuple(dict.fromkeys(one.name for one in found))
        return Mark("mistake", _name(found), names)
    than = "more" if value > exercise.most else "less"
    return Mark(
        "wrong", f"{_write(exercise, value)} is {than} than the answer, and not by a slip known here."
        " Look at the solution, then try another."
    )  # fmt: skip


def _name(found: tuple[Mistake, ...]) -> str:
    """Return the names and the reasons, all of them if several mistakes lead to one answer."""
    sentences = [f"{one.name[0].upper()}{one.name[1:]}? {one.why}" for one in found]
    return sentences[0] if len(sentences) == 1 else f"One of these: {' Or: '.join(sentences)}"


def _read(exercise: Exercise, typed: str) -> float:
    if exercise.asks == "length":
        return read_length(typed, name="answer", zero_allowed=True)
    text = typed.strip()
    for noun in (exercise.noun, exercise.noun.removesuffix("s"), exercise.noun.split()[-1]):
        text = re.sub(rf"\s*{re.escape(noun)}\.?$", "", text, flags=re.IGNORECASE)
    if not text:
        raise LengthError("There is no number", needed=f"a number of {exercise.noun}", do='write for instance "12"')
    value = read_number(text, name="answer")
    if value != round(value) or value < 0:
        raise LengthError(
            f"the answer `{text[:40]}` is not a whole number",
            needed=f"a whole number of {exercise.noun}",
            do="decide which way to round, and write the whole number",
        )
    return value


def _write(exercise: Exercise, value: float) -> str:
    return exercise.terms.write(value) if exercise.asks == "length" else f"{round(value)} {exercise.noun}"
