"""The composing table: a tray of units, the table on which they lie, and controls for all that the mouse does."""

import asyncio
import os
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.composing.figure import TableFigure
from kit.explore.composing.library import DrawingLibrary
from kit.explore.composing.offering import offer, put
from kit.explore.composing.panel import TablePanel
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.state_words import say_table
from kit.explore.composing.tray import Tray, TrayUnit
from kit.explore.picture_words import MOST, make_said
from kit.explore.screen import Screen
from kit.look import lay_beside
from kit.study import Study, read_study, save_study, study_from_keys
from kit.study.text_file import read_text

KEEP_KEYS = (
    "<style onload=\"const table = this.closest('.seamproof-composing-table'); table &&"
    " table.addEventListener('focusin', e => { if (e.target.matches('select, button, input[type=checkbox]'))"
    " e.target.setAttribute('data-lm-suppress-shortcuts', 'true'); });\">/* keys */</style>"
)
"""Tells the notebook that arrows and letters in a list of the table are the table's, not commands for cells."""
WAIT = 0.0
"""Seconds that the page is given to draw the picture before words and controls follow."""
NEW: dict[str, Any] = {
    "title": "My quilt",
    "design": {"family": "units"},
    "fabric": [{"slot": "patch", "name": "Cloth 1", "colour": "#e9e4d8"}],
}


def compose(study_or_path: Study | str | os.PathLike[str] | None = None) -> "ComposingTable":
    """Return the composing table of a study of units: take a unit, click a free edge, and the unit goes there.

    Parameters
    ----------
    study_or_path
        A study of the family "units", or the path of its file; nothing for an empty table.

    Raises
    ------
    KitError
        A file that is not a study, or a study of another family. Later on nothing is raised: what cannot be done is
        explained in place.
    """
    if study_or_path is None:
        return ComposingTable(study_from_keys(NEW))
    if isinstance(study_or_path, Study):
        return ComposingTable(study_or_path)
    return ComposingTable(open_unfinished(study_or_path))


def open_unfinished(path: str | os.PathLike[str]) -> Study:
    """Read a study file whose top need not be one yet.

    Raises
    ------
    StudyError
        As `open_study`, but for a design that cannot be made.
    """
    place = Path(path)
    return read_study(read_text(place), place=place.name, folder=place.parent)


