"""Common parts of the screens: the frame of messages, the guard against tracebacks, saving, tables."""

import re
from collections.abc import Callable, Sequence
from html import escape, unescape
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pandas as pd

from kit.errors import KitError
from kit.study import Study, save_study

MOODS = {
    "plain": ("#888888", "#f6f6f6"),
    "refused": ("#9c2f1f", "#fbeeea"),
    "warn": ("#a8781a", "#fdf6e3"),
    "busy": ("#3f6f8f", "#eef4f8"),
    "done": ("#3d6b45", "#eef6ef"),
}
"""Edge and ground of the frame around a message; the words say it too, never only the colour."""
FRAME = "color:#26221f;padding:6px 10px;border-left:4px solid {};background:{};max-width:640px;line-height:1.45"
SHORT, LONG = 14, 60
"""The most letters of a cell without line breaks, and the most of a cell that is not a sentence."""
TABLE_CSS = (
    "<style>.seamproof-table th,.seamproof-table td{text-align:left!important;vertical-align:top}"
    ".seamproof-table th,.seamproof-table td{padding:2px 12px 2px 4px}"
    ".seamproof-table tbody tr:nth-child(even){background:#f5f2ec}.seamproof-table table{border-collapse:collapse}"
    ".seamproof-whole table{width:auto;max-width:none}.seamproof-whole td{max-width:32em}"
    ".seamproof-short{white-space:nowrap!important}.seamproof-words{min-width:8em}.seamproof-sentence{min-width:18em}"
    "</style>"
)


class Screen(widgets.VBox):
    """A screen that reports its actions, and never shows a traceback.

    Attributes
    ----------
    message
        The frame of messages.
    """

    shown = "The screen shows the last plan that was possible."
    """The note after a refusal: what the screen still shows."""

    def __init__(self, name: str, width: int = 1280) -> None:
        super().__init__(layout=widgets.Layout(max_width=f"{width}px"))
        self.add_class(name)
        self.message = widgets.HTML()

    def say(self, text: str, mood: str = "plain") -> None:
        """Show a sentence above the picture, only as text."""
        self.message.value = f'<div role="status" style="{FRAME.format(*MOODS[mood])}">{escape(text)}</div>'

    def warn(self, sentences: Sequence[str]) -> None:
        """Show the warnings, if there are any."""
        if sentences:
            self.say(" ".join(f"{sentence}." for sentence in sentences), "warn")
        else:
            self.message.value = ""

    def attempt(self, act: Callable[[], Any]) -> bool:
        """Do an action, and return True if it was done; an error becomes a sentence in place."""
        try:
            act()
        except KitError as error:
            self.say(f"{error} {self.shown}".strip(), "refused")
        except Exception as error:  # noqa: BLE001  the last guard before the screen
            self.say(f"This could not be done ({type(error).__name__}: {error}). {self.shown}".strip(), "refused")
        else:
            return True
        return False

    def make_save(self, find: Callable[[], Study]) -> widgets.VBox:
        """Return the field and the button for saving the study that `find` returns."""
        name = widgets.Text(value="my-study.toml", description="Study file", style={"description_width": "90px"})
        button = widgets.Button(description="Save the study", icon="save")

        def write() -> None:
            self.say(f"Saved as {Path(save_study(find(), name.value)).name}.", "done")

        button.on_click(lambda _: self.attempt(write))
        return widgets.VBox([name, button])


def write_table(table: pd.DataFrame, *, whole: bool = False) -> str:
    """Return a table as HTML with every cell as text; plain row numbers are left out.

    Parameters
    ----------
    table
        The table.
    whole
        It keeps six figures, and its sentences are not broken into narrow columns: the table scrolls sideways on a
        narrow page.
    """
    figures = "{:.6g}".format if whole else "{:.2f}".format
    named = not pd.api.types.is_integer_dtype(table.index)
    html = table.to_html(index=named, escape=True, border=0, na_rep="–", float_format=figures, justify="left")
    if whole:
        html = re.sub(r"<td>([^<]*)</td>", _give_room, html)
    names = "seamproof-table seamproof-whole" if whole else "seamproof-table"
    return f'<div class="{names}" style="overflow-x:auto">{TABLE_CSS}{html}</div>'


def _give_room(cell: re.Match[str]) -> str:
    """Return a cell with the class for the room of its text."""
    length = len(unescape(cell[1]))
    size = "short" if length <= SHORT else "words" if length <= LONG else "sentence"
    return f'<td class="seamproof-{size}">{cell[1]}</td>'
