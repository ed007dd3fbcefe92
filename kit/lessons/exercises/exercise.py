"""What an exercise is: a question, its exact answer, a worked solution, and the wrong answers that have a name."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import floor
from typing import Literal, TypeAlias

from kit.lengths import CM, YARD, System, buying_length, round_up, write_buying, write_length

Rounding: TypeAlias = Literal["exact", "up", "nearest", "buy"]

SLIP = 0.005
"""Inches: two decimals, typed for an answer that has more, may be this far from it."""
APART = 4 * SLIP
"""Inches: a named wrong answer lies at least this far from every right one."""

FORGOTTEN = "allowance forgotten"
TAKEN = "finished taken for cut"
CUT_TAKEN = "cut taken for finished"
SEWN_TAKEN = "unfinished taken for finished"
TWICE = "allowance added twice"
ONE_SEAM = "only one seam counted"
ONE_SIDE = "only one side of the seam counted"
ONE_MORE = "one seam too many"
RULE = "wrong triangle rule"
UNSCALED = "not subtracted before scaling"
AREA = "area instead of strips"
DOWN = "rounded down"
UP = "part pieces counted as whole"
STRAIGHT = "diagonal forgotten"


@dataclass(frozen=True, slots=True)
class Terms:
    """What holds in every exercise of a set; lengths in inches.

    Attributes
    ----------
    system
        "inch" or "metric".
    allowance
        Seam allowance.
    step
        What the ruler reads; cut sizes are rounded up to it.
    usable
        Usable width of cloth.
    squaring
        Length of cloth that squaring up takes.
    """

    system: System = "inch"
    allowance: float = 0.25
    step: float = 0.125
    usable: float = 40.0
    squaring: float = 1.0

    def write(self, inches: float) -> str:
        """Return a length as people write it."""
        return write_length(inches, self.system)

    @property
    def ruler(self) -> str:
        """What cut sizes are rounded up to, in words."""
        return "eighth of an inch" if self.system == "inch" else "millimetre"


TERMS = {
    "inch": Terms(),
    "metric": Terms("metric", 0.75 * CM, 0.1 * CM, 105 * CM, 2 * CM),
}
"""The terms of either system; cloth of 105 cm and squaring up are common practice, no source."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """A slip with a name, and the answers that it leads to.

    Attributes
    ----------
    name
        What went wrong: "allowance forgotten".
    values
        What one gets, inches or a count; the value itself first, then as a ruler or a shop would round it.
    why
        A sentence: how one comes to that answer, and what to do instead.
    """

    name: str
    values: tuple[float, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Exercise:
    """A question with its answer.

    Attributes
    ----------
    kind
        Which kind of exercise: "half-square triangle".
    seed
        With the kind and the system, what it is made from.
    terms
        What holds in it.
    question
        In plain sentences.
    asks
        "length" or "count".
    answer
        Exact: inches, or a whole number.
    least, most
        Answers between these two are right; both are `answer` where nothing is rounded.
    rounding
        A sentence that says why other answers than the exact one are right; empty where none is.
    solution
        The way to the answer, a sentence each.
    mistakes
        Wrong answers that have a name.
    noun
        What is counted: "strips".
    given
        The answer as a ruler or a shop gives it, where that is not the exact one: "rounded up 3⅞ in".
    """

    kind: str
    seed: int
    terms: Terms
    question: str
    asks: Literal["length", "count"]
    answer: float
    least: float
    most: float
    rounding: str
    solution: tuple[str, ...]
    mistakes: tuple[Mistake, ...]
    noun: str = ""
    given: str = ""

    @property
    def shown(self) -> str:
        """The answer as it is printed."""
        if self.asks == "count":
            return f"{round(self.answer)} {self.noun}"
        exact = self.terms.write(self.answer)
        return f"{exact}, {self.given}" if self.given else exact

    def accepts(self, value: float) -> bool:
        """Tell whether an answer in inches, or a count, is right."""
        slip = SLIP if self.asks == "length" else 0.0
        return self.least - slip - 1e-9 <= value <= self.most + slip + 1e-9

    def find_mistakes(self, value: float) -> tuple[Mistake, ...]:
        """Return every named mistake that leads to a value; none for a right one."""
        if self.accepts(value):
            return ()
        slip = (SLIP if self.asks == "length" else 0.0) + 1e-9
        return tuple(one for one in self.mistakes if any(abs(value - wrong) <= slip for wrong in one.values))


@dataclass(frozen=True, slots=True)
class Draft:
    """What a maker of exercises returns, before it is known whether it makes a good exercise.

    Attributes
    ----------
    question, answer, solution
        As in `Exercise`; the answer is exact.
    mistakes
        (name, value, why) each.
    rounding
        "exact": nothing is rounded; "up": a cut size that the ruler rounds up; "nearest": a measured size; "buy": a
        length that the shop rounds up.
    trade
        Another amount, not below the exact one, that the trade uses; 0 where there is none.
    noun
        What is counted; empty where a length is asked.
    """

    question: str
    answer: float
    solution: Sequence[str]
    mistakes: Iterable[tuple[str, float, str]]
    rounding: Rounding = "exact"
    trade: float = 0.0
    noun: str = ""


def finish(draft: Draft, kind: str, seed: int, terms: Terms) -> Exercise | None:
    """Return the exercise of a draft, or None where a named mistake would lead to a right answer.

    Parameters
    ----------
    draft
        What a maker returned.
    kind, seed, terms
        As in `Exercise`.
    """
    least, most = _find_limits(draft, terms)
    wrongs = tuple(
        Mistake(name, _round_like(value, draft, terms), why) for name, value, why in draft.mistakes if value > 0
    )
    clear = APART if not draft.noun else 0.5
    if any(least - clear < wrong.values[0] < most + clear for wrong in wrongs):
        return None
    return Exercise(
        kind, seed, terms, draft.question, "count" if draft.noun else "length", draft.answer, least, most,
        _explain(draft, most, terms), tuple(draft.solution), wrongs, draft.noun,
        _give(draft, most, terms),
    )  # fmt: skip


def _find_limits(draft: Draft, terms: Terms) -> tuple[float, float]:
    if draft.rounding == "exact":
        return draft.answer, draft.answer
    if draft.rounding == "buy":
        return draft.answer, buying_length(draft.answer, terms.system)
    above = round_up(draft.answer, terms.step)
    if draft.rounding == "up":
        return draft.answer, max(above, draft.trade)
    return min(draft.answer, round(draft.answer / terms.step) * terms.step), above


def _round_like(value: float, draft: Draft, terms: Terms) -> tuple[float, ...]:
    """Return a wrong value with what the ruler or the shop would make of it."""
    if draft.noun or draft.rounding == "exact":
        return (value,)
    above = round_up(value, terms.step)
    if draft.rounding == "up":
        return tuple(dict.fromkeys((value, above)))
    if draft.rounding == "nearest":
        return tuple(dict.fromkeys((value, above, round(value / terms.step) * terms.step)))
    return tuple(dict.fromkeys((value, buying_length(value, terms.system))))


def _explain(draft: Draft, most: float, terms: Terms) -> str:
    """Return the sentence that says what is accepted besides the exact answer."""
    if most <= draft.answer + SLIP:
        return ""
    exact = terms.write(draft.answer)
    if draft.rounding == "buy":
        return f"The strips need {exact}; the shop cuts {write_buying(draft.answer, terms.system)}."
    above = terms.write(round_up(draft.answer, terms.step))
    if draft.rounding == "nearest":
        return f"Exactly {exact}. A measured size may be given to the nearest {terms.ruler}."
    said = f"Exactly {exact}. A cut size is rounded up to the next {terms.ruler}, {above}"
    trade = draft.trade > round_up(draft.answer, terms.step) + SLIP
    return f"{said}; the trade's own figure is {terms.write(draft.trade)}." if trade else f"{said}."


def _give(draft: Draft, most: float, terms: Terms) -> str:
    """Return the answer as a ruler or a shop gives it; empty where that is the exact one."""
    if draft.noun or most <= draft.answer + SLIP:
        return ""
    if draft.rounding == "buy":
        return f"bought {write_buying(draft.answer, terms.system)}"
    if draft.rounding == "up":
        return f"rounded up {terms.write(round_up(draft.answer, terms.step))}"
    return f"measured {terms.write(round(draft.answer / terms.step) * terms.step)}"


def buy_down(inches: float, terms: Terms) -> float:
    """Return inches of cloth when the shop's step is rounded down: a mistake."""
    step = YARD / 8 if terms.system == "inch" else 10 * CM
    return floor(inches / step + 1e-6) * step
