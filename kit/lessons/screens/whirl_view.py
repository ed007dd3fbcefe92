"""The whirl on screen: a button for each rectangle, sewn in any order until the rehearsal stops it."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from kit.lessons.exercises.exercise import Terms
from kit.lessons.exercises.whirl import PLACES, sew_whirl
from kit.lessons.pictures.whirl_picture import draw_trial
from kit.look import lay_beside
from kit.output.pictures.drawing import Drawing


class WhirlView(widgets.VBox):
    """Buttons, a picture and a sentence.

    Parameters
    ----------
    terms
        What holds in the lesson.
    write
        Turns a drawing and a sentence into HTML.

    Attributes
    ----------
    order
        What was chosen so far.
    """

    def __init__(self, terms: Terms, write: Callable[[Drawing, str], str]) -> None:
        super().__init__()
        self.add_class("seamproof-whirl")
        self.terms, self._write = terms, write
        self.order: list[str] = []
        self.buttons = {place: self._button(f"Sew on {_name(place)}", place) for place in PLACES}
        self.again = widgets.Button(description="Start again", layout=widgets.Layout(width="150px"))
        self.again.on_click(lambda _: self._begin())
        self.partly = widgets.Checkbox(
            value=False, indent=False, description="Sew the first seam only half way",
            layout=widgets.Layout(width="300px"),
        )  # fmt: skip
        self.partly.observe(lambda _: self._begin(), names="value")
        self.picture = widgets.HTML()
        row = widgets.Layout(flex_flow="row wrap")
        buttons = widgets.HBox([*self.buttons.values(), self.again], layout=row)
        self.children = (lay_beside(widgets.VBox([self.partly, buttons]), widgets.VBox([self.picture])),)
        self._begin()

    def _button(self, words: str, place: str) -> Any:
        button = widgets.Button(description=words, layout=widgets.Layout(width="150px"))
        button.on_click(lambda _: self._add(place))
        return button

    def _begin(self) -> None:
        self.order = []
        self._show()

    def _add(self, place: str) -> None:
        if place not in self.order:
            self.order.append(place)
        self._show()

    def _show(self) -> None:
        """Sew what was chosen; once it stops, only a new beginning is left."""
        trial = sew_whirl(self.order, partly=self.partly.value, terms=self.terms)
        for place, button in self.buttons.items():
            button.disabled = place in self.order or trial.stopped is not None
        self.picture.value = self._write(draw_trial(trial, tuple(self.order)), trial.said)


def _name(place: str) -> str:
    return {"below": "below", "above": "above", "left": "at the left", "right": "at the right"}[place]
