"""An exercise: a question, its exact answer, a worked solution, and the named mistakes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import floor
from typing import Literal, TypeAlias

from kit.lengths import CM, YARD, System, buying_length, round_up, write_buying, write_length

Rounding: TypeAlias = Literal["exact", "up", "nearest", "buy"]

SLIP = 0.005
"""Inches: the tolerance for an answer typed with two decimals."""
APART = 4 * SLIP
"""Inches: the least distance of a named wrong answer from every right one."""
ROOT_SLIP = 1.6e-4
"""The part of an answer by which it is off if √2 is taken as 1.414, or 1 ÷ √2 as 0.707."""
FARTHEST = 1 / 32
"""Inches: the most that the last decimal of another unit may take an answer away from the right one."""
SHOP_FARTHEST = 0.2
"""Inches: the same for cloth from a shop, which cuts in steps of inches."""

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
CUT_DOWN = "cut rounded down"
NEED = "what is needed taken for what is bought"
WRONG_UNIT = "right number, wrong unit"


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

    @property
    def fine_ruler(self) -> str:
        """Half of that step, in words."""
        return "sixteenth" if self.system == "inch" else "half millimetre"


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
    fine
        The nearest mark of a ruler twice as fine; right wherever the coarser mark is.
    rooted
        Whether √2 is in the answer, so that 1.414 is near enough.
    bought
        Whether the answer is what a shop cuts.
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
    fine: float | None = None
    rooted: bool = False
    bought: bool = False

    @property
    def shown(self) -> str:
        """The printed answer."""
        if self.asks == "count":
            return self.write_count(self.answer)
        exact = self.terms.write(self.answer)
        if self.bought:
            return f"{write_buying(self.answer, self.terms.system)}, from {exact}"
        return f"{exact}, {self.given}" if self.given else exact

    def write_count(self, value: float) -> str:
        """Return a count with its noun: "12 strips"; a line has its number behind it."""
        return f"line {round(value)}" if self.noun == "lines" else f"{round(value)} {self.noun}"

    @property
    def unit(self) -> str:
        """The unit of a bare number in an answer: "in", "cm", "yd" or "m"; empty for a count."""
        if self.asks == "count":
            return ""
        return (("in", "cm"), ("yd", "m"))[self.bought][self.terms.system == "metric"]

    def accepts(self, value: float, last: float = 0.0) -> bool:
        """Return True if an answer in inches, or a count, is right.

        Parameters
        ----------
        value
            Inches, or a count.
        last
            Inches: half of the last decimal place of an answer in another unit.
        """
        if self.asks == "count":
            return value == self.answer
        slip = self._find_slip(self.answer, last) + 1e-9
        if self.fine is not None and abs(value - self.fine) <= slip:
            return True
        return self.least - slip <= value <= self.most + slip

    def find_mistakes(self, value: float, last: float = 0.0) -> tuple[Mistake, ...]:
        """Return every named mistake that leads to a value; empty for a right value."""
        if self.accepts(value):
            return ()

        def leads(wrong: float) -> bool:
            return abs(value - wrong) <= (1e-9 if self.asks == "count" else self._find_slip(wrong, last) + 1e-9)

        return tuple(one for one in self.mistakes if any(map(leads, one.values)))

    def _find_slip(self, value: float, last: float) -> float:
        """Return the inches by which a value may be off: two decimals, 1.414 for √2, the last decimal of a unit."""
        farthest = SHOP_FARTHEST if self.bought else FARTHEST
        return max(SLIP + (ROOT_SLIP * value if self.rooted else 0.0), min(last, farthest))


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
    rooted
        Whether √2 is in the answer.
    """

    question: str
    answer: float
    solution: Sequence[str]
    mistakes: Iterable[tuple[str, float, str]]
    rounding: Rounding = "exact"
    trade: float = 0.0
    noun: str = ""
    rooted: bool = False


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
    fine = _find_fine(draft, terms)
    wrongs = tuple(
        Mistake(name, _round_like(value, draft, terms), why) for name, value, why in draft.mistakes if value > 0
    )
    clear = 0.5 if draft.noun else APART + (2 * ROOT_SLIP * most if draft.rooted else 0.0)
    lowest = least if fine is None else min(least, fine)
    if any(lowest - clear < wrong.values[0] < most + clear for wrong in wrongs):
        return None
    made = Exercise(
        kind, seed, terms, draft.question, "count" if draft.noun else "length", draft.answer, least, most,
        _explain(draft, most, terms), tuple(draft.solution), wrongs, draft.noun,
        _give(draft, most, terms), fine, draft.rooted, draft.rounding == "buy",
    )  # fmt: skip
    return replace(made, mistakes=(*wrongs, *_find_rounding_slips(made, draft, terms)))