class ComposingTable(Screen):
    """A sheet with its tray, its picture, its words and its controls.

    Attributes
    ----------
    sheet
        The study as it is composed.
    """

    shown = ""

    def __init__(self, study: Study, changed: Callable[[Study], None] | None = None) -> None:
        super().__init__("seamproof-composing-table", 1280)
        self.sheet = ComposeSheet(study)
        self._changed = changed
        self.picture = TableFigure(self.click_edge, self.click_unit, self.click_ground)
        self.said = make_said()
        self.tray = Tray(self.take)
        self.panel = TablePanel(self.sheet, self._do, self._mark, self.save, self.open_file)
        self._heading = widgets.HTML()
        self._heading.add_class("seamproof-composing-heading")
        self.opener = widgets.Dropdown(description="Unit that lies open", style={"description_width": "124px"},
                                       layout=widgets.Layout(width="272px"))  # fmt: skip
        self.opener.observe(lambda change: self._open(change["new"]), names="value")
        wrap = widgets.Layout(flex_flow="row wrap")
        heads = widgets.HBox([self.panel.undo, self.panel.redo, self.opener, self._heading], layout=wrap)
        body = lay_beside(self.panel, widgets.VBox([self.picture, self.said]))
        library = DrawingLibrary(self.picture.draw)
        self.children = (self.tray, heads, self.message, body, widgets.HTML(KEEP_KEYS), library)
        self._waiting: asyncio.TimerHandle | None = None
        self._colours: dict[str, str] = {}
        self.show()
        self._show_rest()
        self.picture.draw()

    @property
    def study(self) -> Study:
        """The study as it is composed.

        Raises
        ------
        KitError
            While something keeps it from being a top.
        """
        return self.sheet.make_study()

    # ---- the mouse ---------------------------------------------------------------------------------------------

    def take(self, name: str) -> None:
        """Take a unit of the tray; on an empty table it is laid."""
        self.panel.choose(name)
        self.tray.mark(name)
        if self.sheet.shown.table == ():
            self._do(lambda: self.sheet.lay(name, mirrored=self.panel.mirrored.value))

    def click_edge(self, label: str) -> None:
        """Lay the unit that is taken along the free edge that was clicked, or choose the edge."""
        with self.panel.at.hold_sync():  # the picture is sent before the list
            self.panel.choose_edge(label)
            if self.panel.click.value == "place" and self.panel.unit.value:
                self._do(self.panel.place)
            else:
                self._mark()

    def _open(self, name: str | None) -> None:
        if name and name != self.sheet.opened:
            self._do(lambda: self.sheet.open_unit(name))

    def click_unit(self, number: int) -> None:
        """Choose the unit on the table that was clicked."""
        self.panel.choose_lying(number)
        self._mark()

    def click_ground(self) -> None:
        """Lay the unit that is taken on an empty table."""
        if self.sheet.shown.table == () and self.panel.unit.value:
            self._do(self.panel.place)

    # ---- saving ------------------------------------------------------------------------------------------------

    def save(self, name: str) -> None:
        """Write the study as a file, and say whether it is whole."""

        def write() -> None:
            study = self.sheet.shown.study
            path = save_study(study, name)
            try:
                self.sheet.make_study()
            except KitError as error:
                self.say(
                    f"Saved as {Path(path).name}. It is not a whole top yet: go on with it here. {error}", "warn", path
                )
            else:
                self.say(f"Saved as {Path(path).name}.", "done", path)

        question = self.ask_before(name)
        if question:
            self.say(question, "warn")
        else:
            self.attempt(write)

    def open_file(self, name: str) -> None:
        """Take over the study of a file."""
        self.own_file(name)
        self._do(lambda: self.sheet.take_study(open_unfinished(name)))

    def follow(self, study: Study) -> None:
        """Take over a study that was changed elsewhere; one that is as it lies changes nothing."""
        if study != self.sheet.shown.study:
            self.sheet.take_study(study)
            self.show()

    # ---- showing -----------------------------------------------------------------------------------------------

    def _do(self, act: Callable[[], Any]) -> None:
        """Do something and show what follows; what cannot be done is said beside the controls as well."""
        self.sheet.note = ""
        done = self.attempt(act)
        put(self.panel.told, "" if done else self.message.value.replace('role="status"', 'role="alert"'))
        if done:
            self.show()
            if self._changed is not None:
                self._changed(self.sheet.shown.study)

    def show(self) -> None:
        """Show the sheet as it stands: the picture first, the rest as soon as that is sent."""
        shown = self.sheet.shown
        self._colours = {fabric.slot: fabric.colour for fabric in reversed(shown.study.fabrics)}
        self.picture.show(shown.laid, self._colours, shown.study.measures.system, self.panel.foresee())
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # in no notebook
            self._show_rest()
            return
        if self._waiting is not None:
            self._waiting.cancel()
        self._waiting = loop.call_later(WAIT, self._show_rest)

    def _show_rest(self) -> None:
        """Show words, controls and tray."""
        self._waiting = None
        self.panel.show()
        said, mood = say_table(self.sheet)
        self.say(f"{self.sheet.note} {said}".strip(), mood)
        laid = self.sheet.shown.laid
        named = ", ".join(laid.labels) or "nothing"
        free = ", ".join(edge.label for edge in laid.free[:MOST]) or "none"
        put(self.said, escape(f"Picture of the table: {said} On it: {named}. Free edges: {free}."))
        self._show_heading()
        units = [
            TrayUnit(name, self.sheet.make_or_none(name), self.sheet.mark(name), self.sheet.explain(name))
            for name in self.sheet.units
            if name != self.sheet.opened
        ]
        self.tray.show(units, self._colours, self.sheet.shown.study.measures.system, self.panel.unit.value)

    def _mark(self) -> None:
        self.picture.mark(*self.panel.find_chosen())

    def _show_heading(self) -> None:
        opened, top = self.sheet.opened, self.sheet.top
        offer(self.opener, tuple(dict.fromkeys((opened, top, *self.sheet.units))), opened)
        if self.opener.value != opened:
            self.opener.value = opened
        what = "the top" if opened == top else f"a part; the top is <b>{top}</b>"
        put(self._heading, f'<div style="padding:4px 8px;line-height:1.4">{what}</div>')
