"""The walk through the steps: a slider, the picture of its step, and the sentence of the step."""

from html import escape
from typing import Any

import ipywidgets as widgets
from IPython.display import HTML

from kit.errors import KitError
from kit.lengths import write_length
from kit.model.pattern import Pattern, Sketch
from kit.model.sewing import SewingPlan, Step, StepKind
from kit.output.pictures.step_picture import draw_step
from kit.output.pictures.svg import write_image
from kit.output.words.step_words import StepSentences

WIDE = 520.0
"""Width of a picture on screen, pixels."""
PAUSE = 1500
"""Milliseconds per step while the walk plays by itself."""


def walk_through(pattern: Pattern) -> "Walkthrough":
    """Return a slider that walks through the steps of a pattern's sewing plan.

    Parameters
    ----------
    pattern
        A pattern; its rehearsal is shown below the picture.
    """
    rehearsal = pattern.rehearsal
    size = " × ".join(write_length(side, pattern.study.measures.system) for side in rehearsal.finished)
    said = (
        f"Rehearsed: these steps give {size} finished, and every patch is in its place."
        if rehearsal.agrees
        else f"Rehearsed, and it does not agree: {' '.join(f'{each}.' for each in rehearsal.differences[:3])}"
    )
    return Walkthrough(pattern, pattern.sewing, said)


def show_step(pattern: Pattern, which: int | StepKind, width: float = 420.0) -> HTML:
    """Return a still picture of one step with its sentence.

    Parameters
    ----------
    pattern
        A pattern.
    which
        The number of a step as it is printed, or a kind of step; the first of its kind is shown.
    width
        Pixels.

    Raises
    ------
    KitError
        An unknown number or kind.
    """
    steps = list_shown(pattern.sewing)
    found = next((step for step in steps if which in (step.told, step.kind)), None)
    if found is None:
        kinds = ", ".join(dict.fromkeys(step.kind for step in steps))
        raise KitError(f"There is no step `{which}`", needed=f"1 to {len(steps)}, or {kinds}", do="choose one of these")
    return HTML(_write_step(StepSentences(pattern, pattern.sewing), found, width))


def list_shown(plan: SewingPlan) -> list[Step]:
    """Return the steps that are shown, in order: those with a number on the printed page."""
    return [step for step in plan.steps if step.told]


def _write_step(writer: StepSentences, step: Step, width: float) -> str:
    """Return the picture of a step, narrower if it would be too high, and the sentence."""
    drawing = draw_step(writer.sketch, writer.plan, step, writer)
    left, bottom, right, top = drawing.box
    narrow = width * min(1.0, (right - left) / (top - bottom))
    return f"{write_image(drawing, width=narrow)}<p><b>{step.told}.</b> {escape(writer.say(step))}</p>"


class Walkthrough(widgets.VBox):
    """A slider over the steps, with the picture and the sentence of one of them.

    Parameters
    ----------
    sketch, plan
        The quilt, and its steps.
    said
        A sentence for the bottom.
    """

    def __init__(self, sketch: Sketch, plan: SewingPlan, said: str = "") -> None:
        super().__init__(layout=widgets.Layout(max_width="720px"))
        self.add_class("seamproof-walkthrough")
        self.plan, self.writer = plan, StepSentences(sketch, plan)
        self.steps = list_shown(plan)
        last = max(1, len(self.steps))
        self.slider = widgets.IntSlider(
            value=1,
            min=1,
            max=last,
            description="Step",
            layout=widgets.Layout(width="420px"),
            style={"description_width": "50px"},
        )
        play = widgets.Play(value=1, min=1, max=last, interval=PAUSE, description="Play the steps")
        widgets.jslink((play, "value"), (self.slider, "value"))
        self.picture = widgets.HTML()
        self.slider.observe(self._follow, names="value")
        self.children = (
            widgets.HBox([play, self.slider]),
            self.picture,
            widgets.HTML(f'<div role="status">{escape(said)}</div>'),
        )
        self._follow({"new": 1})

    def _follow(self, change: dict[str, Any]) -> None:
        """Show the step of the slider; a step that cannot be drawn becomes a sentence."""
        if not self.steps:
            said = "the whole top comes ready from batches" if self.plan.steps else "the top is one piece"
            self.picture.value = f"<p>There is nothing to sew: {said}.</p>"
            return
        step = self.steps[change["new"] - 1]
        try:
            self.picture.value = _write_step(self.writer, step, WIDE)
        except Exception as error:  # noqa: BLE001  the last guard before the screen
            self.picture.value = f"<p>Step {step.told} cannot be drawn ({escape(str(error))}).</p>"