def _find_limits(draft: Draft, terms: Terms) -> tuple[float, float]:
    if draft.rounding == "exact":
        return draft.answer, draft.answer
    if draft.rounding == "buy":
        bought = buying_length(draft.answer, terms.system)
        return bought, bought
    above = round_up(draft.answer, terms.step)
    if draft.rounding == "up":
        return draft.answer, max(above, draft.trade)
    return min(draft.answer, round(draft.answer / terms.step) * terms.step), above


def _find_fine(draft: Draft, terms: Terms) -> float | None:
    """Return the nearest mark of a ruler twice as fine, where a coarser mark is right; it may lie a hair below."""
    if draft.noun or draft.rounding not in ("up", "nearest"):
        return None
    return round(draft.answer / (terms.step / 2)) * terms.step / 2


def _find_rounding_slips(made: Exercise, draft: Draft, terms: Terms) -> list[Mistake]:
    """Return the slips of rounding: a cut rounded down to a mark or a decimal, and cloth bought without rounding up."""
    if draft.rounding == "buy":
        why = f"The strips need that much, but the shop cuts {write_buying(draft.answer, terms.system)}: round up."
        return [] if made.accepts(draft.answer) else [Mistake(NEED, (draft.answer,), why)]
    if draft.rounding != "up" or draft.noun:
        return []
    unit = CM if terms.system == "metric" else 1.0
    marks = [terms.step * k for k in ((0.5, 1, 5) if terms.system == "metric" else (0.5, 1, 2))]
    lower = [floor(draft.answer / mark + 1e-6) * mark for mark in (*marks, 0.01 * unit, 0.1 * unit)]
    free = [value for value in lower if value > 0 and not made.accepts(value) and not made.find_mistakes(value)]
    values = tuple(dict.fromkeys(free))
    above = terms.write(round_up(draft.answer, terms.step))
    why = f"Exactly {terms.write(draft.answer)}: rounded down, the piece comes out too small; round up, to {above}."
    return [Mistake(CUT_DOWN, values, why)] if values else []


def _round_like(value: float, draft: Draft, terms: Terms) -> tuple[float, ...]:
    """Return a wrong value with its figures from the ruler or the shop."""
    if draft.noun or draft.rounding == "exact":
        return (value,)
    if draft.rounding == "buy":
        return tuple(dict.fromkeys((value, buying_length(value, terms.system))))
    half = terms.step / 2
    ruled = (round_up(value, terms.step), round(value / half) * half, round_up(value, half))
    return tuple(dict.fromkeys((value, *ruled, round(value / terms.step) * terms.step)))


def _explain(draft: Draft, most: float, terms: Terms) -> str:
    """Return the sentence on the accepted answers besides the exact one."""
    if most <= draft.answer + SLIP:
        return ""
    exact = terms.write(draft.answer)
    if draft.rounding == "buy":
        return f"The strips need {exact}; the shop cuts {write_buying(draft.answer, terms.system)}."
    above = terms.write(round_up(draft.answer, terms.step))
    if draft.rounding == "nearest":
        return f"Exactly {exact}. A measured size may be given to the nearest {terms.fine_ruler} or {terms.ruler}."
    said = f"Exactly {exact}. A cut size is rounded up to the next {terms.ruler}, {above}"
    trade = draft.trade > round_up(draft.answer, terms.step) + SLIP
    return f"{said}; the trade's own figure is {terms.write(draft.trade)}." if trade else f"{said}."


def _give(draft: Draft, most: float, terms: Terms) -> str:
    """Return the answer from a ruler or a shop; empty if that is the exact one."""
    if draft.noun or most <= draft.answer + SLIP:
        return ""
    if draft.rounding == "buy":
        return ""
    if draft.rounding == "up":
        return f"rounded up {terms.write(round_up(draft.answer, terms.step))}"
    return f"measured {terms.write(round(draft.answer / terms.step) * terms.step)}"


def buy_down(inches: float, terms: Terms) -> float:
    """Return the inches of cloth if the shop's step is rounded down: a mistake."""
    step = YARD / 8 if terms.system == "inch" else 10 * CM
    return floor(inches / step + 1e-6) * step
