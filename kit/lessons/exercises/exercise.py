"""An exercise: a question, its exact answer, a worked solution, and the named mistakes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import floor
from typing import Literal, TypeAlias

from kit.lengths import CM, YARD, System, buying_length, round_up, write_buying, write_length

Rounding: TypeAlias = Literal["exact", "up", "nearest", "buy"]

SLIP = 0.005
"""Inches: the tolerance for an answer typed with two decimals."""
APART = 4 * SLIP
"""Inches: the least distance of a named wrong answer from every right one."""

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
    """The terms of every exercise in a set; lengths in inches.

    Attributes
    ----------
    system
        "inch" or "metric".
    allowance
        Seam allowance.
    step
        The ruler's step; cut sizes are rounded up to it.
    usable
        Usable width of cloth.
    squaring
        Length of cloth for squaring up.
    """

    system: System = "inch"
    allowance: float = 0.25
    step: float = 0.125
    usable: float = 40.0
    squaring: float = 1.0

    def write(self, inches: float) -> str:
        """Return a length in everyday notation."""
        return write_length(inches, self.system)

    @property
    def ruler(self) -> str:
        """The ruler's step for cut sizes, in words."""
        return "eighth of an inch" if self.system == "inch" else "millimetre"


TERMS = {
    "inch": Terms(),
    "metric": Terms("metric", 0.75 * CM, 0.1 * CM, 105 * CM, 2 * CM),
}
"""The terms of either system; cloth of 105 cm and squaring up are common practice, no source."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """A named slip, and its answers.

    Attributes
    ----------
    name
        The slip: "allowance forgotten".
    values
        Its answers, inches or a count; the value itself first, then as a ruler or a shop would round it.
    why
        A sentence on the way to that answer, and the correction.
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
        The kind of exercise: "half-square triangle".
    seed
        With the kind and the system it determines the exercise.
    terms
        Its terms.
    question
        In plain sentences.
    asks
        "length" or "count".
    answer
        Exact: inches, or a whole number.
    least, most
        Answers between these two are right; both are `answer` if nothing is rounded.
    rounding
        The reason for accepting answers besides the exact one; empty if there are none.
    solution
        The way to the answer, one sentence per step.
    mistakes
        The named wrong answers.
    noun
        The counted thing: "strips".
    given
        The answer from a ruler or a shop, if different from the exact one: "rounded up 3⅞ in".
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
        """The printed answer."""
        if self.asks == "count":
            return f"{round(self.answer)} {self.noun}"
        exact = self.terms.write(self.answer)
        return f"{exact}, {self.given}" if self.given else exact

    def accepts(self, value: float) -> bool:
        """Return True if an answer in inches, or a count, is right."""
        slip = SLIP if self.asks == "length" else 0.0
        return self.least - slip - 1e-9 <= value <= self.most + slip + 1e-9

    def find_mistakes(self, value: float) -> tuple[Mistake, ...]:
        """Return every named mistake that leads to a value; empty for a right value."""
        if self.accepts(value):
            return ()
        slip = (SLIP if self.asks == "length" else 0.0) + 1e-9
        return tuple(one for one in self.mistakes if any(abs(value - wrong) <= slip for wrong in one.values))


@dataclass(frozen=True, slots=True)
class Draft:
    """A draft of an exercise, before the test of its mistakes.

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
        The trade's amount, not below the exact one; 0 if there is none.
    noun
        The counted thing; empty if a length is asked.
    """

    question: str
    answer: float
    solution: Sequence[str]
    mistakes: Iterable[tuple[str, float, str]]
    rounding: Rounding = "exact"
    trade: float = 0.0
    noun: str = ""


def finish(draft: Draft, kind: str, seed: int, terms: Terms) -> Exercise | None:
    """Return the exercise of a draft, or None if a named mistake would lead to a right answer.

    Parameters
    ----------
    draft
        The draft of a maker.
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
    """Return a wrong value with its figures from the ruler or the shop."""
    if draft.noun or draft.rounding == "exact":
        return (value,)
    above = round_up(value, terms.step)
    if draft.rounding == "up":
        return tuple(dict.fromkeys((value, above)))
    if draft.rounding == "nearest":
        return tuple(dict.fromkeys((value, above, round(value / terms.step) * terms.step)))
    return tuple(dict.fromkeys((value, buying_length(value, terms.system))))


def _explain(draft: Draft, most: float, terms: Terms) -> str:
    """Return the sentence on the accepted answers besides the exact one."""
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
    """Return the answer from a ruler or a shop; empty if that is the exact one."""
    if draft.noun or most <= draft.answer + SLIP:
        return ""
    if draft.rounding == "buy":
        return f"bought {write_buying(draft.answer, terms.system)}"
    if draft.rounding == "up":
        return f"rounded up {terms.write(round_up(draft.answer, terms.step))}"
    return f"measured {terms.write(round(draft.answer / terms.step) * terms.step)}"


def buy_down(inches: float, terms: Terms) -> float:
    """Return the inches of cloth if the shop's step is rounded down: a mistake."""
    step = YARD / 8 if terms.system == "inch" else 10 * CM
    return floor(inches / step + 1e-6) * step
