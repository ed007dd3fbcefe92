"""A lesson: words, a picture that moves with its dials, and kinds of exercises."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from kit.lengths import CM
from kit.lessons.exercises.exercise import Terms
from kit.output.pictures.drawing import Drawing

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Control:
    """One quantity that moves the picture of a lesson.

    Attributes
    ----------
    name
        Its name in the picture.
    label
        Its name on screen.
    kind
        "length", "count" or "choice".
    low, high, step, first
        Range and first value: inches, or counts.
    metric
        The same four in centimetres, for lengths.
    choices
        The words of a choice; it begins at the first.
    """

    name: str
    label: str
    kind: Literal["length", "count", "choice"]
    low: float = 0.0
    high: float = 0.0
    step: float = 1.0
    first: float = 0.0
    metric: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 0.0)
    choices: tuple[str, ...] = ()

    def list_values(self, terms: Terms) -> list[tuple[str, float | int | str]]:
        """Return every setting with its text."""
        if self.kind == "choice":
            return [(word, word) for word in self.choices]
        if self.kind == "count":
            return [(str(n), n) for n in range(round(self.low), round(self.high) + 1, round(self.step))]
        low, high, step, scale = self._range(terms)
        count = round((high - low) / step)
        return [(terms.write((low + k * step) * scale), (low + k * step) * scale) for k in range(count + 1)]

    def begin(self, terms: Terms) -> float | int | str:
        """Return the first setting."""
        if self.kind == "choice":
            return self.choices[0]
        if self.kind == "count":
            return round(self.first)
        values = [value for _, value in self.list_values(terms)]
        first = self.metric[3] * CM if terms.system == "metric" else self.first
        return min(values, key=lambda value: abs(float(value) - first))

    def _range(self, terms: Terms) -> tuple[float, float, float, float]:
        if terms.system == "metric":
            return (*self.metric[:3], CM)
        return self.low, self.high, self.step, 1.0


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson.

    Attributes
    ----------
    name
        Its short name: "allowance".
    title
        Its heading.
    words
        Paragraphs in plain sentences, made for the terms of the class.
    dials
        The quantities that move the picture.
    draw
        From terms and settings to the picture and the sentence below it.
    kinds
        Its kinds of exercises.
    """

    name: str
    title: str
    words: Callable[[Terms], tuple[str, ...]]
    dials: tuple[Control, ...]
    draw: Callable[[Terms, Values], tuple[Drawing, str]]
    kinds: tuple[str, ...]

    def begin(self, terms: Terms) -> dict[str, Any]:
        """Return the first setting of every dial."""
        return {dial.name: dial.begin(terms) for dial in self.dials}
