"""Exercises on screen: a question, a field for the answer, and an immediate mark, as a sign and a word."""

import os
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.exercises.catalogue import make_exercise
from kit.lessons.exercises.exercise import Exercise
from kit.lessons.exercises.marking import Mark, mark
from kit.lessons.screens.learner_progress import LearnerProgress, read_progress, write_progress

STYLE = {"description_width": "110px"}
NAMES = {"in": "inches", "cm": "centimetres", "yd": "yards", "m": "metres"}


class AnswerRecord:
    """The place of a learner's answers: a file, or only this page.

    Parameters
    ----------
    path
        Path of the learner's file; None keeps answers only while the page is open.
    """

    def __init__(self, path: str | os.PathLike[str] | None) -> None:
        self.path = None if path is None else Path(path)
        self.progress = LearnerProgress()
        self.trouble = ""
        if self.path is not None:
            try:
                self.progress = read_progress(self.path)
            except KitError as error:
                self.trouble = f"{error} Answers are kept only while this page is open."
                self.path = None

    def add(self, exercise: Exercise, typed: str, found: Mark) -> None:
        """Keep an answer; if it cannot be written, say so and keep the answers on the page."""
        self.progress = self.progress.add(exercise, typed, found)
        self._keep()

    def show(self, exercise: Exercise) -> None:
        """Note that the way to an answer was shown."""
        self.progress = self.progress.show(exercise)
        self._keep()

    def _keep(self) -> None:
        if self.path is None:
            return
        try:
            write_progress(self.progress, self.path)
            self.trouble = ""
        except KitError as error:
            self.trouble = str(error)

    def tell(self, kinds: Sequence[str]) -> str:
        """Return the learner's progress in a sentence."""
        asked, right = self.progress.count(kinds)
        slips = self.progress.find_slips(kinds)[:2]
        where = f"Kept in {self.path.name}." if self.path is not None else "Kept while this page is open."
        often = f" Slips so far: {', '.join(f'{name} ({count})' for name, count in slips)}." if slips else ""
        shown = self.progress.count_shown(kinds)
        helped = f" The way was shown for {shown}." if shown else ""
        return f"{right} right of {asked} answered.{helped}{often} {self.trouble or where}"


class ExerciseBox(widgets.VBox):
    """Exercises of some kinds, one after another.

    Parameters
    ----------
    kinds
        The kinds.
    system
        "inch" or "metric".
    notebook
        The place of the answers.
    first
        Number of the first exercise.

    Attributes
    ----------
    exercise
        The present exercise.
    answer
        The field.
    found
        The last mark, or None.
    """

    def __init__(self, kinds: Sequence[str], system: System, notebook: AnswerRecord, first: int = 1) -> None:
        super().__init__()
        self.add_class("seamproof-exercise")
        self.kinds, self.system, self.notebook = tuple(kinds), system, notebook
        self.number = first
        self.found: Mark | None = None
        self.kind = widgets.Dropdown(
            options=self.kinds, description="Exercise on", style=STYLE, layout=widgets.Layout(width="360px")
        )
        self.question, self.said, self.way, self.count = (widgets.HTML() for _ in range(4))
        self.answer = widgets.Text(
            description="Your answer", continuous_update=False, style=STYLE, layout=widgets.Layout(width="360px")
        )
        self.check = self._button("Check", "Mark the answer", self._check)
        self.check.button_style = "primary"
        self.how = self._button("Show how", "Show the way to the answer", self._show_way)
        self.next = self._button("Another one", "Ask the next exercise of this kind", self._go_on)
        self.kind.observe(lambda _: self._ask(), names="value")
        self.answer.observe(self._typed, names="value")
        row = widgets.Layout(flex_flow="row wrap")
        head = [self.kind] if len(self.kinds) > 1 else []
        self.children = (
            *head, self.question, widgets.HBox([self.answer, self.check], layout=row), self.said,
            widgets.HBox([self.how, self.next], layout=row), self.way, self.count,
        )  # fmt: skip
        self._ask()

    def _button(self, words: str, tip: str, act: Callable[[], None]) -> Any:
        button = widgets.Button(description=words, tooltip=tip, layout=widgets.Layout(width="130px"))
        button.on_click(lambda _: act())
        return button

    def _ask(self) -> None:
        self.exercise = make_exercise(self.kind.value, self.number, self.system)
        self.found = None
        form = (
            f"a length, or a number of {NAMES[self.exercise.unit]}"
            if self.exercise.unit
            else (f"a number of {self.exercise.noun}")
        )
        self.answer.value = ""
        self.answer.placeholder = f"in {NAMES[self.exercise.unit]}" if self.exercise.unit else form
        self.question.value = (
            '<p class="seamproof-question" style="line-height:1.45;max-width:640px;white-space:pre-line">'
            f"<b>Exercise {self.number}.</b>"
            f" {escape(self.exercise.question)}</p>"
        )
        self.said.value = f'<div role="status">Answer with {escape(form)}.</div>'
        self.way.value = ""
        self._tell()

    def _typed(self, change: dict[str, Any]) -> None:
        if change["new"].strip():
            self._mark(change["new"])

    def _check(self) -> None:
        self._mark(self.answer.value)

    def _mark(self, typed: str) -> None:
        self.found = mark(self.exercise, typed, shown=self.notebook.progress.was_shown(self.exercise))
        if typed.strip():
            self.notebook.add(self.exercise, typed, self.found)
        self.said.value = (
            f'<div role="status" class="seamproof-mark" style="line-height:1.45;max-width:640px">'
            f'<b class="seamproof-{self.found.verdict}"><span aria-hidden="true">{self.found.icon}</span>'
            f" {self.found.word}.</b>"
            f" {escape(self.found.said)}</div>"
        )
        self._tell()

    def _show_way(self) -> None:
        if self.found is None or self.found.verdict != "right":
            self.notebook.show(self.exercise)
        self.way.value = write_way(self.exercise)
        self._tell()

    def _go_on(self) -> None:
        self.number += 1
        self._ask()

    def _tell(self) -> None:
        self.count.value = f'<small class="seamproof-progress">{escape(self.notebook.tell(self.kinds))}</small>'


def write_way(exercise: Exercise) -> str:
    """Return a worked solution as HTML, with the answer at its end."""
    steps = "".join(f"<li>{escape(sentence)}</li>" for sentence in exercise.solution)
    more = f" {escape(exercise.rounding)}" if exercise.rounding else ""
    return (
        f'<ol style="line-height:1.45;max-width:640px">{steps}</ol><p style="max-width:640px">Answer:'
        f" <b>{escape(exercise.shown)}</b>.{more}</p>"
    )
