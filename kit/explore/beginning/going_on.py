"""The way of a quilt from screen to screen, and to the notebook of each."""

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import ipywidgets as widgets

from kit.explore.cutting_screen import explore_cutting
from kit.explore.explorer import Explorer
from kit.explore.finishing_screen import explore_finishing
from kit.explore.fit_screen import choose_size
from kit.explore.quilting_screen import explore_quilting
from kit.explore.walkthrough import walk_through
from kit.pipeline import make_pattern
from kit.study import Study


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage of the job: its name, the notebook about it, and what makes its screen."""

    name: str
    notebook: str
    make: Callable[[Study], Any]


STAGES: tuple[Stage, ...] = (
    Stage("Design", "1-explore", Explorer),
    Stage("Size", "6-fit-to-a-bed", choose_size),
    Stage("Sewing order", "2-sewing-order", lambda study: walk_through(make_pattern(study))),
    Stage("Cutting", "3-cutting", explore_cutting),
    Stage("Finishing", "7-finish", explore_finishing),
    Stage("Quilting", "8-quilting", explore_quilting),
)
ON_PAPER = ("4-colour", "9-publish", "13-study")
"""Notebooks without a screen of their own here."""


class GoingOn(widgets.HBox):
    """The stages as buttons, the present one marked, and the next one.

    Parameters
    ----------
    go
        Called with the number of the stage that is asked.
    """

    def __init__(self, go: Callable[[int], None]) -> None:
        super().__init__(layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
        self.add_class("seamproof-stages")
        self.stage = 0
        self.buttons = [
            widgets.Button(description=stage.name, layout=widgets.Layout(width="118px"),
                           tooltip=f"This quilt: {stage.name.lower()}")
            for stage in STAGES
        ]  # fmt: skip
        for number, button in enumerate(self.buttons):
            button.on_click(lambda _, number=number: go(number))
        self.next = widgets.Button(icon="arrow-right", button_style="primary", layout=widgets.Layout(width="190px"))
        self.next.on_click(lambda _: go((self.stage + 1) % len(STAGES)))
        self.links = widgets.HTML()
        self.children = (*self.buttons, self.next, self.links)
        self.mark(0)

    def mark(self, number: int) -> None:
        """Show which stage is on the screen."""
        self.stage = number
        for place, button in enumerate(self.buttons):
            button.button_style = "info" if place == number else ""
            button.tooltip = f"{STAGES[place].name}{', on the screen now' if place == number else ''}"
        self.next.description = f"Next: {STAGES[(number + 1) % len(STAGES)].name.lower()}"
        names = (STAGES[number].notebook, *ON_PAPER)
        links = ", ".join(
            f'<a href="{name}.ipynb" target="_blank" style="text-decoration:underline">{escape(name)}</a>'
            for name in names
        )
        self.links.value = f'<div style="padding:0 8px;line-height:1.4">The same quilt in a notebook: {links}</div>'
