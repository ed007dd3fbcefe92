"""Lessons on screen: words, a picture that moves with its dials, and exercises; and still pictures."""

import os
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets
from IPython.display import HTML

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.contents import find_lesson
from kit.lessons.exercises.catalogue import make_exercise
from kit.lessons.exercises.exercise import TERMS
from kit.lessons.lesson import Control, Lesson
from kit.lessons.pictures.whirl_picture import ORDERS
from kit.lessons.screens.exercise_view import AnswerRecord, ExerciseBox, write_way
from kit.lessons.screens.whirl_view import WhirlView
from kit.look import Framed, lay_beside
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.svg import write_image
from kit.taking_home import is_served

OWN_FILE = "my-lessons.json"
"""A learner's file, in the folder of the notebook."""
WIDE, HIGH = 620.0, 430.0
"""The greatest size of a picture, pixels."""
STYLE = {"description_width": "190px"}


def open_lesson(name: str, system: System = "inch", *, progress: str | os.PathLike[str] | None = "own") -> "LessonView":
    """Return a lesson for a notebook.

    Parameters
    ----------
    name
        "allowance", "sizes", "triangles", "on point", "strips", "braid", "errors", "pairs" or "whirl".
    system
        "inch", or "metric" with allowances of 0.75 cm.
    progress
        The learner's file; "own" is `my-lessons.json` in the folder of the notebook, but nothing if pages are
        served to many; None keeps answers only while the page is open.

    Raises
    ------
    KitError
        An unknown lesson or system.
    """
    lesson = find_lesson(name)
    _check_system(system)
    return LessonView(lesson, system, _find_file(progress))


def show_lesson(name: str, system: System = "inch", **settings: Any) -> HTML:
    """Return a still picture of a lesson with its sentence, for a saved notebook.

    Parameters
    ----------
    name, system
        As for `open_lesson`.
    settings
        Settings of its dials by their names, if different from the first ones.

    Raises
    ------
    KitError
        An unknown lesson, system or dial.
    """
    lesson = find_lesson(name)
    _check_system(system)
    known = {dial.name for dial in lesson.dials} or {"order", "partly"}
    odd = sorted(set(settings) - known)
    if odd:
        raise KitError(
            f"Lesson `{name}` has no dial `{odd[0]}`", needed=", ".join(sorted(known)), do="choose one of these"
        )
    values = {**lesson.begin(TERMS[system]), **settings}
    if not lesson.dials:
        values = {"order": next(iter(ORDERS.values())), **values}
    return HTML(_write_picture(*lesson.draw(TERMS[system], values)))


def show_worked(kind: str, seed: int = 1, system: System = "inch") -> HTML:
    """Return an exercise with its worked solution, to read.

    Parameters
    ----------
    kind, seed, system
        As for `make_exercise`.
    """
    exercise = make_exercise(kind, seed, system)
    return HTML(f"<p>{escape(exercise.question)}</p>{write_way(exercise)}")


def _check_system(system: str) -> None:
    if system not in TERMS:
        raise KitError(f"The system is `{system}`", needed="inch or metric", do="choose one of these")


def _find_file(progress: str | os.PathLike[str] | None) -> Path | None:
    """Return the learner's file; none of its own where one server's pages are read by many."""
    if progress is None:
        return None
    if progress != "own":
        return Path(progress)
    served = os.environ.get("SERVER_SOFTWARE", "").startswith("voila") and not is_served()
    return None if served else Path(OWN_FILE)


def _write_picture(drawing: Drawing, said: str) -> str:
    """Return the picture, narrower where it would be too high, and its sentence."""
    left, bottom, right, top = drawing.box
    wide = min(WIDE, HIGH * (right - left) / (top - bottom))
    return (
        f"{write_image(drawing, width=wide)}"
        f'<p role="status" class="seamproof-sentence" style="line-height:1.45;max-width:640px">{escape(said)}</p>'
    )


class LessonView(Framed):
    """One lesson on screen.

    Parameters
    ----------
    lesson
        What is taught.
    system
        "inch" or "metric".
    progress
        The learner's file, or None.

    Attributes
    ----------
    dials
        Name -> widget.
    picture
        The picture with its sentence.
    exercises
        The exercises below it.
    """

    def __init__(self, lesson: Lesson, system: System = "inch", progress: Path | None = None) -> None:
        super().__init__()
        self.add_class("seamproof-lesson")
        self.lesson, self.terms = lesson, TERMS[system]
        words = "".join(f"<p>{escape(text)}</p>" for text in lesson.words(self.terms))
        head = widgets.HTML(
            f'<h3>{escape(lesson.title)}</h3><div style="line-height:1.45;max-width:640px">{words}</div>'
        )
        self.picture = widgets.HTML()
        self.dials = {dial.name: self._make_dial(dial) for dial in lesson.dials}
        self.exercises = ExerciseBox(lesson.kinds, system, AnswerRecord(progress))
        asked = (widgets.HTML("<h4>Try it</h4>"), self.exercises)
        if lesson.dials:
            stage = lay_beside(widgets.VBox([*self.dials.values(), *asked]), widgets.VBox([self.picture]))
            self.children: tuple[widgets.Widget, ...] = (head, stage)
        else:
            self.children = (head, WhirlView(self.terms, _write_picture), *asked)
        if lesson.dials:
            self._follow()

    def _make_dial(self, dial: Control) -> Any:
        wide = widgets.Layout(width="480px", max_width="100%")
        options = dial.list_values(self.terms)
        kind = widgets.Dropdown if dial.kind == "choice" else widgets.SelectionSlider
        made = kind(
            options=options, value=dial.begin(self.terms), description=dial.label, style=STYLE, layout=wide,
        )  # fmt: skip
        made.observe(lambda _: self._follow(), names="value")
        return made

    def _follow(self) -> None:
        """Draw the picture for the settings; what cannot be drawn becomes a sentence."""
        values = {name: dial.value for name, dial in self.dials.items()}
        try:
            self.picture.value = _write_picture(*self.lesson.draw(self.terms, values))
        except KitError as error:
            self.picture.value = f'<p role="status" class="seamproof-sentence">{escape(str(error))}</p>'
